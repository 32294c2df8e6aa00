import type { Kept } from "../app/house.js";
import type { PriceBody } from "./body.js";

/** Two devices began a price of the same product without knowing of each other: both are kept, and a person says which holds. */
export function OtherFigures({
  body,
  others,
  onTake,
  onPutAway,
}: {
  body: PriceBody;
  others: readonly Kept<PriceBody>[];
  onTake: (other: Kept<PriceBody>) => void;
  onPutAway: (id: string) => void;
}) {
  if (others.length === 0) return null;
  return (
    <section className="notice" aria-label="Other figures for this price">
      {others.map((other) => {
        const differs = differences(body, other.body);
        return (
          <div key={other.id} className="stack tight">
            <p>
              There are other figures for this price: <strong>{other.body.name}</strong>
              {differs.length === 0 ? ", the same as these." : `. They differ in ${differs.join(", ")}.`}
            </p>
            <div className="buttons">
              <button type="button" className="button plain" onClick={() => onTake(other)}>
                Take those
              </button>
              <button type="button" className="button plain" onClick={() => onPutAway(other.id)}>
                Keep these, put those away
              </button>
            </div>
          </div>
        );
      })}
    </section>
  );
}

const WORDS: Readonly<Partial<Record<keyof PriceBody, string>>> = {
  currency: "money",
  cakes: "cakes in a batch",
  portionsPerCake: "portions",
  unsoldPercent: "what is not sold",
  usablePercent: "what is used of the ingredients",
  labour: "work",
  energy: "oven",
  packaging: "packaging",
  overhead: "overhead",
  selling: "selling",
  fixed: "what is to be earned",
};
const differences = (one: PriceBody, other: PriceBody): readonly string[] =>
  (Object.keys(WORDS) as (keyof PriceBody)[])
    .filter((field) => JSON.stringify(one[field]) !== JSON.stringify(other[field]))
    .map((field) => WORDS[field]!);
