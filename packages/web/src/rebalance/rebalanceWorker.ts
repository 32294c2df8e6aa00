import { bentDemandOf } from "@evencrumb/core/keeping";
import { type HighsLike, type OptimisationSolver, rebalance, solverFromHighs } from "@evencrumb/core/rebalance";
import loadHighs from "highs";
import runtimeAddress from "highs/runtime?url";
import { bookOf } from "../work/bookOf.js";
import { serveJobs } from "../work/serve.js";
import type { RebalanceJobs } from "./jobs.js";

let solver: Promise<OptimisationSolver> | undefined;

/** Fetched once; after a failure the next question tries again. */
function openSolver(): Promise<OptimisationSolver> {
  solver ??= (loadHighs as unknown as (options: { locateFile: () => string }) => Promise<HighsLike>)({
    locateFile: () => runtimeAddress,
  }).then(solverFromHighs);
  solver.catch(() => {
    solver = undefined;
  });
  return solver;
}

serveJobs<RebalanceJobs>({
  async rebalance({ key, request, limits, weighing, ingredients }) {
    const open = await openSolver().catch(() => undefined);
    if (open === undefined) return { key, answer: { status: "no-solver" } };
    const book = bookOf(ingredients);
    const stepGrams = (grams: number) => (grams < weighing.fineBelow ? weighing.fineStep : weighing.step);
    const bent = limits.map((limit) => bentDemandOf(limit, book));
    return { key, answer: rebalance({ ...request, bent, stepGrams }, book, open) };
  },
});
