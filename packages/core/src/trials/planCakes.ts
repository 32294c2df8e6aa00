import { bakesForDifference, noticeableDifference, powerOfComparison } from "./compare.js";
import { fQuantile, noncentralFUpper } from "./distributions.js";
import type { ChoiceFactor, Setting } from "./factors.js";
import { percentWords as percent, timesInTen } from "./planWords.js";
import type { QuestionOf, TrialPlan } from "./question.js";
import { createRandom } from "./random.js";
import { type PlacedRun, runOrder } from "./runOrder.js";
import { bakesForSameness, powerOfSameness } from "./sameness.js";
import { orderWords, spreadOf, spreadWords } from "./spreadWords.js";
import { figure } from "./words.js";

export function planBetter(question: QuestionOf<"better">): TrialPlan {
  const { measure, matters, pairing } = question;
  const [first, second] = question.names ?? ["A", "B"];
  const { spread, caution } = spreadOf(question);
  const alpha = question.alpha ?? 0.05;
  const wanted = question.power ?? 0.8;
  const paired = pairing !== "apart";
  // A pair shares its day: its difference holds the spread within a day twice. A bake on a day of its own holds it once and the
  // day's spread once; days are taken to differ as much as bakes within a day (assumption). Both come to the same factor.
  const sd = Math.SQRT2 * spread.sd;
  const aim = question.aim ?? "better";
  const judge = { difference: matters, sd, paired, alpha, power: wanted };
  const found = aim === "better" ? bakesForDifference(judge) : bakesForSameness({ ...judge, aim });
  let count = found?.count ?? 1000;
  if (pairing === "shelves" && count % 2 === 1) count++; // as often one way round as the other
  if (pairing === "shelves") count = Math.max(count, 4);
  const limited = question.most !== undefined && count > question.most;
  if (limited) count = Math.max(2, question.most!);
  const power = aim === "better" ? powerOfComparison({ ...judge, count }) : powerOfSameness({ ...judge, count, aim });
  const least = noticeableDifference({ sd, paired, count, alpha, power: wanted });
  const factor: ChoiceFactor = { kind: "choice", name: "cake", levels: [first, second] };
  const settings: Setting[] = [];
  let order: PlacedRun[];
  const random = createRandom(question.seed);
  if (paired) {
    const swaps = random.shuffled(Array.from({ length: count }, (_, index) => index % 2 === 0));
    order = [];
    for (let pair = 0; pair < count; pair++) {
      const names = swaps[pair] ? [first, second] : [second, first];
      for (const [place, name] of names.entries()) {
        order.push({
          runIndex: settings.length,
          day: pair,
          load: pairing === "shelves" ? 0 : place,
          position: pairing === "shelves" ? place : 0,
        });
        settings.push({ cake: name!, ...(pairing === "shelves" ? { shelf: place === 0 ? "upper" : "lower" } : {}) });
      }
    }
  } else {
    for (let index = 0; index < count; index++) settings.push({ cake: first }, { cake: second });
    order = runOrder(settings.length, orderWords(question));
  }
  const how =
    pairing === "days"
      ? `Bake ${first} and ${second} on each of ${count} days, in the order of the sheet.`
      : pairing === "shelves"
        ? `Bake ${first} and ${second} together ${count} times, swapping their shelves as the sheet says.`
        : `Bake ${count} of ${first} and ${count} of ${second}, in the order of the sheet.`;
  const unit = measure.unit;
  return {
    kind: "better",
    summary: how,
    ...(aim === "better"
      ? {
          certainty: `A difference of ${matters} ${unit} in ${measure.name} would then be noticed ${timesInTen(power)}, ${spreadWords(spread, unit)}; where there is none, a false alarm comes once in ${Math.round(1 / alpha)}.`,
          ifNothingIsSeen: `If no difference is seen, a true one of ${figure(least, least / 3)} ${unit} or more is unlikely (it would have been noticed ${timesInTen(wanted)}); a smaller one may still be there.`,
        }
      : {
          certainty: `If the two are truly alike, it will be shown ${timesInTen(power)} that ${aim === "no worse" ? `${second} is not worse by ${matters} ${unit} in ${measure.name}` : `they differ by less than ${matters} ${unit} in ${measure.name}`}, ${spreadWords(spread, unit)}; if they differ by just that much, it would wrongly be shown once in ${Math.round(1 / alpha)}.`,
          ifNothingIsSeen: `If it is not shown, ${aim === "no worse" ? `${second} may be worse by ${matters} ${unit} or more` : `they may differ by ${matters} ${unit} or more`}, or there were too few bakes: it is then not known.`,
        }),
    bakeCount: settings.length,
    tasterCount: 0,
    dayCount: Math.max(...order.map(({ day }) => day)) + 1,
    power,
    factors: pairing === "shelves" ? [factor, { kind: "choice", name: "shelf", levels: ["upper", "lower"] }] : [factor],
    settings,
    order,
    cautions: [
      ...caution,
      ...(limited
        ? [
            `With at most ${question.most} the chance to ${aim === "better" ? `notice ${matters} ${unit}` : "show it"} is only ${percent(power)}; ${found === undefined ? "more than a thousand" : found.count} would give ${percent(wanted)}.`,
          ]
        : []),
      ...(paired ? [] : ["Pairs on the same day or in the same oven would need fewer bakes, because days differ."]),
    ],
  };
}

export function planSeveral(question: QuestionOf<"which of several">): TrialPlan {
  const { names, measure, matters } = question;
  const { spread, caution } = spreadOf(question);
  const alpha = question.alpha ?? 0.05;
  const wanted = question.power ?? 0.8;
  // Least favourable case: two differ by what matters, the others lie between; days are blocks in which each is baked once.
  const power = (count: number) => {
    const df = (names.length - 1) * (count - 1);
    return noncentralFUpper(
      fQuantile(1 - alpha, names.length - 1, df),
      names.length - 1,
      df,
      (count * matters ** 2) / (2 * spread.sd ** 2),
    );
  };
  let count = 2;
  while (count < 500 && power(count) < wanted) count++;
  const days = Array.from({ length: count }, (_, day) => names.map(() => day)).flat();
  const settings = Array.from({ length: count }, () => names.map((cake): Setting => ({ cake }))).flat();
  let low = 0;
  let high = 100 * spread.sd;
  const df = (names.length - 1) * (count - 1);
  const critical = fQuantile(1 - alpha, names.length - 1, df);
  for (let turn = 0; turn < 60; turn++) {
    const middle = (low + high) / 2;
    if (noncentralFUpper(critical, names.length - 1, df, (count * middle ** 2) / (2 * spread.sd ** 2)) < wanted) low = middle;
    else high = middle;
  }
  return {
    kind: "which of several",
    summary: `Bake each of ${names.length} once on each of ${count} days, in the order of the sheet.`,
    certainty: `If two of them differ by ${matters} ${measure.unit}, it will be noticed that they are not all the same ${timesInTen(power(count))}, ${spreadWords(spread, measure.unit)}.`,
    ifNothingIsSeen: `If nothing is seen, no two are likely to differ by ${figure(high, high / 3)} ${measure.unit} or more.`,
    bakeCount: settings.length,
    tasterCount: 0,
    dayCount: count,
    power: power(count),
    factors: [{ kind: "choice", name: "cake", levels: names }],
    settings,
    order: runOrder(settings.length, { ...orderWords(question), days }),
    cautions: caution,
  };
}
