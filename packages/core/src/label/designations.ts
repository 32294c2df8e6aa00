import { type Allergen, displayName, type Ingredient } from "../ingredients/index.js";

export type LabelPlace = "gb" | "eu" | "us";

/** How an ingredient is named in a list; `[` and `]` stand around what has to be emphasised. */
export interface Designation {
  readonly words: string;
  /** What the packet of the bought ingredient has to settle before this is printed. */
  readonly check?: string;
}

/** One line of law about flour, with the days between which it holds. */
interface FlourRule {
  readonly from: string;
  readonly words: string;
  readonly source: string;
}

/**
 * What millers in Great Britain have to add to wheat flour other than wholemeal, as a list names it. Small mills and some
 * flours are exempt from the change, and imported flour is not fortified: the bag decides.
 */
export const GB_FLOUR_RULES: readonly FlourRule[] = [
  {
    from: "1998-01-01",
    words: "calcium carbonate, iron, niacin, thiamin",
    source: "Bread and Flour Regulations 1998, Schedule 1, until 12 December 2026",
  },
  {
    from: "2026-12-13",
    words: "calcium carbonate, iron, niacin, thiamin, folic acid",
    source:
      "Bread and Flour (Amendment) (England) Regulations 2024 and Bread and Flour (Wales) Regulations 2025, from 13 December 2026; look up Scotland and Northern Ireland",
  },
];

/** Wheat flours, wholemeal apart, to which the British additions are made. */
const FORTIFIED = /^(plain-flour|self-raising-flour|strong-white-flour|brown-flour|cake-flour|soft-flour)/;
const US_ENRICHED =
  /^(all-purpose-flour-us|self-rising-flour-us|bread-flour-us|cake-flour|plain-flour|self-raising-flour|strong-white-flour|soft-flour)/;

/** The additions in force on a day. @param date ISO 8601 */
export function gbFlourRule(date: string): FlourRule {
  return GB_FLOUR_RULES.findLast(({ from }) => from <= date) ?? GB_FLOUR_RULES[0]!;
}

const PACKET = "It is made of several things: put the list of its packet in brackets behind it.";
const RAISING = "The acid and the filler differ from brand to brand: copy the packet.";

/** Names that a list uses and that differ from the trade name. Category names by Annex VII, Part B. */
const NAMED: readonly { readonly pattern: RegExp; readonly words: string; readonly check?: string }[] = [
  { pattern: /^(caster|granulated|demerara|turbinado|icing-sugar-uk)(-sugar)?$/, words: "sugar" },
  {
    pattern: /^icing-sugar$/,
    words: "icing sugar (sugar, starch)",
    check: "Name the starch if it comes from a cereal with gluten.",
  },
  { pattern: /-brown-sugar$/, words: "brown sugar" },
  { pattern: /^self-raising-flour$|^self-rising-flour/, words: "self-raising [wheat] flour", check: RAISING },
  { pattern: /^(plain-flour|strong-white-flour|cake-flour|soft-flour)/, words: "[wheat] flour" },
  { pattern: /^butter-salted/, words: "salted butter ([milk], salt)" },
  { pattern: /^butter-/, words: "butter ([milk])" },
  { pattern: /^egg-whole-dried$/, words: "dried [egg]" },
  { pattern: /^egg-whole-pasteurised$/, words: "pasteurised [egg]" },
  { pattern: /^egg-whole/, words: "[egg]" },
  { pattern: /^baking-powder/, words: "raising agents: disodium diphosphate, sodium carbonates; starch", check: RAISING },
  { pattern: /^bicarbonate-of-soda$/, words: "raising agent: sodium carbonates" },
  { pattern: /^cream-of-tartar$/, words: "raising agent: potassium tartrates" },
  { pattern: /^xanthan-gum$/, words: "thickener: xanthan gum" },
  { pattern: /^guar-gum$/, words: "thickener: guar gum" },
  { pattern: /^pectin$/, words: "gelling agent: pectins" },
  { pattern: /^agar$/, words: "gelling agent: agar" },
  { pattern: /^citric-acid$/, words: "acid: citric acid" },
  { pattern: /^glycerol$/, words: "humectant: glycerol" },
  { pattern: /^sorbitol$/, words: "humectant: sorbitols" },
  { pattern: /^soya-lecithin$/, words: "emulsifier: lecithins ([soya])" },
  { pattern: /^dextrose/, words: "dextrose" },
  { pattern: /^vegetable-oil$/, words: "rapeseed oil" },
  {
    pattern:
      /^(dark|plain|milk|white|semisweet)-chocolate|^chocolate-|-jam$|^jam-|marmalade|lemon-curd|mincemeat|marzipan|almond-paste|custard-powder|fondant|royal-icing|margarine|spread$|digestive|sponge-fingers|glace-cherries|mixed-peel|candied|suet|coconut-sweetened|shortening|cooking-fat/,
    words: "",
    check: PACKET,
  },
];

