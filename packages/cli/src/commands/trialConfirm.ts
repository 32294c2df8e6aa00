import {
  answerTrial,
  bestOfTrial,
  confirmationSheet,
  expectBakes,
  MOST_CONFIRMATIONS,
  type Setting,
  settingBeside,
  settingOfFormula,
  TRIAL_SHAPE,
  type TrialFile,
  wishesOf,
} from "@evencrumb/core/trials";
import { type ExitStatus, type Io, refuse } from "../io.js";
import { exactJsonText, sheetAsText } from "../render/trial.js";
import { type RunWords, runMaker } from "../trialRuns.js";

export interface ConfirmWords {
  readonly count: string | undefined;
  readonly out: string | undefined;
  readonly title: string | undefined;
  /** The standard and what the factors mean in it, where they were given. */
  readonly inputs: Omit<RunWords, "factors"> | undefined;
  readonly json: boolean;
}

/** Plans the bakes that are to bear out the best setting of a trial, beside the standard where its formula is given. */
export async function confirmTrial(file: string, trial: TrialFile, words: ConfirmWords, io: Io): Promise<ExitStatus> {
  const count = Number(words.count ?? 2);
  if (!Number.isInteger(count) || count < 1 || count > MOST_CONFIRMATIONS) {
    io.say(`--count: expected 1 to ${MOST_CONFIRMATIONS} bakes of each, found ${words.count}.`);
    return 2;
  }
  const answered = answerTrial(trial);
  const { value: best, problems } = bestOfTrial(trial, answered);
  if (best === undefined) {
    if (problems.length > 0) return refuse(io, problems, file);
    io.say(`${file}: no best setting can be given. ${answered.answer.sentence}`);
    return 1;
  }
  let standard: Setting | undefined;
  let wish: Setting = best.best.setting;
  if (words.inputs !== undefined) {
    standard = settingOfFormula(words.inputs.standard, words.inputs.bindings);
    const maker = await runMaker({ ...words.inputs, factors: trial.sheet.factors });
    if (!maker.ok) return refuse(io, maker.error);
    // What a scale can weigh is what is baked, and so what is predicted.
    const made = maker.value(wish);
    if (!made.ok) return refuse(io, made.error, file);
    for (const caution of made.value.cautions) io.say(`Mind: ${caution}`);
    wish = made.value.realised;
  }
  const beside = settingBeside(trial.sheet, standard);
  const settings = [wish, beside.setting] as const;
  const responses = answered.reading?.responses ?? [];
  const analyses = best.goals.map(({ response }) => ({
    analysis: responses.find(({ name }) => name === response)!.analysis,
    unit: trial.sheet.measures.find(({ name }) => name === response)?.unit ?? "",
  }));
  const expected = expectBakes(analyses, settings);
  if (!expected.ok) return refuse(io, expected.error, file);
  const title = words.title ?? `${trial.title}, confirmation`;
  const evidence = `${answered.answer.sentence} ${best.answer.sentence}`;
  const planned = confirmationSheet(trial, expected.value, {
    title,
    evidence,
    names: ["the best setting", beside.name],
    settings,
    count,
    seed: trial.sheet.seed + 1,
    goals: wishesOf(trial),
  });
  const kept: TrialFile = { shape: TRIAL_SHAPE, ...planned };
  if (words.out !== undefined) {
    await io.writeFile(words.out, `${JSON.stringify(kept, null, 2)}\n`);
    io.say(`Kept in ${words.out}.`);
  }
  if (words.json)
    io.print(exactJsonText("trial.confirm", { title, expected: planned.confirms.expected, settings, runs: planned.sheet.runs }));
  else
    io.print(
      [planned.promise.summary, planned.promise.certainty, planned.promise.ifNothingIsSeen, "", sheetAsText(planned.sheet)].join(
        "\n",
      ),
    );
  return 0;
}
