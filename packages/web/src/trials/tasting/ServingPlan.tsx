import { answerWords, type TasterAnswer, type TasterSheet, type TastingPlan } from "@evencrumb/core/trials";
import { useState } from "react";
import type { Tasting } from "../documents.js";
import type { TrialSession } from "../session.js";
import { WriteDown } from "./WriteDown.js";

/** Who is served what, and what each answered. For the one who serves, not for the tasters. */
export function ServingPlan({ trial, plan, session }: { trial: Tasting; plan: TastingPlan; session: TrialSession }) {
  const { products } = plan.words;
  const [writing, setWriting] = useState<TasterSheet | null>(null);
  const answerOf = (taster: number) => trial.answers.find((answer) => answer.taster === taster);
  return (
    <section className="stack" aria-labelledby="serving">
      <h2 id="serving">Who is served what</h2>
      <p className="figures">
        {products.map((product, index) => `${plan.portions[index]} portions of ${product}`).join(", ")}. Keep this from the
        tasters.
      </p>
      {plan.advice.map((advice) => (
        <p key={advice} className="muted">
          {advice}
        </p>
      ))}
      <div className="scrolls">
        <table className="plain-table figures serving">
          <thead>
            <tr>
              <th scope="col">taster</th>
              <th scope="col">in this order</th>
              <th scope="col">answer</th>
            </tr>
          </thead>
          <tbody>
            {plan.sheets.map((sheet) => {
              const answer = answerOf(sheet.taster);
              return (
                <tr key={sheet.taster}>
                  <th scope="row">{sheet.taster}</th>
                  <td>
                    {sheet.samples.map((sample, place) => (
                      // biome-ignore lint/suspicious/noArrayIndexKey: a portion is known by its place
                      <span key={place} className="portion">
                        <b>{sample.code}</b> {products[sample.product]}
                      </span>
                    ))}
                  </td>
                  <td>
                    {answer === undefined ? null : <span className="given">{givenWords(answer, sheet)}</span>}{" "}
                    <button
                      type="button"
                      className="words accent no-print"
                      aria-label={`${answer === undefined ? "Write down" : "Change"} what taster ${sheet.taster} answered`}
                      onClick={() => setWriting(sheet)}
                    >
                      {answer === undefined ? "write down" : "change"}
                    </button>
                  </td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
      {writing === null ? null : (
        <WriteDown
          plan={plan}
          sheet={writing}
          answer={answerOf(writing.taster)}
          onClose={() => setWriting(null)}
          onAnswer={(answer) => {
            session.edit((body) => withAnswer(body as Tasting, writing.taster, answer));
            setWriting(null);
          }}
        />
      )}
    </section>
  );
}

/** An answer in a line; marks in the order in which the cakes were served. */
function givenWords(answer: TasterAnswer, { samples }: TasterSheet): string {
  if (answer.declined === true) return "did not taste";
  const { marks } = answer;
  if (marks === undefined) return answerWords(answer);
  return samples.map(({ code }) => `${code}: ${marks[code] ?? "not tasted"}`).join(", ");
}

/** The tasting with one answer put in, changed or (undefined) taken out. */
export function withAnswer(tasting: Tasting, taster: number, answer: TasterAnswer | undefined): Tasting {
  const others = tasting.answers.filter((one) => one.taster !== taster);
  return { ...tasting, answers: answer === undefined ? others : [...others, answer] };
}
