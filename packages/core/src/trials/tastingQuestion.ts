import type { Problem } from "../quantities/index.js";
import {
  type DiscriminationMethod,
  dPrimeOf,
  guessingChance,
  maximumCorrectForSimilarity,
  minimumAgreeing,
  minimumCorrect,
  powerOfDiscrimination,
  powerOfSimilarity,
  tastersForDiscrimination,
  tastersForPreference,
} from "./discrimination.js";
import { percentWords as percent, timesInTen } from "./planWords.js";
import type { BenchWords, TrialPlan } from "./question.js";
import { planTasting, type TastingReadingWords, type TastingWords } from "./serving.js";
import { type Spread, USUAL_MEASURES } from "./sheet.js";
import {
  likingNoticed,
  powerOfLiking,
  powerOfPreference,
  powerOfRanking,
  rankingNoticed,
  tastersForLiking,
  tastersForRanking,
  tastersForSimilarity,
} from "./tastingPower.js";
import { figure } from "./words.js";

interface TastedWords extends BenchWords {
  /** Without it the plan says how many it takes. */
  readonly tasterCount?: number;
  /** Of everything that is tasted; every taster is told first. */
  readonly allergens: readonly string[];
}

/** A question that people answer with their mouths. */
export type TastingQuestion =
  | (TastedWords & {
      readonly kind: "can people tell";
      readonly method?: DiscriminationMethod;
      /** Share of people who really notice that matters, 0 to 1; default 0.5, for likeness 0.3. */
      readonly shareTelling?: number;
      /** "likeness": to show that hardly anybody notices, which takes far more tasters; default "difference". */
      readonly aim?: "difference" | "likeness";
      readonly names?: readonly [string, string];
      /** For 2-AFC and 3-AFC: what is asked for. */
      readonly property?: string;
    })
  | (TastedWords & {
      readonly kind: "which has more";
      /** "sweetness", "lemon flavour": explained to the tasters before they taste. */
      readonly property: string;
      /** Default 2-AFC. */
      readonly method?: "2-AFC" | "3-AFC";
      /** "second": the second is expected to have more, and only that is looked for; "either" (2-AFC only): it may be either. */
      readonly side?: "second" | "either";
      readonly shareTelling?: number;
      readonly names?: readonly [string, string];
    })
  | (TastedWords & {
      readonly kind: "which do they prefer";
      /** Share that would have to prefer one for it to matter, above 0.5; default 0.7. */
      readonly share?: number;
      readonly names?: readonly [string, string];
    })
  | (TastedWords & {
      readonly kind: "which is liked best";
      readonly names: readonly string[];
      /** The order that is expected, the best first, named before anything is tasted: the same names. */
      readonly expected?: readonly string[];
      /** Share of tasters who would have to place the best before another for it to matter, above 0.5; default 0.7. */
      readonly share?: number;
    })
  | (TastedWords & {
      readonly kind: "how well is it liked";
      readonly names: readonly string[];
      /** Difference in mean marks that would change what is baked [points of 9]; default 1. */
      readonly matters?: number;
      /** The baker's own spread of one mark; without it the usual assumption. */
      readonly spread?: Spread;
    });

type Of<K extends TastingQuestion["kind"]> = Extract<TastingQuestion, { kind: K }>;

/** What has to be mended before it can be planned. */
export function tastingQuestionProblems(question: TastingQuestion): readonly Problem[] {
  const problems: Problem[] = [];
  const say = (path: string, expected: string, found: string, remedy: string) =>
    problems.push({ code: "out-of-range", path: [path], expected, found, remedy });
  const { names } = question;
  if (names !== undefined && (names.length < 2 || new Set(names).size !== names.length))
    say("names", "two cakes or more, each with its own name", names.join(", "), "Name what is compared.");
  if (question.kind === "how well is it liked" && question.matters !== undefined && !(question.matters > 0))
    say(
      "matters",
      "a difference above 0 points",
      String(question.matters),
      "Say how large a difference would change what you bake.",
    );
  if (question.kind === "which has more" && question.side === "either" && question.method === "3-AFC")
    say("side", "second, for a 3-AFC test", "either", "Serve two samples (2-AFC), or say which is expected to have more.");
  if (question.kind === "which is liked best" && question.expected !== undefined) {
    const { expected } = question;
    if (question.names.length < 3)
      say("expected", "an expected order of three cakes or more", expected.join(", "), "Leave it out for two.");
    else if (expected.length !== question.names.length || question.names.some((name) => !expected.includes(name)))
      say("expected", `each of ${question.names.join(", ")} once`, expected.join(", "), "Name every cake once, the best first.");
  }
  return problems;
}

