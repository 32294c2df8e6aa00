import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import { type Keeping, keepFormula } from "@evencrumb/core/keeping";
import { useMemo } from "react";
import "../style/keep.css";
import { ActivityScale } from "./keepPictures.js";

/** Water activity of each part on its line, and the days that follow from it. */
export function KeepsReading({ formula, compared, book }: { formula: Formula; compared: Formula | null; book: IngredientBook }) {
  const keeping = useMemo(() => keepFormula(formula, book), [formula, book]);
  const before = useMemo(() => (compared === null ? null : keepFormula(compared, book)), [compared, book]);
  const moist = keeping.components.filter(({ waterActivity }) => waterActivity !== undefined);
  if (moist.length === 0) return <p className="muted">Weigh something moist, and its keeping stands here.</p>;
  return (
    <>
      {moist.map(({ name, waterActivity }) =>
        waterActivity === undefined ? null : (
          <div key={name}>
            <p className="small muted">{name}</p>
            <ActivityScale activity={waterActivity} />
          </div>
        ),
      )}
      <p>
        {answer(keeping)}
        {before === null || answer(before) === answer(keeping) ? null : (
          <span className="difference"> instead of: {answer(before)}</span>
        )}
      </p>
    </>
  );
}

const answer = ({ product }: Keeping) =>
  `${product.keptAt === "chilled" ? "Kept cold" : "At room temperature, wrapped"}, about ${product.days} ${product.days === 1 ? "day" : "days"} (predicted)`;
