import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Component, Formula } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { parseTins, scaleToTins } from "../tins/index.js";
import { batchSheet, targetWords } from "./batchSheet.js";
import { batchSheetHtml } from "./batchSheetHtml.js";
import { benchCautions } from "./cautions.js";
import { sheetScale } from "./sheetLayout.js";

const book = createIngredientBook();
const uses = (...list: [string, number | null, string?][]) =>
  list.map(([ingredient, grams, note]) => ({ ingredient, grams, ...(note ? { note } : {}) }));
const sponge: Component = {
  name: "Sponge",
  kind: "cake",
  tins: [{ count: 2, tin: "round 20x5 cm" }],
  loss: { percent: 9, basis: "measured" },
  specificGravity: { value: 0.8, basis: "measured" },
  bake: { ovenC: 170, fan: false, minutes: 24 },
  stages: [
    {
      name: "Cream",
      method: "Beat <well> & long.",
      targets: [{ kind: "time", seconds: 360 }],
      uses: uses(["butter-unsalted", 225, "at 19 °C"], ["caster-sugar", 225.4], ["salt", 2.04]),
    },
    { name: "Egg", uses: uses(["egg-whole-uk", 225.4]) },
    { name: "Fold", uses: uses(["self-raising-flour", 225.3], ["vanilla-extract", null]) },
  ],
};
const filling: Component = {
  name: "Filling",
  kind: "filling",
  stages: [{ name: "Whip", uses: uses(["double-cream", 240], ["raspberry-jam", 170]) }],
};
const formula: Formula = { name: "Sandwich", portions: 10, components: [sponge, filling] };

describe("batchSheet", () => {
  const sheet = batchSheet(formula, { book });
  it("conserved: what is weighed adds to the totals that are printed", () => {
    for (const component of sheet.components) {
      const weighed = component.stages.flatMap((stage) => stage.lines).reduce((sum, line) => sum + (line.grams ?? 0), 0);
      expect(weighed).toBeCloseTo(component.totalGrams, 9);
      expect(component.stages.reduce((sum, stage) => sum + stage.totalGrams, 0)).toBeCloseTo(component.totalGrams, 9);
    }
    expect(sheet.totalGrams).toBeCloseTo(
      sheet.components.reduce((sum, { totalGrams }) => sum + totalGrams, 0),
      9,
    );
    // 903.14 g exactly; the scale shows whole grams and tenths for the salt.
    expect(sheet.components[0]!.totalGrams).toBe(903);
    expect(sheet.components[0]!.stages[0]!.lines.map(({ grams }) => grams)).toEqual(
      [225, 226, 2].map((g, i) => (i === 2 ? 2 : g)),
    );
  });
  it("says what the scale reads within a stage", () => {
    const [cream, , fold] = sheet.components[0]!.stages;
    expect(cream!.lines.map(({ scaleReadsGrams }) => scaleReadsGrams)).toEqual([225, 451, 453]);
    expect(fold!.lines.at(-1)).toMatchObject({ name: "Vanilla extract", grams: null, scaleReadsGrams: null });
  });
  it("keeps the order of components, stages and lines", () => {
    expect(sheet.components.map(({ name, stages }) => [name, ...stages.map((stage) => stage.name)])).toEqual([
      ["Sponge", "Cream", "Egg", "Fold"],
      ["Filling", "Whip"],
    ]);
  });
  it("says how much goes into each tin, rounded down so that it goes round", () => {
    expect(sheet.components[0]!.tins).toEqual([
      { count: 2, tin: "round 20x5 cm", gramsEach: 451, fillShare: expect.closeTo(0.3594, 3), depthMm: expect.closeTo(17.97, 2) },
    ]);
    const tray = batchSheet(
      { ...formula, components: [{ ...sponge, tins: [{ count: 1, tin: "12-hole muffin tray" }] }] },
      { book },
    );
    expect(tray.components[0]!.tins[0]).toMatchObject({ gramsEach: 903, gramsPerCup: 75 });
  });
  it("names the allergens at the top with what brings them, and asks to read the packets", () => {
    expect(sheet.allergens.contains.map(({ name, from }) => `${name}: ${from.join(", ")}`)).toEqual([
      "wheat: Self-raising flour",
      "eggs: Whole egg",
      "milk: Unsalted butter, Double cream",
    ]);
    expect(sheet.components[0]!.stages[0]!.lines.map(({ bringsAllergen }) => bringsAllergen)).toEqual([true, false, false]);
  });
  it("gives the weight after the stated loss, the oven, and the fields to fill in", () => {
    expect(sheet.components[0]).toMatchObject({ finishedGrams: 822, bake: "170 °C, 24 min", specificGravity: 0.8 });
    expect(sheet.components[0]!.measure.map(({ label }) => label)).toContain("After baking");
    expect(sheet.components[1]!.measure).toEqual([]);
  });
  it("reads in the units and names of the reader", () => {
    const us = batchSheet(formula, { book, settings: { names: "us", temperature: "fahrenheit", tinUnits: "in" } });
    expect(us.components[0]!.bake).toBe("338 °F, 24 min");
    expect(us.components[0]!.tins[0]!.tin).toBe("7.87x1.97 in round");
    expect(us.components[1]!.stages[0]!.lines[0]!.name).toBe(book.get("double-cream")!.usName ?? "Double cream");
  });
  it("carries the batch, the revision, the day and what the scaling said", () => {
    const scaled = scaleToTins(formula, parseTins("2 loaf 900 g").value, { book, fill: { rule: "share", share: 0.6 } });
    if (!scaled.ok) throw new Error(scaled.error.remedy);
    const { factor, cautions } = scaled.value;
    const made = batchSheet(scaled.value.formula, {
      book,
      factor,
      batch: "2 loaf 900 g",
      cautions,
      date: "2026-05-02",
      revision: { number: 3, note: "less sugar" },
    });
    expect(made).toMatchObject({
      date: "2026-05-02",
      revision: { number: 3, note: "less sugar" },
      batch: { factor, words: "2 loaf 900 g" },
    });
    expect(made.components[0]!.bake).toBe("170 °C, time to be found");
    expect(made.cautions.filter(({ code }) => code === "tins").map(({ words }) => words)).toContainEqual(
      expect.stringContaining("The old 24 min does not hold"),
    );
  });
  it("property: any weights still add up", () => {
    const grams = fc.oneof(fc.constant(null), fc.double({ min: 0, max: 50_000, noNaN: true }));
    fc.assert(
      fc.property(fc.array(grams, { minLength: 1, maxLength: 30 }), (list) => {
        const made = batchSheet(
          {
            name: "x",
            components: [
              {
                name: "a",
                kind: "other",
                stages: [{ name: "s", uses: uses(...list.map((g): [string, number | null] => ["plain-flour", g])) }],
              },
            ],
          },
          { book },
        );
        const [component] = made.components;
        const sum = component!.stages[0]!.lines.reduce((total, line) => total + (line.grams ?? 0), 0);
        expect(sum).toBeCloseTo(component!.totalGrams, 6);
        const last = component!.stages[0]!.lines.findLast((line) => line.grams !== null);
        if (last) expect(last.scaleReadsGrams).toBeCloseTo(component!.totalGrams, 6);
      }),
    );
  });
});

