import { type Factor, type Question, readQuestion, USUAL_MEASURES } from "@evencrumb/core/trials";
import { useMemo, useState } from "react";
import { ActionButton } from "../app/ActionButton.js";
import { defineActions } from "../app/action.js";
import type { House } from "../app/house.js";
import { addresses, go } from "../app/route.js";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { useKeptList } from "../bake/documents.js";
import { readTinUses } from "../formula/dialogs.js";
import { readSmall, removeSmall, writeSmall } from "../keep/storage.js";
import { ProblemList } from "../parts/Field.js";
import { useOwnedTins } from "../parts/useOwnedTins.js";
import { BenchAsked } from "../trials/ask/BenchAsked.js";
import { BlendAsked } from "../trials/ask/BlendAsked.js";
import { CakesAsked } from "../trials/ask/CakesAsked.js";
import { DesignAsked } from "../trials/ask/DesignAsked.js";
import { FactorsAsked } from "../trials/ask/FactorsAsked.js";
import { HeldAsked } from "../trials/ask/HeldAsked.js";
import { MeasureAsked } from "../trials/ask/MeasureAsked.js";
import { PlanShown } from "../trials/ask/PlanShown.js";
import { allergensOf, type Form, factorChoices, firstForm, listed, questionOf } from "../trials/asking.js";
import type { Trial } from "../trials/documents.js";
import { trialWork } from "../trials/jobs.js";
import { trialOf } from "../trials/plan.js";
import { QUESTIONS } from "../trials/questions.js";
import { TastingAsked } from "../trials/tasting/TastingAsked.js";
import { tasterWarnings } from "../trials/tasting/warnings.js";
import { type OpenCake, usePickedCakes } from "../trials/useCakes.js";
import { usePlannedRuns } from "../trials/usePlannedRuns.js";
import { useJob } from "../work/useJob.js";
import "../style/trials.css";

interface AskContext {
  readonly house: House;
  readonly trial: Trial | null;
  readonly kind: Question["kind"];
}

export const askActions = defineActions<AskContext>()({
  makeSheet: {
    label: "Make the run sheet",
    applies: ({ trial }) => trial !== null,
    does: ({ house, trial, kind }) => {
      removeSmall(`asking.${kind}`);
      void house.create("trial", trial!, trial!.promise.summary).then((id) => go(addresses.trial(id)));
    },
  },
  makeServing: {
    label: "Make the serving plan",
    applies: ({ trial }) => trial !== null,
    does: ({ house, trial, kind }) => {
      removeSmall(`asking.${kind}`);
      void house.create("trial", trial!, trial!.promise.summary).then((id) => go(addresses.trial(id)));
    },
  },
});

/** From a question to a plan: what is asked on one side, what it takes on the other, always together. */
export function AskPage({ kind, query }: { kind: string; query: URLSearchParams }) {
  const { formulas, ready } = useHouseState();
  const question = QUESTIONS.find((one) => one.kind === kind);
  if (question === undefined) {
    return (
      <div className="page narrow">
        <h1>There is no such question</h1>
        <p>
          <a href={addresses.trials()}>Choose one of those that a trial can answer.</a>
        </p>
      </div>
    );
  }
  if (!ready) return <p className="page muted">Opening…</p>;
  if (formulas.length === 0) {
    return (
      <div className="page narrow">
        <h1>{question.title}</h1>
        <p>
          A trial needs a formula to bake. <a href={addresses.formulas()}>Begin with one.</a>
        </p>
      </div>
    );
  }
  const newest = formulas.toSorted((a, b) => b.latest.number - a.latest.number || a.name.localeCompare(b.name))[0]!;
  return <Ask question={question} firstFormulaId={query.get("formula") ?? newest.id} anew={query.has("formula")} />;
}

