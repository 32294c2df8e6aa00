import { readFileSync, writeFileSync } from "node:fs";
import { expect, it } from "vitest";
import type { Formula } from "../formula/index.js";
import { createIngredientBook, FURTHER_NUTRIENTS, FURTHER_WORDS, type FurtherNutrient } from "../ingredients/index.js";
import { composeFormula } from "./compose.js";
import { composeFurther } from "./further.js";

/*
 * Published: UK CoFID 2021 prints two home-made sponges that its compilers calculated from recipes (see homeBaked.test.ts, where the recipes,
 * from memory of the printed book, are the same). The water printed gives the loss and is no evidence; nothing else is fitted.
 */
interface Cake {
  readonly code: string;
  readonly name: string;
  readonly recipe: string;
  readonly uses: Readonly<Record<string, number>>;
  readonly water: number;
  readonly printed: Readonly<Record<FurtherNutrient, number>>;
  /** Beyond 3 %; named on the model page with what would explain it, and their check stays, marked as failing. */
  readonly missed: readonly FurtherNutrient[];
}

const CAKES: readonly Cake[] = [
  {
    code: "11-957",
    name: "Cake, sponge, fatless, homemade",
    recipe: "flour 1, sugar 1, egg 2",
    uses: { "plain-flour": 100, "caster-sugar": 100, "egg-whole-uk": 200 },
    water: 31.9,
    printed: { transFatGrams: 0.01, cholesterolMg: 203, vitaminDMcg: 1.9, calciumMg: 57, ironMg: 1.62, potassiumMg: 136 },
    missed: [],
  },
  {
    code: "11-956",
    name: "Cake, sponge, homemade",
    recipe: "flour, sugar, salted butter, egg 1 each, baking powder 0.05",
    uses: { "plain-flour": 100, "caster-sugar": 100, "egg-whole-uk": 100, "butter-salted": 100, "baking-powder": 5 },
    water: 14.6,
    printed: { transFatGrams: 0.82, cholesterolMg: 160.7, vitaminDMcg: 1.2, calciumMg: 109, ironMg: 1.04, potassiumMg: 105 },
    missed: ["calciumMg", "ironMg", "potassiumMg"],
  },
];

/** Half of the last figure that the table prints. */
const ROUNDING: Readonly<Record<FurtherNutrient, number>> = {
  transFatGrams: 0.005,
  cholesterolMg: 0.5,
  vitaminDMcg: 0.05,
  calciumMg: 0.5,
  ironMg: 0.005,
  potassiumMg: 0.5,
};
const DIGITS: Readonly<Record<FurtherNutrient, number>> = {
  transFatGrams: 2,
  cholesterolMg: 0,
  vitaminDMcg: 1,
  calciumMg: 0,
  ironMg: 2,
  potassiumMg: 0,
};

const book = createIngredientBook();

/** Per 100 g of the cake that is left when the printed water is. */
function compute({ name, uses, water }: Cake): Readonly<Record<FurtherNutrient, number>> {
  const formula: Formula = {
    name,
    components: [
      {
        name,
        kind: "cake",
        stages: [{ name: "Mix", uses: Object.entries(uses).map(([ingredient, grams]) => ({ ingredient, grams })) }],
      },
    ],
  };
  const { totalGrams, totals } = composeFormula(formula, book).product.mixed;
  const finishedGrams = (totalGrams - totals.water.amount) / (1 - water / 100);
  const { product } = composeFurther(formula, book);
  return Object.fromEntries(
    FURTHER_NUTRIENTS.map((nutrient) => {
      expect(product[nutrient].missing).toEqual([]);
      return [nutrient, (product[nutrient].amount * 100) / finishedGrams];
    }),
  ) as Record<FurtherNutrient, number>;
}

const check = (cake: Cake, nutrient: FurtherNutrient) => {
  const [ours, printed] = [compute(cake)[nutrient], cake.printed[nutrient]];
  expect(Math.abs(ours - printed), `printed ${printed}, computed ${ours}`).toBeLessThanOrEqual(
    Math.max(ROUNDING[nutrient], 0.03 * printed),
  );
};
const cases = (wanted: boolean) =>
  CAKES.flatMap((cake) =>
    FURTHER_NUTRIENTS.filter((nutrient) => cake.missed.includes(nutrient) === wanted).map(
      (nutrient) => [cake.code, nutrient, cake] as const,
    ),
  );

// The same 3 % (or the rounding of the table) as for the other figures of these cakes.
it.each(cases(false))("computes the %s of the table: %s within 3 %", (_code, nutrient, cake) => check(cake, nutrient));
it.fails.each(cases(true))("computes the %s of the table: %s within 3 %", (_code, nutrient, cake) => check(cake, nutrient));

it("prints the table that stands in docs/models/composition.md", () => {
  const rows = CAKES.flatMap((cake) => {
    const ours = compute(cake);
    return [
      `| **${cake.code} ${cake.name}** | ${cake.recipe} | | |`,
      ...FURTHER_NUTRIENTS.map((nutrient) => {
        const { name, unit } = FURTHER_WORDS[nutrient];
        const [printed, digits] = [cake.printed[nutrient], DIGITS[nutrient]];
        const percent = 100 * (ours[nutrient] / printed - 1);
        return `| ${name} [${unit}/100 g] | ${printed.toFixed(digits)} | ${ours[nutrient].toFixed(digits + 1)} | ${percent < 0 ? "−" : "+"}${Math.abs(percent).toFixed(1)} % |`;
      }),
    ];
  });
  const table = ["| food | CoFID | computed | difference |", "| --- | --- | --- | --- |", ...rows].join("\n");
  const path = "docs/models/composition.md";
  if (process.env.EVENCRUMB_WRITE_DOCS === "1") {
    const page = readFileSync(path, "utf8");
    writeFileSync(path, page.replace(/(<!-- table: further home-baked -->\n)[\s\S]*?(<!-- end -->)/, `$1${table}\n$2`));
  }
  const printed = /<!-- table: further home-baked -->\n([\s\S]*?)\n<!-- end -->/.exec(readFileSync(path, "utf8"))?.[1];
  expect(printed, "run again with EVENCRUMB_WRITE_DOCS=1 to renew the table").toBe(table);
});
