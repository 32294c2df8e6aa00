import type { Consequence } from "@evencrumb/core/plan";

const MINUS = "−";

/** As many decimals as tell the change from its doubt, the same in the whole row. */
export function figureWords({ before, after, change, uncertainty }: Consequence) {
  const smallest = Math.min(...[change, uncertainty].flatMap((one) => (one === undefined || one === 0 ? [] : [Math.abs(one)])));
  const digits = !Number.isFinite(smallest) || smallest >= 10 ? 0 : smallest >= 0.095 ? 1 : smallest >= 0.0095 ? 2 : 3;
  const figure = (value: number | string | undefined) =>
    value === undefined ? "–" : typeof value === "string" ? value : signed(value, digits);
  return {
    before: figure(before),
    after: figure(after),
    change: change === undefined ? "" : `${change > 0 ? "+" : ""}${signed(change, digits)}`,
    uncertainty: uncertainty === undefined ? "" : `± ${signed(uncertainty, digits)}`,
  };
}

function signed(value: number, digits: number): string {
  const text = Math.abs(value).toFixed(digits);
  return value < 0 && Number(text) !== 0 ? `${MINUS}${text}` : text;
}
