import type { Pack } from "@evencrumb/core/ingredients";
import { formatMoney, packOn, priceHistory } from "@evencrumb/core/price";
import { formatGrams } from "@evencrumb/core/quantities";
import { useMemo } from "react";
import { addresses } from "../app/route.js";
import { useHouseState } from "../app/useHouse.js";
import { today } from "../parts/dates.js";
import { HistoryPicture } from "../price/HistoryPicture.js";
import { PriceListTools } from "../price/PriceListTools.js";
import { RiseAcross } from "../price/RiseAcross.js";
import { useProductPrices } from "../price/useProductPrices.js";
import "../style/price.css";

/** What the bakery pays: every price and how it moved, what has none, and what a rise does to all that is made. */
export function PricesPage() {
  const { book, settings, ready } = useHouseState();
  const products = useProductPrices();
  const { currency } = settings;
  const used = useMemo(
    () =>
      new Set(
        (products ?? []).flatMap(({ formula }) =>
          formula.components.flatMap(({ stages }) => stages.flatMap(({ uses }) => uses.map(({ ingredient }) => ingredient))),
        ),
      ),
    [products],
  );
  const priced = useMemo(
    () =>
      book.all
        .filter(({ packs }) => (packs ?? []).some((pack) => pack.currency === currency))
        .toSorted((one, other) => one.name.localeCompare(other.name, "en-GB")),
    [book, currency],
  );
  const unpriced = book.all.filter(
    ({ id, packs, parts }) =>
      used.has(id) && id !== "water" && parts === undefined && !(packs ?? []).some((pack) => pack.currency === currency),
  );
  const money = (minor: number) => formatMoney({ minor: Math.round(minor), currency });
  // All of it at once: what is above must not push down what is read already.
  if (!ready || products === undefined)
    return (
      <div className="page">
        <h1>Prices</h1>
        <p className="muted">Opening what is made here…</p>
      </div>
    );
  return (
    <div className="page">
      <header>
        <div className="stack tight">
          <h1>Prices</h1>
          <p className="muted">
            {priced.length === 0
              ? "None yet."
              : `${priced.length} ingredients have a price in ${currency}. A new price never replaces an old one: it counts from its day.`}
          </p>
        </div>
      </header>
      <PriceListTools />
      {unpriced.length === 0 ? null : (
        <p>
          Used and without a price in {currency}:{" "}
          {unpriced.map(({ id, name }, index) => (
            <span key={id}>
              {index > 0 ? ", " : ""}
              <a href={addresses.ingredients(id)}>{name}</a>
            </span>
          ))}
          .
        </p>
      )}
      {priced.length === 0 ? null : <RiseAcross products={products} book={book} ingredients={priced.map(({ id }) => id)} />}
      {priced.length === 0 ? (
        <p className="muted">
          Read a price list with the columns ingredient, pack_grams, price, currency, supplier and date, or add a price on the
          page of an <a href={addresses.ingredients()}>ingredient</a>. A formula's price page saves such a list to fill in.
        </p>
      ) : (
        <section aria-label="All prices" className="stack">
          <h2>All prices</h2>
          <div className="table-area">
            <table className="plain-table figures prices-table">
              <thead>
                <tr>
                  <th scope="col">Ingredient</th>
                  <th scope="col" className="figure">
                    a kg now
                  </th>
                  <th scope="col" className="figure">
                    change
                  </th>
                  <th scope="col">over time</th>
                  <th scope="col">pack</th>
                  <th scope="col">supplier</th>
                  <th scope="col">since</th>
                </tr>
              </thead>
              <tbody>
                {priced.map(({ id, name, packs }) => (
                  <PriceRow key={id} id={id} name={name} packs={packs ?? []} currency={currency} money={money} />
                ))}
              </tbody>
            </table>
          </div>
        </section>
      )}
    </div>
  );
}

function PriceRow({
  id,
  name,
  packs,
  currency,
  money,
}: {
  id: string;
  name: string;
  packs: readonly Pack[];
  currency: string;
  money: (minor: number) => string;
}) {
  const { settings } = useHouseState();
  const day = today();
  const points = priceHistory(packs, currency);
  const held = packOn(packs, day, currency);
  const now = points.findLast(({ pack }) => pack === held);
  return (
    <tr>
      <th scope="row">
        <a href={addresses.ingredients(id)}>{name}</a>
      </th>
      <td className="figure strong">{now === undefined ? <span className="muted">not by today</span> : money(now.perKgMinor)}</td>
      <td className="figure">
        {now?.changePercent === undefined ? null : (
          <span className="difference">
            {now.changePercent > 0 ? "+" : "−"}
            {Math.abs(now.changePercent).toFixed(1)} %
          </span>
        )}
      </td>
      <td>
        <HistoryPicture points={points} currency={currency} until={day} width={110} height={26} isBare />
      </td>
      <td>
        {held === undefined
          ? ""
          : `${formatGrams(held.grams, { weighing: settings.rounding, kilogramsFrom: 1000 })} for ${money(held.priceMinor)}`}
      </td>
      <td className="muted">{held?.supplier ?? ""}</td>
      <td className="muted">{held?.date ?? ""}</td>
    </tr>
  );
}
