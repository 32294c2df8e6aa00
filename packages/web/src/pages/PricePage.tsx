import { type Formula, formulaGrams } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import {
  type CostLine,
  formatMoney,
  minorPerMajor,
  type PriceDocument,
  type PriceEntry,
  priceListFor,
  priceReport,
  readPriceList,
  type WaterfallBar,
  withPrices,
} from "@evencrumb/core/price";
import type { Problem } from "@evencrumb/core/quantities";
import { type ReactNode, useDeferredValue, useId, useMemo, useState } from "react";
import { addresses } from "../app/route.js";
import { useHouseState } from "../app/useHouse.js";
import { useKept } from "../keep/useKept.js";
import { today } from "../parts/dates.js";
import { download } from "../parts/download.js";
import { ProblemList } from "../parts/Field.js";
import "../style/price.css";
import { type OpenFormula, useSessionState } from "./FormulaPage.js";

/** As typed; kept on this device. Money in major units. */
interface PriceWords {
  readonly cakes: string;
  readonly portions: string;
  readonly unsold: string;
  readonly perHour: string;
  readonly minutes: string;
  readonly kwh: string;
  readonly perKwh: string;
  readonly packaging: string;
  readonly overheadPercent: string;
  readonly rule: "margin" | "mark-up" | "price";
  readonly ruleValue: string;
  readonly feePercent: string;
  readonly taxPercent: string;
  readonly fixed: string;
}
const FIRST: PriceWords = {
  cakes: "1",
  portions: "",
  unsold: "0",
  perHour: "",
  minutes: "",
  kwh: "",
  perKwh: "",
  packaging: "",
  overheadPercent: "",
  rule: "margin",
  ruleValue: "40",
  feePercent: "0",
  taxPercent: "0",
  fixed: "",
};
const RULES: readonly { readonly rule: PriceWords["rule"]; readonly words: string }[] = [
  { rule: "margin", words: "a margin of, % of the price" },
  { rule: "mark-up", words: "a mark-up of, % on the cost" },
  { rule: "price", words: "this price" },
];

