import {
  answerTrial,
  farRuns,
  residualPicture,
  residualsInWords,
  TRANSFORMS,
  type Transform,
  type TrialWorking,
  workingOfTrial,
} from "@evencrumb/core/trials";
import { useMemo, useState } from "react";
import { addresses } from "../app/route.js";
import { ProblemList } from "../parts/Field.js";
import { type BakingTrial, readBy } from "./documents.js";
import { ResidualsPicture } from "./pictures/ResidualsPicture.js";
import { Shown } from "./pictures/scale.js";
import type { TrialSession } from "./session.js";
import { chance, plain } from "./settingWords.js";
import { Anova, Coefficients, ComparisonFigures, Differences, FigureTable, Ranks, SmallerModel } from "./workingTables.js";

/** The second screen: everything behind the answer, in the words of the field, for whoever wants to check it. */
export function WorkingView({ trial, session }: { trial: BakingTrial; session: TrialSession }) {
  const { sheet } = trial;
  const [by, setBy] = useState(sheet.measures[0]!.name);
  const measure = sheet.measures.find(({ name }) => name === by) ?? sheet.measures[0]!;
  const asked = useMemo(() => readBy(trial, measure), [trial, measure]);
  const result = useMemo(() => answerTrial(asked), [asked]);
  const { value: working, problems } = useMemo(() => workingOfTrial(asked), [asked]);
  const readable = sheet.measures.filter(({ name }) => sheet.runs.some((run) => typeof run.measured[name] === "number"));
  return (
    <div className="page narrow trial working-page">
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.trial(session.documentId, "answer")}>
            ‹ What it says
          </a>
          <h1>The working</h1>
          <p className="muted">
            {trial.name} · {measure.name}, {measure.unit}
          </p>
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
      <p>{result.answer.sentence}</p>
      <ProblemList problems={problems} />
      {result.comparison?.kind === "compared" ? (
        <ComparisonFigures result={result} names={namesOf(trial)} unit={measure.unit} matters={asked.matters} />
      ) : working === undefined ? (
        <p className="muted">There is no working yet: nothing that could be read by a model is measured.</p>
      ) : (
        <ModelWorking
          trial={asked}
          working={working}
          unit={measure.unit}
          standing={result.standing ?? []}
          onScale={(scale) =>
            session.edit((body) => {
              const now = body as BakingTrial;
              const { [measure.name]: _old, ...scales } = now.scales ?? {};
              return { ...now, scales: scale === "none" ? scales : { ...scales, [measure.name]: scale } };
            })
          }
        />
      )}
    </div>
  );
}

const namesOf = ({ cakes }: BakingTrial): readonly [string, string] => [cakes[0]?.name ?? "A", cakes[1]?.name ?? "B"];

