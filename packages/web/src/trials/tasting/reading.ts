import { answerTasting, planTasting, type TastingAnswer, type TastingPlan, type TastingResult } from "@evencrumb/core/trials";
import type { Tasting } from "../documents.js";

/** Who is served what, with the way in which the answers are to be read. */
export function planOf({ words, question }: Tasting): TastingPlan {
  const alpha = question.alpha;
  return planTasting(alpha === undefined ? words : { ...words, reading: { alpha, ...words.reading } });
}

export const readTasting = (tasting: Tasting, plan: TastingPlan): TastingAnswer => answerTasting(plan, tasting.answers);

/** The cake that the answer speaks for, where it speaks for one of two. More of a property is no verdict. */
export function winnerOf(result: TastingResult, products: readonly string[]): string | undefined {
  if (result.kind === "too few" || result.kind === "discrimination") return undefined;
  if (result.kind === "choice" && result.asked === "more") return undefined;
  const { verdict } = result.answer;
  if (result.kind === "ranking") {
    const { rankSums, different } = result.ranking;
    const best = rankSums.indexOf(Math.min(...rankSums));
    return different.filter((pair) => pair.includes(best)).length === products.length - 1 ? products[best] : undefined;
  }
  if (products.length !== 2) return undefined;
  return verdict === "yes" ? products[1] : verdict === "no" ? products[0] : undefined;
}