/** What a batch costs, what to ask for a cake, and what that hangs on. */
export function PricePage({ open }: { open: OpenFormula }) {
  const { id } = open.detail.document;
  const { formula: typed } = useSessionState(open.session);
  const formula = useDeferredValue(typed);
  const { book, settings } = useHouseState();
  const { currency } = settings;
  const [words, setWords] = useKept<PriceWords>(`price.${id}`, {
    ...FIRST,
    portions: formula.portions === undefined ? "1" : String(formula.portions),
  });
  const set = (change: Partial<PriceWords>) => setWords({ ...words, ...change });
  const [list, setList] = useKept<{ entries: readonly PriceEntry[] }>("prices", { entries: [] });
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [rise, setRise] = useState({ ingredient: "", percent: 10 });
  const priced = useMemo(() => withPrices(book, list.entries), [book, list]);
  const document = useMemo(() => documentOf(words, currency), [words, currency]);
  const report = useMemo(
    () => priceReport(formula, priced, document, rise.ingredient === "" ? [] : [rise]),
    [formula, priced, document, rise],
  );
  const money = (minor: number) => formatMoney({ minor: Math.round(minor), currency });
  const { cost, price } = report;
  return (
    <div className="page">
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.formula(id)}>
            ‹ {formula.name}
          </a>
          <h1>Price</h1>
        </div>
      </header>
      {cost.lines.length === 0 ? (
        <p className="price-answer">Nothing is priced yet. Read a price list below, or give an ingredient its packs.</p>
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
          <Waterfall bars={report.waterfall} money={money} />
        </>
      )}
      <p className="muted figures" hidden={cost.lines.length === 0}>
        A batch {money(cost.batch.minor)} · a portion {money(cost.perPortionMinor)}
        {cost.per100gMinor === undefined ? "" : ` · 100 g ${money(cost.per100gMinor)}`} · {Math.round(cost.handsOnMinutes)}{" "}
        minutes of work
        {report.breakEven === undefined
          ? ""
          : ` · ${report.breakEven.cakes} cakes earn the ${money(report.breakEven.fixedMinor)}`}
      </p>
      <ul className="sentences">
        {report.cautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      <div className="price-view">
        <section aria-label="Where it goes" className="stack">
          <h2>Where it goes</h2>
          <CostTable lines={cost.lines} missing={cost.missing} money={money} />
          <Rise formula={formula} book={priced} rise={rise} onRise={setRise} />
          {report.rises.map((one) => (
            <p key={one.ingredient}>
              {book.get(one.ingredient)?.name ?? one.ingredient} {one.percent} % dearer: a cake costs{" "}
              {money(one.perCakeChangeMinor)} more
              {one.marginPercentAfter === undefined
                ? ""
                : `; at the same price the margin is ${one.marginPercentAfter.toFixed(1)} %`}
              . It is {(100 * one.shareOfCost).toFixed(0)} % of the cost now.
            </p>
          ))}
        </section>
        <section aria-label="What is counted" className="stack">
          <h2>What is counted</h2>
          <div className="row">
            <Amount label="Cakes in a batch" value={words.cakes} onValue={(cakes) => set({ cakes })} />
            <Amount label="Portions of a cake" value={words.portions} onValue={(portions) => set({ portions })} />
            <Amount label="Not sold, %" value={words.unsold} onValue={(unsold) => set({ unsold })} />
          </div>
          <div className="row">
            <Amount label={`An hour of work, ${currency}`} value={words.perHour} onValue={(perHour) => set({ perHour })} />
            <Amount label="Hands-on minutes" value={words.minutes} onValue={(minutes) => set({ minutes })} />
          </div>
          <div className="row">
            <Amount label="Oven and mixer, kWh" value={words.kwh} onValue={(kwh) => set({ kwh })} />
            <Amount label={`A kWh, ${currency}`} value={words.perKwh} onValue={(perKwh) => set({ perKwh })} />
          </div>
          <div className="row">
            <Amount
              label={`Packaging of a cake, ${currency}`}
              value={words.packaging}
              onValue={(packaging) => set({ packaging })}
            />
            <Amount label="Overhead, %" value={words.overheadPercent} onValue={(overheadPercent) => set({ overheadPercent })} />
          </div>
          <div className="row">
            <label className="field">
              <span className="label">Priced by</span>
              <select value={words.rule} onChange={(event) => set({ rule: event.currentTarget.value as PriceWords["rule"] })}>
                {RULES.map(({ rule, words: one }) => (
                  <option key={rule} value={rule}>
                    {one}
                  </option>
                ))}
              </select>
            </label>
            <Amount
              label={words.rule === "price" ? currency : "percent"}
              value={words.ruleValue}
              onValue={(ruleValue) => set({ ruleValue })}
            />
          </div>
          <div className="row">
            <Amount label="Card or stall fee, %" value={words.feePercent} onValue={(feePercent) => set({ feePercent })} />
            <Amount label="Tax on top, %" value={words.taxPercent} onValue={(taxPercent) => set({ taxPercent })} />
            <Amount label={`To be earned anyway, ${currency}`} value={words.fixed} onValue={(fixed) => set({ fixed })} />
          </div>
          <h2>Price list</h2>
          <p className="muted">
            {list.entries.length === 0 ? "No list is read yet" : `${list.entries.length} prices are read`}; prices given with an
            ingredient count too. The price last seen by today is taken.
          </p>
          <div className="buttons">
            <ListFile
              onText={(text) => {
                const reading = readPriceList(text, book);
                setProblems(reading.problems);
                if (reading.value.length > 0) setList({ entries: reading.value });
              }}
            />
            <button
              type="button"
              className="button"
              onClick={() => download(`${formula.name} prices.csv`, priceListFor(formula, priced, today(), currency), "text/csv")}
            >
              Save a list to fill in
            </button>
          </div>
          <ProblemList problems={problems} />
        </section>
      </div>
    </div>
  );
}

/** What is typed as the library takes it; what is no number is left out and so not counted. */
function documentOf(words: PriceWords, currency: string): PriceDocument {
  const number = (text: string, most = 1e6) => {
    const value = Number(text.replace(",", "."));
    return text.trim() !== "" && value >= 0 && value <= most ? value : undefined;
  };
  const minor = (text: string) => {
    const value = number(text);
    return value === undefined ? undefined : value * minorPerMajor(currency);
  };
  const perHourMinor = minor(words.perHour);
  const minutes = number(words.minutes);
  const [kwh, perKwhMinor] = [number(words.kwh), minor(words.perKwh)];
  const packaging = minor(words.packaging);
  const overhead = number(words.overheadPercent, 1000);
  const value = number(words.ruleValue);
  const fixed = minor(words.fixed);
  const unsoldPercent = number(words.unsold, 99.9);
  return {
    name: "Price",
    inputs: {
      currency,
      date: today(),
      cakes: Math.max(1, number(words.cakes) ?? 1),
      portionsPerCake: Math.max(1, number(words.portions) ?? 1),
      ...(unsoldPercent === undefined ? {} : { unsoldPercent }),
      ...(perHourMinor === undefined || minutes === undefined
        ? {}
        : { labour: { perHourMinor, stages: [{ name: "Work", handsOnMinutes: minutes }] } }),
      ...(kwh === undefined || perKwhMinor === undefined ? {} : { energy: { kwh, perKwhMinor, basis: "stated" } }),
      ...(packaging === undefined ? {} : { packaging: [{ name: "Packaging", minor: packaging, per: "cake" }] }),
      ...(overhead === undefined ? {} : { overhead: [{ name: "Overhead", percent: overhead }] }),
    },
    ...(value === undefined
      ? {}
      : {
          settings: {
            rule:
              words.rule === "price"
                ? { kind: "price", minor: value * minorPerMajor(currency) }
                : { kind: words.rule, percent: value },
            feePercent: number(words.feePercent, 100) ?? 0,
            taxPercent: number(words.taxPercent, 100) ?? 0,
          },
        }),
    ...(fixed === undefined ? {} : { fixed: { name: "fixed costs", minor: fixed } }),
  };
}

