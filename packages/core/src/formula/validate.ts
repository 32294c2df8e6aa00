import type { Reading } from "../quantities/index.js";
import type { Formula } from "./formula.js";
import { FORMULA_SHAPE } from "./formulaShape.js";
import { PLAIN_VALUES, readShape } from "./readShape.js";

/**
 * Reads a formula from plain values, such as `JSON.parse` gives. Nothing of the input is kept: the answer is new data with
 * known fields only.
 *
 * @returns the formula as far as it could be understood; with problems it is a guess to show and not one to save.
 *   undefined when the value is no set of fields at all.
 */
export function validateFormula(value: unknown): Reading<Formula | undefined> {
  const { value: found, problems } = readShape(FORMULA_SHAPE, value, PLAIN_VALUES);
  return { value: asFormula(found), problems };
}

/** The shape has checked every field; this is the one place where that is turned into the type. */
export function asFormula(read: unknown): Formula | undefined {
  if (typeof read !== "object" || read === null) return undefined;
  const { formulaFile: _version, ...formula } = read as Record<string, unknown>;
  return formula as unknown as Formula;
}
