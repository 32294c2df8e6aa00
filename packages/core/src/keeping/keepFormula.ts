import { composeFormula, type PartComposition } from "../composition/index.js";
import type { Component, Formula } from "../formula/index.js";
import type { Ingredient, IngredientBook } from "../ingredients/index.js";
import type { Band, Problem } from "../quantities/index.js";
import { type Acidity, acidityOf } from "./acidity.js";
import { type MouldFreeLife, mouldFreeLife } from "./mouldFreeLife.js";
import { type StorageClass, storageClass } from "./storageClass.js";
import { type PlanStep, storagePlan } from "./storagePlan.js";
import { waterActivity } from "./waterActivity.js";
import { waterPhaseOf } from "./waterPhase.js";
import { type WhippingVerdict, whippingVerdict } from "./whipping.js";

export type Place = "gb" | "eu" | "us";

export interface KeepOptions {
  readonly place?: Place;
  /** ISO 8601 date of baking; with it the plan has dates. */
  readonly bakeDate?: string;
  /** What the baker measured, by component name: it replaces the estimate. */
  readonly measured?: Readonly<Record<string, { readonly waterActivity?: number; readonly ph?: number }>>;
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
  /** By FDA Food Code table B (filled or left open at the bench); by table A for a baked component wrapped on its own. */
  readonly storageClass: StorageClass | undefined;
  readonly storageClassWrapped: StorageClass | undefined;
  readonly keptAt: KeptAt;
  /** Sucrose over what dissolves in the free water at 21 °C; above 1 it can grain. */
  readonly sucroseSaturation?: number;
  /** Soluble solids as a refractometer would show them, percent of solution [°Bx]; for fillings cooked with sugar. */
  readonly solubleSolidsPercent?: number;
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
  };
  readonly plan: readonly PlanStep[];
  readonly cautions: readonly string[];
  readonly problems: readonly Problem[];
}

/** Narrowest honest band of a measured activity: instruments agree to about 0.003; two batches to 0.01 (from memory). */
const MEASURED_BAND = 0.01;

/**
 * How each component and the whole product keep.
 *
 * Water activity from the finished composition (or as measured), mould-free days inside the published range only, the
 * storage class by the published tables with the careful end of each band, and the usual rules of the place for what has to
 * be kept cold. It says which rule a result meets or not; it does not say that something is safe.
 */
export function keepFormula(formula: Formula, book: IngredientBook, options: KeepOptions = {}): Keeping {
  const composed = composeFormula(formula, book);
  const components = formula.components.map((component, index) =>
    keepComponent(component, composed.components[index]!, book, options),
  );
  const chilled = components.filter(({ keptAt }) => keptAt === "chilled");
  const lives = components.flatMap(({ name, kind, mouldFreeDays21C }) =>
    kind === "cake" && mouldFreeDays21C.known ? [{ name, days: mouldFreeDays21C.days }] : [],
  );
  const mould = lives.toSorted((one, other) => one.days - other.days)[0];
  const quality = qualityDays(formula, components);
  const place = options.place ?? "gb";
  const limits = [
    { days: quality.days, limitedBy: quality.words },
    ...(mould === undefined ? [] : [{ days: mould.days, limitedBy: `mould on ${mould.name}, wrapped at 21 °C` }]),
    ...(chilled.length === 0
      ? []
      : [
          {
            days: CHILLED_DAYS,
            limitedBy: `${chilled.map(({ name }) => name).join(" and ")} kept cold (common practice, no source)`,
          },
        ]),
  ];
  const limit = limits.toSorted((one, other) => one.days - other.days)[0]!;
  const product = {
    keptAt: chilled.length > 0 ? ("chilled" as const) : ("room" as const),
    days: Math.max(1, Math.floor(limit.days)),
    limitedBy: limit.limitedBy,
  };
  return {
    components,
    product,
    plan: storagePlan({
      formula,
      product,
      chilledNames: chilled.map(({ name }) => name),
      place,
      ...(options.bakeDate === undefined ? {} : { bakeDate: options.bakeDate }),
    }),
    cautions: cautionsOf(formula, components, book, place),
    problems: composed.problems,
  };
}

/** Cream and custard fillings: two to three days cold is usual (common practice, no source). */
const CHILLED_DAYS = 3;

