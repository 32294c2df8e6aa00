import { readdirSync, readFileSync } from "node:fs";
import { it } from "vitest";
import { expectTableOn, markdownTable } from "../../testing/docsTable.js";
import { parseFormulaFile } from "../formula/index.js";
import { ALLERGENS, createIngredientBook, standardIngredients } from "../ingredients/index.js";
import { allergenMatrix, isGtin, LABEL_LANGUAGES, labelFor, labelWords, layoutLabel, roundEu, roundUs } from "./index.js";
import { EU_ROUNDING, US_ROUNDING } from "./rounding.cases.js";

const book = createIngredientBook();
const folder = new URL("../../../../examples/formulas/", import.meta.url);
const formulas = readdirSync(folder)
  .filter((file) => file.endsWith(".1.yaml"))
  .map((file) => parseFormulaFile(readFileSync(new URL(file, folder), "utf8")).value!);

/** Numbers as GS1 and its national bodies print them. */
const PRINTED = ["7300011000017", "8904000210037", "6291041500213", "5012345678900"];

/** A row of the table: how many of how many agree. */
const row = (check: string, kind: string, of: readonly boolean[], what: string) => [
  check,
  kind,
  `${of.filter(Boolean).length} of ${of.length} ${what}`,
];

// The page says what these checks give today; what each has to give is for the tests beside it.
it("prints on the page how well labels agree", () => {
  const contained = standardIngredients().flatMap(({ id, contains }) => {
    const stages = [{ name: "Mix", uses: [{ ingredient: id, grams: 100 }] }];
    const formula = { name: id, components: [{ name: id, kind: "other" as const, stages }] };
    const [product] = allergenMatrix([{ id, formula }], book, { date: "2026-11-25" }).rows;
    return contains.map(({ allergen }) => product!.cells.find((cell) => cell.allergen === allergen)?.state === "contains");
  });
  const named = LABEL_LANGUAGES.flatMap((language) =>
    ALLERGENS.map((allergen) => labelWords(language).allergens[allergen] !== ""),
  );
  const letters = (["gb", "eu", "us"] as const).flatMap((place) =>
    formulas.map((formula) => {
      const label = labelFor(formula, book, { place, mode: "prepacked", date: "2026-11-25", packs: 1, nutrition: "always" });
      const layout = layoutLabel(label, { widthMm: 120, heightMm: 160 });
      return layout.fits && layout.xHeightMm >= layout.leastXHeightMm - 1e-9;
    }),
  );
  expectTableOn(
    "docs/models/label.md",
    "label agreement",
    markdownTable(
      ["check", "kind", "result"],
      [
        row(
          "rounding at and around every threshold of the guidance of 2012",
          "published (limits seen, energy and sodium from memory)",
          EU_ROUNDING.map(([kind, amount, text]) => roundEu(kind, amount).text === text),
          "values equal",
        ),
        row(
          "rounding at and around every threshold of 21 CFR 101.9(c)",
          "published",
          US_ROUNDING.map(([kind, amount, text]) => roundUs(kind, amount).text === text),
          "values equal",
        ),
        row("check digits printed by GS1 and its bodies", "published", PRINTED.map(isGtin), "numbers end in theirs"),
        row("allergens of every shipped ingredient in the matrix", "published list", contained, "shown as contained"),
        row("names of the fourteen in five languages", "published list", named, "given"),
        row(
          "demo cakes on 120 × 160 mm, three places: letters of the least x-height or more, all of it fits",
          "measured",
          letters,
          "labels",
        ),
      ],
    ),
  );
});
