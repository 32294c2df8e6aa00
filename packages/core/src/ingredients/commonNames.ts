import type { NameStyle } from "./displayName.js";
import { foldName, stemOf, tokensOf } from "./nameMatching.js";

/** What a bare word means to a baker: the likeliest ingredient first, then the others it may mean. */
export interface CommonName {
  /** Ingredient ids, likeliest first. */
  readonly ids: readonly string[];
  /** True where the trade itself would ask "which one?"; then nothing should be taken without asking. */
  readonly doubtful: boolean;
  /** Why the first one was taken, or why it has to be asked. */
  readonly why: string;
}

interface Entry {
  readonly words: readonly string[];
  readonly british: readonly string[];
  readonly us: readonly string[];
  readonly doubtful?: true;
  readonly why: string;
}

// The first choices are common practice in British and US baking, no source.
const ENTRIES: readonly Entry[] = [
  {
    words: ["all purpose flour", "AP flour"],
    british: ["all-purpose-flour-us", "plain-flour"],
    us: ["all-purpose-flour-us", "plain-flour"],
    why: "a US name, so the US flour",
  },
  {
    words: ["plain flour"],
    british: ["plain-flour", "all-purpose-flour-us"],
    us: ["plain-flour", "all-purpose-flour-us"],
    why: "a British name, so the British flour",
  },
  {
    words: ["self rising flour"],
    british: ["self-rising-flour-us", "self-raising-flour"],
    us: ["self-rising-flour-us", "self-raising-flour"],
    why: "a US name; that flour holds salt too",
  },
  {
    words: ["light cream"],
    british: ["light-cream-us", "single-cream"],
    us: ["light-cream-us", "single-cream"],
    why: "a US name; single cream is nearly the same",
  },
  {
    words: ["double cream"],
    british: ["double-cream", "double-cream-cofid"],
    us: ["double-cream", "double-cream-cofid"],
    why: "48 % fat, the least that the name allows",
  },
  {
    words: ["stick margarine"],
    british: ["margarine-stick-us", "block-margarine"],
    us: ["margarine-stick-us", "block-margarine"],
    why: "a US name",
  },
  {
    words: ["reduced fat milk", "2 milk"],
    british: ["milk-semi-skimmed"],
    us: ["milk-semi-skimmed"],
    why: "1.7 % fat in Britain, 2 % in the US",
  },
  { words: ["graham cracker"], british: ["digestive-biscuits"], us: ["digestive-biscuits"], why: "digestives are the nearest" },
  {
    words: ["flour", "white flour", "plain white flour"],
    british: ["plain-flour", "self-raising-flour", "strong-white-flour"],
    us: ["all-purpose-flour-us", "cake-flour", "bread-flour-us"],
    why: "a recipe that wants another flour names it",
  },
  {
    words: ["self raising flour", "self-raising", "SR flour"],
    british: ["self-raising-flour", "self-rising-flour-us"],
    us: ["self-rising-flour-us", "self-raising-flour"],
    why: "the US flour holds salt too",
  },
  {
    words: ["bread flour", "strong flour"],
    british: ["strong-white-flour", "bread-flour-us"],
    us: ["bread-flour-us", "strong-white-flour"],
    why: "white unless wholemeal is named",
  },
  {
    words: ["whole wheat flour", "wholemeal flour"],
    british: ["wholemeal-flour", "whole-wheat-flour-us", "strong-wholemeal-flour"],
    us: ["whole-wheat-flour-us", "wholemeal-flour"],
    why: "soft unless bread flour is named",
  },
  {
    words: ["sugar", "white sugar"],
    british: ["caster-sugar", "granulated-sugar", "icing-sugar-uk"],
    us: ["granulated-sugar", "caster-sugar", "icing-sugar"],
    doubtful: true,
    why: "caster and granulated behave differently when creamed",
  },
  {
    words: ["brown sugar", "soft brown sugar"],
    british: ["light-brown-sugar", "dark-brown-sugar", "demerara-sugar"],
    us: ["light-brown-sugar", "dark-brown-sugar"],
    doubtful: true,
    why: "light or dark is not said",
  },
  {
    words: ["muscovado", "muscovado sugar"],
    british: ["dark-brown-sugar", "light-brown-sugar"],
    us: ["dark-brown-sugar", "light-brown-sugar"],
    doubtful: true,
    why: "light or dark is not said",
  },
  {
    words: ["icing sugar"],
    british: ["icing-sugar-uk", "icing-sugar"],
    us: ["icing-sugar", "icing-sugar-uk"],
    why: "the US sugar holds about 3 % starch, the British one hardly any",
  },
  {
    words: ["powdered sugar", "confectioners sugar"],
    british: ["icing-sugar", "icing-sugar-uk"],
    us: ["icing-sugar", "icing-sugar-uk"],
    why: "a US name, so the US sugar with about 3 % starch",
  },
  {
    words: ["syrup"],
    british: ["golden-syrup", "glucose-syrup", "maple-syrup"],
    us: ["corn-syrup-light", "maple-syrup", "golden-syrup"],
    doubtful: true,
    why: "the kind of syrup is not said",
  },
  {
    words: ["treacle"],
    british: ["black-treacle", "golden-syrup"],
    us: ["molasses", "black-treacle"],
    why: "light treacle would be called golden syrup",
  },
  {
    words: ["glucose", "liquid glucose"],
    british: ["glucose-syrup", "dextrose-monohydrate"],
    us: ["glucose-syrup", "dextrose-monohydrate"],
    why: "liquid unless powder is named",
  },
  {
    words: ["corn syrup"],
    british: ["corn-syrup-light", "corn-syrup-dark"],
    us: ["corn-syrup-light", "corn-syrup-dark"],
    why: "light unless dark is named",
  },
  {
    words: ["egg", "whole egg", "large egg", "medium egg", "free range egg", "beaten egg"],
    british: ["egg-whole-uk", "egg-whole"],
    us: ["egg-whole", "egg-whole-uk"],
    why: "hens' egg, whole and fresh",
  },
  {
    words: ["egg white", "white"],
    british: ["egg-white-uk", "egg-white", "egg-white-pasteurised"],
    us: ["egg-white", "egg-white-uk", "egg-white-pasteurised"],
    why: "fresh unless pasteurised is named",
  },
  { words: ["egg yolk", "yolk"], british: ["egg-yolk-uk", "egg-yolk"], us: ["egg-yolk", "egg-yolk-uk"], why: "fresh" },
  {
    words: ["butter", "unsalted butter", "sweet butter", "softened butter"],
    british: ["butter-unsalted", "butter-unsalted-us", "butter-salted"],
    us: ["butter-unsalted-us", "butter-unsalted", "butter-salted-us"],
    why: "cakes are usually made with unsalted butter; check when yours is salted",
  },
  {
    words: ["salted butter"],
    british: ["butter-salted", "butter-salted-us"],
    us: ["butter-salted-us", "butter-salted"],
    why: "the British and US butters differ by a little fat",
  },
  {
    words: ["margarine", "marg"],
    british: ["soft-spread", "block-margarine", "margarine-stick-us"],
    us: ["margarine-stick-us", "soft-margarine-80"],
    doubtful: true,
    why: "a soft spread and a baking block hold different amounts of fat",
  },
  {
    words: ["milk", "whole milk"],
    british: ["milk-whole", "milk-semi-skimmed", "milk-skimmed", "milk-whole-us"],
    us: ["milk-whole-us", "milk-semi-skimmed", "milk-skimmed", "milk-whole"],
    why: "whole milk unless another is named",
  },
  {
    words: ["cream"],
    british: ["double-cream", "single-cream", "whipping-cream"],
    us: ["heavy-cream", "light-cream-us", "half-and-half"],
    doubtful: true,
    why: "the kind of cream is not said",
  },
  {
    words: ["heavy cream", "heavy whipping cream"],
    british: ["heavy-cream", "whipping-cream", "double-cream"],
    us: ["heavy-cream", "whipping-cream", "double-cream"],
    why: "US heavy cream has 36 % fat; British double cream has 48 %",
  },
  {
    words: ["whipping cream"],
    british: ["whipping-cream", "heavy-cream"],
    us: ["heavy-cream", "whipping-cream"],
    why: "of the writer's country",
  },
  {
    words: ["yoghurt", "plain yoghurt", "natural yoghurt"],
    british: ["yoghurt-whole-uk", "yoghurt-low-fat", "yoghurt-greek"],
    us: ["yoghurt-whole", "yoghurt-whole-uk", "yoghurt-low-fat", "yoghurt-greek-us"],
    why: "plain and of whole milk unless another is named",
  },
  {
    words: ["greek yoghurt"],
    british: ["yoghurt-greek", "yoghurt-greek-us"],
    us: ["yoghurt-greek-us", "yoghurt-greek"],
    why: "of the writer's country",
  },
  {
    words: ["cream cheese", "full fat cream cheese"],
    british: ["soft-cheese-full-fat-uk", "cream-cheese"],
    us: ["cream-cheese", "soft-cheese-full-fat-uk"],
    why: "what is sold as cream cheese in Britain has about 24 % fat, in the US 34 %",
  },
  {
    words: ["condensed milk", "sweetened condensed milk"],
    british: ["condensed-milk-uk", "condensed-milk"],
    us: ["condensed-milk", "condensed-milk-uk"],
    why: "sweetened",
  },
  {
    words: ["milk powder", "dried milk", "powdered milk"],
    british: ["milk-powder-skimmed", "milk-powder-whole"],
    us: ["milk-powder-skimmed", "milk-powder-whole"],
    why: "skimmed unless whole is named",
  },
  {
    words: ["oil"],
    british: ["vegetable-oil", "sunflower-oil", "rapeseed-oil", "olive-oil"],
    us: ["soya-oil", "rapeseed-oil", "olive-oil"],
    doubtful: true,
    why: "the kind of oil is not said",
  },
  {
    words: ["vegetable oil"],
    british: ["vegetable-oil", "sunflower-oil", "soya-oil"],
    us: ["soya-oil", "rapeseed-oil", "vegetable-oil"],
    why: "rapeseed in Britain, soya in the US",
  },
  {
    words: ["shortening", "vegetable shortening", "vegetable fat"],
    british: ["shortening", "compound-cooking-fat-uk"],
    us: ["shortening"],
    why: "vegetable fat",
  },
  { words: ["suet"], british: ["suet-shredded"], us: ["suet-shredded"], why: "shredded" },
  {
    words: ["cocoa", "cocoa powder"],
    british: ["cocoa-powder", "cocoa-powder-alkalised", "cocoa-powder-high-fat-alkalised"],
    us: ["cocoa-powder", "cocoa-powder-alkalised"],
    why: "natural unless alkalised is named",
  },
  {
    words: ["chocolate"],
    british: ["dark-chocolate-60-69", "plain-chocolate-uk", "milk-chocolate-uk", "white-chocolate"],
    us: ["dark-chocolate-45-59", "dark-chocolate-60-69", "milk-chocolate", "white-chocolate"],
    doubtful: true,
    why: "dark, milk or white is not said",
  },
  {
    words: ["dark chocolate"],
    british: ["dark-chocolate-60-69", "dark-chocolate-70-85", "dark-chocolate-45-59"],
    us: ["dark-chocolate-60-69", "dark-chocolate-45-59", "dark-chocolate-70-85"],
    doubtful: true,
    why: "the share of cocoa is not said",
  },
  {
    words: ["plain chocolate"],
    british: ["plain-chocolate-uk", "dark-chocolate-45-59"],
    us: ["dark-chocolate-45-59", "plain-chocolate-uk"],
    why: "the British name of an everyday dark chocolate",
  },
  {
    words: ["milk chocolate"],
    british: ["milk-chocolate-uk", "milk-chocolate"],
    us: ["milk-chocolate", "milk-chocolate-uk"],
    why: "of the writer's country",
  },
  {
    words: ["chocolate chips"],
    british: ["semisweet-chocolate-chips"],
    us: ["semisweet-chocolate-chips"],
    why: "dark unless another is named",
  },
  {
    words: ["vanilla", "vanilla essence"],
    british: ["vanilla-extract", "vanilla-pod"],
    us: ["vanilla-extract", "vanilla-pod"],
    why: "extract unless a pod is named",
  },
  {
    words: ["baking powder"],
    british: ["baking-powder", "baking-powder-us-sas"],
    us: ["baking-powder-us-sas", "baking-powder-us-phosphate", "baking-powder"],
    why: "of the writer's country",
  },
  {
    words: ["soda", "baking soda", "bicarb", "bicarbonate"],
    british: ["bicarbonate-of-soda"],
    us: ["bicarbonate-of-soda"],
    why: "bicarbonate of soda",
  },
  {
    words: ["yeast"],
    british: ["yeast-dried", "yeast-fresh"],
    us: ["yeast-dried", "yeast-fresh"],
    doubtful: true,
    why: "dried and fresh differ threefold in weight",
  },
  {
    words: ["salt", "sea salt", "table salt"],
    british: ["salt"],
    us: ["salt"],
    why: "all are sodium chloride; by spoon they weigh differently",
  },
  {
    words: ["cornflour", "corn flour"],
    british: ["cornflour", "maize-flour"],
    us: ["maize-flour", "cornflour"],
    why: "starch in Britain; in the US corn flour is the whole grain",
  },
  {
    words: ["rice flour"],
    british: ["rice-flour", "rice-flour-brown"],
    us: ["rice-flour", "rice-flour-brown"],
    why: "white unless brown is named",
  },
  { words: ["oats", "porridge oats"], british: ["rolled-oats", "oat-flour"], us: ["rolled-oats", "oat-flour"], why: "rolled" },
  {
    words: ["ginger"],
    british: ["ginger-ground", "ginger-root"],
    us: ["ginger-ground", "ginger-root"],
    doubtful: true,
    why: "ground or fresh is not said",
  },
  { words: ["cinnamon"], british: ["cinnamon"], us: ["cinnamon"], why: "ground" },
  {
    words: ["almond"],
    british: ["almonds", "almonds-blanched", "ground-almonds"],
    us: ["almonds", "almonds-blanched", "ground-almonds"],
    doubtful: true,
    why: "whole, flaked or ground is not said",
  },
  {
    words: ["almond flour", "almond meal", "ground almond"],
    british: ["ground-almonds"],
    us: ["ground-almonds"],
    why: "blanched and ground",
  },
  {
    words: ["hazelnut"],
    british: ["hazelnuts", "hazelnuts-blanched"],
    us: ["hazelnuts", "hazelnuts-blanched"],
    why: "with the skin unless blanched is named",
  },
  {
    words: ["nut", "mixed nuts"],
    british: ["walnuts", "hazelnuts", "almonds", "pecans"],
    us: ["walnuts", "pecans", "almonds", "hazelnuts"],
    doubtful: true,
    why: "the kind of nut is not said, and its allergen depends on it",
  },
  {
    words: ["coconut"],
    british: ["desiccated-coconut", "coconut-sweetened"],
    us: ["coconut-sweetened", "desiccated-coconut"],
    doubtful: true,
    why: "dried, sweetened or fresh is not said",
  },
  {
    words: ["jam"],
    british: ["raspberry-jam", "strawberry-jam", "apricot-jam"],
    us: ["jam-us", "raspberry-jam", "strawberry-jam"],
    doubtful: true,
    why: "the fruit is not said",
  },
  {
    words: ["marzipan"],
    british: ["marzipan", "marzipan-homemade", "almond-paste"],
    us: ["almond-paste", "marzipan"],
    why: "bought unless homemade is named",
  },
  { words: ["fondant"], british: ["fondant-icing"], us: ["fondant-icing"], why: "icing" },
  {
    words: ["cherry"],
    british: ["cherries", "sour-cherries", "glace-cherries"],
    us: ["cherries", "sour-cherries", "glace-cherries"],
    doubtful: true,
    why: "fresh, sour or glacé is not said",
  },
  {
    words: ["apple"],
    british: ["apple", "cooking-apple"],
    us: ["apple", "cooking-apple"],
    why: "eating apple unless cooking apple is named",
  },
  {
    words: ["apricot"],
    british: ["apricots-dried", "apricot"],
    us: ["apricot", "apricots-dried"],
    doubtful: true,
    why: "dried or fresh is not said",
  },
  { words: ["date"], british: ["dates", "dates-medjool"], us: ["dates", "dates-medjool"], why: "dried" },
  {
    words: ["lemon"],
    british: ["lemon-juice", "lemon-zest", "lemon-flesh"],
    us: ["lemon-juice", "lemon-zest", "lemon-flesh"],
    doubtful: true,
    why: "juice, zest or flesh is not said",
  },
  { words: ["lime"], british: ["lime-juice"], us: ["lime-juice"], doubtful: true, why: "juice or zest is not said" },
  {
    words: ["orange"],
    british: ["orange", "orange-juice", "orange-zest"],
    us: ["orange", "orange-juice", "orange-zest"],
    doubtful: true,
    why: "flesh, juice or zest is not said",
  },
  {
    words: ["currant"],
    british: ["currants", "blackcurrants", "redcurrants"],
    us: ["currants", "blackcurrants", "redcurrants"],
    why: "dried vine fruit",
  },
  { words: ["raisin"], british: ["raisins", "sultanas"], us: ["raisins", "sultanas"], why: "dark and seedless" },
  {
    words: ["coffee"],
    british: ["coffee-brewed", "coffee-instant", "coffee-espresso"],
    us: ["coffee-brewed", "coffee-instant", "coffee-espresso"],
    doubtful: true,
    why: "brewed or instant is not said",
  },
  { words: ["tea"], british: ["tea-brewed"], us: ["tea-brewed"], why: "brewed" },
  {
    words: ["vinegar"],
    british: ["vinegar-white", "vinegar-cider"],
    us: ["vinegar-white", "vinegar-cider"],
    why: "white distilled unless another is named",
  },
  {
    words: ["wine"],
    british: ["wine-white", "wine-red", "wine-dessert-sweet"],
    us: ["wine-white", "wine-red", "wine-dessert-sweet"],
    doubtful: true,
    why: "the colour is not said",
  },
  {
    words: ["pumpkin"],
    british: ["pumpkin", "pumpkin-puree"],
    us: ["pumpkin-puree", "pumpkin"],
    why: "raw in Britain; canned purée in the US",
  },
  {
    words: ["beetroot", "beet"],
    british: ["beetroot", "beetroot-cooked"],
    us: ["beetroot", "beetroot-cooked"],
    why: "raw unless cooked is named",
  },
  { words: ["gelatine"], british: ["gelatine"], us: ["gelatine"], why: "leaf and powder have the same composition" },
  { words: ["duck egg"], british: ["egg-duck"], us: ["egg-duck"], why: "the only one" },
];

