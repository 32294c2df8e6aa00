import { answerTrial, bestOfTrial } from "@evencrumb/core/trials";
import { serveJobs } from "../work/serve.js";
import type { AnswerJobs } from "./answerJobs.js";

serveJobs<AnswerJobs>({
  best: (trial) => bestOfTrial(trial, answerTrial(trial)),
});
