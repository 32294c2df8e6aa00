import type { NutritionCell, NutritionDeclaration, NutritionRow } from "@evencrumb/core/label";
import { addresses } from "../app/route.js";

const STATED: readonly string[] = ["transFatGrams", "cholesterolMg", "vitaminDMcg", "calciumMg", "ironMg", "potassiumMg"];

/** Every figure of the declaration, unfolding to what makes it; what is missing says why, and where it can be given. */
export function Figures({ nutrition, onField }: { nutrition: NutritionDeclaration; onField: (field: string) => void }) {
  const isUs = nutrition.place === "us";
  const portion = nutrition.portionGrams === undefined ? undefined : Math.round(nutrition.portionGrams);
  return (
    <section aria-label="Where each figure comes from" className="figures-from">
      <h2>Where each figure comes from</h2>
      {nutrition.rows.map((row) => {
        const main = isUs ? (row.perPortion ?? row.per100g) : row.per100g;
        return (
          <details key={row.id} className={`more ${main.known ? "" : "doubts"}`} data-row={row.id}>
            <summary>
              {row.indented ? "– " : ""}
              {row.name} <span className="figures">{words(row, main)}</span>
              {isUs ? " in a serving" : " in 100 g"}
              {!isUs && row.perPortion !== undefined && portion !== undefined
                ? `, ${words(row, row.perPortion)} in a portion of ${portion} g`
                : ""}
              {row.percent === undefined ? "" : `, ${row.percent} % of the ${isUs ? "daily value" : "reference intake"}`}
            </summary>
            <Behind row={row} main={main} onField={onField} />
          </details>
        );
      })}
    </section>
  );
}

function Behind({ row, main, onField }: { row: NutritionRow; main: NutritionCell; onField: (field: string) => void }) {
  // Of the six that an analysis may state, each has its field; added sugars are asked of the ingredients.
  const field = row.id === "addedSugars" ? "added-sugars" : STATED.includes(row.id) ? `us-stated-${row.id}` : undefined;
  const lacking = row.sources.filter(({ per100g }) => per100g === undefined);
  const held = row.sources.filter(({ per100g }) => per100g !== undefined && Math.abs(per100g) >= 0.005);
  return (
    <div className="stack">
      {main.known ? null : (
        <p className="caution-words">
          Not printed: {main.why}. {lacking.length === 0 ? "" : "Give the figure from the packet or the supplier:"}
        </p>
      )}
      {main.known && main.note !== undefined ? <p className="muted small">{main.note}.</p> : null}
      {lacking.length === 0 ? null : (
        <ul className="sentences">
          {lacking.map(({ ingredient, name, nutrient, source }) => (
            <li key={`${ingredient} ${nutrient}`}>
              <a href={addresses.ingredients(ingredient)}>{name}</a>: {nutrient} {source}
            </li>
          ))}
        </ul>
      )}
      {main.known || field === undefined ? null : (
        <p>
          <button type="button" className="words accent" onClick={() => onField(field)}>
            {row.id === "addedSugars" ? "Say how much of its sugars was added" : "Give what an analysis of the whole cake states"}
          </button>
        </p>
      )}
      {held.length === 0 ? null : (
        <table className="sources">
          <thead>
            <tr>
              <th scope="col">From</th>
              <th scope="col" className="figures">
                in 100 g
              </th>
              <th scope="col">Source</th>
            </tr>
          </thead>
          <tbody>
            {held.map(({ component, ingredient, name, nutrient, per100g, source }, index) => (
              // The same ingredient may stand twice in one component.
              // biome-ignore lint/suspicious/noArrayIndexKey: the list is made anew as a whole
              <tr key={`${component} ${ingredient} ${nutrient} ${index}`}>
                <td>
                  {name}
                  <span className="muted">, {component}</span>
                  {row.id === nutrient ? "" : <span className="muted"> ({nutrient})</span>}
                </td>
                <td className="figures">{per100g!.toFixed(2)}</td>
                <td className="muted">{source}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </div>
  );
}

const words = (row: NutritionRow, cell: NutritionCell): string =>
  !cell.known
    ? "not known"
    : row.id === "energyKj"
      ? `${cell.declared.text} kJ`
      : row.id === "energyKcal"
        ? `${cell.declared.text} kcal`
        : cell.declared.text;
