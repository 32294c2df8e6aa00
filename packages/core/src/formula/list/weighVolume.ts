import type { HouseholdWeight, Ingredient } from "../../ingredients/index.js";
import { unitMillilitres } from "./measures.js";
import type { Span } from "./numbers.js";
import type { Measured, Quantity } from "./quantity.js";
import {
  bandOf,
  densityOf,
  doubtfully,
  figureOf,
  isRange,
  isStandIn,
  pours,
  ranged,
  type WeighContext,
  type Weighing,
  type WeightOption,
  weight,
} from "./weighing.js";

const SPOON_NAMES: Readonly<Record<string, RegExp>> = {
  tablespoon: /^(?:tbsp|tablespoon)\b/,
  teaspoon: /^(?:tsp|teaspoon)\b/,
};

/** The share of words in a portion's name that the line has too; "cup, chopped" for "1 cup chopped walnuts". */
function portionFits(portion: HouseholdWeight, words: string): number {
  const named = portion.measure
    .toLowerCase()
    .replace(/^(?:cups?|tbsp|tsp|tablespoons?|teaspoons?)\b/, "")
    .replace(/[^a-z ]+/g, " ")
    .trim();
  if (named === "") return 0;
  const negative = /\bnot\b/.test(named);
  if (negative) return 0;
  const list = named.split(/ +/).filter((word) => word.length > 3);
  const hits = list.filter((word) =>
    word === "grated" ? /\b(?:grated|shredded)/.test(words) : new RegExp(`\\b${word.replace(/s$/, "")}`).test(words),
  ).length;
  return list.length === 0 ? 0 : hits / list.length;
}

/** What is usual where the list says nothing: unsifted, not pressed down, in liquid form. */
const USUAL_PORTION = /unsifted|not packed|fluid|without pits|pitted|large curd|^cup packed|^tsp packed|, chopped/;
const UNLIKELY_PORTION = /whipped|with pits|with hulls|in shell|brownulated|pureed/;

export function weighVolume(
  measured: Measured & { kind: "volume" },
  quantity: Quantity,
  ingredient: Ingredient | undefined,
  context: WeighContext,
): Weighing {
  if (ingredient === undefined) return doubtfully([], "a volume of something that is not in the book cannot be weighed");
  const { evidence } = context;
  const readings = measured.parts.map((part) => unitMillilitres(part.unit, evidence));
  const most = Math.max(...readings.map((list) => list.length));
  const wanted: { span: Span; name: string }[] = [];
  for (let turn = 0; turn < most; turn += 1) {
    const span = { low: 0, high: 0 };
    measured.parts.forEach((part, at) => {
      const { ml } = readings[at][Math.min(turn, readings[at].length - 1)];
      span.low += part.amount.low * ml;
      span.high += part.amount.high * ml;
    });
    wanted.push({ span, name: readings.find((list) => list.length > 1)?.[turn]?.name ?? readings[0][0].name });
  }
  const [first] = wanted;
  const unit = measured.parts[0].unit;
  // A packet of 7 g is 2 1/4 teaspoons on every American packet; SR28's teaspoon of 4 g does not go with its own packet.
  if (ingredient.id === "yeast-dried" && /spoon/.test(unit) && !isRange(first.span) && quantity.fills.length === 0) {
    const grams = (first.span.high / 4.929) * (7 / 2.25);
    return doubtfully(
      [weight(grams, "7 g to 2 1/4 teaspoons (common practice, no source)"), weight(grams * 1.29, "4 g a teaspoon (SR28 18375)")],
      "a spoon of dried yeast weighs 3 to 4 g",
    );
  }
  const isCup = unit === "cup" || unit === "us-cup" || unit === "metric-cup";
  const isSpoon = unit === "tablespoon" || unit === "teaspoon" || unit === "dessertspoon" || unit === "au-tablespoon";
  const densities = gramsPerMl(
    ingredient,
    isCup ? "cup" : isSpoon ? (unit === "teaspoon" ? "teaspoon" : "tablespoon") : "ml",
    context,
    quantity,
  );
  if (densities.length === 0) {
    const memory = figureOf(DENSITY_FROM_MEMORY, ingredient.id);
    const why = `there is no weight for a volume of ${ingredient.name}`;
    return memory === undefined
      ? doubtfully([], why)
      : doubtfully(
          [weight(first.span.high * memory, `${memory} g a millilitre (from memory)`)],
          `${why}; one from memory is offered`,
        );
  }
  const [density] = densities;
  const why = (name: string, source: string) => `${name}; ${source}`;
  if (isRange(first.span)) return ranged(first.span, "ml", (ml) => ml * density.value);
  const fill = fillOptions(quantity.fills);
  const options: WeightOption[] = [];
  for (const { span, name } of wanted) {
    for (const one of densities) {
      if (options.length > 0 && name !== first.name && one !== density) continue;
      options.push(weight(span.high * one.value * (fill[0]?.factor ?? 1), why(name, one.source)));
    }
  }
  for (const more of fill.slice(1)) options.push(weight(first.span.high * density.value * more.factor, more.why));
  const reasons: string[] = [];
  let certain = true;
  const spread = Math.max(...wanted.map((one) => one.span.high)) / Math.min(...wanted.map((one) => one.span.high));
  if (spread > 1.01) {
    certain = false;
    reasons.push(`${evidence.why.replace(/\.$/, "")}: ${wanted.map((one) => one.name).join(" or ")}`);
  }
  if (fill.length > 0) {
    certain = false;
    reasons.push(fill[0].why);
  }
  if (densities.length > 1) {
    certain = false;
    reasons.push(`the weight of a cup of ${ingredient.name.toLowerCase()} hangs on how it was filled`);
  }
  const standIn = isStandIn(ingredient) && density.fromDensity;
  const smallMl = unit === "ml" && first.span.high <= 30;
  // What pours like the ingredient it stands for is within 3 % of it; a powder is not.
  if (standIn && !isSpoon && !smallMl && !pours(ingredient)) {
    certain = false;
    reasons.push(`the weight by volume is that of a like ingredient (${density.source})`);
  } else if (standIn) reasons.push(`the weight of a spoon is that of a like ingredient (${density.source})`);
  // 2.5, 5, 10 and 15 ml are metric spoons; more of a dry thing by the millilitre was filled somehow.
  const solidByMl = !isCup && !isSpoon && !pours(ingredient) && first.span.high > 30;
  if (solidByMl) {
    certain = false;
    reasons.push("a dry ingredient by volume: how it was filled matters");
  }
  if (
    isCup &&
    /\bsifted|sieved\b/.test(context.headWords) &&
    !/unsifted/.test(context.headWords) &&
    !/sifted/.test(density.source)
  ) {
    certain = false;
    reasons.push("a cup of sifted flour or sugar is lighter than a dipped one");
    options.push(weight(first.span.high * density.value * 0.88, "sifted before measuring, about 12 % lighter (from memory)"));
    options.reverse();
  }
  if (isSpoon && ingredient.role === "salt" && /\b(?:flak|kosher|coarse|rock)/.test(context.words)) {
    certain = false;
    reasons.push("flaky and coarse salts weigh half to four fifths of fine salt by the spoon");
    options.push(weight(first.span.high * density.value * 0.5, "flaky salt, about half (from memory)"));
  }
  // Herbs and peels apart, two spoons of one baker differ by a tenth and more: common practice, no source.
  const share = pours(ingredient) ? 3 : isCup ? 12 : 15;
  return { options, certain, reasons, ...(certain ? { band: bandOf(options[0].grams!, share) } : {}) };
}

