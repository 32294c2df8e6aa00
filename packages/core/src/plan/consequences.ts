import { bakeOfComponent, predictBake } from "../bake/index.js";
import {
  type AllergenSummary,
  balanceOf,
  type Composition,
  composeFormula,
  perPortion,
  softnessOf,
  sugarInWater,
} from "../composition/index.js";
import { type Component, compareFormulas, type Formula } from "../formula/index.js";
import { formatAllergen, type IngredientBook, type Nutrient } from "../ingredients/index.js";
import { type ComponentKeeping, type Keeping, type KeepOptions, keepFormula } from "../keeping/index.js";
import { costBatch, formatMoney, minorPerMajor, type PriceInputs } from "../price/index.js";
import { type Band, formatMinutes, formatPercent } from "../quantities/index.js";
import { type NamedTin, tinFilling } from "../tins/index.js";
import { driversOf, listed, type ShareChange, shareSentence } from "./changeReasons.js";

export type ConsequenceTopic =
  | "composition"
  | "ratio"
  | "softness"
  | "setting"
  | "bake"
  | "keeping"
  | "allergens"
  | "energy"
  | "cost";

/** One figure, before and after. */
export interface Consequence {
  readonly topic: ConsequenceTopic;
  /** Component, or the name of the whole formula. */
  readonly where: string;
  /** "fat in 100 g of the mix", "water activity". */
  readonly what: string;
  readonly unit: string;
  /** Undefined where there is none. Words where the figure is no number ("chilled"). */
  readonly before: number | string | undefined;
  readonly after: number | string | undefined;
  /** After less before; undefined unless both are numbers. */
  readonly change: number | undefined;
  readonly bandBefore?: Band;
  readonly bandAfter?: Band;
  /** A change smaller than this says nothing: what the difference of the two is not known better than. */
  readonly uncertainty: number | undefined;
  /** Whether the change is larger than that; words that differ always are. */
  readonly exceeds: boolean;
}

export interface ConsequenceReport {
  readonly same: boolean;
  readonly changed: readonly string[];
  readonly held: readonly string[];
  /** Plain sentences, what matters most first; only of changes that exceed what they are unsure by. */
  readonly sentences: readonly string[];
  /** Every figure, also those that stayed. */
  readonly consequences: readonly Consequence[];
  /** What could not be compared, and why. */
  readonly missing: readonly string[];
}

export interface ConsequenceOptions {
  /** Predict the bake of each cake that names a tin and an oven, at coarse accuracy. */
  readonly bake?: boolean;
  readonly ownedTins?: readonly NamedTin[];
  readonly keep?: KeepOptions;
  /** With it the cost of a batch is compared. */
  readonly price?: PriceInputs;
}

/** Below these a difference says nothing; each is the best of what the model or table can tell apart. */
const UNSURE = {
  /** Tables print one decimal [g in 100 g]. */
  share: 0.1,
  /** Points of percent. */
  ratio: 0.5,
  /** Both sides carry the same error of the model, so half the band of one is taken (assumption). */
  activity: 0.01,
  /** Kelvin; the curve is good to 4, its slope to much less (assumption). */
  setting: 1,
  /** Share of the bake time that two bakes of one oven differ by (assumption). */
  bakeTime: 0.05,
  /** Points of percent of the weight. */
  loss: 0.3,
  heightMm: 2,
  /** kJ in 100 g, a declaration's step. */
  energyKj: 10,
} as const;

/**
 * What a change does, before anything is baked: every figure that follows from two revisions, side by side, with what it is
 * unsure by, and plain sentences with the reason.
 *
 * Both sides are worked out by the same models, so an error of a model moves both: a difference is surer than either figure.
 * Components are compared where both formulas have them by that name.
 */
