import { countAnswers, planTasting, type TasterAnswer, type TasterSheet } from "@evencrumb/core/trials";
import { useMemo, useState } from "react";
import { OfflineError } from "../api/client.js";
import type { TastingCodes } from "../api/types.js";
import { ActionButton, ActionMenu } from "../app/ActionButton.js";
import { defineActions } from "../app/action.js";
import type { House } from "../app/house.js";
import { addresses, go } from "../app/route.js";
import { useHouse } from "../app/useHouse.js";
import { Dialog } from "../parts/Dialog.js";
import { readTasting } from "../trials/answers.js";
import { Decide } from "../trials/decide.js";
import type { Tasting } from "../trials/documents.js";
import { MeansPicture, TasterDots } from "../trials/pictures.js";
import type { TrialSession } from "../trials/session.js";
import { chance, plain, unbroken } from "../trials/settingWords.js";

interface TasteContext {
  readonly house: House;
  readonly session: TrialSession;
  readonly trial: Tasting;
  readonly show: (codes: TastingCodes | null) => void;
  readonly say: (words: string | null) => void;
}

export const tasteActions = defineActions<TasteContext>()({
  codes: {
    label: "Codes for the tasters' phones",
    applies: ({ trial }) => trial.answers.length < trial.words.tasterCount,
    does: ({ house, session, show, say }) => {
      say(null);
      session.keep();
      void house.outbox
        .send()
        .then(() => house.client.issueTastingCodes(session.documentId))
        .then(show, (error: unknown) => {
          if (!(error instanceof Error)) throw error;
          say(
            error instanceof OfflineError
              ? "Codes are made by the server, which cannot be reached. Answers can be written down below without it."
              : error.message,
          );
        });
    },
  },
  print: { label: "Print the serving plan", applies: () => true, does: () => window.print() },
  putAway: {
    label: "Put away",
    applies: () => true,
    does: ({ house, session }) => {
      session.keep();
      house.archive("trial", session.documentId);
      go(addresses.trials());
    },
  },
});