function keepComponent(
  component: Component,
  part: PartComposition,
  book: IngredientBook,
  { measured = {}, place = "gb" }: KeepOptions,
): ComponentKeeping {
  const isBaked = component.kind === "cake" || component.bake !== undefined;
  const { phase, drySolidsGrams: _, assumptions } = waterPhaseOf(part.finished, isBaked && component.loss === undefined);
  const answer = waterActivity(phase);
  const own = measured[component.name];
  const activity =
    own?.waterActivity !== undefined
      ? {
          likely: own.waterActivity,
          from: Math.max(0, own.waterActivity - MEASURED_BAND),
          to: Math.min(1, own.waterActivity + MEASURED_BAND),
          basis: "measured" as const,
        }
      : answer === undefined
        ? undefined
        : { ...answer.activity, basis: "predicted" as const };
  const acidity = acidityOf(component, book, own?.ph);
  const open = activity === undefined ? undefined : storageClass("B", activity.to, acidity.to);
  const wrapped = activity === undefined || !isBaked ? undefined : storageClass("A", activity.to, acidity.to);
  const life: MouldFreeLife =
    activity === undefined
      ? { known: false, why: "above-range", words: "There is no water activity to go by." }
      : mouldFreeLife(activity.likely * 100);
  const ends = activity === undefined ? [] : [mouldFreeLife(activity.to * 100), mouldFreeLife(activity.from * 100)];
  const reasons: string[] = [];
  const perishable = perishables(component, book);
  const dairyFat = whippingOf(component, book);
  const soluble = Object.values(phase.sugarGrams).reduce((sum, grams) => sum + (grams ?? 0), 0);
  const isCooked =
    !isBaked && phase.waterGrams > 0 && soluble / (soluble + phase.waterGrams) > 0.4 && phase.sorbingGrams < 0.15 * soluble;

  if (activity !== undefined && open !== undefined) {
    const words = `water activity ${activity.likely.toFixed(2)} (${activity.from.toFixed(2)} to ${activity.to.toFixed(2)}, ${activity.basis}), pH up to ${acidity.to} (${acidity.basis})`;
    reasons.push(
      open === "assess"
        ? `FDA Food Code 1-201.10(B), table B: ${words} asks for a product assessment; without one it is a food to keep cold.`
        : `FDA Food Code 1-201.10(B), table B: ${words} needs no time or temperature control.`,
    );
    if (wrapped !== undefined && wrapped !== open)
      reasons.push(
        "Wrapped on its own straight after baking and cooling, table A applies and asks for no time or temperature control.",
      );
  }
  if (perishable.length > 0) reasons.push(`Holds ${perishable.join(", ")}: kept cold, ${CHILL_RULE[place]}.`);
  // A plain baked crumb is kept at room by the whole trade; the tables' careful corner sends it to an assessment, and that is said.
  const keptAt: KeptAt =
    perishable.length > 0 || (!isBaked && open === "assess" && (activity?.likely ?? 0) > 0.88) ? "chilled" : "room";
  if (keptAt === "room" && open === "assess" && isBaked)
    reasons.push(
      "Plain baked crumb is commonly kept at room temperature (common practice, no source); a measured water activity settles where it stands.",
    );
  if (answer !== undefined && answer.sucroseSaturation > 1 && !isBaked)
    reasons.push(
      "More sucrose than the water dissolves at 21 °C: it can grain, unless a fifth to a third of the sugar is glucose, invert or syrup (common practice, no source).",
    );
  if (dairyFat !== undefined) reasons.push(`${dairyFat.fatPercent.toFixed(0)} % fat in the blend: ${dairyFat.words}`);
  return {
    name: component.name,
    kind: component.kind,
    waterActivity: activity,
    mouldFreeDays21C: life,
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
    ...(answer === undefined || isBaked ? {} : { sucroseSaturation: answer.sucroseSaturation }),
    ...(isCooked ? { solubleSolidsPercent: (100 * soluble) / (soluble + phase.waterGrams) } : {}),
    ...(dairyFat === undefined ? {} : { whipping: dairyFat }),
    reasons,
    assumptions,
  };
}

const CHILL_RULE: Readonly<Record<Place, string>> = {
  gb: "not above 8 °C (England: Food Safety and Hygiene Regulations 2013, Schedule 4; Wales, Scotland and Northern Ireland have their own)",
  eu: "in an unbroken cold chain (Regulation (EC) 852/2004, Annex II), commonly at or below 5 °C; national rules set the figure",
  us: "at or below 5 °C (41 °F) (FDA Food Code 2022, 3-501.16)",
};

const FRESH_DAIRY = /cream|mascarpone|ricotta|quark|cheese|yoghurt|custard|creme-fraiche/;
const NOT_FRESH = /powder|condensed|evaporated|chocolate|cream-of-tartar|coconut|buttercream/;

/** What makes an unbaked component perishable: a tenth or more of fresh dairy, or egg. */
function perishables(component: Component, book: IngredientBook): readonly string[] {
  if (component.kind === "cake" || component.bake !== undefined) return [];
  const uses = component.stages.flatMap(({ uses: all }) => all);
  const total = uses.reduce((sum, { grams }) => sum + (grams ?? 0), 0);
  const found = uses.flatMap(({ ingredient, grams }) => {
    const known = book.get(ingredient);
    return known === undefined || !((grams ?? 0) > 0) ? [] : [{ known, grams: grams! }];
  });
  const dairy = found.filter(({ known }) => FRESH_DAIRY.test(known.id) && !NOT_FRESH.test(known.id));
  const dairyGrams = dairy.reduce((sum, { grams }) => sum + grams, 0);
  const egg = found.filter(({ known }) => known.role === "egg" && !/dried/.test(known.id));
  return [...(dairyGrams >= 0.1 * total ? names(dairy) : []), ...names(egg)];
}