let keyed: ReadonlyMap<string, Entry> | undefined;
/** Made at the first question: a command that never searches should not pay for it. */
function byKey(): ReadonlyMap<string, Entry> {
  keyed ??= new Map(ENTRIES.flatMap((entry) => entry.words.map((word) => [nameKey(word), entry] as const)));
  return keyed;
}

function nameKey(text: string): string {
  return tokensOf(foldName(text)).map(stemOf).join(" ");
}

/** Ingredient ids for a folded and stemmed name, likeliest first, or nothing when the name is no bare common word. */
export function commonName(key: string, names: NameStyle): readonly string[] | undefined {
  return byKey().get(key)?.[names];
}

/** The first choices of the common words that begin with these letters: "sug" is on its way to sugar. */
export function commonBeginnings(beginning: string, names: NameStyle): readonly string[] {
  const ids = new Set<string>();
  if (beginning.length >= 2) for (const [key, entry] of byKey()) if (key.startsWith(beginning)) ids.add(entry[names][0]!);
  return [...ids];
}

/**
 * What a bare word means to a baker: "flour", "sugar", "cream".
 *
 * @param text  the words as written; case, accents, hyphens and plural do not matter
 * @returns  the ingredients it may mean, likeliest first, and whether to ask; undefined when it is no bare common word.
 *   Common practice in British and US baking, no source.
 */
export function readCommonName(text: string, names: NameStyle = "british"): CommonName | undefined {
  const entry = byKey().get(nameKey(text));
  return entry && { ids: entry[names], doubtful: entry.doubtful ?? false, why: entry.why };
}
