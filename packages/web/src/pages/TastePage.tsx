import type { Problem } from "@evencrumb/core/quantities";
import { readAnswers, type TastingPlan, writeAnswers } from "@evencrumb/core/trials";
import { useEffect, useMemo, useRef, useState } from "react";
import { OfflineError } from "../api/client.js";
import type { TastingCodes } from "../api/types.js";
import { ActionButton, ActionMenu } from "../app/ActionButton.js";
import { defineActions } from "../app/action.js";
import type { House } from "../app/house.js";
import { addresses, go } from "../app/route.js";
import { useHouse } from "../app/useHouse.js";
import { download } from "../parts/download.js";
import { ProblemList } from "../parts/Field.js";
import { printPage } from "../parts/printPage.js";
import { Decide } from "../trials/decide.js";
import type { Tasting } from "../trials/documents.js";
import type { TrialSession } from "../trials/session.js";
import { unbroken } from "../trials/settingWords.js";
import { LoopbackOnly, PhoneCodes } from "../trials/tasting/PhoneCodes.js";
import { codeCards, servingPaper, tasterForms } from "../trials/tasting/papers.js";
import { ResultFigures, ResultPicture } from "../trials/tasting/ResultViews.js";
import { planOf, readTasting, winnerOf } from "../trials/tasting/reading.js";
import { ServingPlan, withAnswer } from "../trials/tasting/ServingPlan.js";
import { ToldFirst } from "../trials/tasting/ToldFirst.js";
import "../style/tasting.css";

interface TasteContext {
  readonly house: House;
  readonly session: TrialSession;
  readonly trial: Tasting;
  readonly plan: TastingPlan;
  readonly show: (codes: TastingCodes | null) => void;
  readonly say: (words: string | null) => void;
  readonly askFile: () => void;
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
  printPlan: {
    label: "Print the serving plan",
    applies: () => true,
    does: ({ trial, plan }) => printPage(servingPaper(trial.name, plan), "Serving plan to print"),
  },
  printForms: {
    label: "Print a form for each taster",
    applies: () => true,
    does: ({ plan }) => printPage(tasterForms(plan), "Forms to print"),
  },
  saveCsv: {
    label: "Save the answers as CSV",
    applies: () => true,
    does: ({ trial, plan }) => download(`${trial.name}.csv`, writeAnswers(plan, trial.answers), "text/csv"),
  },
  takeCsv: { label: "Take answers from a CSV…", applies: () => true, does: ({ askFile }) => askFile() },
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
  const plan = useMemo(() => planOf(trial), [trial]);
  const { count, result } = useMemo(() => readTasting(trial, plan), [trial, plan]);
  const [codes, show] = useState<TastingCodes | null>(null);
  const [said, say] = useState<string | null>(null);
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const file = useRef<HTMLInputElement>(null);
  const reached = useReached(house);
  const context: TasteContext = { house, session, trial, plan, show, say, askFile: () => file.current?.click() };
  const { words, promise } = trial;
  const { products } = words;
  const complete = count.answered + count.declined >= words.tasterCount;
  const answered = useMemo(() => new Set(trial.answers.map(({ taster }) => taster)), [trial.answers]);
  const answer = result.kind === "too few" ? null : result.answer;
  return (
    <div className="page narrow trial answer-page">
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.trials()}>
            ‹ Trials
          </a>
          {answer === null ? <h1>{trial.name}</h1> : <p className="muted">{trial.name}</p>}
        </div>
        <div className="buttons no-print">
          <ActionButton action={tasteActions.codes} context={context} kind={complete ? "plain" : "main"} />
          <ActionMenu
            label="More"
            context={() => context}
            actions={[
              tasteActions.printPlan,
              tasteActions.printForms,
              null,
              tasteActions.saveCsv,
              tasteActions.takeCsv,
              null,
              tasteActions.putAway,
            ]}
          />
        </div>
      </header>
      <input
        ref={file}
        type="file"
        hidden
        accept=".csv,text/csv"
        aria-label="Answers as CSV"
        onChange={(event) => {
          const [chosen] = event.currentTarget.files ?? [];
          event.currentTarget.value = "";
          void chosen?.text().then((text) => {
            const read = readAnswers(plan, text);
            setProblems(read.problems);
            session.edit((body) => read.value.reduce((now, one) => withAnswer(now, one.taster, one), body as Tasting));
          });
        }}
      />
      {said === null ? null : (
        <p className="caution" role="status">
          {said}
        </p>
      )}
      <ProblemList problems={problems} />
      <section className="stack" aria-label="The answer">
        {answer === null ? (
          <>
            <p>{promise.summary}</p>
            <p>{promise.certainty}</p>
            <p>{promise.ifNothingIsSeen}</p>
            {result.kind === "too few" && count.answered > 1 ? <p>It cannot be told yet: {result.why}.</p> : null}
          </>
        ) : (
          <>
            <h1 className="answer">{unbroken(answer.sentence)}</h1>
            <p className="certainty">{answer.certainty}</p>
          </>
        )}
        <p className="figures" role="status">
          {countWords(count, words.tasterCount)}
          {complete || count.answered === 0
            ? "."
            : ". Wait for all before you decide: whoever stops when it looks good finds what is not there."}
        </p>
      </section>
      <ResultPicture result={result} products={products} />
      {answer === null ? null : (
        <section className="stack" aria-labelledby="next">
          <h2 id="next">What to do next</h2>
          <ul className="sentences large">
            {answer.next.map((next) => (
              <li key={next}>{next}</li>
            ))}
          </ul>
        </section>
      )}
      {answer === null || result.kind === "discrimination" || (result.kind === "choice" && result.asked === "more") ? null : (
        <Decide
          session={session}
          trial={trial}
          evidence={`${answer.sentence} ${answer.certainty}`}
          winner={winnerOf(result, products)}
        />
      )}
      {codes !== null ? (
        <PhoneCodes
          codes={codes}
          answered={answered}
          onPrint={(address) => printPage(codeCards(codes, address), "Cards to print")}
          onClose={() => show(null)}
        />
      ) : complete || reached === undefined || reached.length > 0 ? null : (
        <LoopbackOnly />
      )}
      <ToldFirst trial={trial} words={words} />
      <ServingPlan trial={trial} plan={plan} session={session} />
      <ResultFigures result={result} products={products} />
    </div>
  );
}

function countWords(
  { answered, declined, unusable }: { answered: number; declined: number; unusable: readonly unknown[] },
  of: number,
): string {
  return `${answered} of ${of} answered${declined > 0 ? `, ${declined} did not taste` : ""}${unusable.length > 0 ? `, ${unusable.length} cannot be used` : ""}`;
}

/** Where phones reach the server; undefined while that is not known. */
function useReached(house: House): readonly string[] | undefined {
  const [reached, setReached] = useState<readonly string[]>();
  useEffect(() => {
    let wanted = true;
    house.client.tastingAddresses().then(
      (addresses) => {
        if (wanted) setReached(addresses);
      },
      (error: unknown) => {
        if (!(error instanceof OfflineError)) throw error;
      },
    );
    return () => {
      wanted = false;
    };
  }, [house]);
  return reached;
}