it.each([
  [{ kind: "volume-increase", percent: 250 } as const, "volume up by 250 %"],
  [{ kind: "temperature", celsius: 82 } as const, "82 °C"],
  [{ kind: "specific-gravity", value: 0.82 } as const, "specific gravity 0.82"],
  [{ kind: "time", seconds: 360 } as const, "6 min"],
  [{ kind: "look", words: "to the ribbon" } as const, "to the ribbon"],
])("says a target in words: %j", (target, words) => expect(targetWords(target)).toBe(words));

describe("cautions", () => {
  const codes = (...components: Component[]) => benchCautions({ name: "x", components }, book).map(({ code }) => code);
  const part = (
    kind: Component["kind"],
    list: Parameters<typeof uses>,
    more: Partial<Component> = {},
    targetC?: number,
  ): Component => ({
    name: "Part",
    kind,
    stages: [
      {
        name: "s",
        uses: uses(...list),
        ...(targetC === undefined ? {} : { targets: [{ kind: "temperature", celsius: targetC }] }),
      },
    ],
    ...more,
  });
  it.each<[string, Component, string[]]>([
    ["a baked sponge", sponge, ["raw-batter", "not-weighed"]],
    [
      "raw egg in a filling",
      part("filling", [
        ["egg-white-uk", 60],
        ["caster-sugar", 120],
      ]),
      ["raw-egg", "keep-chilled"],
    ],
    [
      "pasteurised egg in a filling",
      part("filling", [
        ["egg-white-pasteurised", 60],
        ["caster-sugar", 120],
      ]),
      ["keep-chilled"],
    ],
    [
      "a curd cooked to 82 °C",
      part(
        "filling",
        [
          ["egg-whole-uk", 150],
          ["caster-sugar", 220],
          ["lemon-juice", 160],
        ],
        {},
        82,
      ),
      ["keep-chilled"],
    ],
    [
      "a custard warmed to 65 °C",
      part(
        "filling",
        [
          ["egg-whole-uk", 150],
          ["caster-sugar", 100],
        ],
        {},
        65,
      ),
      ["raw-egg", "keep-chilled"],
    ],
    ["cream", part("filling", [["double-cream", 200]]), ["keep-chilled"]],
    [
      "buttercream with a spoon of milk",
      part("icing", [
        ["butter-unsalted", 140],
        ["icing-sugar-uk", 260],
        ["milk-whole", 18],
      ]),
      [],
    ],
    [
      "raw flour in an icing",
      part("icing", [
        ["plain-flour", 30],
        ["butter-unsalted", 100],
      ]),
      ["raw-flour"],
    ],
    [
      "cornflour in icing sugar",
      part("icing", [
        ["cornflour", 5],
        ["icing-sugar-uk", 100],
      ]),
      [],
    ],
    [
      "syrup at 103 °C",
      part(
        "syrup",
        [
          ["lemon-juice", 55],
          ["granulated-sugar", 75],
        ],
        {},
        103,
      ),
      ["hot-sugar"],
    ],
    [
      "caramel by the method",
      part("filling", [["granulated-sugar", 75]], {
        stages: [{ name: "s", method: "Boil to a dark caramel.", uses: uses(["granulated-sugar", 75]) }],
      }),
      ["hot-sugar"],
    ],
    [
      "rum and honey",
      part("syrup", [
        ["rum", 20],
        ["honey", 20],
      ]),
      ["alcohol", "honey"],
    ],
    ["an ingredient nobody knows", part("other", [["moon-dust", 20]]), ["unknown-ingredient"]],
  ])("for %s", (_name, component, expected) => expect(codes(component)).toEqual(expected));
  it("asks for a cold cake where a chilled filling joins a baked one", () =>
    expect(codes(sponge, filling)).toContain("cool-before-filling"));
  it("names the components and defers to local law; promises nothing", () => {
    const words = benchCautions(
      { name: "x", components: [sponge, { ...filling, name: "Cream" }, part("filling", [["egg-white-uk", 60]])] },
      book,
    )
      .map((caution) => caution.words)
      .join(" ");
    expect(words).toContain("Cream and Part: keep chilled");
    expect(words).toContain("Local food law");
    expect(words).not.toMatch(/\bsafe\b|\blegal\b|complian/i);
  });
});

