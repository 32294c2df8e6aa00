import type { Problem, Reading } from "../quantities/index.js";
import { geometricCapacityMl } from "./geometry.js";
import {
  type BoxSize,
  makeTin,
  type RoundSize,
  type Tin,
  type TinAssumption,
  type TinFinish,
  type TinKind,
  type TinMaterial,
  type TinShape,
} from "./tin.js";
import {
  USUAL_DEPTH_INCHES,
  USUAL_DEPTH_MM,
  USUAL_FLUTE_SHARE,
  USUAL_FLUTED_RING,
  USUAL_HOLES,
  USUAL_LOAVES,
  USUAL_TUBE_SHARE,
} from "./usualTins.js";

/** So many of one tin. */
export interface CountedTin {
  readonly count: number;
  readonly tin: Tin;
  /** The words it was read from, without the count. */
  readonly text: string;
}

const EXAMPLES = 'a tin such as "round 20x5 cm", "9x13 in", "loaf 900 g", "ring 24x8 cm" or "12-hole muffin tray"';
const MM = { mm: 1, cm: 10, in: 25.4 } as const;
type LengthUnit = keyof typeof MM;
/** No tin takes more words; and the patterns below look at a text many times over, so a page pasted by mistake would hang. */
const TIN_CHARACTERS_MAX = 200;
const TINS_CHARACTERS_MAX = 4000;
const LONGEST_MM = 1000;
const SHORTEST_MM = 10;

/**
 * Reads the description of one tin: shape, inner size, and what else is said of it, in any order.
 *
 * Sizes are width (or length and width) and then depth: "round 20x5 cm", "8x2 in round", "rectangle 33x23x5 cm",
 * "loaf 23x13/20x10x7 cm" (top/base x depth), "ring 24x8 cm hole 7 cm", "cup 7/5x3.5 cm", "half ball 16 cm". Loaf tins
 * are also known by weight ("loaf 900 g", "2 lb loaf"), fluted rings by capacity ("fluted ring 2.4 l"), muffin trays by
 * holes ("12-hole muffin tray"). "holds 1.5 l" gives a measured capacity; "silicone", "glass", "dark steel" a material.
 * What is left out is filled in with what is usual and listed in the tin's `assumed`.
 *
 * @returns the tin, or undefined with the problems that stand in the way
 */
export function parseTin(text: string): Reading<Tin | undefined> {
  if (text.length > TIN_CHARACTERS_MAX) return { value: undefined, problems: [tooLong(text, TIN_CHARACTERS_MAX)] };
  const reader = readWords(text);
  const problems: Problem[] = [];
  const shape = readShape(reader, text, problems);
  // A word that means nothing to us is only worth saying when the rest was understood; otherwise the shape is what is missing.
  if (shape) {
    for (const word of reader.unknown) {
      problems.push({
        ...problemOf(word, EXAMPLES, `"${word}" was passed over; take it out, or make it part of the tin's name.`),
      });
    }
  }
  if (!shape) {
    if (problems.length === 0) problems.push(problemOf(text, EXAMPLES, "Write the shape and the inner size with its unit."));
    return { value: undefined, problems };
  }
  const assumed = [...reader.assumed];
  if (!reader.material) assumed.push({ what: "material", words: "aluminium, as nothing else is said" });
  const tin = makeTin(shape, {
    ...(reader.material ? { material: reader.material } : {}),
    ...(reader.finish ? { finish: reader.finish } : {}),
    ...(reader.capacityMl !== undefined && !reader.capacityIsShape ? { measuredCapacityMl: reader.capacityMl } : {}),
    assumed,
  });
  if (tin.measuredCapacityMl !== undefined) {
    const ratio = tin.measuredCapacityMl / geometricCapacityMl(tin);
    if (!(ratio > 0.4 && ratio < 1.6)) {
      problems.push({
        ...problemOf(
          text,
          `about ${Math.round(geometricCapacityMl(tin))} ml, which is what the sizes give`,
          "Check the sizes and measure the water again.",
        ),
        code: "conflict",
        found: `${Math.round(tin.measuredCapacityMl)} ml`,
      });
    }
  }
  return problems.some((problem) => problem.code === "unknown-unit" || problem.code === "out-of-range")
    ? { value: undefined, problems }
    : { value: tin, problems };
}