/** How many tasters it takes, who is served what, and what is learnt if nothing is seen. */
export function planTastingQuestion(question: TastingQuestion): TrialPlan {
  switch (question.kind) {
    case "can people tell":
      return question.aim === "likeness" ? planLikeness(question) : planTelling(question);
    case "which has more":
      return question.side === "either" ? planMoreEither(question) : planTelling(question);
    case "which do they prefer":
      return planPreference(question);
    case "which is liked best":
      return planLikedBest(question);
    case "how well is it liked":
      return planLiking(question);
  }
}

/** The larger of what was asked for and, where nothing was, what it takes. */
const countOf = (question: TastedWords, needed: number | undefined, most = 2000) => question.tasterCount ?? needed ?? most;

function planTelling(question: Of<"can people tell"> | Of<"which has more">): TrialPlan {
  const directed = question.kind === "which has more";
  const method = question.method ?? (directed ? "2-AFC" : "triangle");
  const share = question.shareTelling ?? 0.5;
  const alpha = question.alpha ?? 0.05;
  const wanted = question.power ?? 0.8;
  const needed = tastersForDiscrimination({ method, shareTelling: share, alpha, power: wanted });
  const tasterCount = countOf(question, needed?.stable);
  const power = powerOfDiscrimination(method, tasterCount, share, alpha);
  const correct = minimumCorrect(method, tasterCount, alpha);
  const [first, second] = question.names ?? ["A", "B"];
  const { property } = question;
  const hidden = hiddenShare((telling) => powerOfDiscrimination(method, tasterCount, telling, alpha) >= wanted);
  const guess = guessingChance(method);
  const shown = directed ? `${second} has more ${property}` : "people can tell";
  return finished(
    question,
    {
      method,
      products: [first, second],
      tasterCount,
      ...(property === undefined ? {} : { property }),
    },
    {
      summary: `${tasterCount} tasters, one ${method} test each; ${
        correct === undefined
          ? "even all right would not be enough"
          : directed
            ? `${correct} or more who pick ${second} show that it has more ${property}`
            : `${correct} right answers or more show that ${shown}`
      }.`,
      certainty: `If ${percent(share)} of people really notice (a difference of ${figure(dPrimeOf(method, guess + share * (1 - guess)), 0.1)} spreads of a taster's impression), it will be shown ${timesInTen(power)}.`,
      ifNothingIsSeen:
        hidden === undefined
          ? "If it is not shown, nothing has been learnt: the panel is too small."
          : `If it is not shown, fewer than about ${percent(hidden)} of people notice; it does not show that nobody does.`,
      power,
      cautions: [
        ...tooFew(tasterCount, power, wanted, needed?.stable),
        ...(directed ? [`That ${first} has more ${property} is not looked for here: say so now if it might be.`] : []),
      ],
    },
  );
}

function planMoreEither(question: Of<"which has more">): TrialPlan {
  const share = question.shareTelling ?? 0.5;
  const alpha = question.alpha ?? 0.05;
  const wanted = question.power ?? 0.8;
  const picked = (telling: number) => 0.5 + telling / 2;
  const needed = tastersForPreference(picked(share), alpha, wanted);
  const tasterCount = countOf(question, needed?.stable);
  const power = powerOfPreference(tasterCount, picked(share), alpha);
  const agreeing = minimumAgreeing(tasterCount, alpha);
  const hidden = hiddenShare((telling) => powerOfPreference(tasterCount, picked(telling), alpha) >= wanted);
  return finished(
    question,
    {
      method: "2-AFC",
      products: question.names ?? ["A", "B"],
      tasterCount,
      property: question.property,
      reading: { side: "either" },
    },
    {
      summary: `${tasterCount} tasters taste both and say which has more ${question.property}; ${agreeing === undefined ? "even if all agreed it would not be enough" : `${agreeing} or more for the same one show it`}.`,
      certainty: `If ${percent(share)} of people really notice, it will be shown ${timesInTen(power)}.`,
      ifNothingIsSeen:
        hidden === undefined
          ? "If it is not shown, nothing has been learnt: the panel is too small."
          : `If it is not shown, fewer than about ${percent(hidden)} of people notice; it does not show that nobody does.`,
      power,
      cautions: tooFew(tasterCount, power, wanted, needed?.stable),
    },
  );
}

