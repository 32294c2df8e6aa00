import type { Formula } from "@evencrumb/core/formula";
import type { Ingredient } from "@evencrumb/core/ingredients";
import type { ConsequenceReport } from "@evencrumb/core/plan";
import type { PriceInputs } from "@evencrumb/core/price";
import type { NamedTin } from "@evencrumb/core/tins";
import { WorkBridge } from "../work/bridge.js";

export interface CompareJobs {
  readonly consequences: {
    readonly request: {
      readonly before: Formula;
      readonly after: Formula;
      readonly ownedTins: readonly NamedTin[];
      readonly ingredients: readonly Ingredient[];
      /** With it the cost is compared. */
      readonly price?: PriceInputs;
    };
    readonly progress: never;
    readonly answer: ConsequenceReport;
  };
}

export const compareWork = new WorkBridge<CompareJobs>(
  () => new Worker(new URL("./consequencesWorker.ts", import.meta.url), { type: "module" }),
);
