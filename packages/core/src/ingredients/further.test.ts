import { describe, expect, it } from "vitest";
import { compoundIngredient } from "./compound.js";
import { FURTHER_CHECKS } from "./data/furtherRows.checks.js";
import { FURTHER_ROWS } from "./data/furtherRows.js";
import { standardIngredients } from "./expandLarder.js";
import { FURTHER_NUTRIENTS, type FurtherNutrient, furtherFigure } from "./further.js";
import type { Ingredient, Nutrient } from "./ingredient.js";
import { createIngredientBook } from "./ingredientBook.js";
import { ingredientFromPacket } from "./packet.js";
import { readIngredient } from "./readIngredient.js";
import { furtherStatedOf, stateFurther } from "./statedFurther.js";

const book = createIngredientBook();
const need = (id: string) => {
  const found = book.get(id);
  if (!found) throw new Error(`no ingredient ${id}`);
  return found;
};
const value = (id: string, nutrient: FurtherNutrient) => {
  const figure = furtherFigure(need(id), nutrient);
  return figure.known ? figure.value : undefined;
};

/** Two readings of the same file: the one that made larderRows.ts and the one that made furtherRows.ts. */
describe("the row that was read is the row of the food", () => {
  const rows = FURTHER_ROWS.trim()
    .split("\n")
    .filter((line) => !line.startsWith("id|"));
  const checks = new Map(
    FURTHER_CHECKS.trim()
      .split("\n")
      .map((line) => {
        const [table, number, figures] = line.split("|") as [string, string, string];
        return [`${table} ${number}`, figures.split(" ").map((one) => (one === "-" ? undefined : Number(one)))];
      }),
  );
  // What the two readings do not share: the larder holds 20138 and 18423 from an earlier release (sodium 8 mg, 5 mg in Release 28;
  // polyunsaturates 1.611 g, 1.423 g there), and its ash of baking powder (17-355) is by difference, with the carbon dioxide in it.
  const KNOWN = new Set(["SR28 20138 sodium", "SR28 18423 polyunsaturates", "CoFID 17-355 ash"]);

  it("was read with its water, protein, fat and sodium every time", () => {
    expect([...checks.keys()]).toEqual(rows.map((line) => line.split("|").slice(0, 2).join(" ")));
  });

  it("agrees with the larder in water, protein, fat and sodium, and in what stands beside the figures shipped", () => {
    let compared = 0;
    const apart: string[] = [];
    for (const [key, figures] of checks) {
      const [table, number] = key.split(" ") as [string, string];
      const foods = standardIngredients().filter(
        ({ source }) =>
          source.startsWith(`USDA SR28 ${number} `) ||
          source.startsWith(`UK CoFID 2021 ${number} `) ||
          source.startsWith(`USDA SR abbreviated ${number} `),
      );
      const [water, protein, fat, sodiumMg, fourth, fifth] = figures;
      const sodium = sodiumMg === undefined ? undefined : sodiumMg / 1000;
      const beside: readonly (readonly [Nutrient, number | undefined])[] =
        table === "CoFID"
          ? [
              ["saturates", fourth],
              ["ash", fifth === undefined ? undefined : fifth / 1000],
            ]
          : [["polyunsaturates", fourth]];
      for (const food of foods) {
        for (const [nutrient, read] of [
          ["water", water],
          ["protein", protein],
          ["fat", fat],
          ["sodium", sodium],
          ...beside,
        ] as const) {
          const held = food.per100g[nutrient];
          if (read === undefined || !held.known || /^assumed/.test(held.source) || KNOWN.has(`${key} ${nutrient}`)) continue;
          compared += 1;
          // The larder keeps grams to two figures behind the point, sodium as mg.
          if (Math.abs(held.value - read) > (nutrient === "sodium" ? 1e-6 : 0.0051))
            apart.push(`${key} ${nutrient}: ${read}, held ${held.value}`);
        }
        if (table === "SR28" && fifth !== undefined) {
          // 40 IU are 1 µg of vitamin D (21 CFR 101.9(c)(8)(iv)); the table prints both, µg to one figure behind the point.
          const line = rows.find((one) => one.startsWith(`SR28|${number}|`))!;
          const printed = line.split("|")[3]!.split(" ")[2]!;
          if (/^[\d.]+$/.test(printed) && Math.abs(Number(printed) - fifth / 40) > 0.06)
            apart.push(`${key} vitamin D ${printed} µg, ${fifth} IU`);
        }
      }
    }
    expect(apart).toEqual([]);
    expect(compared).toBeGreaterThan(4 * checks.size);
  });
});

