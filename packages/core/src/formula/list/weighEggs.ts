import { type Band, type EggGrade, eggParts } from "../../quantities/index.js";
import type { Span } from "./numbers.js";
import { doubtfully, isRange, ranged, roundGrams, trim, type WeighContext, type Weighing, weight } from "./weighing.js";

type EggPart = "whole" | "white" | "yolk";

export function eggPart(id: string): EggPart | undefined {
  if (id === "egg-whole" || id === "egg-whole-uk") return "whole";
  if (id === "egg-white" || id === "egg-white-uk") return "white";
  return id === "egg-yolk" || id === "egg-yolk-uk" ? "yolk" : undefined;
}

const UK_GRADES = { small: "S", medium: "M", large: "L", "extra large": "XL", jumbo: "XL" } as const;
const US_GRADES = { small: "small", medium: "medium", large: "large", "extra large": "extra-large", jumbo: "jumbo" } as const;
type SizeWord = keyof typeof UK_GRADES;
const isSizeWord = (word: string | undefined): word is SizeWord => word !== undefined && word in UK_GRADES;

const gradeName = (egg: EggGrade) =>
  `${egg.scheme === "us" ? "US" : "UK"} ${egg.scheme === "us" ? egg.grade : { S: "small", M: "medium", L: "large", XL: "very large" }[egg.grade]}`;

export function weighEggs(
  amount: Span,
  size: string | undefined,
  part: EggPart,
  { evidence, eggGrade, words }: WeighContext,
): Weighing {
  const one = (egg: EggGrade): EggKind => {
    const parts = eggParts(egg);
    const which =
      part === "whole"
        ? ["edibleGrams", parts.edibleGrams]
        : part === "white"
          ? ["whiteGrams", parts.whiteGrams]
          : ["yolkGrams", parts.yolkGrams];
    return { grams: which[1] as number, band: parts.bands[which[0] as "edibleGrams"], name: gradeName(egg) };
  };
  const uk = (word: SizeWord): EggGrade => ({ scheme: "uk", grade: UK_GRADES[word] });
  const us = (word: SizeWord): EggGrade => ({ scheme: "us", grade: US_GRADES[word] });
  const named = isSizeWord(size) ? size : undefined;
  // "egg whites 160" in a list of bare numbers: nobody cracks a gross of eggs
  const most = evidence.unitless ? 9 : 48;
  if (amount.high > most && named === undefined && !isRange(amount)) {
    const each = one(eggGrade ?? { scheme: "uk", grade: "M" }).grams;
    const options = [weight(amount.high, "read as grams"), weight(amount.high * each, `that many, ${trim(each)} g each`)];
    return doubtfully(options, "there is no unit; is it grams, or a number of eggs?");
  }
  // British sizes before 1998, in the shell: size 3 was 60 to 65 g, each number 5 g less (from memory)
  const old = /\bsize ([1-7])\b/.exec(words);
  if (named === undefined && old !== null && part === "whole") {
    const grams = (77.5 - 5 * Number(old[1])) * 0.8935;
    return doubtfully(
      [weight(amount.high * grams, `${trim(grams)} g each: old British size ${old[1]}, without shell (from memory)`)],
      "the size is of the old British numbers",
    );
  }
  let grades: readonly EggGrade[];
  const reasons: string[] = [];
  let certain = true;
  if (named === undefined && eggGrade !== undefined) {
    grades = [eggGrade];
    reasons.push(`no size is given; your bakery's eggs are ${gradeName(eggGrade)}`);
  } else if (evidence.system === "us") {
    grades = [us(named ?? "large")];
    if (named === undefined) reasons.push("no size is given; American lists mean large eggs");
  } else if (named === undefined) {
    // Between the two grades that are sold most: asked at every list it would only tire, and neither is a tenth away.
    const ours = evidence.mixed || evidence.system === "australian" ? [uk("large"), us("large")] : [uk("large"), uk("medium")];
    return unsizedEggs(amount, ours.map(one), part);
  } else if (evidence.mixed || evidence.system === "australian") {
    certain = false;
    grades = evidence.region === "us" ? [us(named), uk(named)] : [uk(named), us(named)];
    reasons.push("egg sizes differ between countries, and the list does not say which it uses");
  } else {
    grades = [uk(named)];
    if (!evidence.stated)
      reasons.push(`read as eggs of the UK and EU grade (${gradeName(grades[0])}); a US ${named} egg is lighter`);
  }
  const kinds = grades.map(one);
  if (isRange(amount)) return ranged(amount, "eggs", (count) => count * kinds[0].grams);
  const label = part === "whole" ? "egg without shell" : `egg ${part}`;
  const options = kinds.map((kind) => weight(amount.high * kind.grams, `${trim(kind.grams)} g each (${kind.name}, ${label})`));
  const { band } = kinds[0];
  return {
    options,
    certain,
    reasons,
    ...(certain
      ? { band: { likely: options[0].grams!, from: roundGrams(amount.high * band.from), to: roundGrams(amount.high * band.to) } }
      : {}),
  };
}

interface EggKind {
  readonly grams: number;
  readonly band: Band;
  readonly name: string;
}

/** Eggs whose size nobody named: the middle of two grades, with a band from the lightest of one to the heaviest of the other. */
function unsizedEggs(amount: Span, kinds: readonly EggKind[], part: EggPart): Weighing {
  const each = kinds.reduce((sum, kind) => sum + kind.grams, 0) / kinds.length;
  const label = part === "whole" ? "egg without shell" : `egg ${part}`;
  const names = kinds.map((kind) => `${kind.name} ${trim(kind.grams)} g`).join(", ");
  if (isRange(amount)) return ranged(amount, "eggs", (count) => count * each);
  const likely = roundGrams(amount.high * each);
  const [from, to] = [Math.min(...kinds.map((kind) => kind.band.from)), Math.max(...kinds.map((kind) => kind.band.to))];
  return {
    options: [
      weight(likely, `${trim(each)} g each, between two grades (${label})`),
      ...kinds.map((kind) => weight(amount.high * kind.grams, `${trim(kind.grams)} g each (${kind.name}, ${label})`)),
    ],
    certain: true,
    reasons: [`no size is given; the middle of two grades is taken (${names}): set your bakery's grade, or weigh them`],
    band: { likely, from: roundGrams(amount.high * from), to: roundGrams(amount.high * to) },
  };
}
