import { readFileSync, writeFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { createIngredientBook } from "../../ingredients/index.js";
import { type ListLine, readList } from "./index.js";
import { type Expected, LIST_TABLE, type ListContext } from "./listTable.js";
import { WHOLE_LISTS } from "./wholeLists.js";

const book = createIngredientBook();

/** A line alone says little of its country: it stands under a few that do. */
const FRAME: Readonly<Record<ListContext, string>> = {
  uk: "Cake\n\nFor the sponge:\n225 g self-raising flour\n225 g caster sugar\n",
  us: "Cake\n\nFor the cake:\n2 cups all-purpose flour\n2 sticks unsalted butter\n1/2 cup heavy cream\n",
  bare: "For the cake:\n",
};

function readRow(row: Expected): readonly ListLine[] {
  const frame = FRAME[row.context];
  return readList(frame + row.line, book).lines.filter((line) => line.lineNumber === frame.split("\n").length);
}

const worst = (lines: readonly ListLine[]) =>
  (["not-understood", "doubtful", "understood"] as const).find((status) => lines.some((line) => line.status === status));

/** What is wrong with a line, or nothing. */
function missOf(row: Expected, got: readonly ListLine[]): string | undefined {
  if (got[0]?.kind !== row.kind) return `kind ${got[0]?.kind}`;
  if (worst(got) !== row.status) return `status ${worst(got)}`;
  if (row.uses.length === 0) return undefined;
  if (got.length !== row.uses.length) return `${got.length} uses`;
  for (const [at, use] of row.uses.entries()) {
    const line = got[at];
    if (use.ingredient !== "*" && line.ingredient !== use.ingredient) return `ingredient ${line.ingredient}`;
    if ((use.grams === null) !== (line.grams == null)) return `grams ${line.grams}`;
    if (use.grams !== null && Math.abs((line.grams ?? 0) / use.grams - 1) * 100 > row.tolerancePercent)
      return `grams ${line.grams}`;
    if (line.status === "doubtful" && (line.choices?.length ?? 0) === 0) return "doubtful without a choice";
    if (line.status === "doubtful" && line.reasons.length === 0) return "doubtful without a reason";
  }
  return undefined;
}

describe("the table of lines", () => {
  const misses = LIST_TABLE.flatMap((row) => {
    const got = readRow(row);
    const miss = missOf(row, got);
    return miss === undefined ? [] : [{ line: row.line, miss, status: worst(got), silent: worst(got) === "understood" }];
  });

  it("has at least 300 lines, no two of them the same", () => {
    expect(LIST_TABLE.length).toBeGreaterThanOrEqual(300);
    expect(new Set(LIST_TABLE.map((row) => row.context + row.line)).size).toBe(LIST_TABLE.length);
  });
  it("is read right in at least 97 of 100 lines", () => {
    const right = LIST_TABLE.length - misses.length;
    console.info(
      `reading a list: ${right} of ${LIST_TABLE.length} lines right (${((100 * right) / LIST_TABLE.length).toFixed(1)} %)`,
    );
    for (const miss of misses) console.info(`  miss: ${JSON.stringify(miss.line)}: ${miss.miss}`);
    expect(right / LIST_TABLE.length).toBeGreaterThanOrEqual(0.97);
  });
  it("is never silently wrong: what it calls understood is right", () => {
    expect(misses.filter((miss) => miss.silent)).toEqual([]);
  });
});

const KINDS: Readonly<Record<string, ListLine["kind"]>> = { h: "heading", m: "method", n: "note", b: "blank" };
const STATUSES: Readonly<Record<string, ListLine["status"]>> = { u: "understood", d: "doubtful", x: "not-understood" };

/** Reads the short notation of wholeLists.ts. */
function fits(expected: string, line: ListLine | undefined): boolean {
  const [code, ingredient, weight] = expected.split(" ");
  if (line === undefined) return false;
  const kind = KINDS[code];
  if (kind !== undefined) return line.kind === kind;
  if (line.kind !== "ingredient") return false;
  if (ingredient === "*") return line.status !== "understood";
  if (line.status !== STATUSES[code] || line.ingredient !== ingredient) return false;
  const [grams, tolerance] = (weight ?? "").split("~");
  if (grams === "-") return line.grams === null;
  return line.grams != null && Math.abs(line.grams / Number(grams) - 1) * 100 <= Number(tolerance ?? 5);
}

describe("whole lists", () => {
  it.each(WHOLE_LISTS.map((list) => [list.name, list] as const))("reads %s", (_name, list) => {
    const reading = readList(list.lines.map(([line]) => line).join("\n"), book);
    const misses = list.lines.flatMap(([line, expected], at) => {
      const got = reading.lines.find((one) => one.lineNumber === at + 1);
      return fits(expected, got) ? [] : [{ line, expected, got: `${got?.kind} ${got?.status} ${got?.ingredient} ${got?.grams}` }];
    });
    expect(misses).toEqual([]);
  });
  it("keeps components and stages apart", () => {
    const named = (name: string) => {
      const list = WHOLE_LISTS.find((one) => one.name === name);
      return readList((list?.lines ?? []).map(([line]) => line).join("\n"), book).formula;
    };
    expect(named("a British web page").components.map((one) => [one.name, one.kind, one.stages.length])).toEqual([
      ["Sponge", "cake", 1],
      ["Buttercream", "icing", 1],
    ]);
    expect(named("a British web page").name).toBe("Coffee & Walnut Sandwich Cake");
    expect(named("a British web page").portions).toBe(10);
    expect(named("a Markdown note").components[0].stages.map((one) => [one.name, one.uses.length])).toEqual([
      ["Wet", 5],
      ["Dry", 5],
    ]);
  });
});

describe("the page on reading a list", () => {
  it("prints the score that is reached today", () => {
    const scoreOf = (results: readonly { readonly right: boolean; readonly silent: boolean }[]) => {
      const right = results.filter((one) => one.right).length;
      const percent = ((100 * right) / results.length).toFixed(1);
      return `${results.length} | ${right} | ${percent} | ${results.filter((one) => one.silent).length}`;
    };
    const rows = LIST_TABLE.map((row) => {
      const got = readRow(row);
      const right = missOf(row, got) === undefined;
      return { right, silent: !right && worst(got) === "understood" };
    });
    const whole = WHOLE_LISTS.flatMap((list) => {
      const { lines } = readList(list.lines.map(([line]) => line).join("\n"), book);
      return list.lines.map(([, expected], at) => {
        const got = lines.find((one) => one.lineNumber === at + 1);
        const right = fits(expected, got);
        return { right, silent: !right && got?.status === "understood" && got.kind === "ingredient" };
      });
    });
    const table = [
      "| tried on | lines | right | percent | silently wrong |",
      "| --- | --- | --- | --- | --- |",
      `| the table of lines | ${scoreOf(rows)} |`,
      `| ${WHOLE_LISTS.length} whole lists | ${scoreOf(whole)} |`,
    ].join("\n");
    const path = new URL("../../../../../docs/models/reading-a-list.md", import.meta.url);
    const page = readFileSync(path, "utf8");
    const [start, end] = ["<!-- score:start -->\n", "\n<!-- score:end -->"];
    const at = page.indexOf(start) + start.length;
    // EVENCRUMB_WRITE_DOCS=1 puts today's table into the page; otherwise the page has to show it already.
    if (process.env.EVENCRUMB_WRITE_DOCS === "1")
      writeFileSync(path, page.slice(0, at) + table + page.slice(page.indexOf(end.trim()) - 1));
    else expect(page.slice(at, page.indexOf(end))).toBe(table);
  });
});