function ModelWorking({
  trial,
  working,
  unit: measuredUnit,
  standing,
  onScale,
}: {
  trial: BakingTrial;
  working: TrialWorking;
  unit: string;
  standing: readonly { readonly factor: string; readonly between: string; readonly count: number }[];
  onScale: (scale: Transform) => void;
}) {
  const { response, runNames, ranks } = working;
  const { analysis, splitPlot, comparisons, simplified } = response;
  const { rSquared, boxCox } = analysis;
  const scale = analysis.transform;
  const unit = scale === "none" ? measuredUnit : `${SCALES[scale]} of ${measuredUnit}`;
  const far = farRuns(analysis);
  return (
    <>
      <section className="stack" aria-labelledby="model">
        <h2 id="model">The model</h2>
        <p className="muted">
          {splitPlot?.kind === "fitted"
            ? "Restricted maximum likelihood (REML), with what cakes share as a source of variation of its own; degrees of freedom by Satterthwaite."
            : "Least squares."}{" "}
          {analysis.model.coded ? "Amounts are coded −1 to +1 over their range. " : ""}
          {analysis.blockNames.length > 1 ? "Days or loads are fixed blocks; the other figures are for the average one." : ""}
        </p>
        {splitPlot?.kind === "not fitted" ? (
          <p className="notice-line">
            The sources of variation could not be told apart: {splitPlot.why}. The figures below take cakes of one batter for
            independent. In a simulation of that mistake intervals for what was done to the batter held 74 times in a hundred
            instead of 95. Do not use them.
          </p>
        ) : null}
        <Coefficients analysis={analysis} />
        {analysis.aliased.length === 0 ? null : <p>Cannot be told from others with these runs: {analysis.aliased.join(", ")}.</p>}
        {splitPlot?.kind === "fitted" ? (
          <>
            <h3>Sources of variation</h3>
            <FigureTable
              heads={["source", "standard deviation", "how many"]}
              rows={[
                ...splitPlot.components.map(({ name, sd, groupCount }) => [name, sd.toPrecision(4), String(groupCount)]),
                ["cake", Math.sqrt(splitPlot.residualVariance).toPrecision(4), String(analysis.runCount)],
              ]}
            />
            {splitPlot.atZero.length === 0 ? null : (
              <p className="muted">
                Estimated as nought: {splitPlot.atZero.join(", ")}. No variation of that kind could be seen.
              </p>
            )}
            {standing.length === 0 ? null : (
              <ul className="sentences">
                {standing.map(({ factor, between, count }) => (
                  <li key={factor}>
                    {factor}: {count} {between}
                    {count === 1 ? "" : "s"} stand behind it
                  </li>
                ))}
              </ul>
            )}
          </>
        ) : null}
      </section>
      <section className="stack" aria-labelledby="anova">
        <h2 id="anova">Analysis of variance</h2>
        <Anova analysis={analysis} />
      </section>
      <section className="stack" aria-labelledby="fit">
        <h2 id="fit">How well it fits</h2>
        <dl className="facts figures">
          {splitPlot?.kind === "fitted" ? null : (
            <>
              <dt>One bake varies by</dt>
              <dd>
                {analysis.residualSd === undefined
                  ? "not known: no run is left over"
                  : `${plain(analysis.residualSd, 4)} ${unit}, ${analysis.residualDf} degrees of freedom`}
              </dd>
            </>
          )}
          <dt>R², {rSquared.basis}</dt>
          <dd>{plain(rSquared.plain, 4)}</dd>
          <dt>R² adjusted</dt>
          <dd>{rSquared.adjusted === undefined ? "–" : plain(rSquared.adjusted, 4)}</dd>
          <dt>R² predicted</dt>
          <dd>{rSquared.predicted === undefined ? "–" : plain(rSquared.predicted, 4)}</dd>
          <dt>PRESS</dt>
          <dd>
            {analysis.press === undefined
              ? "– (some run is needed to fix a coefficient of its own)"
              : analysis.press.toPrecision(5)}
          </dd>
          {splitPlot?.kind === "fitted" ? null : (
            <>
              <dt>Lack of fit</dt>
              <dd>
                {analysis.lackOfFit?.lackOfFit.p === undefined
                  ? "cannot be tested: no repeats, or no settings beyond the model's own"
                  : `p ${chance(analysis.lackOfFit.lackOfFit.p)}: ${analysis.lackOfFit.lackOfFit.p < 0.05 ? "the model misses something that the repeats show" : "nothing that the repeats would show is missed"}`}
              </dd>
            </>
          )}
        </dl>
        {splitPlot?.kind === "fitted" ? (
          <p className="muted">
            R², PRESS, the residuals and the advice on the scale are those of least squares: they count cakes and not batters.
          </p>
        ) : null}
      </section>
      {comparisons.map(({ factor, method, differences }) => (
        <section key={`${factor} ${method}`} className="stack" aria-label={`${factor}, ${method}`}>
          <h2>
            {factor}:{" "}
            {method === "Tukey" ? "each with each (Tukey)" : `each with ${differences[0]?.first ?? "the first"} (Dunnett)`}
          </h2>
          <p className="muted">All of these intervals together hold nineteen times in twenty.</p>
          <Differences differences={differences} unit={unit} />
        </section>
      ))}
      {ranks === undefined ? null : <Ranks ranks={ranks} />}
      {analysis.residualSd === undefined ? null : (
        <section className="stack" aria-labelledby="checks">
          <h2 id="checks">Checks of the model</h2>
          <Shown
            title="Residuals: against the prediction, in the order of baking, and against a normal spread"
            words={residualsInWords(residualPicture(analysis), runNames)}
            note="In spreads (studentised). They should lie without a pattern, nearly all within two either way, and along the line on the right."
          >
            {(told) => (
              <ResidualsPicture
                {...told}
                picture={residualPicture(analysis)}
                order={runNames.map((name) => Number(name.replace("run ", "")))}
                unit={unit}
              />
            )}
          </Shown>
          <details className="more">
            <summary>Residuals and influence, run by run</summary>
            <FigureTable
              heads={["run", "measured", "predicted", "residual", "studentised", "leverage", "Cook's distance"]}
              rows={analysis.residuals.map((row) => [
                `${runNames[row.runIndex]}${far.includes(row.runIndex) ? " (far off)" : ""}`,
                row.observed.toPrecision(4),
                row.fitted.toPrecision(4),
                row.residual.toPrecision(3),
                (row.studentised ?? row.standardised)?.toFixed(2) ?? "",
                row.leverage.toFixed(3),
                row.cooksDistance?.toFixed(3) ?? "",
              ])}
            />
          </details>
        </section>
      )}
      <section className="stack" aria-labelledby="scale">
        <h2 id="scale">The scale it is read on</h2>
        <p>
          {boxCox === undefined
            ? scale === "none"
              ? "Whether another scale would make the spread more even cannot be judged: too few runs, or values that are not above nought."
              : `Read by its ${SCALES[scale]}.`
            : `Box and Cox: power ${plain(boxCox.power, 2)}, between ${plain(boxCox.from, 2)} and ${plain(boxCox.to, 2)}; 1 is as measured, 0 the logarithm. ${boxCox.advice === "none" ? "As measured is among them: leave it." : `Its ${SCALES[boxCox.advice]} makes the spread more even.`}`}
        </p>
        <label className="pick">
          Read it
          <select value={scale} onChange={(event) => onScale(event.currentTarget.value as Transform)}>
            {TRANSFORMS.map((one) => (
              <option key={one} value={one}>
                {one === "none" ? "as measured" : `by its ${SCALES[one]}`}
              </option>
            ))}
          </select>
        </label>
        {trial.scales?.[response.name] === undefined ? null : (
          <p className="muted">The answer, its pictures and the best setting are read on this scale too.</p>
        )}
      </section>
      {simplified === undefined ? null : <SmallerModel simplified={simplified} />}
    </>
  );
}

const SCALES: Readonly<Record<Transform, string>> = {
  none: "value",
  log: "logarithm",
  "square root": "square root",
  inverse: "inverse",
};