// USDA SR28 01123, 01145, 01211, 19335; UK CoFID 2021 12-937, 17-661, 12-596, 11-886.
it.each([
  ["egg-whole", "cholesterolMg", 372],
  ["egg-whole", "vitaminDMcg", 2],
  ["egg-whole-uk", "vitaminDMcg", 3.2],
  ["butter-unsalted-us", "cholesterolMg", 215],
  ["butter-unsalted", "cholesterolMg", 213],
  ["milk-whole-us", "calciumMg", 113],
  ["milk-whole", "calciumMg", 120],
  ["granulated-sugar", "potassiumMg", 2],
  ["plain-flour", "calciumMg", 96],
] as const)("%s holds %s %d", (id, nutrient, expected) => {
  expect(value(id, nutrient)).toBe(expected);
});

describe("a figure that nobody gives", () => {
  it("is missing with its reason, and never zero", () => {
    for (const food of standardIngredients()) {
      for (const nutrient of FURTHER_NUTRIENTS) {
        const figure = furtherFigure(food, nutrient);
        if (!figure.known) expect(figure.why.length, `${food.id} ${nutrient}`).toBeGreaterThan(9);
        else {
          expect(figure.source).toMatch(/USDA SR28|UK CoFID 2021|^assumed zero because |^derived: /);
          if (figure.value === 0 && nutrient === "transFatGrams" && figure.source.startsWith("assumed"))
            expect(food.per100g.fat).toMatchObject({ known: true, value: 0 });
        }
      }
    }
  });
  it("stays missing of vegetable fat, of which only the table of its fatty acids could tell", () => {
    expect(furtherFigure(need("groundnut-oil"), "transFatGrams").known).toBe(false);
    expect(value("caster-sugar", "transFatGrams")).toBe(0);
  });
});

it("derives the trans fat of dairy and egg from the fat, and says from what", () => {
  // CoFID's own rows, kept out of the two shares: whole milk 0.13 g of 3.6 g fat, Greek yoghurt 0.21 of 10.2 (2.1 to 3.6 %).
  for (const [id, of] of [
    ["milk-whole-us", 3.27],
    ["butter-unsalted-us", 81.11],
    ["double-cream", 48],
  ] as const) {
    const figure = furtherFigure(need(id), "transFatGrams");
    expect(figure).toMatchObject({ known: true, source: expect.stringContaining("17-661") });
    expect((figure.known ? figure.value : 0) / of).toBeGreaterThan(0.021);
    expect((figure.known ? figure.value : 0) / of).toBeLessThan(0.0362);
  }
});

const FLOUR = {
  name: "Mill flour",
  role: "flour",
  per100g: {
    energyKj: 1473,
    energyKcal: 348,
    fat: 1.4,
    saturates: 0.2,
    carbohydrate: 69,
    sugars: 0.7,
    fibre: 3.4,
    protein: 13.2,
    salt: 0.01,
  },
  contains: [{ allergen: "cereals-gluten", kind: "wheat" }],
} as const;

