import type { FactorChoice, Form } from "../asking.js";
import type { OpenCake } from "../useCakes.js";

/** What every part of a question is given: what is typed, and what it is typed about. */
export interface AskedProps {
  readonly form: Form;
  readonly set: (change: Partial<Form>) => void;
  readonly cakes: readonly (OpenCake | null)[];
  readonly known: readonly OpenCake[];
  readonly choices: readonly FactorChoice[];
}
