import type { Comparison, Equivalence, GroupDifference } from "./compare.js";
import { type Discrimination, exactShareInterval, guessingChance, type Preference } from "./discrimination.js";
import { percentWords as percent } from "./planWords.js";
import type { pageTest, Ranking } from "./ranking.js";
import { USUAL_MEASURES } from "./sheet.js";
import { type Answer, chanceWords, figure, sayComparison, sayGroups, sayRanking } from "./words.js";

const LIKING = USUAL_MEASURES.find(({ name }) => name === "liking")!;

/** Which is liked better, by marks. */
export function sayLiking(words: {
  readonly products: readonly string[];
  readonly differences: readonly GroupDifference[];
  readonly comparison?: Comparison | undefined;
  readonly equivalence?: Equivalence | undefined;
  readonly p: number;
  readonly paired: boolean;
  readonly matters?: number;
}): Answer {
  const { products, differences, comparison, equivalence, p, paired, matters } = words;
  const unpaired = paired ? [] : ["Let the same people taste both next time: what each likes in general is then taken out."];
  if (comparison?.kind === "compared") {
    const said = sayComparison(
      comparison,
      { first: products[0]!, second: products[1]!, measure: LIKING, ...(matters === undefined ? {} : { matters }) },
      equivalence,
    );
    if (said.verdict !== "not shown")
      return {
        ...said,
        sentence: said.sentence.replace(
          /(\S+) points of 9 of each other/,
          (_, size) => `${size} ${size === "1" ? "point" : "points"} of each other`,
        ),
        next: [...said.next, ...unpaired],
      };
    const { from, to } = comparison.difference;
    const large = matters !== undefined && Math.max(-from, to) > matters;
    return {
      ...said,
      next: [
        large
          ? `A difference of ${matters} ${matters === 1 ? "point" : "points"} may still be there: take more tasters, or choose by cost and ease.`
          : "Choose by cost, keeping or ease.",
        ...unpaired,
      ],
    };
  }
  const said = sayGroups(differences, LIKING);
  return {
    ...said,
    certainty:
      said.verdict === "yes"
        ? `${chanceWords(p).replace("they were equal", "all were liked the same")} ${said.certainty}`
        : said.certainty,
    next: [...(said.verdict === "yes" ? said.next : ["Take more tasters, or choose among them by cost and ease."]), ...unpaired],
  };
}

/** Whether the second has more of a property, where only that was looked for (2-AFC and 3-AFC). */
export function sayMore(result: Discrimination, names: readonly [string, string], property: string, alpha = 0.05): Answer {
  const { correct, tasterCount, shareTelling, method } = result;
  const [first, second] = names;
  const counted = `${correct} of ${tasterCount} picked it`;
  if (result.p <= alpha) {
    const range = oneSided(result, alpha);
    return {
      verdict: "yes",
      sentence: `${capital(second)} has more ${property}: ${counted}, about ${percent(shareTelling.estimate)} really notice (between ${range[0]} and ${range[1]}).`,
      certainty: chanceWords(result.p).replace("if they were equal", "by guessing alone"),
      next: [`Ask which they prefer: more ${property} need not be better.`],
    };
  }
  const few = correct < tasterCount * guessingChance(method);
  return {
    verdict: "not shown",
    sentence: `It was not shown that ${second} has more ${property}: ${counted}, which guessing can do. Up to ${percent(shareTelling.to)} of people may still notice.`,
    certainty: `With ${tasterCount} tasters in a ${method} test a small difference is easily missed.`,
    next: [
      few
        ? `Fewer picked it than by guessing: if ${first} may have more, ask again which of the two has more.`
        : "Take more tasters, or say that nothing was seen and not that they are the same.",
    ],
  };
}

