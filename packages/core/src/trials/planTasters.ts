import {
  dPrimeOf,
  guessingChance,
  minimumAgreeing,
  minimumCorrect,
  powerOfDiscrimination,
  tastersForDiscrimination,
  tastersForPreference,
} from "./discrimination.js";
import { percentWords as percent, timesInTen } from "./planWords.js";
import type { QuestionOf, TrialPlan } from "./question.js";
import { planTasting } from "./serving.js";
import { figure } from "./words.js";

export function planLikedBest(question: QuestionOf<"which is liked best">): TrialPlan {
  const { names, tasterCount } = question;
  const tasting = planTasting({
    method: "ranking",
    products: names,
    tasterCount,
    seed: question.seed,
    allergens: question.allergens,
  });
  const least = 1.959963984540054 * Math.sqrt((tasterCount * names.length * (names.length + 1)) / 6);
  return {
    kind: "which is liked best",
    summary: `${tasterCount} tasters put ${names.length} cakes in order of liking, each in the serving order of their sheet.`,
    certainty: `Two cakes are told apart when their sums of places differ by ${Math.ceil(least)} or more, of at most ${tasterCount * (names.length - 1)}.`,
    ifNothingIsSeen: "If no order is agreed on, tastes differ or the cakes are alike; it does not show that they are alike.",
    bakeCount: names.length,
    tasterCount,
    dayCount: 1,
    factors: [],
    settings: [],
    order: [],
    tasting,
    cautions: [...tasting.advice, ...(tasterCount < 8 ? ["With fewer than 8 tasters only a very clear order is noticed."] : [])],
  };
}

export function planTelling(question: QuestionOf<"can people tell">): TrialPlan {
  const method = question.method ?? "triangle";
  const share = question.shareTelling ?? 0.5;
  const alpha = question.alpha ?? 0.05;
  const wanted = question.power ?? 0.8;
  const needed = tastersForDiscrimination({ method, shareTelling: share, alpha, power: wanted });
  const tasterCount = question.tasterCount ?? needed?.stable ?? 2000;
  const power = powerOfDiscrimination(method, tasterCount, share, alpha);
  const correct = minimumCorrect(method, tasterCount, alpha);
  const products = question.names ?? ["A", "B"];
  const tasting = planTasting({ method, products, tasterCount, seed: question.seed, allergens: question.allergens });
  let hidden = share;
  for (hidden = 0.01; hidden < 1 && powerOfDiscrimination(method, tasterCount, hidden, alpha) < wanted; hidden += 0.01);
  const guess = guessingChance(method);
  return {
    kind: "can people tell",
    summary: `${tasterCount} tasters, one ${method} test each; ${correct === undefined ? "even all right would not be enough" : `${correct} right answers or more show that people can tell`}.`,
    certainty: `If ${percent(share)} of people really notice (a difference of ${figure(dPrimeOf(method, guess + share * (1 - guess)), 0.1)} spreads of a taster's impression), it will be shown ${timesInTen(power)}.`,
    ifNothingIsSeen:
      hidden < 1
        ? `If it is not shown, fewer than about ${percent(hidden)} of people notice; it does not show that nobody does.`
        : "If it is not shown, nothing has been learnt: the panel is too small.",
    bakeCount: 2,
    tasterCount,
    dayCount: 1,
    power,
    factors: [],
    settings: [],
    order: [],
    tasting,
    cautions: [
      ...tasting.advice,
      ...(power < wanted
        ? [
            `With ${tasterCount} tasters the chance to notice is only ${percent(power)}${needed === undefined ? "" : `; ${needed.stable} would give ${percent(wanted)}`}.`,
          ]
        : []),
    ],
  };
}

export function planPreference(question: QuestionOf<"which do they prefer">): TrialPlan {
  const share = question.share ?? 0.7;
  const alpha = question.alpha ?? 0.05;
  const wanted = question.power ?? 0.8;
  const needed = tastersForPreference(share, alpha, wanted);
  const tasterCount = question.tasterCount ?? needed?.stable ?? 2000;
  const agreeing = minimumAgreeing(tasterCount, alpha);
  const products = question.names ?? ["A", "B"];
  const tasting = planTasting({
    method: "paired preference",
    products,
    tasterCount,
    seed: question.seed,
    allergens: question.allergens,
  });
  return {
    kind: "which do they prefer",
    summary: `${tasterCount} tasters taste both and say which they prefer; ${agreeing === undefined ? "even if all agreed it would not be enough" : `${agreeing} or more for the same one show a preference`}.`,
    certainty: `If ${percent(share)} of people prefer one, it will be shown ${needed !== undefined && tasterCount >= needed.stable ? timesInTen(wanted) : "less often than you asked for"}.`,
    ifNothingIsSeen:
      "If no preference is shown, the two may be liked by equally many or by different people; they need not be alike.",
    bakeCount: 2,
    tasterCount,
    dayCount: 1,
    factors: [],
    settings: [],
    order: [],
    tasting,
    cautions: [
      ...tasting.advice,
      ...(needed !== undefined && tasterCount < needed.stable
        ? [`${needed.stable} tasters would be needed to notice ${percent(share)}.`]
        : []),
    ],
  };
}
