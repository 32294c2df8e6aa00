import type { ListLine } from "./listLine.js";
import { buildFormula, type ListReading } from "./readList.js";

/** How the baker settles a line: one of its choices by place, an ingredient with a weight, or leaving it out of the formula. */
export type Settling =
  | { readonly choice: number }
  | { readonly ingredient: string; readonly grams: number | null }
  | { readonly leaveOut: true };

/**
 * Settles one line of a list and builds the formula again.
 *
 * @param index  place in `reading.lines`
 * @param settling  grams is above 0, or null for what is used and not weighed
 * @returns  a new reading; the line is understood and marked as settled, its choices stay so that it can be changed again
 * @throws RangeError for a line or a choice that is not there, or a weight that is none: the caller showed what could be chosen
 */
export function settleLine(reading: ListReading, index: number, settling: Settling): ListReading {
  const line = reading.lines[index];
  if (line === undefined) throw new RangeError(`settleLine: there is no line ${index} among ${reading.lines.length}`);
  const settled = settledLine(line, settling, reading);
  const lines = reading.lines.map((one, at) => (at === index ? settled : one));
  const outline =
    settled.component === undefined || settled.stage === undefined
      ? reading.outline
      : withPlace(reading, settled.component, settled.stage);
  return { ...reading, lines, outline, formula: buildFormula(lines, outline) };
}

function settledLine(line: ListLine, settling: Settling, reading: ListReading): ListLine {
  const { gramsBand: _band, leftOut: _out, ...rest } = line;
  if ("leaveOut" in settling)
    return { ...line, status: "understood", reasons: ["left out by you"], settled: true, leftOut: true };
  let ingredient: string;
  let grams: number | null;
  let why: string;
  if ("choice" in settling) {
    const choice = line.choices?.[settling.choice];
    if (choice === undefined) throw new RangeError(`settleLine: line ${line.lineNumber} has no choice ${settling.choice}`);
    ({ ingredient, grams, why } = choice);
  } else {
    ({ ingredient, grams } = settling);
    why = "as you said";
  }
  if (grams !== null && !(grams > 0 && Number.isFinite(grams)))
    throw new RangeError(`settleLine: ${grams} g is not a weight above 0`);
  // A note that turns out to be an ingredient goes where the lines around it are.
  const near = reading.outline.components[reading.outline.components.length - 1];
  const component = line.component ?? near?.name ?? "Cake";
  const stage = line.stage ?? near?.stages[near.stages.length - 1] ?? "Mix";
  return {
    ...rest,
    kind: "ingredient",
    status: "understood",
    ingredient,
    grams,
    reasons: [`settled: ${why}`],
    settled: true,
    component,
    stage,
  };
}

function withPlace(reading: ListReading, component: string, stage: string): ListReading["outline"] {
  const { outline } = reading;
  const known = outline.components.find((one) => one.name === component);
  if (known?.stages.includes(stage)) return outline;
  const components =
    known === undefined
      ? [...outline.components, { name: component, kind: "cake" as const, stages: [stage] }]
      : outline.components.map((one) => (one === known ? { ...one, stages: [...one.stages, stage] } : one));
  return { ...outline, components };
}