function planLikeness(question: Of<"can people tell">): TrialPlan {
  const method = question.method ?? "triangle";
  const limit = question.shareTelling ?? 0.3;
  const beta = question.alpha ?? 0.05;
  const wanted = question.power ?? 0.8;
  const needed = tastersForSimilarity(method, limit, beta, wanted);
  const tasterCount = countOf(question, needed?.stable);
  const power = powerOfSimilarity(method, tasterCount, 0, limit, beta);
  const allowed = maximumCorrectForSimilarity(method, tasterCount, limit, beta);
  return finished(
    question,
    {
      method,
      products: question.names ?? ["A", "B"],
      tasterCount,
      ...(question.property === undefined ? {} : { property: question.property }),
      reading: { aim: "likeness", share: limit },
    },
    {
      summary: `${tasterCount} tasters, one ${method} test each; ${allowed === undefined ? "no result could show likeness with so few" : `${allowed} right answers or fewer show that at most ${percent(limit)} of people notice`}.`,
      certainty: `If in truth nobody notices, it will be shown ${timesInTen(power)}; if ${percent(limit)} do, it will be said wrongly once in ${Math.round(1 / beta)}.`,
      ifNothingIsSeen: "If likeness is not shown, it is not shown that they differ either: more may notice than you allow.",
      power,
      cautions: [
        ...tooFew(tasterCount, power, wanted, needed?.stable),
        "Each taster answers once: the same person twice would count a guess as two.",
      ],
    },
  );
}

function planPreference(question: Of<"which do they prefer">): TrialPlan {
  const share = question.share ?? 0.7;
  const alpha = question.alpha ?? 0.05;
  const wanted = question.power ?? 0.8;
  const needed = tastersForPreference(share, alpha, wanted);
  const tasterCount = countOf(question, needed?.stable);
  const power = powerOfPreference(tasterCount, share, alpha);
  const agreeing = minimumAgreeing(tasterCount, alpha);
  const hidden = hiddenShare((half) => powerOfPreference(tasterCount, 0.5 + half / 2, alpha) >= wanted);
  return finished(
    question,
    { method: "paired preference", products: question.names ?? ["A", "B"], tasterCount },
    {
      summary: `${tasterCount} tasters taste both and say which they prefer; ${agreeing === undefined ? "even if all agreed it would not be enough" : `${agreeing} or more for the same one show a preference`}.`,
      certainty: `If ${percent(share)} of people prefer one, it will be shown ${timesInTen(power)}.`,
      ifNothingIsSeen: `If no preference is shown, the two may be liked by equally many or by different people; they need not be alike.${hidden === undefined ? "" : ` Fewer than about ${percent(0.5 + hidden / 2)} then prefer either.`}`,
      power,
      cautions: tooFew(tasterCount, power, wanted, needed?.stable),
    },
  );
}

function planLikedBest(question: Of<"which is liked best">): TrialPlan {
  const { names, expected } = question;
  const share = question.share ?? 0.7;
  const alpha = question.alpha ?? 0.05;
  const wanted = question.power ?? 0.8;
  const asked = { productCount: names.length, share, ordered: expected !== undefined, alpha, power: wanted };
  const needed = tastersForRanking(asked);
  const tasterCount = countOf(question, needed, 500);
  const power = powerOfRanking(asked, tasterCount);
  const noticed = rankingNoticed(asked, tasterCount);
  const least = 1.959963984540054 * Math.sqrt((tasterCount * names.length * (names.length + 1)) / 6);
  const matters =
    expected === undefined
      ? `${percent(share)} of people place the best before any one of the others`
      : `${percent(share)} of people place each cake before the next in your order`;
  return finished(
    question,
    {
      method: "ranking",
      products: names,
      tasterCount,
      ...(expected === undefined ? {} : { reading: { expected } }),
    },
    {
      summary: `${tasterCount} tasters put ${names.length} cakes in order of liking, each in the serving order of their sheet.`,
      certainty: `If ${matters}, it will be shown ${timesInTen(power)}. Two cakes are told apart when their sums of places differ by ${Math.ceil(least)} or more, of at most ${tasterCount * (names.length - 1)}.`,
      ifNothingIsSeen: `If no order is agreed on, tastes differ or the cakes are alike; it does not show that they are alike.${noticed === undefined ? "" : ` An order that ${percent(noticed)} of people share would have been noticed.`}`,
      power,
      cautions: [
        ...tooFew(tasterCount, power, wanted, needed),
        ...(tasterCount < 8 ? ["With fewer than 8 tasters only a very clear order is noticed."] : []),
        ...manyCakes(names.length),
      ],
    },
  );
}

