import type { HouseholdWeight, Ingredient } from "../../ingredients/index.js";
import { type Band, type EggGrade, eggParts } from "../../quantities/index.js";
import { FOR_THE_BENCH } from "./benchWords.js";
import { type Evidence, unitMillilitres } from "./measures.js";
import type { Measured, Quantity, Span } from "./quantity.js";

/** One possible weight, with the reason that makes it possible. */
export interface WeightOption {
  /** Weight [g]; null where it is used and not weighed. */
  readonly grams: number | null;
  readonly why: string;
}

/** An amount as weights. */
export interface Weighing {
  /** Likeliest first; empty where nothing can be said. */
  readonly options: readonly WeightOption[];
  /** The first may be taken without asking. */
  readonly certain: boolean;
  /** What was assumed, or why it is not certain. */
  readonly reasons: readonly string[];
  readonly band?: Band;
}

export interface WeighContext {
  readonly evidence: Evidence;
  /** The grade of eggs in this bakery, for a list that does not name one. */
  readonly eggGrade: EggGrade | undefined;
  /** All words of the line, folded: "2 cups walnuts, chopped". */
  readonly words: string;
  /** The words before the first comma, folded: what was true when it was measured. */
  readonly headWords: string;
}

/** A kitchen's batch stays under this; a heavier line is a slip of the unit [g]. Assumption. */
const ABSURD_GRAMS = 100_000;

/** To a hundredth of a gram; less than that keeps two digits, so that a drop does not become nothing. */
export const roundGrams = (grams: number): number => (grams < 0.1 ? Number(grams.toPrecision(2)) : Math.round(grams * 100) / 100);
const round = roundGrams;
/** A figure by an id, which the baker may have named "constructor". */
const figureOf = <T>(figures: Readonly<Record<string, T>>, id: string): T | undefined =>
  Object.hasOwn(figures, id) ? figures[id] : undefined;
const middle = (span: Span) => (span.low + span.high) / 2;
const isRange = (span: Span) => span.high > span.low * 1.0001;
const weight = (grams: number, why: string): WeightOption => ({ grams: round(grams), why });
const certainly = (grams: number, why: string, band?: Band, reasons: readonly string[] = []): Weighing => ({
  options: [weight(grams, why)],
  certain: true,
  reasons,
  ...(band === undefined ? {} : { band }),
});
const doubtfully = (options: readonly WeightOption[], ...reasons: string[]): Weighing => ({ options, certain: false, reasons });
const bandOf = (grams: number, sharePercent: number): Band => ({
  likely: round(grams),
  from: round(grams * (1 - sharePercent / 100)),
  to: round(grams * (1 + sharePercent / 100)),
});

/**
 * Turns an amount of an ingredient into grams. Never throws; what cannot be weighed has no options.
 *
 * @param ingredient  undefined where the name is not known: then only weights can be told
 */
export function weigh(quantity: Quantity, ingredient: Ingredient | undefined, context: WeighContext): Weighing {
  const found = weighMeasured(quantity, ingredient, context);
  const doubts = quantity.doubts;
  let { options, certain } = found;
  const reasons = [...found.reasons];
  for (const doubt of doubts) {
    certain = false;
    reasons.push(doubt.why);
    const first = options[0]?.grams;
    if (first != null && Number.isFinite(doubt.otherFactor))
      options = [...options, weight(first * doubt.otherFactor, "the other way to read the number")];
  }
  const heaviest = options[0]?.grams ?? 0;
  if (heaviest > ABSURD_GRAMS) {
    certain = false;
    reasons.push(`${heaviest} g is more than a kitchen weighs out; check the unit`);
    options = [weight(heaviest / 1000, "if grams were meant where kilograms are written"), ...options];
  }
  return { options, certain, reasons, ...(found.band === undefined || !certain ? {} : { band: found.band }) };
}

function weighMeasured(quantity: Quantity, ingredient: Ingredient | undefined, context: WeighContext): Weighing {
  const { measured } = quantity;
  switch (measured.kind) {
    case "mass":
      return weighMass(measured, quantity, ingredient, context);
    case "volume":
      return weighVolume(measured, quantity, ingredient, context);
    case "count":
      return weighCount(measured, quantity, ingredient, context);
    case "vague":
      return weighVague(measured, quantity, ingredient, context);
    case "length":
      return weighLength(measured, ingredient);
    case "percent":
      return doubtfully([], "a percent, and the rest of the list is not in percent");
  }
}

