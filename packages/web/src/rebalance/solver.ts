import { type HighsLike, type OptimisationSolver, solverFromHighs } from "@evencrumb/core/rebalance";
import loadHighs from "highs";
import runtimeAddress from "highs/runtime?url";

let solver: Promise<OptimisationSolver> | undefined;

/** The solver in a worker: fetched once; after a failure the next question tries again. */
export function openSolver(): Promise<OptimisationSolver> {
  solver ??= (loadHighs as unknown as (options: { locateFile: () => string }) => Promise<HighsLike>)({
    locateFile: () => runtimeAddress,
  }).then(solverFromHighs);
  solver.catch(() => {
    solver = undefined;
  });
  return solver;
}
