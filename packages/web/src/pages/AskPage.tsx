import { DISCRIMINATION_METHODS, type Question, readQuestion, type TrialPlan, USUAL_MEASURES } from "@evencrumb/core/trials";
import { useEffect, useId, useMemo, useState } from "react";
import { ActionButton } from "../app/ActionButton.js";
import { defineActions } from "../app/action.js";
import type { House } from "../app/house.js";
import { addresses, go } from "../app/route.js";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { readTinUses } from "../formula/dialogs.js";
import { readSmall, removeSmall, writeSmall } from "../keep/storage.js";
import { Field, ProblemList } from "../parts/Field.js";
import { useOwnedTins } from "../parts/useOwnedTins.js";
import {
  allergensOf,
  blendNow,
  type FactorChoice,
  type Form,
  factorChoices,
  firstForm,
  firstRange,
  listed,
  nameOf,
  OWN_MEASURE,
  questionOf,
  repeatsSpread,
  usualDifference,
} from "../trials/asking.js";
import type { Trial } from "../trials/documents.js";
import { trialWork } from "../trials/jobs.js";
import { Choices, NumberField } from "../trials/parts.js";
import { plannedCakes, trialOf } from "../trials/plan.js";
import { QUESTIONS } from "../trials/questions.js";
import type { RunCake } from "../trials/runs.js";
import { plain, settingWords } from "../trials/settingWords.js";
import { type OpenCake, usePickedCakes } from "../trials/useCakes.js";
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
  const made = useMemo(
    () =>
      plan === null || !fresh || formula === undefined || bindings.length === 0 || plan.tasting !== undefined
        ? []
        : plannedCakes(plan, formula, bindings, { hold: form.hold, book, owned }),
    [plan, fresh, formula, bindings, form.hold, book, owned],
  );
  const unmakeable = made.find(({ problems }) => problems.length > 0);
  const unit = USUAL_MEASURES.find((one) => one.name === form.measure)?.unit ?? form.ownUnit;
  const name = titleOf(kind, known);
  const trial =
    plan === null || !fresh || read?.value === undefined || unmakeable !== undefined
      ? null
      : trialOf({
          question: read.value,
          plan,
          name,
          cakes: known,
          bindings,
          hold: form.hold,
          allergens,
          mayContain,
          also: USUAL_MEASURES.filter((one) => form.also.includes(one.name)),
          made,
        });
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
          {kind === "how much" ? <FactorsAsked {...fields} /> : null}
          {kind === "which blend" ? <BlendAsked {...fields} /> : null}
          {tasted ? (
            <TastingAsked kind={kind} {...fields} contained={contained} allergens={allergens} mayContain={mayContain} />
          ) : (
            <MeasureAsked kind={kind} {...fields} unit={unit} />
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
                Stop
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
            <PlanShown plan={plan} made={made}>
              {unmakeable === undefined ? null : <ProblemList problems={unmakeable.problems} />}
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

interface AskedProps {
  readonly form: Form;
  readonly set: (change: Partial<Form>) => void;
  readonly cakes: readonly (OpenCake | null)[];
  readonly known: readonly OpenCake[];
  readonly choices: readonly FactorChoice[];
}

function CakesAsked({ kind, form, set, cakes }: AskedProps & { kind: Question["kind"] }) {
  const many = kind === "which of several" || kind === "which is liked best";
  const one = kind === "how much" || kind === "which blend";
  const labels = one ? ["The cake that is changed"] : many ? [] : ["The one you make now", "The new one"];
  const pick = (place: number, change: Partial<Form["cakes"][number]>) =>
    set({
      cakes: form.cakes.map((cake, index) => (index === place ? { ...cake, ...change } : cake)),
      ...(one ? { factors: [], shares: [], component: "" } : {}),
    });
  return (
    <section className="ask-part">
      <h2>{one ? "The cake" : "The cakes"}</h2>
      {form.cakes.map((picked, place) => (
        <CakePicker
          // biome-ignore lint/suspicious/noArrayIndexKey: a cake has no other identity than its place
          key={place}
          label={labels[place] ?? `Cake ${place + 1}`}
          formulaId={picked.formulaId}
          cake={cakes[place] ?? null}
          onPick={(change) => pick(place, change)}
          {...(many && form.cakes.length > 2
            ? { onRemove: () => set({ cakes: form.cakes.filter((_, index) => index !== place) }) }
            : {})}
        />
      ))}
      {many && form.cakes.length < 12 ? (
        <button
          type="button"
          className="button plain at-start"
          onClick={() => set({ cakes: [...form.cakes, form.cakes.at(-1)!] })}
        >
          Another cake
        </button>
      ) : null}
    </section>
  );
}

function CakePicker({
  label,
  formulaId,
  cake,
  onPick,
  onRemove,
}: {
  label: string;
  formulaId: string;
  cake: OpenCake | null;
  onPick: (change: { readonly formulaId?: string; readonly revisionId?: string }) => void;
  onRemove?: () => void;
}) {
  const { formulas } = useHouseState();
  const id = useId();
  const shown = cake?.formulaId === formulaId ? cake : null;
  return (
    <fieldset className="cake-picker">
      <legend>{label}</legend>
      <select
        aria-label={`${label}: formula`}
        value={formulaId}
        onChange={(event) => onPick({ formulaId: event.currentTarget.value, revisionId: "" })}
      >
        {formulas
          .toSorted((a, b) => a.name.localeCompare(b.name))
          .map((formula) => (
            <option key={formula.id} value={formula.id}>
              {formula.name}
            </option>
          ))}
      </select>
      <select
        id={id}
        aria-label={`${label}: revision`}
        value={shown?.revisionId ?? ""}
        onChange={(event) => onPick({ revisionId: event.currentTarget.value })}
      >
        {shown === null ? <option value="">opening…</option> : null}
        {(shown?.revisions ?? []).map((revision) => (
          <option key={revision.id} value={revision.id}>
            {revision.number}
            {revision.id === shown?.standardRevisionId ? ", the standard" : ""}
            {revision.note === "" ? "" : `: ${revision.note}`}
          </option>
        ))}
      </select>
      {onRemove === undefined ? null : (
        <button type="button" className="button quiet" onClick={onRemove}>
          Leave out
        </button>
      )}
    </fieldset>
  );
}

function HeldAsked({ form, set }: Pick<AskedProps, "form" | "set">) {
  return (
    <Choices
      legend="What is held while they move"
      value={form.hold}
      onValue={(hold) => set({ hold })}
      options={[
        ["others", "every other weight, so the batch grows and shrinks"],
        ["total", "the total weight, the other ingredients giving way in proportion"],
      ]}
    />
  );
}

function FactorsAsked({ form, set, choices }: AskedProps) {
  const free = choices.filter(({ key }) => !form.factors.some((factor) => factor.key === key));
  const change = (key: string, part: Partial<Form["factors"][number]>) =>
    set({ factors: form.factors.map((factor) => (factor.key === key ? { ...factor, ...part } : factor)) });
  return (
    <section className="ask-part">
      <h2>What is changed, and how far</h2>
      {form.factors.map((factor) => {
        const choice = choices.find(({ key }) => key === factor.key);
        if (choice === undefined) return null;
        return (
          <fieldset key={factor.key} className="factor-edit">
            <legend>
              {choice.label}
              {choice.now === null ? null : (
                <span className="muted figures">
                  , now {plain(choice.now, 2)} {choice.unit}
                </span>
              )}
            </legend>
            {choice.tins !== undefined ? (
              (factor.levels ?? []).map((level, place) => (
                <input
                  // biome-ignore lint/suspicious/noArrayIndexKey: a tin has no other identity than its place
                  key={place}
                  aria-label={`${choice.label} ${place + 1}`}
                  value={level}
                  placeholder="2 round 18x7 cm"
                  onChange={(event) =>
                    change(factor.key, {
                      levels: (factor.levels ?? []).map((other, index) => (index === place ? event.currentTarget.value : other)),
                    })
                  }
                />
              ))
            ) : (
              <span className="range">
                <label>
                  from{" "}
                  <input
                    className="short"
                    inputMode="decimal"
                    value={factor.low}
                    onChange={(event) => change(factor.key, { low: event.currentTarget.value })}
                  />
                </label>
                <label>
                  to{" "}
                  <input
                    className="short"
                    inputMode="decimal"
                    value={factor.high}
                    onChange={(event) => change(factor.key, { high: event.currentTarget.value })}
                  />
                </label>
                <span className="muted">{choice.unit}</span>
              </span>
            )}
            <button
              type="button"
              className="button quiet"
              aria-label={`Leave out ${choice.label}`}
              onClick={() => set({ factors: form.factors.filter(({ key }) => key !== factor.key) })}
            >
              Leave out
            </button>
          </fieldset>
        );
      })}
      {form.factors.length < 5 ? (
        <Field label={form.factors.length === 0 ? "Change" : "Change as well"}>
          {(props) => (
            <select
              {...props}
              value=""
              onChange={(event) => {
                const choice = choices.find(({ key }) => key === event.currentTarget.value);
                if (choice === undefined) return;
                const levels = choice.tins === undefined ? {} : { levels: [choice.tins.now, ""] };
                set({ factors: [...form.factors, { key: choice.key, ...firstRange(choice), ...levels }] });
              }}
            >
              <option value="">choose an amount, a time, a temperature, a tin…</option>
              {free.map(({ key, label }) => (
                <option key={key} value={key}>
                  {label}
                </option>
              ))}
            </select>
          )}
        </Field>
      ) : null}
      <HeldAsked form={form} set={set} />
    </section>
  );
}

function BlendAsked({ form, set, known }: AskedProps) {
  const { book, settings } = useHouseState();
  const formula = known[0]?.formula;
  const component = formula?.components.find(({ name }) => name === form.component) ?? formula?.components[0];
  useEffect(() => {
    if (component !== undefined && form.component !== component.name) set({ component: component.name, shares: [] });
  });
  if (formula === undefined || component === undefined) return null;
  const ingredients = [
    ...new Set(
      component.stages.flatMap(({ uses }) =>
        uses.filter(({ grams }) => grams !== null && grams > 0).map((use) => use.ingredient),
      ),
    ),
  ];
  const chosen = form.shares.map(({ ingredient }) => ingredient);
  const now = blendNow(formula, component.name, chosen);
  const toggle = (ingredient: string, wanted: boolean) => {
    const next = wanted ? [...chosen, ingredient] : chosen.filter((one) => one !== ingredient);
    const { shares } = blendNow(formula, component.name, next);
    set({
      shares: next.map((one, place) => ({
        ingredient: one,
        lower: String(Math.max(0, Math.round(shares[place]! * 20 - 4) * 5)),
        upper: String(Math.min(100, Math.round(shares[place]! * 20 + 4) * 5)),
      })),
    });
  };
  return (
    <section className="ask-part">
      <h2>The blend</h2>
      {formula.components.length > 1 ? (
        <Field label="In which component">
          {(props) => (
            <select
              {...props}
              value={component.name}
              onChange={(event) => set({ component: event.currentTarget.value, shares: [] })}
            >
              {formula.components.map(({ name }) => (
                <option key={name}>{name}</option>
              ))}
            </select>
          )}
        </Field>
      ) : null}
      <fieldset className="ask-choices columns">
        <legend>What makes it up</legend>
        {ingredients.map((ingredient) => (
          <label key={ingredient} className="choice">
            <input
              type="checkbox"
              checked={chosen.includes(ingredient)}
              onChange={(event) => toggle(ingredient, event.currentTarget.checked)}
            />
            <span>{nameOf(ingredient, book, settings.names)}</span>
          </label>
        ))}
      </fieldset>
      {form.shares.length === 0 ? null : (
        <>
          <p className="muted small figures">Together {plain(now.grams, 0)} g in every bake; only the shares move.</p>
          {form.shares.map((share, place) => {
            const name = nameOf(share.ingredient, book, settings.names);
            const change = (part: Partial<typeof share>) =>
              set({ shares: form.shares.map((other) => (other === share ? { ...share, ...part } : other)) });
            return (
              <fieldset key={share.ingredient} className="factor-edit">
                <legend>
                  {name}
                  <span className="muted figures">, now {plain(now.shares[place]! * 100, 0)} %</span>
                </legend>
                <span className="range">
                  <label>
                    from{" "}
                    <input
                      className="short"
                      inputMode="decimal"
                      value={share.lower}
                      onChange={(event) => change({ lower: event.currentTarget.value })}
                    />
                  </label>
                  <label>
                    to{" "}
                    <input
                      className="short"
                      inputMode="decimal"
                      value={share.upper}
                      onChange={(event) => change({ upper: event.currentTarget.value })}
                    />
                  </label>
                  <span className="muted">%</span>
                </span>
              </fieldset>
            );
          })}
        </>
      )}
    </section>
  );
}

function MeasureAsked({ kind, form, set, unit }: AskedProps & { kind: Question["kind"]; unit: string }) {
  const measurable = USUAL_MEASURES.filter(({ typicalSd }) => typicalSd !== undefined);
  const chosen = USUAL_MEASURES.find(({ name }) => name === form.measure);
  const repeats = repeatsSpread(form.repeats);
  return (
    <>
      <section className="ask-part">
        <h2>What is measured</h2>
        <Field label="The measure that decides" help={chosen?.how}>
          {(props) => (
            <select
              {...props}
              value={form.measure}
              onChange={(event) => {
                const { value } = event.currentTarget;
                set({ measure: value, matters: usualDifference(value), spread: "", repeats: "" });
              }}
            >
              {measurable.map(({ name }) => (
                <option key={name}>{name}</option>
              ))}
              <option>{OWN_MEASURE}</option>
            </select>
          )}
        </Field>
        {form.measure === OWN_MEASURE ? (
          <div className="row">
            <Field label="Its name">
              {(props) => (
                <input {...props} value={form.ownName} onChange={(event) => set({ ownName: event.currentTarget.value })} />
              )}
            </Field>
            <Field label="Its unit">
              {(props) => (
                <input
                  {...props}
                  className="short"
                  value={form.ownUnit}
                  onChange={(event) => set({ ownUnit: event.currentTarget.value })}
                />
              )}
            </Field>
            <Field label="Better is">
              {(props) => (
                <select
                  {...props}
                  value={form.ownBetter}
                  onChange={(event) => set({ ownBetter: event.currentTarget.value as Form["ownBetter"] })}
                >
                  <option value="">neither</option>
                  <option value="larger">more</option>
                  <option value="smaller">less</option>
                </select>
              )}
            </Field>
          </div>
        ) : null}
        <NumberField
          label="The smallest difference that would change what you bake"
          value={form.matters}
          unit={unit}
          onValue={(matters) => set({ matters })}
        />
        <details className="more">
          <summary>Write down other measures as well</summary>
          <fieldset className="ask-choices columns">
            <legend className="hidden-words">Other measures</legend>
            {USUAL_MEASURES.filter(({ name }) => name !== form.measure).map(({ name, unit: of }) => (
              <label key={name} className="choice">
                <input
                  type="checkbox"
                  checked={form.also.includes(name)}
                  onChange={(event) =>
                    set({ also: event.currentTarget.checked ? [...form.also, name] : form.also.filter((one) => one !== name) })
                  }
                />
                <span>
                  {name}, {of}
                </span>
              </label>
            ))}
          </fieldset>
        </details>
      </section>
      <section className="ask-part">
        <h2>How you bake</h2>
        {kind === "better" ? (
          <Choices
            legend="Side by side"
            value={form.pairing}
            onValue={(pairing) => set({ pairing })}
            options={[
              ["days", "one of each on every baking day"],
              ["shelves", "both in one oven, their shelves swapped from time to time"],
              ["apart", "each on its own days"],
            ]}
          />
        ) : null}
        <div className="row">
          {kind === "better" ? (
            <NumberField
              label="At most, of each"
              value={form.most}
              unit="bakes"
              onValue={(most) => set({ most })}
              placeholder="no limit"
            />
          ) : (
            <>
              <NumberField label="On one day" value={form.perDay} unit="bakes" onValue={(perDay) => set({ perDay })} />
              <NumberField
                label="In the oven together"
                value={form.perLoad}
                unit="cakes"
                onValue={(perLoad) => set({ perLoad })}
                placeholder="1"
              />
            </>
          )}
        </div>
        <details className="more" open={chosen?.typicalSd === undefined || undefined}>
          <summary>
            How much one bake varies:{" "}
            {form.spread.trim() !== ""
              ? `${form.spread} ${unit}, yours`
              : repeats !== undefined
                ? `${plain(repeats.sd, 2)} ${unit}, from your repeats`
                : chosen?.typicalSd === undefined
                  ? "not known yet"
                  : `${chosen.typicalSd.value} ${unit}, assumed`}
          </summary>
          <div className="row">
            <NumberField
              label="Your own spread"
              value={form.spread}
              unit={unit}
              onValue={(spread) => set({ spread })}
              help="Standard deviation of bakes that were meant to be the same."
            />
            <Field label="Or figures of such bakes" help="One day a line: 41 43 42.5" className="grow">
              {(props) => (
                <textarea
                  {...props}
                  rows={3}
                  value={form.repeats}
                  onChange={(event) => set({ repeats: event.currentTarget.value })}
                />
              )}
            </Field>
          </div>
        </details>
        <SeedAsked form={form} set={set} />
      </section>
    </>
  );
}

function SeedAsked({ form, set }: Pick<AskedProps, "form" | "set">) {
  return (
    <details className="more">
      <summary>The order is drawn by lot, with number {form.seed}</summary>
      <NumberField
        label="Number of the draw"
        value={form.seed}
        onValue={(seed) => set({ seed })}
        help="The same number draws the same order again."
      />
    </details>
  );
}

function TastingAsked({
  kind,
  form,
  set,
  contained,
  allergens,
  mayContain,
}: AskedProps & {
  kind: Question["kind"];
  contained: ReturnType<typeof allergensOf>;
  allergens: readonly string[];
  mayContain: readonly string[];
}) {
  return (
    <>
      <section className="ask-part">
        <h2>Who tastes</h2>
        {kind === "can people tell" ? (
          <>
            <Field label="How it is served" help={METHOD_WORDS[form.method]}>
              {(props) => (
                <select
                  {...props}
                  value={form.method}
                  onChange={(event) => set({ method: event.currentTarget.value as Form["method"] })}
                >
                  {/* The tests that ask for one named property need it explained to the tasters; these do not. */}
                  {DISCRIMINATION_METHODS.filter((method) => !method.endsWith("AFC")).map((method) => (
                    <option key={method}>{method}</option>
                  ))}
                </select>
              )}
            </Field>
            <NumberField
              label="It matters when so many really notice"
              value={form.shareTelling}
              unit="% of people"
              onValue={(shareTelling) => set({ shareTelling })}
            />
          </>
        ) : null}
        <NumberField
          label="Tasters"
          value={form.tasters}
          onValue={(tasters) => set({ tasters })}
          placeholder={kind === "which is liked best" ? "" : "as needed"}
          help={kind === "which is liked best" ? undefined : "Leave it empty to be told how many it takes."}
        />
        <SeedAsked form={form} set={set} />
      </section>
      <section className="ask-part">
        <h2>What every taster is told first</h2>
        <Field
          label="Contains"
          help={
            contained.unknown.length > 0
              ? `Nothing is known of ${contained.unknown.join(", ")}: add what they bring.`
              : "As the formulas say; add what touches them on the table."
          }
        >
          {(props) => (
            <input
              {...props}
              value={form.allergens ?? allergens.join(", ")}
              onChange={(event) => set({ allergens: event.currentTarget.value })}
            />
          )}
        </Field>
        <Field
          label="May contain"
          help={contained.readPackets.length > 0 ? `Read the packets of ${contained.readPackets.join(", ")}.` : undefined}
        >
          {(props) => (
            <input
              {...props}
              value={form.mayContain ?? mayContain.join(", ")}
              onChange={(event) => set({ mayContain: event.currentTarget.value })}
            />
          )}
        </Field>
      </section>
    </>
  );
}

const METHOD_WORDS: Readonly<Record<Form["method"], string>> = {
  triangle: "Three samples, two of them the same: which one is different?",
  "duo-trio": "One of the two is served first: which of the next two is the same?",
  "2-AFC": "Two samples: which has more of one named property?",
  "3-AFC": "Three samples: which has the most of one named property?",
  tetrad: "Four samples, two of each: sort them into two pairs.",
};

function PlanShown({ plan, made, children }: { plan: TrialPlan; made: readonly RunCake[]; children: React.ReactNode }) {
  const doubtful = plan.order.flatMap(({ runIndex }, place) => {
    const cake = made[runIndex];
    return cake === undefined || cake.doubts.length === 0 ? [] : [{ number: place + 1, cake }];
  });
  const held = made[0]?.held ?? [];
  return (
    <div className="stack">
      <p className="plan-summary">{plan.summary}</p>
      <p>{plan.certainty}</p>
      <p>{plan.ifNothingIsSeen}</p>
      {held.length === 0 ? null : <p className="muted">Held in every bake: {held.join("; ")}.</p>}
      {plan.cautions.length === 0 ? null : (
        <ul className="plan-cautions">
          {plan.cautions.map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      )}
      {doubtful.length === 0 ? null : (
        <details className="more doubts">
          <summary>
            {doubtful.length} of {plan.order.length} runs look doubtful before an egg is broken
          </summary>
          <ul className="sentences">
            {doubtful.map(({ number, cake }) => (
              <li key={number}>
                Run {number}, {settingWords(plan.factors, cake.setting)}: {cake.doubts.join(" ")}
              </li>
            ))}
          </ul>
        </details>
      )}
      <div className="buttons">{children}</div>
      <PlanQuality plan={plan} />
    </div>
  );
}

function PlanQuality({ plan }: { plan: TrialPlan }) {
  const { quality, power, settings, factors, order, dayCount } = plan;
  if (settings.length === 0) return null;
  return (
    <details className="more">
      <summary>The runs, and how good the plan is</summary>
      {quality === undefined ? null : (
        <dl className="facts figures">
          <dt>Certainty of all effects together (D-efficiency)</dt>
          <dd>{plain(quality.dEfficiencyPercent, 1)} %</dd>
          {dayCount > 1 ? null : (
            <>
              <dt>Certainty where it is worst (G-efficiency)</dt>
              <dd>{plain(quality.gEfficiencyPercent, 1)} %</dd>
            </>
          )}
          <dt>Variance of a predicted mean against that of one bake</dt>
          <dd>
            {plain(quality.averageVariance, 2)} on average, {plain(quality.largestVariance, 2)} at worst
          </dd>
          {quality.aliased.length === 0 ? null : (
            <>
              <dt>Cannot be told apart from others</dt>
              <dd>{quality.aliased.join(", ")}</dd>
            </>
          )}
        </dl>
      )}
      {power === undefined ? null : (
        <dl className="facts figures">
          <dt>Chance to notice what matters (power)</dt>
          <dd>{plain(power * 100, 0)} %</dd>
        </dl>
      )}
      <ol className="run-list figures">
        {order.map(({ runIndex, day }, place) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: the place in the order is what a run is known by
          <li key={place}>
            day {day + 1}: {settingWords(factors, settings[runIndex]!)}
          </li>
        ))}
      </ol>
    </details>
  );
}
