import type { Formula } from "@evencrumb/core/formula";
import { createIngredientBook } from "@evencrumb/core/ingredients";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { actionForKey, defineActions, keyName } from "../app/action.js";
import { FIRST_SETTINGS } from "../app/house.js";
import { readRoute } from "../app/route.js";
import { cellsAsText, textAsCells } from "./clipboard.js";
import { lineDifferences } from "./differences.js";
import { editFor } from "./entry.js";
import { pasteSteps } from "./paste.js";
import { cellsBetween, nearestPlace, sheetRows, stepFrom } from "./rows.js";

const book = createIngredientBook();
const FORMULA: Formula = {
  name: "Two parts",
  components: [
    {
      name: "Cake",
      kind: "cake",
      stages: [
        {
          name: "Cream",
          uses: [
            { ingredient: "butter-unsalted", grams: 100 },
            { ingredient: "caster-sugar", grams: 100 },
          ],
        },
        { name: "Fold", uses: [{ ingredient: "plain-flour", grams: 200 }] },
      ],
    },
    {
      name: "Icing",
      kind: "icing",
      stages: [{ name: "Mix", uses: [{ ingredient: "icing-sugar-uk", grams: 50, note: "sifted" }] }],
    },
  ],
};
const rows = sheetRows(FORMULA);
const choices = { basis: "batch", hold: "others" } as const;
const run = (steps: ReturnType<typeof pasteSteps>) =>
  steps.reduce((formula, step) => {
    const edited = step(formula, book);
    if (!edited.ok) throw new Error(edited.error.expected);
    return edited.value;
  }, FORMULA);
const uses = (formula: Formula, component = 0, stage = 0) => formula.components[component]!.stages[stage]!.uses;

describe("the lines of the sheet", () => {
  it("run from the first component to the last, with an empty line in each stage", () => {
    expect(rows.map(({ is }) => is).join(" ")).toBe("component stage use use blank stage use blank component stage use blank");
  });
  it("are walked by arrows across headings, and back to the wanted column after them", () => {
    const grams = { component: 0, stage: 0, use: 1, column: "grams" } as const;
    const blank = stepFrom(rows, grams, { rows: 1 });
    expect(blank).toEqual({ component: 0, stage: 0, use: 2, column: "name" });
    const heading = stepFrom(rows, blank, { rows: 1 }, "grams");
    expect(heading).toEqual({ component: 0, stage: 1, column: "note" });
    expect(stepFrom(rows, heading, { rows: 1 }, "grams")).toEqual({ component: 0, stage: 1, use: 0, column: "grams" });
  });
  it("go on in the next line at the end of one, and stop at the ends of the sheet", () => {
    expect(stepFrom(rows, { component: 0, stage: 0, use: 0, column: "share" }, { columns: 1 })).toEqual({
      component: 0,
      stage: 0,
      use: 1,
      column: "name",
    });
    const last = { component: 1, stage: 0, use: 1, column: "name" } as const;
    expect(stepFrom(rows, last, { columns: 1 })).toBe(last);
  });
  it("give the nearest cell when the one before is gone", () => {
    expect(nearestPlace(rows, { component: 0, stage: 1, use: 7, column: "grams" })).toEqual({
      component: 0,
      stage: 1,
      use: 1,
      column: "name",
    });
    expect(nearestPlace([], { component: 0, column: "name" })).toBeNull();
  });
  it("are selected as a block, headings left out", () => {
    const block = cellsBetween(
      rows,
      { component: 0, stage: 0, use: 1, column: "grams" },
      { component: 0, stage: 1, use: 0, column: "percent" },
    );
    expect(block.map((line) => line.map(({ use, column }) => `${use} ${column}`))).toEqual([
      ["1 grams", "1 percent"],
      ["2 grams", "2 percent"],
      ["0 grams", "0 percent"],
    ]);
  });
});

describe("cells as text", () => {
  it("come back as they went, whatever is in them (property)", () => {
    const cell = fc.string({ unit: fc.constantFrom("a", "é", " ", '"', "\t", "\n", "½") });
    fc.assert(
      fc.property(fc.array(fc.array(cell, { minLength: 2, maxLength: 4 }), { minLength: 1, maxLength: 5 }), (cells) => {
        expect(textAsCells(cellsAsText(cells))).toEqual(cells);
      }),
    );
  });
  it("are read from other programs, with their line ends", () => {
    expect(textAsCells("a\t1\r\nb\t2\r\n")).toEqual([
      ["a", "1"],
      ["b", "2"],
    ]);
  });
});

