import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { standardIngredients } from "./expandLarder.js";
import { FURTHER_NUTRIENTS, FURTHER_WORDS, furtherFigure } from "./further.js";
import type { Ingredient, Nutrient } from "./ingredient.js";
import { createIngredientBook } from "./ingredientBook.js";
import { ENERGY_FACTORS } from "./plausible.js";
import { SEARCHES } from "./searchIngredients.cases.js";
import { searchIngredients } from "./searchIngredients.js";

const page = readFileSync(new URL("../../../../docs/models/ingredients.md", import.meta.url), "utf8");
const of = (ingredient: Ingredient, nutrient: Nutrient) => {
  const figure = ingredient.per100g[nutrient];
  return figure.known ? figure.value : 0;
};

function energyByFactors(one: Ingredient): number {
  const f = ENERGY_FACTORS;
  const acids = one.role === "liquid" ? 0 : of(one, "organicAcids"); // beside the carbohydrate in vinegar, inside it elsewhere
  const available = Math.max(0, of(one, "carbohydrate") - of(one, "fibre") - of(one, "polyols") - acids);
  return (
    f.carbohydrate.kj * available +
    f.polyols.kj * of(one, "polyols") +
    f.organicAcids.kj * of(one, "organicAcids") +
    f.protein.kj * of(one, "protein") +
    f.fat.kj * of(one, "fat") +
    f.alcohol.kj * of(one, "alcohol") +
    f.fibre.kj * of(one, "fibre")
  );
}

// Peer: the page carries this table, so it cannot go stale.
it("prints on the page how the printed energies agree with the EU factors, shelf by shelf", () => {
  const shelves = [...new Set(standardIngredients().map(({ group }) => group))];
  const lines = shelves.map((group) => {
    const gaps = standardIngredients()
      .filter((one) => one.group === group && one.per100g.energyKj.known && of(one, "energyKj") > 60)
      .map((one) => Math.abs(energyByFactors(one) / of(one, "energyKj") - 1) * 100)
      .sort((a, b) => a - b);
    const within = gaps.filter((gap) => gap <= 8).length;
    return `| ${group} | ${gaps.length} | ${gaps[Math.floor(gaps.length / 2)]!.toFixed(1)} % | ${within} |`;
  });
  const table = ["| shelf | foods above 60 kJ | middle difference | within 8 % |", "| --- | --- | --- | --- |", ...lines].join(
    "\n",
  );
  expect(page).toContain(table);
});

it("prints on the page how many searches find what they should", () => {
  const book = createIngredientBook();
  const right = SEARCHES.filter(
    ([typed, id, names]) => searchIngredients(book, typed, { names, limit: 1 })[0]?.ingredient.id === id,
  ).length;
  expect(page).toContain(`${right} of ${SEARCHES.length} searches`);
});

it("prints on the page what the larder holds", () => {
  const all = standardIngredients();
  const count = (word: string) => all.filter(({ source }) => source.startsWith(word)).length;
  const figures = all.flatMap(({ per100g }) => Object.values(per100g));
  const known = figures.filter((figure) => figure.known);
  const read = known.filter((figure) => !/^(?:derived|assumed|computed)/.test(figure.source)).length;
  const derived = known.filter((figure) => /^(?:derived|computed)/.test(figure.source)).length;
  const assumed = known.filter((figure) => figure.source.startsWith("assumed")).length;
  const table = [
    "| what | number |",
    "| --- | --- |",
    `| ingredients | ${all.length} |`,
    `| from USDA SR28 | ${count("USDA SR28")} |`,
    `| from UK CoFID 2021 | ${count("UK CoFID")} |`,
    `| from the USDA abbreviated file | ${count("USDA SR abbreviated")} |`,
    `| from USDA FoodData Central | ${count("USDA FoodData")} |`,
    `| computed from named parts | ${all.filter(({ basis }) => basis === "computed").length} |`,
    `| from memory, or without figures | ${all.filter(({ basis }) => basis === "memory").length} |`,
    `| figures read from a table (or from memory, in the rows above) | ${read} |`,
    `| figures derived | ${derived} |`,
    `| figures assumed zero, with the reason | ${assumed} |`,
    `| figures missing, with the reason | ${figures.length - known.length} |`,
    `| with a density | ${all.filter(({ densityGPerMl }) => densityGPerMl.known).length} |`,
  ].join("\n");
  expect(page).toContain(table);
});

it("prints on the page how many ingredients have each of the further figures", () => {
  const lines = FURTHER_NUTRIENTS.map((nutrient) => {
    const known = standardIngredients().flatMap((one) => {
      const figure = furtherFigure(one, nutrient);
      return figure.known ? [figure.source] : [];
    });
    const count = (begin: RegExp) => known.filter((source) => begin.test(source)).length;
    const [derived, assumed] = [count(/^derived/), count(/^assumed/)];
    const cells = [known.length - derived - assumed, derived, assumed, standardIngredients().length - known.length];
    return `| ${FURTHER_WORDS[nutrient].name}, ${FURTHER_WORDS[nutrient].unit} | ${cells.join(" | ")} |`;
  });
  const table = ["| per 100 g | read | derived | assumed zero | missing |", "| --- | --- | --- | --- | --- |", ...lines].join(
    "\n",
  );
  expect(page).toContain(table);
});