/**
 * Reads one or several tins with their counts: "2 round 20x5 cm", "2 x 8 inch round, 1 loaf 900 g",
 * "12-hole muffin tray and square 20x5 cm". Tins are parted by commas, semicolons, "+", "&" or "and".
 */
export function parseTins(text: string): Reading<readonly CountedTin[]> {
  if (text.length > TINS_CHARACTERS_MAX) return { value: [], problems: [tooLong(text, TINS_CHARACTERS_MAX)] };
  const parts = text
    .replace(/(\d),(\d)/g, "$1.$2")
    // "9-inch round, 2-inch deep" is one tin.
    .replace(/,\s*(\d[\d./½¼¾ ]*[\s-]*(?:mm|cm|in|inch|inches|")\s+(?:deep|high|depth)\b)/gi, " $1")
    .split(/[,;+&\n]|\band\b/i)
    .map((part) => part.trim())
    .filter((part) => part !== "");
  const value: CountedTin[] = [];
  const problems: Problem[] = [];
  if (parts.length === 0) problems.push(problemOf(text, EXAMPLES, "Write at least one tin."));
  parts.forEach((part, index) => {
    if (part.length > TIN_CHARACTERS_MAX) {
      problems.push({ ...tooLong(part, TIN_CHARACTERS_MAX), path: [index] });
      return;
    }
    const { count, rest } = splitCount(part);
    const reading = parseTin(rest);
    if (!(Number.isInteger(count) && count >= 1 && count <= 1000)) {
      problems.push({
        ...problemOf(part, "a count from 1 to 1000", "Write how many tins there are."),
        code: "out-of-range",
        path: [index],
      });
    } else if (reading.value) value.push({ count, tin: reading.value, text: rest });
    problems.push(...reading.problems.map((problem) => ({ ...problem, path: [index, ...problem.path] })));
  });
  return { value, problems };
}

/** A tin that the baker has given a name. */
export interface NamedTin {
  readonly name: string;
  readonly tin: Tin;
}

/** A tin by the name the baker gave it, or else by its description. Names win, in any case of letters. */
export function resolveTin(text: string, owned: readonly NamedTin[] = []): Reading<Tin | undefined> {
  const wanted = text.trim().toLowerCase();
  const named = owned.find((candidate) => candidate.name.trim().toLowerCase() === wanted);
  return named ? { value: named.tin, problems: [] } : parseTin(text);
}

const NUMBER_WORDS = ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];

/** "2 round 20x5 cm" has a count, "20x5 cm round" and "9x13 in" do not. */
function splitCount(part: string): { count: number; rest: string } {
  const word = /^(a|an|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)\s+(?:x\s+)?(.+)$/i.exec(part);
  if (word) {
    const index = NUMBER_WORDS.indexOf(word[1]!.toLowerCase());
    return { count: index < 0 ? 1 : index + 1, rest: word[2]! };
  }
  const times = /^(\d+)\s*(?:[x×*]|of\b)\s*([^\d\s].*)$/i.exec(part);
  if (times) return { count: Number(times[1]), rest: times[2]!.trim() };
  const timesSize = /^(\d+)(\s*)[x×*](\s*)(\d.*)$/i.exec(part);
  if (timesSize) {
    const [, written, spaceBefore, spaceAfter, rest] = timesSize as unknown as [string, string, string, string, string];
    const count = Number(written);
    const spaced = spaceBefore !== "" || spaceAfter !== "";
    const sizes = rest.split(/[x×*]/i).length;
    const sidesTwice = rest.split(/[x×*]/i)[0]!.trim() === written;
    const oneWidth = /round|sandwich|layer|square|ring|ball|sphere|springform/i.test(part) && !sidesTwice;
    // "2 x loaf" is above; here the rest begins with a number: "2 x 900 g loaf", "2 x 9x13 in", "2 x 12-hole tray".
    if (/^\d+(?:\.\d+)?[\s-]*(?:g|kg|lbs?|holes?|cups?|ml|l|litres?)\b/i.test(rest)) return { count, rest };
    if (spaced && /^[\d.½¼¾]+(?:mm|cm|in|")?[x×*]\d/i.test(rest)) return { count, rest };
    // "2 x 8 inch round" is two tins and "8 x 2 in round" one, because no tin is much deeper than it is wide.
    if (oneWidth && (sizes >= 2 || (sizes === 1 && count < Number.parseFloat(rest)))) return { count, rest };
  }
  const cups = /^(\d+)\s+((?:[a-z]+\s+)?(?:cups?|cases?)\s+\d.*)$/i.exec(part);
  if (cups) return { count: Number(cups[1]), rest: cups[2]! };
  const before =
    /^(\d+)\s+(?=[a-z])(?!(?:x|mm|cm|inch|inches|in|g|kg|lbs?|l|ml|cl|litres?|liters?|holes?|cups?|pints?|us)\b)(.+)$/i.exec(
      part,
    );
  if (before) return { count: Number(before[1]), rest: before[2]! };
  // "2 20 cm round", "2 9x13 in": a small whole number before a size.
  const beforeSize = /^(\d{1,2})\s+(\d.*)$/.exec(part);
  if (beforeSize && !/^\d+\/\d/.test(beforeSize[2]!)) return { count: Number(beforeSize[1]), rest: beforeSize[2]! };
  return { count: 1, rest: part };
}

interface Words {
  readonly kind?: TinKind;
  readonly material?: TinMaterial;
  readonly finish?: TinFinish;
  readonly half: boolean;
  readonly deep: boolean;
  readonly hole?: "muffin" | "mini" | "bun";
  readonly cupCount?: number;
  readonly capacityMl?: number;
  readonly capacityIsShape: boolean;
  readonly loafGrams?: number;
  readonly tubeMm?: number;
  /** Sizes in the order written; each may have a top and a base. */
  readonly sizes: readonly (readonly number[])[];
  /** True where a size has no unit and none can be told from its magnitude. */
  readonly unitMissing: boolean;
  readonly inches: boolean;
  readonly unknown: readonly string[];
  readonly assumed: readonly TinAssumption[];
}

const KINDS: readonly [RegExp, TinKind][] = [
  [/\bfluted\s+(?:ring|tube)\b/, "fluted-ring"],
  [/\b(?:ring|tube)\b/, "ring"],
  [/\b(?:half[\s-]+)?(?:ball|sphere|dome)\b/, "ball"],
  [
    /\btray\s+of\b|\bcup\s*cake\s+(?:tray|tin|pan)|\b(?:muffin|bun|fairy\s+cake)\s+(?:tray|tin|pan|mould|mold|sheet)s?\b|\bhole\b.*\btray\b|\btray\b.*\bholes?\b/,
    "tray-of-cups",
  ],
  [/\b(?:cup|case|ramekin|muffin)s?\b/, "cup"],
  [/\bloaf\b/, "loaf"],
  [/\bsquare\b/, "square"],
  [/\b(?:rectangle|rectangular|oblong|traybake|sheet|slab|roll)\b/, "rectangular"],
  [/\b(?:round|sandwich|layer|springform|circle|circular)\b/, "round"],
];

const FILLER =
  /\b(?:tins?|pans?|moulds?|molds?|cakes?|baking|dish|trays?|springform|loose|bottomed|bottom|based?|inner|inside|non|stick|size|deep|shallow|wide|long|high|with|of|a|an|the|x|by|top|each|straight|sided|diameter|dia|depth|approx|about|holes?|cups?|cases?|muffins?|buns?|mini|fairy|cupcakes?|standard)\b/g;

function readWords(original: string): Words {
  const assumed: TinAssumption[] = [];
  let text = ` ${original.toLowerCase()} `
    .replace(/(\d),(\d)/g, "$1.$2")
    .replace(/[×*]/g, "x")
    .replace(/[″”“]|''/g, '"')
    .replace(/(\d)?\s*([½¼¾⅛⅜⅝⅞])/g, (_match, whole: string | undefined, sign: string) =>
      String(Number(whole ?? 0) + VULGAR[sign]!),
    )
    .replace(/(\d+)\s+(1\/2|1\/4|3\/4|1\/8|3\/8|5\/8|7\/8)(?!\d)/g, (_match, whole: string, fraction: string) => {
      const [top, bottom] = fraction.split("/").map(Number);
      return String(Number(whole) + top! / bottom!);
    })
    .replace(/\bloaves\b/g, "loaf")
    .replace(/\b(ring|ball|sphere|dome|round|square|rectangle|traybake|tray|slab|roll|layer|oblong)s\b/g, "$1")
    .replace(/"/g, " in ")
    .replace(/\b(?:inch|inches|ins)\b/g, "in")
    .replace(/\b(?:centimet(?:re|er)s?|cms)\b/g, "cm")
    .replace(/\b(?:millimet(?:re|er)s?|mms)\b/g, "mm")
    // "20 cm (8 in) round": the second size only repeats the first.
    .replace(/\([^)]*\)/g, " ")
    .replace(/(\d)-(?=[a-z])/g, "$1 ")
    .replace(/(\d)(?=(?:mm|cm|in|inch|g|kg|lbs?|l|ml|cl)\b)/g, "$1 ");

  const take = (pattern: RegExp): RegExpExecArray | undefined => {
    const match = pattern.exec(text);
    if (match) text = `${text.slice(0, match.index)} ${text.slice(match.index + match[0].length)}`;
    return match ?? undefined;
  };

  let material: TinMaterial | undefined;
  let finish: TinFinish | undefined;
  const materials: readonly [RegExp, TinMaterial, TinFinish?][] = [
    [/\b(?:anodi[sz]ed\s+)(?:aluminium|aluminum)\b/, "aluminium", "dull"],
    [/\b(?:aluminium|aluminum)\b/, "aluminium"],
    [/\bdark\s+(?:steel|metal)\b|\bblack\s+(?:steel|iron)\b|\bcarbon\s+steel\b/, "dark-steel"],
    [/\b(?:tinplate|tinned\s+steel|steel)\b/, "tinplate"],
    [/\bsilicone\b/, "silicone"],
    [/\bglass\b/, "glass"],
    [/\b(?:ceramic|stoneware|earthenware)\b/, "ceramic"],
    [/\bpaper\b/, "paper"],
  ];
  for (const [pattern, name, look] of materials) {
    if (!take(pattern)) continue;
    material = name;
    finish = look;
    break;
  }
  const look = take(/\b(bright|shiny|dull|dark|black)\b/);
  if (look) finish = look[1] === "bright" || look[1] === "shiny" ? "bright" : look[1] === "dull" ? "dull" : "dark";

  const kind = KINDS.find(([pattern]) => pattern.test(text))?.[1];
  const half = /\bhalf\b|\bdome\b/.test(text);
  const deep = /\bdeep\b/.test(text) && kind === "round";
  const hole = /\bmini\b/.test(text)
    ? "mini"
    : /\b(?:bun|fairy)\b/.test(text)
      ? "bun"
      : kind === "tray-of-cups"
        ? "muffin"
        : undefined;

  let cupCount: number | undefined;
  if (kind === "tray-of-cups") {
    const counted =
      take(/\b(\d+)\s*(?:x\s*)?(?:-\s*)?(?:mini\s+)?(?:muffin\s+)?(?:holes?|cups?|buns?|muffins?)\b/) ??
      take(/\bof\s+(\d+)\b(?!\s*(?:mm|cm|in|x|\/))/);
    if (counted) cupCount = Number(counted[1]);
  }

  const tube = take(/\b(?:hole|tube)\s+(\d+(?:\.\d+)?)\s*(mm|cm|in)\b/);
  const tubeMm = tube ? Number(tube[1]) * MM[tube[2] as LengthUnit] : undefined;

  let loafGrams: number | undefined;
  if (kind === "loaf") {
    const weight = take(/\b(\d+(?:\.\d+)?)\s*(kg|g|grams?|lbs?|pounds?)\b/);
    if (weight) {
      const perUnit = weight[2] === "kg" ? 1000 : weight[2]!.startsWith("g") ? 1 : 450;
      loafGrams = Number(weight[1]) * perUnit;
    }
  }

  const capacity = take(
    /(?:\b(?:holds|holding|capacity|measured|water)\s*(?:of\s+)?)?\b(\d+(?:\.\d+)?)\s*(ml|millilit(?:re|er)s?|cl|dl|l|lit(?:re|er)s?|(?:us\s+)?cups?|(?:imperial\s+|uk\s+|us\s+)?pints?)\b(?:\s+capacity)?/,
  );
  let capacityMl: number | undefined;
  if (capacity) {
    const unit = capacity[2]!;
    capacityMl = Number(capacity[1]) * capacityUnitMl(unit);
    if (unit === "cup" || unit === "cups") assumed.push({ what: "unit", words: "cups taken as US cups of 237 ml" });
    if (/^pints?$/.test(unit)) assumed.push({ what: "unit", words: "pints taken as imperial pints of 568 ml" });
  }

  const { sizes, unitMissing, inches, rest } = readSizes(text, assumed);
  const unknown = rest
    .replace(FILLER, " ")
    .replace(
      /\b(?:fluted|ring|tube|half|ball|sphere|dome|ramekins?|loaf|square|rectangle|rectangular|oblong|traybake|sheet|slab|roll|round|sandwich|layer|circle|circular|holds|whole|full)\b/g,
      " ",
    )
    .split(/[\s\-()/.'’:]+/)
    .filter((word) => word !== "");
  return {
    ...(kind ? { kind } : {}),
    ...(material ? { material } : {}),
    ...(finish ? { finish } : {}),
    half,
    deep,
    ...(hole ? { hole } : {}),
    ...(cupCount === undefined ? {} : { cupCount }),
    ...(capacityMl === undefined ? {} : { capacityMl }),
    capacityIsShape: kind === "fluted-ring" && sizes.length === 0 && capacityMl !== undefined,
    ...(loafGrams === undefined ? {} : { loafGrams }),
    ...(tubeMm === undefined ? {} : { tubeMm }),
    sizes,
    unitMissing,
    inches,
    unknown,
    assumed,
  };
}

const VULGAR: Readonly<Record<string, number>> = {
  "½": 0.5,
  "¼": 0.25,
  "¾": 0.75,
  "⅛": 0.125,
  "⅜": 0.375,
  "⅝": 0.625,
  "⅞": 0.875,
};

function capacityUnitMl(unit: string): number {
  if (/^(?:ml|milli)/.test(unit)) return 1;
  if (unit === "cl") return 10;
  if (unit === "dl") return 100;
  if (unit.includes("cup")) return 236.5882365;
  if (unit.includes("pint")) return unit.startsWith("us") ? 473.176473 : 568.26125;
  return 1000;
}

/** Every number left in the text is a size; "/" parts top from base and "x" parts one direction from the next. */
function readSizes(
  text: string,
  assumed: TinAssumption[],
): { sizes: number[][]; unitMissing: boolean; inches: boolean; rest: string } {
  const tokens = [...text.matchAll(/(\d+(?:\.\d+)?)\s*(mm|cm|in)?(?![\d.a-wyz])|\/|x(?=\s*\d)/g)];
  const units = tokens.map((token) => token[2] as LengthUnit | undefined);
  const numbers = tokens.map((token) => (token[1] === undefined ? undefined : Number(token[1])));
  // A number without a unit shares that of the next number that has one, or else of the last before it.
  const unitAt = (index: number): LengthUnit | undefined =>
    units.slice(index).find((unit) => unit) ?? units.slice(0, index).findLast((unit) => unit);
  const values = numbers.filter((value) => value !== undefined);
  let fallback: LengthUnit | undefined;
  if (values.length > 0 && !units.some((unit) => unit)) {
    const largest = Math.max(...values);
    // 15 to 60 can only be centimetres and 100 and more only millimetres; 4 to 14 may be either inches or centimetres.
    fallback = largest >= 100 ? "mm" : largest >= 15 && largest <= 60 ? "cm" : undefined;
    if (fallback) assumed.push({ what: "unit", words: `sizes taken as ${fallback}` });
  }
  const sizes: number[][] = [];
  let joinNext = false;
  tokens.forEach((token, index) => {
    if (token[0] === "/") joinNext = true;
    else if (numbers[index] !== undefined) {
      const size = numbers[index] * MM[unitAt(index) ?? fallback ?? "cm"];
      if (joinNext && sizes.length > 0) sizes.at(-1)!.push(size);
      else sizes.push([size]);
      joinNext = false;
    }
  });
  return {
    sizes,
    unitMissing: values.length > 0 && !units.some((unit) => unit) && !fallback,
    inches: units.some((unit) => unit === "in"),
    rest: text.replace(/(\d+(?:\.\d+)?)\s*(mm|cm|in)?(?![\d.a-wyz])|\/|x(?=\s*\d)/g, " "),
  };
}

function readShape(words: Words, text: string, problems: Problem[]): TinShape | undefined {
  if (words.unitMissing) {
    const sizes = words.sizes.map((size) => size.map((value) => value / 10).join("/")).join("x");
    problems.push({
      ...problemOf(text, "sizes with their unit", `Write "${sizes} cm" or "${sizes} in".`),
      code: "unknown-unit",
    });
    return undefined;
  }
  // Without a word for the shape, two or three sizes are a rectangle (or a square), as people write "9x13 in".
  const flat = words.sizes.filter((size) => size.length === 1).length;
  const kind: TinKind | undefined =
    words.kind ??
    (words.sizes.length >= 2 && flat === words.sizes.length
      ? words.sizes.length === 2 || words.sizes[0]![0] !== words.sizes[1]![0]
        ? "rectangular"
        : "square"
      : undefined);
  if (!kind) {
    problems.push(
      problemOf(
        text,
        EXAMPLES,
        'Add the shape: round, square, rectangle, loaf, ring, fluted ring, ball, half ball, cup or "tray of 12 cups". Any other shape: fill it with water and write the nearest one with "holds 1.6 l".',
      ),
    );
    return undefined;
  }
  const shape = shapeOf(kind, words, text, problems);
  if (!shape) return undefined;
  const bad = Object.entries(shape).find(
    ([name, value]) => name.endsWith("Mm") && !(typeof value === "number" && value >= SHORTEST_MM && value <= LONGEST_MM),
  );
  if (bad) {
    problems.push({
      ...problemOf(text, "inner sizes from 1 cm to 1 m", "Check the numbers and the unit."),
      code: "out-of-range",
      found: `${Math.round(Number(bad[1])) / 10} cm`,
    });
    return undefined;
  }
  return shape;
}

function shapeOf(kind: TinKind, words: Words, text: string, problems: Problem[]): TinShape | undefined {
  const assumed = words.assumed as TinAssumption[];
  const refuse = (expected: string, remedy: string) => {
    problems.push(problemOf(text, expected, remedy));
    return undefined;
  };
  const usualDepth = (name: keyof typeof USUAL_DEPTH_MM): number => {
    const depth = words.inches ? USUAL_DEPTH_INCHES[name] * 25.4 : USUAL_DEPTH_MM[name];
    assumed.push({
      what: "depth",
      words: `${words.inches ? `${USUAL_DEPTH_INCHES[name]} in` : `${USUAL_DEPTH_MM[name] / 10} cm`} deep, as is usual (common practice, no source)`,
    });
    return depth;
  };
  const sizes = words.sizes;
  switch (kind) {
    case "round": {
      if (sizes.length === 0 || sizes.length > 2)
        return refuse('diameter and depth, such as "round 20x5 cm"', "Write the inner diameter, then the depth.");
      return { kind, ...roundSize(sizes, () => usualDepth(words.deep ? "deepRound" : "round")) };
    }
    case "cup": {
      if (sizes.length !== 2)
        return refuse(
          'diameters and depth of the cup, such as "cup 7/5x3.5 cm"',
          "Write the inner diameter at the top, at the base, and the depth.",
        );
      return { kind, ...roundSize(sizes, () => 0) };
    }
    case "tray-of-cups": {
      if (!words.cupCount)
        return refuse('how many cups the tray has, such as "12-hole muffin tray"', "Write the number of holes.");
      if (words.cupCount > 200) {
        problems.push({ ...problemOf(text, "1 to 200 cups in a tray", "Check the number of holes."), code: "out-of-range" });
        return undefined;
      }
      if (sizes.length === 0) {
        const hole = USUAL_HOLES[words.hole ?? "muffin"];
        assumed.push({
          what: "size",
          words: `holes ${hole.topDiameterMm / 10}/${hole.baseDiameterMm / 10}x${hole.depthMm / 10} cm, as is usual (common practice, no source)`,
        });
        return { kind, cupCount: words.cupCount, ...hole };
      }
      if (sizes.length !== 2)
        return refuse(
          'the size of one cup, such as "tray of 12 cups 7/5x3.5 cm"',
          "Write the diameter at the top, at the base, and the depth.",
        );
      return { kind, cupCount: words.cupCount, ...roundSize(sizes, () => 0) };
    }
    case "ball": {
      if (sizes.length !== 1 || sizes[0]!.length !== 1)
        return refuse('a diameter, such as "ball 16 cm" or "half ball 16 cm"', "Write the inner diameter only.");
      return { kind, diameterMm: sizes[0]![0]!, part: words.half ? "half" : "whole" };
    }
    case "ring": {
      if (sizes.length === 0 || sizes.length > 2)
        return refuse(
          'outer diameter and depth, such as "ring 24x8 cm"',
          "Write the inner size of the outer wall, then the depth.",
        );
      const outerDiameterMm = sizes[0]![0]!;
      return ringWithin(kind, outerDiameterMm, sizes[1]?.[0] ?? usualDepth("ring"), words, text, problems);
    }
    case "fluted-ring": {
      if (sizes.length === 0) {
        if (words.capacityMl === undefined)
          return refuse(
            'size or capacity, such as "fluted ring 25x8.5 cm" or "fluted ring 2.4 l"',
            "Fill it with water, weigh the water, and write the capacity.",
          );
        const typical: Extract<TinShape, { kind: "fluted-ring" }> = {
          kind,
          ...USUAL_FLUTED_RING,
          tubeDiameterMm: USUAL_FLUTED_RING.outerDiameterMm * USUAL_TUBE_SHARE,
          fluteShare: USUAL_FLUTE_SHARE,
        };
        const factor = Math.cbrt(words.capacityMl / geometricCapacityMl(makeTin(typical)));
        const shape = {
          ...typical,
          outerDiameterMm: typical.outerDiameterMm * factor,
          tubeDiameterMm: typical.tubeDiameterMm * factor,
          depthMm: typical.depthMm * factor,
        };
        assumed.push({
          what: "size",
          words: `usual proportions, ${Math.round(shape.outerDiameterMm) / 10} cm across and ${Math.round(shape.depthMm) / 10} cm deep for that capacity (common practice, no source)`,
        });
        return shape;
      }
      if (sizes.length > 2)
        return refuse(
          'outer diameter and depth, such as "fluted ring 25x8.5 cm"',
          "Write the inner size of the outer wall, then the depth.",
        );
      return ringWithin(kind, sizes[0]![0]!, sizes[1]?.[0] ?? usualDepth("fluted-ring"), words, text, problems);
    }
    case "loaf": {
      if (words.loafGrams !== undefined && sizes.length === 0) {
        const name = (["450", "900", "1350"] as const).find((grams) => Math.abs(words.loafGrams! / Number(grams) - 1) <= 0.12);
        if (!name)
          return refuse(
            "a loaf tin of 450 g (1 lb), 900 g (2 lb) or 1350 g (3 lb), or its size",
            'Write the inner size, such as "loaf 21x11x6 cm".',
          );
        const size = USUAL_LOAVES[name];
        assumed.push({
          what: "size",
          words: `${boxWords(size)}, as is usual for a ${name} g loaf tin (common practice, no source)`,
        });
        return { kind, ...size };
      }
      const size = boxSize(sizes, () => usualDepth("loaf"));
      return size
        ? { kind, ...size }
        : refuse('length, width and depth, such as "loaf 21x11x6 cm"', "Write the three inner sizes.");
    }
    case "square": {
      const [first, second, third] = sizes;
      if (!first || sizes.length > 3)
        return refuse('side and depth, such as "square 23x5 cm"', "Write the inner side, then the depth.");
      // "square 20x20x5" says the side twice; "square 20x20" can only be the side twice.
      const twice =
        first.length === 1 &&
        second !== undefined &&
        second[0] === first[0] &&
        (third !== undefined || second[0]! > first[0]! / 2);
      if (third && !twice) return refuse("two equal sides", 'Write "rectangle" for unequal sides.');
      const depth = twice ? third : second;
      const [top, base] = [first[0]!, first[1] ?? first[0]!];
      return {
        kind,
        topLengthMm: top,
        topWidthMm: top,
        baseLengthMm: base,
        baseWidthMm: base,
        depthMm: depth?.[0] ?? usualDepth("square"),
      };
    }
    case "rectangular": {
      const size = boxSize(sizes, () => usualDepth("rectangular"));
      return size
        ? { kind, ...size }
        : refuse('length, width and depth, such as "rectangle 33x23x5 cm"', "Write the three inner sizes.");
    }
  }
}

function ringWithin(
  kind: "ring" | "fluted-ring",
  outerDiameterMm: number,
  depthMm: number,
  words: Words,
  text: string,
  problems: Problem[],
): TinShape | undefined {
  const tubeDiameterMm = words.tubeMm ?? outerDiameterMm * USUAL_TUBE_SHARE;
  if (words.tubeMm === undefined) {
    (words.assumed as TinAssumption[]).push({
      what: "tube",
      words: `a tube of ${Math.round(tubeDiameterMm) / 10} cm, as is usual (common practice, no source)`,
    });
  }
  if (!(tubeDiameterMm < outerDiameterMm)) {
    problems.push({ ...problemOf(text, "a tube narrower than the tin", "Check the two diameters."), code: "conflict" });
    return undefined;
  }
  const ring = { outerDiameterMm, tubeDiameterMm, depthMm };
  return kind === "ring" ? { kind, ...ring } : { kind, ...ring, fluteShare: USUAL_FLUTE_SHARE };
}

function roundSize(sizes: readonly (readonly number[])[], usualDepth: () => number): RoundSize {
  const [diameter, depth] = sizes;
  return { topDiameterMm: diameter![0]!, baseDiameterMm: diameter![1] ?? diameter![0]!, depthMm: depth?.[0] ?? usualDepth() };
}

/** "33x23x5", "33x23", or with a base: "23x13/20x10x7", which reads as [23], [13, 20], [10], [7]. */
function boxSize(sizes: readonly (readonly number[])[], usualDepth: () => number): BoxSize | undefined {
  const [a, b, c, d] = sizes;
  if (!a || !b) return undefined;
  const box = (topLength: number, topWidth: number, baseLength: number, baseWidth: number, depth: number): BoxSize => ({
    // The longer side is the length, in whichever order it was written.
    topLengthMm: Math.max(topLength, topWidth),
    topWidthMm: Math.min(topLength, topWidth),
    baseLengthMm: Math.max(baseLength, baseWidth),
    baseWidthMm: Math.min(baseLength, baseWidth),
    depthMm: depth,
  });
  if (b.length === 2 && c) return sizes.length <= 4 ? box(a[0]!, b[0]!, b[1]!, c[0]!, d?.[0] ?? usualDepth()) : undefined;
  if (sizes.length > 3) return undefined;
  return box(a[0]!, b[0]!, a[1] ?? a[0]!, b[1] ?? b[0]!, c?.[0] ?? usualDepth());
}

const boxWords = (size: BoxSize) =>
  `${size.topLengthMm / 10}x${size.topWidthMm / 10} cm at the top, ${size.baseLengthMm / 10}x${size.baseWidthMm / 10} cm at the base, ${size.depthMm / 10} cm deep`;

function problemOf(found: string, expected: string, remedy: string): Problem {
  return { code: "unknown-tin", path: [], expected, found: found.trim(), remedy };
}

function tooLong(text: string, most: number): Problem {
  return {
    code: "too-large",
    path: [],
    expected: `at most ${most} characters`,
    found: `${text.length} characters, "${text.slice(0, 30)}..."`,
    remedy: "Write the tins alone.",
  };
}