describe("pasting cells", () => {
  it("puts weights over the lines, and goes on past a heading", () => {
    const pasted = run(
      pasteSteps(FORMULA, book, { component: 0, stage: 0, use: 1, column: "grams" }, [["90"], ["180 g"]], choices, "british"),
    );
    expect(uses(pasted)[1]!.grams).toBe(90);
    expect(uses(pasted, 0, 1)[0]!.grams).toBe(180);
  });
  it("adds lines below the last where it starts with names", () => {
    const cells = [
      ["Salted butter", "soft", "110"],
      ["Golden syrup", "", "40"],
      ["Moonbeams", "", "5"],
    ];
    const pasted = run(pasteSteps(FORMULA, book, { component: 0, stage: 0, use: 1, column: "name" }, cells, choices, "british"));
    expect(uses(pasted)).toEqual([
      { ingredient: "butter-unsalted", grams: 100 },
      { ingredient: "butter-salted", grams: 110, note: "soft" },
      { ingredient: "golden-syrup", grams: 40 },
      { ingredient: "Moonbeams", grams: 5 },
    ]);
  });
});

describe("entering a cell", () => {
  const place = { component: 0, stage: 0, use: 0 } as const;
  const enter = (column: "grams" | "percent" | "share" | "note", text: string, hold: "others" | "total" = "others") =>
    editFor({ ...place, column }, { text }, { ...choices, hold })(FORMULA, book);
  it("reads a weight with its unit", () => {
    const edited = enter("grams", "8 oz");
    // The international pound is 453.59237 g exactly (Weights and Measures Act 1985, Schedule 1).
    expect(edited.ok && uses(edited.value)[0]!.grams).toBeCloseTo(453.59237 / 2, 9);
  });
  it("empties it", () => {
    const edited = enter("grams", "");
    expect(edited.ok && uses(edited.value)[0]!.grams).toBeNull();
  });
  it("takes a percent of the batch and holds what was chosen", () => {
    const others = enter("percent", "40");
    expect(others.ok && uses(others.value).map(({ grams }) => grams)).toEqual([200, 100]);
    const total = enter("percent", "40 %", "total");
    expect(total.ok && uses(total.value).map(({ grams }) => Math.round(grams!))).toEqual([160, 80]);
  });
  it.each(["grams", "percent"] as const)("refuses what is no number of %s and says what to do", (column) => {
    const edited = enter(column, "a lot");
    expect(edited.ok).toBe(false);
    if (!edited.ok) expect(edited.error.remedy).not.toBe("");
  });
});

describe("differences from another revision", () => {
  it("stand on the line, and what is gone stands where it was", () => {
    const now: Formula = {
      ...FORMULA,
      components: [
        {
          ...FORMULA.components[0]!,
          stages: [
            {
              name: "Cream",
              uses: [
                { ingredient: "butter-unsalted", grams: 88 },
                { ingredient: "honey", grams: 20 },
              ],
            },
            FORMULA.components[0]!.stages[1]!,
          ],
        },
        FORMULA.components[1]!,
      ],
    };
    const differences = lineDifferences(FORMULA, now, book, FIRST_SETTINGS);
    expect(differences.line(0, 0, 0)).toBe("−12");
    expect(differences.line(0, 0, 1)).toBe("new");
    expect(differences.line(0, 1, 0)).toBeNull();
    expect(differences.gone(0, 0).map(({ key }) => key)).toEqual(["caster-sugar"]);
    expect(differences.total(0)).toBe("−92");
    expect(differences.total(1)).toBeNull();
  });
});

describe("actions", () => {
  const actions = defineActions<{ readonly on: boolean }>()({
    redo: { label: "Redo", keys: ["Control+Y", "Control+Shift+Z"], applies: ({ on }) => on, does: () => {} },
    up: { label: "Up", keys: ["Alt+ArrowUp"], applies: () => true, does: () => {} },
  });
  const stroke = (key: string, held: Partial<Record<"ctrlKey" | "metaKey" | "shiftKey" | "altKey", boolean>> = {}) => ({
    key,
    ctrlKey: false,
    metaKey: false,
    shiftKey: false,
    altKey: false,
    ...held,
  });
  it("are found by their keys, Command counting as Control", () => {
    expect(keyName(stroke("Z", { metaKey: true, shiftKey: true }))).toBe("Control+Shift+Z");
    expect(keyName(stroke("?", { shiftKey: true }))).toBe("?");
    expect(actionForKey(Object.values(actions), stroke("z", { ctrlKey: true, shiftKey: true }), { on: true })?.name).toBe("redo");
    expect(actionForKey(Object.values(actions), stroke("ArrowUp", { altKey: true }), { on: false })?.name).toBe("up");
  });
  it("do nothing while they do not apply", () => {
    expect(actionForKey(Object.values(actions), stroke("y", { ctrlKey: true }), { on: false })).toBeUndefined();
  });
});

describe("addresses", () => {
  it.each([
    ["", "formulas"],
    ["#/", "formulas"],
    ["#/formula/abc", "formula"],
    ["#/formula/abc/scale?by=eggs&value=6", "formula"],
    ["#/ingredients/plain-flour", "ingredients"],
    ["#/nowhere", "missing"],
    ["#/formula/abc/nonsense", "missing"],
    ["#/formula", "missing"],
  ])("%s opens %s", (hash, page) => expect(readRoute(hash).page).toBe(page));
  it("does not fall over a broken one", () => expect(readRoute("#/%E0%A4%A").page).toBe("missing"));
});
