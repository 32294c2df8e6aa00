import { type Composition, composeFormula, composePart } from "../composition/index.js";
import type { Component, Formula } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import type { Band, Problem } from "../quantities/index.js";
import { type Acidity, acidityOf } from "./acidity.js";
import { laidApart } from "./assembly.js";
import { CHILL_RULE, type KeptPart, keepingCautions } from "./cautions.js";
import { type MouldFreeLife, mouldFreeLife } from "./mouldFreeLife.js";
import { type Part, type Perishable, partOf, perishableOf } from "./perishable.js";
import { type StorageClass, storageClass } from "./storageClass.js";
import { isDate, type PlanStep, storagePlan } from "./storagePlan.js";
import { CHILLED_DAYS, cakeQuality, type FreezerLife, freezerLife, freezerOf } from "./usualDays.js";
import { likelyActivity, type WaterActivity, waterActivity } from "./waterActivity.js";
import { type ReadPhase, soakedWith, waterPhaseOf } from "./waterPhase.js";
import { type WhippingVerdict, whippingVerdict } from "./whipping.js";

export type Place = "gb" | "eu" | "us";

/** What the baker measured of a component. */
export interface MeasuredKeeping {
  /** 0 to 1. */
  readonly waterActivity?: number;
  /** 0 to 14. */
  readonly ph?: number;
}

export interface KeepOptions {
  readonly place?: Place;
  /** ISO 8601 date of baking ("2026-11-25"); with it the plan has dates. */
  readonly bakeDate?: string;
  /** What the baker measured, by component name: it replaces the estimate. */
  readonly measured?: Readonly<Record<string, MeasuredKeeping>>;
}

export type KeptAt = "room" | "chilled";

export interface ComponentKeeping {
  readonly name: string;
  readonly kind: Component["kind"];
  /** Undefined when there is no water or the figures are missing. */
  readonly waterActivity: (Band & { readonly basis: "measured" | "predicted" }) | undefined;
  readonly mouldFreeDays21C: MouldFreeLife;
  /** Days at the ends of the water-activity band; absent where the published range does not reach. */
  readonly mouldFreeDaysBand?: { readonly from?: number; readonly to?: number };
  readonly acidity: Acidity;
  /** By FDA Food Code table B (filled or left open at the bench), at the careful ends of water activity and pH. */
  readonly storageClass: StorageClass | undefined;
  /** By table A, for a baked component wrapped on its own straight after cooling. */
  readonly storageClassWrapped: StorageClass | undefined;
  readonly keptAt: KeptAt;
  /** Days when kept cold; only for what has to be. */
  readonly chilledDays?: Band & { readonly words: string };
  readonly freezer: FreezerLife;
  /** Sucrose over what dissolves in the free water at 21 °C. */
  readonly sucroseSaturation?: number;
  /** Only for syrups and boiled fillings, which are meant to stay clear. */
  readonly graining?: { readonly saturation: number; readonly otherSugarShare: number; readonly risk: "unlikely" | "possible" };
  /** Only for fruit boiled with sugar: what a refractometer would show, percent of solution [°Bx]. */
  readonly preserve?: { readonly solubleSolidsPercent: number };
  readonly whipping?: WhippingVerdict;
  readonly reasons: readonly string[];
  readonly assumptions: readonly string[];
}

export interface Keeping {
  readonly components: readonly ComponentKeeping[];
  readonly product: {
    readonly keptAt: KeptAt;
    /** Usual days from filling to the last good slice, and what sets the limit. */
    readonly days: number;
    readonly limitedBy: string;
    readonly freezer: { readonly plain?: FreezerLife; readonly whole: FreezerLife };
  };
  readonly plan: readonly PlanStep[];
  readonly cautions: readonly string[];
  readonly problems: readonly Problem[];
}

/** Narrowest honest band of a measured activity: instruments agree to about 0.003; two batches to 0.01 (from memory). */
const MEASURED_BAND = 0.01;
/** pH meters of a bakery agree to about 0.1 (from memory). */
const MEASURED_PH_BAND = 0.1;

/**
 * How each component and the whole product keep.
 *
 * Water activity from the finished composition (or as measured), mould-free days inside the published range only, the
 * storage class by the published tables with the careful end of each band, and the usual rules of the place for what has to
 * be kept cold. Syrup is counted as soaked into the cake. It says which rule a result meets or not; it does not say that
 * something is safe.
 */
