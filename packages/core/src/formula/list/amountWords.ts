/** What a unit word stands for. Volumes keep their household name, since its size hangs on the country. */
export type Unit =
  | { readonly kind: "mass"; readonly grams: number; readonly name: string; readonly ounceLike: boolean }
  | { readonly kind: "volume"; readonly volume: VolumeUnit }
  | { readonly kind: "count"; readonly thing: string }
  | { readonly kind: "vague"; readonly thing: string };

export type VolumeUnit =
  | "ml"
  | "us-cup"
  | "metric-cup"
  | "cup"
  | "tablespoon"
  | "au-tablespoon"
  | "dessertspoon"
  | "teaspoon"
  | "fluid-ounce"
  | "us-fluid-ounce"
  | "imperial-fluid-ounce"
  | "pint"
  | "us-pint"
  | "imperial-pint"
  | "quart"
  | "gill"
  | "cl"
  | "dl"
  | "litre";

/** International pound and ounce, exact by definition (household-measures table; 16 ounces to the pound). */
export const OUNCE_GRAMS = 28.349523125;
export const POUND_GRAMS = 453.59237;

const mass = (grams: number, name: string, ounceLike = false): Unit => ({ kind: "mass", grams, name, ounceLike });
const volume = (unit: VolumeUnit): Unit => ({ kind: "volume", volume: unit });
const count = (thing: string): Unit => ({ kind: "count", thing });
const vague = (thing: string): Unit => ({ kind: "vague", thing });

function spread(...rows: readonly (readonly [string, Unit])[]): ReadonlyMap<string, Unit> {
  const map = new Map<string, Unit>();
  for (const [words, unit] of rows) for (const word of words.split(" ")) map.set(word, unit);
  return map;
}

/** Units of one word, in lower case. */
export const UNITS: ReadonlyMap<string, Unit> = spread(
  ["g gr grs grm grms gm gms gram grams gramme grammes gramm", mass(1, "g")],
  ["kg kgs kilo kilos kilogram kilograms kilogramme kilogrammes", mass(1000, "kg")],
  ["mg mgs milligram milligrams milligramme milligrammes", mass(0.001, "mg")],
  ["oz ozs ounce ounces onz", mass(OUNCE_GRAMS, "oz", true)],
  ["lb lbs pound pounds", mass(POUND_GRAMS, "lb", true)],
  ["ml mls millilitre millilitres milliliter milliliters mil mils cc ccm", volume("ml")],
  ["cl cls centilitre centilitres centiliter centiliters", volume("cl")],
  ["dl dls decilitre decilitres deciliter deciliters", volume("dl")],
  ["l ltr ltrs lt litre litres liter liters", volume("litre")],
  ["cup cups cupful cupfuls cupsful c", volume("cup")],
  [
    "tbsp tbsps tbs tbls tblsp tblsps tblspn tblspns tbspn tb tbl tablespoon tablespoons tablespoonful tablespoonfuls tablespoonsful tbspoon",
    volume("tablespoon"),
  ],
  ["tablesp tbps tpsb", volume("tablespoon")],
  [
    "dsp dsps dstsp dstspn dssp dessertspoon dessertspoons dessertspoonful dessertspoonfuls dessertspoonsful",
    volume("dessertspoon"),
  ],
  ["tsp tsps tspn tspns teasp teaspoon teaspoons teaspoonful teaspoonfuls teaspoonsful ts", volume("teaspoon")],
  ["floz", volume("fluid-ounce")],
  ["pint pints pt pts", volume("pint")],
  ["quart quarts qt qts", volume("quart")],
  ["gill gills", volume("gill")],
  ["tin tins", count("tin")],
  ["can cans", count("can")],
  ["jar jars", count("jar")],
  ["packet packets pkt pkts package packages pkg pkgs pack packs", count("packet")],
  ["sachet sachets envelope envelopes env envs", count("sachet")],
  ["pot pots tub tubs carton cartons container containers", count("pot")],
  ["bag bags", count("bag")],
  ["box boxes", count("box")],
  ["bottle bottles", count("bottle")],
  ["miniature miniatures", count("miniature")],
  ["tube tubes", count("tube")],
  ["bar bars", count("bar")],
  ["block blocks brick bricks", count("block")],
  ["punnet punnets", count("punnet")],
  ["stick sticks", count("stick")],
  ["sheet sheets leaf leaves", count("leaf")],
  ["slice slices", count("slice")],
  ["square squares", count("square")],
  ["clove", count("clove")],
  ["sprig sprigs", count("sprig")],
  ["pod pods", count("pod")],
  ["ball balls", count("ball")],
  ["piece pieces", count("piece")],
  ["shot shots", count("shot")],
  ["pinch pinches", vague("pinch")],
  ["dash dashes", vague("dash")],
  ["knob knobs", vague("knob")],
  ["thumb thumbs", vague("thumb")],
  ["handful handfuls", vague("handful")],
  ["splash splashes", vague("splash")],
  ["drizzle", vague("drizzle")],
  ["glug glugs slug", vague("glug")],
  ["drop drops", vague("drop")],
  ["squeeze", vague("squeeze")],
  ["grating gratings", vague("grating")],
  ["sprinkle sprinkling dusting", vague("sprinkle")],
  ["spoonful spoonfuls spoon spoons", vague("spoon")],
  ["dollop dollops", vague("dollop")],
  ["scoop scoops", vague("scoop")],
  ["part parts", vague("part")],
  ["bunch bunches", vague("bunch")],
  ["capful capfuls", vague("capful")],
  ["mug mugs", vague("mug")],
  ["glass glasses", vague("glass")],
  ["teacup teacups", vague("teacup")],
  ["breakfastcup breakfastcups", vague("breakfast cup")],
  ["coffeecup coffeecups", vague("coffee cup")],
  ["wineglass wineglasses wineglassful", vague("wineglass")],
  ["tumbler tumblers", vague("tumbler")],
  // what `reordered` makes of "butter the size of a walnut"
  ["walnutsize", vague("walnut-sized piece")],
  ["eggsize", vague("egg-sized piece")],
  ["hazelnutsize", vague("hazelnut-sized piece")],
  ["smidgen smidge", vague("smidgen")],
);

