import { expect, it } from "vitest";
import { runOrder } from "./runOrder.js";
import {
  addMeasure,
  meanOfFigures,
  newRunSheet,
  type RunSheet,
  readRunSheet,
  recordRun,
  sheetRows,
  spreadOfRepeats,
  USUAL_MEASURES,
  writeRunSheet,
} from "./sheet.js";

const height = USUAL_MEASURES.find(({ name }) => name === "height at the centre")!;
const sheet: RunSheet = newRunSheet(
  {
    title: "Sugar and tin",
    seed: 4,
    factors: [
      { kind: "amount", name: "sugar", unit: "g", low: 180, high: 220 },
      { kind: "choice", name: "tin", levels: ["dark", "light"] },
    ],
    measures: [height],
    allergens: ["eggs", "milk"],
  },
  [180, 220, 180, 220].map((sugar, index) => ({ sugar, tin: index < 2 ? "dark" : "light" })),
  runOrder(4, { seed: 4, perDay: 2 }),
);

it("goes to the bench as CSV and comes back with what happened", () => {
  const text = writeRunSheet(sheet);
  expect(text.split("\r\n")[0]).toBe("run,day,load,place,batter,state,sugar,tin,height at the centre [mm],notes");
  const filled = text
    .split("\r\n")
    .map((line) =>
      line.startsWith("1,")
        ? line.replace("planned", "baked").replace(/,,$/, ',41.5,"sank a little, left"')
        : line.startsWith("2,")
          ? line.replace("planned", "spoiled")
          : line,
    )
    .join("\r\n");
  const { value, problems } = readRunSheet(sheet, filled);
  expect(problems).toEqual([]);
  expect(value.runs[0]).toMatchObject({
    state: "baked",
    measured: { "height at the centre": 41.5 },
    notes: "sank a little, left",
  });
  expect(value.runs[1]!.state).toBe("spoiled");
  expect(sheetRows(value).length).toBe(1);
  // What was really baked counts, even when it is not what was planned.
  const changed = readRunSheet(sheet, "run,sugar,height at the centre\n1,205,40\n");
  expect(changed.value.runs[0]).toMatchObject({ setting: { sugar: 205 }, state: "baked" });
});

it("says line and remedy for what does not fit", () => {
  const { problems } = readRunSheet(sheet, "run,tin,width,height at the centre,state\n1,copper,3,tall,done\n9,dark,3,40,baked\n");
  expect(problems.map(({ path, position, found }) => [path.at(-1), position?.line, found])).toEqual([
    ["width", 1, "width"],
    ["height at the centre", 2, "tall"],
    ["tin", 2, "copper"],
    ["state", 2, "done"],
    ["run", 3, "9"],
  ]);
});

it("records a figure, keeps the old sheet, and refuses a run that is not there", () => {
  const { value } = recordRun(sheet, 3, { measured: { "height at the centre": 44 } });
  expect(value.runs[2]!.state).toBe("baked");
  expect(sheet.runs[2]!.state).toBe("planned");
  expect(recordRun(sheet, 9, {}).problems[0]!.expected).toBe("a run from 1 to 4");
  expect(recordRun(sheet, 1, { measured: { depth: 3 } }).problems[0]!.found).toBe("depth");
});

it("pools the spread of repeats", () => {
  // Exact: squares 2 + 0.5 + 0 over 1 + 1 + 0 degrees of freedom.
  expect(spreadOfRepeats([[40, 42], [41, 42], [50]])).toMatchObject({ sd: Math.sqrt(2.5 / 2), df: 2 });
  expect(spreadOfRepeats([[40], [41]])).toBeUndefined();
});

it("works out the loss from the two weights, and leaves one that was written down", () => {
  const weighed = ["weight before", "weight after", "weight loss"].reduce(
    (now, name) => addMeasure(now, USUAL_MEASURES.find((measure) => measure.name === name)!),
    sheet,
  );
  expect(weighed.runs[3]!.measured).toEqual({
    "height at the centre": null,
    "weight before": null,
    "weight after": null,
    "weight loss": null,
  });
  const before = recordRun(weighed, 1, { measured: { "weight before": 520 } }).value;
  expect(before.runs[0]!.measured["weight loss"]).toBeNull();
  const both = recordRun(before, 1, { measured: { "weight after": 468 } }).value;
  expect(both.runs[0]!.measured["weight loss"]).toBe(10); // exact: 52 of 520
  const own = recordRun(both, 1, { measured: { "weight loss": 9.5 } }).value;
  expect(own.runs[0]!.measured["weight loss"]).toBe(9.5);
  expect(recordRun(sheet, 1, { measured: { "height at the centre": 40 } }).value.runs[0]!.measured).toEqual({
    "height at the centre": 40,
  });
  expect(() => addMeasure(sheet, height)).toThrow("on the sheet already");
});

it("takes the mean of several figures, in either notation, and nothing that is no figure", () => {
  expect(meanOfFigures("41 42,5 43 42.1")).toEqual({ mean: 42.15, figures: [41, 42.5, 43, 42.1] });
  expect(meanOfFigures("7/8 6; 7")).toEqual({ mean: 7, figures: [7, 8, 6, 7] });
  for (const text of ["41", "", "41 mm", "41,5"]) expect(meanOfFigures(text)).toBeUndefined();
});

it("keeps where pictures of a run are, through a CSV that knows nothing of them", () => {
  const pictured = recordRun(sheet, 2, { photos: ["a", "b"] }).value;
  expect(pictured.runs[1]).toMatchObject({ photos: ["a", "b"], state: "planned" });
  expect(readRunSheet(pictured, writeRunSheet(pictured)).value.runs[1]!.photos).toEqual(["a", "b"]);
});
