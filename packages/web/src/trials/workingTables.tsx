import type { Analysis, GroupDifference, Simplified, TrialAnswer, TrialWorking } from "@evencrumb/core/trials";
import { chance, plain } from "./settingWords.js";

/** A table whose first column names the row and whose others are figures. */
export function FigureTable({ heads, rows }: { heads: readonly string[]; rows: readonly (readonly string[])[] }) {
  return (
    // A wide table is moved sideways by keyboard too.
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a part that scrolls must be reached by the keyboard
    <section className="scrolls" tabIndex={0}>
      <table className="plain-table figures">
        <thead>
          <tr>
            {heads.map((head, index) => (
              <th key={head} scope="col" className={index === 0 ? undefined : "figure"}>
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map(([name, ...cells], row) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: two rows may bear one name
            <tr key={row}>
              <th scope="row">{name}</th>
              {cells.map((cell, index) => (
                // biome-ignore lint/suspicious/noArrayIndexKey: a column has no other identity than its place
                <td key={index} className="figure">
                  {cell}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** What is left of nought by rounding is nought. */
const four = (value: number | undefined): string =>
  value === undefined ? "" : Math.abs(value) < 1e-9 ? "0" : value.toPrecision(4).replace("-", "−");
const p = (value: number | undefined): string => (value === undefined ? "" : chance(value).replace("less than", "<"));

/** Coefficients with their intervals; by REML with their degrees of freedom where cakes share something. */
export function Coefficients({ analysis }: { analysis: Analysis }) {
  if (analysis.mixed !== undefined)
    return (
      <FigureTable
        heads={["term", "estimate", "standard error", "from", "to", "degrees of freedom", "p"]}
        rows={analysis.mixed.coefficients.map((row) => [
          row.name,
          four(row.estimate),
          four(row.standardError),
          four(row.from),
          four(row.to),
          row.df.toFixed(1),
          p(row.p),
        ])}
      />
    );
  return (
    <FigureTable
      heads={["term", "estimate", "standard error", "from", "to", "p"]}
      rows={analysis.coefficients.map((row) => [
        row.name,
        four(row.estimate),
        four(row.standardError),
        four(row.from),
        four(row.to),
        p(row.p),
      ])}
    />
  );
}

/** By groups of terms, then term by term as the last one in. */
export function Anova({ analysis }: { analysis: Analysis }) {
  const { mixed, lackOfFit } = analysis;
  if (mixed !== undefined)
    return (
      <FigureTable
        heads={["term", "degrees of freedom", "of what it meets", "F", "p"]}
        rows={mixed.terms.map(({ name, df, denominatorDf, f, p: chanceOf }) => [
          name,
          String(df),
          denominatorDf.toFixed(1),
          four(f),
          p(chanceOf),
        ])}
      />
    );
  const rows = [
    ...analysis.groups,
    analysis.anova.residual,
    ...(lackOfFit === undefined ? [] : [lackOfFit.lackOfFit, lackOfFit.pureError]),
    analysis.anova.total,
  ];
  return (
    <>
      <FigureTable
        heads={["source", "degrees of freedom", "sum of squares", "F", "p"]}
        rows={rows.map((row) => [row.source, String(row.df), four(row.sumOfSquares), four(row.f), p(row.p)])}
      />
      <h3>Term by term, each as the last to enter</h3>
      <FigureTable
        heads={["term", "degrees of freedom", "sum of squares", "F", "p"]}
        rows={analysis.partial.map((row) => [
          row.source,
          String(row.df),
          four(row.sumOfSquares),
          row.meaningful ? four(row.f) : "–",
          row.meaningful ? p(row.p) : "–",
        ])}
      />
      {analysis.partial.some(({ meaningful }) => !meaningful) ? (
        <p className="muted">
          Linear terms of a blend are not tested one by one: nought is not "no effect" where shares make up a whole.
        </p>
      ) : null}
    </>
  );
}

export function Differences({ differences, unit }: { differences: readonly GroupDifference[]; unit: string }) {
  return (
    <FigureTable
      heads={[`difference, ${unit}`, "estimate", "from", "to", "p, all together"]}
      rows={differences.map(({ first, second, estimate, from, to, p: chanceOf }) => [
        `${second} less ${first}`,
        four(estimate),
        four(from),
        four(to),
        p(chanceOf),
      ])}
    />
  );
}

/** Two cakes: the difference, its test, and the test at the margin that matters. */
export function ComparisonFigures({
  result: { comparison, equivalence, pairs },
  names,
  unit,
  matters,
}: {
  result: TrialAnswer;
  names: readonly [string, string];
  unit: string;
  matters: number | undefined;
}) {
  if (comparison?.kind !== "compared") return null;
  const { difference, counts, sd } = comparison;
  return (
    <>
      <section className="stack" aria-labelledby="difference">
        <h2 id="difference">The difference</h2>
        <dl className="facts figures">
          <dt>
            Mean of {names[1]} less {names[0]}
          </dt>
          <dd>
            {plain(difference.estimate, 3)} {unit}, between {plain(difference.from, 3)} and {plain(difference.to, 3)} (
            {plain(difference.confidence * 100, 0)} %)
          </dd>
          <dt>Standard error</dt>
          <dd>
            {plain(difference.standardError, 3)} {unit}
          </dd>
          <dt>t</dt>
          <dd>
            {plain(difference.t, 3)} with {plain(difference.df, 1)} degrees of freedom
          </dd>
          <dt>p, if they were equal</dt>
          <dd>{chance(difference.p)}</dd>
          <dt>Standard deviation</dt>
          <dd>
            {plain(sd, 3)} {unit}, from {counts.join(" and ")} bakes
          </dd>
        </dl>
      </section>
      {equivalence === undefined || matters === undefined ? null : (
        <section className="stack" aria-labelledby="sameness">
          <h2 id="sameness">Sameness (two one-sided tests)</h2>
          <dl className="facts figures">
            <dt>What does not matter</dt>
            <dd>
              {Number.isFinite(equivalence.limits[0]) ? `from ${plain(equivalence.limits[0], 3)}` : "no lower limit"}
              {Number.isFinite(equivalence.limits[1]) ? ` to ${plain(equivalence.limits[1], 3)}` : ", no upper limit"} {unit}
            </dd>
            <dt>The 90 % interval</dt>
            <dd>
              {plain(equivalence.from, 3)} to {plain(equivalence.to, 3)} {unit}:{" "}
              {equivalence.equivalent ? "inside" : "not inside"}
            </dd>
            <dt>p, if the true difference were at the limit</dt>
            <dd>{chance(equivalence.p)}</dd>
          </dl>
        </section>
      )}
      {pairs === undefined || pairs.length === 0 ? null : (
        <section className="stack" aria-labelledby="pairs">
          <h2 id="pairs">The pairs</h2>
          <FigureTable
            heads={["pair", names[0], names[1], "difference"]}
            rows={pairs.map(({ label, first, second }) => [label, plain(first, 3), plain(second, 3), plain(second - first, 3)])}
          />
        </section>
      )}
    </>
  );
}

/** Several cakes put in order day by day: Friedman, and Page for the order in which they are named. */
export function Ranks({ ranks: { names, days, ranking, page } }: { ranks: NonNullable<TrialWorking["ranks"]> }) {
  return (
    <section className="stack" aria-labelledby="ranks">
      <h2 id="ranks">In order, day by day (Friedman)</h2>
      <p className="muted">Needs no normal errors. Place 1 is the best of its day; {days} whole days.</p>
      <FigureTable
        heads={["cake", "sum of places"]}
        rows={names.map((name, index) => [name, plain(ranking.rankSums[index]!, 1)])}
      />
      <dl className="facts figures">
        <dt>Friedman's chi-square</dt>
        <dd>
          {plain(ranking.friedman, 3)}, {ranking.df} degrees of freedom, p {chance(ranking.p)}
        </dd>
        <dt>F form (better for few days)</dt>
        <dd>
          {Number.isFinite(ranking.f) ? plain(ranking.f, 3) : "no limit"} with {ranking.fDf.join(" and ")}, p {chance(ranking.fP)}
        </dd>
        {page === undefined ? null : (
          <>
            <dt>Page, for the order {names.join(", ")}</dt>
            <dd>
              L {plain(page.l, 1)}, p {chance(page.p)}; only of use when that order was expected before
            </dd>
          </>
        )}
      </dl>
    </section>
  );
}

/** What could be left out, and what that costs. */
export function SmallerModel({ simplified: { steps, analysis } }: { simplified: Simplified }) {
  return (
    <section className="stack" aria-labelledby="smaller">
      <h2 id="smaller">A smaller model</h2>
      {steps.length === 0 ? (
        <p>No term can be left out: each is noticed, or another is made of it.</p>
      ) : (
        <>
          <p>
            Left out one after another, because they could not be noticed (p above 0.1):{" "}
            {steps.map(({ name, p: chanceOf }) => `${name} (${chance(chanceOf)})`).join(", ")}.
          </p>
          <p className="muted">
            What stays was chosen by the same data. Its intervals keep the spread that the full model leaves, and still hold a
            little less often than nineteen times in twenty. So the answer, the maps and the best setting come from the full model
            above.
          </p>
          <details className="more">
            <summary>Coefficients of the smaller model</summary>
            <Coefficients analysis={{ ...analysis }} />
          </details>
        </>
      )}
    </section>
  );
}
