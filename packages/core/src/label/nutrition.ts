import type { Composition } from "../composition/index.js";
import type { Nutrient } from "../ingredients/index.js";
import { nutrientBounds } from "./bounds.js";
import { type LabelLanguage, labelWords } from "./languages.js";
import { type Declared, type EuClass, roundEu, roundUs, roundUsVitaminPercent, type UsClass } from "./rounding.js";

/** One line of a nutrition declaration. */
export interface NutritionRow {
  readonly id: string;
  readonly name: string;
  /** Drawn under the line before it ("of which"). */
  readonly indented: boolean;
  readonly per100g: NutritionCell;
  readonly perPortion?: NutritionCell;
  /** Percent of the reference intake (EU, GB) or of the daily value (US) in a portion; 100 g where there is no portion. */
  readonly percent?: number;
  /** What makes up the figure, the greatest first. */
  readonly sources: readonly NutritionSource[];
}

/** What is printed, or why it cannot be. */
export type NutritionCell =
  | {
      readonly known: true;
      readonly unrounded: number;
      readonly declared: Declared;
      /** Where a figure is missing that cannot change what is printed, whatever it is. */
      readonly note?: string;
    }
  | { readonly known: false; readonly why: string };

/** What one use brings to a line. */
export interface NutritionSource {
  readonly nutrient: Nutrient;
  readonly component: string;
  readonly ingredient: string;
  readonly name: string;
  readonly useGrams: number;
  /** In 100 g of finished product [g; kJ, kcal]; absent where the figure is missing. */
  readonly per100g?: number;
  readonly source: string;
}

export interface NutritionDeclaration {
  readonly place: "gb" | "eu" | "us";
  readonly portionGrams?: number;
  readonly rows: readonly NutritionRow[];
  /** Source of the rules. */
  readonly rule: string;
}

/** Adult reference intakes: Regulation (EU) 1169/2011, Annex XIII Part B (energy, fat, saturates, sugars, salt seen; carbohydrate and protein from memory). */
export const EU_REFERENCE_INTAKES = {
  energyKj: 8400,
  energyKcal: 2000,
  fat: 70,
  saturates: 20,
  carbohydrate: 260,
  sugars: 90,
  protein: 50,
  salt: 6,
} as const;

/** US daily values for adults, 21 CFR 101.9(c)(8)(iv) and (c)(9), 2016 rule (vitamin D, calcium, iron, potassium seen; the rest from memory). */
export const US_DAILY_VALUES = {
  fat: 78,
  saturates: 20,
  cholesterolMg: 300,
  sodiumMg: 2300,
  carbohydrate: 275,
  fibre: 28,
  addedSugars: 50,
  protein: 50,
  vitaminDMcg: 20,
  calciumMg: 1300,
  ironMg: 18,
  potassiumMg: 4700,
} as const;

interface Line<Class> {
  readonly id: string;
  readonly name: string;
  readonly indented?: true;
  readonly voluntary?: true;
  readonly kind: Class;
  readonly needs: readonly Nutrient[];
  readonly daily?: number;
  amount(of: (nutrient: Nutrient) => number): number;
}

/** A line that is one nutrient as it stands. */
const straight = <Class>(
  id: string & Nutrient,
  name: string,
  kind: Class,
  more: Pick<Line<Class>, "indented" | "voluntary" | "daily"> = {},
): Line<Class> => ({ id, name, kind, needs: [id], amount: (of) => of(id), ...more });
const INDENTED = { indented: true } as const;
const VOLUNTARY = { voluntary: true } as const;

/** Order of Annex XV; mono- and polyunsaturates, polyols, starch and fibre may be added. */
const EU_LINES: readonly Line<EuClass>[] = [
  straight("energyKj", "energy", "energy"),
  straight("energyKcal", "energy", "energy"),
  straight("fat", "fat", "macro"),
  straight("saturates", "saturates", "fattyAcid", INDENTED),
  straight("monounsaturates", "monounsaturates", "fattyAcid", { ...INDENTED, ...VOLUNTARY }),
  straight("polyunsaturates", "polyunsaturates", "fattyAcid", { ...INDENTED, ...VOLUNTARY }),
  // Carbohydrate on a European label is what the body uses: by difference less fibre.
  {
    id: "carbohydrate",
    name: "carbohydrate",
    kind: "macro",
    needs: ["carbohydrate", "fibre"],
    amount: (of) => Math.max(0, of("carbohydrate") - of("fibre")),
  },
  straight("sugars", "sugars", "macro", INDENTED),
  straight("polyols", "polyols", "macro", { ...INDENTED, ...VOLUNTARY }),
  straight("starch", "starch", "macro", { ...INDENTED, ...VOLUNTARY }),
  straight("fibre", "fibre", "macro", VOLUNTARY),
  straight("protein", "protein", "macro"),
  { id: "salt", name: "salt", kind: "salt", needs: ["sodium"], amount: (of) => of("sodium") * 2.5 },
];

