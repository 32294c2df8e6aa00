import type { TrialPlan } from "@evencrumb/core/trials";
import type { ReactNode } from "react";
import type { RunCake } from "../runs.js";
import { plain, settingWords } from "../settingWords.js";
import { VariancePicture } from "./VariancePicture.js";

/** How the bakes of a plan look to the bake model; it takes a while. */
export type BakeCheck =
  | { readonly state: "none" }
  | { readonly state: "checking"; readonly done: number; readonly of: number; readonly stop: () => void }
  | { readonly state: "checked"; readonly judged: number; readonly of: number };

/** A plan in words, what looks doubtful in it, and how good it is. */
export function PlanShown({
  plan,
  made,
  check,
  again,
  children,
}: {
  plan: TrialPlan;
  made: readonly RunCake[];
  check: BakeCheck;
  again: () => void;
  children: ReactNode;
}) {
  const doubtful = doubtfulRuns(plan, made);
  const doubtfulCount = doubtful.reduce((sum, { numbers }) => sum + numbers.length, 0);
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
      {plan.design?.stopped ? (
        <p>
          <button type="button" className="words accent" onClick={again}>
            Look longer
          </button>
        </p>
      ) : null}
      {doubtful.length === 0 ? null : (
        <details className="more doubts">
          <summary>
            {doubtfulCount} of {plan.order.length} runs look doubtful before an egg is broken
          </summary>
          <ul className="sentences">
            {doubtful.map(({ numbers, words, doubts }) => (
              <li key={words}>
                {numbers.length === 1 ? "Run" : "Runs"} {listWords(numbers.map(String))}, {words}: {doubts}
              </li>
            ))}
          </ul>
        </details>
      )}
      <BakeCheckShown check={check} doubtful={doubtful.length > 0} />
      <div className="buttons">{children}</div>
      <PlanQuality plan={plan} />
      <PlanRuns plan={plan} made={made} />
    </div>
  );
}

/** Doubtful runs, those that are set the same together, in the order of baking. */
function doubtfulRuns(plan: TrialPlan, made: readonly RunCake[]) {
  const found = new Map<string, { readonly numbers: number[]; readonly words: string; readonly doubts: string }>();
  for (const [place, { runIndex }] of plan.order.entries()) {
    const cake = made[runIndex];
    if (cake === undefined || cake.doubts.length === 0) continue;
    const words = settingWords(plan.factors, cake.setting);
    const entry = found.get(words) ?? { numbers: [], words, doubts: cake.doubts.join(" ") };
    entry.numbers.push(place + 1);
    found.set(words, entry);
  }
  return [...found.values()];
}

function BakeCheckShown({ check, doubtful }: { check: BakeCheck; doubtful: boolean }) {
  if (check.state === "none") return null;
  if (check.state === "checked")
    return (
      <p className="muted small">
        {check.judged < check.of
          ? `${check.judged} of ${check.of} bakes were predicted before it was stopped.`
          : doubtful
            ? "Predicted beside the standard, as far as the models go; bake a doubtful run if you want to know."
            : "The bakes were predicted beside the standard: none looks doubtful. A prediction is no measurement."}
      </p>
    );
  return (
    <div className="ask-working" role="status">
      <p className="muted small">
        Predicting how the runs bake, {check.done} of {check.of}…
      </p>
      <progress value={check.done} max={check.of} aria-label="Predicting the bakes" />
      <button type="button" className="button quiet" onClick={check.stop}>
        Stop predicting
      </button>
    </div>
  );
}