function weighMass(
  measured: Measured & { kind: "mass" },
  quantity: Quantity,
  ingredient: Ingredient | undefined,
  { evidence, words }: WeighContext,
): Weighing {
  const { grams } = measured;
  if (isRange(grams)) return ranged(grams, "g");
  const asWritten = weight(grams.high, "as written");
  // Weights of tinned food are often those with the juice.
  if (/\bdrained\b/.test(words) && /^(?:tin|can|jar)$/.test(quantity.container ?? "") && !quantity.fills.includes("drained")) {
    return doubtfully(
      [asWritten, weight(grams.high * 0.6, "drained, about 60 % of the tin (from memory)")],
      "the tin's weight may be with its juice, and it is drained",
    );
  }
  // Shell share: 8.1 to 12.4 % of the egg, the middle of two sources (see eggParts).
  if (ingredient?.role === "egg" && /\bin (?:the |their |its )?shells?\b/.test(words)) {
    return doubtfully(
      [weight(grams.high * 0.8935, "without shell, 10.65 % less"), weight(grams.high, "as written, if shelled")],
      "the weight is that of eggs in their shells",
    );
  }
  if (measured.fluidLikely && isThinLiquid(ingredient)) {
    const fluid = unitMillilitres("fluid-ounce", evidence)[0];
    const density = densityOf(ingredient);
    if (evidence.system !== "metric" && density !== undefined) {
      const ounces = grams.high / 28.349523125;
      return doubtfully(
        [asWritten, weight(ounces * fluid.ml * density, `as fluid ounces (${fluid.name})`)],
        "ounces of a liquid may be fluid ounces",
      );
    }
  }
  return { options: [asWritten], certain: true, reasons: [] };
}

function ranged(span: Span, unit: string, toGrams: (value: number) => number = (value) => value): Weighing {
  return doubtfully(
    [
      weight(toGrams(middle(span)), "the middle"),
      weight(toGrams(span.low), "the lower end"),
      weight(toGrams(span.high), "the upper end"),
    ],
    `a range, ${trim(span.low)} to ${trim(span.high)}${unit === "" ? "" : ` ${unit}`}`,
  );
}

const trim = (value: number) => String(Math.round(value * 100) / 100);

const isThinLiquid = (ingredient: Ingredient | undefined) =>
  ingredient !== undefined &&
  (ingredient.role === "liquid" ||
    /^(?:milk-whole|milk-semi|milk-skimmed|buttermilk$|buttermilk-whole|heavy-cream|double-cream|single-cream|whipping-cream|half-and-half|light-cream)/.test(
      ingredient.id,
    ));

const densityOf = (ingredient: Ingredient | undefined) =>
  ingredient?.densityGPerMl.known === true ? ingredient.densityGPerMl.value : undefined;
const isStandIn = (ingredient: Ingredient) => ingredient.densityGPerMl.known && /^stand-in/.test(ingredient.densityGPerMl.source);
const pours = (ingredient: Ingredient) =>
  (densityOf(ingredient) ?? 0) > 0.86 && ingredient.role !== "raising" && ingredient.role !== "salt";

/** A powder, seed or fruit: its weight by volume hangs on how the measure was filled. */
export const isDry = (ingredient: Ingredient): boolean => !pours(ingredient);

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

