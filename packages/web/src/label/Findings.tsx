import type { Label, ParticularId } from "@evencrumb/core/label";

/** Where a particular is filled in: the field that has it. */
const FIELD_OF: Readonly<Partial<Record<ParticularId, string>>> = {
  name: "name",
  list: "packets",
  allergens: "packets",
  quantities: "quantities",
  "net-quantity": "packs",
  date: "bake-date",
  storage: "storage",
  instructions: "instructions",
  operator: "business",
  "may-contain": "may-contain",
};

/** Opens the group that a field stands in and goes to it. */
export function goToField(field: string): void {
  const element = document.querySelector<HTMLElement>(`[data-field="${field}"]`);
  if (element === null) return;
  for (let group = element.closest("details"); group !== null; group = group.parentElement?.closest("details") ?? null)
    group.open = true;
  element.scrollIntoView({ block: "center" });
  const target = element.matches("input, select, textarea")
    ? element
    : element.querySelector<HTMLElement>("input, textarea, select");
  target?.focus();
}

const goToFigures = () => {
  const first = document.querySelector<HTMLDetailsElement>(".figures-from details.doubts");
  if (first === null) return goToField("packs");
  first.open = true;
  first.scrollIntoView({ block: "center" });
  first.querySelector("summary")?.focus();
};

/** Of an ingredient that the book does not know nobody can say it: then the figures name it. */
const goToAdded = () =>
  document.querySelector('[data-field="added-sugars"]') === null ? goToFigures() : goToField("added-sugars");

/** Where the figures of a declaration are given: how much of the sugars was added has fields of its own. */
function NutritionButtons({ label }: { label: Label }) {
  const open = (label.nutrition?.rows ?? []).filter(({ perPortion, per100g }) => !(perPortion ?? per100g).known);
  const asksAdded = open.some(({ id }) => id === "addedSugars");
  return (
    <>
      {asksAdded ? (
        <button type="button" className="words accent" onClick={goToAdded}>
          Say what was added
        </button>
      ) : null}
      {asksAdded && open.length === 1 ? null : (
        <>
          {asksAdded ? " " : ""}
          <button type="button" className="words accent" onClick={goToFigures}>
            Show which
          </button>
        </>
      )}
    </>
  );
}

/** What is missing, each with the place where it is given; what to look at; the rules that were applied. */
export function Findings({ label }: { label: Label }) {
  const open = label.particulars.filter(
    ({ state, need }) => state === "missing" && need !== "voluntary" && need !== "not-needed",
  );
  // Names to give in another language have their fields, and are said once.
  const checks = label.checks.filter(({ kind }) => kind !== "translation");
  const listField = label.checks.some(({ kind }) => kind === "packet")
    ? "packets"
    : checks.length < label.checks.length
      ? "names"
      : undefined;
  return (
    <>
      {label.missing.length === 0 ? (
        <p className="muted small" role="status">
          Nothing that this way of selling asks for is missing. Whether it is in order is for local law and licensed advice.
        </p>
      ) : (
        <section aria-label="What is missing">
          <h2>Still missing</h2>
          <ul className="sentences">
            {label.missing.map((one, index) => {
              // The list of what is missing begins with the particulars, in their order.
              const particular = open[index]?.id;
              const field = particular === undefined ? "gtin" : particular === "list" ? listField : FIELD_OF[particular];
              return (
                <li key={one}>
                  {one}{" "}
                  {particular === "nutrition" ? (
                    <NutritionButtons label={label} />
                  ) : field === undefined ? null : (
                    <button type="button" className="words accent" onClick={() => goToField(field)}>
                      Fill it in
                    </button>
                  )}
                </li>
              );
            })}
          </ul>
        </section>
      )}
      {checks.length === 0 ? null : (
        <section aria-label="What to check">
          <h2>Look at the packets</h2>
          <ul className="sentences small">
            {checks.map((check) => (
              <li key={`${check.ingredient} ${check.words}`}>{check.words}</li>
            ))}
          </ul>
        </section>
      )}
      <details className="assumed">
        <summary>What this way of selling asks for, the rules that were applied, and cautions</summary>
        <ul className="sentences small muted">
          <li>{label.modeWords}</li>
          {label.cautions
            .filter((one) => one !== label.modeWords)
            .map((one) => (
              <li key={one}>{one}</li>
            ))}
          {label.rules.map(({ id, from, words, source, basis, checkedOn, until }) => (
            <li key={`${id} ${from}`}>
              {words} {source} ({until === undefined ? `from ${from}` : `${from} to ${until}`}; gathered {checkedOn},{" "}
              {basis === "memory" ? "from memory" : basis}).
            </li>
          ))}
        </ul>
      </details>
    </>
  );
}
