/** Tables of the model pages are printed by the tests that check them, so that a page never says what the code no longer does. */
import { readFileSync, writeFileSync } from "node:fs";
import { expect } from "vitest";

/**
 * Expects a table to stand on a page between `<!-- table: name -->` and `<!-- end -->`; with EVENCRUMB_WRITE_DOCS=1 it is
 * put there.
 */
export function expectTableOn(page: `docs/${string}.md`, name: string, table: string): void {
  const between = new RegExp(`(<!-- table: ${name} -->\\n)[\\s\\S]*?(\\n?<!-- end -->)`);
  if (process.env.EVENCRUMB_WRITE_DOCS === "1") {
    writeFileSync(
      page,
      readFileSync(page, "utf8").replace(between, (_, head: string) => `${head}${table}\n<!-- end -->`),
    );
  }
  const printed = new RegExp(`<!-- table: ${name} -->\\n([\\s\\S]*?)\\n<!-- end -->`).exec(readFileSync(page, "utf8"))?.[1];
  expect(printed, "run again with EVENCRUMB_WRITE_DOCS=1 to renew the table").toBe(table);
}

export const markdownTable = (head: readonly string[], rows: readonly (readonly string[])[]): string =>
  [head, head.map(() => "---"), ...rows].map((cells) => `| ${cells.join(" | ")} |`).join("\n");
