import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import { benchCautions, type SheetCaution } from "@evencrumb/core/plan";

/** Said to tasters with the allergens, because it is not for everybody. Usual health advice; local food law decides. */
const TOLD: Partial<Record<SheetCaution["code"], string>> = {
  "raw-egg": "raw or lightly cooked egg: not for people at risk without advice",
  "raw-flour": "flour that was not baked",
  alcohol: "alcohol",
  honey: "honey: not for children under one year",
};

const cautionsOf = (formulas: readonly Formula[], book: IngredientBook) =>
  formulas.flatMap((formula) => benchCautions(formula, book));

/** What tasters of these cakes should know beside the allergens. */
export const tasterWarnings = (formulas: readonly Formula[], book: IngredientBook): string[] => [
  ...new Set(cautionsOf(formulas, book).flatMap(({ code }) => TOLD[code] ?? [])),
];

/** What the one who serves has to know: parts that must stay cold until they are eaten. */
export const servingCautions = (formulas: readonly Formula[], book: IngredientBook): string[] => [
  ...new Set(
    cautionsOf(formulas, book).flatMap(({ code, words }) => (code === "keep-chilled" || code === "raw-egg" ? [words] : [])),
  ),
];
