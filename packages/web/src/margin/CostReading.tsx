import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import { formatMoney, priceReport } from "@evencrumb/core/price";
import { useMemo } from "react";
import { CostBar } from "../price/CostBar.js";
import { usePriceReader } from "../price/usePrice.js";
import "../style/price.css";

/** What a batch costs, by kind; what a cake costs and sells for, and how that differs from the compared revision. */
export function CostReading({
  id,
  formula,
  compared,
  book,
}: {
  id: string;
  formula: Formula;
  compared: Formula | null;
  book: IngredientBook;
}) {
  const read = usePriceReader();
  const document = useMemo(() => read?.(id, formula).document, [read, id, formula]);
  const now = useMemo(() => (document === undefined ? null : priceReport(formula, book, document)), [formula, book, document]);
  const before = useMemo(
    () => (document === undefined || compared === null ? null : priceReport(compared, book, document)),
    [compared, book, document],
  );
  if (now === null || document === undefined) return <p className="muted cost-reading">Working it out…</p>;
  const { cost, price } = now;
  const money = (minor: number) => formatMoney({ minor: Math.round(minor), currency: document.inputs.currency });
  if (cost.lines.length === 0)
    return <p className="muted cost-reading">Nothing of it has a price yet. Read a price list, and its cost stands here.</p>;
  const missing = cost.missing.map(({ name }) => name);
  return (
    <div className="cost-reading">
      <CostBar cost={cost} before={before?.cost ?? null} />
      <p className="figures">
        {missing.length > 0 ? "at least " : ""}
        <strong>{money(cost.perCakeMinor)}</strong> a cake
        {before === null ? null : <Difference minor={cost.perCakeMinor - before.cost.perCakeMinor} money={money} />}
        {price === undefined ? null : (
          <>
            , sells for {money(price.minor)}
            {before?.price === undefined ? null : <Difference minor={price.minor - before.price.minor} money={money} />}
            {price.marginPercent === undefined ? "" : `, margin ${price.marginPercent.toFixed(0)} %`}
          </>
        )}
      </p>
      {cost.handsOnMinutes === 0 ? <p className="small muted">No work is counted yet.</p> : null}
      {missing.length === 0 ? null : <p className="small caution">No price: {listed(missing)}.</p>}
    </div>
  );
}

const listed = (names: readonly string[]) =>
  names.length <= 3 ? names.join(", ") : `${names.slice(0, 3).join(", ")} and ${names.length - 3} more`;

function Difference({ minor, money }: { minor: number; money: (minor: number) => string }) {
  const rounded = Math.round(minor);
  return <span className="difference">{rounded === 0 ? " same" : ` ${rounded > 0 ? "+" : "−"}${money(Math.abs(rounded))}`}</span>;
}
