import type { Measure } from "./demands.js";

/** A replacement that bakers make, with what has to come along so that the mix keeps its balance. */
export interface Swap {
  readonly from: string;
  /** What takes its place, most of it first. */
  readonly to: readonly string[];
  /** What may be needed in small amounts to keep water, salt or structure. */
  readonly carries: readonly string[];
  /** What has to stay besides what the baker holds. */
  readonly holds?: readonly Measure[];
  readonly words: string;
}

/** Offered swaps; every one is common practice without a source, and the amounts are worked out, not tabled. */
export const SWAPS: readonly Swap[] = [
  {
    from: "butter-unsalted",
    to: ["sunflower-oil"],
    carries: ["water"],
    words: "Butter is about a sixth water: oil needs water beside it.",
  },
  {
    from: "butter-unsalted",
    to: ["rapeseed-oil"],
    carries: ["water"],
    words: "Butter is about a sixth water: oil needs water beside it.",
  },
  { from: "butter-salted", to: ["sunflower-oil"], carries: ["water", "salt"], words: "Salted butter brings water and salt." },
  {
    from: "butter-unsalted",
    to: ["block-margarine"],
    carries: ["water"],
    words: "Nearly the same fat; look at the packet's water.",
  },
  { from: "butter-unsalted", to: ["ghee"], carries: ["water"], words: "Ghee is butter without its water and milk solids." },
  {
    from: "egg-whole-uk",
    to: ["egg-white-uk", "egg-yolk-uk"],
    carries: [],
    words: "Whole egg is about two parts white to one part yolk.",
  },
  {
    from: "egg-whole-uk",
    to: ["egg-whole-dried", "water"],
    carries: [],
    words: "Dried whole egg needs about three times its weight of water.",
  },
  { from: "milk-whole", to: ["milk-powder-whole", "water"], carries: [], words: "Milk is about seven eighths water." },
  { from: "milk-whole", to: ["oat-drink"], carries: [], words: "No milk; check the drink's sugar." },
  {
    from: "milk-whole",
    to: ["buttermilk"],
    carries: ["bicarbonate-of-soda"],
    words: "Buttermilk is sour: a little soda answers it.",
  },
  { from: "caster-sugar", to: ["honey"], carries: [], words: "Honey is about a sixth water and sweeter; it browns sooner." },
  { from: "caster-sugar", to: ["golden-syrup"], carries: [], words: "Syrup brings water and browns sooner." },
  { from: "caster-sugar", to: ["light-brown-sugar"], carries: [], words: "A little moister, with flavour." },
  { from: "plain-flour", to: ["cornflour"], carries: [], words: "Less protein: a shorter, finer crumb; up to a fifth is usual." },
  {
    from: "plain-flour",
    to: ["rice-flour", "potato-starch", "tapioca"],
    carries: ["xanthan-gum"],
    words: "Without wheat something has to bind: a little gum.",
  },
  {
    from: "self-raising-flour",
    to: ["plain-flour"],
    carries: ["baking-powder"],
    holds: [{ kind: "gas" }],
    words: "Self-raising flour holds its own raising agent.",
  },
  { from: "double-cream", to: ["mascarpone"], carries: ["milk-whole"], words: "Stiffer; about the same fat." },
];

/** The offered swap of one ingredient for another, with what it carries; undefined when it is not an offered one. */
export function offeredSwap(from: string, to: readonly string[]): Swap | undefined {
  return SWAPS.find((swap) => swap.from === from && to.every((id) => swap.to.includes(id)));
}
