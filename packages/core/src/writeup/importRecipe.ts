import type { Problem, Reading } from "../quantities/index.js";

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
  if (types.includes("Recipe")) {
    const lines = [record["recipeIngredient"] ?? record["ingredients"]]
      .flat()
      .filter((line): line is string => typeof line === "string")
      .slice(0, MOST_LINES)
      .map(plain);
    if (lines.length > 0) {
      const portions = Number(/\d+/.exec(String([record["recipeYield"]].flat()[0] ?? ""))?.[0]);
      return {
        name: typeof record["name"] === "string" ? plain(record["name"]) : "Imported recipe",
        listText: lines.join("\n"),
        method: steps(record["recipeInstructions"], 0).slice(0, MOST_LINES),
        ...(portions > 0 && portions <= 1000 ? { portions } : {}),
      };
    }
  }
  return findRecipe(record["@graph"], depth + 1);
}

function steps(value: unknown, depth: number): readonly string[] {
  if (depth > 4) return [];
  if (typeof value === "string")
    return value
      .split(/\n+/)
      .map(plain)
      .filter((line) => line !== "");
  if (Array.isArray(value)) return value.slice(0, MOST_LINES).flatMap((entry) => steps(entry, depth + 1));
  if (typeof value !== "object" || value === null) return [];
  const record = value as Record<string, unknown>;
  if (record["itemListElement"] !== undefined) return steps(record["itemListElement"], depth + 1);
  return typeof record["text"] === "string" ? steps(record["text"], depth + 1) : [];
}

/** Tags out, the usual entities back, white space folded. */
const plain = (text: string) =>
  text
    .slice(0, 5000)
    .replaceAll(/<[^<>]{0,500}>/g, " ")
    .replaceAll("&nbsp;", " ")
    .replaceAll("&frac12;", "½")
    .replaceAll("&frac14;", "¼")
    .replaceAll("&frac34;", "¾")
    .replaceAll("&#39;", "'")
    .replaceAll("&quot;", '"')
    .replaceAll("&amp;", "&")
    .replaceAll(/\s+/g, " ")
    .trim();

const none = (one: Problem): Reading<undefined> => ({ value: undefined, problems: [one] });
const problem = (code: Problem["code"], expected: string, found: string, remedy: string): Problem => ({
  code,
  path: [],
  expected,
  found: found.slice(0, 120),
  remedy,
});