export function keepFormula(formula: Formula, book: IngredientBook, options: KeepOptions = {}): Keeping {
  const composed = composeFormula(formula, book);
  const { measured, problems } = readMeasured(formula, options.measured ?? {});
  const place = options.place ?? "gb";
  const parts = formula.components.map((component) => partOf(component, book));
  const finished = composed.components.map((part) => part.finished);
  const syrup = syrupPerGram(parts, finished);
  const kept = parts.map((part, index): KeptPart => {
    const perishable = perishableOf(part);
    const keeping = keepComponent(
      { part, ...wettestLayer(formula, index, finished[index]!, book), syrup: part.isBaked ? syrup : [], perishable },
      book,
      measured[part.component.name],
      place,
    );
    return { part, keeping, perishable };
  });
  const components = kept.map(({ keeping }) => keeping);
  const product = { ...productOf(kept, place), freezer: freezerOf(formula, book) };
  const hasDate = options.bakeDate !== undefined && isDate(options.bakeDate);
  if (options.bakeDate !== undefined && !hasDate) problems.push(notADate(options.bakeDate));
  return {
    components,
    product,
    plan: storagePlan({
      formula,
      product,
      chilledNames: components.filter(({ keptAt }) => keptAt === "chilled").map(({ name }) => name),
      place,
      ...(hasDate ? { bakeDate: options.bakeDate! } : {}),
    }),
    cautions: keepingCautions(kept, place),
    problems: [...composed.problems, ...problems],
  };
}

interface Asked {
  readonly part: Part;
  /** Of the whole component, or of the wettest of its layers where they lie one over the other. */
  readonly finished: Composition;
  readonly layer: string | undefined;
  readonly syrup: readonly { readonly name: string; readonly finished: Composition; readonly share: number }[];
  readonly perishable: Perishable | undefined;
}

/** Jam under cream is not jam mixed into cream: the layer that keeps least decides, and that is the wettest. */
function wettestLayer(
  formula: Formula,
  index: number,
  whole: Composition,
  book: IngredientBook,
): Pick<Asked, "finished" | "layer"> {
  const layers = laidApart({ name: formula.name, components: [formula.components[index]!] }).formula.components;
  if (layers.length < 2) return { finished: whole, layer: undefined };
  const [wettest] = layers
    .map((layer) => {
      const finished = composePart(layer, book, index).value.finished;
      return { layer: layer.name, finished, activity: likelyActivity(waterPhaseOf(finished, false).phase) ?? 0 };
    })
    .toSorted((one, other) => other.activity - one.activity);
  return { finished: wettest!.finished, layer: wettest!.layer };
}

function keepComponent(
  { part, finished, layer, syrup, perishable }: Asked,
  book: IngredientBook,
  own: MeasuredKeeping | undefined,
  place: Place,
): ComponentKeeping {
  const { component, isBaked } = part;
  const dry = waterPhaseOf(finished, isBaked && component.loss === undefined);
  const read = syrup.reduce((phase, one) => soakedWith(phase, one.name, waterPhaseOf(one.finished, false), one.share), dry);
  const answer = waterActivity(read.phase);
  const activity = activityOf(answer, own?.waterActivity);
  const acidity = acidityOf(component, book, own?.ph, MEASURED_PH_BAND);
  const open = activity === undefined ? undefined : storageClass("B", activity.to, acidity.to);
  const wrapped = activity === undefined || !isBaked ? undefined : storageClass("A", activity.to, acidity.to);
  const keptAt = keptAtFor(part, perishable, open, activity?.likely);
  const whipping = whippingOf(component, book);
  const graining = grainingOf(part, read, answer);
  const preserve = preserveOf(part, read);
  const ends = activity === undefined ? [] : [mouldFreeLife(activity.to * 100), mouldFreeLife(activity.from * 100)];
  return {
    name: component.name,
    kind: component.kind,
    waterActivity: activity,
    mouldFreeDays21C: activity === undefined ? noLife(finished) : mouldFreeLife(activity.likely * 100),
    ...(ends.some(({ known }) => known)
      ? {
          mouldFreeDaysBand: {
            ...(ends[0]!.known ? { from: ends[0]!.days } : {}),
            ...(ends[1]!.known ? { to: ends[1]!.days } : {}),
          },
        }
      : {}),
    acidity,
    storageClass: open,
    storageClassWrapped: wrapped,
    keptAt,
    ...(keptAt === "chilled" ? { chilledDays: chilledDaysOf(perishable) } : {}),
    freezer: freezerLife(part),
    ...(answer === undefined || isBaked ? {} : { sucroseSaturation: answer.sucroseSaturation }),
    ...(graining === undefined ? {} : { graining }),
    ...(preserve === undefined ? {} : { preserve }),
    ...(whipping === undefined ? {} : { whipping }),
    reasons: reasonsFor({ part, perishable, place, activity, acidity, open, wrapped, keptAt, graining, whipping }),
    assumptions: [
      ...read.assumptions,
      ...(layer === undefined ? [] : [`Its layers lie one over the other: the figures are of the wettest, ${layer}.`]),
    ],
  };
}

