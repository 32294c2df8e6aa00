import { type Formula, writeFormulaFile } from "@evencrumb/core/formula";
import { download } from "../parts/download.js";

/** The formula as a file that travels, with the own ingredients that it uses. Loaded when it is asked for: it brings the YAML writer. */
export function saveFormulaFile(formula: Formula): void {
  download(`${formula.name}.yaml`, writeFormulaFile(formula), "application/yaml");
}
