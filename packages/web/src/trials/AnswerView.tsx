import {
  type Analysis,
  answerTrial,
  type Binding,
  centreOf,
  compareLevels,
  contourMap,
  effectLines,
  type Factor,
  predictAt,
  residualPicture,
  type Setting,
  type ShareFactor,
  sayPrediction,
  settingValues,
  type TrialAnswer,
  ternaryMap,
} from "@evencrumb/core/trials";
import { useMemo, useState } from "react";
import { addresses } from "../app/route.js";
import { useHouseState } from "../app/useHouse.js";
import { Field, ProblemList } from "../parts/Field.js";
import { useOwnedTins } from "../parts/useOwnedTins.js";
import { bestSetting } from "./answers.js";
import { Decide } from "./decide.js";
import { type BakingTrial, readBy } from "./documents.js";
import { ContourPicture, EffectsPicture, MeansPicture, PairedPicture, ResidualsPicture, TernaryPicture } from "./pictures.js";
import { runCake } from "./runs.js";
import type { TrialSession } from "./session.js";
import { chance, plain, settingWords, unbroken } from "./settingWords.js";
import { useCakeFormulas } from "./useCakes.js";

/** The answer first, in one sentence; then the picture; then what to do; the figures for whoever wants them. */
export function AnswerView({ trial, session }: { trial: BakingTrial; session: TrialSession }) {
  const { sheet } = trial;
  const [by, setBy] = useState(sheet.measures[0]!.name);
  const measure = sheet.measures.find(({ name }) => name === by) ?? sheet.measures[0]!;
  const asked = useMemo(() => readBy(trial, measure), [trial, measure]);
  const result = useMemo(() => answerTrial(asked), [asked]);
  const { answer, baked, spoiled, missing } = result;
  const readable = sheet.measures.filter(({ name }) => sheet.runs.some((run) => typeof run.measured[name] === "number"));
  const best = useMemo(() => bestSetting(asked, result), [asked, result]);
  const { book } = useHouseState();
  const owned = useOwnedTins();
  const formulas = useCakeFormulas(trial.cakes);
  const standard = formulas.get(trial.cakes[0]?.revisionId ?? "");
  const made = useMemo(() => {
    if (best === undefined || standard === undefined) return undefined;
    const wish = bakeable(best.best.setting, trial.bindings);
    const { formula, setting } = runCake(standard, sheet.factors, trial.bindings, wish, { hold: trial.hold, book, owned });
    return formula === null ? undefined : { words: settingWords(sheet.factors, setting), formula };
  }, [best, standard, sheet.factors, trial.bindings, trial.hold, book, owned]);
  const evidence = `${answer.sentence} ${answer.certainty}`;
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
      </section>
      <ProblemList problems={baked === 0 ? [] : result.problems} />
      <Picture trial={asked} result={result} {...(best === undefined ? {} : { best: best.best.values })} />
      {answer.next.length === 0 && best === undefined ? null : (
        <section className="stack" aria-labelledby="next">
          <h2 id="next">What to do next</h2>
          <ul className="sentences large">
            {answer.next.map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
          {best === undefined || answer.verdict !== "yes" ? null : (
            <p>
              {best.answer.sentence} {best.answer.certainty}
            </p>
          )}
        </section>
      )}
      {result.comparison?.kind !== "compared" && result.reading?.responses[0] === undefined ? null : (
        <Decide
          session={session}
          trial={trial}
          evidence={evidence}
          winner={trial.kind !== "better" ? undefined : winnerOf(answer.verdict, trial)}
          made={trial.bindings.length === 0 || answer.verdict !== "yes" ? undefined : made}
        />
      )}
      <Figures trial={asked} result={result} />
    </div>
  );
}

/** A setting that an oven and a clock can be set to; weights are rounded to the scale by the formula itself. */
function bakeable(setting: Setting, bindings: readonly Binding[]): Setting {
  return Object.fromEntries(
    Object.entries(setting).map(([name, value]) => {
      const kind = bindings.find(({ factor }) => factor === name)?.kind;
      const step = kind === "oven" ? 5 : kind === "minutes" || kind === "stage target" ? 1 : undefined;
      // A target such as a specific gravity is finer than its step and stays as it is.
      if (step === undefined || typeof value !== "number" || value < 10 * step) return [name, value];
      return [name, Math.round(value / step) * step];
    }),
  );
}

