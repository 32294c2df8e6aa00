import type { Figure } from "../quantities/index.js";
import { FURTHER_ROWS } from "./data/furtherRows.js";
import { FURTHER_NUTRIENTS, FURTHER_WORDS, type FurtherFigures, type FurtherNutrient } from "./further.js";

/**
 * Trans share of the fat of milk and of eggs [g per g], for foods whose table does not give trans fat and whose fat is of no other
 * kind. From one food each; of the milk foods in CoFID the share runs from 2.1 % (12-555 Greek yoghurt) to 3.6 % (12-596 whole milk).
 */
const TRANS_SHARE = {
  m: { share: 2.87 / 82.2, words: "derived: fat x 2.87/82.2, the trans share of butter (UK CoFID 2021 17-661)" },
  e: { share: 0.05 / 31.3, words: "derived: fat x 0.05/31.3, the trans share of egg yolk (UK CoFID 2021 12-939)" },
} as const;

const TABLES: Readonly<Record<string, string>> = { SR28: "USDA SR28", CoFID: "UK CoFID 2021" };

interface Food {
  readonly id: string;
  /** Short name of its table in larderRows, and its number there. */
  readonly table: string;
  readonly number: string;
  readonly source: string;
  readonly fat: Figure;
}

/** The further figures of a shipped ingredient; undefined where no table that was read has them. Rows of the same food stand for both. */
export function expandFurther(food: Food): FurtherFigures | undefined {
  rows ??= readRows();
  // A row that an earlier release had too is read from Release 28.
  const own = rows.get(`id ${food.id}`);
  const row = own ?? rows.get(`${food.table === "SRA" ? "SR28" : food.table} ${food.number}`);
  if (row === undefined) return undefined;
  const source = food.table === "SRA" ? `USDA SR28 ${row.number} ${row.description}` : food.source;
  const figures: Partial<Record<FurtherNutrient, Figure>> = {};
  FURTHER_NUTRIENTS.forEach((nutrient, index) => {
    figures[nutrient] = expand(row.tokens[index]!, nutrient, own === undefined ? source : row.description, food.fat);
  });
  return figures;
}

interface Row {
  readonly number: string;
  readonly description: string;
  readonly tokens: readonly string[];
}
let rows: ReadonlyMap<string, Row> | undefined;

function readRows(): ReadonlyMap<string, Row> {
  return new Map(
    FURTHER_ROWS.trim()
      .split("\n")
      .map((line) => {
        const [table, number, description, figures] = line.split("|") as [string, string, string, string];
        const tokens = figures.split(" ");
        if (tokens.length !== FURTHER_NUTRIENTS.length) throw new Error(`furtherRows: ${number} has ${tokens.length} figures`);
        return [`${table} ${number}`, { number, description, tokens }];
      }),
  );
}

function expand(token: string, nutrient: FurtherNutrient, source: string, fat: Figure): Figure {
  if (token === "-") return { known: false, why: `${FURTHER_WORDS[nutrient].name} not given by ${source}` };
  if (token === "z") {
    const why = nutrient === "cholesterolMg" ? "nothing of an animal is in it" : "this kind of food does not hold it";
    return { known: true, value: 0, source: `assumed zero because ${why}` };
  }
  if (token === "m" || token === "e") {
    const { share, words } = TRANS_SHARE[token];
    return fat.known
      ? { known: true, value: Math.round(fat.value * share * 1e4) / 1e4, source: words }
      : { known: false, why: `trans fat not given by ${source}` };
  }
  const [, figure, isDerived, table, number] = /^([\d.]+)(d?)(?:@(\w+):([\d-]+))?$/.exec(token) ?? [];
  if (figure === undefined) throw new Error(`furtherRows: "${token}" is no figure`);
  const words =
    table === undefined
      ? `${isDerived ? "derived: " : ""}${source}`
      : `${TABLES[table] ?? table} ${number}, a food of the same kind`;
  return { known: true, value: Number(figure), source: words };
}