/**
 * The nutrition declaration of Great Britain and the European Union, per 100 g and, if wanted, per portion.
 *
 * Computed unrounded from the finished composition and rounded once. A line with a missing figure is not guessed: it says which
 * ingredient lacks it; unless the least and the most that the missing figure can be print alike.
 *
 * @param finished      composition after baking loss
 * @param portionGrams  weight of a portion [g], above 0
 * @param show          voluntary lines to show besides the mandatory ones
 *
 * Source: Regulation (EU) 1169/2011, Articles 29 to 35 and Annexes XIII to XV (assimilated in Great Britain).
 */
export function euNutrition(
  finished: Composition,
  place: "gb" | "eu" = "gb",
  portionGrams?: number,
  show: readonly string[] = ["fibre"],
  language: LabelLanguage = "en",
): NutritionDeclaration {
  const words = labelWords(language).rows;
  const cells = cellsOf(finished);
  const rows = EU_LINES.filter(({ id, voluntary }) => voluntary !== true || show.includes(id)).map((line): NutritionRow => {
    const cell = (grams: number) => cells(grams, line, (amount) => roundEu(line.kind, amount));
    const portion = portionGrams === undefined ? undefined : cell(portionGrams);
    const whole = portion ?? cell(100);
    const reference = (EU_REFERENCE_INTAKES as Readonly<Record<string, number>>)[line.id];
    return {
      id: line.id,
      name: words[line.name] ?? line.name,
      indented: line.indented ?? false,
      per100g: cell(100),
      ...(portion === undefined ? {} : { perPortion: portion }),
      ...(reference === undefined || !whole.known ? {} : { percent: Math.round((100 * whole.unrounded) / reference) }),
      sources: sourcesOf(finished, line.needs),
    };
  });
  return {
    place,
    ...(portionGrams === undefined ? {} : { portionGrams }),
    rows,
    rule: "Regulation (EU) 1169/2011, Annexes XIII to XV; rounding by the Commission's guidance of December 2012",
  };
}

const US_LINES: readonly Line<UsClass>[] = [
  {
    id: "calories",
    name: "Calories",
    kind: "calories",
    needs: ["fat", "protein", "carbohydrate", "alcohol"],
    amount: (of) => 9 * of("fat") + 4 * of("protein") + 4 * of("carbohydrate") + 7 * of("alcohol"),
  },
  straight("fat", "Total Fat", "fat", { daily: US_DAILY_VALUES.fat }),
  straight("saturates", "Saturated Fat", "fat", { ...INDENTED, daily: US_DAILY_VALUES.saturates }),
  {
    id: "sodium",
    name: "Sodium",
    kind: "sodium",
    needs: ["sodium"],
    daily: US_DAILY_VALUES.sodiumMg,
    amount: (of) => of("sodium") * 1000,
  },
  straight("carbohydrate", "Total Carbohydrate", "carbohydrate", { daily: US_DAILY_VALUES.carbohydrate }),
  straight("fibre", "Dietary Fiber", "carbohydrate", { ...INDENTED, daily: US_DAILY_VALUES.fibre }),
  straight("sugars", "Total Sugars", "carbohydrate", INDENTED),
  straight("protein", "Protein", "protein"),
];

/** What a laboratory or the suppliers state of the finished product, per 100 g: figures that the food tables here do not hold. */
export interface StatedForUs {
  readonly transFatGrams?: number;
  readonly cholesterolMg?: number;
  readonly vitaminDMcg?: number;
  readonly calciumMg?: number;
  readonly ironMg?: number;
  readonly potassiumMg?: number;
}

interface StatedLine {
  readonly id: keyof StatedForUs;
  readonly name: string;
  readonly indented: boolean;
  readonly after: string;
  readonly daily?: number;
  readonly isMineral?: true;
  round(amount: number): Declared;
}