function winnerOf(verdict: TrialAnswer["answer"]["verdict"], trial: BakingTrial): string | undefined {
  return verdict === "yes" ? trial.cakes[1]?.name : verdict === "no" ? trial.cakes[0]?.name : undefined;
}

function Picture({ trial, result, best }: { trial: BakingTrial; result: TrialAnswer; best?: readonly number[] }) {
  const measure = trial.sheet.measures[0]!;
  if (result.pairs !== undefined && result.pairs.length > 0) {
    const names = [trial.cakes[0]?.name ?? "A", trial.cakes[1]?.name ?? "B"] as const;
    return (
      <figure className="shown">
        <PairedPicture
          names={names}
          pairs={result.pairs}
          unit={measure.unit}
          label={`${measure.name} of ${names[0]} and ${names[1]}, a line for each pair`}
        />
        <figcaption className="muted">
          A line for each pair: {measure.name}, {measure.unit}.
        </figcaption>
      </figure>
    );
  }
  const analysis = result.reading?.responses[0]?.analysis;
  if (analysis === undefined || analysis.residualSd === undefined) return null;
  if (trial.kind === "which of several") return <SeveralPicture analysis={analysis} unit={measure.unit} name={measure.name} />;
  return <SurfacePictures trial={trial} analysis={analysis} {...(best === undefined ? {} : { best })} />;
}

function SeveralPicture({ analysis, unit, name }: { analysis: Analysis; unit: string; name: string }) {
  const [line] = effectLines(analysis);
  const groups = (line?.points ?? []).flatMap(({ at, estimate, from, to }) =>
    from === undefined || to === undefined ? [] : [{ name: String(at), mean: estimate, from, to }],
  );
  return (
    <figure className="shown">
      <MeansPicture groups={groups} unit={unit} label={`Mean ${name} of each cake, with its interval`} />
      <figcaption className="muted">
        Mean {name}, {unit}; the bar is where the mean may lie.
      </figcaption>
    </figure>
  );
}

const isAmount = (factor: Factor): boolean => factor.kind === "amount";
const isShare = (factor: Factor): factor is ShareFactor => factor.kind === "share";

function SurfacePictures({ trial, analysis, best }: { trial: BakingTrial; analysis: Analysis; best?: readonly number[] }) {
  const measure = trial.sheet.measures[0]!;
  const { factors } = trial.sheet;
  const lines = useMemo(() => effectLines(analysis), [analysis]);
  const baked = lines.map(({ factor }) => ({
    factor,
    points: trial.sheet.runs.flatMap((run) => {
      const value = run.measured[measure.name];
      const at = run.setting[factor];
      return run.state === "baked" && typeof value === "number" && at !== undefined ? [{ at, value }] : [];
    }),
  }));
  const amounts = factors.filter(isAmount).map(({ name }) => name);
  const shares = factors.filter(isShare);
  const held = best ?? centreOf(analysis.model.factors);
  const [x, y] = amounts;
  return (
    <>
      {shares.length >= 3 ? (
        <figure className="shown">
          <TernaryPicture
            map={ternaryMap(
              analysis,
              shares.slice(0, 3).map(({ name }) => name) as unknown as readonly [string, string, string],
              held,
              {
                lower: shares.map(({ lower }) => lower),
                upper: shares.map(({ upper }) => upper),
                rules: trial.question.kind === "which blend" ? (trial.question.rules ?? []) : [],
              },
              44,
            )}
            unit={measure.unit}
            best={
              best === undefined
                ? undefined
                : factors.flatMap((factor, index) => (isShare(factor) ? [best[index]!] : [])).slice(0, 3)
            }
            label={`Predicted ${measure.name} over the blend`}
          />
          <figcaption className="muted">
            Predicted {measure.name}; rings are bakes, the cross is the best, grey is outside the limits
            {shares.length > 3 ? "; the other shares stand at their best" : ""}.
          </figcaption>
        </figure>
      ) : null}
      {x !== undefined && y !== undefined ? (
        <figure className="shown">
          <ContourPicture
            map={contourMap(analysis, x, y, held, 64)}
            unit={measure.unit}
            best={
              best === undefined
                ? undefined
                : {
                    x: best[factors.findIndex(({ name }) => name === x)]!,
                    y: best[factors.findIndex(({ name }) => name === y)]!,
                  }
            }
            label={`Predicted ${measure.name} over ${x} and ${y}`}
          />
          <figcaption className="muted">
            Predicted {measure.name}; rings are bakes, the cross is the best
            {amounts.length > 2 ? "; the rest stands at its best" : ""}.
          </figcaption>
        </figure>
      ) : null}
      <figure className="shown">
        <EffectsPicture
          lines={lines}
          baked={baked}
          unit={measure.unit}
          label={`How ${measure.name} moves with ${lines.map(({ factor }) => factor).join(", ")}`}
        />
        <figcaption className="muted">
          {measure.name}, {measure.unit}: the line is the mean with the others in the middle, the band where it may lie; dots are
          all bakes, whatever the others were.
        </figcaption>
      </figure>
    </>
  );
}

