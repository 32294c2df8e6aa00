import type { HouseholdWeight, Ingredient } from "../../ingredients/index.js";
import type { Span } from "./numbers.js";
import type { Measured, Quantity } from "./quantity.js";
import { eggPart, weighEggs } from "./weighEggs.js";
import {
  bandOf,
  certainly,
  doubtfully,
  figureOf,
  isRange,
  ranged,
  trim,
  type WeighContext,
  type Weighing,
  weight,
} from "./weighing.js";

/** Weight of one, where no table has it [g]. From memory, all of it: always asked. */
const ONE_FROM_MEMORY: Readonly<Record<string, number>> = {
  "cooking-apple": 200,
  "apricots-dried": 7,
  "digestive-biscuits": 15,
  "vanilla-pod": 3,
  cinnamon: 3,
  cardamom: 0.2,
  cloves: 0.1,
  "glace-cherries": 5,
  walnuts: 4,
  pecans: 3,
  gelatine: 2,
  parsnip: 100,
  pumpkin: 1000,
  "butternut-squash": 700,
  nutmeg: 5,
  chestnuts: 10,
  "sponge-fingers": 8,
  "lemon-zest": 5,
  "orange-zest": 9,
  "tea-brewed": 200,
  "candied-fruit": 15,
  "egg-whole-pasteurised": 50,
};

/** Contents of a container whose size is not said [g]. From memory. */
const PACK_FROM_MEMORY: Readonly<Record<string, readonly number[]>> = {
  "condensed-milk": [397],
  "condensed-milk-uk": [397],
  "evaporated-milk": [410, 354],
  "coconut-milk": [382],
  "coconut-cream": [160],
  "pumpkin-puree": [425],
  "yeast-dried": [7],
  gelatine: [12],
  raspberries: [150, 225],
  strawberries: [400, 227],
  blueberries: [150, 200],
  blackberries: [150, 200],
  cherries: [250, 400],
  "cream-cheese": [227, 180],
  "soft-cheese-full-fat-uk": [180, 280],
  mascarpone: [250],
  ricotta: [250],
  "butter-unsalted": [250],
  "butter-salted": [250],
  "butter-unsalted-us": [454],
  "butter-salted-us": [454],
  "double-cream": [282, 141],
  "soured-cream": [300, 150],
  "creme-fraiche": [200],
  "yoghurt-whole-uk": [150, 500],
  "yoghurt-greek": [200, 500],
  "baking-powder": [5],
  "digestive-biscuits": [400, 250],
  "lemon-curd": [320, 450],
  "icing-sugar": [454],
  mincemeat: [411, 600],
  pineapple: [432, 227],
  peach: [410],
  pear: [410],
  apricot: [410],
  "sour-cherries": [425, 680],
  honey: [340, 454],
  "peanut-butter": [340],
  "chocolate-hazelnut-spread": [350],
};

/** The packs of an ingredient, the size that was named first. */
function packsOf(id: string, size: string | undefined): readonly number[] | undefined {
  const packs = figureOf(PACK_FROM_MEMORY, id) ?? (/-jam$|^jam-us$|^marmalade$/.test(id) ? [340, 300, 454] : undefined);
  if (packs === undefined || packs.length < 2 || size === undefined) return packs;
  return [...packs].sort((a, b) => (size === "small" ? a - b : b - a));
}

const CONTAINERS = new Set([
  "tin",
  "can",
  "jar",
  "packet",
  "sachet",
  "pot",
  "bag",
  "box",
  "bottle",
  "miniature",
  "tube",
  "bar",
  "block",
  "punnet",
]);

