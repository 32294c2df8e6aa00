import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { anyFormula, bookOf, COMMON_ROLES } from "../../testing/formulas.js";
import {
  addComponent,
  addStage,
  addUse,
  changeComponent,
  changeFormula,
  changeStage,
  changeUse,
  type Edited,
  freeComponentName,
  moveComponent,
  moveStage,
  moveUse,
  removeComponent,
  removeStage,
  removeUse,
  setGrams,
  setIngredientTotal,
  setPercent,
  splitIngredient,
} from "./edit.js";
import type { Formula } from "./formula.js";
import { componentGrams, componentPercentages, type UsePlace } from "./percent.js";
import { validateFormula } from "./validate.js";

const book = bookOf({ ...COMMON_ROLES, cornflour: "flour", honey: "sugar", water: "liquid" });

const cake: Formula = {
  name: "Cake",
  components: [
    {
      name: "Sponge",
      kind: "cake",
      stages: [
        {
          name: "Cream",
          uses: [
            { ingredient: "butter", grams: 200 },
            { ingredient: "sugar", grams: 150 },
          ],
        },
        {
          name: "Fold",
          uses: [
            { ingredient: "flour", grams: 200 },
            { ingredient: "honey", grams: 50 },
            { ingredient: "salt", grams: null },
          ],
        },
      ],
    },
    { name: "Syrup", kind: "syrup", stages: [{ name: "Boil", uses: [{ ingredient: "sugar", grams: 100 }] }] },
  ],
};
const [BUTTER, SUGAR, FLOUR, SALT] = [place(0, 0, 0), place(0, 0, 1), place(0, 1, 0), place(0, 1, 2)];

function place(component: number, stage: number, use: number): UsePlace {
  return { component, stage, use };
}
function done(edited: Edited): Formula {
  if (!edited.ok) throw new Error(`refused: ${edited.error.expected}, found ${edited.error.found}`);
  return edited.value;
}
function refused(edited: Edited) {
  if (edited.ok) throw new Error("was not refused");
  return edited.error;
}
const grams = (formula: Formula) => formula.components[0]!.stages.flatMap((stage) => stage.uses.map((use) => use.grams));

describe("setGrams", () => {
  it("sets one weight and shares the rest with the old formula", () => {
    const next = done(setGrams(cake, SUGAR, 180));
    expect(grams(next)).toEqual([200, 180, 200, 50, null]);
    expect(grams(cake)).toEqual([200, 150, 200, 50, null]);
    expect(next.components[0]?.stages[1]).toBe(cake.components[0]?.stages[1]);
    expect(next.components[1]).toBe(cake.components[1]);
  });

  it("empties a cell with null, and refuses what is no weight with the place and the remedy", () => {
    expect(grams(done(setGrams(cake, SUGAR, null)))).toEqual([200, null, 200, 50, null]);
    expect(refused(setGrams(cake, SUGAR, -5))).toMatchObject({
      code: "out-of-range",
      path: ["components", 0, "stages", 0, "uses", 1, "grams"],
      found: "-5",
    });
    expect(refused(setGrams(cake, SUGAR, Number.NaN)).code).toBe("wrong-type");
  });

  it("throws for a place that does not exist", () => {
    expect(() => setGrams(cake, place(0, 0, 2), 1)).toThrow(RangeError);
    expect(() => setGrams(cake, place(5, 0, 0), 1)).toThrow("no component 5");
    expect(() => setGrams(cake, place(0, -1, 0), 1)).toThrow("no stage -1");
  });
});