/** A tasting: what the tasters say so far, their codes, and who is served what. */
export function TastePage({ trial, session }: { trial: Tasting; session: TrialSession }) {
  const house = useHouse();
  const { words, promise } = trial;
  const plan = useMemo(() => planTasting(words), [words]);
  const reading = useMemo(() => readTasting(trial), [trial]);
  const [codes, show] = useState<TastingCodes | null>(null);
  const [said, say] = useState<string | null>(null);
  const [writing, setWriting] = useState<TasterSheet | null>(null);
  const context: TasteContext = { house, session, trial, show, say };
  const { answered, declined, unusable } = reading.count;
  const complete = answered + declined >= words.tasterCount;
  return (
    <div className="page narrow trial answer-page">
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.trials()}>
            ‹ Trials
          </a>
          {reading.answer === null ? <h1>{trial.name}</h1> : <p className="muted">{trial.name}</p>}
        </div>
        <div className="buttons no-print">
          <ActionButton action={tasteActions.codes} context={context} kind={complete ? "plain" : "main"} />
          <ActionMenu label="More" context={() => context} actions={[tasteActions.print, null, tasteActions.putAway]} />
        </div>
      </header>
      {said === null ? null : (
        <p className="caution" role="status">
          {said}
        </p>
      )}
      <section className="stack" aria-label="The answer">
        {reading.answer === null ? (
          <>
            <p>{promise.summary}</p>
            <p>{promise.certainty}</p>
            <p>{promise.ifNothingIsSeen}</p>
          </>
        ) : (
          <>
            <h1 className="answer">{unbroken(reading.answer.sentence)}</h1>
            <p className="certainty">{reading.answer.certainty}</p>
          </>
        )}
        <p className="figures" role="status">
          {answered} of {words.tasterCount} answered{declined > 0 ? `, ${declined} did not taste` : ""}
          {unusable.length > 0 ? `, ${unusable.length} cannot be used` : ""}
          {complete || answered === 0
            ? "."
            : ". Wait for all before you decide: whoever stops when it looks good finds what is not there."}
        </p>
      </section>
      <TastingPicture trial={trial} reading={reading} />
      {reading.answer === null ? null : (
        <section className="stack" aria-labelledby="next">
          <h2 id="next">What to do next</h2>
          <ul className="sentences large">
            {reading.answer.next.map((next) => (
              <li key={next}>{next}</li>
            ))}
          </ul>
        </section>
      )}
      {reading.answer === null || trial.kind === "can people tell" ? null : (
        <Decide session={session} trial={trial} evidence={`${reading.answer.sentence} ${reading.answer.certainty}`} />
      )}
      {codes === null ? null : <Codes codes={codes} onClose={() => show(null)} />}
      <section className="stack" aria-labelledby="told-first">
        <h2 id="told-first">Every taster is told first</h2>
        <p className="trial-allergens">
          <span className="muted">Contains</span>{" "}
          <b>{words.allergens.length === 0 ? "none of the allergens that have to be named" : words.allergens.join(", ")}</b>
          {(words.mayContain ?? []).length === 0 ? null : (
            <>
              <br />
              <span className="muted">May contain</span> <b>{words.mayContain!.join(", ")}</b>
            </>
          )}
        </p>
        <p className="muted">Whoever says no is thanked and asked nothing else. Local food law and the packets decide.</p>
      </section>
      <section className="stack" aria-labelledby="serving">
        <h2 id="serving">Who is served what</h2>
        <p className="figures">
          {words.products.map((product, index) => `${plan.portions[index]} portions of ${product}`).join(", ")}. Keep this from
          the tasters.
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
                const answer = trial.answers.find(({ taster }) => taster === sheet.taster);
                return (
                  <tr key={sheet.taster}>
                    <th scope="row">{sheet.taster}</th>
                    <td>
                      {sheet.samples.map((sample, place) => (
                        // biome-ignore lint/suspicious/noArrayIndexKey: a portion is known by its place
                        <span key={place} className="portion">
                          <b>{sample.code}</b> {words.products[sample.product]}
                        </span>
                      ))}
                    </td>
                    <td>
                      {answer === undefined ? (
                        <button type="button" className="words accent no-print" onClick={() => setWriting(sheet)}>
                          write down
                        </button>
                      ) : (
                        answerWords(answer)
                      )}
                    </td>
                  </tr>
                );
              })}
            </tbody>
          </table>
        </div>
      </section>
      <TastingFigures reading={reading} products={words.products} />
      {writing === null ? null : (
        <WriteDown
          trial={trial}
          sheet={writing}
          onClose={() => setWriting(null)}
          onAnswer={(answer) => {
            session.edit((body) => ({ ...(body as Tasting), answers: [...(body as Tasting).answers, answer] }));
            setWriting(null);
          }}
        />
      )}
    </div>
  );
}

function answerWords({ declined, codes, marks }: TasterAnswer): string {
  if (declined === true) return "did not taste";
  if (marks !== undefined)
    return Object.entries(marks)
      .map(([code, mark]) => `${code}: ${mark}`)
      .join(", ");
  return (codes ?? []).join(", ");
}