describe("the baker's own ingredient", () => {
  it("takes what a packet states, and no more", () => {
    const { value: made, problems } = ingredientFromPacket({ ...FLOUR, furtherPer100g: { calciumMg: 141, ironMg: 2 } });
    expect(problems).toEqual([]);
    expect(furtherFigure(made, "calciumMg")).toEqual({ known: true, value: 141, source: "stated by the supplier" });
    expect(furtherFigure(made, "potassiumMg")).toEqual({ known: false, why: "not stated" });
    expect(ingredientFromPacket(FLOUR).value.furtherPer100g).toBeUndefined();
  });
  it.each([
    [{ transFatGrams: 1.5 }, "transFatGrams", "no more trans fat than the fat, 1.4 g"],
    [{ vitaminDMcg: -1 }, "vitaminDMcg", "vitamin D from 0 to 5000 µg"],
    [{ calciumMg: Number.NaN }, "calciumMg", "calcium from 0 to 72000 mg"],
  ] as const)("is told that %j cannot be", (furtherPer100g, field, expected) => {
    const { value: made, problems } = ingredientFromPacket({ ...FLOUR, furtherPer100g });
    expect(problems).toEqual([
      expect.objectContaining({ path: ["furtherPer100g", field], expected: expect.stringContaining(expected) }),
    ]);
    expect(furtherFigure(made, field).known).toBe(false);
  });
  it("comes back from a file with them, and a file of before reads as it did", () => {
    const made = ingredientFromPacket({ ...FLOUR, furtherPer100g: { ironMg: 2 } }).value;
    expect(readIngredient(JSON.parse(JSON.stringify(made)))).toEqual({ value: made, problems: [] });
    const old = ingredientFromPacket(FLOUR).value;
    expect(readIngredient(JSON.parse(JSON.stringify(old)))).toEqual({ value: old, problems: [] });
    const wrong = readIngredient({
      ...JSON.parse(JSON.stringify(made)),
      furtherPer100g: { ironMg: { known: true, value: -3, source: "x" }, zincMg: 1 },
    });
    expect(wrong.problems.map(({ path }) => path.join("."))).toEqual(
      expect.arrayContaining(["furtherPer100g.ironMg.value", "furtherPer100g.zincMg"]),
    );
  });
  it("keeps the larder's figures when it is a shipped ingredient with a price, kept before the larder had them", () => {
    const { furtherPer100g: _, ...old } = { ...need("butter-unsalted-us") } as Ingredient & { furtherPer100g?: unknown };
    const kept = createIngredientBook([old]).get("butter-unsalted-us")!;
    expect(furtherFigure(kept, "cholesterolMg")).toMatchObject({ known: true, value: 215 });
    const replaced = createIngredientBook([{ ...old, basis: "own", source: "packet" }]).get("butter-unsalted-us")!;
    expect(furtherFigure(replaced, "cholesterolMg").known).toBe(false);
  });
});

describe("what a supplier states of any ingredient", () => {
  const oil = need("groundnut-oil");
  it("wins over the table, is read back, and gives way to the table when it is taken out", () => {
    const { value: stated, problems } = stateFurther(oil, { transFatGrams: 0.4, ironMg: 0.1 });
    expect(problems).toEqual([]);
    expect(furtherStatedOf(stated)).toEqual({ transFatGrams: 0.4, ironMg: 0.1 });
    const kept = createIngredientBook([stated]).get(oil.id)!;
    expect(furtherFigure(kept, "transFatGrams")).toEqual({ known: true, value: 0.4, source: "stated by the supplier" });
    const unsaid = createIngredientBook([stateFurther(kept, {}).value]).get(oil.id)!;
    expect(furtherStatedOf(unsaid)).toEqual({});
    expect(furtherFigure(unsaid, "ironMg")).toEqual(furtherFigure(oil, "ironMg"));
  });
  it("is told what cannot be", () => {
    expect(stateFurther(oil, { transFatGrams: 101 }).problems).toEqual([
      expect.objectContaining({
        path: ["furtherPer100g", "transFatGrams"],
        expected: "no more trans fat than the fat, 100 g per 100 g",
      }),
    ]);
  });
});

// By hand: 100 g butter (215 mg) and 100 g egg (372 mg), 20 g of water lost: 587 mg in 180 g.
it("adds them up in an ingredient made from others, where nothing but water is lost", () => {
  const { value: made } = compoundIngredient(
    {
      id: "mix",
      name: "Mix",
      role: "other",
      parts: [
        { ingredient: "butter-unsalted-us", grams: 100 },
        { ingredient: "egg-whole", grams: 100 },
      ],
      partsLossPercent: 10,
    },
    book,
  );
  expect(furtherFigure(made, "cholesterolMg")).toMatchObject({ known: true, value: expect.closeTo((587 * 100) / 180, 6) });
  const silent = compoundIngredient(
    { id: "m", name: "M", role: "other", parts: [{ ingredient: "groundnut-oil", grams: 1 }] },
    book,
  ).value;
  const trans = furtherFigure(silent, "transFatGrams");
  expect(!trans.known && trans.why).toContain("Groundnut oil");
});