export function weighCount(
  measured: Measured & { kind: "count" },
  quantity: Quantity,
  ingredient: Ingredient | undefined,
  context: WeighContext,
): Weighing {
  const { amount, thing } = measured;
  if (ingredient === undefined) return doubtfully([], "a number of something that is not in the book cannot be weighed");
  const part = eggPart(ingredient.id);
  if (part !== undefined && thing === undefined) return weighEggs(amount, quantity.size, part, context);
  if (thing === "stick") {
    const stick = ingredient.householdWeights.find((one) => one.measure === "stick");
    if (stick !== undefined || /^(?:butter|margarine|block-margarine)/.test(ingredient.id)) {
      const grams = stick?.grams ?? 113.398;
      return isRange(amount)
        ? ranged(amount, "sticks", (n) => n * grams)
        : certainly(amount.high * grams, `a stick is 4 oz (${stick?.source ?? "a quarter of a pound"})`);
    }
  }
  if (thing === "leaf" && ingredient.id === "gelatine") {
    return doubtfully(
      [weight(amount.high * 2, "2 g a leaf (from memory)"), weight(amount.high * 1.7, "1.7 g a leaf (from memory)")],
      "leaves of gelatine differ in weight and strength by make",
    );
  }
  if (thing === "shot")
    return doubtfully(
      [weight(amount.high * 30, "30 ml a shot (from memory)"), weight(amount.high * 25, "25 ml")],
      "a shot is 25 to 45 ml",
    );
  if (thing !== undefined && CONTAINERS.has(thing)) {
    const envelope = thing === "sachet" ? ingredient.householdWeights.find((one) => /^envelope/.test(one.measure)) : undefined;
    // A sachet of dried yeast is 7 g on both shores (2 1/4 tsp in America); common practice, no source.
    if ((thing === "sachet" || thing === "packet") && ingredient.id === "yeast-dried")
      return isRange(amount)
        ? ranged(amount, "sachets", (n) => n * 7)
        : certainly(amount.high * 7, "7 g a sachet (common practice, no source)", undefined, ["a sachet of dried yeast is 7 g"]);
    if (envelope !== undefined && context.evidence.region === "us" && !context.evidence.mixed && !isRange(amount))
      return certainly(amount.high * envelope.grams, `${envelope.grams} g an envelope (${envelope.source})`);
    const packs = [
      ...(packsOf(ingredient.id, quantity.size) ??
        (thing === "bar" || thing === "block"
          ? [100, 200]
          : thing === "tin" || thing === "can"
            ? quantity.size === "small"
              ? [225, 160]
              : [400]
            : thing === "punnet"
              ? [200, 150, 300]
              : [])),
    ];
    // An American envelope holds a tablespoon; a British sachet sets a pint.
    if (envelope !== undefined && context.evidence.region === "us") packs.unshift(envelope.grams);
    else if (envelope !== undefined) packs.push(envelope.grams);
    return doubtfully(
      packs.map((grams) =>
        weight(amount.high * grams, `${grams} g a ${thing} (${grams === envelope?.grams ? envelope.source : "from memory"})`),
      ),
      `the size of the ${thing} is not given`,
    );
  }
  const single = thing === "ball" || thing === "piece" ? figureOf(ONE_FROM_MEMORY, ingredient.id) : undefined;
  if (single !== undefined)
    return doubtfully(
      [weight(amount.high * single, `${single} g each (from memory)`)],
      `the weight of one ${thing} is from memory`,
    );
  if (thing !== undefined) {
    const called = thing === "stick" ? /^(?:stick|stalk)/ : new RegExp(`^${thing}`);
    const sized = ingredient.householdWeights.filter((one) => called.test(one.measure.toLowerCase()));
    return doubtfully(
      sized.map((one) => weight((amount.high * one.grams) / one.amount, `${one.measure} = ${one.grams} g, ${one.source}`)),
      `the weight of one ${thing} of ${ingredient.name.toLowerCase()} is not sure`,
    );
  }
  return weighPieces(amount, quantity, ingredient, context);
}

