import { type Amounts, type FormulaComposition, missingFigures, per100g } from "@evencrumb/core/composition";
import type { Nutrient } from "@evencrumb/core/ingredients";
import { formatPercent } from "@evencrumb/core/quantities";

/** What the bar is made of, in the order of the bowl. What is none of these is "other": fibre, ash, acids, the rest. */
export const BAR_PARTS = [
  { name: "water", of: (amounts: Amounts) => amounts.waterGrams },
  { name: "fat", of: (amounts: Amounts) => amounts.fatGrams },
  { name: "sugars", of: (amounts: Amounts) => amounts.sugarsGrams },
  { name: "starch", of: (amounts: Amounts) => amounts.starchGrams },
  { name: "protein", of: (amounts: Amounts) => amounts.proteinGrams },
] as const;
const BAR_NUTRIENTS: readonly Nutrient[] = ["water", "fat", "sugars", "starch", "protein"];

interface Part {
  readonly name: string;
  readonly percent: number;
}

export function barParts(amounts: Amounts): readonly Part[] {
  const parts = BAR_PARTS.map(({ name, of }): Part => ({ name, percent: of(amounts) }));
  const rest = 100 - parts.reduce((sum, { percent }) => sum + percent, 0);
  return [...parts, { name: "other", percent: Math.max(0, rest) }];
}

/** One bar for what is eaten, and under it its figures; a thin bar for each component. */
export function ContainsReading({
  composition,
  compared,
}: {
  composition: FormulaComposition;
  compared: FormulaComposition | null;
}) {
  const now = per100g(composition.product.finished);
  if (now === null) return <p className="muted">Nothing is weighed yet.</p>;
  const parts = barParts(now);
  const beforeAmounts = compared === null ? null : per100g(compared.product.finished);
  const before = beforeAmounts === null ? null : barParts(beforeAmounts);
  const missing = missingFigures(composition.product.finished, BAR_NUTRIENTS);
  const several = composition.components.filter(({ finished }) => finished.totalGrams > 0);
  return (
    <>
      <Bar parts={parts} label="What 100 g of the finished product contains" />
      {before === null ? null : <Bar parts={before} label="What the compared revision contains" thin />}
      <dl className={before === null ? "bar-figures figures" : "bar-figures compared figures"}>
        {parts.map(({ name, percent }, index) => (
          <div key={name}>
            <dt>
              <span className="swatch" style={{ background: `var(--${name})` }} />
              {name}
            </dt>
            <dd>
              {formatPercent(percent)}
              {before === null ? null : <span className="difference"> {signedPoints(percent - before[index]!.percent)}</span>}
            </dd>
          </div>
        ))}
      </dl>
      {several.length > 1 ? (
        <ul className="small-bars">
          {several.map(({ name, finished }) => {
            const amounts = per100g(finished);
            return amounts === null ? null : (
              <li key={name}>
                <span>{name}</span>
                <Bar parts={barParts(amounts)} label={`What 100 g of ${name} contains`} thin />
              </li>
            );
          })}
        </ul>
      ) : null}
      {missing.length > 0 ? (
        <p className="caution">
          At least this much:{" "}
          {missing.map(({ name, nutrients }) => `${name} has no figure for ${nutrients.join(", ")}`).join("; ")}.
        </p>
      ) : null}
    </>
  );
}

/** Names under a wide bar, each below its part; narrow parts are named by their colour in a list elsewhere. */
export function BarNames({ parts }: { parts: readonly Part[] }) {
  return (
    <div className="bar-names small figures" aria-hidden="true">
      {parts.map(({ name, percent }) => (
        <span key={name} style={{ width: `${percent}%` }}>
          {percent >= 8 ? `${name} ${formatPercent(percent, 0)}` : ""}
        </span>
      ))}
    </div>
  );
}

export function Bar({ parts, label, thin = false }: { parts: readonly Part[]; label: string; thin?: boolean }) {
  const words = parts.map(({ name, percent }) => `${name} ${formatPercent(percent, 0)}`).join(", ");
  return (
    <div className={thin ? "bar thin" : "bar"} role="img" aria-label={`${label}: ${words}`}>
      {parts.map(({ name, percent }) => (
        <span key={name} style={{ width: `${percent}%`, background: `var(--${name})` }} />
      ))}
    </div>
  );
}

/** "+0.4", "−1.2", "=": points of a percentage. */
export function signedPoints(points: number, decimals = 1): string {
  const text = Math.abs(points).toFixed(decimals);
  return Number(text) === 0 ? "=" : `${points > 0 ? "+" : "−"}${text}`;
}