/** How good the bakes are, each figure with a sentence of what it means. */
function PlanQuality({ plan }: { plan: TrialPlan }) {
  const { quality, power, design } = plan;
  if (quality === undefined || design === undefined) return null;
  const blend = plan.kind === "which blend";
  const split = design.shared !== undefined;
  return (
    <details className="more">
      <summary>How good these bakes are</summary>
      <p>
        <b>{design.field}</b>
        {plan.model === undefined ? null : (
          <span className="muted">, read by a {plan.model.name.replace("scheffe", "Scheffé")} model</span>
        )}
        {design.blockBy === undefined ? null : (
          <span className="muted">; {design.blockBy === "load" ? "oven loads" : "days"} are blocks</span>
        )}
        {split ? (
          <span className="muted">; split plot, a {design.shared === "load" ? "load" : "batter"} is a whole plot</span>
        ) : null}
      </p>
      <dl className="facts explained figures">
        {power === undefined ? null : (
          <div>
            <dt>Power</dt>
            <dd>{plain(power * 100, 0)} %</dd>
            <dd className="muted">The chance to notice what matters, of the effect that is seen least well.</dd>
          </div>
        )}
        {blend ? null : (
          <div>
            <dt>D-efficiency</dt>
            <dd>{plain(quality.dEfficiencyPercent, 1)} %</dd>
            <dd className="muted">
              {split
                ? "How sharply all effects together are seen, against a batter for every bake; a split plot may be above 100."
                : "How sharply all effects together are seen; 100 is the best two-level plan there can be."}
            </dd>
          </div>
        )}
        {split ? null : (
          <div>
            <dt>G-efficiency</dt>
            <dd>{plain(quality.gEfficiencyPercent, 1)} %</dd>
            <dd className="muted">
              How sure a prediction is where it is least sure, on any day; 100 is the best any plan can be.
            </dd>
          </div>
        )}
        <div>
          <dt>Prediction variance</dt>
          <dd>
            {plain(quality.averageVariance, 2)} on average, {plain(quality.largestVariance, 2)} at worst
          </dd>
          <dd className="muted">
            Of a predicted mean, against that of one bake: below 1 the plan knows more than one bake would tell.
          </dd>
        </div>
        <div>
          <dt>Bakes left over</dt>
          <dd>
            {quality.residualDf}
            {quality.wholePlotDf === undefined
              ? ""
              : `, and ${quality.wholePlotDf} ${design.shared === "load" ? "loads" : "batters"}`}
          </dd>
          <dd className="muted">What judges the spread (degrees of freedom): below three, every interval is wide.</dd>
        </div>
      </dl>
      <VariancePicture quantiles={quality.varianceQuantiles} />
      <AliasesShown plan={plan} />
    </details>
  );
}

function AliasesShown({ plan }: { plan: TrialPlan }) {
  const fraction = plan.design?.fraction;
  if (fraction === undefined) return null;
  return (
    <section className="stack tight" aria-label="What cannot be told apart">
      <p>
        <b>What cannot be told apart (aliases)</b>
        <span className="muted">
          , resolution {fraction.resolution === Number.POSITIVE_INFINITY ? "full" : ROMAN[fraction.resolution]}
        </span>
      </p>
      <ul className="sentences small">
        {fraction.generators.map(({ factor, product }) => (
          <li key={factor}>
            {factor} is high or low as {product.join(" × ")} says.
          </li>
        ))}
        {fraction.aliases.map((group) => (
          <li key={group.join()}>
            {group[0]}: seen together with {listWords(group.slice(1))}.
          </li>
        ))}
      </ul>
    </section>
  );
}

const ROMAN: Readonly<Record<number, string>> = { 3: "III", 4: "IV", 5: "V", 6: "VI", 7: "VII", 8: "VIII" };
const listWords = (words: readonly string[]): string =>
  words.length < 2 ? (words[0] ?? "") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;

/** Every run in the order of baking, with what it is set to and, opened, what it weighs. */
function PlanRuns({ plan, made }: { plan: TrialPlan; made: readonly RunCake[] }) {
  const { settings, factors, order } = plan;
  if (settings.length === 0) return null;
  const together = order.some(({ position }) => position > 0);
  return (
    <details className="more">
      <summary>The runs</summary>
      <ol className="run-list figures">
        {order.map(({ runIndex, day, load, wholePlot }, place) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: the place in the order is what a run is known by
          <li key={place}>
            day {day + 1}
            {together ? `, load ${load + 1}` : ""}
            {wholePlot === undefined ? "" : `, batter ${wholePlot + 1}`}:{" "}
            {settingWords(factors, made[runIndex]?.setting ?? settings[runIndex]!)}
          </li>
        ))}
      </ol>
    </details>
  );
}
