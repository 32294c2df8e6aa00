import type { IngredientBook } from "@evencrumb/core/ingredients";
import { formatMoney, type PricedProduct, type RiseEffect, riseAcross } from "@evencrumb/core/price";
import { useDeferredValue, useId, useMemo, useState } from "react";
import { addresses } from "../app/route.js";
import { Field } from "../parts/Field.js";

/** What a change of one ingredient's price does to every product that it is in, at the prices they have. */
export function RiseAcross({
  products,
  book,
  ingredients,
  first = "",
}: {
  products: readonly PricedProduct[];
  book: IngredientBook;
  /** Ids to choose from. */
  ingredients: readonly string[];
  first?: string;
}) {
  const [chosen, setChosen] = useState(first);
  const [percent, setPercent] = useState(10);
  const id = useId();
  const settled = useDeferredValue(percent);
  const effects = useMemo(
    () => (chosen === "" ? [] : riseAcross(products, book, chosen, settled)),
    [products, book, chosen, settled],
  );
  const name = book.get(chosen)?.name ?? chosen;
  return (
    <section aria-label="What if it gets dearer" className="stack">
      <h2>What if it gets dearer</h2>
      <div className="row rise-row">
        <Field label="Ingredient">
          {(field) => (
            <select {...field} value={chosen} onChange={(event) => setChosen(event.currentTarget.value)}>
              <option value="">choose one</option>
              {ingredients.map((one) => (
                <option key={one} value={one}>
                  {book.get(one)?.name ?? one}
                </option>
              ))}
            </select>
          )}
        </Field>
        <div className="field rise-slider">
          <label htmlFor={id}>{percent === 0 ? "the same" : percent > 0 ? `${percent} % dearer` : `${-percent} % cheaper`}</label>
          <input
            id={id}
            type="range"
            min={-30}
            max={100}
            step={1}
            value={percent}
            aria-valuetext={percent >= 0 ? `${percent} percent dearer` : `${-percent} percent cheaper`}
            onChange={(event) => setPercent(Number(event.currentTarget.value))}
          />
        </div>
      </div>
      {chosen === "" ? null : effects.length === 0 ? (
        <p className="muted">Nothing that is made here costs more by it: it is in no product, or it has no price yet.</p>
      ) : (
        <>
          <p role="status">{answer(effects, name)}</p>
          <EffectTable effects={effects} />
        </>
      )}
    </section>
  );
}

function answer(effects: readonly RiseEffect[], name: string): string {
  const below = effects.filter(({ fallsBelow }) => fallsBelow).map((effect) => effect.name);
  const all = `${name} is in ${effects.length === 1 ? "one product" : `${effects.length} products`}.`;
  const priced = effects.filter(({ aimPercent }) => aimPercent !== undefined).length;
  if (priced === 0) return `${all} None of them has a margin to keep yet.`;
  if (below.length === 0) return `${all} None falls below its margin.`;
  return `${all} Below ${below.length === 1 ? "its" : "their"} margin at the price now: ${below.join(", ")}.`;
}

function EffectTable({ effects }: { effects: readonly RiseEffect[] }) {
  const share = (value: number | undefined) => (value === undefined ? "–" : `${value.toFixed(1)} %`);
  return (
    <div className="table-area">
      <table className="plain-table figures effect-table">
        <thead>
          <tr>
            <th scope="col">Product</th>
            <th scope="col" className="figure">
              a cake costs
            </th>
            <th scope="col" className="figure">
              then
            </th>
            <th scope="col" className="figure">
              margin
            </th>
            <th scope="col" className="figure">
              then
            </th>
            <th scope="col">its price</th>
          </tr>
        </thead>
        <tbody>
          {effects.map((one) => {
            const money = (minor: number) => formatMoney({ minor: Math.round(minor), currency: one.currency });
            return (
              <tr key={one.id} data-below={one.fallsBelow || undefined}>
                <th scope="row">
                  <a href={addresses.formula(one.id, "price")}>{one.name}</a>
                  {one.missing.length > 0 ? <span className="muted small"> not all priced</span> : null}
                </th>
                <td className="figure">{money(one.costBeforeMinor)}</td>
                <td className="figure strong">{money(one.costAfterMinor)}</td>
                <td className="figure">{share(one.marginBeforePercent)}</td>
                <td className="figure strong">{share(one.marginAfterPercent)}</td>
                <td>
                  {one.priceMinor === undefined ? "none yet" : money(one.priceMinor)}
                  {one.fallsBelow ? (
                    <span className="caution-words">
                      {" "}
                      below {share(one.aimPercent)}
                      {one.priceToHoldMinor === undefined ? "" : `; ${money(one.priceToHoldMinor)} would hold it`}
                    </span>
                  ) : null}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}
