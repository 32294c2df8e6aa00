/** What a scale can weigh. */
export interface WeighingSettings {
  /** Below this weight the fine step is used [g]. */
  readonly fineBelow: number;
  /** Step of the fine scale [g]. */
  readonly fineStep: number;
  /** Step of the bench scale [g]. */
  readonly step: number;
}

/** 0.1 g under 10 g, 1 g above. */
export const DEFAULT_WEIGHING: WeighingSettings = { fineBelow: 10, fineStep: 0.1, step: 1 };

// Steps are counted in whole micrograms, so that 0.1 + 0.2 never shows as 0.30000000000000004.
const MICRO = 1e6;

/**
 * A weight as a scale can weigh it.
 *
 * @param grams  0 or more, below 1e9
 * @returns  grams, a whole number of steps; a weight above 0 never becomes 0 but at least one fine step
 * @throws RangeError for a weight that is not a finite number of 0 or more
 */
export function roundWeighable(grams: number, settings: WeighingSettings = DEFAULT_WEIGHING): number {
  checkWeight(grams);
  const step = stepFor(grams, settings);
  const count = nearestCount(grams, step);
  return (grams > 0 && count === 0 ? stepMicro(settings.fineStep) : count * step) / MICRO;
}

export interface RoundedParts {
  /** In the order of the parts given [g]. */
  readonly parts: readonly number[];
  /** The sum of `parts`, exactly [g]; within half a step of the exact sum but where tiny parts had to be kept. */
  readonly total: number;
}

/**
 * Weights as a scale can weigh them, whose sum is exactly the total that is shown with them.
 *
 * Each part moves by less than one step of its own scale; a part above 0 never becomes 0. Parts of the bench scale share out the
 * difference by the largest remainder (Hare quota), earlier parts first where remainders are equal.
 *
 * @throws RangeError for a weight that is not a finite number of 0 or more
 */
export function roundParts(parts: readonly number[], settings: WeighingSettings = DEFAULT_WEIGHING): RoundedParts {
  parts.forEach(checkWeight);
  const exactMicro = parts.reduce((sum, part) => sum + part, 0) * MICRO;
  const coarse: number[] = [];
  const fine: number[] = [];
  parts.forEach((part, index) => {
    if (part > 0) (part >= settings.fineBelow ? coarse : fine).push(index);
  });
  const rounded = new Array<number>(parts.length).fill(0);
  const fineStep = stepMicro(settings.fineStep);
  if (coarse.length === 0) {
    shareOut(fine, parts, fineStep, exactMicro, rounded);
  } else {
    // Small weights keep their own nearest value: 0.1 g matters more to 2 g of baking powder than 1 g to a kilo of flour.
    let fineSum = 0;
    for (const index of fine) {
      rounded[index] = Math.max(1, nearestCount(parts[index]!, fineStep)) * fineStep;
      fineSum += rounded[index]!;
    }
    shareOut(coarse, parts, stepMicro(settings.step), exactMicro - fineSum, rounded);
  }
  const totalMicro = rounded.reduce((sum, part) => sum + part, 0);
  return { parts: rounded.map((part) => part / MICRO), total: totalMicro / MICRO };
}

/** Gives each part its lower step count, then one step more to those with the largest remainders, until the target is met. */
function shareOut(
  indices: readonly number[],
  parts: readonly number[],
  step: number,
  targetMicro: number,
  rounded: number[],
): void {
  const shares = indices.map((index) => {
    const exact = (parts[index]! * MICRO) / step;
    const lower = Math.floor(exact + 1e-9);
    return { index, lower, remainder: Math.max(0, exact - lower), least: lower === 0 };
  });
  const lowest = shares.reduce((sum, share) => sum + share.lower, 0);
  const movable = shares.filter((share) => share.least || share.remainder > 1e-9);
  const wanted = Math.round(targetMicro / step + 1e-9) - lowest;
  // A part that would vanish takes its step first.
  movable.sort((a, b) => Number(b.least) - Number(a.least) || b.remainder - a.remainder || a.index - b.index);
  const vanishing = movable.filter((share) => share.least).length;
  const extra = Math.min(movable.length, Math.max(vanishing, wanted));
  const raised = new Set(movable.slice(0, extra).map((share) => share.index));
  for (const share of shares) rounded[share.index] = (share.lower + (raised.has(share.index) ? 1 : 0)) * step;
}

function stepFor(grams: number, settings: WeighingSettings): number {
  return stepMicro(grams < settings.fineBelow ? settings.fineStep : settings.step);
}

function stepMicro(step: number): number {
  const micro = Math.round(step * MICRO);
  if (!(micro >= 1)) throw new RangeError(`a weighing step of ${step} g is not above 0`);
  return micro;
}

function nearestCount(grams: number, step: number): number {
  return Math.round((grams * MICRO) / step + 1e-9);
}

function checkWeight(grams: number): void {
  if (!(grams >= 0 && grams < 1e9)) throw new RangeError(`${grams} g is not a weight from 0 to 1e9 g`);
}
