import type { Term } from "./model.js";

/** A term in words: "sugar × egg", "egg²". */
export function termName(term: Term): string {
  const powers = new Map<string, number>();
  for (const name of term) powers.set(name, (powers.get(name) ?? 0) + 1);
  return term.length === 0
    ? "intercept"
    : [...powers].map(([name, power]) => (power === 1 ? name : power === 2 ? `${name}²` : `${name}^${power}`)).join(" × ");
}

/** Name of the block column in a model. */
export const BLOCK = "block";