const names = (found: readonly { readonly known: Ingredient }[]) => [
  ...new Set(found.map(({ known }) => known.name.toLowerCase())),
];

/** A stage that is whipped and holds fluid cream: the fat of everything in that stage. */
function whippingOf(component: Component, book: IngredientBook): WhippingVerdict | undefined {
  if (component.kind === "cake") return undefined;
  for (const { name, method = "", targets = [], uses } of component.stages) {
    const holdsCream = uses.some(({ ingredient }) => /(double|whipping|heavy|single)-cream|^double-cream/.test(ingredient));
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

/** Days for which it is still good to eat, mould apart: usual figures of the trade, common practice, no source. */
function qualityDays(formula: Formula, components: readonly ComponentKeeping[]): { days: number; words: string } {
  const cakes = components.filter(({ kind }) => kind === "cake");
  if (cakes.length === 0) return { days: 14, words: "quality (common practice, no source)" };
  const driest = Math.min(...cakes.map(({ waterActivity: activity }) => activity?.likely ?? 0.87));
  const fruited = formula.components.some(({ stages }) => {
    const uses = stages.flatMap(({ uses: all }) => all);
    const total = uses.reduce((sum, { grams }) => sum + (grams ?? 0), 0);
    const dried = uses
      .filter(({ ingredient }) => /sultana|raisin|currants|dates|peel|glace/.test(ingredient))
      .reduce((sum, { grams }) => sum + (grams ?? 0), 0);
    return dried > 0.3 * total;
  });
  if (fruited) return { days: 42, words: "quality of a wrapped fruit cake, about six weeks (common practice, no source)" };
  if (driest > 0.9) return { days: 2, words: "staling of a lean or moist crumb, about two days (common practice, no source)" };
  return { days: 5, words: "staling, about five days wrapped at room temperature (common practice, no source)" };
}

function cautionsOf(
  formula: Formula,
  components: readonly ComponentKeeping[],
  book: IngredientBook,
  place: Place,
): readonly string[] {
  const all = formula.components.map((component) => ({
    component,
    baked: component.kind === "cake" || component.bake !== undefined,
    heated: component.stages.some(({ targets = [] }) =>
      targets.some((target) => target.kind === "temperature" && target.celsius >= 70),
    ),
    ids: component.stages.flatMap(({ uses }) => uses.map(({ ingredient }) => ingredient)),
  }));
  const cautions: string[] = [];
  const rawEgg = all.filter(
    ({ baked, heated, ids }) =>
      !baked && !heated && ids.some((id) => book.get(id)?.role === "egg" && !/pasteurised|dried/.test(id)),
  );
  if (rawEgg.length > 0)
    cautions.push(
      `${listed(rawEgg)}: raw or lightly cooked egg. Use pasteurised egg, or eggs from a scheme that covers salmonella; not for people at risk without advice.`,
    );
  const custard = all.filter(({ baked, heated, ids }) => !baked && heated && ids.some((id) => book.get(id)?.role === "egg"));
  if (custard.length > 0)
    cautions.push(
      `${listed(custard)}: cooked with egg. Cool quickly - 57 to 21 °C within 2 hours and to 5 °C within 6 in all (FDA Food Code 3-501.14) - and keep cold.`,
    );
  const flour = all.filter(
    ({ baked, heated, ids }) => !baked && !heated && ids.some((id) => book.get(id)?.role === "flour" && /flour/.test(id)),
  );
  if (flour.length > 0) cautions.push(`${listed(flour)}: raw flour is not made to be eaten unbaked; use heat-treated flour.`);
  const cold = components.filter(({ keptAt }) => keptAt === "chilled");
  if (cold.length > 0) {
    cautions.push(`${cold.map(({ name }) => name).join(", ")}: keep cold from making to serving, ${CHILL_RULE[place]}.`);
    cautions.push(
      place === "us"
        ? "Out of the cold: at most 4 hours by time alone, marked, then thrown away (FDA Food Code 3-501.19(B)); ready-to-eat cold food held over 24 hours is dated and used within 7 days."
        : "Out of the cold for serving or display: one period of at most 4 hours, then back to the cold or thrown away (from memory of the guidance).",
    );
  }
  if (components.some(({ name, solubleSolidsPercent }) => /jam|preserve/i.test(name) && (solubleSolidsPercent ?? 100) < 60)) {
    cautions.push("Below 60 % soluble solids it is not a jam by Directive 2001/113/EC and does not keep like one: keep it cold.");
  }
  cautions.push("Estimates, not measurements. Local food law and licensed advice decide.");
  return cautions;
}

const listed = (found: readonly { readonly component: Component }[]) => found.map(({ component }) => component.name).join(", ");
