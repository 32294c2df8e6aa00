import type { Composition, Total } from "../composition/index.js";
import type { FurtherNutrient, Nutrient } from "../ingredients/index.js";
import { nutrientBounds } from "./bounds.js";
import type { Declared } from "./rounding.js";

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
  readonly nutrient: Nutrient | FurtherNutrient;
  readonly component: string;
  readonly ingredient: string;
  readonly name: string;
  readonly useGrams: number;
  /** In 100 g of finished product [g; kJ, kcal; a further nutrient in the unit of its name]; absent where the figure is missing. */
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

export interface Line<Class> {
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
export const straight = <Class>(
  id: string & Nutrient,
  name: string,
  kind: Class,
  more: Pick<Line<Class>, "indented" | "voluntary" | "daily"> = {},
): Line<Class> => ({ id, name, kind, needs: [id], amount: (of) => of(id), ...more });
export const INDENTED = { indented: true } as const;

export const sameWhatever = (names: readonly string[]) =>
  `no figure for ${names.join(", ")}; whatever it is, the printed figure is the same`;

/** Reads cells of one composition; what is missing is bounded once for all lines. */
export function cellsOf(finished: Composition) {
  const bounds = nutrientBounds(finished);
  return <Class>(grams: number, line: Line<Class>, round: (amount: number) => Declared): NutritionCell => {
    if (!(finished.totalGrams > 0)) return { known: false, why: "nothing is weighed yet" };
    const share = grams / finished.totalGrams;
    const unrounded = line.amount((nutrient) => finished.totals[nutrient].amount * share);
    const lacking = line.needs.flatMap((nutrient) => bounds(nutrient).lacking.map((name) => ({ nutrient, name })));
    if (lacking.length === 0) return { known: true, unrounded, declared: round(Math.max(0, unrounded)) };
    // What the body uses of carbohydrate is the figure less the fibre that is in it, and less no other.
    const most = (nutrient: Nutrient) =>
      line.id === "carbohydrate" && nutrient === "fibre" ? bounds(nutrient).mostInsideGrams : bounds(nutrient).mostGrams;
    // Every line is linear in each nutrient, so the extremes are at corners.
    const ends = corners(line.needs.filter((nutrient) => bounds(nutrient).lacking.length > 0)).map((highs) =>
      round(
        Math.max(
          0,
          line.amount((nutrient) => (finished.totals[nutrient].amount + (highs.includes(nutrient) ? most(nutrient) : 0)) * share),
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

export const sourcesOf = (finished: Composition, needs: readonly Nutrient[]): readonly NutritionSource[] =>
  sourcesOfTotals(
    finished.totalGrams,
    needs.map((nutrient) => [nutrient, finished.totals[nutrient]]),
  );

/** What totals of a finished product of a weight [g] are made of, the greatest first; what has no figure before it. */
export function sourcesOfTotals(
  totalGrams: number,
  totals: readonly (readonly [NutritionSource["nutrient"], Total])[],
): readonly NutritionSource[] {
  const share = totalGrams > 0 ? 100 / totalGrams : 0;
  return totals
    .flatMap(([nutrient, total]) =>
      [...total.contributions, ...total.missing].flatMap((one): NutritionSource[] =>
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
