import { type AllergenEntry, type AllergenSummary, summariseAllergens } from "../composition/index.js";
import type { Component, Formula, Stage, Target } from "../formula/index.js";
import { displayName, type IngredientBook, type NameStyle } from "../ingredients/index.js";
import {
  DEFAULT_WEIGHING,
  formatGrams,
  formatMinutes,
  formatPercent,
  formatTemperature,
  roundParts,
  type TemperatureScale,
  type WeighingSettings,
} from "../quantities/index.js";
import {
  fillingCautions,
  formatTin,
  type NamedTin,
  type TinCaution,
  type TinFill,
  type TinUnits,
  tinFilling,
} from "../tins/index.js";
import { benchCautions, type SheetCaution } from "./cautions.js";

/** How the baker reads weights, names, temperatures and tins. */
export interface SheetSettings {
  readonly weighing?: WeighingSettings;
  readonly names?: NameStyle;
  readonly temperature?: TemperatureScale;
  readonly tinUnits?: TinUnits;
}

export interface BatchSheetOptions {
  readonly book: IngredientBook;
  readonly settings?: SheetSettings;
  /** The baker's own tins, which the formula may name. */
  readonly owned?: readonly NamedTin[];
  /** Times the formula as it is kept; 1 when absent. The weights must be scaled already. */
  readonly factor?: number;
  /** "2 round 23x5 cm" or "24 portions", as the batch was asked for. */
  readonly batch?: string;
  /** Which revision is followed, and its note. */
  readonly revision?: { readonly number: number; readonly note?: string; readonly keptAt?: string };
  /** Day of baking in the baker's words or ISO 8601; left open to be written in when absent. */
  readonly date?: string;
  /** Said by what scaled the formula. */
  readonly cautions?: readonly TinCaution[];
}

/** What is followed at the bench for one batch. Weights are what a scale can weigh, and add to the totals shown. */
export interface BatchSheet {
  readonly title: string;
  readonly notes?: string;
  readonly revision?: { readonly number: number; readonly note?: string; readonly keptAt?: string };
  readonly date?: string;
  readonly batch: { readonly factor: number; readonly words: string };
  readonly portions?: number;
  readonly allergens: SheetAllergens;
  readonly components: readonly SheetComponent[];
  readonly totalGrams: number;
  readonly cautions: readonly SheetCaution[];
}

export interface SheetAllergens {
  readonly contains: readonly SheetAllergen[];
  readonly mayContain: readonly SheetAllergen[];
  readonly checkSupplier: readonly SheetAllergen[];
  /** Ingredients whose allergens are not known. */
  readonly unknownIngredients: readonly string[];
}

export interface SheetAllergen {
  /** "wheat", "almond", "milk", "eggs". */
  readonly name: string;
  /** Ingredients that bring it. */
  readonly from: readonly string[];
}

export interface SheetComponent {
  readonly name: string;
  readonly kind: Component["kind"];
  readonly totalGrams: number;
  readonly tins: readonly SheetTin[];
  /** "170 °C, 24 min". */
  readonly bake?: string;
  /** Specific gravity to reach, where the formula states one. */
  readonly specificGravity?: number;
  /** Weight after baking or boiling, by the loss that the formula states [g]. */
  readonly finishedGrams?: number;
  readonly stages: readonly SheetStage[];
  /** What to write down while working, in order. */
  readonly measure: readonly SheetField[];
}

export interface SheetTin {
  readonly count: number;
  readonly tin: string;
  /** Into each tin [g], rounded down so that the batter goes round. */
  readonly gramsEach: number;
  /** Into each cup of a tray [g]. */
  readonly gramsPerCup?: number;
  readonly fillShare: number;
  readonly depthMm: number;
}

export interface SheetStage {
  readonly name: string;
  readonly method?: string;
  readonly targets: readonly string[];
  readonly lines: readonly SheetLine[];
  readonly totalGrams: number;
}

export interface SheetLine {
  readonly ingredient: string;
  readonly name: string;
  /** null where the formula gives no weight ("to taste"). */
  readonly grams: number | null;
  /** What the scale reads after this line when the whole stage goes into one bowl that was zeroed empty [g]. */
  readonly scaleReadsGrams: number | null;
  readonly note?: string;
  readonly bringsAllergen: boolean;
}

