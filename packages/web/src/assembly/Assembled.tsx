import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import { type AssembleOptions, assembleCake, type CoverNeed, coverNeeds } from "@evencrumb/core/keeping";
import { formatGrams } from "@evencrumb/core/quantities";
import type { NamedTin } from "@evencrumb/core/tins";
import { useMemo, useState } from "react";
import { StackPicture } from "./StackPicture.js";
import "../style/assembly.css";

interface Wanted {
  readonly fillingMm: string;
  readonly topMm: string;
  readonly sidesMm: string;
  readonly syrupPer100g: string;
  readonly crumbHeightMm: string;
  readonly cutInto: string;
  readonly cover: NonNullable<AssembleOptions["cover"]>;
}

/** Usual thicknesses, as `coverNeeds` takes them when nothing is said. */
const USUAL: Wanted = {
  fillingMm: "6",
  topMm: "5",
  sidesMm: "4",
  syrupPer100g: "12",
  crumbHeightMm: "",
  cutInto: "",
  cover: "top",
};

/** The finished cake as it stands on the board, and what a wanted thickness of filling, icing and syrup takes. */
export function Assembled({ formula, book, owned }: { formula: Formula; book: IngredientBook; owned: readonly NamedTin[] }) {
  const [wanted, setWanted] = useState(USUAL);
  const { cake, needs } = useMemo(() => {
    const options = { owned, cover: wanted.cover, ...figures(wanted) };
    return { cake: assembleCake(formula, book, options).value, needs: coverNeeds(formula, book, options).value };
  }, [formula, book, owned, wanted]);
  if (cake === undefined) return null;
  const field = (name: Exclude<keyof Wanted, "cover">, label: string, unit: string) => (
    <Figure
      key={name}
      label={label}
      unit={unit}
      value={wanted[name]}
      placeholder={name === "crumbHeightMm" ? "worked out" : name === "cutInto" ? "2" : USUAL[name]}
      wrong={wrongWords(name, wanted[name])}
      onValue={(value) => setWanted((all) => ({ ...all, [name]: value }))}
    />
  );
  return (
    <section aria-label="The assembled cake" className="stack">
      <h2>The assembled cake</h2>
      <div className="assembled">
        <div className="stack">
          <StackPicture cake={cake} />
          <p className="figures">
            <strong>{Math.round(cake.heightMm.likely)} mm</strong> high ({Math.round(cake.heightMm.from)} to{" "}
            {Math.round(cake.heightMm.to)}, predicted), <strong>{formatGrams(cake.grams)}</strong>
            {cake.pieces > 1 ? `, ${cake.pieces} of them` : ""}
            {cake.slice === undefined ? "." : `; a slice of ${cake.slice.portions} is ${formatGrams(cake.slice.grams)}.`}
          </p>
          <div className="row assembled-fields">
            {field("crumbHeightMm", "one baked layer, measured", "mm")}
            {field("cutInto", "one deep cake is cut into", "layers")}
            <label className="field">
              <span className="label">icing goes</span>
              <select
                value={wanted.cover}
                onChange={(event) => {
                  const cover = event.currentTarget.value as Wanted["cover"];
                  setWanted((all) => ({ ...all, cover }));
                }}
              >
                <option value="top">on top</option>
                <option value="top-and-sides">on top and round</option>
              </select>
            </label>
          </div>
          {cake.assumptions.length === 0 ? null : (
            <details className="assumed">
              <summary>What was assumed</summary>
              <ul className="sentences small muted">
                {[
                  ...new Set([...cake.assumptions, ...cake.layers.map(({ name, densityBasis }) => `${name}: ${densityBasis}`)]),
                ].map((words) => (
                  <li key={words}>{words}</li>
                ))}
              </ul>
            </details>
          )}
        </div>
        <div className="stack">
          <h3>What a wanted thickness takes</h3>
          <table className="plain-table figures">
            <thead>
              <tr>
                <th scope="col">For the whole batch</th>
                <th scope="col" className="figure">
                  thickness
                </th>
                <th scope="col" className="figure">
                  needs, g
                </th>
                <th scope="col" className="figure">
                  makes, g
                </th>
              </tr>
            </thead>
            <tbody>
              {needs.map((need) => (
                <tr key={need.what}>
                  <th scope="row">
                    {WORDS[need.what]}
                    {need.areaCm2 > 0 ? <span className="muted small">, {Math.round(need.areaCm2)} cm²</span> : null}
                  </th>
                  <td className="figure">
                    <ThicknessField need={need} wanted={wanted} onWanted={setWanted} />
                  </td>
                  <td className="figure strong">{formatGrams(need.grams, { bare: true })}</td>
                  <td className="figure">{need.hasGrams > 0 ? formatGrams(need.hasGrams, { bare: true }) : "–"}</td>
                </tr>
              ))}
            </tbody>
          </table>
          <p className="small muted">
            Thicknesses are common practice until you type your own; densities as said under the picture.
          </p>
        </div>
      </div>
    </section>
  );
}