function planLiking(question: Of<"how well is it liked">): TrialPlan {
  const { names } = question;
  const matters = question.matters ?? 1;
  const alpha = question.alpha ?? 0.05;
  const wanted = question.power ?? 0.8;
  const typical = USUAL_MEASURES.find(({ name }) => name === "liking")!.typicalSd!;
  const spread = question.spread ?? { sd: typical.value, df: 0, source: typical.source };
  const asked = { productCount: names.length, matters, sd: spread.sd, alpha, power: wanted };
  const needed = tastersForLiking(asked);
  const tasterCount = countOf(question, needed);
  const power = powerOfLiking(asked, Math.max(2, tasterCount));
  const least = likingNoticed(asked, Math.max(2, tasterCount));
  return finished(
    question,
    { method: "liking", products: names, tasterCount, reading: { matters } },
    {
      summary: `${tasterCount} tasters give each of ${names.length} cakes a mark from 1 to 9; every taster tastes all of them.`,
      certainty: `If two cakes differ by ${matters} ${matters === 1 ? "point" : "points"} on average, it will be shown ${timesInTen(power)}, if one mark varies by ${figure(spread.sd, spread.sd / 3)} points (${spread.df > 0 ? `${spread.source}, ${spread.df} to judge it by` : "assumed"}).`,
      ifNothingIsSeen: `If no difference is seen, a true one of ${figure(least, least / 3)} points or more is unlikely; a smaller one may still be there.`,
      power,
      cautions: [
        ...tooFew(tasterCount, power, wanted, needed),
        ...(question.spread === undefined
          ? [`The spread of ${typical.value} points is an assumption, not that of your tasters: the answer uses theirs.`]
          : []),
        ...manyCakes(names.length),
      ],
    },
  );
}

/** Common practice, no source: after four or five cakes sweetness and fat dull the palate. */
const manyCakes = (count: number): readonly string[] =>
  count > 5 ? [`${count} cakes in a row dull the palate: serve small pieces, with water between, or split the tasting.`] : [];

const tooFew = (tasterCount: number, power: number, wanted: number, needed: number | undefined): readonly string[] =>
  power < wanted
    ? [
        `With ${tasterCount} tasters the chance to notice is only ${percent(power)}${needed === undefined ? "" : `; ${needed} would give ${percent(wanted)}`}.`,
      ]
    : [];

/** Smallest share, in whole percent, that would have been noticed. */
function hiddenShare(noticed: (share: number) => boolean): number | undefined {
  for (let hundredth = 1; hundredth < 100; hundredth++) if (noticed(hundredth / 100)) return hundredth / 100;
  return undefined;
}

function finished(
  question: TastingQuestion,
  served: Pick<TastingWords, "method" | "products" | "tasterCount" | "property"> & { readonly reading?: TastingReadingWords },
  words: Pick<TrialPlan, "summary" | "certainty" | "ifNothingIsSeen" | "cautions"> & { readonly power: number },
): TrialPlan {
  const reading = { ...served.reading, ...(question.alpha === undefined ? {} : { alpha: question.alpha }) };
  const tasting = planTasting({
    ...served,
    seed: question.seed,
    allergens: question.allergens,
    ...(Object.keys(reading).length === 0 ? {} : { reading }),
  });
  return {
    kind: question.kind,
    ...words,
    bakeCount: served.products.length,
    tasterCount: served.tasterCount,
    dayCount: 1,
    factors: [],
    settings: [],
    order: [],
    tasting,
    cautions: [...tasting.advice, ...words.cautions],
  };
}
