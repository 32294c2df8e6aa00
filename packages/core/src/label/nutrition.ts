import type { Composition } from "../composition/index.js";
import { type LabelLanguage, labelWords } from "./languages.js";
import {
  cellsOf,
  INDENTED,
  type Line,
  type NutritionDeclaration,
  type NutritionRow,
  sourcesOf,
  straight,
} from "./nutritionLines.js";
import { type EuClass, roundEu } from "./rounding.js";

/** Adult reference intakes: Regulation (EU) 1169/2011, Annex XIII Part B (energy, fat, saturates, sugars, salt seen; carbohydrate and protein from memory). */
export const EU_REFERENCE_INTAKES = {
  energyKj: 8400,
  energyKcal: 2000,
  fat: 70,
  saturates: 20,
  carbohydrate: 260,
  sugars: 90,
  protein: 50,
  salt: 6,
} as const;

const VOLUNTARY = { voluntary: true } as const;

/** Order of Annex XV; mono- and polyunsaturates, polyols, starch and fibre may be added. */
const EU_LINES: readonly Line<EuClass>[] = [
  straight("energyKj", "energy", "energy"),
  straight("energyKcal", "energy", "energy"),
  straight("fat", "fat", "macro"),
  straight("saturates", "saturates", "fattyAcid", INDENTED),
  straight("monounsaturates", "monounsaturates", "fattyAcid", { ...INDENTED, ...VOLUNTARY }),
  straight("polyunsaturates", "polyunsaturates", "fattyAcid", { ...INDENTED, ...VOLUNTARY }),
  // Carbohydrate on a European label is what the body uses: by difference less fibre.
  {
    id: "carbohydrate",
    name: "carbohydrate",
    kind: "macro",
    needs: ["carbohydrate", "fibre"],
    amount: (of) => Math.max(0, of("carbohydrate") - of("fibre")),
  },
  straight("sugars", "sugars", "macro", INDENTED),
  straight("polyols", "polyols", "macro", { ...INDENTED, ...VOLUNTARY }),
  straight("starch", "starch", "macro", { ...INDENTED, ...VOLUNTARY }),
  straight("fibre", "fibre", "macro", VOLUNTARY),
  straight("protein", "protein", "macro"),
  { id: "salt", name: "salt", kind: "salt", needs: ["sodium"], amount: (of) => of("sodium") * 2.5 },
];

/**
 * The nutrition declaration of Great Britain and the European Union, per 100 g and, if wanted, per portion.
 *
 * Computed unrounded from the finished composition and rounded once. A line with a missing figure is not guessed: it says which
 * ingredient lacks it; unless the least and the most that the missing figure can be print alike.
 *
 * @param finished      composition after baking loss
 * @param portionGrams  weight of a portion [g], above 0
 * @param show          voluntary lines to show besides the mandatory ones
 *
 * Source: Regulation (EU) 1169/2011, Articles 29 to 35 and Annexes XIII to XV (assimilated in Great Britain).
 */
export function euNutrition(
  finished: Composition,
  place: "gb" | "eu" = "gb",
  portionGrams?: number,
  show: readonly string[] = ["fibre"],
  language: LabelLanguage = "en",
): NutritionDeclaration {
  const words = labelWords(language).rows;
  const cells = cellsOf(finished);
  const rows = EU_LINES.filter(({ id, voluntary }) => voluntary !== true || show.includes(id)).map((line): NutritionRow => {
    const cell = (grams: number) => cells(grams, line, (amount) => roundEu(line.kind, amount));
    const portion = portionGrams === undefined ? undefined : cell(portionGrams);
    const whole = portion ?? cell(100);
    const reference = (EU_REFERENCE_INTAKES as Readonly<Record<string, number>>)[line.id];
    return {
      id: line.id,
      name: words[line.name] ?? line.name,
      indented: line.indented ?? false,
      per100g: cell(100),
      ...(portion === undefined ? {} : { perPortion: portion }),
      ...(reference === undefined || !whole.known ? {} : { percent: Math.round((100 * whole.unrounded) / reference) }),
      sources: sourcesOf(finished, line.needs),
    };
  });
  return {
    place,
    ...(portionGrams === undefined ? {} : { portionGrams }),
    rows,
    rule: "Regulation (EU) 1169/2011, Annexes XIII to XV; rounding by the Commission's guidance of December 2012",
  };
}
