import type { Formula } from "@evencrumb/core/formula";
import { formatGrams } from "@evencrumb/core/quantities";
import type { RebalanceAnswer } from "@evencrumb/core/rebalance";
import { useRef } from "react";
import { Aligned } from "../parts/Aligned.js";
import { ProblemList } from "../parts/Field.js";
import type { JobState } from "../work/useJob.js";
import type { NoSolver, RebalanceJobs } from "./jobs.js";

type Answer = RebalanceAnswer | NoSolver;
type Optimal = Extract<Answer, { readonly status: "optimal" }>;

export interface Line {
  readonly id: string;
  readonly name: string;
  readonly grams: number;
}

/** The component's weights as they are and as they would be, and what came of each demand. */
export function AnswerPanel({
  lines,
  nameOf,
  component,
  kept,
  onKeep,
  words,
  isAsked,
  job,
  questionKey,
  onPut,
  onKeepRevision,
}: {
  lines: readonly Line[];
  nameOf: (id: string) => string;
  component: string;
  kept: readonly string[];
  onKeep: (id: string) => void;
  /** What has to be typed before there is anything to answer. */
  words: readonly string[];
  isAsked: boolean;
  job: JobState<RebalanceJobs["rebalance"]["answer"], never>;
  questionKey: string | null;
  onPut: (formula: Formula) => void;
  onKeepRevision: (formula: Formula, note: string) => void;
}) {
  // The last answer stays while the next is worked out, so that nothing jumps; it cannot be used while it is old.
  const last = useRef<RebalanceJobs["rebalance"]["answer"] | null>(null);
  if (!isAsked) last.current = null;
  else if (job.state === "ready") last.current = job.answer;
  const answer = last.current?.answer ?? null;
  const isNow = last.current !== null && last.current.key === questionKey;
  const optimal = answer?.status === "optimal" ? answer : null;
  return (
    <section className="rebalance-answer" aria-label="The answer" aria-busy={isAsked && !isNow}>
      <h2 className="answer-words" aria-live="polite">
        {headline(isAsked, answer, component)}
      </h2>
      {words.length === 0 ? null : (
        <ul className="sentences">
          {words.map((one) => (
            <li key={one}>{one}</li>
          ))}
        </ul>
      )}
      {answer?.status === "conflict" ? (
        <div className="conflict">
          <ul className="sentences large">
            {answer.conflicts.map((one) => (
              <li key={one}>{one}</li>
            ))}
          </ul>
          <p>
            {answer.conflicts.length > 1
              ? "Leave any one of these out and the rest can hold; or allow another ingredient."
              : "Allow another ingredient, or ask for less."}
          </p>
        </div>
      ) : null}
      {answer?.status === "problems" ? <ProblemList problems={answer.problems} /> : null}
      {answer?.status === "no-solver" ? (
        <p>
          This needs a part of the app that has not been fetched on this device yet (3.5 MB). Open the page once with a network;
          from then on it works without.
        </p>
      ) : null}
      <WeightsTable lines={lines} nameOf={nameOf} optimal={optimal} kept={kept} onKeep={onKeep} />
      {optimal === null ? null : (
        <>
          <Outcomes optimal={optimal} />
          {optimal.cautions.length === 0 ? null : (
            <ul className="sentences cautioned">
              {optimal.cautions.map((one) => (
                <li key={one}>{one}</li>
              ))}
            </ul>
          )}
          <div className="buttons">
            <button
              type="button"
              className="button main"
              disabled={!isNow || moved(optimal).length === 0}
              onClick={() => onPut(optimal.formula)}
            >
              Put this in the sheet
            </button>
            <button
              type="button"
              className="button plain"
              disabled={!isNow || moved(optimal).length === 0}
              onClick={() => onKeepRevision(optimal.formula, noteOf(component, optimal))}
            >
              Keep as a revision
            </button>
          </div>
        </>
      )}
    </section>
  );
}

function headline(isAsked: boolean, answer: Answer | null, component: string): string {
  if (!isAsked) return `${component} as it is`;
  if (answer === null) return "Working it out…";
  switch (answer.status) {
    case "optimal": {
      const count = moved(answer).length;
      return count === 0 ? "Nothing has to change" : `${count} ${count === 1 ? "weight changes" : "weights change"}`;
    }
    case "conflict":
      return answer.conflicts.length > 1 ? "These cannot all hold" : "This cannot be reached";
    case "problems":
      return "This cannot be worked out yet";
    case "no-solver":
      return "Not on this device yet";
  }
}

const moved = ({ changes }: Optimal) => changes.filter(({ beforeGrams, afterGrams }) => beforeGrams !== afterGrams);

