import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import { comparePrices, formatMoney, type PriceDocument, priceReport } from "@evencrumb/core/price";
import { useMemo } from "react";
import { CostBar } from "./CostBar.js";
import "../style/price.css";

/** The cost of two revisions side by side: one batch of each by the same work and prices, and the lines that differ. */
export function CostCompare({
  before,
  after,
  book,
  document,
  names,
}: {
  before: Formula;
  after: Formula;
  book: IngredientBook;
  document: PriceDocument;
  names: readonly [string, string];
}) {
  const [one, other] = useMemo(
    () => [priceReport(before, book, document), priceReport(after, book, document)],
    [before, after, book, document],
  );
  const changes = useMemo(() => comparePrices(before, after, book, document), [before, after, book, document]);
  const money = (minor: number) => formatMoney({ minor: Math.round(minor), currency: document.inputs.currency });
  const signed = (minor: number) => {
    const rounded = Math.round(minor);
    return rounded === 0 ? money(0) : `${rounded > 0 ? "+" : "−"}${money(Math.abs(rounded))}`;
  };
  const missing = [...new Set([...one.cost.missing, ...other.cost.missing].map(({ name }) => name))];
  if (one.cost.lines.length === 0 && other.cost.lines.length === 0)
    return <p className="muted">Nothing of the two has a price yet.</p>;
  const rows: readonly (readonly [string, number, number])[] = [
    ...changes.map(({ name, beforeMinor, afterMinor }) => [name, beforeMinor, afterMinor] as const),
  ];
  const sums: readonly (readonly [string, number | undefined, number | undefined])[] = [
    ["A batch", one.cost.batch.minor, other.cost.batch.minor],
    ["A cake", one.cost.perCakeMinor, other.cost.perCakeMinor],
    ["A portion", one.cost.perPortionMinor, other.cost.perPortionMinor],
    ["100 g", one.cost.per100gMinor, other.cost.per100gMinor],
    ["Price of a cake", one.price?.minor, other.price?.minor],
  ];
  return (
    <>
      <CostBar cost={other.cost} before={one.cost} />
      <div className="table-area">
        <table className="plain-table figures cost-compare">
          <thead>
            <tr>
              <th scope="col">Of a batch</th>
              <th scope="col" className="figure">
                {names[0]}
              </th>
              <th scope="col" className="figure">
                {names[1]}
              </th>
              <th scope="col" className="figure">
                change
              </th>
            </tr>
          </thead>
          <tbody>
            {rows.map(([name, was, is]) => (
              <tr key={name}>
                <th scope="row">{name}</th>
                <td className="figure">{money(was)}</td>
                <td className="figure strong">{money(is)}</td>
                <td className="figure">
                  <span className="difference">{signed(is - was)}</span>
                </td>
              </tr>
            ))}
          </tbody>
          <tbody>
            {sums.map(([name, was, is]) =>
              was === undefined || is === undefined ? null : (
                <tr key={name} className="part-sum">
                  <th scope="row">{name}</th>
                  <td className="figure">{money(was)}</td>
                  <td className="figure strong">{money(is)}</td>
                  <td className="figure">
                    <span className="difference">{signed(is - was)}</span>
                  </td>
                </tr>
              ),
            )}
          </tbody>
        </table>
      </div>
      {missing.length === 0 ? null : <p className="caution">Not priced, and not in the sums: {missing.join(", ")}.</p>}
    </>
  );
}