/** Behind the answer: for whoever wants to check it. */
function Figures({ trial, result }: { trial: BakingTrial; result: TrialAnswer }) {
  const measure = trial.sheet.measures[0]!;
  const response = result.reading?.responses[0];
  const { comparison } = result;
  if (comparison?.kind === "compared") {
    const { difference, counts, sd } = comparison;
    return (
      <details className="more figures-behind">
        <summary>The figures behind it</summary>
        <dl className="facts figures">
          <dt>Mean difference, second less first</dt>
          <dd>
            {plain(difference.estimate, 3)} {measure.unit}, between {plain(difference.from, 3)} and {plain(difference.to, 3)} (
            {plain(difference.confidence * 100, 0)} %)
          </dd>
          <dt>Standard error</dt>
          <dd>
            {plain(difference.standardError, 3)} {measure.unit}
          </dd>
          <dt>t</dt>
          <dd>
            {plain(difference.t, 3)} with {plain(difference.df, 1)} degrees of freedom
          </dd>
          <dt>p, if they were equal</dt>
          <dd>{chance(difference.p)}</dd>
          <dt>Standard deviation</dt>
          <dd>
            {plain(sd, 3)} {measure.unit}, from {counts.join(" and ")} bakes
          </dd>
        </dl>
      </details>
    );
  }
  if (response === undefined) return null;
  const { analysis } = response;
  const { rSquared, lackOfFit } = analysis;
  const blocks = analysis.blockNames.length > 1;
  return (
    <>
      <details className="more figures-behind">
        <summary>The figures behind it</summary>
        {trial.kind === "which of several" && analysis.residualSd !== undefined ? (
          <GroupTable analysis={analysis} unit={measure.unit} />
        ) : null}
        <h3>Coefficients</h3>
        <div className="scrolls">
          <table className="plain-table figures">
            <thead>
              <tr>
                <th scope="col">term</th>
                <th scope="col" className="figure">
                  estimate
                </th>
                <th scope="col" className="figure">
                  standard error
                </th>
                <th scope="col" className="figure">
                  from
                </th>
                <th scope="col" className="figure">
                  to
                </th>
                <th scope="col" className="figure">
                  p
                </th>
              </tr>
            </thead>
            <tbody>
              {analysis.coefficients.map((row) => (
                <tr key={row.name}>
                  <th scope="row">{row.name}</th>
                  {[row.estimate, row.standardError, row.from, row.to].map((value, index) => (
                    // biome-ignore lint/suspicious/noArrayIndexKey: a column has no other identity than its place
                    <td key={index} className="figure">
                      {value === undefined ? "" : value.toPrecision(4)}
                    </td>
                  ))}
                  <td className="figure">{row.p === undefined ? "" : chance(row.p)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
        <h3>Analysis of variance</h3>
        <div className="scrolls">
          <table className="plain-table figures">
            <thead>
              <tr>
                <th scope="col">source</th>
                <th scope="col" className="figure">
                  degrees of freedom
                </th>
                <th scope="col" className="figure">
                  sum of squares
                </th>
                <th scope="col" className="figure">
                  F
                </th>
                <th scope="col" className="figure">
                  p
                </th>
              </tr>
            </thead>
            <tbody>
              {[
                ...analysis.groups,
                analysis.anova.residual,
                ...(lackOfFit === undefined ? [] : [lackOfFit.lackOfFit, lackOfFit.pureError]),
                analysis.anova.total,
              ].map((row, index) => (
                // biome-ignore lint/suspicious/noArrayIndexKey: two rows may bear one name
                <tr key={index}>
                  <th scope="row">{row.source}</th>
                  <td className="figure">{row.df}</td>
                  {[row.sumOfSquares, row.f].map((value, column) => (
                    // biome-ignore lint/suspicious/noArrayIndexKey: a column has no other identity than its place
                    <td key={column} className="figure">
                      {value === undefined ? "" : value.toPrecision(4)}
                    </td>
                  ))}
                  <td className="figure">{row.p === undefined ? "" : chance(row.p)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
        <dl className="facts figures">
          <dt>One bake varies by</dt>
          <dd>
            {analysis.residualSd === undefined ? "not known" : `${plain(analysis.residualSd, 3)} ${measure.unit}`}
            {blocks ? ", within a day" : ""}
          </dd>
          <dt>Share of the variation that is followed (R²)</dt>
          <dd>
            {plain(rSquared.plain, 3)}
            {rSquared.adjusted === undefined ? "" : `, adjusted ${plain(rSquared.adjusted, 3)}`}
            {rSquared.predicted === undefined ? "" : `, in new bakes ${plain(rSquared.predicted, 3)}`}
          </dd>
          {analysis.press === undefined ? null : (
            <>
              <dt>PRESS</dt>
              <dd>{analysis.press.toPrecision(4)}</dd>
            </>
          )}
        </dl>
      </details>
      {trial.bindings.length === 0 ? null : <Predict trial={trial} analysis={analysis} />}
      {analysis.residualSd === undefined ? null : (
        <details className="more figures-behind">
          <summary>Does the model fit? The residuals</summary>
          <ResidualsPicture picture={residualPicture(analysis)} unit={measure.unit} />
          <p className="muted">
            They should lie without a pattern, nearly all within two either way, and along the line on the right.
          </p>
        </details>
      )}
    </>
  );
}

function GroupTable({ analysis, unit }: { analysis: Analysis; unit: string }) {
  return (
    <>
      <h3>Each with each</h3>
      <ul className="sentences figures">
        {compareLevels(analysis, "cake").map(({ first, second, estimate, from, to }) => (
          <li key={`${first} ${second}`}>
            {second} less {first}: {plain(estimate, 2)} {unit}, between {plain(from, 2)} and {plain(to, 2)}
          </li>
        ))}
      </ul>
    </>
  );
}

/** What one more bake should give, at any setting within the limits. */
function Predict({ trial, analysis }: { trial: BakingTrial; analysis: Analysis }) {
  const measure = trial.sheet.measures[0]!;
  const { factors } = trial.sheet;
  const centre = centreOf(factors);
  const [setting, setSetting] = useState<Record<string, string>>(() =>
    Object.fromEntries(
      factors.map((factor, index) => [
        factor.name,
        factor.kind === "choice"
          ? factor.levels[0]!
          : factor.kind === "share"
            ? plain(centre[index]! * 100, 1)
            : plain(centre[index]!, 2),
      ]),
    ),
  );
  const values = settingValues(
    factors,
    Object.fromEntries(
      factors.map((factor) => {
        const text = setting[factor.name]!;
        const number = Number(text.replace(",", "."));
        return [factor.name, factor.kind === "choice" ? text : factor.kind === "share" ? number / 100 : number];
      }),
    ),
  );
  const shares = factors.flatMap((factor, index) => (isShare(factor) ? [values?.[index] ?? Number.NaN] : []));
  const whole = shares.length === 0 || Math.abs(shares.reduce((sum, share) => sum + share, 0) - 1) < 0.006;
  return (
    <details className="more figures-behind">
      <summary>What another setting should give</summary>
      <div className="row">
        {factors.map((factor) => (
          <Field key={factor.name} label={factor.name}>
            {(props) =>
              factor.kind === "choice" ? (
                <select
                  {...props}
                  value={setting[factor.name]}
                  onChange={(event) => setSetting({ ...setting, [factor.name]: event.currentTarget.value })}
                >
                  {factor.levels.map((level) => (
                    <option key={level}>{level}</option>
                  ))}
                </select>
              ) : (
                <span className="with-unit">
                  <input
                    {...props}
                    className="short"
                    inputMode="decimal"
                    value={setting[factor.name]}
                    onChange={(event) => setSetting({ ...setting, [factor.name]: event.currentTarget.value })}
                  />
                  <span className="muted">{factor.kind === "share" ? "%" : (factor.unit ?? "")}</span>
                </span>
              )
            }
          </Field>
        ))}
      </div>
      <p role="status">
        {!whole
          ? "The shares have to make up 100 % together."
          : values === undefined || values.some((value) => Number.isNaN(value))
            ? "Write a number for each."
            : `Predicted, not measured: ${sayPrediction(predictAt(analysis, values), measure.unit)}.`}
      </p>
    </details>
  );
}
