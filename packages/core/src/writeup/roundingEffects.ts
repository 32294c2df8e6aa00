import { balanceOf } from "../composition/index.js";
import type { Component, Formula } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import { oneLine } from "./plainText.js";

/** What rounding to the reader's measures does to the cake. */
export interface RoundingEffect {
  readonly component: string;
  /** "Sugar to flour". */
  readonly ratio: string;
  readonly beforePercent: number;
  readonly afterPercent: number;
  /** Relative change, 0 to 1. */
  readonly change: number;
  readonly words: string;
}

/**
 * A ratio may move by this much (relative) before it is said: less than a cup of flour differs from the next, which is a tenth and
 * more (common practice, no source).
 */
export const ROUNDING_TOLERANCE = 0.05;

/**
 * Composes the rounded recipe and compares the ratios of its cakes with those of the formula.
 *
 * @param readerGrams  by component, the grams that each use's rounded amount stands for, in the order of stages and uses
 * @returns every ratio that both have, with how far it moved
 */
export function roundingEffects(
  formula: Formula,
  book: IngredientBook,
  readerGrams: readonly (readonly (number | null)[])[],
): readonly RoundingEffect[] {
  return formula.components.flatMap((component, index) => {
    if (component.kind !== "cake") return [];
    const before = balanceOf(component, book).ratios;
    const after = balanceOf(roundedComponent(component, readerGrams[index]!), book).ratios;
    return before.flatMap((ratio, place): RoundingEffect[] => {
      const [beforePercent, afterPercent] = [ratio.percent, after[place]?.percent];
      if (beforePercent === null || afterPercent === null || afterPercent === undefined || beforePercent === 0) return [];
      return [
        {
          component: component.name,
          ratio: ratio.words,
          beforePercent,
          afterPercent,
          change: Math.abs(afterPercent / beforePercent - 1),
          words: `${oneLine(component.name)}: in these measures ${ratio.words.toLowerCase()} goes from ${percent(beforePercent)} to ${percent(afterPercent)}; weigh it where you can.`,
        },
      ];
    });
  });
}

/** One sentence on what the rounding does to all of it. */
export function roundingSummary(effects: readonly RoundingEffect[]): string | undefined {
  if (effects.length === 0) return undefined;
  const worst = effects.reduce((most, effect) => (effect.change > most.change ? effect : most));
  const most = `${(worst.change * 100).toFixed(1)} %`;
  return worst.change <= ROUNDING_TOLERANCE
    ? `Measured so, no ratio of the cake moves by more than ${most} (${worst.ratio.toLowerCase()}); up to ${ROUNDING_TOLERANCE * 100} % is taken as the same cake.`
    : `Measured so, ${worst.ratio.toLowerCase()} moves by ${most}; up to ${ROUNDING_TOLERANCE * 100} % is taken as the same cake.`;
}

function roundedComponent(component: Component, grams: readonly (number | null)[]): Component {
  let at = 0;
  return {
    ...component,
    stages: component.stages.map((stage) => ({
      ...stage,
      uses: stage.uses.map((use) => ({ ...use, grams: grams[at++] ?? null })),
    })),
  };
}

const percent = (value: number) => `${value.toFixed(value < 20 ? 1 : 0)} %`;