function Ask({
  question,
  firstFormulaId,
  anew,
}: {
  question: (typeof QUESTIONS)[number];
  firstFormulaId: string;
  anew: boolean;
}) {
  const { kind, tasted } = question;
  const house = useHouse();
  const { book, settings } = useHouseState();
  const owned = useOwnedTins();
  const { all: ovens } = useKeptList("oven");
  const [form, setForm] = useState<Form>(() => {
    const first = firstForm(kind, firstFormulaId, crypto.getRandomValues(new Uint16Array(1))[0]!);
    const typed = anew ? undefined : readSmall<Partial<Form>>(`asking.${kind}`);
    return { ...first, ...typed };
  });
  const set = (change: Partial<Form>) =>
    setForm((now) => {
      const next = { ...now, ...change };
      writeSmall(`asking.${kind}`, next);
      return next;
    });
  const cakes = usePickedCakes(form.cakes);
  const known = useMemo(() => (cakes ?? []).filter((cake) => cake !== null), [cakes]);
  const formula = known[0]?.formula;
  const choices = useMemo(
    () => (formula === undefined ? [] : factorChoices(formula, book, settings.names)),
    [formula, book, settings.names],
  );
  const contained = useMemo(
    () =>
      allergensOf(
        known.map((cake) => cake.formula),
        book,
      ),
    [known, book],
  );
  const allergens = form.allergens === null ? contained.contains : listed(form.allergens);
  const mayContain = form.mayContain === null ? contained.mayContain : listed(form.mayContain);
  const warned = useMemo(
    () =>
      tasterWarnings(
        known.map((cake) => cake.formula),
        book,
      ),
    [known, book],
  );
  const warnings = form.warnings === null ? warned : listed(form.warnings);
  const { document, bindings, missing } = questionOf(kind, form, {
    names: known.map(({ name }) => name),
    formula,
    choices,
    book,
    nameStyle: settings.names,
    allergens,
    readTins: (text) => {
      const { uses, problems } = readTinUses(text, owned);
      return uses.length === 0 || problems.length > 0 ? null : uses;
    },
  });
  const opened = cakes !== undefined;
  const read = missing.length > 0 || !opened ? undefined : readQuestion(document);
  const job = useJob(trialWork, "plan", read?.value ?? null);
  const plan = job.state === "ready" && job.answer.ok && read?.value !== undefined ? job.answer.value : null;
  // A plan that answers what was typed a moment ago may be looked at and not used.
  const fresh = job.state === "ready" && job.fresh;
  const runs = usePlannedRuns({ plan: fresh ? plan : null, formula, bindings, form, book, owned, ovens });
  const { made } = runs;
  const unmakeable = made.find(({ problems }) => problems.length > 0);
  const unit = USUAL_MEASURES.find((one) => one.name === form.measure)?.unit ?? form.ownUnit;
  const name = titleOf(kind, known);
  const trial =
    plan === null || !fresh || read?.value === undefined || unmakeable !== undefined || runs.state !== "made"
      ? null
      : trialOf({
          question: read.value,
          plan,
          name,
          cakes: known,
          bindings,
          hold: form.hold === "more" ? "others" : form.hold,
          allergens,
          mayContain,
          warnings,
          made,
          settled: form.hold === "more" && form.held.length > 0,
          held: form.held,
        });
  const changes = kind === "how much" || kind === "which blend";
  const factors = [document.factors, document.shares, document.process].flatMap((list) => (list ?? []) as Factor[]);
  const fields = { form, set, cakes: cakes ?? [], known, choices };
  return (
    <div className="page ask">
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.trials()}>
            ‹ Trials
          </a>
          <h1>{question.title}</h1>
          <p className="muted">{question.about}</p>
        </div>
      </header>
      <div className="ask-sides">
        <div className="ask-form">
          <CakesAsked kind={kind} {...fields} />
          {kind === "which blend" ? <BlendAsked {...fields} /> : null}
          {changes ? <FactorsAsked {...fields} beside={kind === "which blend"} /> : null}
          {changes ? <HeldAsked form={form} set={set} /> : null}
          {tasted ? (
            <TastingAsked
              kind={kind}
              form={form}
              set={set}
              names={known.map((cake) => cake.name)}
              contained={contained}
              allergens={allergens}
              mayContain={mayContain}
              warnings={warnings}
            />
          ) : (
            <>
              <MeasureAsked kind={kind} {...fields} unit={unit} />
              {changes ? <DesignAsked form={form} set={set} factors={factors} /> : null}
              <BenchAsked kind={kind} {...fields} unit={unit} />
            </>
          )}
        </div>
        <section className="ask-plan" aria-labelledby="the-plan">
          <h2 id="the-plan">The plan</h2>
          {!opened ? (
            <p className="muted">Opening the formulas…</p>
          ) : missing.length > 0 ? (
            <ul className="ask-missing">
              {[...new Set(missing)].map((words) => (
                <li key={words}>{words}</li>
              ))}
            </ul>
          ) : read !== undefined && read.problems.length > 0 ? (
            <ProblemList problems={read.problems} />
          ) : job.state === "working" ? (
            <div className="ask-working" role="status">
              <p className="muted">
                {job.progress === null ? "Working it out…" : `Looking for the best ${job.progress.runCount} bakes…`}
              </p>
              <progress value={job.progress?.share} aria-label="Looking for the best plan" />
              <button type="button" className="button plain" onClick={job.progress === null ? job.stop : job.finish}>
                {job.progress === null ? "Stop" : "Stop, and take the best so far"}
              </button>
            </div>
          ) : job.state === "stopped" ? (
            <p>
              Stopped.{" "}
              <button type="button" className="words accent" onClick={job.again}>
                Look again
              </button>
            </p>
          ) : job.state === "ready" && !job.answer.ok ? (
            <ProblemList problems={job.answer.error} />
          ) : plan === null ? (
            <p className="muted">Working it out…</p>
          ) : (
            <PlanShown plan={plan} made={made} check={runs.check} again={job.state === "ready" ? job.again : () => {}}>
              {unmakeable === undefined ? null : <ProblemList problems={unmakeable.problems} />}
              {runs.state === "making" ? (
                <p className="muted" role="status">
                  Working out the formulas, {runs.done} of {plan.settings.length}…
                </p>
              ) : runs.state === "no solver" ? (
                <p>
                  What holds fat or water could not be fetched. Connect to the network once and try again, or hold weights only.
                </p>
              ) : null}
              <ActionButton
                action={tasted ? askActions.makeServing : askActions.makeSheet}
                context={{ house, trial, kind }}
                kind="main"
              />
            </PlanShown>
          )}
        </section>
      </div>
    </div>
  );
}

function titleOf(kind: Question["kind"], cakes: readonly OpenCake[]): string {
  const names = [...new Set(cakes.map(({ formulaName }) => formulaName))];
  const question = QUESTIONS.find((one) => one.kind === kind)!.title;
  return `${names.join(" and ")}: ${question.charAt(0).toLowerCase()}${question.slice(1)}`;
}