export interface SheetField {
  readonly label: string;
  readonly unit?: string;
}

/**
 * Lays out one batch of a formula for the bench.
 *
 * Weights of each component are rounded together, so that what is weighed adds to the total that is printed. The formula must
 * be scaled to the batch beforehand.
 */
export function batchSheet(formula: Formula, options: BatchSheetOptions): BatchSheet {
  const settings = {
    weighing: DEFAULT_WEIGHING,
    names: "british",
    temperature: "celsius",
    tinUnits: "cm",
    ...options.settings,
  } as const;
  const allergens = summariseAllergens(
    formula.components.flatMap((component) => component.stages.flatMap((stage) => stage.uses.map((use) => use.ingredient))),
    options.book,
  );
  const allergenic = new Set(allergens.contains.flatMap(({ from }) => from));
  const tinCautions: TinCaution[] = [...(options.cautions ?? [])];
  const components = formula.components.map((component) => {
    const filling = tinFilling(component, options.book, options.owned).value;
    if (filling) tinCautions.push(...fillingCautions(filling));
    return sheetComponent(component, filling?.tins ?? [], options.book, settings, allergenic);
  });
  const factor = options.factor ?? 1;
  return {
    title: formula.name,
    ...(formula.notes ? { notes: formula.notes } : {}),
    ...(options.revision ? { revision: options.revision } : {}),
    ...(options.date ? { date: options.date } : {}),
    batch: { factor, words: options.batch ?? (factor === 1 ? "as written" : `${round(factor, 3)} times the formula`) },
    // "36 portions" is said once.
    ...(formula.portions === undefined || options.batch === `${formula.portions} portions` ? {} : { portions: formula.portions }),
    allergens: sheetAllergens(allergens),
    components,
    totalGrams: exactSum(components.map(({ totalGrams }) => totalGrams)),
    cautions: [...benchCautions(formula, options.book, settings.names), ...tinWords(tinCautions)],
  };
}

type Settled = Required<SheetSettings>;

function sheetComponent(
  component: Component,
  tins: readonly TinFill[],
  book: IngredientBook,
  settings: Settled,
  allergenic: ReadonlySet<string>,
): SheetComponent {
  const uses = component.stages.flatMap((stage) => stage.uses);
  const { parts, total } = roundParts(
    uses.map((use) => use.grams ?? 0),
    settings.weighing,
  );
  let next = 0;
  const stages = component.stages.map((stage) => {
    const weights = stage.uses.map((use) => {
      const grams = parts[next++]!;
      return use.grams === null ? null : grams;
    });
    return sheetStage(stage, weights, book, settings, allergenic);
  });
  const loss = component.loss?.percent;
  const bake = component.bake;
  return {
    name: component.name,
    kind: component.kind,
    totalGrams: total,
    tins: tins.map((fill) => sheetTin(fill, settings)),
    ...(bake
      ? {
          bake: `${formatTemperature(bake.ovenC, settings.temperature)}${bake.fan ? " fan" : ""}${bake.minutes === undefined ? ", time to be found" : `, ${formatMinutes(bake.minutes * 60)}`}`,
        }
      : {}),
    ...(component.specificGravity ? { specificGravity: component.specificGravity.value } : {}),
    ...(loss === undefined ? {} : { finishedGrams: Math.round(total * (1 - loss / 100)) }),
    stages,
    measure: fieldsFor(component, settings),
  };
}

function sheetStage(
  stage: Stage,
  weights: readonly (number | null)[],
  book: IngredientBook,
  settings: Settled,
  allergenic: ReadonlySet<string>,
): SheetStage {
  const weighed: number[] = [];
  const lines = stage.uses.map((use, index): SheetLine => {
    const grams = weights[index] ?? null;
    if (grams !== null) weighed.push(grams);
    const ingredient = book.get(use.ingredient);
    return {
      ingredient: use.ingredient,
      name: ingredient ? displayName(ingredient, settings.names) : use.ingredient,
      grams,
      scaleReadsGrams: grams === null ? null : exactSum(weighed),
      ...(use.note ? { note: use.note } : {}),
      bringsAllergen: allergenic.has(ingredient?.name ?? use.ingredient),
    };
  });
  return {
    name: stage.name,
    ...(stage.method ? { method: stage.method } : {}),
    targets: (stage.targets ?? []).map((target) => targetWords(target, settings.temperature)),
    lines,
    totalGrams: exactSum(weighed),
  };
}