const ALLERGEN_LABEL: Readonly<Record<string, string>> = {
  "cereals-gluten": "gluten",
  crustaceans: "crustaceans",
  eggs: "egg",
  fish: "fish",
  peanuts: "peanut",
  soybeans: "soya",
  milk: "milk",
  nuts: "nuts",
  celery: "celery",
  mustard: "mustard",
  sesame: "sesame",
  sulphites: "sulphites",
  lupin: "lupin",
  molluscs: "molluscs",
};

/** The word that a list has to show for an allergen: the cereal or the nut by name. */
export const allergenWord = ({ allergen, kind }: Allergen): string => kind ?? ALLERGEN_LABEL[allergen]!;

/**
 * The name of an ingredient in a list, with every allergen it holds named and marked for emphasis (Article 21(1)(b)).
 *
 * @param date  ISO 8601; the flour additions differ by date
 */
export function designation(ingredient: Ingredient, place: LabelPlace, date: string): Designation {
  const named = NAMED.find(({ pattern }) => pattern.test(ingredient.id));
  const isCompound = ingredient.parts !== undefined;
  const plain = named === undefined || named.words === "" ? plainName(ingredient, place) : named.words;
  const marked = ingredient.contains.reduce((words, allergen) => mark(words, allergen), plain);
  const fortified = place === "gb" && FORTIFIED.test(ingredient.id) ? ` (with ${gbFlourRule(date).words})` : "";
  const enriched =
    place === "us" && US_ENRICHED.test(ingredient.id)
      ? "enriched flour ([wheat] flour, niacin, reduced iron, thiamin mononitrate, riboflavin, folic acid)"
      : "";
  const words = enriched === "" ? `${marked}${fortified}` : enriched;
  const check = isCompound
    ? undefined
    : (named?.check ??
      (fortified === "" && enriched === "" ? undefined : "Compare with the bag: imported flour and small mills differ.") ??
      (ingredient.basis === "own" ? "Compare with the packet's own list." : undefined));
  return check === undefined ? { words } : { words, check };
}

/** "Cinnamon, ground" is "ground cinnamon"; places and percentages in brackets are the table's, not the list's. */
function plainName(ingredient: Ingredient, place: LabelPlace): string {
  const name = displayName(ingredient, place === "us" ? "us" : "british").replace(/\s*\([^)]*\)/g, "");
  const parts = /^([^,]+), ([a-z][^,\d%]*)$/i.exec(name);
  const turned = parts === null ? name.split(",")[0]! : `${parts[2]} ${parts[1]}`;
  return turned.trim().toLowerCase();
}

/** Emphasises the allergen where the name holds it, or names it in brackets. */
function mark(words: string, allergen: Allergen): string {
  const word = allergenWord(allergen);
  const stem = word.replace(/s$/, "");
  if (new RegExp(`\\[[^\\]]*${stem}`, "i").test(words)) return words;
  const found = new RegExp(`(^|[^\\[\\w])(${stem}\\w*)`, "i").exec(words);
  if (found === null) return `${words} ([${word}])`;
  const start = found.index + found[1]!.length;
  return `${words.slice(0, start)}[${found[2]}]${words.slice(start + found[2]!.length)}`;
}
