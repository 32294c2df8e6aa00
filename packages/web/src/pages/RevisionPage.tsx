import type { OpenFormula } from "./FormulaPage.js";
export function RevisionPage(_: { open: OpenFormula; query?: URLSearchParams; revisionId?: string }) { return null; }
