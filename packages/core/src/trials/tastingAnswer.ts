import {
  analyseDiscrimination,
  analysePreference,
  type Discrimination,
  type DiscriminationMethod,
  guessingChance,
  maximumCorrectForSimilarity,
  type Preference,
} from "./discrimination.js";
import { analyseLiking, type Liking, whyNoLiking } from "./liking.js";
import { pageTest, type Ranking, rankingTest } from "./ranking.js";
import { countAnswers, type TasterAnswer, type TastingCount, type TastingPlan } from "./serving.js";
import { sayExpectedOrder, sayLikeness, sayMore, sayMoreEither } from "./tastingWords.js";
import { type Answer, sayDiscrimination, sayPreference, sayRanking } from "./words.js";

/** What a tasting says: the test that belongs to how it was served, and its answer in words. */
export type TastingResult =
  /** Nothing can be said yet, and why. */
  | { readonly kind: "too few"; readonly why: string }
  | {
      readonly kind: "discrimination";
      readonly discrimination: Discrimination;
      /** Right answers that guessing alone would bring. */
      readonly byGuessing: number;
      readonly answer: Answer;
    }
  | {
      /** A choice between two: which is preferred, or (`asked` "more") which has more. */
      readonly kind: "choice";
      readonly asked: "preference" | "more";
      readonly preference: Preference;
      readonly byGuessing: number;
      readonly answer: Answer;
    }
  | {
      readonly kind: "ranking";
      readonly ranking: Ranking;
      /** Only where an order was expected: Page's test of it. */
      readonly page?: ReturnType<typeof pageTest>;
      readonly answer: Answer;
    }
  | { readonly kind: "liking"; readonly liking: Liking; readonly answer: Answer };

export interface TastingAnswer {
  readonly count: TastingCount;
  readonly result: TastingResult;
}

/** Reads the answers of a tasting by its plan. Answers that do not fit are named in the count and left out. */
export function answerTasting(plan: TastingPlan, answers: readonly TasterAnswer[]): TastingAnswer {
  const count = countAnswers(plan, answers);
  return { count, result: resultOf(plan, count) };
}

function resultOf({ words }: TastingPlan, { answered, correct, chosen, rows }: TastingCount): TastingResult {
  const { method, products, reading } = words;
  const alpha = reading?.alpha ?? 0.05;
  const two = products as readonly [string, string];
  if (answered < 2) return { kind: "too few", why: answered === 0 ? "no answers yet" : "one answer; at least 2 are needed" };
  switch (method) {
    case "liking": {
      const why = whyNoLiking(rows!, products);
      if (why !== undefined) return { kind: "too few", why };
      const liking = analyseLiking(rows!, products, 1 - alpha, reading);
      return { kind: "liking", liking, answer: liking.answer };
    }
    case "ranking": {
      const ranks = rows as readonly (readonly number[])[];
      const ranking = rankingTest(ranks, alpha);
      const expected = reading?.expected;
      if (expected === undefined || products.length < 3)
        return { kind: "ranking", ranking, answer: sayRanking(ranking, products, alpha) };
      const page = pageTest(ranks.map((row) => expected.map((name) => row[products.indexOf(name)]!)));
      return { kind: "ranking", ranking, page, answer: sayExpectedOrder(ranking, page, products, expected, alpha) };
    }
    case "paired preference": {
      const preference = analysePreference(chosen![1]!, answered, 1 - alpha);
      const answer = sayPreference(preference, two[0], two[1], alpha);
      return { kind: "choice", asked: "preference", preference, byGuessing: answered / 2, answer };
    }
    case "2-AFC":
      if (reading?.side === "either") {
        const preference = analysePreference(correct!, answered, 1 - alpha);
        const answer = sayMoreEither(preference, two, words.property ?? "of it", alpha);
        return { kind: "choice", asked: "more", preference, byGuessing: answered / 2, answer };
      }
      return discriminationOf(method, words, correct!, answered, alpha);
    default:
      return discriminationOf(method, words, correct!, answered, alpha);
  }
}

function discriminationOf(
  method: DiscriminationMethod,
  { products, property, reading }: TastingPlan["words"],
  correct: number,
  answered: number,
  alpha: number,
): TastingResult {
  const discrimination = analyseDiscrimination(method, correct, answered);
  const limit = reading?.share ?? 0.3;
  const answer =
    reading?.aim === "likeness"
      ? sayLikeness(discrimination, limit, maximumCorrectForSimilarity(method, answered, limit, alpha))
      : method.endsWith("AFC") && property !== undefined
        ? sayMore(discrimination, products as readonly [string, string], property, alpha)
        : sayDiscrimination(discrimination, alpha);
  return { kind: "discrimination", discrimination, byGuessing: guessingChance(method) * answered, answer };
}