/** Weight of a millilitre as it lies in a spoon or a cup, where no table has it [g/mL]. From memory, all of it: always asked. */
const DENSITY_FROM_MEMORY: Readonly<Record<string, number>> = {
  "chia-seeds": 0.7,
  agar: 0.5,
  pectin: 0.6,
  "mixed-peel": 0.65,
  "candied-fruit": 0.65,
  "glace-cherries": 0.7,
  cashews: 0.55,
  "wheat-gluten": 0.5,
  "egg-white-dried": 0.45,
  "suet-shredded": 0.5,
  "dates-medjool": 0.65,
  "yeast-fresh": 0.8,
};

interface VolumeWeight {
  /** [g/mL] */
  readonly value: number;
  readonly source: string;
  readonly fromDensity: boolean;
}

/** Weight of a millilitre in a cup or spoon: from the table's own cup or spoon where it has one, else from the density. */
function gramsPerMl(
  ingredient: Ingredient,
  unit: "cup" | "tablespoon" | "teaspoon" | "ml",
  context: WeighContext,
  quantity: Quantity,
): readonly VolumeWeight[] {
  const density = densityOf(ingredient);
  const byDensity: readonly VolumeWeight[] =
    density === undefined
      ? []
      : [{ value: density, source: ingredient.densityGPerMl.known ? ingredient.densityGPerMl.source : "", fromDensity: true }];
  if (unit === "ml") return byDensity;
  const usMl = { cup: 236.5882365, tablespoon: 14.78676478125, teaspoon: 4.92892159375 };
  const pattern = unit === "cup" ? /^cups?\b/ : SPOON_NAMES[unit];
  const portions = ingredient.householdWeights.filter((one) => pattern.test(one.measure));
  const shaped = shapeOfAlmonds(ingredient.id, unit, context.words);
  if (shaped !== undefined) return [{ ...shaped, value: shaped.value / usMl.cup, fromDensity: false }];
  const toWeight = (portion: HouseholdWeight): VolumeWeight => ({
    value: portion.grams / portion.amount / usMl[unit],
    source: `${portion.amount === 1 ? "1" : portion.amount} ${portion.measure} = ${portion.grams} g, ${portion.source}`,
    fromDensity: false,
  });
  // Where a liquid's own density is known, it beats a rounded spoon.
  if (portions.length === 0 || (unit !== "cup" && pours(ingredient) && byDensity.length > 0)) return byDensity;
  if (portions.length === 1) {
    const [only] = portions;
    const qualified = /chopped|grated|sliced|slices|halves|cubes|chunks|pieces|sections|mashed|diced|shredded|chips/.test(
      only.measure,
    );
    if (qualified && unit === "cup" && portionFits(only, context.headWords) === 0 && byDensity.length > 0) {
      // "cup, chopped" for whole fruit: the only figure, and said so
      return [
        toWeight(only),
        { value: toWeight(only).value * 0.85, source: "in larger pieces, about 15 % lighter (from memory)", fromDensity: false },
      ];
    }
    // Dipped and swept is the table's way; a cup of soft flour that was spooned in or sifted is a sixth lighter.
    if (unit === "cup" && /dipped/.test(only.measure))
      return [
        toWeight(only),
        {
          value: toWeight(only).value * 0.84,
          source: "spooned in or sifted, about 16 % lighter (from memory)",
          fromDensity: false,
        },
      ];
    return [toWeight(only)];
  }
  const words = `${context.headWords} ${quantity.fills.join(" ")}`;
  const likely = portions.filter((one) => {
    const unlikely = UNLIKELY_PORTION.exec(one.measure);
    // "whipped" and "pureed" may be said; nuts in their shells and cherries with their stones are no cake's
    return unlikely === null || (/whipped|pureed/.test(unlikely[0]) && portionFits(one, words) > 0);
  });
  const pool = likely.length > 0 ? likely : portions;
  const scored = pool.map((one) => ({ one, fit: portionFits(one, words) })).sort((a, b) => b.fit - a.fit);
  if (scored[0].fit > 0 && (scored.length === 1 || scored[0].fit > (scored[1]?.fit ?? 0))) {
    // "packed" must not be met by "unpacked"
    return [toWeight(scored[0].one)];
  }
  // Nobody says "whole" of what nobody has cut.
  const whole = pool.find((one) => /\bwhole\b/.test(one.measure));
  if (
    whole !== undefined &&
    !/\b(?:chopp|slic|halve|half|quarter|ground|grated|crush|puree|mash|dice|pieces|sliver|flake|mince|broken)/.test(
      context.words,
    )
  )
    return [toWeight(whole)];
  const weights = pool.map(toWeight);
  const usual = pool.findIndex((one) => USUAL_PORTION.test(one.measure));
  if (usual > 0) weights.unshift(...weights.splice(usual, 1));
  const values = weights.map((one) => one.value);
  if (Math.max(...values) / Math.min(...values) < 1.12) return weights.slice(0, 1);
  // An American cup of brown sugar is packed (common practice, no source); elsewhere it is asked about.
  const packed = pool.find((one) => /^cup packed/.test(one.measure));
  if (
    packed !== undefined &&
    /brown-sugar/.test(ingredient.id) &&
    context.evidence.region === "us" &&
    !context.evidence.mixed &&
    !/loose|unpacked|not packed/.test(words)
  )
    return [toWeight(packed)];
  // Icing sugar and raisins have a usual way; brown sugar by the cup is packed, and by the spoon hardly matters.
  if (usual >= 0 && /unsifted|not packed|fluid|without pits|pitted/.test(pool[usual].measure) && !/\bsifted|sieved\b/.test(words))
    return weights.slice(0, 1);
  return weights;
}

