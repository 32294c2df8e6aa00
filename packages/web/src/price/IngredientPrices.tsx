import type { Ingredient } from "@evencrumb/core/ingredients";
import { formatMoney, minorPerMajor, packOn, priceHistory } from "@evencrumb/core/price";
import { formatGrams, readGrams } from "@evencrumb/core/quantities";
import { type FormEvent, useState } from "react";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { today } from "../parts/dates.js";
import { Field } from "../parts/Field.js";
import { HistoryPicture } from "./HistoryPicture.js";
import "../style/price.css";

/** Packs and prices of one ingredient: each that was ever seen, the day from which it counted, and a picture of them. */
export function IngredientPrices({ ingredient }: { ingredient: Ingredient }) {
  const house = useHouse();
  const { settings, priceLists } = useHouseState();
  const [adding, setAdding] = useState(false);
  const [day, setDay] = useState(today());
  const { currency } = settings;
  const points = priceHistory(ingredient.packs, currency);
  const held = packOn(ingredient.packs, day, currency);
  const elsewhere = [...new Set((ingredient.packs ?? []).map((pack) => pack.currency))].filter((one) => one !== currency);
  const money = (minor: number) => formatMoney({ minor: Math.round(minor), currency });
  const written = priceLists.flatMap(({ body }) => body.entries).filter((entry) => entry.ingredient === ingredient.id);
  return (
    <section aria-label="Packs and prices" className="stack">
      <h2>Packs and prices</h2>
      {points.length === 0 ? (
        <p className="muted">No price in {currency} yet: what it is in costs more than is shown.</p>
      ) : (
        <>
          <HistoryPicture points={points} currency={currency} until={today()} />
          <div className="row">
            <Field label="Which price held on">
              {(field) => (
                <input {...field} type="date" value={day} onChange={(event) => setDay(event.currentTarget.value || today())} />
              )}
            </Field>
            <p className="held figures" role="status">
              {held === undefined ? (
                "None was known by then."
              ) : (
                <>
                  <strong>{money((held.priceMinor * 1000) / held.grams)} a kg</strong>
                  {held.date === undefined ? "" : `, seen on ${held.date}`}
                </>
              )}
            </p>
          </div>
          <table className="plain-table figures history-table">
            <thead>
              <tr>
                <th scope="col">from</th>
                <th scope="col">pack</th>
                <th scope="col" className="figure">
                  a kg
                </th>
                <th scope="col" className="figure">
                  change
                </th>
                <th scope="col">supplier</th>
                <th scope="col">
                  <span className="hidden-words">Take out</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {points.toReversed().map(({ pack, perKgMinor, changePercent, date, supplier }) => {
                const own = written.find((entry) => JSON.stringify(entry.pack) === JSON.stringify(pack));
                const words = `${formatGrams(pack.grams, { weighing: settings.rounding, kilogramsFrom: 1000 })} for ${money(pack.priceMinor)}`;
                return (
                  <tr key={JSON.stringify(pack)}>
                    <td>{date ?? "–"}</td>
                    <th scope="row">{words}</th>
                    <td className="figure">{money(perKgMinor)} a kg</td>
                    <td className="figure">
                      {changePercent === undefined
                        ? ""
                        : `${changePercent > 0 ? "+" : "−"}${Math.abs(changePercent).toFixed(1)} %`}
                    </td>
                    <td className="muted">{supplier ?? ""}</td>
                    <td>
                      {own === undefined ? null : (
                        <button
                          type="button"
                          className="button quiet"
                          aria-label={`Take out ${words}${date === undefined ? "" : `, seen on ${date}`}`}
                          onClick={() => house.removePrice(own)}
                        >
                          ×
                        </button>
                      )}
                    </td>
                  </tr>
                );
              })}
            </tbody>
          </table>
        </>
      )}
      {elsewhere.length === 0 ? null : <p className="muted small">There are prices in {elsewhere.join(", ")} as well.</p>}
      {adding ? (
        <AddPrice ingredient={ingredient} currency={currency} onDone={() => setAdding(false)} />
      ) : (
        <div className="buttons">
          <button type="button" className="button plain" onClick={() => setAdding(true)}>
            Add a price
          </button>
        </div>
      )}
    </section>
  );
}

function AddPrice({ ingredient, currency, onDone }: { ingredient: Ingredient; currency: string; onDone: () => void }) {
  const house = useHouse();
  const last = packOn(ingredient.packs, today(), currency);
  const [grams, setGrams] = useState(last === undefined ? "" : String(last.grams));
  const [price, setPrice] = useState("");
  const [supplier, setSupplier] = useState(last?.supplier ?? "");
  const [date, setDate] = useState(today());
  const [asked, setAsked] = useState(false);
  const weight = readGrams(grams);
  const amount = Number(price.trim().replace(",", "."));
  const wrongWeight = weight.ok ? (weight.value > 0 ? null : "Say what the pack weighs.") : weight.error.remedy;
  const wrongPrice = price.trim() === "" || !(amount >= 0 && amount <= 1e6) ? `Type a price such as 2.35 (${currency}).` : null;
  const save = (event: FormEvent) => {
    event.preventDefault();
    setAsked(true);
    if (wrongWeight !== null || wrongPrice !== null || !weight.ok) return;
    house.addPrices([
      {
        ingredient: ingredient.id,
        pack: {
          grams: weight.value,
          priceMinor: Math.round(amount * minorPerMajor(currency)),
          currency,
          ...(supplier.trim() === "" ? {} : { supplier: supplier.trim().slice(0, 200) }),
          ...(date === "" ? {} : { date }),
        },
      },
    ]);
    onDone();
  };
  return (
    <form onSubmit={save} className="stack add-price" aria-label="A price that was seen">
      <div className="row">
        <Field label="Weight of the pack" wrong={asked ? wrongWeight : null}>
          {(field) => (
            <input
              {...field}
              className="short"
              placeholder="1 kg"
              value={grams}
              onChange={(event) => setGrams(event.currentTarget.value)}
            />
          )}
        </Field>
        <Field label={`Price of the pack, ${currency}`} wrong={asked ? wrongPrice : null}>
          {(field) => (
            <input
              {...field}
              className="short"
              inputMode="decimal"
              placeholder="2.35"
              value={price}
              onChange={(event) => setPrice(event.currentTarget.value)}
            />
          )}
        </Field>
        <Field label="Seen on">
          {(field) => <input {...field} type="date" value={date} onChange={(event) => setDate(event.currentTarget.value)} />}
        </Field>
        <Field label="Supplier">
          {(field) => (
            <input {...field} maxLength={200} value={supplier} onChange={(event) => setSupplier(event.currentTarget.value)} />
          )}
        </Field>
      </div>
      <div className="buttons">
        <button type="submit" className="button main">
          Write it down
        </button>
        <button type="button" className="button plain" onClick={onDone}>
          Cancel
        </button>
      </div>
    </form>
  );
}
