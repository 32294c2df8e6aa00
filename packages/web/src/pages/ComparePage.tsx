import { composeFormula } from "@evencrumb/core/composition";
import { type ComponentComparison, compareFormulas, type Formula, type IngredientChange } from "@evencrumb/core/formula";
import { formatGrams, formatPercent } from "@evencrumb/core/quantities";
import { useMemo } from "react";
import { addresses, go } from "../app/route.js";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { Consequences } from "../compare/Consequences.js";
import { AllergensReading } from "../margin/AllergensReading.js";
import { ContainsReading } from "../margin/ContainsReading.js";
import { TinsReading } from "../margin/TinsReading.js";
import { Aligned } from "../parts/Aligned.js";
import { useOwnedTins } from "../parts/useOwnedTins.js";
import { CostCompare } from "../price/CostCompare.js";
import { usePriceReader } from "../price/usePrice.js";
import { signedGrams } from "../sheet/differences.js";
import { allRevisions, type OpenFormula, useRevision, useSessionState } from "./FormulaPage.js";

/** Any two revisions side by side: what changed in plain sentences, then every weight, then what it means. */
export function ComparePage({ open, query }: { open: OpenFormula; query: URLSearchParams }) {
  const { session, detail } = open;
  const { id } = detail.document;
  const house = useHouse();
  const { book, settings } = useHouseState();
  const owned = useOwnedTins();
  const { formula, changed } = useSessionState(session);
  const revisions = allRevisions(detail, house);
  const leftId = query.get("left") ?? revisions[0]?.id ?? null;
  const rightId = query.get("right");
  const left = useRevision(house, id, leftId);
  const right = useRevision(house, id, rightId);
  const leftFormula = left?.body ?? null;
  const rightFormula: Formula | null = rightId === null ? formula : (right?.body ?? null);
  const readPrice = usePriceReader();
  const price = useMemo(() => readPrice?.(id, formula).document, [readPrice, id, formula]);
  const compared = useMemo(
    () => (leftFormula === null || rightFormula === null ? null : compareFormulas(leftFormula, rightFormula, book)),
    [leftFormula, rightFormula, book],
  );
  const show = (sides: { left?: string; right?: string | null }) => {
    const nextRight = sides.right === undefined ? rightId : sides.right;
    go(
      addresses.formula(id, "compare", { left: sides.left ?? leftId ?? "", ...(nextRight === null ? {} : { right: nextRight }) }),
      true,
    );
  };
  const nameOf = (revisionId: string | null) =>
    revisionId === null ? "the sheet" : `${revisions.find((one) => one.id === revisionId)?.number ?? "?"}`;
  const options = revisions.map((revision) => (
    <option key={revision.id} value={revision.id}>
      {revision.number}
      {revision.note === "" ? "" : `: ${revision.note}`}
    </option>
  ));

  return (
    <div className="page">
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.formula(id)}>
            ‹ {formula.name}
          </a>
          <h1>Side by side</h1>
        </div>
      </header>
      <div className="sides">
        <label className="field">
          <span className="label">From</span>
          <select value={leftId ?? ""} onChange={(event) => show({ left: event.currentTarget.value })}>
            {options}
          </select>
        </label>
        <label className="field">
          <span className="label">To</span>
          <select
            value={rightId ?? "now"}
            onChange={(event) => show({ right: event.currentTarget.value === "now" ? null : event.currentTarget.value })}
          >
            <option value="now">{changed ? "the sheet with its changes" : "the sheet"}</option>
            {options}
          </select>
        </label>
      </div>
      {compared === null || leftFormula === null || rightFormula === null ? (
        <p className="muted">Opening the revisions…</p>
      ) : compared.same ? (
        <p>Nothing differs between the two.</p>
      ) : (
        <>
          <section aria-label="What changed">
            <ul className="sentences large">
              {compared.summary.map((sentence) => (
                <li key={sentence}>{sentence}</li>
              ))}
            </ul>
          </section>
          <Consequences before={leftFormula} after={rightFormula} book={session.book} owned={owned} price={price?.inputs} />
          {price === undefined ? null : (
            <section aria-label="What it costs" className="stack">
              <h2>What it costs</h2>
              <CostCompare
                before={leftFormula}
                after={rightFormula}
                book={book}
                document={price}
                names={[nameOf(leftId), nameOf(rightId)]}
              />
              <p className="small muted">
                Both by the work, the oven and the prices of <a href={addresses.formula(id, "price")}>this product's price</a>.
              </p>
            </section>
          )}
          <section className="table-area" aria-label="Every weight">
            <table className="plain-table figures">
              <thead>
                <tr>
                  <th scope="col">Ingredient</th>
                  <th scope="col" className="figure">
                    {nameOf(leftId)}, g
                  </th>
                  <th scope="col" className="figure">
                    {nameOf(rightId)}, g
                  </th>
                  <th scope="col" className="figure">
                    change, g
                  </th>
                  <th scope="col" className="figure">
                    {nameOf(leftId)}, %
                  </th>
                  <th scope="col" className="figure">
                    {nameOf(rightId)}, %
                  </th>
                </tr>
              </thead>
              {compared.components.map((component) => (
                <ComponentTable key={component.name.after ?? component.name.before} component={component} />
              ))}
            </table>
          </section>
          <section className="consequences" aria-label="What it means">
            <div className="reading">
              <h2>What {nameOf(rightId)} contains</h2>
              <ContainsReading composition={composeFormula(rightFormula, book)} compared={composeFormula(leftFormula, book)} />
            </div>
            <div className="reading">
              <h2>In the tins</h2>
              <TinsReading formula={rightFormula} compared={leftFormula} book={book} owned={owned} settings={settings} />
            </div>
            <div className="reading">
              <h2>Allergens</h2>
              <AllergensReading
                allergens={composeFormula(rightFormula, book).product.allergens}
                compared={composeFormula(leftFormula, book).product.allergens}
              />
            </div>
          </section>
        </>
      )}
    </div>
  );
}