function Amount({ label, value, onValue }: { label: string; value: string; onValue: (value: string) => void }) {
  const wrong = value.trim() !== "" && !(Number(value.replace(",", ".")) >= 0);
  const id = useId();
  return (
    <div className="field">
      <label className="label" htmlFor={id}>
        {label}
      </label>
      <input
        id={id}
        className="short"
        inputMode="decimal"
        value={value}
        aria-invalid={wrong}
        onChange={(event) => onValue(event.currentTarget.value)}
      />
      {wrong ? <span className="wrong">A number such as 12.50.</span> : null}
    </div>
  );
}

function ListFile({ onText }: { onText: (text: string) => void }): ReactNode {
  return (
    <label className="button">
      Read a price list…
      <input
        type="file"
        accept=".csv,text/csv"
        className="file-input"
        onChange={(event) => {
          const file = event.currentTarget.files?.[0];
          if (file !== undefined) void file.text().then(onText);
          event.currentTarget.value = "";
        }}
      />
    </label>
  );
}

function Rise({
  formula,
  book,
  rise,
  onRise,
}: {
  formula: Formula;
  book: IngredientBook;
  rise: { ingredient: string; percent: number };
  onRise: (rise: { ingredient: string; percent: number }) => void;
}) {
  const ids = [
    ...new Set(
      formula.components.flatMap(({ stages }) => stages.flatMap(({ uses }) => uses.map(({ ingredient }) => ingredient))),
    ),
  ];
  if (formulaGrams(formula) === 0) return null;
  return (
    <div className="row">
      <label className="field">
        <span className="label">What if this gets dearer</span>
        <select value={rise.ingredient} onChange={(event) => onRise({ ...rise, ingredient: event.currentTarget.value })}>
          <option value="">nothing</option>
          {ids.map((id) => (
            <option key={id} value={id}>
              {book.get(id)?.name ?? id}
            </option>
          ))}
        </select>
      </label>
      <label className="field">
        <span className="label">by, %</span>
        <input
          type="number"
          className="short"
          min={-90}
          max={500}
          value={rise.percent}
          onChange={(event) => onRise({ ...rise, percent: Math.max(-90, Math.min(500, Number(event.currentTarget.value) || 0)) })}
        />
      </label>
    </div>
  );
}

function CostTable({
  lines,
  missing,
  money,
}: {
  lines: readonly CostLine[];
  missing: readonly { readonly ingredient: string; readonly name: string; readonly why: string }[];
  money: (minor: number) => string;
}) {
  return (
    <table className="plain-table figures">
      <thead>
        <tr>
          <th scope="col">Of a batch</th>
          <th scope="col" className="figure">
            cost
          </th>
          <th scope="col">worked out from</th>
        </tr>
      </thead>
      <tbody>
        {lines.map((line) => (
          <tr key={`${line.kind} ${line.id}`}>
            <th scope="row">{line.name}</th>
            <td className="figure">{money(line.cost.minor)}</td>
            <td className="muted small">{line.from}</td>
          </tr>
        ))}
        {missing.map((one) => (
          <tr key={`missing ${one.ingredient}`}>
            <th scope="row">{one.name}</th>
            <td className="figure caution-words">not known</td>
            <td className="muted small">{one.why}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** The price built up from its parts, each standing on the one before. */
function Waterfall({ bars, money }: { bars: readonly WaterfallBar[]; money: (minor: number) => string }) {
  if (bars.length === 0) return null;
  const most = Math.max(...bars.map(({ fromMinor, toMinor }) => Math.max(fromMinor, toMinor)), 1);
  const least = Math.min(0, ...bars.map(({ fromMinor, toMinor }) => Math.min(fromMinor, toMinor)));
  const x = (minor: number) => ((minor - least) / (most - least)) * 100;
  return (
    <ul className="waterfall" aria-label="The price from its parts">
      {bars.map(({ name, kind, fromMinor, toMinor }) => (
        <li key={name}>
          <span>{name}</span>
          <span className="waterfall-lane" aria-hidden="true">
            <span
              className={`waterfall-bar waterfall-${kind}`}
              style={{
                left: `${x(Math.min(fromMinor, toMinor))}%`,
                width: `${Math.max(0.4, Math.abs(x(toMinor) - x(fromMinor)))}%`,
              }}
            />
          </span>
          <span className="figures">{money(toMinor - fromMinor)}</span>
        </li>
      ))}
    </ul>
  );
}
