import { type Component, type Formula, type ListReading, type ReadListOptions, readList } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import type { Problem, Reading } from "../quantities/index.js";
import { oneLine } from "./plainText.js";

/** What a page's Recipe data hold, as text that the list reader takes. */
export interface ImportedRecipe {
  readonly name: string;
  /** Ingredient lines, one a line: for `readList`. */
  readonly listText: string;
  readonly method: readonly string[];
  readonly portions?: number;
}

const MOST_CHARACTERS = 1_000_000;
const MOST_LINES = 500;
/** Longest text of a method, and of one line [characters]. */
const MOST_TEXT = 60_000;
const MOST_LINE = 5000;

/**
 * Reads schema.org Recipe data (JSON-LD), alone, in a list, in `@graph`, or inside a page of HTML.
 *
 * Nothing is run and nothing fetched: of a page only the `application/ld+json` blocks are looked at.
 *
 * @returns  undefined with a problem where there is no Recipe with ingredients
 */
export function importRecipe(text: string): Reading<ImportedRecipe | undefined> {
  if (text.length > MOST_CHARACTERS)
    return none(
      problem("too-large", "at most a million characters", `${text.length} characters`, "Save only the recipe of the page."),
    );
  const blocks = /^\s*[{[]/.test(text) ? [text] : scriptBlocks(text);
  const problems: Problem[] = [];
  for (const block of blocks) {
    let data: unknown;
    try {
      data = JSON.parse(block);
    } catch (error) {
      // One broken block of a page does not spoil the next; it is reported if none can be read.
      problems.push(
        problem(
          "syntax",
          "JSON",
          error instanceof Error ? error.message : "text that is no JSON",
          "Copy the recipe data once more, whole.",
        ),
      );
      continue;
    }
    const recipe = findRecipe(data, 0);
    if (recipe !== undefined) return { value: recipe, problems: [] };
  }
  return {
    value: undefined,
    problems:
      problems.length > 0
        ? problems
        : [
            problem(
              "missing-field",
              "a Recipe with recipeIngredient (schema.org)",
              "none",
              "Paste the ingredient list as text instead.",
            ),
          ],
  };
}

/** Whether a text is recipe data or a page, and not a list that was pasted. */
export const isRecipeData = (text: string): boolean =>
  /^\s*(?:[{[]|<(?:!doctype|!--|html|head|body|script)\b)/i.test(text) ||
  (/^\s*</.test(text) && text.slice(0, MOST_CHARACTERS).toLowerCase().includes("application/ld+json"));

/**
 * A formula from recipe data: the lines read as a pasted list, with the method and the portions that the data give.
 *
 * The data do not say which step belongs to which ingredient, so the whole method stands at the last stage of the first component,
 * one step a line, for the baker to part.
 *
 * @returns the list's reading, with every line understood, doubtful or not understood, and the formula with the method in it
 */
export function importedFormula(recipe: ImportedRecipe, book: IngredientBook, options: ReadListOptions = {}): ListReading {
  // A heading first, so that the first ingredient is not taken for the title.
  const reading = readList(`Ingredients:\n${recipe.listText}`, book, { ...options, name: recipe.name });
  const [first, ...others] = reading.formula.components;
  const portions = reading.formula.portions ?? recipe.portions;
  const formula: Formula = {
    ...reading.formula,
    name: recipe.name,
    ...(portions === undefined ? {} : { portions }),
    components: first === undefined ? [] : [withMethod(first, recipe.method), ...others],
  };
  return {
    ...reading,
    formula,
    lines: reading.lines.slice(1).map((line) => ({ ...line, lineNumber: line.lineNumber - 1 })),
    problems: reading.problems.map((problem) =>
      problem.position === undefined
        ? problem
        : { ...problem, position: { ...problem.position, line: Math.max(1, problem.position.line - 1) } },
    ),
    outline: { ...reading.outline, title: recipe.name, ...(portions === undefined ? {} : { portions }) },
  };
}

function withMethod(component: Component, method: readonly string[]): Component {
  const last = component.stages.at(-1);
  if (last === undefined || method.length === 0) return component;
  const text = [...(last.method === undefined ? [] : [last.method]), ...method].join("\n");
  return { ...component, stages: [...component.stages.slice(0, -1), { ...last, method: text }] };
}

/** Contents of the ld+json script elements, found by plain search: no expression that a hostile page could make slow. */
function scriptBlocks(html: string): readonly string[] {
  const blocks: string[] = [];
  const lower = html.toLowerCase();
  for (let at = lower.indexOf("<script"); at >= 0 && blocks.length < 50; at = lower.indexOf("<script", at + 7)) {
    const open = lower.indexOf(">", at);
    const close = lower.indexOf("</script", open);
    if (open < 0 || close < 0) break;
    if (lower.slice(at, open).includes("application/ld+json")) blocks.push(html.slice(open + 1, close));
    at = close;
  }
  return blocks;
}

function findRecipe(data: unknown, depth: number): ImportedRecipe | undefined {
  if (depth > 6 || typeof data !== "object" || data === null) return undefined;
  if (Array.isArray(data)) {
    for (const entry of data.slice(0, 200)) {
      const found = findRecipe(entry, depth + 1);
      if (found !== undefined) return found;
    }
    return undefined;
  }
  const record = data as Record<string, unknown>;
  const types = [record["@type"]].flat();
  if (types.some((type) => typeof type === "string" && /(?:^|\/)Recipe$/.test(type))) {
    const lines = [record.recipeIngredient ?? record.ingredients]
      .flat()
      .filter((line): line is string => typeof line === "string")
      // Old data hold the whole list as one text of several lines.
      .flatMap((line) => line.slice(0, MOST_TEXT).split(/\r\n|[\r\n]|<br\s{0,2}\/?>/))
      .slice(0, MOST_LINES)
      .map(plain)
      .filter((line) => line !== "");
    if (lines.length > 0) {
      const portions = Number(/\d+/.exec(String([record.recipeYield].flat()[0] ?? ""))?.[0]);
      return {
        name: (typeof record.name === "string" ? plain(record.name).slice(0, 120) : "") || "Imported recipe",
        listText: lines.join("\n"),
        method: steps(record.recipeInstructions, 0).slice(0, MOST_LINES),
        ...(portions > 0 && portions <= 1000 ? { portions } : {}),
      };
    }
  }
  return findRecipe(record["@graph"], depth + 1) ?? findRecipe(record.mainEntity, depth + 1);
}

function steps(value: unknown, depth: number): readonly string[] {
  if (depth > 4) return [];
  if (typeof value === "string")
    return value
      .slice(0, MOST_TEXT)
      .split(/[\r\n]+|<\/(?:li|p)>|<br\s{0,2}\/?>/)
      .map(plain)
      .filter((line) => line !== "");
  if (Array.isArray(value)) return value.slice(0, MOST_LINES).flatMap((entry) => steps(entry, depth + 1));
  if (typeof value !== "object" || value === null) return [];
  const record = value as Record<string, unknown>;
  if (record.itemListElement !== undefined) return steps(record.itemListElement, depth + 1);
  return steps(typeof record.text === "string" ? record.text : record.name, depth + 1);
}

/** Tags out, entities back, control and direction marks out, white space folded. */
const plain = (text: string) =>
  oneLine(
    text
      .slice(0, MOST_LINE)
      .replaceAll(/<[^<>]{0,500}>/g, " ")
      .replaceAll(
        /&(?:#(\d{1,7})|#x([0-9a-f]{1,6})|([a-z]{2,8}\d{0,2}));/gi,
        (whole, decimal?: string, hex?: string, name?: string) => {
          if (name !== undefined) return ENTITIES[name.toLowerCase()] ?? whole;
          const code = decimal === undefined ? Number.parseInt(hex!, 16) : Number(decimal);
          return code > 0 && code <= 0x10ffff ? String.fromCodePoint(code) : " ";
        },
      ),
  );
const ENTITIES: Readonly<Record<string, string>> = {
  amp: "&",
  lt: "<",
  gt: ">",
  quot: '"',
  apos: "'",
  nbsp: " ",
  frac12: "½",
  frac14: "¼",
  frac34: "¾",
  deg: "°",
  ndash: "–",
  mdash: "—",
  times: "×",
  rsquo: "’",
  lsquo: "‘",
  eacute: "é",
  egrave: "è",
  ecirc: "ê",
};

const none = (one: Problem): Reading<undefined> => ({ value: undefined, problems: [one] });
const problem = (code: Problem["code"], expected: string, found: string, remedy: string): Problem => ({
  code,
  path: [],
  expected,
  found: found.slice(0, 120),
  remedy,
});
