import { answerTrial } from "@evencrumb/core/trials";
import { useMemo } from "react";
import { addresses } from "../app/route.js";
import { Decide } from "./decide.js";
import type { BakingTrial } from "./documents.js";
import { type RangeRow, RangesPicture } from "./pictures/RangesPicture.js";
import { Shown } from "./pictures/scale.js";
import type { TrialSession } from "./session.js";
import { settingWords, unbroken } from "./settingWords.js";

/** Whether the best setting came out as its trial had predicted; only then is it recommended. */
export function ConfirmationView({ trial, session }: { trial: BakingTrial; session: TrialSession }) {
  const { answer, baked, spoiled, missing, confirmation } = useMemo(() => answerTrial(trial), [trial]);
  const confirms = trial.confirms!;
  const own = trial.sheet.factors.filter(({ name }) => name !== "cake");
  const formula = trial.planned?.[0]?.formula;
  const [name, other] = confirms.names;
  const rows = (confirmation?.measures ?? []).map(
    ({ measure, unit, from, to, difference }): RangeRow => ({
      name: measure,
      unit,
      from,
      to,
      ...(difference === undefined ? {} : { at: difference }),
    }),
  );
  return (
    <div className="page narrow trial answer-page">
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.trial(session.documentId)}>
            ‹ The run sheet
          </a>
          <p className="muted">{trial.name}</p>
        </div>
      </header>
      <section className="stack" aria-label="The answer">
        <h1 className="answer">{unbroken(answer.sentence)}</h1>
        <p className="certainty">{unbroken(answer.certainty)}</p>
        <p className="muted figures">
          {[
            `${baked} of ${trial.sheet.runs.length} runs measured`,
            spoiled > 0 ? `${spoiled} spoiled and left out` : null,
            missing > 0 ? `${missing} not baked` : null,
          ]
            .filter((part) => part !== null)
            .join(" · ")}
        </p>
      </section>
      <Shown
        title={`${name.charAt(0).toUpperCase()}${name.slice(1)} less ${other}: what was promised, and what came out`}
        words={unbroken(answer.sentence)}
        note="The bar is what the trial promised before anything was baked, the dot what came out."
      >
        {(told) => <RangesPicture {...told} rows={rows} />}
      </Shown>
      <section className="stack" aria-labelledby="next">
        <h2 id="next">What to do next</h2>
        <ul className="sentences large">
          {answer.next.map((words) => (
            <li key={words}>{words}</li>
          ))}
        </ul>
      </section>
      <section className="stack" aria-labelledby="confirms">
        <h2 id="confirms">What it confirms</h2>
        <p>
          {confirms.documentId === undefined ? (
            confirms.trial
          ) : (
            <a href={addresses.trial(confirms.documentId, "answer")}>{confirms.trial}</a>
          )}
          : {unbroken(confirms.evidence)}
        </p>
        <dl className="facts figures">
          <dt>{name}</dt>
          <dd>{settingWords(own, confirms.settings[0])}</dd>
          <dt>{other}</dt>
          <dd>{settingWords(own, confirms.settings[1])}</dd>
        </dl>
      </section>
      {confirmation === undefined || answer.verdict === "cannot tell" ? null : (
        <Decide
          session={session}
          trial={trial}
          evidence={confirms.evidence}
          made={formula === undefined ? undefined : { words: settingWords(own, confirms.settings[0]), formula }}
          needsConfirmation
          confirmation={confirmation.confirmed ? { documentId: session.documentId, sentence: answer.sentence } : undefined}
        />
      )}
    </div>
  );
}
