import type { OpenFormula } from "./FormulaPage.js";
export function ContainsPage(_: { open: OpenFormula; query?: URLSearchParams; revisionId?: string }) { return null; }
