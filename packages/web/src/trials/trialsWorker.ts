import { planTrialSteps } from "@evencrumb/core/trials";
import { serveJobs } from "../work/serve.js";
import type { TrialJobs } from "./jobs.js";

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
});
