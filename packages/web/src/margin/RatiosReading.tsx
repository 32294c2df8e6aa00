import { balanceOf, type Ratio } from "@evencrumb/core/composition";
import type { Component, Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import { formatPercent } from "@evencrumb/core/quantities";
import { signedPoints } from "./ContainsReading.js";

/** The ratios that bakers balance a cake by, each on a line with its usual range. */
export function RatiosReading({ formula, compared, book }: { formula: Formula; compared: Formula | null; book: IngredientBook }) {
  const cakes = formula.components.filter(({ kind }) => kind === "cake");
  if (cakes.length === 0) return <p className="muted">There is no cake in this formula to balance.</p>;
  return (
    <>
      {cakes.map((component) => (
        <Balance
          key={component.name}
          component={component}
          compared={compared?.components.find(({ name }) => name === component.name) ?? null}
          book={book}
          headed={cakes.length > 1}
        />
      ))}
    </>
  );
}

function Balance({
  component,
  compared,
  book,
  headed,
}: {
  component: Component;
  compared: Component | null;
  book: IngredientBook;
  headed: boolean;
}) {
  const report = balanceOf(component, book);
  const before = compared === null ? null : balanceOf(compared, book, { family: report.family });
  const known = report.ratios.filter(({ percent }) => percent !== null);
  if (known.length === 0) return <p className="muted">Weigh the flour, and its ratios stand here.</p>;
  return (
    <div className="tins-of">
      {headed ? <h3 className="small-head">{component.name}</h3> : null}
      <p className="muted small">
        Read as {report.family}: {report.familyBecause}.
      </p>
      <ul className="ratios">
        {known.map((ratio) => (
          <RatioLine
            key={ratio.name}
            ratio={ratio}
            before={before?.ratios.find(({ name }) => name === ratio.name)?.percent ?? null}
          />
        ))}
      </ul>
      <p className="small muted">{report.sugarInWater.sentence}</p>
    </div>
  );
}

const STANDS: Readonly<Partial<Record<Ratio["stands"], string>>> = { below: "below", above: "above" };

function RatioLine({ ratio, before }: { ratio: Ratio; before: number | null }) {
  const { percent, range, stands, words, sentence } = ratio;
  if (percent === null) return null;
  const outside = STANDS[stands];
  const full = Math.max(percent, before ?? 0, range?.to ?? 0, range?.from ?? 0) * 1.18 || 1;
  const x = (value: number) => `${(value / full) * 100}%`;
  return (
    <li className="ratio" title={range === null ? sentence : `${sentence} Source: ${range.source}`}>
      <span>{words}</span>
      <span className="figures">
        {outside === undefined ? null : <span className="out">{outside} </span>}
        {formatPercent(percent, 0)}
        {before === null ? null : <span className="difference"> {signedPoints(percent - before, 0)}</span>}
      </span>
      <svg role="img" aria-label={sentence}>
        <line className="ratio-track" x1="0" x2="100%" y1="50%" y2="50%" />
        {range === null ? null : (
          <line
            className="ratio-range"
            x1={x(range.from ?? 0)}
            x2={range.to === undefined ? "100%" : x(range.to)}
            y1="50%"
            y2="50%"
          />
        )}
        {before === null ? null : <circle className="ratio-before" cx={x(before)} cy="50%" r="5" />}
        <circle className="ratio-now" cx={x(percent)} cy="50%" r="5" />
      </svg>
      {outside === undefined ? null : <span className="range">{sentence}</span>}
    </li>
  );
}
