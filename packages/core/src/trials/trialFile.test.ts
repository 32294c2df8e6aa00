import fc from "fast-check";
import { expect, it } from "vitest";
import { answerTrial } from "./answerTrial.js";
import { planTrial } from "./question.js";
import { readQuestion } from "./questionWords.js";
import { createRandom } from "./random.js";
import { recordRun } from "./sheet.js";
import { readTrialFile, type TrialFile, trialFileOf } from "./trialFile.js";

function keep(document: Record<string, unknown>): TrialFile {
  const { value: question, problems } = readQuestion(document);
  if (question === undefined) throw new Error(problems.map(({ path, expected }) => `${path.join(".")}: ${expected}`).join());
  const plan = planTrial(question);
  if (!plan.ok) throw new Error("no plan");
  const file = trialFileOf(question, plan.value, "Trial", ["eggs"]);
  // What is kept is plain data: it survives being written and read.
  const back = readTrialFile(JSON.parse(JSON.stringify(file)));
  expect(back.problems).toEqual([]);
  return back.value!;
}

function bake(
  file: TrialFile,
  truth: (setting: Readonly<Record<string, number | string>>) => number,
  sd: number,
  seed: number,
): TrialFile {
  const random = createRandom(seed);
  let sheet = file.sheet;
  const days = new Map<number, number>();
  for (const run of sheet.runs) {
    if (!days.has(run.day)) days.set(run.day, 3 * random.normal());
    sheet = recordRun(sheet, run.number, {
      measured: { [sheet.measures[0]!.name]: truth(run.setting) + days.get(run.day)! + sd * random.normal() },
    }).value;
  }
  return { ...file, sheet };
}

it("goes from a question to an answer: is B better than A", () => {
  const file = keep({
    kind: "better",
    pairing: "days",
    measure: "height at the centre",
    matters: 4,
    spread: 2,
    names: ["the standard", "the new one"],
    seed: 8,
  });
  expect(answerTrial(file).answer.verdict).toBe("cannot tell");
  const answer = answerTrial(bake(file, ({ cake }) => (cake === "the new one" ? 45 : 40), 2, 1));
  expect(answer.answer.verdict).toBe("yes");
  expect(answer.answer.sentence).toMatch(/^The new one is taller by \d\.\d mm, between \d\.\d and \d\.\d\.$/);
  expect(answer.pairs!.length).toBe(answer.baked / 2);
});

it("leaves out the pair whose half was spoiled", () => {
  const baked = bake(
    keep({ kind: "better", pairing: "shelves", measure: "height at the centre", matters: 4, spread: 2, seed: 8 }),
    ({ cake }) => (cake === "B" ? 45 : 40),
    1,
    2,
  );
  const spoiled = { ...baked, sheet: recordRun(baked.sheet, 3, { state: "spoiled" }).value };
  expect(answerTrial(spoiled).pairs!.length).toBe(answerTrial(baked).pairs!.length - 1);
  expect(answerTrial(spoiled).spoiled).toBe(1);
});

it("finds what moves the height, with the days taken out", () => {
  const factors = [
    { name: "sugar", low: 180, high: 240, unit: "g" },
    { name: "minutes", low: 25, high: 35, unit: "min" },
  ];
  const file = keep({ kind: "how much", factors, measure: "height at the centre", matters: 6, spread: 1, perDay: 6 });
  const { answer, reading } = answerTrial(bake(file, ({ sugar }) => 40 - ((Number(sugar) - 210) / 30) * 4, 1, 3));
  expect(answer.sentence).toContain("Height at the centre is moved by sugar");
  expect(reading!.responses[0]!.analysis.blockNames.length).toBe(2);
});

it("tells several apart", () => {
  const file = keep({
    kind: "which of several",
    names: ["plain", "spelt", "rye"],
    measure: "height at the centre",
    matters: 5,
    spread: 1.5,
  });
  const { answer } = answerTrial(bake(file, ({ cake }) => (cake === "rye" ? 33 : 40), 1.5, 4));
  expect(answer.verdict).toBe("yes");
  expect(answer.sentence).toContain("ye is flatter than");
});

it("names what is wrong in a question or a kept file", () => {
  const paths = (document: unknown) => readQuestion(document).problems.map(({ path }) => path.join("."));
  expect(paths({ kind: "best" })).toEqual(["kind"]);
  expect(paths({ kind: "better", measure: "height", matters: -1, colour: 3 })).toEqual([
    "colour",
    "matters",
    "measure",
    "pairing",
  ]);
  expect(paths({ kind: "can people tell" })).toEqual(["allergens"]);
  expect(paths({ kind: "which blend", measure: "volume", matters: 20, shares: [{ name: "a" }, { lower: 1 }] })).toEqual([
    "shares.1",
  ]);
  expect(readTrialFile({ shape: "other" }).problems[0]!.expected).toBe("evencrumb.trial/1");
  expect(
    readTrialFile({
      shape: "evencrumb.trial/1",
      kind: "better",
      promise: { summary: "" },
      sheet: { runs: [{}], factors: [], measures: [{ name: "a", unit: "b" }] },
    }).problems[0]!.path,
  ).toEqual(["sheet", "runs", 0]);
});

it("never throws on any document (property)", () => {
  fc.assert(
    fc.property(fc.anything({ withNullPrototype: true }), (document) => {
      readQuestion(document);
      readTrialFile(document);
    }),
  );
  const kind = fc.constantFrom(
    "better",
    "how much",
    "which blend",
    "which of several",
    "which is liked best",
    "can people tell",
    "which do they prefer",
  );
  fc.assert(
    fc.property(
      kind,
      fc.dictionary(
        fc.constantFrom("names", "factors", "shares", "rules", "measure", "matters", "allergens", "tasterCount", "pairing"),
        fc.anything(),
      ),
      (name, fields) => {
        const { value } = readQuestion({ ...fields, kind: name });
        if (value !== undefined) planTrial(value);
      },
    ),
  );
});