describe("setPercent", () => {
  it.each([
    // exact: solved by hand
    ["batch", "others", SUGAR, 40, [200, 300, 200, 50, null]],
    ["batch", "total", SUGAR, 40, [160, 240, 160, 40, null]],
    ["bakers", "others", SUGAR, 100, [200, 200, 200, 50, null]],
    ["bakers", "total", SUGAR, 150, [160, 240, 160, 40, null]],
    ["group", "others", SUGAR, 50, [200, 50, 200, 50, null]],
    ["group", "total", SUGAR, 50, [200, 100, 200, 100, null]],
    ["batch", "others", SALT, 0, [200, 150, 200, 50, 0]],
  ] as const)("%s, holding %s", (basis, hold, at, percent, expected) => {
    const found = grams(done(setPercent(cake, book, at, { basis, percent, hold })));
    found.forEach((value, index) => {
      const wanted = expected[index];
      if (value === null || wanted === null) expect(value).toBe(wanted);
      else expect(value).toBeCloseTo(wanted!, 9);
    });
  });

  it("gives a flour its share of the flour", () => {
    const two = done(addUse(cake, { component: 0, stage: 1 }, { ingredient: "cornflour", grams: 50 }));
    const next = done(setPercent(two, book, place(0, 1, 3), { basis: "bakers", percent: 50, hold: "others" }));
    expect(grams(next)).toEqual([200, 150, 200, 50, null, 200]);
  });

  it("says why a share cannot be had", () => {
    const tried = (at: UsePlace, basis: "batch" | "bakers" | "group", percent: number, formula = cake) =>
      refused(setPercent(formula, book, at, { basis, percent, hold: "others" }));
    expect(tried(SUGAR, "batch", 100)).toMatchObject({
      code: "conflict",
      expected: "less than 100 % of the batch, which holds other ingredients",
    });
    expect(tried(SUGAR, "group", 120).remedy).toBe("Type a smaller share, or remove the others.");
    expect(tried(place(1, 0, 0), "bakers", 50)).toMatchObject({ expected: "flour in this component, which counts as 100 %" });
    expect(tried(place(1, 0, 0), "batch", 50)).toMatchObject({ expected: "100 % (it is all of the batch)" });
    expect(tried(FLOUR, "bakers", 90)).toMatchObject({ expected: "100 % (it is all of the flour)" });
    expect(tried(SUGAR, "batch", -1).code).toBe("out-of-range");
    expect(tried(SUGAR, "batch", Number.NaN).code).toBe("out-of-range");
    const strange = done(changeUse(cake, SUGAR, { ingredient: "moon-dust" }));
    expect(tried(SUGAR, "group", 50, strange).code).toBe("unknown-ingredient");
    expect(done(setPercent(cake, book, FLOUR, { basis: "bakers", percent: 100, hold: "others" }))).toBe(cake);
  });

  it("gives the share that was asked for and holds what was to be held (property)", () => {
    fc.assert(
      fc.property(
        anyFormula(),
        fc.constantFrom("batch" as const, "bakers" as const, "group" as const),
        fc.constantFrom("total" as const, "others" as const),
        fc.double({ min: 0.01, max: 95, noNaN: true }),
        fc.nat(),
        (formula, basis, hold, percent, pick) => {
          const places = formula.components.flatMap((component, c) =>
            component.stages.flatMap((stage, s) => stage.uses.map((_use, u) => place(c, s, u))),
          );
          const at = places[pick % places.length];
          if (at === undefined) return;
          const component = formula.components[at.component]!;
          const before = componentPercentages(component, book);
          // Weights below a millionth of a gram lose the proportion in rounding; no scale knows them.
          if (before.stages.some((stage) => stage.uses.some((use) => use.grams !== null && use.grams > 0 && use.grams < 1e-3)))
            return;
          const edited = setPercent(formula, book, at, { basis, percent, hold });
          if (!edited.ok) return;
          const after = componentPercentages(edited.value.components[at.component]!, book);
          const use = after.stages[at.stage]!.uses[at.use]!;
          const share = { batch: use.batchPercent, bakers: use.bakersPercent, group: use.groupSharePercent }[basis];
          expect(share! / percent).toBeCloseTo(1, 6);
          if (hold === "total" && before.totalGrams > 0) expect(after.totalGrams / before.totalGrams).toBeCloseTo(1, 6);
          if (hold === "others") {
            const others = (figures: typeof after) =>
              figures.stages.flatMap((stage, s) =>
                stage.uses.filter((_, u) => s !== at.stage || u !== at.use).map((other) => other.grams),
              );
            expect(others(after)).toEqual(others(before));
          }
        },
      ),
      { numRuns: 300 },
    );
  });
});

describe("an ingredient over its stages", () => {
  it("is split by shares and keeps its total and its notes", () => {
    const next = done(
      splitIngredient(cake, { component: 0, ingredient: "sugar" }, [
        { stage: 0, share: 2 / 3 },
        { stage: 1, share: 1 / 3 },
      ]),
    );
    expect(next.components[0]?.stages.map((stage) => stage.uses.filter((use) => use.ingredient === "sugar"))).toEqual([
      [{ ingredient: "sugar", grams: 100 }],
      [{ ingredient: "sugar", grams: 50 }],
    ]);
    expect(componentGrams(next.components[0]!)).toBe(componentGrams(cake.components[0]!));
  });

  it("moves over entirely when another stage takes all of it", () => {
    const next = done(splitIngredient(cake, { component: 0, ingredient: "sugar" }, [{ stage: 1, share: 1 }]));
    expect(next.components[0]?.stages[0]?.uses.map((use) => use.ingredient)).toEqual(["butter"]);
  });

  it("refuses shares that do not add up, and an ingredient that is not there", () => {
    const at = { component: 0, ingredient: "sugar" };
    expect(
      refused(
        splitIngredient(cake, at, [
          { stage: 0, share: 0.5 },
          { stage: 1, share: 0.4 },
        ]),
      ),
    ).toMatchObject({ found: "50 % + 40 %" });
    expect(refused(splitIngredient(cake, at, [])).found).toBe("none");
    expect(refused(splitIngredient(cake, { component: 0, ingredient: "cocoa" }, [{ stage: 0, share: 1 }])).code).toBe(
      "unknown-ingredient",
    );
    expect(() => splitIngredient(cake, at, [{ stage: 7, share: 1 }])).toThrow(RangeError);
  });

  it("gets a new total with the same split", () => {
    const split = done(
      splitIngredient(cake, { component: 0, ingredient: "sugar" }, [
        { stage: 0, share: 0.8 },
        { stage: 1, share: 0.2 },
      ]),
    );
    const next = done(setIngredientTotal(split, { component: 0, ingredient: "sugar" }, 100));
    expect(next.components[0]?.stages.map((stage) => stage.uses.find((use) => use.ingredient === "sugar")?.grams)).toEqual([
      80, 20,
    ]);
    expect(refused(setIngredientTotal(split, { component: 0, ingredient: "sugar" }, -1)).code).toBe("out-of-range");
    expect(grams(done(setIngredientTotal(cake, { component: 0, ingredient: "salt" }, 4)))).toEqual([200, 150, 200, 50, 4]);
  });
});