type Activity = NonNullable<ComponentKeeping["waterActivity"]>;

function activityOf(answer: WaterActivity | undefined, measured: number | undefined): Activity | undefined {
  if (measured !== undefined) {
    return {
      likely: measured,
      from: Math.max(0, measured - MEASURED_BAND),
      to: Math.min(1, measured + MEASURED_BAND),
      basis: "measured",
    };
  }
  return answer === undefined ? undefined : { ...answer.activity, basis: "predicted" };
}

/** A plain baked crumb is kept at room by the whole trade; the tables' careful corner sends it to an assessment, and that is said. */
function keptAtFor(
  { isBaked, component }: Part,
  perishable: Perishable | undefined,
  open: StorageClass | undefined,
  likely = 0,
): KeptAt {
  if (perishable !== undefined) return "chilled";
  // A syrup is soaked into the cake and is not kept by itself.
  if (isBaked || component.kind === "syrup") return "room";
  return open === "assess" && likely > 0.88 ? "chilled" : "room";
}

const chilledDaysOf = (perishable: Perishable | undefined) =>
  perishable === undefined
    ? { likely: 3, from: 2, to: 3, words: "wet and low in acid, kept cold (common practice, no source)" }
    : CHILLED_DAYS[perishable.kind];

function noLife(finished: Composition): MouldFreeLife {
  if (finished.totals.water.missing.length > 0)
    return { known: false, why: "no-figure", words: "There is no figure for its water, so there is nothing to go by." };
  return finished.totalGrams > 0
    ? { known: false, why: "no-water", words: "It holds no water: it keeps until it meets moisture." }
    : { known: false, why: "no-figure", words: "Nothing is weighed yet." };
}

/** Syrup components and what of them one gram of baked cake takes up. */
function syrupPerGram(parts: readonly Part[], finished: readonly Composition[]): Asked["syrup"] {
  const cakeGrams = parts.reduce((sum, { isBaked }, index) => sum + (isBaked ? finished[index]!.totalGrams : 0), 0);
  if (!(cakeGrams > 0)) return [];
  return parts.flatMap((part, index) =>
    part.component.kind === "syrup" && !part.isBaked && finished[index]!.totalGrams > 0
      ? [{ name: part.component.name, finished: finished[index]!, share: 1 / cakeGrams }]
      : [],
  );
}

/** Sucrose above what dissolves grains, unless enough of the sugar is another one; an icing is meant to be full of crystals. */
function grainingOf(part: Part, { phase }: ReadPhase, answer: WaterActivity | undefined): ComponentKeeping["graining"] {
  const { component, isBaked, found } = part;
  const isClear =
    component.kind === "syrup" || ((component.kind === "filling" || component.kind === "other") && isBoiled(component));
  const hasFat = found.some(({ ingredient }) => ingredient.role === "fat" || ingredient.role === "dairy");
  if (answer === undefined || isBaked || !isClear || hasFat) return undefined;
  const sugars = Object.values(phase.sugarGrams).reduce((sum, grams) => sum + (grams ?? 0), 0);
  if (!(sugars > 0)) return undefined;
  const otherSugarShare = 1 - (phase.sugarGrams.sucrose ?? 0) / sugars;
  const saturation = answer.sucroseSaturation;
  return { saturation, otherSugarShare, risk: saturation > 1 && otherSugarShare < 0.2 ? "possible" : "unlikely" };
}