/** Things counted one by one: "3 medium bananas", "8 dates", "2 carrots". */
function weighPieces(amount: Span, quantity: Quantity, ingredient: Ingredient, { words, evidence }: WeighContext): Weighing {
  const name = ingredient.name.toLowerCase();
  const { size } = quantity;
  // "ground hazelnuts 60": what is ground is not counted, and in a list of bare numbers much else is not
  const cut = /\b(?:ground|chopped|flaked|grated|crushed|pureed?|mashed)\b/.test(words) && ingredient.role === "nut";
  if (!isRange(amount) && ((cut && amount.high >= 5) || (evidence.unitless && amount.high >= 10)))
    return doubtfully([weight(amount.high, "read as grams")], "there is no unit; it is read as grams");
  const pieces = ingredient.householdWeights.filter(
    (one) =>
      !/^(?:cup|tbsp|tsp|tablespoon|teaspoon|fl oz|oz|quart|liter|slice|wedge|serving|NLEA|package|packet|envelope|stick|pat|dash|bar|container|half|strip|cubic|shot|jigger|spear)/i.test(
        one.measure,
      ),
  );
  const of = (word: string) => pieces.find((one) => one.measure.toLowerCase().startsWith(word));
  const grams = (one: HouseholdWeight) => one.grams / one.amount;
  const told = (one: HouseholdWeight) => `${one.amount === 1 ? "1" : one.amount} ${one.measure} = ${one.grams} g, ${one.source}`;
  const plain = pieces.filter((one) => !/^(?:extra )?(?:small|medium|large)|^jumbo/.test(one.measure.toLowerCase()));
  if (size !== undefined) {
    const sized = of(size);
    if (sized !== undefined) {
      if (isRange(amount)) return ranged(amount, "", (n) => n * grams(sized));
      return certainly(amount.high * grams(sized), told(sized), bandOf(amount.high * grams(sized), 25), [
        `a ${size} one is taken as ${trim(grams(sized))} g (${sized.source}); weigh it where it matters`,
      ]);
    }
    if (plain.length > 0) {
      const factor = size === "large" ? 1.25 : size === "small" ? 0.75 : size === "medium" ? 1 : 1.5;
      return doubtfully(
        [weight(amount.high * grams(plain[0]) * factor, `${told(plain[0])}, for ${size} taken times ${factor} (from memory)`)],
        `the table has no ${size} ${name}`,
      );
    }
  }
  const middleOne = of("medium");
  if (middleOne !== undefined) {
    const options = [middleOne, of("small"), of("large")].flatMap((one) =>
      one === undefined ? [] : [weight(amount.high * grams(one), told(one))],
    );
    if (isRange(amount)) return ranged(amount, "", (n) => n * grams(middleOne));
    return doubtfully(options, `the size of the ${name} is not given`);
  }
  // Dates of two kinds and berries of any size are counted, and only a single unsized figure is worth taking.
  const single = plain[0];
  if (single !== undefined) {
    if (isRange(amount)) return ranged(amount, "", (n) => n * grams(single));
    // A big fruit of the table's country may be half as heavy again as one here.
    const sure = plain.length === 1 && pieces.length === 1 && ingredient.id !== "dates" && grams(single) <= 100;
    if (sure)
      return certainly(amount.high * grams(single), told(single), bandOf(amount.high * grams(single), 30), [
        `one is taken as ${trim(grams(single))} g (${single.source})`,
      ]);
    return doubtfully(
      plain.map((one) => weight(amount.high * grams(one), told(one))),
      `the weight of one ${name} is not sure`,
    );
  }
  // SR28 12155: a cup of 50 walnut halves weighs 100 g; SR28 12142: 19 pecan halves weigh an ounce.
  const half = /\bhal(?:f|ves)\b/.test(words) ? figureOf({ walnuts: 2, pecans: 1.5 }, ingredient.id) : undefined;
  if (half !== undefined && !isRange(amount))
    return doubtfully([weight(amount.high * half, `${half} g a half (USDA SR28)`)], "halves of nuts differ in size");
  const memory = figureOf(ONE_FROM_MEMORY, ingredient.id);
  if (memory !== undefined) {
    return doubtfully(
      [weight(amount.high * memory, `${memory} g each (from memory)`)],
      `no table gives the weight of one ${name}`,
    );
  }
  // "butter 200": a bare number of something that is weighed
  const weighedThing = /^(?:flour|sugar|fat|dairy|liquid|raising|thickener|salt)$/.test(ingredient.role);
  if (!isRange(amount) && (amount.high >= 30 || (weighedThing && (amount.high >= 5 || evidence.unitless)))) {
    return doubtfully([weight(amount.high, "read as grams")], "there is no unit; it is read as grams");
  }
  return doubtfully([], "there is no unit, and this is not counted by the piece");
}