/** Which of two has more of a property, where it might have been either. */
export function sayMoreEither(result: Preference, names: readonly [string, string], property: string, alpha = 0.05): Answer {
  const { forB, tasterCount, share } = result;
  const second = forB * 2 >= tasterCount;
  const leader = names[second ? 1 : 0];
  const count = Math.max(forB, tasterCount - forB);
  const range = second ? [share.from, share.to] : [1 - share.to, 1 - share.from];
  const chance = chanceWords(result.p)
    .replace("if they were equal", "by guessing alone")
    .replace("they are equal", "people only guess");
  if (result.p <= alpha)
    return {
      verdict: "yes",
      sentence: `${capital(leader)} has more ${property}: ${count} of ${tasterCount} picked it; among people like these it would be between ${percent(range[0]!)} and ${percent(range[1]!)}.`,
      certainty: chance,
      next: [`Ask which they prefer: more ${property} need not be better.`],
    };
  return {
    verdict: "not shown",
    sentence: `It was not shown that either has more ${property}: ${count} of ${tasterCount} picked ${leader}, which guessing can do.`,
    certainty: `Among people like these ${percent(range[0]!)} to ${percent(range[1]!)} might pick ${leader}.`,
    next: ["Take more tasters, or say that nothing was seen and not that they are the same."],
  };
}

/** Whether at most `limit` of people notice. "Nothing was seen" would not say that; this does. */
export function sayLikeness(result: Discrimination, limit: number, allowed: number | undefined): Answer {
  const { correct, tasterCount, method } = result;
  const counted = `${correct} of ${tasterCount} answered right`;
  if (allowed !== undefined && correct <= allowed)
    return {
      verdict: "same",
      sentence: `At most ${percent(limit)} of people notice: ${counted}, and ${allowed} were allowed.`,
      certainty: "Were it more, so few right answers would come less than once in twenty times.",
      next: ["Use the cheaper or easier one, if it does not matter that so few may notice."],
    };
  return {
    verdict: "not shown",
    sentence: `It was not shown that at most ${percent(limit)} notice: ${counted}${allowed === undefined ? "" : `, and ${allowed} were allowed`}. Up to ${percent(result.shareTelling.to)} may notice.`,
    certainty: `With ${tasterCount} tasters in a ${method} test likeness is hard to show; that is no proof that they differ.`,
    next: ["Take more tasters, bring the two closer, or accept that some may notice."],
  };
}

/** An order that was expected, and whether the tasters follow it. The usual reading of the ranking comes with it. */
export function sayExpectedOrder(
  ranking: Ranking,
  page: ReturnType<typeof pageTest>,
  names: readonly string[],
  expected: readonly string[],
  alpha = 0.05,
): Answer {
  const said = sayRanking(ranking, names, alpha);
  const order = expected.join(", then ");
  const chance = chanceWords(page.p)
    .replace("they were equal", "all were liked the same")
    .replace("they are equal", "all are liked the same");
  if (page.p <= alpha)
    return {
      verdict: "yes",
      sentence: `The tasters follow the order you expected: ${order}.`,
      certainty: chance,
      next: [
        said.verdict === "yes" ? said.sentence : "Which of them differ from each other is not shown: only the order as a whole.",
        ...said.next,
      ],
    };
  return {
    verdict: said.verdict === "yes" ? "no" : "not shown",
    sentence: `The order you expected was not shown: ${order}. ${said.sentence}`,
    certainty: said.verdict === "yes" ? said.certainty : chance,
    next: said.next,
  };
}

/** Ends of the share who notice that agree with a test that looks one way: alpha on either side. */
function oneSided({ correct, tasterCount, method }: Discrimination, alpha: number): readonly [string, string] {
  const guess = guessingChance(method);
  const { from, to } = exactShareInterval(correct, tasterCount, 1 - 2 * alpha);
  const telling = (share: number) => percent(Math.max(0, (share - guess) / (1 - guess)));
  return [telling(from), telling(to)];
}

/** A mean mark as it is said: "6.4, between 5.6 and 7.2". */
export const sayMean = ({ mean, from, to }: { readonly mean: number; readonly from: number; readonly to: number }): string =>
  `${figure(mean, (to - from) / 4)}, between ${figure(from, (to - from) / 4)} and ${figure(to, (to - from) / 4)}`;

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
