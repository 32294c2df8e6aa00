import type { TastingWords } from "@evencrumb/core/trials";
import { useMemo } from "react";
import { useHouseState } from "../../app/useHouse.js";
import type { Tasting } from "../documents.js";
import { useTastedFormulas } from "./useTastedFormulas.js";
import { servingCautions } from "./warnings.js";

/** What every taster is told, and what the one who serves has to know. */
export function ToldFirst({ trial, words }: { trial: Tasting; words: TastingWords }) {
  const { book } = useHouseState();
  const formulas = useTastedFormulas(trial);
  const cautions = useMemo(() => servingCautions(formulas, book), [formulas, book]);
  const { allergens, mayContain = [], warnings = [] } = words;
  return (
    <section className="stack" aria-labelledby="told-first">
      <h2 id="told-first">Every taster is told first</h2>
      <p className="trial-allergens">
        <span className="muted">Contains</span>{" "}
        <b>{allergens.length === 0 ? "none of the allergens that have to be named" : allergens.join(", ")}</b>
        {mayContain.length === 0 ? null : (
          <>
            <br />
            <span className="muted">May contain</span> <b>{mayContain.join(", ")}</b>
          </>
        )}
        {warnings.length === 0 ? null : (
          <>
            <br />
            <b>{warnings.join("; ")}</b>
          </>
        )}
      </p>
      <ul className="plan-cautions">
        <li>Whoever says no is thanked and asked nothing else; ask aloud as well before you hand out a piece.</li>
        {cautions.map((words) => (
          <li key={words}>{words}</li>
        ))}
        <li>
          Nobody tastes raw batter. Clean plates, knives and forks for each cake, so that no allergen is carried over. What has to
          stay cold comes out last and goes back first. Local food law, the packets and licensed advice decide.
        </li>
      </ul>
    </section>
  );
}