describe("adding, removing, moving, renaming", () => {
  it("moves a use between stages and back without a trace", () => {
    const moved = done(moveUse(cake, SUGAR, place(0, 1, 0)));
    expect(moved.components[0]?.stages.map((stage) => stage.uses.map((use) => use.ingredient))).toEqual([
      ["butter"],
      ["sugar", "flour", "honey", "salt"],
    ]);
    expect(done(moveUse(moved, place(0, 1, 0), SUGAR))).toEqual(cake);
    expect(() => moveUse(cake, SUGAR, place(0, 1, 4))).toThrow(RangeError);
  });

  it("adds and removes uses, stages and components where it is told to", () => {
    const withUse = done(addUse(cake, { component: 0, stage: 0 }, { ingredient: "milk", grams: 30 }, 0));
    expect(withUse.components[0]?.stages[0]?.uses[0]?.ingredient).toBe("milk");
    expect(done(removeUse(withUse, BUTTER))).toEqual(cake);
    const withStage = done(addStage(cake, 0, { name: "Egg", uses: [] }, 1));
    expect(withStage.components[0]?.stages.map((stage) => stage.name)).toEqual(["Cream", "Egg", "Fold"]);
    expect(done(removeStage(withStage, { component: 0, stage: 1 }))).toEqual(cake);
    expect(
      done(moveStage(cake, { component: 0, stage: 0 }, { component: 1, stage: 1 })).components.map((c) => c.stages.length),
    ).toEqual([1, 2]);
    const withComponent = done(addComponent(cake, { name: "Glaze", kind: "glaze", stages: [] }, 0));
    expect(done(removeComponent(withComponent, 0))).toEqual(cake);
    expect(done(moveComponent(cake, 0, 1)).components.map((c) => c.name)).toEqual(["Syrup", "Sponge"]);
  });

  it("keeps component names unique and offers a free one", () => {
    expect(freeComponentName(cake, "Sponge")).toBe("Sponge 2");
    expect(freeComponentName(cake, "Filling")).toBe("Filling");
    const two = done(addComponent(cake, { name: "Sponge 2", kind: "cake", stages: [] }));
    expect(freeComponentName(two, "Sponge 2")).toBe("Sponge 3");
    expect(refused(changeComponent(cake, 1, { name: "Sponge" }))).toMatchObject({
      code: "duplicate",
      remedy: 'Call it "Sponge 2".',
    });
    expect(done(changeComponent(cake, 0, { name: "Sponge" }))).toEqual(cake);
  });

  it("changes and takes away the other fields, checked as the file checks them", () => {
    const set = done(
      changeComponent(cake, 0, { loss: { percent: 11, basis: "measured" }, tins: [{ count: 2, tin: "round 20x5 cm" }] }),
    );
    expect(set.components[0]).toMatchObject({ loss: { percent: 11 }, tins: [{ count: 2 }] });
    expect(done(changeComponent(set, 0, { loss: undefined, tins: undefined }))).toEqual(cake);
    expect(refused(changeComponent(cake, 0, { loss: { percent: 100, basis: "stated" } }))).toMatchObject({
      path: ["components", 0, "loss", "percent"],
      expected: "a percentage from 0 to below 100",
    });
    expect(
      done(changeStage(cake, { component: 0, stage: 0 }, { method: "Beat.", targets: [{ kind: "time", seconds: 300 }] }))
        .components[0]?.stages[0],
    ).toMatchObject({ method: "Beat.", targets: [{ kind: "time", seconds: 300 }] });
    expect(done(changeFormula(cake, { portions: 12, notes: "n" }))).toMatchObject({ portions: 12, notes: "n", name: "Cake" });
    expect(refused(changeFormula(cake, { portions: 0 })).path).toEqual(["portions"]);
    expect(refused(changeFormula(cake, { name: undefined })).code).toBe("missing-field");
  });

  it("only makes formulas that the reader takes (property)", () => {
    fc.assert(
      fc.property(anyFormula(), fc.double({ min: 0, max: 99, noNaN: true }), (formula, percent) => {
        for (const [c, component] of formula.components.entries()) {
          for (const [s, stage] of component.stages.entries()) {
            for (const u of stage.uses.keys()) {
              const edited = setPercent(formula, book, place(c, s, u), { basis: "batch", percent, hold: "total" });
              if (edited.ok) expect(validateFormula(edited.value).problems).toEqual([]);
            }
          }
        }
      }),
      { numRuns: 50 },
    );
  });
});
