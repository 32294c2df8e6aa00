import { readFileSync, writeFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { createIngredientBook } from "../../../ingredients/index.js";
import { type ListLine, readList } from "../index.js";
import { FIFTH_HAND } from "./fifthHand.js";
import { FIRST_HAND } from "./firstHand.js";
import { FOURTH_HAND } from "./fourthHand.js";
import type { FreshRound } from "./freshRound.js";
import { SECOND_HAND } from "./secondHand.js";
import { THIRD_HAND } from "./thirdHand.js";

/** In the order in which the reader met them. */
const FRESH_ROUNDS: readonly FreshRound[] = [
  ...FIRST_HAND,
  SECOND_HAND[0],
  SECOND_HAND[1],
  THIRD_HAND[0],
  SECOND_HAND[2],
  THIRD_HAND[1],
  THIRD_HAND[2],
  ...FOURTH_HAND,
  ...FIFTH_HAND,
];

const book = createIngredientBook();

const FRAME = {
  uk: "Cake\n\nFor the sponge:\n225 g self-raising flour\n225 g caster sugar\n",
  us: "Cake\n\nFor the cake:\n2 cups all-purpose flour\n2 sticks unsalted butter\n1/2 cup heavy cream\n",
  bare: "For the cake:\n",
} as const;

const KINDS: Readonly<Record<string, ListLine["kind"]>> = { h: "heading", m: "method", n: "note", b: "blank" };

type Verdict = "right" | "asked well" | "asked needlessly" | "wrong choices" | "not understood" | "other kind" | "silently wrong";

/** "butter*" and "rum/beer" are patterns of an id. */
const idFits = (pattern: string, id: string | undefined) =>
  id !== undefined &&
  pattern.split("/").some((one) =>
    new RegExp(
      `^${one
        .split("*")
        .map((part) => part.replace(/[^a-z0-9-]/g, ""))
        .join(".*")}$`,
    ).test(id),
  );
const gramsFit = (wanted: string, grams: number | null | undefined) => {
  const [weight, tolerance] = wanted.split("~");
  if (weight === "*") return true;
  if (weight === "-") return grams == null;
  return grams != null && Math.abs(grams / Number(weight) - 1) * 100 <= Number(tolerance ?? 5);
};

/** "255 g sugar, plus 1 tbsp" gives two uses of one thing, and "plus extra to dust" one without a weight: together they are the answer. */
function gathered(all: readonly ListLine[], wanted: number): readonly ListLine[] {
  if (all.length <= wanted) return all;
  const together = new Map<string, ListLine>();
  for (const line of all) {
    const same = together.get(line.ingredient ?? "");
    if (same === undefined) together.set(line.ingredient ?? "", line);
    else if (line.grams != null) {
      const status = line.status === "understood" ? same.status : line.status;
      together.set(line.ingredient ?? "", { ...same, status, grams: (same.grams ?? 0) + line.grams });
    }
  }
  return [...together.values()];
}

/**
 * The notation: letters of h heading, m method, n note, b blank (any of them will do), or a code and uses parted by " + ", each an id
 * and a weight ("-" none, "*" any) with the allowed difference in percent after a tilde (5 where it is not given). Codes: u understood;
 * d a careful person would ask; e either; x not in the book.
 */
function judge(wanted: string, all: readonly ListLine[]): Verdict {
  const [first] = all;
  if (/^[hmnb]+$/.test(wanted)) {
    if ([...wanted].some((code) => KINDS[code] === first?.kind)) return "right";
    return first?.kind === "ingredient" && first.status === "understood" ? "silently wrong" : "other kind";
  }
  if (first?.kind !== "ingredient") return "other kind";
  const code = wanted[0];
  const uses = wanted
    .slice(2)
    .split(" + ")
    .map((use) => use.trim().split(" "));
  const got = gathered(all, uses.length);
  const unread = got.some((line) => line.status === "not-understood");
  const doubtful = got.some((line) => line.status === "doubtful");
  if (code === "x") return unread ? "right" : doubtful ? "asked well" : "silently wrong";
  if (unread) return "not understood";
  const exact =
    got.length === uses.length &&
    uses.every(([id, grams], at) => idFits(id, got[at].ingredient) && gramsFit(grams, got[at].grams));
  if (!doubtful) return exact ? "right" : "silently wrong";
  const among = uses.every(([id, grams]) =>
    got.some((line) => [line, ...(line.choices ?? [])].some((one) => idFits(id, one.ingredient) && gramsFit(grams, one.grams))),
  );
  if (!among) return "wrong choices";
  return code === "u" ? "asked needlessly" : "asked well";
}

interface Judged {
  readonly line: string;
  readonly wanted: string;
  readonly verdict: Verdict;
}

function judged(round: FreshRound): readonly Judged[] {
  const single = round.lines.map(([context, line, wanted]) => {
    const frame = FRAME[context];
    const { lines } = readList(frame + line, book);
    return {
      line,
      wanted,
      verdict: judge(
        wanted,
        lines.filter((one) => one.lineNumber >= frame.split("\n").length),
      ),
    };
  });
  const whole = round.lists.flatMap((list) => {
    const { lines } = readList(list.lines.map(([line]) => line).join("\n"), book);
    return list.lines.map(([line, wanted], at) => ({
      line,
      wanted,
      verdict: judge(
        wanted,
        lines.filter((one) => one.lineNumber === at + 1),
      ),
    }));
  });
  return [...single, ...whole];
}

const rounds = FRESH_ROUNDS.map(judged);
const good = (all: readonly Judged[]) => all.filter((one) => one.verdict === "right" || one.verdict === "asked well").length;
const count = (all: readonly Judged[], verdict: Verdict) => all.filter((one) => one.verdict === verdict).length;
const percent = (part: number, all: number) => ((100 * part) / all).toFixed(1);

/**
 * Rounds that miss the bar: what their hands would not have asked about is asked on purpose (cake flour by the cup, dark chocolate,
 * glucose, 2 1/4 tsp of yeast), and some notes of half a line are not understood. The page says by how much.
 */
const BELOW: ReadonlySet<number> = new Set([10, 11, 12, 15]);

describe("rounds of fresh lines", () => {
  const numbered = rounds.map((all, at) => [at + 1, all] as const);
  const reachesTheBar = (_round: number, all: readonly Judged[]) => {
    for (const one of all)
      if (one.verdict !== "right" && one.verdict !== "asked well") console.info(`  ${one.verdict}: ${JSON.stringify(one.line)}`);
    expect(good(all) / all.length).toBeGreaterThanOrEqual(0.97);
    expect(count(all, "asked needlessly") / all.length).toBeLessThan(0.03);
  };
  it.each(numbered.filter(([round]) => !BELOW.has(round)))(
    "round %i is read right or rightly asked in 97 of 100 lines",
    reachesTheBar,
  );
  it.fails.each(numbered.filter(([round]) => BELOW.has(round)))(
    "round %i is not yet read right or rightly asked in 97 of 100 lines",
    reachesTheBar,
  );
  it("is never silently wrong", () => {
    expect(rounds.flat().filter((one) => one.verdict === "silently wrong")).toEqual([]);
  });
  it("are shown on the page with what they met at first and what they meet today", () => {
    const rows = FRESH_ROUNDS.map(({ firstPass: [all, right, needless, silent] }, at) => {
      const today = rounds[at];
      return `| ${at + 1} | ${all} | ${percent(right, all)} | ${percent(needless, all)} | ${silent} | ${percent(good(today), today.length)} | ${percent(count(today, "asked needlessly"), today.length)} | ${count(today, "silently wrong")} |`;
    });
    const table = [
      "| round | lines | at first: right or rightly asked (%) | needlessly asked (%) | silently wrong | today: right or rightly asked (%) | needlessly asked (%) | silently wrong |",
      "| --- | --- | --- | --- | --- | --- | --- | --- |",
      ...rows,
    ].join("\n");
    const path = new URL("../../../../../../docs/models/reading-a-list.md", import.meta.url);
    const page = readFileSync(path, "utf8");
    const [start, end] = ["<!-- fresh:start -->\n", "\n<!-- fresh:end -->"];
    const at = page.indexOf(start) + start.length;
    // EVENCRUMB_WRITE_DOCS=1 puts today's table into the page; otherwise the page has to show it already.
    if (process.env.EVENCRUMB_WRITE_DOCS === "1")
      writeFileSync(path, page.slice(0, at) + table + page.slice(page.indexOf(end.trim()) - 1));
    else expect(page.slice(at, page.indexOf(end))).toBe(table);
  });
});