/** Blanched almonds are weighed whole by the table; cut, they take up the room that almonds in their skins do. */
function shapeOfAlmonds(id: string, unit: string, words: string): { value: number; source: string } | undefined {
  if (id !== "almonds-blanched" || unit === "ml") return undefined;
  const source = (shape: string, grams: number) => ({
    value: grams,
    source: `1 cup, ${shape} = ${grams} g, USDA SR28 12061 Nuts, almonds`,
  });
  if (/\b(?:sliced|flaked|flakes|shaved)\b/.test(words)) return source("sliced", 92);
  if (/\b(?:slivered|slivers|chopped|nibbed)\b/.test(words)) return source("slivered", 108);
  return /\bground\b/.test(words) ? source("ground", 95) : undefined;
}

/** "Heaped", "scant": factors on a level measure, likeliest first. From memory: a heaped spoon holds up to twice a level one. */
function fillOptions(fills: readonly string[]): readonly { factor: number; why: string }[] {
  const has = (...words: string[]) => words.some((word) => fills.includes(word));
  if (has("heaped", "heaping", "brimming")) {
    return [
      { factor: 1.75, why: "heaped, about one and three quarters of a level measure (from memory)" },
      { factor: 2, why: "heaped as twice a level one" },
      { factor: 1.5, why: "heaped as half as much again" },
      { factor: 1, why: "read as level" },
    ];
  }
  if (has("rounded")) {
    return [
      { factor: 1.5, why: "rounded, about half as much again as level (from memory)" },
      { factor: 1, why: "read as level" },
      { factor: 2, why: "as twice a level one" },
    ];
  }
  if (has("generous", "good")) {
    return [
      { factor: 1.1, why: "generous, about a tenth more (from memory)" },
      { factor: 1, why: "read as level" },
      { factor: 1.25, why: "a quarter more" },
    ];
  }
  if (has("scant")) {
    return [
      { factor: 0.9, why: "scant, about a tenth less (from memory)" },
      { factor: 1, why: "read as level" },
    ];
  }
  return [];
}
