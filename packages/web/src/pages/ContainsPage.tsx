import { type Amounts, amountsIn, type Composition, type PartComposition, type Total } from "@evencrumb/core/composition";
import type { Nutrient } from "@evencrumb/core/ingredients";
import { formatGrams } from "@evencrumb/core/quantities";
import { Fragment, useState } from "react";
import { addresses } from "../app/route.js";
import { useHouseState } from "../app/useHouse.js";
import { AllergensReading } from "../margin/AllergensReading.js";
import { Bar, BarNames, barParts } from "../margin/ContainsReading.js";
import { Aligned } from "../parts/Aligned.js";
import { type OpenFormula, useSessionState } from "./FormulaPage.js";

const ROWS: readonly {
  readonly nutrient: Nutrient;
  readonly label: string;
  readonly of: (amounts: Amounts) => number;
  readonly within?: true;
  readonly unit?: string;
}[] = [
  { nutrient: "energyKj", label: "energy", of: (a) => a.energyKj, unit: "kJ" },
  { nutrient: "energyKcal", label: "energy", of: (a) => a.energyKcal, unit: "kcal" },
  { nutrient: "water", label: "water", of: (a) => a.waterGrams },
  { nutrient: "fat", label: "fat", of: (a) => a.fatGrams },
  { nutrient: "saturates", label: "saturates", of: (a) => a.saturatesGrams, within: true },
  { nutrient: "monounsaturates", label: "monounsaturates", of: (a) => a.monounsaturatesGrams, within: true },
  { nutrient: "polyunsaturates", label: "polyunsaturates", of: (a) => a.polyunsaturatesGrams, within: true },
  { nutrient: "carbohydrate", label: "carbohydrate with fibre", of: (a) => a.carbohydrateGrams },
  { nutrient: "sugars", label: "sugars", of: (a) => a.sugarsGrams, within: true },
  { nutrient: "sucrose", label: "sucrose", of: (a) => a.sucroseGrams, within: true },
  { nutrient: "glucose", label: "glucose", of: (a) => a.glucoseGrams, within: true },
  { nutrient: "fructose", label: "fructose", of: (a) => a.fructoseGrams, within: true },
  { nutrient: "lactose", label: "lactose", of: (a) => a.lactoseGrams, within: true },
  { nutrient: "starch", label: "starch", of: (a) => a.starchGrams, within: true },
  { nutrient: "fibre", label: "fibre", of: (a) => a.fibreGrams, within: true },
  { nutrient: "protein", label: "protein", of: (a) => a.proteinGrams },
  { nutrient: "sodium", label: "salt (sodium × 2.5)", of: (a) => a.saltGrams },
  { nutrient: "ash", label: "ash", of: (a) => a.ashGrams },
  { nutrient: "alcohol", label: "alcohol", of: (a) => a.alcoholGrams },
];

/** What a part contains, and where every figure comes from. */
export function ContainsPage({ open }: { open: OpenFormula }) {
  const { id } = open.detail.document;
  const { formula, derived } = useSessionState(open.session);
  const { settings } = useHouseState();
  const { product, components } = derived.composition;
  const parts: readonly PartComposition[] = [product, ...components];
  const [partIndex, setPartIndex] = useState(0);
  const [state, setState] = useState<"finished" | "mixed">("finished");
  const part = parts[partIndex] ?? product;
  const composition = part[state];
  const portionGrams = formula.portions === undefined || partIndex !== 0 ? null : composition.totalGrams / formula.portions;
  const hundred = amountsIn(composition, 100);
  return (
    <div className="page">
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.formula(id)}>
            ‹ {formula.name}
          </a>
          <h1>What it contains</h1>
        </div>
        <div className="buttons">
          <label className="pick">
            of
            <select value={partIndex} onChange={(event) => setPartIndex(Number(event.currentTarget.value))}>
              {parts.map(({ name }, index) => (
                // biome-ignore lint/suspicious/noArrayIndexKey: the place is what is chosen
                <option key={index} value={index}>
                  {index === 0 ? "the whole product" : name}
                </option>
              ))}
            </select>
          </label>
          <label className="pick">
            as
            <select value={state} onChange={(event) => setState(event.currentTarget.value as typeof state)}>
              <option value="finished">finished, after its loss</option>
              <option value="mixed">mixed</option>
            </select>
          </label>
        </div>
      </header>
      {hundred === null ? (
        <p className="muted">Nothing is weighed yet.</p>
      ) : (
        <>
          <div>
            <Bar parts={barParts(hundred)} label="What 100 g contains" />
            <BarNames parts={barParts(hundred)} />
          </div>
          <p className="muted figures">
            {formatGrams(composition.totalGrams, { weighing: settings.rounding })}
            {composition.lostGrams > 0
              ? `, after losing ${formatGrams(composition.lostGrams, { weighing: settings.rounding })} of water`
              : ""}
            {portionGrams === null ? "" : `, ${formatGrams(portionGrams, { weighing: settings.rounding })} a portion`}. Open a
            line to see what it is made of.
          </p>
          <NutrientTable composition={composition} portionGrams={portionGrams} />
        </>
      )}
      <section className="reading narrow-reading">
        <h2>Allergens</h2>
        <AllergensReading allergens={part.allergens} compared={null} />
        <p className="muted small">
          As named in Annex II of Regulation (EU) 1169/2011, by the ingredients as they are known here. Local food law and your
          own packets decide.
        </p>
      </section>
    </div>
  );
}

