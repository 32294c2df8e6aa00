import { expect, it } from "vitest";
import { parseFormulaFile, writeFormulaFile } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { importedFormula, importRecipe, isRecipeData } from "./importRecipe.js";

const book = createIngredientBook();
const RECIPE = {
  "@context": "https://schema.org",
  "@type": "Recipe",
  name: "Plain sponge",
  recipeYield: ["8", "8 slices"],
  recipeIngredient: ["225 g self-raising flour", "225&nbsp;g unsalted butter", "&frac12; tsp salt", "4 medium eggs"],
  recipeInstructions: [
    {
      "@type": "HowToSection",
      name: "Cake",
      itemListElement: [
        { "@type": "HowToStep", text: "Beat <b>well</b>." },
        { "@type": "HowToStep", name: "Bake at 180&deg;C." },
      ],
    },
  ],
};
// Shapes of schema.org Recipe data as they stand in pages: alone, in a list, in @graph, as the page's main entity, typed twice, by full address.
const page = (data: unknown) =>
  `<!doctype html><title>x</title><script type='application/ld+json'>${JSON.stringify(data)}</script>`;
it.each([
  ["alone", JSON.stringify(RECIPE)],
  ["in a page", page(RECIPE)],
  ["in a list", page([{ "@type": "WebSite" }, RECIPE])],
  ["in a graph", page({ "@context": "https://schema.org", "@graph": [{ "@type": "Person" }, RECIPE] })],
  ["as main entity", page({ "@type": "WebPage", mainEntity: RECIPE })],
  ["typed twice", page({ ...RECIPE, "@type": ["Recipe", "NewsArticle"] })],
  ["by full address", page({ ...RECIPE, "@type": "http://schema.org/Recipe" })],
  ["after a broken block", `<script type="application/ld+json">{oops</script>${page(RECIPE)}`],
])("finds a recipe %s", (_where, text) => {
  const { value, problems } = importRecipe(text);
  expect(problems).toEqual([]);
  expect(value).toEqual({
    name: "Plain sponge",
    listText: "225 g self-raising flour\n225 g unsalted butter\n½ tsp salt\n4 medium eggs",
    method: ["Beat well .", "Bake at 180°C."],
    portions: 8,
  });
  expect(isRecipeData(text)).toBe(true);
});

it("reads instructions as one text, as texts, as steps", () => {
  const method = (recipeInstructions: unknown) => importRecipe(JSON.stringify({ ...RECIPE, recipeInstructions })).value!.method;
  expect(method("Beat.\nBake.")).toEqual(["Beat.", "Bake."]);
  expect(method("<ol><li>Beat.</li><li>Bake.</li></ol>")).toEqual(["Beat.", "Bake."]);
  expect(method(["Beat.", "Bake."])).toEqual(["Beat.", "Bake."]);
  expect(method([{ "@type": "HowToStep", text: "Beat." }])).toEqual(["Beat."]);
  expect(method(undefined)).toEqual([]);
});

it("makes a formula that can be kept as a file, with the lines and what is to be asked", () => {
  const { formula, lines, outline } = importedFormula(importRecipe(JSON.stringify(RECIPE)).value!, book);
  expect([formula.name, formula.portions]).toEqual(["Plain sponge", 8]);
  expect(formula.components[0]!.stages[0]!.uses.map(({ ingredient }) => ingredient)).toEqual([
    "self-raising-flour",
    "butter-unsalted",
    "salt",
    "egg-whole-uk",
  ]);
  expect(formula.components[0]!.stages[0]!.uses[0]!.grams).toBe(225);
  expect(formula.components[0]!.stages.at(-1)!.method).toContain("Bake at 180°C.");
  expect(lines.map(({ lineNumber }) => lineNumber)).toEqual([1, 2, 3, 4]);
  expect(outline.title).toBe("Plain sponge");
  expect(parseFormulaFile(writeFormulaFile(formula)).problems).toEqual([]);
});

it("says what is missing", () => {
  expect(importRecipe("<p>nothing</p>").problems[0]).toMatchObject({
    code: "missing-field",
    remedy: "Paste the ingredient list as text instead.",
  });
  expect(importRecipe('{"@type":"Recipe","name":"x"}').problems[0]!.expected).toContain("recipeIngredient");
  expect(importRecipe('{"@type":').problems[0]!.code).toBe("syntax");
  expect(importRecipe("x".repeat(1_000_001)).problems[0]!.code).toBe("too-large");
  expect(isRecipeData("225 g flour\n4 eggs")).toBe(false);
  expect(isRecipeData("<p>a list</p>")).toBe(false);
});
