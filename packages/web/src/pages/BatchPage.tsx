import type { OpenFormula } from "./FormulaPage.js";
export function BatchPage(_: { open: OpenFormula; query?: URLSearchParams; revisionId?: string }) { return null; }