const NO_FIGURE = "–";

function ComponentTable({ component }: { component: ComponentComparison }) {
  const { settings } = useHouseState();
  const grams = (value: number | null) =>
    value === null ? NO_FIGURE : formatGrams(value, { bare: true, weighing: settings.rounding });
  const percent = (value: number | null) => (value === null ? NO_FIGURE : formatPercent(value).replace(/ ?%$/, ""));
  const { before, after } = component.totalGrams;
  return (
    <tbody>
      <tr>
        <th scope="rowgroup" colSpan={6} className="part-head">
          {component.name.after ?? component.name.before}
          {component.status === "added" || component.status === "removed" ? (
            <span className="difference"> {component.status}</span>
          ) : null}
        </th>
      </tr>
      {component.ingredients.map((change) => (
        <tr key={change.ingredient} data-changed={change.status !== "same" || undefined}>
          <th scope="row">
            {change.name}
            <span className="muted small">{placeWords(change)}</span>
          </th>
          <td className="figure">
            <Aligned text={grams(change.grams.before)} />
          </td>
          <td className="figure strong">
            <Aligned text={grams(change.grams.after)} />
          </td>
          <td className="figure">
            <span className="difference">{statusWords(change) ?? signedGrams(change.changeGrams, settings)}</span>
          </td>
          <td className="figure">
            <Aligned text={percent(change.percent.batch.before)} />
          </td>
          <td className="figure">
            <Aligned text={percent(change.percent.batch.after)} />
          </td>
        </tr>
      ))}
      <tr className="sum">
        <th scope="row">Together</th>
        <td className="figure">
          <Aligned text={grams(before)} />
        </td>
        <td className="figure">
          <Aligned text={grams(after)} />
        </td>
        <td className="figure">
          <span className="difference">{before === null || after === null ? null : signedGrams(after - before, settings)}</span>
        </td>
        <td className="figure" />
        <td className="figure" />
      </tr>
    </tbody>
  );
}

function statusWords(change: IngredientChange): string | null {
  if (change.status === "added") return "added";
  return change.status === "removed" ? "removed" : null;
}

function placeWords(change: IngredientChange): string {
  return change.moved.map(({ from, to }) => `, from ${from} to ${to}`).join("");
}
