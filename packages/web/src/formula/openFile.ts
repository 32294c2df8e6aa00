import { type Formula, parseFormulaFile } from "@evencrumb/core/formula";
import type { Reading } from "@evencrumb/core/quantities";

/** Reads a formula file. Loaded when it is asked for: it brings the YAML reader. */
export async function openFormulaFile(file: Blob): Promise<Reading<Formula | undefined>> {
  return parseFormulaFile(await file.text());
}
