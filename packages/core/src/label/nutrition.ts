import type { Composition } from "../composition/index.js";
import type { Nutrient } from "../ingredients/index.js";
import { type Declared, type EuClass, roundEu, roundUs, type UsClass } from "./rounding.js";

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
}

/** What is printed, or why it cannot be. */
export type NutritionCell =
  | { readonly known: true; readonly unrounded: number; readonly declared: Declared }
  | { readonly known: false; readonly why: string };

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

/** US daily values for adults, 21 CFR 101.9(c)(8)(iv) and (c)(9), 2016 rule (from memory). Grams; sodium in milligrams. */
export const US_DAILY_VALUES = {
  fat: 78,
  saturates: 20,
  sodiumMg: 2300,
  carbohydrate: 275,
  fibre: 28,
  addedSugars: 50,
  protein: 50,
} as const;

interface EuLine {
  readonly id: keyof typeof EU_REFERENCE_INTAKES | "fibre" | "monounsaturates" | "polyunsaturates" | "starch" | "polyols";
  readonly name: string;
  readonly indented?: boolean;
  readonly voluntary?: boolean;
  readonly kind: EuClass;
  readonly needs: readonly Nutrient[];
  amount(of: (nutrient: Nutrient) => number): number;
}

/** Order of Annex XV; mono- and polyunsaturates, polyols, starch and fibre may be added. */
const EU_LINES: readonly EuLine[] = [
  { id: "energyKj", name: "Energy", kind: "energy", needs: ["energyKj"], amount: (of) => of("energyKj") },
  { id: "energyKcal", name: "Energy", kind: "energy", needs: ["energyKcal"], amount: (of) => of("energyKcal") },
  { id: "fat", name: "Fat", kind: "macro", needs: ["fat"], amount: (of) => of("fat") },
  {
    id: "saturates",
    name: "of which saturates",
    indented: true,
    kind: "fattyAcid",
    needs: ["saturates"],
    amount: (of) => of("saturates"),
  },
  {
    id: "monounsaturates",
    name: "mono-unsaturates",
    indented: true,
    voluntary: true,
    kind: "fattyAcid",
    needs: ["monounsaturates"],
    amount: (of) => of("monounsaturates"),
  },
  {
    id: "polyunsaturates",
    name: "polyunsaturates",
    indented: true,
    voluntary: true,
    kind: "fattyAcid",
    needs: ["polyunsaturates"],
    amount: (of) => of("polyunsaturates"),
  },
  // Carbohydrate on a European label is what the body uses: by difference less fibre.
  {
    id: "carbohydrate",
    name: "Carbohydrate",
    kind: "macro",
    needs: ["carbohydrate", "fibre"],
    amount: (of) => Math.max(0, of("carbohydrate") - of("fibre")),
  },
  { id: "sugars", name: "of which sugars", indented: true, kind: "macro", needs: ["sugars"], amount: (of) => of("sugars") },
  {
    id: "polyols",
    name: "polyols",
    indented: true,
    voluntary: true,
    kind: "macro",
    needs: ["polyols"],
    amount: (of) => of("polyols"),
  },
  {
    id: "starch",
    name: "starch",
    indented: true,
    voluntary: true,
    kind: "macro",
    needs: ["starch"],
    amount: (of) => of("starch"),
  },
  { id: "fibre", name: "Fibre", voluntary: true, kind: "macro", needs: ["fibre"], amount: (of) => of("fibre") },
  { id: "protein", name: "Protein", kind: "macro", needs: ["protein"], amount: (of) => of("protein") },
  { id: "salt", name: "Salt", kind: "salt", needs: ["sodium"], amount: (of) => of("sodium") * 2.5 },
];

