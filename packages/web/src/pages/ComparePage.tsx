import type { OpenFormula } from "./FormulaPage.js";
export function ComparePage(_: { open: OpenFormula; query?: URLSearchParams; revisionId?: string }) { return null; }
