import {
  type EggWeights,
  type Formula,
  roundFormula,
  type ScaleResult,
  scaleByFactor,
  scaleToEggs,
  scaleToGrams,
  scaleToIngredient,
  scaleToPortions,
} from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import { type EggGrade, eggParts, type Problem, parseQuantity, type Result, readGrams } from "@evencrumb/core/quantities";
import {
  fillingCautions,
  type NamedTin,
  readTinsFor,
  scaleToTins,
  type TinCaution,
  type TinFill,
  tinComponent,
  tinFilling,
  type UsedDensity,
} from "@evencrumb/core/tins";
import type { Settings } from "../app/house.js";

export const SCALE_BY = ["tins", "grams", "portions", "eggs", "ingredient", "factor"] as const;
export type ScaleBy = (typeof SCALE_BY)[number];

/** What the batch shall be, as it stands in the address: it survives a reload and goes on to the batch sheet. */
export interface ScaleRequest {
  readonly by: ScaleBy;
  /** As typed: "2 round 20x5 cm", "1500", "24", "6", "320", "1.5". */
  readonly value: string;
  readonly component?: string;
  /** Id of the ingredient of which something is left. */
  readonly ingredient?: string;
}

export interface ScaledBatch {
  readonly formula: Formula;
  readonly factor: number;
  /** "2 round 20x5 cm", "24 portions". */
  readonly words: string;
  readonly filling: { readonly tins: readonly TinFill[]; readonly density: UsedDensity } | null;
  readonly before: { readonly tins: readonly TinFill[] } | null;
  readonly cautions: readonly TinCaution[];
}

export function scaleRequestFrom(query: URLSearchParams): ScaleRequest | null {
  const by = SCALE_BY.find((one) => one === query.get("by"));
  const value = query.get("value");
  if (by === undefined || value === null) return null;
  const component = query.get("component");
  const ingredient = query.get("ingredient");
  return { by, value, ...(component === null ? {} : { component }), ...(ingredient === null ? {} : { ingredient }) };
}

export const scaleQuery = (request: ScaleRequest): Record<string, string> => ({ ...request });

export function eggOf(settings: Settings): EggWeights {
  const parts = eggParts({ scheme: settings.eggScheme, grade: settings.eggGrade } as EggGrade);
  return { wholeGrams: parts.edibleGrams, whiteGrams: parts.whiteGrams, yolkGrams: parts.yolkGrams };
}

/** The batch that was asked for, in weighable amounts; or why there is none. */
export function scaleAs(
  request: ScaleRequest,
  formula: Formula,
  book: IngredientBook,
  owned: readonly NamedTin[],
  settings: Settings,
): Result<ScaledBatch, Problem> {
  const weighing = settings.rounding;
  const options = { weighing, ...(request.component === undefined ? {} : { component: request.component }) };
  switch (request.by) {
    case "tins": {
      const tins = readTinsFor(request.value, owned);
      const [problem] = tins.problems;
      if (tins.value.length === 0 && problem !== undefined) return { ok: false, error: problem };
      const scaled = scaleToTins(formula, tins.value, {
        book,
        owned,
        ...(request.component === undefined ? {} : { component: request.component }),
      });
      if (!scaled.ok) return scaled;
      const { factor, tins: fills, before, density, cautions } = scaled.value;
      return {
        ok: true,
        value: {
          formula: roundFormula(scaled.value.formula, weighing).formula,
          factor,
          words: fills.map(({ count, text }) => `${count} × ${text}`).join(", "),
          filling: { tins: fills, density },
          before: before === undefined ? null : { tins: before },
          cautions,
        },
      };
    }
    case "grams": {
      const read = readGrams(request.value);
      if (!read.ok) return read;
      const what = request.component ?? "everything";
      return inOwnTins(scaleToGrams(formula, read.value, options), `${request.value} g of ${what}`, formula, book, owned);
    }
    case "portions":
      return inOwnTins(
        scaleToPortions(formula, numberIn(request.value), { weighing }),
        `${request.value} portions`,
        formula,
        book,
        owned,
      );
    case "eggs":
      return inOwnTins(
        scaleToEggs(formula, book, numberIn(request.value), eggOf(settings), { weighing }),
        `${request.value} eggs`,
        formula,
        book,
        owned,
      );
    case "ingredient": {
      const read = readGrams(request.value);
      if (!read.ok) return read;
      const name = book.get(request.ingredient ?? "")?.name ?? request.ingredient ?? "";
      return inOwnTins(
        scaleToIngredient(formula, request.ingredient ?? "", read.value, { weighing }),
        `${request.value} g of ${name}`,
        formula,
        book,
        owned,
      );
    }
    case "factor":
      return inOwnTins(
        scaleByFactor(formula, numberIn(request.value), { weighing }),
        `${request.value} times`,
        formula,
        book,
        owned,
      );
  }
}

/** How the scaled batter stands in the tins that the formula already names. */
function inOwnTins(
  scaled: ScaleResult,
  words: string,
  formula: Formula,
  book: IngredientBook,
  owned: readonly NamedTin[],
): Result<ScaledBatch, Problem> {
  if (!scaled.ok) return scaled;
  const now = tinComponent(scaled.value.formula);
  const then = tinComponent(formula);
  const filling = now === undefined ? undefined : tinFilling(now, book, owned).value;
  const before = then === undefined ? undefined : tinFilling(then, book, owned).value;
  return {
    ok: true,
    value: {
      formula: scaled.value.formula,
      factor: scaled.value.factor,
      words,
      filling: filling ?? null,
      before: before ?? null,
      cautions: filling === undefined ? [] : fillingCautions(filling),
    },
  };
}

function numberIn(text: string): number {
  const { value } = parseQuantity(text);
  return value?.kind === "number" ? value.value : Number.NaN;
}