/** "Butter 135 to 0 g, oil 0 to 111 g": what was done, for the note of the revision. */
const noteOf = (component: string, optimal: Optimal): string =>
  `${component}: ${moved(optimal)
    .map(({ name, beforeGrams, afterGrams }) => `${name} ${bare(beforeGrams)} to ${bare(afterGrams)} g`)
    .join(", ")}. ${optimal.outcomes.map(({ words }) => words).join("; ")}.`;

const bare = (grams: number) => (grams === 0 ? "0" : formatGrams(grams, { bare: true }));

function WeightsTable({
  lines,
  nameOf,
  optimal,
  kept,
  onKeep,
}: {
  lines: readonly Line[];
  nameOf: (id: string) => string;
  optimal: Optimal | null;
  kept: readonly string[];
  onKeep: (id: string) => void;
}) {
  const changes = new Map(optimal?.changes.map((change) => [change.ingredient, change]));
  const rows = [
    ...lines,
    ...(optimal?.changes ?? [])
      .filter(({ ingredient, afterGrams }) => afterGrams > 0 && !lines.some(({ id }) => id === ingredient))
      .map(({ ingredient }) => ({ id: ingredient, name: nameOf(ingredient), grams: 0 })),
  ];
  const after = ({ id, grams }: Line) => changes.get(id)?.afterGrams ?? grams;
  const sum = (of: (line: Line) => number) => rows.reduce((total, line) => total + of(line), 0);
  return (
    <table className="plain-table figures rebalance-table">
      <thead>
        <tr>
          <th scope="col">Ingredient</th>
          <th scope="col" className="figure">
            now, g
          </th>
          <th scope="col" className="figure">
            then, g
          </th>
          <th scope="col" className="figure">
            change
          </th>
          <th scope="col" className="keep-cell">
            keep
          </th>
        </tr>
      </thead>
      <tbody>
        {rows.map((line) => {
          const then = after(line);
          const change = then - line.grams;
          const isNew = line.grams === 0 && then > 0;
          return (
            <tr key={line.id} data-changed={(optimal !== null && change !== 0) || undefined}>
              <th scope="row">{line.name}</th>
              <td className="figure">{isNew ? "" : <Aligned text={bare(line.grams)} />}</td>
              <td className="figure strong">{optimal === null ? "" : <Aligned text={bare(then)} />}</td>
              <td className="figure">
                {optimal === null || change === 0 ? null : (
                  <span className="difference">
                    {isNew ? "new" : then === 0 ? "out" : `${change > 0 ? "+" : ""}${bare(change)}`}
                  </span>
                )}
              </td>
              <td className="keep-cell">
                {isNew || line.grams === 0 ? null : (
                  <input
                    type="checkbox"
                    aria-label={`Keep ${line.name} at ${bare(line.grams)} g`}
                    checked={kept.includes(line.id)}
                    onChange={() => onKeep(line.id)}
                  />
                )}
              </td>
            </tr>
          );
        })}
        <tr className="sum">
          <th scope="row">Together</th>
          <td className="figure">
            <Aligned text={bare(sum(({ grams }) => grams))} />
          </td>
          <td className="figure strong">{optimal === null ? "" : <Aligned text={bare(sum(after))} />}</td>
          <td className="figure" />
          <td />
        </tr>
      </tbody>
    </table>
  );
}

function Outcomes({ optimal }: { optimal: Optimal }) {
  if (optimal.outcomes.length === 0) return null;
  return (
    <table className="plain-table figures outcomes">
      <thead>
        <tr>
          <th scope="col">What was asked</th>
          <th scope="col" className="figure">
            now
          </th>
          <th scope="col" className="figure">
            then
          </th>
        </tr>
      </thead>
      <tbody>
        {optimal.outcomes.map(({ words, before, after }) => {
          // An absence is answered by there or not there, and not by a weight.
          const absent = /^no /.test(words);
          return (
            <tr key={words}>
              <th scope="row">{words}</th>
              <td className="figure">{absent ? (before === 0 ? "none" : "in it") : figure(before)}</td>
              <td className="figure strong">{absent ? (after === 0 ? "none" : "in it") : figure(after)}</td>
            </tr>
          );
        })}
      </tbody>
      <caption className="small muted">
        For the batch unless it says otherwise. That no other amounts keep all of this and come nearer, or cost less, is proved
        for the exact answer; what stands here is fitted to the steps of your scale.
      </caption>
    </table>
  );
}

const figure = (value: number | undefined) =>
  value === undefined ? "–" : value >= 100 ? value.toFixed(1) : value >= 2 ? value.toFixed(2) : value.toFixed(3);