const isBoiled = ({ stages }: Component) =>
  stages.some(
    ({ name, method = "", targets = [] }) =>
      /boil|simmer|jam|cook/i.test(`${name} ${method}`) ||
      targets.some((target) => target.kind === "temperature" && target.celsius >= 95),
  );

/** Fruit boiled with at least half its weight of sugar and no fat: a preserve. */
function preserveOf(part: Part, { phase }: ReadPhase): ComponentKeeping["preserve"] {
  const { component, found, isBaked, totalGrams } = part;
  if (isBaked || !isBoiled(component)) return undefined;
  const of = (role: string) => found.reduce((sum, { ingredient, grams }) => sum + (ingredient.role === role ? grams : 0), 0);
  if (of("fruit") < 0.25 * totalGrams || of("sugar") < 0.5 * of("fruit") || of("fat") + of("dairy") + of("egg") > 0)
    return undefined;
  const soluble = Object.values(phase.sugarGrams).reduce((sum, grams) => sum + (grams ?? 0), 0);
  return soluble + phase.waterGrams > 0 ? { solubleSolidsPercent: (100 * soluble) / (soluble + phase.waterGrams) } : undefined;
}

function reasonsFor(ask: {
  readonly part: Part;
  readonly perishable: Perishable | undefined;
  readonly place: Place;
  readonly activity: Activity | undefined;
  readonly acidity: Acidity;
  readonly open: StorageClass | undefined;
  readonly wrapped: StorageClass | undefined;
  readonly keptAt: KeptAt;
  readonly graining: ComponentKeeping["graining"];
  readonly whipping: WhippingVerdict | undefined;
}): readonly string[] {
  const { part, perishable, activity, acidity, open, wrapped, keptAt, graining, whipping } = ask;
  const reasons: string[] = [];
  if (perishable !== undefined) reasons.push(`Holds ${perishable.because.join(", ")}: kept cold, ${CHILL_RULE[ask.place]}.`);
  if (activity !== undefined && open !== undefined) {
    const words = `water activity ${activity.likely.toFixed(2)} (${activity.from.toFixed(2)} to ${activity.to.toFixed(2)}, ${activity.basis}) and pH up to ${acidity.to.toFixed(1)} (${acidity.basis})`;
    reasons.push(
      open === "assess"
        ? `FDA Food Code 1-201.10(B), table B: ${words} ask for a product assessment; without one it is a food to keep cold.`
        : `FDA Food Code 1-201.10(B), table B: ${words} ask for no time or temperature control.`,
    );
    if (wrapped !== undefined && wrapped !== open)
      reasons.push(
        "Wrapped on its own straight after baking and cooling, table A applies and asks for no time or temperature control.",
      );
  }
  if (keptAt === "room" && open === "assess" && part.isBaked)
    reasons.push(
      "Plain baked crumb is commonly kept at room temperature (common practice, no source); a measured water activity settles where it stands.",
    );
  if (keptAt === "room" && part.component.kind === "syrup") reasons.push("It is soaked into the cake and counted with it.");
  if (graining?.risk === "possible")
    reasons.push(
      "More sucrose than the water dissolves at 21 °C: it can grain, unless a fifth to a third of the sugar is glucose, invert or syrup (common practice, no source).",
    );
  if (whipping !== undefined) reasons.push(`${whipping.fatPercent.toFixed(0)} % fat in what is whipped: ${whipping.words}`);
  return reasons;
}

/** Above 90 % equilibrium humidity the published line has nothing to say; at 90 % it gives four days. */
const MOULD_DAYS_ABOVE_RANGE = 3;