function NutrientTable({ composition, portionGrams }: { composition: Composition; portionGrams: number | null }) {
  const [open, setOpen] = useState<Nutrient | null>(null);
  const hundred = amountsIn(composition, 100);
  const portion = portionGrams === null ? null : amountsIn(composition, portionGrams);
  const batch = amountsIn(composition, composition.totalGrams);
  if (hundred === null || batch === null) return null;
  return (
    <table className="plain-table figures nutrient-table">
      <thead>
        <tr>
          <th scope="col">Of it</th>
          <th scope="col" className="figure">
            in 100 g
          </th>
          {portion === null ? null : (
            <th scope="col" className="figure">
              in a portion
            </th>
          )}
          <th scope="col" className="figure">
            in the batch
          </th>
        </tr>
      </thead>
      <tbody>
        {ROWS.map(({ nutrient, label, of, within, unit }) => {
          const total = composition.totals[nutrient];
          const opened = open === nutrient;
          const show = (amounts: Amounts) => amountText(of(amounts), unit, total);
          return (
            <Fragment key={nutrient}>
              <tr>
                <th scope="row" className={within ? "within" : undefined}>
                  <button
                    type="button"
                    className="unfold"
                    aria-expanded={opened}
                    onClick={() => setOpen(opened ? null : nutrient)}
                  >
                    {label}
                  </button>
                </th>
                <td className="figure">
                  <Aligned text={show(hundred)} /> <span className="unit muted">{unit ?? "g"}</span>
                </td>
                {portion === null ? null : (
                  <td className="figure">
                    <Aligned text={show(portion)} /> <span className="unit muted">{unit ?? "g"}</span>
                  </td>
                )}
                <td className="figure">
                  <Aligned text={show(batch)} /> <span className="unit muted">{unit ?? "g"}</span>
                </td>
              </tr>
              {opened ? (
                <tr>
                  <td colSpan={portion === null ? 3 : 4} className="unfolded">
                    <Contributions total={total} unit={unit ?? "g"} />
                  </td>
                </tr>
              ) : null}
            </Fragment>
          );
        })}
      </tbody>
    </table>
  );
}

/** With something missing it is a lower bound, and says so. */
function amountText(amount: number, unit: string | undefined, total: Total): string {
  const text = unit === undefined ? amount.toFixed(amount < 10 ? 2 : 1) : Math.round(amount).toLocaleString("en-GB");
  return total.missing.some(({ useGrams }) => useGrams > 0) ? `≥ ${text}` : text;
}

function Contributions({ total, unit }: { total: Total; unit: string }) {
  const { settings } = useHouseState();
  const sorted = total.contributions
    .filter(({ amount }) => (amount ?? 0) > 0)
    .toSorted((a, b) => (b.amount ?? 0) - (a.amount ?? 0));
  return (
    <>
      {sorted.length === 0 ? <p className="muted">No ingredient is known to bring any.</p> : null}
      <ul className="contributions">
        {sorted.map((one) => (
          <li key={`${one.component}-${one.stage}-${one.ingredient}`}>
            <span>
              {one.name} <span className="muted small">{formatGrams(one.useGrams, { weighing: settings.rounding })}</span>
            </span>
            <span className="figures">
              {(one.amount ?? 0).toFixed((one.amount ?? 0) < 10 ? 2 : 1)} {unit}
            </span>
            <span className="muted small source">{one.source}</span>
          </li>
        ))}
        {total.missing.map((one) => (
          <li key={`missing-${one.component}-${one.stage}-${one.ingredient}`} className="missing">
            <span>
              {one.name} <span className="small">{formatGrams(one.useGrams, { weighing: settings.rounding })}</span>
            </span>
            <span>not known</span>
            <span className="small source">{one.source}</span>
          </li>
        ))}
      </ul>
    </>
  );
}