const WORDS = { filling: "Filling", top: "Top", sides: "Sides", syrup: "Syrup" } as const;
const FIELD_OF = { filling: "fillingMm", top: "topMm", sides: "sidesMm", syrup: "syrupPer100g" } as const;

function ThicknessField({
  need,
  wanted,
  onWanted,
}: {
  need: CoverNeed;
  wanted: Wanted;
  onWanted: (change: (all: Wanted) => Wanted) => void;
}) {
  const name = FIELD_OF[need.what];
  const wrong = wrongWords(name, wanted[name]) !== null;
  return (
    <span className="with-unit">
      <input
        className="thickness"
        inputMode="decimal"
        aria-label={need.what === "syrup" ? "Syrup, grams for 100 g of crumb" : `${WORDS[need.what]}, millimetres`}
        aria-invalid={wrong}
        value={wanted[name]}
        placeholder={USUAL[name]}
        onChange={(event) => {
          const value = event.currentTarget.value;
          onWanted((all) => ({ ...all, [name]: value }));
        }}
      />
      <span className="muted small unit">{need.what === "syrup" ? "g in 100 g" : "mm"}</span>
    </span>
  );
}

function Figure({
  label,
  unit,
  value,
  placeholder,
  wrong,
  onValue,
}: {
  label: string;
  unit: string;
  value: string;
  placeholder: string;
  wrong: string | null;
  onValue: (value: string) => void;
}) {
  return (
    <label className="field">
      <span className="label">{label}</span>
      <span className="with-unit">
        <input
          className="thickness wide"
          inputMode="decimal"
          value={value}
          placeholder={placeholder}
          aria-invalid={wrong !== null}
          onChange={(event) => onValue(event.currentTarget.value)}
        />
        <span className="muted">{unit}</span>
      </span>
      {wrong === null ? null : <span className="wrong">{wrong}</span>}
    </label>
  );
}

type FigureName = Exclude<keyof Wanted, "cover">;
const RANGES: Readonly<Record<FigureName, readonly [number, number]>> = {
  fillingMm: [0, 60],
  topMm: [0, 60],
  sidesMm: [0, 60],
  syrupPer100g: [0, 60],
  crumbHeightMm: [3, 200],
  cutInto: [1, 8],
};

const read = (text: string) => Number(text.trim().replace(",", "."));
const isRight = (name: FigureName, text: string) => {
  const [least, most] = RANGES[name];
  const value = read(text);
  return value >= least && value <= most && (name !== "cutInto" || Number.isInteger(value));
};
const wrongWords = (name: FigureName, text: string) =>
  text.trim() === "" || isRight(name, text)
    ? null
    : `${name === "cutInto" ? "A whole number" : "A number"} from ${RANGES[name][0]} to ${RANGES[name][1]}.`;

/** Only what is typed and right; the rest is left to the usual. */
function figures(wanted: Wanted): Partial<Record<FigureName, number>> {
  const names = Object.keys(RANGES) as FigureName[];
  return Object.fromEntries(
    names.filter((name) => wanted[name].trim() !== "" && isRight(name, wanted[name])).map((name) => [name, read(wanted[name])]),
  );
}
