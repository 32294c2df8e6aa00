import { expect, it } from "vitest";
import { FIRST_PAPER, readLabelDocument, sheetOf } from "./index.js";

const kept = {
  name: "Great Britain, for the stall",
  formulaId: "5a1d0001-0000-4000-8000-000000000001",
  inputs: { place: "gb", mode: "prepacked", packs: 1, portions: 8, gtin: "5012345678900" },
  paper: { widthMm: 99, heightMm: 67, rows: 4, columns: 2 },
};

it("reads a label as it is kept, and gives back nothing else", () => {
  expect(readLabelDocument(kept)).toEqual({ value: kept, problems: [] });
  expect(readLabelDocument({ ...kept, paper: undefined }).value?.paper).toEqual(FIRST_PAPER);
  // A day in it is not kept: the rules of the day on which a label is made hold.
  expect(readLabelDocument({ ...kept, inputs: { ...kept.inputs, date: "2020-01-01" } }).value?.inputs).toEqual(kept.inputs);
});

it.each([
  ["no object", "label", [[]]],
  ["no name", { ...kept, name: "" }, [["name"]]],
  ["no formula", { ...kept, formulaId: 3 }, [["formulaId"]]],
  ["no place", { ...kept, inputs: { mode: "prepacked" } }, [["inputs", "place"]]],
  ["a wrong number", { ...kept, inputs: { ...kept.inputs, gtin: "5012345678901" } }, [["inputs", "gtin"]]],
  ["part of a portion", { ...kept, inputs: { ...kept.inputs, portions: 2.5 } }, [["inputs", "portions"]]],
  ["a tiny label", { ...kept, paper: { widthMm: 3, heightMm: 70, rows: 1, columns: 1 } }, [["paper", "widthMm"]]],
  ["half a row", { ...kept, paper: { ...kept.paper, rows: 1.5 } }, [["paper", "rows"]]],
  ["an unknown field", { ...kept, colour: "red" }, [["colour"]]],
])("says where %s is wrong, and what to do", (_what, body, paths) => {
  const { problems } = readLabelDocument(body);
  expect(problems.map(({ path }) => path)).toEqual(paths);
  for (const { remedy } of problems) expect(remedy).not.toBe("");
});

it("puts labels on a page, or says by how much they do not fit", () => {
  expect(sheetOf(FIRST_PAPER).value).toMatchObject({ pageWidthMm: 100, pageHeightMm: 70, rows: 1, columns: 1 });
  // Grown because not all of it fitted.
  expect(sheetOf(FIRST_PAPER, 90).value).toMatchObject({ pageHeightMm: 90 });
  const sheet = { ...FIRST_PAPER, widthMm: 99, heightMm: 67, rows: 4, columns: 2 };
  expect(sheetOf(sheet).value).toMatchObject({ pageWidthMm: 210, marginLeftMm: 6, marginTopMm: 14.5 });
  expect(sheetOf({ ...sheet, columns: 3 }).problems[0]).toMatchObject({
    expected: "3 labels of 99 mm take 297 mm across, and the page has 210",
    path: ["paper"],
  });
  expect(sheetOf({ ...sheet, marginTopMm: 40 }).value).toBeUndefined();
});
