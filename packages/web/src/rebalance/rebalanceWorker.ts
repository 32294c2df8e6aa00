import { bentDemandOf } from "@evencrumb/core/keeping";
import { rebalance } from "@evencrumb/core/rebalance";
import { bookOf } from "../work/bookOf.js";
import { serveJobs } from "../work/serve.js";
import type { RebalanceJobs } from "./jobs.js";
import { openSolver } from "./solver.js";

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