export function consequences(
  before: Formula,
  after: Formula,
  book: IngredientBook,
  options: ConsequenceOptions = {},
): ConsequenceReport {
  const comparison = compareFormulas(before, after, book);
  const summary = comparison.summary;
  const isHeld = (line: string) => /(^|: )Kept: /.test(line);
  const figures: Consequence[] = [];
  const sentences: string[] = [];
  const missing: string[] = [];
  const [old, now] = [composeFormula(before, book), composeFormula(after, book)];

  // Renamed components are found again by what is in them.
  const pairs = comparison.components.flatMap(({ name }) =>
    name.before === null || name.after === null ? [] : [{ before: name.before, after: name.after }],
  );
  for (const pair of pairs) {
    const at = before.components.findIndex(({ name }) => name === pair.before);
    const place = after.components.findIndex(({ name }) => name === pair.after);
    const [component, other] = [before.components[at]!, after.components[place]!];
    const [mixed, mixedNow] = [old.components[at]!.mixed, now.components[place]!.mixed];
    const where = component.kind === "cake" ? "the batter" : component.name;
    composition(component.name, where, mixed, mixedNow);
    if (component.kind === "cake" && other.kind === "cake") {
      ratios(component, other);
      setting(component.name, mixed, mixedNow);
      if (options.bake === true) bake(component, other);
    }
    softness(component, other);
  }
  keeping();
  allergens(old.product.allergens, now.product.allergens);
  energy();
  if (options.price !== undefined) cost(options.price);
  for (const { name } of comparison.components) {
    if (name.before === null || name.after === null)
      missing.push(`${name.before ?? name.after} is in one of the two only; its own figures have nothing beside them.`);
  }

  return {
    same: comparison.same,
    changed: summary.filter((line) => !isHeld(line)),
    held: summary.filter(isHeld),
    sentences,
    consequences: figures,
    missing: [...new Set(missing)],
  };

  function note(figure: Omit<Consequence, "change" | "exceeds">): Consequence {
    const { before: one, after: other, uncertainty } = figure;
    const change = typeof one === "number" && typeof other === "number" ? other - one : undefined;
    const exceeds =
      change !== undefined ? Math.abs(change) > (uncertainty ?? 0) + 1e-9 : one !== other && (one ?? other) !== undefined;
    const whole = { ...figure, change, exceeds };
    figures.push(whole);
    return whole;
  }

  function composition(where: string, mixWords: string, one: Composition, other: Composition): void {
    const shares: ShareChange[] = [];
    for (const nutrient of SHOWN) {
      const share = (mix: Composition) => (mix.totalGrams > 0 ? (100 * mix.totals[nutrient].amount) / mix.totalGrams : undefined);
      const gaps = [one, other].flatMap((mix) => mix.totals[nutrient].missing);
      const heavy = gaps.filter(({ useGrams }) => useGrams > 0.02 * Math.max(one.totalGrams, other.totalGrams));
      if (heavy.length > 0)
        missing.push(`${where}: no figure for ${nutrient} of ${[...new Set(heavy.map(({ name }) => name))].join(", ")}.`);
      const figure = note({
        topic: "composition",
        where,
        what: `${nutrient} in 100 g of the mix`,
        unit: "g",
        before: share(one),
        after: share(other),
        uncertainty: UNSURE.share,
      });
      if (Math.abs(figure.change ?? 0) >= WORTH_TELLING && heavy.length === 0 && TOLD.has(nutrient))
        shares.push({ nutrient, change: figure.change!, drivers: driversOf(nutrient, one, other) });
    }
    shares.sort((a, b) => Math.abs(b.change) - Math.abs(a.change));
    if (shares.length > 0) sentences.push(shareSentence(mixWords, shares.slice(0, 3), book));
    const total = note({
      topic: "composition",
      where,
      what: "weight of the mix",
      unit: "g",
      before: one.totalGrams,
      after: other.totalGrams,
      uncertainty: 0.5,
    });
    if (Math.abs(total.change ?? 0) >= 0.01 * one.totalGrams && total.exceeds)
      sentences.push(`${where}: ${Math.abs(total.change!).toFixed(0)} g ${total.change! > 0 ? "more" : "less"} of it in all.`);
  }

  function ratios(one: Component, other: Component): void {
    const [first, second] = [balanceOf(one, book), balanceOf(other, book)];
    first.ratios.forEach((ratio, index) => {
      const next = second.ratios[index]!;
      note({
        topic: "ratio",
        where: one.name,
        what: ratio.words,
        unit: "%",
        before: ratio.percent ?? undefined,
        after: next.percent ?? undefined,
        uncertainty: UNSURE.ratio,
      });
      if (ratio.stands !== next.stands && (next.stands === "above" || next.stands === "below")) sentences.push(next.sentence);
    });
  }

  function setting(where: string, one: Composition, other: Composition): void {
    const [first, second] = [sugarInWater(one), sugarInWater(other)];
    const percent = (share: number | null) => (share === null ? undefined : share * 100);
    note({
      topic: "setting",
      where,
      what: "sugar in sugar and water",
      unit: "%",
      before: percent(first.share),
      after: percent(second.share),
      uncertainty: UNSURE.ratio,
    });
    const set = note({
      topic: "setting",
      where,
      what: "set temperature",
      unit: "°C",
      before: first.setCelsius?.likely,
      after: second.setCelsius?.likely,
      ...(first.setCelsius === null ? {} : { bandBefore: first.setCelsius }),
      ...(second.setCelsius === null ? {} : { bandAfter: second.setCelsius }),
      uncertainty: UNSURE.setting,
    });
    if (set.exceeds && set.change !== undefined)
      sentences.push(
        `It sets about ${Math.abs(set.change).toFixed(0)} °C ${set.change > 0 ? "later" : "sooner"}, because sugar is ${formatPercent(percent(second.share)!, 0)} of sugar and water instead of ${formatPercent(percent(first.share)!, 0)} (assumption).`,
      );
  }

  function softness(one: Component, other: Component): void {
    const [first, second] = [softnessOf(one, book), softnessOf(other, book)];
    const told: string[] = [];
    first.at.forEach(({ temperatureC, gramsPer100g }, index) => {
      const next = second.at[index]!.gramsPer100g;
      // The same curves stand on both sides: the difference is taken at the same ends of the ranges.
      const [low, high] = [next.from - gramsPer100g.from, next.to - gramsPer100g.to];
      const likely = next.likely - gramsPer100g.likely;
      const figure = note({
        topic: "softness",
        where: one.name,
        what: `solid fat in 100 g at ${temperatureC} °C`,
        unit: "g",
        before: gramsPer100g.likely,
        after: next.likely,
        bandBefore: gramsPer100g,
        bandAfter: next,
        uncertainty: Math.max(UNSURE.share, Math.abs(low - likely), Math.abs(high - likely)),
      });
      if (figure.exceeds && Math.abs(likely) >= SOLID_WORTH_TELLING)
        told.push(`${Math.abs(likely).toFixed(1)} g ${likely > 0 ? "more" : "less"} at ${temperatureC} °C`);
      for (const unknown of [...first.missing, ...second.missing])
        missing.push(`${one.name}: the fat of ${unknown.name} has no curve (${unknown.why}).`);
    });
    if (told.length === 0) return;
    const cold = second.at[0]!.gramsPer100g.likely < first.at[0]!.gramsPer100g.likely ? "softer" : "firmer";
    const names = listed(second.fats.slice(0, 2).map(({ words, grams }) => `${words} ${grams.toFixed(0)} g`));
    sentences.push(`${one.name}: ${cold} when cold, solid fat in 100 g is ${listed(told)} (its fat is now ${names}).`);
  }

  function bake(one: Component, other: Component): void {
    const [first, second] = [bakeFigures(one, book, options.ownedTins), bakeFigures(other, book, options.ownedTins)];
    if (typeof first === "string" || typeof second === "string") {
      missing.push(`${one.name}: ${typeof first === "string" ? first : second}`);
      return;
    }
    const time = note({
      topic: "bake",
      where: one.name,
      what: "time until done",
      unit: "min",
      before: first.minutes.likely,
      after: second.minutes.likely,
      bandBefore: first.minutes,
      bandAfter: second.minutes,
      uncertainty: Math.max(0.5, UNSURE.bakeTime * first.minutes.likely),
    });
    if (time.exceeds)
      sentences.push(
        `${one.name}: bakes about ${formatMinutes(Math.abs(time.change!))} ${time.change! > 0 ? "longer" : "shorter"} (${formatMinutes(second.minutes.likely)} instead of ${formatMinutes(first.minutes.likely)}, predicted).`,
      );
    note({
      topic: "bake",
      where: one.name,
      what: "weight lost in the oven",
      unit: "%",
      before: first.lossPercent.likely,
      after: second.lossPercent.likely,
      bandBefore: first.lossPercent,
      bandAfter: second.lossPercent,
      uncertainty: UNSURE.loss,
    });
    const height = note({
      topic: "bake",
      where: one.name,
      what: "height in the middle",
      unit: "mm",
      before: first.heightMm,
      after: second.heightMm,
      uncertainty: Math.max(UNSURE.heightMm, 0.05 * first.heightMm),
    });
    if (height.exceeds)
      sentences.push(
        `${one.name}: about ${Math.abs(height.change!).toFixed(0)} mm ${height.change! > 0 ? "higher" : "lower"} in the middle (indicative).`,
      );
  }

  function keeping(): void {
    const [first, second] = [keepFormula(before, book, options.keep), keepFormula(after, book, options.keep)];
    for (const pair of pairs) {
      const one = first.components.find(({ name }) => name === pair.before)!;
      componentKeeping(one, second.components.find(({ name }) => name === pair.after)!);
    }
    productKeeping(before.name, first, second);
  }

  function componentKeeping(one: ComponentKeeping, other: ComponentKeeping): void {
    const measured = one.waterActivity?.basis === "measured" && other.waterActivity?.basis === "measured";
    const activity = note({
      topic: "keeping",
      where: one.name,
      what: "water activity",
      unit: "",
      before: one.waterActivity?.likely,
      after: other.waterActivity?.likely,
      ...(one.waterActivity === undefined ? {} : { bandBefore: one.waterActivity }),
      ...(other.waterActivity === undefined ? {} : { bandAfter: other.waterActivity }),
      uncertainty: measured ? 0.014 : UNSURE.activity,
    });
    const [days, daysNow] = [one.mouldFreeDays21C, other.mouldFreeDays21C];
    const [life, lifeNow] = [days.known ? days.days : undefined, daysNow.known ? daysNow.days : undefined];
    note({
      topic: "keeping",
      where: one.name,
      what: "mould-free days, wrapped at 21 °C",
      unit: "days",
      before: life,
      after: lifeNow,
      // The line's slope turns 0.01 of activity into a fifth of the days.
      uncertainty: life === undefined ? undefined : 0.2 * life,
    });
    if (activity.exceeds && activity.change !== undefined && one.kind === "cake") {
      const mould =
        life !== undefined && lifeNow !== undefined
          ? `mould-free about ${lifeNow.toFixed(0)} days instead of ${life.toFixed(0)}, wrapped at 21 °C`
          : !daysNow.known
            ? daysNow.words
            : "";
      sentences.push(
        `${one.name}: water held ${activity.change > 0 ? "more loosely" : "more tightly"}, water activity ${other.waterActivity!.likely.toFixed(2)} instead of ${one.waterActivity!.likely.toFixed(2)}; ${mould.replace(/\.$/, "")}.`,
      );
    }
    for (const [what, was, is] of [
      ["storage class, open (FDA Food Code table B)", one.storageClass, other.storageClass],
      ["kept at", one.keptAt, other.keptAt],
    ] as const) {
      const figure = note({ topic: "keeping", where: one.name, what, unit: "", before: was, after: is, uncertainty: undefined });
      if (figure.exceeds && what === "kept at")
        sentences.push(`${one.name}: now ${is === "chilled" ? "to be kept cold" : "kept at room temperature"}.`);
    }
  }

  function productKeeping(where: string, { product: one }: Keeping, { product: other }: Keeping): void {
    const days = note({
      topic: "keeping",
      where,
      what: "days from filling to the last good slice",
      unit: "days",
      before: one.days,
      after: other.days,
      uncertainty: 0.5,
    });
    if (days.exceeds)
      sentences.push(`It is good for ${other.days} days instead of ${one.days}; the limit is ${other.limitedBy}.`);
    note({
      topic: "keeping",
      where,
      what: "days frozen, for quality",
      unit: "days",
      before: (one.freezer.plain ?? one.freezer.whole).days?.likely,
      after: (other.freezer.plain ?? other.freezer.whole).days?.likely,
      uncertainty: 15,
    });
  }

  function allergens(one: AllergenSummary, other: AllergenSummary): void {
    const words = (all: AllergenSummary) => all.contains.map((entry) => formatAllergen(entry));
    const [was, is] = [words(one), words(other)];
    const gained = is.filter((word) => !was.includes(word));
    const lost = was.filter((word) => !is.includes(word));
    note({
      topic: "allergens",
      where: after.name,
      what: "contains",
      unit: "",
      before: was.join(", "),
      after: is.join(", "),
      uncertainty: undefined,
    });
    if (gained.length > 0) {
      const from = other.contains.filter((entry) => gained.includes(formatAllergen(entry))).flatMap((entry) => entry.from);
      sentences.unshift(
        `It now contains ${listed(gained)}, from ${listed([...new Set(from)])}: the label and the notice change.`,
      );
    }
    if (lost.length > 0)
      sentences.push(`It no longer contains ${listed(lost)} as an ingredient; what is made beside it still counts.`);
    if (other.unknownIngredients.length > 0) missing.push(`Allergens are not known of ${other.unknownIngredients.join(", ")}.`);
  }

  function energy(): void {
    const kj = (mix: Composition) => (mix.totalGrams > 0 ? (100 * mix.totals.energyKj.amount) / mix.totalGrams : undefined);
    const figure = note({
      topic: "energy",
      where: after.name,
      what: "energy in 100 g",
      unit: "kJ",
      before: kj(old.product.finished),
      after: kj(now.product.finished),
      uncertainty: UNSURE.energyKj,
    });
    const portion = (mix: Composition, portions?: number) =>
      portions === undefined ? undefined : perPortion(mix, portions)?.energyKj;
    note({
      topic: "energy",
      where: after.name,
      what: "energy in a portion",
      unit: "kJ",
      before: portion(old.product.finished, before.portions),
      after: portion(now.product.finished, after.portions),
      uncertainty: UNSURE.energyKj,
    });
    if (figure.exceeds && figure.change !== undefined && Math.abs(figure.change) > 25)
      sentences.push(
        `${Math.abs(figure.change).toFixed(0)} kJ ${figure.change > 0 ? "more" : "less"} energy in 100 g of the finished product.`,
      );
  }

  function cost(inputs: PriceInputs): void {
    const [one, other] = [costBatch(before, book, inputs), costBatch(after, book, inputs)];
    for (const words of new Set([...one.missing, ...other.missing].map(({ name, why }) => `Cost: ${name}, ${why}.`)))
      missing.push(words);
    const major = (minor: number | undefined) => (minor === undefined ? undefined : minor / minorPerMajor(inputs.currency));
    const penny = 1 / minorPerMajor(inputs.currency);
    const noteCost = (what: string, was: number | undefined, is: number | undefined) =>
      note({
        topic: "cost",
        where: after.name,
        what,
        unit: inputs.currency,
        before: major(was),
        after: major(is),
        uncertainty: penny,
      });
    const figure = noteCost("cost of one cake sold", one.perCakeMinor, other.perCakeMinor);
    noteCost("cost of a portion", one.perPortionMinor, other.perPortionMinor);
    const bought = (cost: typeof one) =>
      cost.lines.filter(({ kind }) => kind === "ingredient").reduce((sum, { exactMinor }) => sum + exactMinor, 0);
    noteCost("ingredients of a batch", bought(one), bought(other));
    if (figure.exceeds && figure.change !== undefined)
      sentences.push(
        `A cake costs ${formatMoney({ minor: Math.round(Math.abs(figure.change) / penny), currency: inputs.currency })} ${figure.change > 0 ? "more" : "less"}${one.missing.length + other.missing.length > 0 ? " (some prices are missing)" : ""}.`,
      );
  }
}