function weighVolume(
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
  if (Math.max(...values) / Math.min(...values) < 1.08) return weights.slice(0, 1);
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

type EggPart = "whole" | "white" | "yolk";

function eggPart(id: string): EggPart | undefined {
  if (id === "egg-whole" || id === "egg-whole-uk") return "whole";
  if (id === "egg-white" || id === "egg-white-uk") return "white";
  return id === "egg-yolk" || id === "egg-yolk-uk" ? "yolk" : undefined;
}

const UK_GRADES = { small: "S", medium: "M", large: "L", "extra large": "XL", jumbo: "XL" } as const;
const US_GRADES = { small: "small", medium: "medium", large: "large", "extra large": "extra-large", jumbo: "jumbo" } as const;
type SizeWord = keyof typeof UK_GRADES;
const isSizeWord = (word: string | undefined): word is SizeWord => word !== undefined && word in UK_GRADES;

const gradeName = (egg: EggGrade) =>
  `${egg.scheme === "us" ? "US" : "UK"} ${egg.scheme === "us" ? egg.grade : { S: "small", M: "medium", L: "large", XL: "very large" }[egg.grade]}`;

function weighEggs(amount: Span, size: string | undefined, part: EggPart, { evidence, eggGrade, words }: WeighContext): Weighing {
  const one = (egg: EggGrade): EggKind => {
    const parts = eggParts(egg);
    const which =
      part === "whole"
        ? ["edibleGrams", parts.edibleGrams]
        : part === "white"
          ? ["whiteGrams", parts.whiteGrams]
          : ["yolkGrams", parts.yolkGrams];
    return { grams: which[1] as number, band: parts.bands[which[0] as "edibleGrams"], name: gradeName(egg) };
  };
  const uk = (word: SizeWord): EggGrade => ({ scheme: "uk", grade: UK_GRADES[word] });
  const us = (word: SizeWord): EggGrade => ({ scheme: "us", grade: US_GRADES[word] });
  const named = isSizeWord(size) ? size : undefined;
  // "egg whites 160" in a list of bare numbers: nobody cracks a gross of eggs
  const most = evidence.unitless ? 9 : 48;
  if (amount.high > most && named === undefined && !isRange(amount)) {
    const each = one(eggGrade ?? { scheme: "uk", grade: "M" }).grams;
    const options = [weight(amount.high, "read as grams"), weight(amount.high * each, `that many, ${trim(each)} g each`)];
    return doubtfully(options, "there is no unit; is it grams, or a number of eggs?");
  }
  // British sizes before 1998, in the shell: size 3 was 60 to 65 g, each number 5 g less (from memory)
  const old = /\bsize ([1-7])\b/.exec(words);
  if (named === undefined && old !== null && part === "whole") {
    const grams = (77.5 - 5 * Number(old[1])) * 0.8935;
    return doubtfully(
      [weight(amount.high * grams, `${trim(grams)} g each: old British size ${old[1]}, without shell (from memory)`)],
      "the size is of the old British numbers",
    );
  }
  let grades: readonly EggGrade[];
  const reasons: string[] = [];
  let certain = true;
  if (named === undefined && eggGrade !== undefined) {
    grades = [eggGrade];
    reasons.push(`no size is given; your bakery's eggs are ${gradeName(eggGrade)}`);
  } else if (evidence.system === "us") {
    grades = [us(named ?? "large")];
    if (named === undefined) reasons.push("no size is given; American lists mean large eggs");
  } else if (named === undefined) {
    // Between the two grades that are sold most: asked at every list it would only tire, and neither is a tenth away.
    const ours = evidence.mixed || evidence.system === "australian" ? [uk("large"), us("large")] : [uk("large"), uk("medium")];
    return unsizedEggs(amount, ours.map(one), part);
  } else if (evidence.mixed || evidence.system === "australian") {
    certain = false;
    grades = evidence.region === "us" ? [us(named), uk(named)] : [uk(named), us(named)];
    reasons.push("egg sizes differ between countries, and the list does not say which it uses");
  } else {
    grades = [uk(named)];
    if (!evidence.stated)
      reasons.push(`read as eggs of the UK and EU grade (${gradeName(grades[0])}); a US ${named} egg is lighter`);
  }
  const kinds = grades.map(one);
  if (isRange(amount)) return ranged(amount, "eggs", (count) => count * kinds[0].grams);
  const label = part === "whole" ? "egg without shell" : `egg ${part}`;
  const options = kinds.map((kind) => weight(amount.high * kind.grams, `${trim(kind.grams)} g each (${kind.name}, ${label})`));
  const { band } = kinds[0];
  return {
    options,
    certain,
    reasons,
    ...(certain
      ? { band: { likely: options[0].grams!, from: round(amount.high * band.from), to: round(amount.high * band.to) } }
      : {}),
  };
}

interface EggKind {
  readonly grams: number;
  readonly band: Band;
  readonly name: string;
}

/** Eggs whose size nobody named: the middle of two grades, with a band from the lightest of one to the heaviest of the other. */
function unsizedEggs(amount: Span, kinds: readonly EggKind[], part: EggPart): Weighing {
  const each = kinds.reduce((sum, kind) => sum + kind.grams, 0) / kinds.length;
  const label = part === "whole" ? "egg without shell" : `egg ${part}`;
  const names = kinds.map((kind) => `${kind.name} ${trim(kind.grams)} g`).join(", ");
  if (isRange(amount)) return ranged(amount, "eggs", (count) => count * each);
  const likely = round(amount.high * each);
  const [from, to] = [Math.min(...kinds.map((kind) => kind.band.from)), Math.max(...kinds.map((kind) => kind.band.to))];
  return {
    options: [
      weight(likely, `${trim(each)} g each, between two grades (${label})`),
      ...kinds.map((kind) => weight(amount.high * kind.grams, `${trim(kind.grams)} g each (${kind.name}, ${label})`)),
    ],
    certain: true,
    reasons: [`no size is given; the middle of two grades is taken (${names}): set your bakery's grade, or weigh them`],
    band: { likely, from: round(amount.high * from), to: round(amount.high * to) },
  };
}

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

function weighCount(
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

function weighVague(
  measured: Measured & { kind: "vague" },
  quantity: Quantity,
  ingredient: Ingredient | undefined,
  context: WeighContext,
): Weighing {
  const { thing, amount } = measured;
  const density = densityOf(ingredient);
  const unweighed: WeightOption = { grams: null, why: "used and not weighed" };
  // "A knob of butter for the tin": it goes into no batter
  if (FOR_THE_BENCH.test(context.words))
    return { options: [unweighed], certain: true, reasons: ["no amount is given; it is kept without a weight"] };
  const byMl = (...millilitres: number[]) =>
    density === undefined ? [] : millilitres.map((ml) => weight(amount.high * ml * density, `${ml} ml (from memory)`));
  switch (thing) {
    case "pinch":
    case "smidgen": {
      const big = quantity.size === "large" || quantity.fills.includes("generous") || quantity.fills.includes("good") ? 1.5 : 1;
      const half = thing === "smidgen" ? 0.5 : 1;
      const dash = ingredient?.householdWeights.find((one) => one.measure === "dash");
      const grams = dash !== undefined ? dash.grams : density === undefined ? undefined : (5 / 16) * density;
      if (grams === undefined || ingredient?.role === "sugar" || ingredient?.role === "flour")
        return doubtfully(
          grams === undefined ? [unweighed] : [weight(amount.high * grams * big * half, "a sixteenth of a teaspoon")],
          "a pinch is hardly a weight",
        );
      const total = amount.high * grams * big * half;
      return certainly(
        total,
        dash === undefined
          ? "a sixteenth of a teaspoon (common practice, no source)"
          : `a dash of ${dash.grams} g, ${dash.source}`,
        bandOf(total, 50),
        ["a pinch is about a sixteenth of a teaspoon"],
      );
    }
    case "drop":
      return density === undefined
        ? doubtfully([unweighed], "a drop is hardly a weight")
        : certainly(
            amount.high * 0.05 * density,
            "a twentieth of a millilitre a drop (common practice, no source)",
            bandOf(amount.high * 0.05 * density, 50),
          );
    case "some":
    case "a little":
    case "a few":
    case "a few drop":
    case "a few pinch":
    case "sprinkle":
    case "drizzle":
    case "grating":
      return { options: [unweighed], certain: true, reasons: ["no amount is given; it is kept without a weight"] };
    case "knob":
    case "thumb":
      return doubtfully(
        [...[15, 25, 10].map((grams) => weight(amount.high * grams, `${grams} g (from memory)`)), unweighed],
        `a ${thing} is no weight`,
      );
    case "handful":
      return doubtfully(
        [...[30, 50, 20].map((grams) => weight(amount.high * grams, `${grams} g (from memory)`)), unweighed],
        "a handful is no weight",
      );
    case "splash":
    case "glug":
    case "dollop":
      return doubtfully([...byMl(15, 30, 5), unweighed], `a ${thing} is no weight`);
    case "dash":
      if (ingredient !== undefined && !pours(ingredient) && density !== undefined) {
        const grams = amount.high * 0.6 * density;
        return certainly(grams, "an eighth of a teaspoon (common practice, no source)", bandOf(grams, 50), [
          "a dash of a powder is about an eighth of a teaspoon",
        ]);
      }
      return doubtfully([...byMl(2.5, 0.6, 5), unweighed], "a dash is no weight");
    case "squeeze":
      return doubtfully([...byMl(5, 10), unweighed], "a squeeze is no weight");
    case "spoon":
      return doubtfully(byMl(15, 5, 10), "the list does not say which spoon");
    case "capful":
      return doubtfully(byMl(5, 2.5), "a capful is no weight");
    case "mug":
    case "glass":
      return doubtfully(byMl(250, 300, 200), `a ${thing} has no fixed size`);
    case "part":
      return doubtfully([], "parts need a whole: give one of them in grams");
    default:
      return doubtfully([unweighed], `"${thing}" is no weight`);
  }
}

function weighLength(measured: Measured & { kind: "length" }, ingredient: Ingredient | undefined): Weighing {
  if (ingredient === undefined) return doubtfully([], "a length of something that is not in the book");
  const inches = middle(measured.amount) / (measured.unit === "cm" ? 2.54 : measured.unit === "mm" ? 25.4 : 1);
  if (ingredient.id !== "ginger-root") return doubtfully([], `a length of ${ingredient.name.toLowerCase()} cannot be weighed`);
  return doubtfully(
    [weight(inches * 15, "15 g an inch of root, 6 g a centimetre (from memory)"), weight(inches * 8, "a thin piece")],
    "a piece of root has no fixed weight",
  );
}
