import { formatMoney, priceListFor, priceReport } from "@evencrumb/core/price";
import { useDeferredValue, useMemo } from "react";
import { addresses } from "../app/route.js";
import { useHouseState } from "../app/useHouse.js";
import { today } from "../parts/dates.js";
import { Field, problemWords } from "../parts/Field.js";
import { type PriceBody, readPrice, said } from "../price/body.js";
import { CostTable } from "../price/CostTable.js";
import { EnergyFields } from "../price/EnergyFields.js";
import { NumberField } from "../price/NumberField.js";
import { OverheadFields, PackagingFields } from "../price/OtherCosts.js";
import { OtherFigures } from "../price/OtherFigures.js";
import { PriceListTools } from "../price/PriceListTools.js";
import { RiseAcross } from "../price/RiseAcross.js";
import { SellingFields } from "../price/SellingFields.js";
import { useForecast } from "../price/useForecast.js";
import { usePrice } from "../price/usePrice.js";
import { WaterfallPicture } from "../price/WaterfallPicture.js";
import { WorkFields } from "../price/WorkFields.js";
import "../style/price.css";
import { type OpenFormula, useSessionState } from "./FormulaPage.js";

/** What a batch costs, what to ask for a cake, and what that hangs on. */
export function PricePage({ open }: { open: OpenFormula }) {
  const { id } = open.detail.document;
  const { formula: typed } = useSessionState(open.session);
  const formula = useDeferredValue(typed);
  const { book, settings } = useHouseState();
  const { body, change, ready, others, putAway } = usePrice(id, formula);
  const set = (part: Partial<PriceBody> | Record<string, undefined>) =>
    change((before) => said({ ...before, ...part } as PriceBody));
  const { document, problems } = useMemo(() => readPrice(body, settings), [body, settings]);
  const report = useMemo(() => priceReport(formula, book, document), [formula, book, document]);
  const forecast = useForecast(formula, book);
  const { currency } = body;
  const money = (minor: number) => formatMoney({ minor: Math.round(minor), currency });
  const { cost, price, breakEven } = report;
  const ingredients = useMemo(() => cost.lines.filter(({ kind }) => kind === "ingredient").map((line) => line.id), [cost]);
  const product = useMemo(() => [{ id, formula, document }], [id, formula, document]);
  const head = (
    <header>
      <div className="stack tight">
        <a className="back" href={addresses.formula(id)}>
          ‹ {formula.name}
        </a>
        <h1>Price</h1>
      </div>
      <div className="buttons">
        <a className="button plain" href={addresses.formula(id, "compare")}>
          Compare two revisions
        </a>
        <button type="button" className="button plain" onClick={() => window.print()}>
          Print
        </button>
      </div>
    </header>
  );
  // All of it at once: a form that is filled while it is looked at would move under the hand.
  if (!ready)
    return (
      <div className="page price-page">
        {head}
        <p className="muted">Opening what is known of it…</p>
      </div>
    );
  return (
    <div className="page price-page">
      {head}
      <OtherFigures
        body={body}
        others={others}
        onTake={(other) => {
          change(() => ({ ...other.body, name: body.name }));
          putAway(other.id);
        }}
        onPutAway={putAway}
      />
      {cost.lines.length === 0 ? (
        <p className="price-answer">Nothing is priced yet. Read a price list below, or give an ingredient its price.</p>
      ) : (
        <p className="price-answer">
          A cake costs <strong>{money(cost.perCakeMinor)}</strong>
          {cost.missing.length > 0 ? " at least" : ""}
          {price === undefined ? (
            "."
          ) : (
            <>
              {" "}
              and sells for <strong>{money(price.minor)}</strong>, leaving {money(price.profitMinor)}.
            </>
          )}
        </p>
      )}
      {price === undefined || cost.lines.length === 0 ? null : (
        <>
          <p className="muted">{price.words}</p>
          <WaterfallPicture bars={report.waterfall} currency={currency} />
        </>
      )}
      <dl className="price-figures figures" hidden={cost.lines.length === 0}>
        <Figure name="a batch" value={money(cost.batch.minor)} />
        <Figure name="a cake sold" value={money(cost.perCakeMinor)} />
        <Figure name="a portion" value={money(cost.perPortionMinor)} />
        {cost.per100gMinor === undefined ? null : <Figure name="100 g" value={money(cost.per100gMinor)} />}
        <Figure name="minutes of work" value={String(Math.round(cost.handsOnMinutes))} />
        <Figure name="minutes of waiting" value={String(Math.round(cost.waitingMinutes))} />
        {breakEven === undefined ? null : (
          <Figure name={`to earn ${money(breakEven.fixedMinor)} (${breakEven.name})`} value={`${breakEven.cakes} cakes`} />
        )}
      </dl>
      <ul className="sentences">
        {problems.map((problem) => (
          <li key={problem.path.join()} className="caution-words">
            {problem.path.join(", ")}: {problemWords(problem)}
          </li>
        ))}
        {currency === settings.currency ? null : (
          <li>
            This product is priced in {currency}, the bakery in {settings.currency}.{" "}
            <button type="button" className="button quiet" onClick={() => set({ currency: settings.currency })}>
              Take {settings.currency} for it; the amounts stay as they are typed
            </button>
          </li>
        )}
        {report.cautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      <div className="price-view">
        <section aria-label="Where it goes" className="stack">
          <h2>Where it goes</h2>
          <p className="muted small">
            Prices of {document.inputs.date}. What of an ingredient ends in the bowl is less than what is bought: peel, shell,
            what stays in the jar.
          </p>
          <CostTable
            cost={cost}
            usable={body.usablePercent ?? {}}
            money={money}
            onUsable={(ingredient, percent) => {
              const { [ingredient]: _before, ...rest } = body.usablePercent ?? {};
              const next = percent === undefined ? rest : { ...rest, [ingredient]: percent };
              set({ usablePercent: Object.keys(next).length === 0 ? undefined : next } as Partial<PriceBody>);
            }}
          />
          <RiseAcross products={product} book={book} ingredients={ingredients} />
          <p className="small">
            <a href={addresses.prices()}>What it does to everything that is made here</a>
          </p>
        </section>
        <section aria-label="What is counted" className="stack">
          <h2>What is counted</h2>
          <fieldset className="price-part">
            <legend>The batch</legend>
            <div className="row">
              <NumberField
                needed
                label="Cakes in a batch"
                value={body.cakes}
                least={1}
                most={100_000}
                onValue={(cakes) => set({ cakes: cakes ?? 1 })}
              />
              <NumberField
                needed
                label="Portions of a cake"
                value={body.portionsPerCake}
                least={1}
                most={10_000}
                onValue={(portionsPerCake) => set({ portionsPerCake: portionsPerCake ?? 1 })}
              />
              <Field label="Prices of" help={body.date === undefined ? "Empty: of today." : "Clear it for those of today."}>
                {(field) => (
                  <input
                    {...field}
                    type="date"
                    value={body.date ?? ""}
                    onChange={(event) => set({ date: event.currentTarget.value || undefined } as Partial<PriceBody>)}
                  />
                )}
              </Field>
              <NumberField
                label="Not sold, %"
                value={body.unsoldPercent}
                most={99.9}
                placeholder="0"
                onValue={(unsoldPercent) => set({ unsoldPercent } as Partial<PriceBody>)}
              />
            </div>
          </fieldset>
          <WorkFields body={body} settings={settings} onLabour={(labour) => set({ labour } as Partial<PriceBody>)} />
          <EnergyFields
            body={body}
            settings={settings}
            forecast={forecast}
            onEnergy={(energy) => set({ energy } as Partial<PriceBody>)}
          />
          <PackagingFields body={body} onPackaging={(packaging) => set({ packaging } as Partial<PriceBody>)} />
          <OverheadFields body={body} onOverhead={(overhead) => set({ overhead } as Partial<PriceBody>)} />
          <SellingFields
            body={body}
            settings={settings}
            priceNow={price}
            onSelling={(selling) => set({ selling } as Partial<PriceBody>)}
            onFixed={(fixed) => set({ fixed } as Partial<PriceBody>)}
          />
          <div className="stack price-list">
            <h2>Price list</h2>
            <p className="muted">
              The price last seen by today is taken. <a href={addresses.prices()}>All prices and their history</a>
            </p>
            <PriceListTools toFillIn={{ name: formula.name, text: () => priceListFor(formula, book, today(), currency) }} />
          </div>
        </section>
      </div>
    </div>
  );
}

function Figure({ name, value }: { name: string; value: string }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{value}</dd>
    </div>
  );
}
