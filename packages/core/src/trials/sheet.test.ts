import { expect, it } from "vitest";
import { runOrder } from "./runOrder.js";
import {
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