/** Sizes before a thing that is counted. */
export const SIZES: ReadonlyMap<string, string> = new Map([
  ["small", "small"],
  ["sm", "small"],
  ["medium", "medium"],
  ["med", "medium"],
  ["large", "large"],
  ["lg", "large"],
  ["lge", "large"],
  ["lrg", "large"],
  ["big", "large"],
  ["jumbo", "jumbo"],
  ["xl", "extra large"],
]);

/** How full a spoon or a cup is. */
export const FILLS: ReadonlySet<string> = new Set([
  "level",
  "levelled",
  "heaped",
  "heaping",
  "rounded",
  "scant",
  "generous",
  "good",
  "brimming",
  "packed",
  "slightly",
]);

/** "About": the baker said that it is not exact. */
export const ABOUT: ReadonlySet<string> = new Set([
  "about",
  "approx",
  "approximately",
  "circa",
  "ca",
  "c",
  "around",
  "roughly",
  "nearly",
  "almost",
  "approximatively",
]);

export const NUMBER_WORDS: ReadonlyMap<string, number> = new Map([
  ["one", 1],
  ["two", 2],
  ["three", 3],
  ["four", 4],
  ["five", 5],
  ["six", 6],
  ["seven", 7],
  ["eight", 8],
  ["nine", 9],
  ["ten", 10],
  ["eleven", 11],
  ["twelve", 12],
  ["thirteen", 13],
  ["fourteen", 14],
  ["fifteen", 15],
  ["sixteen", 16],
  ["eighteen", 18],
  ["twenty", 20],
  ["thirty", 30],
  ["forty", 40],
  ["fifty", 50],
  ["sixty", 60],
  ["seventy", 70],
  ["eighty", 80],
  ["ninety", 90],
]);
