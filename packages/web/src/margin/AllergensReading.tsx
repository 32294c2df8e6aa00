import type { AllergenEntry, AllergenSummary } from "@evencrumb/core/composition";
import type { AllergenName } from "@evencrumb/core/ingredients";

/** As the trade prints them; a cereal or a nut is named by its kind. */
export const ALLERGEN_WORDS: Readonly<Record<AllergenName, string>> = {
  "cereals-gluten": "gluten",
  crustaceans: "crustaceans",
  eggs: "eggs",
  fish: "fish",
  peanuts: "peanuts",
  soybeans: "soya",
  milk: "milk",
  nuts: "nuts",
  celery: "celery",
  mustard: "mustard",
  sesame: "sesame",
  sulphites: "sulphites",
  lupin: "lupin",
  molluscs: "molluscs",
};

export function allergenWords(entry: Pick<AllergenEntry, "allergen" | "kind">): string {
  if (entry.kind === undefined) return ALLERGEN_WORDS[entry.allergen];
  return entry.allergen === "cereals-gluten" ? `${entry.kind} (gluten)` : `${entry.kind} (${ALLERGEN_WORDS[entry.allergen]})`;
}

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
              <strong>{allergenWords(entry)}</strong> <span className="muted">{entry.from.join(", ")}</span>
              {compared !== null && !before.has(keyOf(entry)) ? <span className="difference"> new</span> : null}
            </li>
          ))}
        </ul>
      )}
      {gone.length > 0 ? <p className="difference">no longer: {gone.map(allergenWords).join(", ")}</p> : null}
      {allergens.mayContain.length > 0 ? (
        <p>
          <span className="muted">May contain, as you stated:</span> {allergens.mayContain.map(allergenWords).join(", ")}
        </p>
      ) : null}
      {allergens.checkSupplier.length > 0 ? (
        <p className="small">
          <span className="muted">Read the packet of</span>{" "}
          {[...new Set(allergens.checkSupplier.flatMap((entry) => entry.from))].join(", ")}
          <span className="muted"> for {[...new Set(allergens.checkSupplier.map(allergenWords))].join(", ")}.</span>
        </p>
      ) : null}
      {allergens.unknownIngredients.length > 0 ? (
        <p className="caution">Not known of: {allergens.unknownIngredients.join(", ")}. Their allergens are missing here.</p>
      ) : null}
    </>
  );
}
