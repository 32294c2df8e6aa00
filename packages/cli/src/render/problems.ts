import type { Problem } from "@evencrumb/core/quantities";

/** "sandwich.yaml:12:7: expected a weight such as 250 g, found "25O g". Replace the letter O with a zero." */
export function problemText(problem: Problem, where = ""): string {
  const place = problem.position
    ? `:${problem.position.line}:${problem.position.column}`
    : problem.path.length > 0
      ? ` ${pathText(problem.path)}`
      : "";
  const start = where || place ? `${where}${place}: `.trimStart() : "";
  const found = problem.found === "" ? "" : `, found ${problem.found}`;
  return `${start}expected ${problem.expected}${found}. ${problem.remedy}`;
}

/** "components[0].stages[1].uses[2].grams" */
function pathText(path: Problem["path"]): string {
  return path.reduce<string>(
    (text, step) => (typeof step === "number" ? `${text}[${step}]` : text === "" ? step : `${text}.${step}`),
    "",
  );
}
