import { createIngredientBook } from "@evencrumb/core/ingredients";
import { judgeBakes, planTrialSteps, settleByRebalancing, settledComponents, settledWords } from "@evencrumb/core/trials";
import { openSolver } from "../rebalance/solver.js";
import { serveJobs } from "../work/serve.js";
import type { TrialJobs } from "./jobs.js";
import { type RunCake, runCake } from "./runs.js";

// A request brings the baker's own ingredients at least; the shipped ones are here.
serveJobs<TrialJobs>({
  async plan(question, tell, breath) {
    const steps = planTrialSteps(question);
    let step = steps.next();
    while (!step.done) {
      tell(step.value);
      step = steps.next((await breath.finishing()) ? "stop" : "go on");
    }
    return step.value;
  },

  async make({ standard, factors, bindings, settings, words, ingredients, owned }, tell) {
    const solver = await openSolver().catch(() => undefined);
    if (solver === undefined) return null;
    const book = createIngredientBook(ingredients);
    const settle = settleByRebalancing(standard, bindings, words, book, solver);
    const settled = settledWords(words, settledComponents(standard, bindings));
    // Runs that are set the same are made once.
    const made = new Map<string, RunCake>();
    return settings.map((setting, index) => {
      const key = JSON.stringify(setting);
      const cake =
        made.get(key) ?? runCake(standard, factors, bindings, setting, { hold: "others", book, owned, settle, settled });
      made.set(key, cake);
      tell({ done: index + 1, of: settings.length });
      return cake;
    });
  },

  async bakes({ standard, runs, ingredients, owned, ovens }, tell, breath) {
    const steps = judgeBakes(standard, runs, createIngredientBook(ingredients), { owned, ovens });
    let step = steps.next();
    while (!step.done) {
      tell(step.value);
      step = steps.next((await breath.finishing()) ? "stop" : "go on");
    }
    return step.value;
  },
});