/**
 * The nutrition declaration of Great Britain and the European Union, per 100 g and, if wanted, per portion.
 *
 * Computed unrounded from the finished composition and rounded once. A line with a missing figure is not guessed: it says which
 * ingredient lacks it.
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
): NutritionDeclaration {
  const rows = EU_LINES.filter(({ id, voluntary }) => voluntary !== true || show.includes(id)).map((line): NutritionRow => {
    const cell = (grams: number) => cellFor(finished, grams, line.needs, line.amount, (amount) => roundEu(line.kind, amount));
    const portion = portionGrams === undefined ? undefined : cell(portionGrams);
    const whole = portion ?? cell(100);
    const reference = (EU_REFERENCE_INTAKES as Readonly<Record<string, number>>)[line.id];
    return {
      id: line.id,
      name: line.name,
      indented: line.indented ?? false,
      per100g: cell(100),
      ...(portion === undefined ? {} : { perPortion: portion }),
      ...(reference === undefined || !whole.known ? {} : { percent: Math.round((100 * whole.unrounded) / reference) }),
    };
  });
  return {
    place,
    ...(portionGrams === undefined ? {} : { portionGrams }),
    rows,
    rule: "Regulation (EU) 1169/2011, Annexes XIII to XV; rounding by the Commission's guidance of December 2012",
  };
}

interface UsLine {
  readonly id: string;
  readonly name: string;
  readonly indented?: boolean;
  readonly kind: UsClass;
  readonly needs: readonly Nutrient[];
  readonly daily?: number;
  amount(of: (nutrient: Nutrient) => number): number;
}

const US_LINES: readonly UsLine[] = [
  {
    id: "calories",
    name: "Calories",
    kind: "calories",
    needs: ["energyKcal", "fat", "protein", "carbohydrate"],
    amount: (of) => 9 * of("fat") + 4 * of("protein") + 4 * of("carbohydrate") + 7 * of("alcohol"),
  },
  { id: "fat", name: "Total Fat", kind: "fat", needs: ["fat"], daily: US_DAILY_VALUES.fat, amount: (of) => of("fat") },
  {
    id: "saturates",
    name: "Saturated Fat",
    indented: true,
    kind: "fat",
    needs: ["saturates"],
    daily: US_DAILY_VALUES.saturates,
    amount: (of) => of("saturates"),
  },
  {
    id: "sodium",
    name: "Sodium",
    kind: "sodium",
    needs: ["sodium"],
    daily: US_DAILY_VALUES.sodiumMg,
    amount: (of) => of("sodium") * 1000,
  },
  {
    id: "carbohydrate",
    name: "Total Carbohydrate",
    kind: "carbohydrate",
    needs: ["carbohydrate"],
    daily: US_DAILY_VALUES.carbohydrate,
    amount: (of) => of("carbohydrate"),
  },
  {
    id: "fibre",
    name: "Dietary Fiber",
    indented: true,
    kind: "carbohydrate",
    needs: ["fibre"],
    daily: US_DAILY_VALUES.fibre,
    amount: (of) => of("fibre"),
  },
  { id: "sugars", name: "Total Sugars", indented: true, kind: "carbohydrate", needs: ["sugars"], amount: (of) => of("sugars") },
  { id: "protein", name: "Protein", kind: "protein", needs: ["protein"], amount: (of) => of("protein") },
];

/**
 * The figures of a US Nutrition Facts panel that the composition can give, per serving.
 *
 * Trans fat, cholesterol, vitamin D, calcium, iron and potassium are mandatory there and the tables used here do not hold them:
 * those rows say so and the panel is not complete without an analysis. Added sugars need to know which sugars were added:
 * `addedSugarsGrams` per serving, from the formula (`addedSugarsOf`).
 *
 * @param servingGrams  above 0
 *
 * Source: 21 CFR 101.9(c), (d). Calories by 4-9-4-7 (101.9(c)(1)(i)(B)).
 */
export function usNutrition(finished: Composition, servingGrams: number, addedSugarsGrams?: number): NutritionDeclaration {
  const absent = (id: string, name: string, indented: boolean): NutritionRow => ({
    id,
    name,
    indented,
    per100g: { known: false, why: NOT_HELD },
    perPortion: { known: false, why: NOT_HELD },
  });
  const rows = US_LINES.flatMap((line): NutritionRow[] => {
    const cell = (grams: number) => cellFor(finished, grams, line.needs, line.amount, (amount) => roundUs(line.kind, amount));
    const serving = cell(servingGrams);
    const row: NutritionRow = {
      id: line.id,
      name: line.name,
      indented: line.indented ?? false,
      per100g: cell(100),
      perPortion: serving,
      ...(line.daily === undefined || !serving.known ? {} : { percent: Math.round((100 * serving.unrounded) / line.daily) }),
    };
    if (line.id === "saturates") return [row, absent("trans", "Trans Fat", true), absent("cholesterol", "Cholesterol", false)];
    if (line.id === "sugars") {
      const added: NutritionCell =
        addedSugarsGrams === undefined
          ? { known: false, why: "which of the sugars were added is not known" }
          : { known: true, unrounded: addedSugarsGrams, declared: roundUs("carbohydrate", addedSugarsGrams) };
      return [
        row,
        {
          id: "addedSugars",
          name: "Includes Added Sugars",
          indented: true,
          per100g: { known: false, why: "told per serving only" },
          perPortion: added,
          ...(added.known ? { percent: Math.round((100 * added.unrounded) / US_DAILY_VALUES.addedSugars) } : {}),
        },
      ];
    }
    return [row];
  });
  return {
    place: "us",
    portionGrams: servingGrams,
    rows: [
      ...rows,
      ...["Vitamin D", "Calcium", "Iron", "Potassium"].map((name) => absent(name.toLowerCase().replace(" ", ""), name, false)),
    ],
    rule: "21 CFR 101.9(c)",
  };
}

const NOT_HELD = "the food tables used here do not hold it; an analysis or the supplier's figure is needed";

function cellFor(
  finished: Composition,
  grams: number,
  needs: readonly Nutrient[],
  amount: (of: (nutrient: Nutrient) => number) => number,
  round: (amount: number) => Declared,
): NutritionCell {
  if (!(finished.totalGrams > 0)) return { known: false, why: "nothing is weighed yet" };
  const lacking = needs.flatMap((nutrient) =>
    finished.totals[nutrient].missing.filter(({ useGrams }) => useGrams > 0).map(({ name }) => `${name} (${nutrient})`),
  );
  if (lacking.length > 0) return { known: false, why: `no figure for ${[...new Set(lacking)].join(", ")}` };
  const unrounded = amount((nutrient) => (finished.totals[nutrient].amount * grams) / finished.totalGrams);
  return { known: true, unrounded, declared: round(Math.max(0, unrounded)) };
}
