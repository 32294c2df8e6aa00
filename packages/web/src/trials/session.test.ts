import { newRunSheet, recordRun, TRIAL_SHAPE } from "@evencrumb/core/trials";
import { beforeEach, expect, it, vi } from "vitest";
import type { Change } from "../keep/outbox.js";
import type { SmallStorage } from "../keep/storage.js";
import { type BakingTrial, merge, type Trial } from "./documents.js";
import { TrialSession } from "./session.js";

const measure = { name: "height at the centre", unit: "mm" };
const sheet = newRunSheet(
  { title: "Oil", seed: 1, factors: [{ kind: "choice", name: "cake", levels: ["A", "B"] }], measures: [measure], allergens: [] },
  [{ cake: "A" }, { cake: "B" }],
  [
    { runIndex: 0, day: 0, load: 0, position: 0 },
    { runIndex: 1, day: 0, load: 1, position: 0 },
  ],
);
const trial: BakingTrial = {
  shape: TRIAL_SHAPE,
  name: "Oil",
  kind: "better",
  title: "Oil",
  promise: { summary: "", certainty: "", ifNothingIsSeen: "", cautions: [] },
  question: { kind: "better", seed: 1, measure, matters: 2, pairing: "days" },
  cakes: [],
  bindings: [],
  hold: "others",
  sheet,
};
const measured = (body: Trial, run: number, value: number): Trial => ({
  ...(body as BakingTrial),
  sheet: recordRun((body as BakingTrial).sheet, run, { measured: { [measure.name]: value } }).value,
});
const heightOf = (body: Trial, run: number) => (body as BakingTrial).sheet.runs[run - 1]!.measured[measure.name];

let storage: SmallStorage;
let sent: Change[];
beforeEach(() => {
  vi.useFakeTimers();
  const items = new Map<string, string>();
  storage = {
    getItem: (key) => items.get(key) ?? null,
    setItem: (key, value) => void items.set(key, value),
    removeItem: (key) => void items.delete(key),
    key: (index) => [...items.keys()][index] ?? null,
    get length() {
      return items.size;
    },
  };
  sent = [];
});
const open = (body: Trial = trial, revisionId = "one") =>
  new TrialSession({ documentId: "t", revisionId, body, outbox: { add: (change) => void sent.push(change) }, storage });

it("keeps what was written once the bench is quiet, and nothing where nothing was", () => {
  const session = open();
  session.edit((body) => measured(body, 1, 41));
  session.edit((body) => measured(body, 2, 43));
  expect(sent).toEqual([]);
  vi.advanceTimersByTime(3000);
  expect(sent).toMatchObject([{ does: "keep", parentId: "one" }]);
  session.keep();
  expect(sent).toHaveLength(1);
});

it("finds what was written before a reload", () => {
  open().edit((body) => measured(body, 1, 41));
  vi.clearAllTimers(); // the page is gone
  const again = open();
  expect(heightOf(again.body(), 1)).toBe(41);
  vi.advanceTimersByTime(3000);
  expect(sent).toHaveLength(1);
});

it("lays the results of two devices over each other", () => {
  const session = open();
  session.edit((body) => measured(body, 1, 41));
  session.takeOver({ id: "theirs", body: measured(trial, 2, 44) }, trial);
  expect(heightOf(session.body(), 1)).toBe(41);
  expect(heightOf(session.body(), 2)).toBe(44);
  vi.advanceTimersByTime(3000);
  expect(sent).toMatchObject([{ does: "keep", parentId: "theirs" }]);
});

it("knows what it began from after it kept, so that late news of it takes nothing back", () => {
  const session = open();
  session.edit((body) => measured(body, 1, 41));
  session.keep();
  expect(session.knows("one")).toBe(true);
  expect(sent[0]!.does === "keep" && session.knows(sent[0]!.revisionId)).toBe(true);
  expect(session.knows("theirs")).toBe(false);
  session.takeOver({ id: "theirs", body: measured(trial, 2, 44) }, trial);
  expect(session.knows("theirs")).toBe(true);
});

it("knows the line that a revision stands at the end of, and no other", () => {
  const session = open(trial, "three");
  session.knowLine([
    { id: "one", parentId: null },
    { id: "two", parentId: "one" },
    { id: "three", parentId: "two" },
    { id: "beside", parentId: "one" },
  ]);
  expect(["one", "two", "three", "beside"].map((id) => session.knows(id))).toEqual([true, true, true, false]);
});

it("lets what was written here stand where both wrote the same figure, and unites tasters", () => {
  expect(heightOf(merge<Trial>(trial, measured(trial, 1, 40), measured(trial, 1, 41)), 1)).toBe(41);
  const answers = (...tasters: number[]) => ({ answers: tasters.map((taster) => ({ taster, codes: ["123"] })) });
  expect(merge(answers(1), answers(1, 2), answers(1, 3)).answers.map(({ taster }) => taster)).toEqual([1, 2, 3]);
});