const mineral = (digits: number, unit: string) => (amount: number) => {
  const value = Number((Math.round(amount / 10 ** -digits + 1e-9) * 10 ** -digits).toFixed(Math.max(0, digits)));
  return { text: `${value}${unit}`, value };
};
/** Amounts: vitamin D and iron to 0.1, calcium and potassium to 10 (the agency's guidance; the last from memory). */
const STATED_LINES: readonly StatedLine[] = [
  { id: "transFatGrams", name: "Trans Fat", indented: true, after: "saturates", round: (amount) => roundUs("fat", amount) },
  {
    id: "cholesterolMg",
    name: "Cholesterol",
    indented: false,
    after: "transFatGrams",
    daily: US_DAILY_VALUES.cholesterolMg,
    round: (amount) => roundUs("cholesterol", amount),
  },
  {
    id: "vitaminDMcg",
    name: "Vitamin D",
    indented: false,
    after: "protein",
    daily: US_DAILY_VALUES.vitaminDMcg,
    isMineral: true,
    round: mineral(1, "mcg"),
  },
  {
    id: "calciumMg",
    name: "Calcium",
    indented: false,
    after: "vitaminDMcg",
    daily: US_DAILY_VALUES.calciumMg,
    isMineral: true,
    round: mineral(-1, "mg"),
  },
  {
    id: "ironMg",
    name: "Iron",
    indented: false,
    after: "calciumMg",
    daily: US_DAILY_VALUES.ironMg,
    isMineral: true,
    round: mineral(1, "mg"),
  },
  {
    id: "potassiumMg",
    name: "Potassium",
    indented: false,
    after: "ironMg",
    daily: US_DAILY_VALUES.potassiumMg,
    isMineral: true,
    round: mineral(-1, "mg"),
  },
];

/** Added sugars of the whole finished product [g]: the least and the most that they can be (see `addedSugarsOf`). */
export interface AddedSugars {
  readonly fromGrams: number;
  readonly toGrams: number;
  readonly unknown: readonly string[];
}

/**
 * The figures of a US Nutrition Facts panel, per serving and per 100 g.
 *
 * Trans fat, cholesterol, vitamin D, calcium, iron and potassium are mandatory there and the food tables used here do not hold
 * them: they are taken from `stated`, else those rows say so and the panel is not complete.
 *
 * @param servingGrams  above 0
 * @param added         from `addedSugarsOf`; without it the row says that it is not known
 *
 * Source: 21 CFR 101.9(c), (d). Calories by 4-9-4-7 (101.9(c)(1)(i)(B)).
 */
export function usNutrition(
  finished: Composition,
  servingGrams: number,
  added?: AddedSugars,
  stated: StatedForUs = {},
): NutritionDeclaration {
  const cells = cellsOf(finished);
  const rows: NutritionRow[] = US_LINES.map((line) => {
    const cell = (grams: number) => cells(grams, line, (amount) => roundUs(line.kind, amount));
    const serving = cell(servingGrams);
    return {
      id: line.id,
      name: line.name,
      indented: line.indented ?? false,
      per100g: cell(100),
      perPortion: serving,
      ...(line.daily === undefined || !serving.known ? {} : { percent: Math.round((100 * serving.unrounded) / line.daily) }),
      sources: sourcesOf(finished, line.needs),
    };
  });
  const insertAfter = (after: string, row: NutritionRow) =>
    void rows.splice(rows.findIndex(({ id }) => id === after) + 1, 0, row);
  insertAfter("sugars", addedRow(finished, servingGrams, added));
  for (const line of STATED_LINES) insertAfter(line.after, statedRow(line, servingGrams, stated[line.id]));
  return { place: "us", portionGrams: servingGrams, rows, rule: "21 CFR 101.9(c)" };
}

