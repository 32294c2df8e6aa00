import type { OpenFormula } from "./FormulaPage.js";
export function ScalePage(_: { open: OpenFormula; query?: URLSearchParams; revisionId?: string }) { return null; }