/** Compared one by one; energies stand by themselves. */
const SHOWN = [
  "water",
  "fat",
  "saturates",
  "sugars",
  "starch",
  "protein",
  "fibre",
  "sodium",
] as const satisfies readonly Nutrient[];
/** Smaller shares stand in the figures and not in a sentence [g in 100 g]. */
const WORTH_TELLING = 0.2;
/** Half a gram of solid fat in 100 g is a sixteenth of what a butter crumb loses between the refrigerator and the table. */
const SOLID_WORTH_TELLING = 0.5;
/** Told in a sentence when they change: what a baker balances by. */
const TOLD: ReadonlySet<Nutrient> = new Set(["water", "fat", "sugars", "starch", "protein"]);

interface BakeFigures {
  readonly minutes: Band;
  readonly lossPercent: Band;
  readonly heightMm: number;
}

/** A revision that is compared with does not change while the baker types: its bake is worked out once. */
const baked = new WeakMap<Component, { readonly book: IngredientBook; readonly figures: BakeFigures | string }>();

function bakeFigures(component: Component, book: IngredientBook, owned: readonly NamedTin[] = []): BakeFigures | string {
  const known = baked.get(component);
  if (known?.book === book && owned.length === 0) return known.figures;
  const figures = predictedBake(component, book, owned);
  if (owned.length === 0) baked.set(component, { book, figures });
  return figures;
}

/** The bake of the first tin of a component, or why there is none. */
function predictedBake(component: Component, book: IngredientBook, owned: readonly NamedTin[]): BakeFigures | string {
  const tin = tinFilling(component, book, owned).value?.tins[0];
  if (tin === undefined || component.bake === undefined) return "no tin or no oven temperature, so no bake to compare.";
  const request = bakeOfComponent(component, book, {
    tin: tin.tin,
    grams: tin.batterGrams,
    oven: { setC: component.bake.ovenC, fan: component.bake.fan },
    accuracy: "coarse",
  });
  if (!request.ok) return request.error.map(({ expected, found }) => `expected ${expected}, found ${found}`).join("; ");
  const { outcome, doneSeconds, weightLossPercent, height } = predictBake(request.value);
  if (outcome !== "baked") return "by the prediction it is not done within four hours.";
  const { likely, from, to } = doneSeconds;
  return {
    minutes: { likely: likely / 60, from: from / 60, to: to / 60 },
    lossPercent: weightLossPercent,
    heightMm: height.centreMm,
  };
}