function productOf(kept: readonly KeptPart[], place: Place): Omit<Keeping["product"], "freezer"> {
  const cold = kept.filter(({ keeping }) => keeping.keptAt === "chilled");
  const limits: { days: number; limitedBy: string }[] = [];
  const quality = cakeQuality(kept.map(({ part }) => part));
  if (quality !== undefined) limits.push({ days: quality.days, limitedBy: quality.words });
  for (const { keeping } of cold) {
    const { likely, words } = keeping.chilledDays!;
    limits.push({ days: likely, limitedBy: `${keeping.name}: ${words}` });
    if (place === "us" && keeping.storageClass === "assess")
      limits.push({ days: 6, limitedBy: `${keeping.name}: dated and used within 7 days (FDA Food Code 3-501.17)` });
  }
  if (cold.length === 0) {
    for (const { keeping } of kept) {
      const life = keeping.mouldFreeDays21C;
      const isEaten = keeping.kind !== "syrup";
      if (life.known && isEaten)
        limits.push({ days: life.days, limitedBy: `mould on ${keeping.name}, wrapped at 21 °C (${life.source})` });
      else if (!life.known && life.why === "above-range" && isEaten)
        limits.push({
          days: MOULD_DAYS_ABOVE_RANGE,
          limitedBy: `mould on ${keeping.name}: wetter than the published line, which gives four days at its end`,
        });
    }
  }
  const limit = limits.toSorted((one, other) => one.days - other.days)[0];
  return {
    keptAt: cold.length > 0 ? "chilled" : "room",
    days: limit === undefined ? 14 : Math.max(1, Math.floor(limit.days)),
    limitedBy: limit?.limitedBy ?? "quality (common practice, no source)",
  };
}

/** A stage that is whipped and holds fluid cream: the fat of everything in that stage. */
function whippingOf(component: Component, book: IngredientBook): WhippingVerdict | undefined {
  if (component.kind === "cake") return undefined;
  for (const { name, method = "", targets = [], uses } of component.stages) {
    const holdsCream = uses.some(({ ingredient, grams }) => CREAMS.test(ingredient) && (grams ?? 0) > 0);
    const isWhipped = /whip|whisk|beat/i.test(`${name} ${method}`) || targets.some(({ kind }) => kind === "volume-increase");
    if (!holdsCream || !isWhipped) continue;
    const parts = uses.flatMap(({ ingredient, grams }) => {
      const fat = book.get(ingredient)?.per100g.fat;
      return grams === null || fat === undefined || !fat.known ? [] : [{ grams, fatPercent: fat.value }];
    });
    return whippingVerdict(parts);
  }
  return undefined;
}

const CREAMS = /(double|whipping|heavy|single|light)-cream/;

/** Measurements that name no component, or are no water activity or pH, are told and left out. */
function readMeasured(
  formula: Formula,
  measured: Readonly<Record<string, MeasuredKeeping>>,
): { measured: Readonly<Record<string, MeasuredKeeping>>; problems: Problem[] } {
  const problems: Problem[] = [];
  const names = formula.components.map(({ name }) => name);
  const within = (value: number | undefined, most: number) => value === undefined || (value >= 0 && value <= most);
  const good: Record<string, MeasuredKeeping> = {};
  for (const [name, own] of Object.entries(measured)) {
    if (!names.includes(name)) {
      problems.push({
        code: "unknown-component",
        path: ["measured", name],
        expected: `one of ${names.join(", ")}`,
        found: name,
        remedy: "Name a component of this formula.",
      });
      continue;
    }
    if (!within(own.waterActivity, 1)) problems.push(outOfRange(name, "waterActivity", own.waterActivity!, "0 to 1"));
    if (!within(own.ph, 14)) problems.push(outOfRange(name, "ph", own.ph!, "0 to 14"));
    good[name] = {
      ...(own.waterActivity !== undefined && within(own.waterActivity, 1) ? { waterActivity: own.waterActivity } : {}),
      ...(own.ph !== undefined && within(own.ph, 14) ? { ph: own.ph } : {}),
    };
  }
  return { measured: good, problems };
}

const outOfRange = (name: string, field: "waterActivity" | "ph", value: number, range: string): Problem => ({
  code: "out-of-range",
  path: ["measured", name, field],
  expected: `a ${field === "ph" ? "pH" : "water activity"} of ${range}`,
  found: String(value),
  remedy: "Read the instrument again; the estimate is used meanwhile.",
});

const notADate = (found: string): Problem => ({
  code: "wrong-type",
  path: ["bakeDate"],
  expected: "a date such as 2026-11-25",
  found: found.slice(0, 40),
  remedy: "Write year, month and day; the plan has no dates meanwhile.",
});
