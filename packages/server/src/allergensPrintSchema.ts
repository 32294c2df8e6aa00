import { ALLERGENS } from "@evencrumb/core/ingredients";
import type { AllergenMatrix } from "@evencrumb/core/label";
import { z } from "@hono/zod-openapi";

const words = (lengthMax = 300) => z.string().max(lengthMax);
const names = (most: number) => z.array(words()).max(most).readonly();

/** The allergens of all products as `allergenMatrix` of core gives them. */
export const AllergensPrintSchema = z
  .object({
    date: words(60),
    bakery: words().optional(),
    rows: z
      .array(
        z.object({
          id: words(),
          name: words(),
          revision: words().optional(),
          cells: z
            .array(
              z.object({
                allergen: z.enum(ALLERGENS),
                state: z.enum(["contains", "may-contain", "check", "unknown", "none"]),
                kinds: names(40),
                from: names(400),
              }),
            )
            .length(ALLERGENS.length)
            .readonly(),
          unknownIngredients: names(400),
        }),
      )
      .max(500)
      .readonly(),
    words: words(2000),
  })
  .openapi("AllergensPrint");

export const asMatrix = (matrix: z.output<typeof AllergensPrintSchema>): AllergenMatrix => matrix as AllergenMatrix;
