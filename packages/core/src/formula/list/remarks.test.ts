import { describe, expect, it } from "vitest";
import { createIngredientBook } from "../../ingredients/index.js";
import { readList } from "./index.js";

const book = createIngredientBook();
const read = (line: string) =>
  readList(`Cake\n\nFor the sponge:\n225 g self-raising flour\n225 g caster sugar\n${line}`, book).lines.filter(
    (one) => one.lineNumber === 6,
  );

// The lines are ours; what a careful baker would ask about is common practice, no source.
describe("a number that nobody has counted", () => {
  it.each([
    "200g butter (keep 25g for the tin)",
    "200g butter, of which 50g for greasing",
    "4 eggs, 1 white only",
    "3 eggs, weighed, and the same of butter, sugar and flour",
    "1 tsp salt (or 1/2 tsp fine)",
    "250g plain flour (or 200g if using rice flour)",
    "150g dark chocolate, 100g melted, 50g chopped",
    "150ml double cream, less 2 tbsp",
    "200g butter, sugar",
    "100g caster sugar x 2",
  ])("is asked about: %s", (line) => {
    const lines = read(line);
    expect(lines.some((one) => one.status === "doubtful")).toBe(true);
    expect(lines.every((one) => one.status !== "doubtful" || (one.choices?.length ?? 0) > 0)).toBe(true);
  });
  it.each([
    ["175g dark chocolate, at least 70% cocoa solids", 175],
    ["225g eggs (about 4 medium), out of shell", 225],
    ["150g egg whites (about 5)", 150],
    ["50g candied peel, diced 5mm", 50],
    ["75g plain flour, sieved 3 times", 75],
    ["250g marzipan, cut into 8", 250],
    ["225g unsalted butter, softened, plus 10g for greasing", 225],
    ["40g cocoa powder (see page 12)", 40],
    ["100ml water at 35C", 99.8],
    ["2 g (a generous ¼ tsp) salt", 2],
  ])("is not asked about where it weighs nothing: %s", (line, grams) => {
    const lines = read(line);
    expect(lines.map((one) => one.status)).toEqual(["understood"]);
    expect(lines[0].grams).toBeCloseTo(grams, 0);
  });
});

describe("amounts in old and hurried hands", () => {
  it.each([
    ["1.1/2 oz cocoa powder", [["cocoa-powder", 42.52]]],
    [
      "1 stick + 2 tbsp unsalted butter",
      [
        ["butter-unsalted", 113],
        ["butter-unsalted", 28.79],
      ],
    ],
    [
      "Butter, caster sugar and plain flour 6 oz each",
      [
        ["butter-unsalted", 170.1],
        ["caster-sugar", 170.1],
        ["plain-flour", 170.1],
      ],
    ],
    ["1 cup 240ml whole milk", [["milk-whole", 247.2]]],
    [
      "1 tbsp instant coffee in 2 tbsp boiling water",
      [
        ["coffee-instant", 3.04],
        ["water", 29.95],
      ],
    ],
    ["5oz S R flour", [["self-raising-flour", 141.75]]],
    ["2 sticks (1 cup; 226 g) unsalted butter", [["butter-unsalted", 226]]],
    [
      "2 eggs and 1 extra yolk",
      [
        ["egg-whole-uk", 112.6],
        ["egg-yolk-uk", 18.1],
      ],
    ],
    ["3# unsalted butter", [["butter-unsalted", 1360.8]]],
    ["plain flour, 7 oz", [["plain-flour", 198.4]]],
    ["2 sachets fast-action dried yeast", [["yeast-dried", 14]]],
    ["300g icing sugar (200g for the buttercream, 100g for the glaze)", [["icing-sugar-uk", 300]]],
    [
      "3 eggs, 180 g butter",
      [
        ["egg-whole-uk", 168.9],
        ["butter-unsalted", 180],
      ],
    ],
  ] as const)("are read without asking: %s", (line, uses) => {
    const lines = read(line);
    expect(lines.map((one) => [one.status, one.ingredient])).toEqual(uses.map(([id]) => ["understood", id]));
    lines.forEach((one, at) => {
      expect(one.grams).toBeCloseTo(uses[at][1], 0);
    });
  });
  it.each([
    ["butter the size of a walnut", "butter-unsalted", 28],
    ["a piece of butter the size of an egg", "butter-unsalted", 57],
    ["1 teacup caster sugar", "caster-sugar", 120],
    ["1 breakfast cup plain flour", "plain-flour", 150],
    ["1 400g tin pears, drained", "pear", 400],
    ["1 kg pears (700g after peeling)", "pear", 700],
    ["15g fresh yeast or 7g dried", "yeast-fresh", 15],
    ["100g cashews, soaked in 200ml water overnight", "cashews", 100],
    ["1 x 250g pack of butter (you need 200g)", "butter-unsalted", 200],
    ["150ml pot soured cream (use 2/3)", "soured-cream", 97.2],
    ["600g rhubarb, trimmed weight 500g", "rhubarb", 500],
    ["1 tsp dried yeast", "yeast-dried", 3.2],
  ])("stand with the likeliest weight until the baker has said: %s", (line, id, grams) => {
    const lines = read(line);
    expect(lines.some((one) => one.status === "doubtful")).toBe(true);
    expect(lines[0].ingredient).toBe(id);
    expect(lines[0].grams).toBeCloseTo(grams, 0);
  });
  it("offers the second of two amounts with its own ingredient", () => {
    expect(read("15g fresh yeast or 7g dried")[0].choices).toContainEqual(
      expect.objectContaining({ ingredient: "yeast-dried", grams: 7 }),
    );
  });
});
