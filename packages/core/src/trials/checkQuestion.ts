import type { Problem } from "../quantities/index.js";
import { regionPoints } from "./blendRegion.js";
import { checkFactors, type Factor } from "./factors.js";
import type { Question } from "./question.js";
import { tastingQuestionProblems } from "./tastingQuestion.js";

/** What has to be mended in a question before it can be planned; empty when nothing has. */
export function checkQuestion(question: Question): readonly Problem[] {
  const problems: Problem[] = [];
  if ("measure" in question && !(question.matters > 0)) {
    problems.push({
      code: "out-of-range",
      path: ["matters"],
      expected: `a difference above 0 ${question.measure.unit}`,
      found: String(question.matters),
      remedy: "Say how large a difference would change what you bake.",
    });
  }
  if ("measure" in question && question.spread === undefined && question.measure.typicalSd === undefined) {
    problems.push({
      code: "missing-field",
      path: ["spread"],
      expected: `how much ${question.measure.name} varies between bakes that were meant to be the same`,
      found: "nothing",
      remedy: "Bake the standard two or three times and measure it, or give a spread.",
    });
  }
  if (question.perDay !== undefined && !(Number.isInteger(question.perDay) && question.perDay >= 1)) {
    problems.push({
      code: "out-of-range",
      path: ["perDay"],
      expected: "1 bake a day or more",
      found: String(question.perDay),
      remedy: "Write how many bakes one day can take.",
    });
  }
  if (question.kind === "how much" || question.kind === "which blend") {
    const factors: readonly Factor[] =
      question.kind === "how much" ? question.factors : [...question.shares, ...(question.process ?? [])];
    problems.push(...checkFactors(factors));
    if (factors.length === 0)
      problems.push({
        code: "missing-field",
        path: ["factors"],
        expected: "at least one thing that is changed",
        found: "nothing",
        remedy: "Name an ingredient, a time or a temperature with its range.",
      });
    if (factors.length > 8)
      problems.push({
        code: "too-large",
        path: ["factors"],
        expected: "at most 8 things changed in one trial",
        found: String(factors.length),
        remedy: "Split the question in two.",
      });
    if (question.kind === "which blend" && problems.length === 0) {
      const corners = regionPoints({
        lower: question.shares.map(({ lower }) => lower),
        upper: question.shares.map(({ upper }) => upper),
        rules: question.rules ?? [],
      }).vertices;
      if (corners.length < 2)
        problems.push({
          code: "conflict",
          path: ["shares"],
          expected: "limits that leave more than one blend",
          found: `${corners.length} possible`,
          remedy: "Widen the limits, or drop a rule.",
        });
    }
  }
  if (!("measure" in question)) problems.push(...tastingQuestionProblems(question));
  if (
    question.kind === "which of several" &&
    (question.names.length < 2 || new Set(question.names).size !== question.names.length)
  ) {
    problems.push({
      code: "out-of-range",
      path: ["names"],
      expected: "two cakes or more, each with its own name",
      found: question.names.join(", "),
      remedy: "Name what is compared.",
    });
  }
  return problems;
}
