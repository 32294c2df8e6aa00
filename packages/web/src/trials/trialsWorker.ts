import { planTrial } from "@evencrumb/core/trials";
import { serveJobs } from "../work/serve.js";
import type { TrialJobs } from "./jobs.js";

serveJobs<TrialJobs>({
  plan(question, tell) {
    if (question.kind !== "which blend") return planTrial(question);
    return planTrial({
      ...question,
      onProgress: ({ startsDone, starts, chosen }) => {
        tell({ share: startsDone / starts, runCount: chosen.length });
        return "go on";
      },
    });
  },
});
