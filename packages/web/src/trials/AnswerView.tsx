import { answerTrial, COMPARISON_AIMS, type ComparisonAim, type TrialAnswer, wishesOf } from "@evencrumb/core/trials";
import { useMemo, useState } from "react";
import { addresses } from "../app/route.js";
import { ProblemList } from "../parts/Field.js";
import { useJob } from "../work/useJob.js";
import { AnswerPictures } from "./AnswerPictures.js";
import { answerWork } from "./answerJobs.js";
import { BestView } from "./BestView.js";
import { Decide } from "./decide.js";
import { type BakingTrial, readBy } from "./documents.js";
import { PredictForm } from "./PredictForm.js";
import type { TrialSession } from "./session.js";
import { settingWords, unbroken } from "./settingWords.js";
import { useConfirmations } from "./useConfirmations.js";
import { useSettingCake } from "./useRunCakes.js";
import { Wishes } from "./Wishes.js";

/** The answer first, in one sentence; then the picture; then what to do; the figures on a page of their own. */
export function AnswerView({ trial, session }: { trial: BakingTrial; session: TrialSession }) {
  const { sheet } = trial;
  const [by, setBy] = useState(sheet.measures[0]!.name);
  const measure = sheet.measures.find(({ name }) => name === by) ?? sheet.measures[0]!;
  const asked = useMemo(() => readBy(trial, measure), [trial, measure]);
  const result = useMemo(() => answerTrial(asked), [asked]);
  const { answer, baked, spoiled, missing } = result;
  const readable = sheet.measures.filter(({ name }) => sheet.runs.some((run) => typeof run.measured[name] === "number"));
  // Trials of whole cakes with one wish have their best in the answer itself.
  const seeks = result.reading !== undefined && (trial.bindings.length > 0 || wishesOf(asked).length > 1);
  const job = useJob(answerWork, "best", seeks ? asked : null, 60);
  const found = job.state === "ready" ? job.answer : undefined;
  const best = found?.value;
  const made = useSettingCake(trial, best?.best.setting);
  const confirmations = useConfirmations(trial);
  const confirmed = confirmations.find(({ reading }) => reading.confirmed);
  const evidence = `${answer.sentence} ${answer.certainty}${best === undefined ? "" : ` ${best.answer.sentence}`}`;
  const edit = (change: Partial<BakingTrial>) => session.edit((body) => ({ ...(body as BakingTrial), ...change }));
  return (
    <div className="page narrow trial answer-page">
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.trial(session.documentId)}>
            ‹ The run sheet
          </a>
          <p className="muted">{trial.name}</p>
        </div>
        {readable.length < 2 ? null : (
          <label className="pick">
            Read by
            <select value={by} onChange={(event) => setBy(event.currentTarget.value)}>
              {readable.map(({ name }) => (
                <option key={name}>{name}</option>
              ))}
            </select>
          </label>
        )}
      </header>
      <section className="stack" aria-label="The answer">
        <h1 className="answer">{unbroken(answer.sentence)}</h1>
        <p className="certainty">{unbroken(answer.certainty)}</p>
        <p className="muted figures">
          {[
            `${baked} of ${sheet.runs.length} runs measured`,
            spoiled > 0 ? `${spoiled} spoiled and left out` : null,
            missing > 0 ? `${missing} not baked` : null,
          ]
            .filter((part) => part !== null)
            .join(" · ")}
        </p>
        {trial.kind !== "better" || trial.matters === undefined || measure !== sheet.measures[0] ? null : (
          <AimPick trial={trial} aim={result.aim ?? "better"} onAim={(aim) => edit({ aim })} />
        )}
      </section>
      <ProblemList problems={baked === 0 ? [] : result.problems} />
      <AnswerPictures trial={asked} result={result} {...(best === undefined ? {} : { best: best.best.values })} />
      {answer.next.length === 0 ? null : (
        <section className="stack" aria-labelledby="next">
          <h2 id="next">What to do next</h2>
          <ul className="sentences large">
            {answer.next.map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
        </section>
      )}
      {result.reading === undefined || readable.length === 0 ? null : (
        <Wishes key={readable.length} trial={trial} measures={readable} onGoals={(goals) => edit({ goals })} />
      )}
      <ProblemList problems={found?.problems ?? []} />
      {seeks && job.state === "working" ? (
        <p className="muted" role="status">
          Looking for the setting that meets it best…
        </p>
      ) : null}
      {best === undefined ? null : (
        <BestView trial={trial} session={session} result={result} best={best} evidence={evidence} confirmations={confirmations} />
      )}
      {result.comparison?.kind !== "compared" && result.reading?.responses[0] === undefined ? null : (
        <Decide
          session={session}
          trial={trial}
          evidence={evidence}
          winner={trial.kind !== "better" ? undefined : winnerOf(answer.verdict, trial)}
          made={
            trial.bindings.length === 0 || best === undefined || made?.formula == null
              ? undefined
              : { words: settingWords(sheet.factors, made.setting), formula: made.formula }
          }
          needsConfirmation={trial.bindings.length > 0}
          confirmation={
            confirmed === undefined
              ? undefined
              : { documentId: confirmed.documentId, sentence: confirmed.reading.answer.sentence }
          }
        />
      )}
      {result.reading?.responses[0] === undefined || trial.bindings.length === 0 ? null : (
        <PredictForm trial={asked} analysis={result.reading.responses[0].analysis} />
      )}
      <p>
        <a href={addresses.trial(session.documentId, "working")}>The working behind it ›</a>
      </p>
    </div>
  );
}

const AIM_WORDS: Readonly<Record<ComparisonAim, string>> = {
  better: "whether they differ",
  "no worse": "whether the new one is no worse",
  "the same": "whether they are the same",
};

/** What a comparison is to show; the margin is the difference that matters, which was said before anything was baked. */
function AimPick({ trial, aim, onAim }: { trial: BakingTrial; aim: ComparisonAim; onAim: (aim: ComparisonAim) => void }) {
  const [measure] = trial.sheet.measures;
  return (
    <label className="pick aim-pick">
      It is to show
      <select value={aim} onChange={(event) => onAim(event.currentTarget.value as ComparisonAim)}>
        {COMPARISON_AIMS.filter((one) => one !== "no worse" || measure?.better !== undefined).map((one) => (
          <option key={one} value={one}>
            {AIM_WORDS[one]}
          </option>
        ))}
      </select>
      {aim === "better" ? null : (
        <span className="muted small">
          by less than the {trial.matters} {measure?.unit} that you said matter. Decide which you ask before you look at the
          figures.
        </span>
      )}
    </label>
  );
}

function winnerOf(verdict: TrialAnswer["answer"]["verdict"], trial: BakingTrial): string | undefined {
  return verdict === "yes" ? trial.cakes[1]?.name : verdict === "no" ? trial.cakes[0]?.name : undefined;
}