/** The codes, once: to be read out, or cut from paper. */
function Codes({ codes, onClose }: { codes: TastingCodes; onClose: () => void }) {
  const ends = new Date(codes.endsAt).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
  return (
    <section className="stack codes" aria-labelledby="codes">
      <h2 id="codes">Codes</h2>
      {codes.addresses.length === 0 ? (
        <div className="notice">
          <p>
            Phones cannot reach this server: it listens to its own machine only. Stop it and start it with{" "}
            <code>evencrumb serve --host 0.0.0.0</code>. Whoever is on the same network can then open the whole bakery, so do it
            on a network of your own and for the time of the tasting.
          </p>
        </div>
      ) : (
        <p>
          On the same network, tasters open{" "}
          {codes.addresses.map((address, index) => (
            <span key={address}>
              {index === 0 ? "" : " or "}
              <b className="figures">{address.replace(/^http:\/\//, "")}/taste</b>
            </span>
          ))}{" "}
          and type their code.
        </p>
      )}
      <ul className="code-list figures">
        {codes.codes.map(({ taster, code, path }) => (
          <li key={taster}>
            <span className="muted">taster {taster}</span>
            <a href={path} target="_blank" rel="noreferrer">
              {code}
            </a>
          </li>
        ))}
      </ul>
      <p className="muted">
        Each is for one answer and ends at {ends}, or when the server stops. They are shown only now; new ones take their place.
      </p>
      <div className="buttons">
        <button type="button" className="button plain" onClick={onClose}>
          Put them away
        </button>
      </div>
    </section>
  );
}

function TastingPicture({ trial, reading }: { trial: Tasting; reading: ReturnType<typeof readTasting> }) {
  const { discrimination, preference, ranking, liking, byGuessing } = reading;
  const { products } = trial.words;
  if (discrimination !== undefined) {
    const { correct, tasterCount } = discrimination;
    return (
      <figure className="shown">
        <TasterDots
          marked={correct}
          of={tasterCount}
          line={byGuessing ?? 0}
          label={`${correct} of ${tasterCount} right; guessing would give ${plain(byGuessing ?? 0, 1)}`}
        />
        <figcaption className="muted">
          {correct} right answers, filled; guessing alone would bring about {plain(byGuessing ?? 0, 1)}.
        </figcaption>
      </figure>
    );
  }
  if (preference !== undefined) {
    const { forB, tasterCount } = preference;
    return (
      <figure className="shown">
        <TasterDots
          marked={forB}
          of={tasterCount}
          line={byGuessing ?? 0}
          label={`${forB} of ${tasterCount} prefer ${products[1]}`}
        />
        <figcaption className="muted">
          Filled: {products[1]}. Open: {products[0]}.
        </figcaption>
      </figure>
    );
  }
  if (liking !== undefined) {
    return (
      <figure className="shown">
        <MeansPicture
          groups={liking.means.map(({ product, ...rest }) => ({ name: product, ...rest }))}
          unit="points"
          label="Mean mark of each cake, with its interval"
        />
        <figcaption className="muted">Mean mark; the bar is where it may lie.</figcaption>
      </figure>
    );
  }
  if (ranking === undefined) return null;
  const worst = ranking.tasterCount * ranking.productCount;
  return (
    <figure className="shown">
      <ul className="rank-sums">
        {[...products.keys()]
          .sort((a, b) => ranking.rankSums[a]! - ranking.rankSums[b]!)
          .map((index) => (
            <li key={products[index]}>
              <span>{products[index]}</span>
              <meter min={ranking.tasterCount} max={worst} value={ranking.rankSums[index]}>
                {ranking.rankSums[index]}
              </meter>
              <span className="figures">{ranking.rankSums[index]}</span>
            </li>
          ))}
      </ul>
      <figcaption className="muted">Sum of places; the shorter the bar, the better liked.</figcaption>
    </figure>
  );
}

function TastingFigures({ reading, products }: { reading: ReturnType<typeof readTasting>; products: readonly string[] }) {
  const { discrimination, preference, ranking, liking } = reading;
  const facts: (readonly [string, string])[] = [];
  if (discrimination !== undefined) {
    const { p, shareRight, shareTelling, dPrime } = discrimination;
    facts.push(
      ["Chance of so many right answers by guessing (exact)", chance(p)],
      ["Share right", interval(shareRight)],
      ["Share who really notice", interval(shareTelling)],
      ["Size of the difference (d′)", interval(dPrime)],
    );
  }
  if (preference !== undefined)
    facts.push(
      ["Chance of such a count with no preference (exact, two-sided)", chance(preference.p)],
      [`Share for ${products[1]}`, interval(preference.share)],
    );
  if (ranking !== undefined)
    facts.push(
      ["Friedman's statistic", `${plain(ranking.friedman, 3)}, p ${chance(ranking.p)}`],
      ["F form", `${plain(ranking.f, 3)}, p ${chance(ranking.fP)}`],
      ["Sums of places that differ", `by ${plain(ranking.leastDifference, 1)} or more`],
    );
  if (liking !== undefined)
    facts.push(["F", `${plain(liking.f, 3)} with ${liking.df.join(" and ")} degrees of freedom, p ${chance(liking.p)}`]);
  if (facts.length === 0) return null;
  return (
    <details className="more figures-behind">
      <summary>The figures behind it</summary>
      <dl className="facts figures">
        {facts.map(([name, words]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{words}</dd>
          </div>
        ))}
      </dl>
    </details>
  );
}

const interval = ({ estimate, from, to }: { readonly estimate: number; readonly from: number; readonly to: number }): string =>
  `${plain(estimate, 3)}, between ${plain(from, 3)} and ${Number.isFinite(to) ? plain(to, 3) : "no upper end"}`;

/** An answer that was given on paper or aloud. */
function WriteDown({
  trial,
  sheet,
  onClose,
  onAnswer,
}: {
  trial: Tasting;
  sheet: TasterSheet;
  onClose: () => void;
  onAnswer: (answer: TasterAnswer) => void;
}) {
  const { method } = trial.words;
  const samples = sheet.samples.filter(({ role }) => role === "sample");
  const [codes, setCodes] = useState<readonly string[]>([]);
  const [marks, setMarks] = useState<Readonly<Record<string, string>>>({});
  const [wrong, setWrong] = useState<string | null>(null);
  const { taster } = sheet;
  const single = method !== "ranking" && method !== "tetrad" && method !== "liking";
  const finish = (answer: TasterAnswer) => {
    const [misfit] = countAnswers(planTasting(trial.words), [answer]).unusable;
    if (misfit === undefined) onAnswer(answer);
    else setWrong(`Expected ${misfit.expected}; found ${misfit.found}.`);
  };
  return (
    <Dialog title={`Taster ${taster}`} onClose={onClose}>
      <form
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          finish(
            method === "liking"
              ? { taster, marks: Object.fromEntries(Object.entries(marks).map(([code, mark]) => [code, Number(mark)])) }
              : { taster, codes },
          );
        }}
      >
        <p>{sheet.instruction}</p>
        {method === "liking" ? (
          <div className="row">
            {samples.map(({ code }) => (
              <label key={code} className="field">
                <span className="label figures">{code}</span>
                <input
                  className="short"
                  inputMode="numeric"
                  value={marks[code] ?? ""}
                  onChange={(event) => setMarks({ ...marks, [code]: event.currentTarget.value })}
                />
              </label>
            ))}
          </div>
        ) : (
          <fieldset className="ask-choices">
            <legend>{method === "ranking" ? "Tick in order of liking, the best first" : "The answer"}</legend>
            {samples.map(({ code }) => (
              <label key={code} className="choice figures">
                <input
                  type={single ? "radio" : "checkbox"}
                  name="answer"
                  checked={codes.includes(code)}
                  onChange={() =>
                    setCodes(single ? [code] : codes.includes(code) ? codes.filter((one) => one !== code) : [...codes, code])
                  }
                />
                <span>
                  {code}
                  {method === "ranking" && codes.includes(code) ? `, place ${codes.indexOf(code) + 1}` : ""}
                </span>
              </label>
            ))}
          </fieldset>
        )}
        {wrong === null ? null : (
          <p className="wrong" role="alert">
            {wrong}
          </p>
        )}
        <footer className="buttons">
          <button type="button" className="button plain at-start" onClick={() => onAnswer({ taster, declined: true })}>
            Did not taste
          </button>
          <button type="button" className="button plain" onClick={onClose}>
            Cancel
          </button>
          <button type="submit" className="button main">
            Write it down
          </button>
        </footer>
      </form>
    </Dialog>
  );
}
