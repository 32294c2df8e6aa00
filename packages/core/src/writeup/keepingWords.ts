import type { Formula } from "../formula/index.js";
import type { Keeping } from "../keeping/index.js";
import type { ReaderMeasures } from "./amounts.js";

/** How the finished thing is kept, in sentences for a reader at home; days are estimates and are called so. */
export function storageSentences(formula: Formula, keeping: Keeping, measures: ReaderMeasures): readonly string[] {
  const cold = keeping.product.keptAt === "chilled";
  const isCake = formula.components.some(({ kind, bake }) => kind === "cake" || bake !== undefined);
  const isFilled = formula.components.some(({ kind }) => kind === "filling" || kind === "icing");
  const { days } = keeping.product;
  const span = days === 1 ? "the same day" : `${days} days`;
  const within = days === 1 ? "Eat it the same day" : `Keeps for about ${span}${isCake && cold ? " from filling" : ""}`;
  const freezer = measures === "metric" ? "−18 °C" : "−18 °C (0 °F)";
  const keep = (): string => {
    if (!isCake) return cold ? "Keep covered in the refrigerator." : "Keep covered, somewhere cool and dry.";
    if (!cold) return "Keep wrapped or in a tin with a lid, at room temperature.";
    return "Keep it in the refrigerator, covered, from the moment it is filled; take it out half an hour before it is eaten, because cold fat is hard.";
  };
  return [
    keep(),
    `${within}: an estimate, not a measurement.`,
    ...(isCake
      ? [
          `To freeze: the same day, ${isFilled ? "unfilled, " : ""}cold all through and tightly wrapped, at ${freezer} or below; best within three months. Thaw it in its wrapping, two to three hours at room temperature or overnight in the refrigerator${isFilled ? ", and fill it then" : ""}.`,
        ]
      : []),
  ];
}
