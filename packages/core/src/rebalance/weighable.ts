import type { ModelRow } from "./model.js";
import type { PieceGrams } from "./optimum.js";
import { scaleOf, type Unknown } from "./unknowns.js";

/**
 * How far weighing in steps may move a held amount: a fifth of a per cent is less than a scale and a spatula leave behind.
 * Closer is not better: steps that happen to hit the amount exactly lie far from the exact answer.
 */
const HOLD_TOLERANCES = [2e-3, 5e-3, 1e-2, 2e-2];
/** Steps looked at on either side of the nearest one. */
const STEPS_AWAY = 3;
/** Points looked at before the best so far is taken; 8 to 12 ingredients need some hundreds. */
const LOOKS_MOST = 200_000;

export interface WeighableSteps {
  readonly values: readonly number[];
  /** Largest relative miss of a held amount, 0 to 1. */
  readonly miss: number;
}

/**
 * The scale steps nearest to an exact answer that keep the rows; held amounts give way by as little as the steps allow.
 *
 * Nearest is the least sum of relative distances. The search goes through each weight's steps from the nearest outwards and
 * turns back as soon as the distance is no better than the best so far, or a row is out of reach for the weights that are left.
 *
 * @param kept  weights that stay exactly as they are: not touched by the change, or whole pieces already
 */
export function weighableSteps(
  unknowns: readonly Unknown[],
  rows: readonly ModelRow[],
  exact: readonly number[],
  stepGrams: (grams: number) => number,
  pieces: PieceGrams,
): WeighableSteps | undefined {
  const choices = unknowns.map((one, index) => {
    const grams = exact[index]!;
    if (pieces[index] !== undefined) return [grams];
    if (Math.abs(grams - one.before) < 1e-9) return [one.before];
    return stepsAround(grams, stepGrams(grams));
  });
  for (const tolerance of HOLD_TOLERANCES) {
    const values = nearestChoice(choices, loosened(rows, exact, choices, tolerance), exact, unknowns);
    if (values !== undefined) return { values, miss: missOf(rows, values) };
  }
  return undefined;
}

/** The steps of the scale around a weight, nearest first; what is in the mix never rounds to nothing. */
function stepsAround(grams: number, step: number): readonly number[] {
  if (grams < 1e-9) return [0];
  const middle = Math.round(grams / step);
  const steps: number[] = [];
  for (let away = -STEPS_AWAY; away <= STEPS_AWAY; away += 1)
    if (middle + away >= 1) steps.push(Number(((middle + away) * step).toFixed(6)));
  if (steps.length === 0) steps.push(step);
  return steps.sort((one, other) => Math.abs(one - grams) - Math.abs(other - grams));
}

/** Limits on one weight give way to its own step; equations by the tolerance; true limits not at all. */
function loosened(
  rows: readonly ModelRow[],
  exact: readonly number[],
  choices: readonly (readonly number[])[],
  tolerance: number,
): readonly ModelRow[] {
  return rows.map((row) => {
    const terms = row.terms.filter(({ coefficient }) => coefficient !== 0);
    const size = terms.reduce((sum, { variable, coefficient }) => sum + Math.abs(coefficient * exact[variable]!), 0);
    const isEquation = row.lower === row.upper;
    if (terms.length === 1 && isEquation) {
      const { variable, coefficient } = terms[0]!;
      const slack = Math.abs(coefficient) * Math.abs((choices[variable]![0] ?? 0) - exact[variable]!) + size * 1e-9;
      return { ...row, terms, lower: row.lower - slack, upper: row.upper + slack };
    }
    // A share of 100 g that is held is an equation with 0: what it holds is about half of what stands on its two sides.
    const held = Math.abs(row.upper) > size * 1e-9 ? Math.max(Math.abs(row.upper), size * 0.01) : size / 2;
    const slack = isEquation ? tolerance * held : size * 1e-9;
    return { ...row, terms, lower: row.lower - slack, upper: row.upper + slack };
  });
}

function nearestChoice(
  choices: readonly (readonly number[])[],
  rows: readonly ModelRow[],
  exact: readonly number[],
  unknowns: readonly Unknown[],
): readonly number[] | undefined {
  const count = choices.length;
  // The weights that matter most to the rows come first, so that a dead end shows early.
  const order = choices.map((_, index) => index).sort((one, other) => reach(other) - reach(one));
  const coefficients = rows.map(({ terms }) => {
    const dense = new Float64Array(count);
    for (const { variable, coefficient } of terms) dense[variable]! += coefficient;
    return dense;
  });
  // What the weights still to be chosen can add to each row at least and at most.
  const least = rows.map(() => new Float64Array(count + 1));
  const most = rows.map(() => new Float64Array(count + 1));
  const cheapestRest = new Float64Array(count + 1);
  const cost = (index: number, value: number) => Math.abs(value - exact[index]!) / scaleOf(unknowns[index]!, unknowns);
  for (let place = count - 1; place >= 0; place -= 1) {
    const index = order[place]!;
    cheapestRest[place] = cheapestRest[place + 1]! + cost(index, choices[index]![0]!);
    rows.forEach((_, row) => {
      const parts = choices[index]!.map((value) => value * coefficients[row]![index]!);
      least[row]![place] = least[row]![place + 1]! + Math.min(...parts);
      most[row]![place] = most[row]![place + 1]! + Math.max(...parts);
    });
  }
  const sums = new Float64Array(rows.length);
  const chosen = new Float64Array(count);
  let best: Float64Array | undefined;
  let bestCost = Number.POSITIVE_INFINITY;
  let looks = 0;
  const visit = (place: number, spent: number): void => {
    looks += 1;
    if (looks > LOOKS_MOST || spent + cheapestRest[place]! >= bestCost - 1e-12) return;
    for (let row = 0; row < rows.length; row += 1) {
      const { lower, upper } = rows[row]!;
      if (sums[row]! + most[row]![place]! < lower || sums[row]! + least[row]![place]! > upper) return;
    }
    if (place === count) {
      best = Float64Array.from(chosen);
      bestCost = spent;
      return;
    }
    const index = order[place]!;
    for (const value of choices[index]!) {
      chosen[index] = value;
      for (let row = 0; row < rows.length; row += 1) sums[row]! += coefficients[row]![index]! * value;
      visit(place + 1, spent + cost(index, value));
      for (let row = 0; row < rows.length; row += 1) sums[row]! -= coefficients[row]![index]! * value;
    }
  };
  visit(0, 0);
  return best === undefined ? undefined : [...best];

  function reach(index: number): number {
    const steps = choices[index]!;
    return steps.length < 2 ? 0 : Math.abs(steps[0]! - steps[1]!);
  }
}

function missOf(rows: readonly ModelRow[], values: readonly number[]): number {
  let worst = 0;
  for (const { terms, lower, upper } of rows) {
    if (lower !== upper || upper === 0) continue;
    const at = terms.reduce((sum, { variable, coefficient }) => sum + coefficient * values[variable]!, 0);
    worst = Math.max(worst, Math.abs(at / upper - 1));
  }
  return worst;
}
