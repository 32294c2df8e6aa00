import type { AllergenEntry, AllergenSummary } from "@evencrumb/core/composition";
import { formatAllergen } from "@evencrumb/core/ingredients";

const keyOf = (entry: AllergenEntry) => `${entry.allergen}-${entry.kind ?? ""}`;

export function AllergensReading({ allergens, compared }: { allergens: AllergenSummary; compared: AllergenSummary | null }) {
  const before = new Set(compared?.contains.map(keyOf));
  const now = new Set(allergens.contains.map(keyOf));
  const gone = compared?.contains.filter((entry) => !now.has(keyOf(entry))) ?? [];
  return (
    <>
      {allergens.contains.length === 0 ? (
        <p className="muted">None of the fourteen by the ingredients known here.</p>
      ) : (
        <ul className="allergens">
          {allergens.contains.map((entry) => (
            <li key={keyOf(entry)}>
              <strong>{formatAllergen(entry)}</strong> <span className="muted">{entry.from.join(", ")}</span>
              {compared !== null && !before.has(keyOf(entry)) ? <span className="difference"> new</span> : null}
            </li>
          ))}
        </ul>
      )}
      {gone.length > 0 ? <p className="difference">no longer: {gone.map((entry) => formatAllergen(entry)).join(", ")}</p> : null}
      {allergens.mayContain.length > 0 ? (
        <p>
          <span className="muted">May contain, as you stated:</span>{" "}
          {allergens.mayContain.map((entry) => formatAllergen(entry)).join(", ")}
        </p>
      ) : null}
      {allergens.checkSupplier.length > 0 ? (
        <p className="small">
          <span className="muted">Read the packet of</span>{" "}
          {[...new Set(allergens.checkSupplier.flatMap((entry) => entry.from))].join(", ")}
          <span className="muted">
            {" "}
            for {[...new Set(allergens.checkSupplier.map((entry) => formatAllergen(entry)))].join(", ")}.
          </span>
        </p>
      ) : null}
      {allergens.unknownIngredients.length > 0 ? (
        <p className="caution">Not known of: {allergens.unknownIngredients.join(", ")}. Their allergens are missing here.</p>
      ) : null}
    </>
  );
}
