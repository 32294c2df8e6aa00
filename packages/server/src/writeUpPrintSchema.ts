import { READER_MEASURES, type WriteUp } from "@evencrumb/core/writeup";
import { z } from "@hono/zod-openapi";

/** More than any recipe has, and little enough to lay out in a moment. */
const LINES_MAX = 500;
const LETTERS_MAX = 200_000;

const words = (lengthMax = 500) => z.string().max(lengthMax);
const list = (lengthMax: number, most: number) => z.array(words(lengthMax)).max(most).readonly();

/** The write-up as `writeUp` of core gives it: what is printed of it. */
export const WriteUpPrintSchema = z
  .object({
    title: words(300),
    intro: words(20_000).optional(),
    portions: z.number().min(0).max(1e6).optional(),
    author: words(300).optional(),
    date: words(60).optional(),
    measures: z.enum(READER_MEASURES),
    eggs: words(200).optional(),
    parts: z
      .array(
        z.object({
          name: words(300),
          kind: words(40),
          tins: list(500, 50),
          ingredients: z
            .array(z.object({ text: words(1500) }))
            .max(LINES_MAX)
            .readonly(),
          steps: list(20_000, LINES_MAX),
        }),
      )
      .max(50)
      .readonly(),
    storage: list(2000, 50),
    allergens: z.object({ contains: list(300, 100), mayContain: list(300, 100), check: list(300, 100) }),
    cautions: list(3000, 100),
    rounding: z
      .array(z.object({ words: words(2000) }))
      .max(200)
      .readonly(),
  })
  .refine((text) => JSON.stringify(text).length <= LETTERS_MAX, { error: `at most ${LETTERS_MAX} letters in all`, path: [] })
  .openapi("WriteUpPrint");

/** What the schema lets through is all that is printed of a write-up. */
export const asWriteUp = (text: z.output<typeof WriteUpPrintSchema>): WriteUp => text as unknown as WriteUp;