function addedRow(finished: Composition, servingGrams: number, added: AddedSugars | undefined): NutritionRow {
  const cell = (grams: number): NutritionCell => {
    if (added === undefined || !(finished.totalGrams > 0))
      return { known: false, why: "which of the sugars were added is not known" };
    const [from, to] = [added.fromGrams, added.toGrams].map((all) => (all * grams) / finished.totalGrams) as [number, number];
    const declared = roundUs("carbohydrate", from);
    return declared.text === roundUs("carbohydrate", to).text
      ? { known: true, unrounded: from, declared, ...(to > from ? { note: sameWhatever(added.unknown) } : {}) }
      : { known: false, why: `how much of the sugars was added is not known for ${added.unknown.join(", ")}` };
  };
  const serving = cell(servingGrams);
  return {
    id: "addedSugars",
    name: "Includes Added Sugars",
    indented: true,
    per100g: cell(100),
    perPortion: serving,
    ...(serving.known ? { percent: Math.round((100 * serving.unrounded) / US_DAILY_VALUES.addedSugars) } : {}),
    sources: [],
  };
}

const NOT_HELD = "the food tables used here do not hold it; an analysis or the supplier's figure is needed";

function statedRow(line: StatedLine, servingGrams: number, stated: number | undefined): NutritionRow {
  const cell = (grams: number): NutritionCell =>
    stated === undefined
      ? { known: false, why: NOT_HELD }
      : {
          known: true,
          unrounded: (stated * grams) / 100,
          declared: line.round((stated * grams) / 100),
          note: "stated by the baker",
        };
  const percent = stated === undefined || line.daily === undefined ? undefined : (stated * servingGrams) / line.daily;
  return {
    id: line.id,
    name: line.name,
    indented: line.indented,
    per100g: cell(100),
    perPortion: cell(servingGrams),
    ...(percent === undefined ? {} : { percent: line.isMineral ? roundUsVitaminPercent(percent) : Math.round(percent) }),
    sources: [],
  };
}

const sameWhatever = (names: readonly string[]) =>
  `no figure for ${names.join(", ")}; whatever it is, the printed figure is the same`;

/** Reads cells of one composition; what is missing is bounded once for all lines. */
function cellsOf(finished: Composition) {
  const bounds = nutrientBounds(finished);
  return <Class>(grams: number, line: Line<Class>, round: (amount: number) => Declared): NutritionCell => {
    if (!(finished.totalGrams > 0)) return { known: false, why: "nothing is weighed yet" };
    const share = grams / finished.totalGrams;
    const unrounded = line.amount((nutrient) => finished.totals[nutrient].amount * share);
    const lacking = line.needs.flatMap((nutrient) => bounds(nutrient).lacking.map((name) => ({ nutrient, name })));
    if (lacking.length === 0) return { known: true, unrounded, declared: round(Math.max(0, unrounded)) };
    // Every line is linear in each nutrient, so the extremes are at corners.
    const ends = corners(line.needs.filter((nutrient) => bounds(nutrient).lacking.length > 0)).map((highs) =>
      round(
        Math.max(
          0,
          line.amount(
            (nutrient) =>
              (finished.totals[nutrient].amount + (highs.includes(nutrient) ? bounds(nutrient).mostGrams : 0)) * share,
          ),
        ),
      ),
    );
    const declared = round(Math.max(0, unrounded));
    const names = [...new Set(lacking.map(({ nutrient, name }) => `${name} (${nutrient})`))];
    return ends.every(({ text }) => text === declared.text)
      ? { known: true, unrounded, declared, note: sameWhatever(names) }
      : { known: false, why: `no figure for ${names.join(", ")}` };
  };
}

/** Every choice of some of them. */
function corners(nutrients: readonly Nutrient[]): readonly (readonly Nutrient[])[] {
  return Array.from({ length: 2 ** nutrients.length }, (_, pick) => nutrients.filter((_one, index) => (pick >> index) & 1));
}

function sourcesOf(finished: Composition, needs: readonly Nutrient[]): readonly NutritionSource[] {
  const share = finished.totalGrams > 0 ? 100 / finished.totalGrams : 0;
  return needs
    .flatMap((nutrient) =>
      [...finished.totals[nutrient].contributions, ...finished.totals[nutrient].missing].flatMap((one): NutritionSource[] =>
        one.ingredient === "" || one.amount === 0
          ? []
          : [
              {
                nutrient,
                component: one.component,
                ingredient: one.ingredient,
                name: one.name,
                useGrams: one.useGrams,
                ...(one.amount === undefined ? {} : { per100g: one.amount * share }),
                source: one.source,
              },
            ],
      ),
    )
    .toSorted((one, other) => (other.per100g ?? Number.POSITIVE_INFINITY) - (one.per100g ?? Number.POSITIVE_INFINITY));
}