describe("as HTML", () => {
  const html = batchSheetHtml(batchSheet(formula, { book }));
  it("shows the baker's words and never lets them act", () => {
    expect(html).toContain("Beat &#60;well&#62; &#38; long.");
    const nasty = "<img src=x onerror=alert(1)>\"'&";
    const evil = batchSheetHtml(
      batchSheet(
        {
          name: nasty,
          notes: nasty,
          components: [
            {
              name: nasty,
              kind: "cake",
              tins: [{ count: 1, tin: "round 20x5 cm" }],
              stages: [
                {
                  name: nasty,
                  method: nasty,
                  targets: [{ kind: "look", words: nasty }],
                  uses: [{ ingredient: nasty, grams: 10, note: nasty }],
                },
              ],
            },
          ],
        },
        { book, date: nasty, batch: nasty, revision: { number: 1, note: nasty } },
      ),
    );
    expect(evil).not.toMatch(/<img|onerror=alert\(1\)>/);
    expect(evil.split("&#60;img").length).toBeGreaterThan(9);
  });
  it("fetches nothing and runs nothing", () => expect(html).not.toMatch(/<script|https?:|<link|@import|url\(/));
  it("puts allergens before the first weight", () => {
    expect(html.indexOf("Contains:")).toBeGreaterThan(0);
    expect(html.indexOf("Contains:")).toBeLessThan(html.indexOf('class="tick"'));
  });
  it("is set smaller the more there is, and never smaller than can be read", () => {
    const many = (count: number) =>
      batchSheet(
        {
          name: "x",
          components: [
            {
              ...filling,
              stages: [{ name: "s", uses: uses(...Array.from({ length: count }, (): [string, number] => ["plain-flour", 10])) }],
            },
          ],
        },
        { book },
      );
    const scales = [5, 20, 30, 45, 90].map((count) => sheetScale(many(count)));
    expect(scales).toEqual([...scales].sort((a, b) => b - a));
    expect(scales[0]).toBe(1.12);
    expect(scales.at(-1)).toBe(0.66);
  });
});