function sheetTin(fill: TinFill, settings: Settled): SheetTin {
  const step = fill.batterGrams < settings.weighing.fineBelow ? settings.weighing.fineStep : settings.weighing.step;
  const down = (grams: number) => round(Math.floor(grams / step + 1e-6) * step, 6);
  const cups = fill.tin.shape.kind === "tray-of-cups" ? fill.tin.shape.cupCount : undefined;
  // "round 20x5 cm" stays as the baker wrote it; only the other units, or a name of their own, need more words.
  const described = settings.tinUnits === "in" ? formatTin(fill.tin, { units: "in" }) : fill.text;
  return {
    count: fill.count,
    tin: described,
    gramsEach: down(fill.batterGrams),
    ...(cups === undefined ? {} : { gramsPerCup: down(fill.batterGrams / cups) }),
    fillShare: fill.fillShare,
    depthMm: fill.depthMm,
  };
}

/** A target of a stage in the baker's words: "volume up by 100 %", "82 °C", "specific gravity 0.82", "6 min". */
export function targetWords(target: Target, temperature: TemperatureScale = "celsius"): string {
  switch (target.kind) {
    case "volume-increase":
      return `volume up by ${formatPercent(target.percent, 0)}`;
    case "temperature":
      return formatTemperature(target.celsius, temperature === "gas" ? "celsius" : temperature);
    case "specific-gravity":
      return `specific gravity ${target.value}`;
    case "time":
      return formatMinutes(target.seconds);
    case "look":
      return target.words;
  }
}

function fieldsFor(component: Component, settings: Settled): readonly SheetField[] {
  const degrees = settings.temperature === "fahrenheit" ? "°F" : "°C";
  if (component.bake || component.kind === "cake") {
    return [
      { label: "Batter", unit: degrees },
      { label: "Specific gravity" },
      { label: "In each tin", unit: "g" },
      { label: "Oven", unit: degrees },
      { label: "In at" },
      { label: "Out at" },
      { label: "Middle", unit: degrees },
      { label: "After baking", unit: "g" },
    ];
  }
  return component.loss || component.stages.some((stage) => stage.targets?.some((target) => target.kind === "temperature"))
    ? [
        { label: "Reached", unit: degrees },
        { label: "Weight after", unit: "g" },
      ]
    : [];
}

function sheetAllergens(summary: AllergenSummary): SheetAllergens {
  return {
    contains: named(summary.contains),
    mayContain: named(summary.mayContain),
    checkSupplier: named(summary.checkSupplier),
    unknownIngredients: summary.unknownIngredients,
  };
}

/** One entry for each name; wheat and milk are said by their own names and not as "cereals containing gluten". */
function named(entries: readonly AllergenEntry[]): readonly SheetAllergen[] {
  const byName = new Map<string, Set<string>>();
  for (const { allergen, kind, from } of entries) {
    const name = kind ?? (allergen === "cereals-gluten" ? "cereals containing gluten" : allergen);
    const list = byName.get(name) ?? new Set<string>();
    for (const ingredient of from) list.add(ingredient);
    byName.set(name, list);
  }
  return [...byName].map(([name, from]) => ({ name, from: [...from] }));
}

function tinWords(cautions: readonly TinCaution[]): readonly SheetCaution[] {
  // That there are more tins is read under the component's name; it needs no caution at the bench.
  const worth = cautions.filter(({ code }) => code !== "more-tins");
  return [...new Set(worth.map(({ words }) => words))].map((words) => ({ code: "tins", components: [], words }));
}

/** Weights on the grid of the scale add without the dust of binary fractions. */
const exactSum = (weights: readonly number[]) => Math.round(weights.reduce((sum, grams) => sum + grams, 0) * 1e6) / 1e6;
const round = (value: number, decimals: number) => Math.round(value * 10 ** decimals) / 10 ** decimals;

/** "468", "7.5": a weight of the sheet without its unit. */
export const sheetGrams = (grams: number, weighing: WeighingSettings = DEFAULT_WEIGHING) =>
  formatGrams(grams, { bare: true, weighing });
