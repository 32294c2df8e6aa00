import { GRAMS_IN, MILLILITRES_IN } from "./convert.js";
import { type HouseholdMeasure, householdMillilitres, type MeasureSystem } from "./householdMeasures.js";
import type { Problem, ProblemCode, Reading, Result } from "./result.js";

/** What was understood of a typed quantity. */
export type TypedQuantity =
  | { readonly kind: "mass"; readonly grams: number }
  | { readonly kind: "volume"; readonly millilitres: number }
  /** A number without a unit; what it counts is for the caller to say. */
  | { readonly kind: "number"; readonly value: number }
  | { readonly kind: "percent"; readonly percent: number };

export interface ParseQuantityOptions {
  /** Whose cups and spoons are meant; metric when not given. Pints and fluid ounces are US ones only with "us". */
  readonly system?: MeasureSystem;
  /** Where the text stands in the document, for the problem. */
  readonly path?: readonly (string | number)[];
}

/** The most that a cell takes: ten tonnes. More is a slip of the finger. */
export const MOST_GRAMS = 1e7;
const MOST_LETTERS = 80;

/**
 * A quantity as a baker types it: "250", "250 g", "1.5 kg", "1,5 kg", "1½", "1 1/2 oz", "8 oz", "1 lb 4 oz", "2 x 125 g",
 * "250 g + 30 g", "300 ml", "2 tbsp", "12.5 %".
 *
 * @returns  the quantity, or undefined with the one problem that stands in its way: a letter O for a zero, a unit that nobody knows,
 *   a range, a comma that may mean two things, a negative number. Never throws for any text.
 *
 * A comma before three digits is a thousands comma ("1,500 g" is 1500 g), otherwise a decimal comma ("1,5 kg").
 */
export function parseQuantity(text: string, options: ParseQuantityOptions = {}): Reading<TypedQuantity | undefined> {
  const read = readWhole(text, options);
  return read.ok ? { value: read.value, problems: [] } : { value: undefined, problems: [read.error] };
}

/**
 * A weight in grams from what a baker typed in a cell that holds grams: a bare number is grams.
 *
 * @returns  grams, 0 or more, at most `MOST_GRAMS`; or the problem and its remedy. A volume is refused: it needs a density.
 */
export function readGrams(text: string, options: ParseQuantityOptions = {}): Result<number, Problem> {
  const read = readWhole(text, options);
  if (!read.ok) return read;
  const problem = (remedy: string, code: ProblemCode = "not-a-weight") => refuse(text, options, { code, remedy });
  switch (read.value.kind) {
    case "mass":
    case "number": {
      const grams = read.value.kind === "mass" ? read.value.grams : read.value.value;
      if (grams > MOST_GRAMS) return problem("Give a weight of at most 10,000 kg; check the unit.", "out-of-range");
      return { ok: true, value: grams };
    }
    case "volume":
      return problem("Weigh it and give grams, or choose the ingredient first, so that its density is known.");
    case "percent":
      return problem("This cell holds a weight; type percent in a column of percent.");
  }
}

type Read<T> = Result<T, Problem>;

function readWhole(text: string, options: ParseQuantityOptions): Read<TypedQuantity> {
  const say = (remedy: string, code: ProblemCode = "not-a-weight"): Read<never> => refuse(text, options, { code, remedy });
  if (typeof text !== "string") return say("Type a weight such as 250 g.", "not-text");
  if (text.length > MOST_LETTERS) return say(`Type a quantity of at most ${MOST_LETTERS} characters.`, "too-large");
  const plain = tidy(text);
  if (plain === "") return say("Type a weight such as 250 g, or 0 for none.", "missing-field");
  const slip = commonSlip(plain);
  if (slip) return say(slip.remedy, slip.code);

  const terms = plain.split("+");
  let sum: TypedQuantity | undefined;
  for (const term of terms) {
    const read = readTerm(term.trim(), options.system ?? "metric", say);
    if (!read.ok) return read;
    if (!sum) sum = read.value;
    else {
      const added = addUp(sum, read.value);
      if (!added) return say("Add only weights to weights, or volumes to volumes.");
      sum = added;
    }
  }
  return { ok: true, value: sum! };
}

function tidy(text: string): string {
  return text
    .normalize("NFKC") // also turns ½ into 1⁄2, with the fraction slash
    .replace(/(\d)(\d)⁄/g, "$1 $2⁄")
    .replace(/⁄/g, "/")
    .replace(/[×✕*]/g, "x")
    .replace(/[−–—]/g, "-")
    .replace(/[’`´]/g, "'")
    .replace(/\s+/g, " ")
    .trim();
}

function commonSlip(plain: string): { remedy: string; code: ProblemCode } | undefined {
  if (/^(?:about|approx\.?|ca\.?|circa|~)/i.test(plain))
    return { remedy: "Leave out the word and give one weight.", code: "not-a-weight" };
  if (/\d\s*[oO](?!z|unce)|(?<![a-zA-Z])[oO](?=[\d.,]*\d)/.test(plain))
    return { remedy: "Replace the letter O with a zero.", code: "not-a-weight" };
  if (/(?<![a-zA-Z])[lI](?=\d)/.test(plain)) return { remedy: "Replace the letter l with a one.", code: "not-a-weight" };
  if (/^-/.test(plain))
    return { remedy: "Give 0 or more; to take an ingredient out, type 0 or delete the line.", code: "out-of-range" };
  if (/\d\s*(?:[a-z%]+)?\s*(?:-|to)\s*\d/i.test(plain)) return { remedy: "Give one weight, not a range.", code: "not-a-weight" };
  if (/\de[+-]?\d/i.test(plain)) return { remedy: "Write the number out, without an exponent.", code: "not-a-weight" };
  return undefined;
}

type Say = (remedy: string, code?: ProblemCode) => Read<never>;

function readTerm(term: string, system: MeasureSystem, say: Say): Read<TypedQuantity> {
  if (term === "") return say("Give a weight on both sides of the plus sign.");
  const times = /^([\d.,/ ]+?)\s*x\s*(.+)$/i.exec(term);
  if (times) {
    const count = readNumber(times[1]!);
    if (!count.ok) return say(count.error);
    const each = readTerm(times[2]!, system, say);
    return each.ok ? { ok: true, value: multiply(each.value, count.value) } : each;
  }
  // "1 lb 4 oz", "1 kg 250 g": amounts of falling units, side by side.
  const amounts = [...term.matchAll(/(\d[\d.,]*(?:\s+\d+\/\d+|\/\d+)?|\.\d+)\s*(%|[a-zA-Z][a-zA-Z. ]*)?/g)];
  const covered = amounts.map((match) => match[0]).join("");
  if (amounts.length === 0)
    return say(/[a-z]/i.test(term) ? "Start with a number, such as 250 g." : "Type a weight such as 250 g.");
  if (covered.replace(/\s/g, "").length !== term.replace(/\s/g, "").length)
    return say("Use only a number and a unit, such as 250 g.");
  let sum: TypedQuantity | undefined;
  for (const [, digits, unitText] of amounts) {
    const number = readNumber(digits!, unitText);
    if (!number.ok) return say(number.error);
    const one = withUnit(number.value, (unitText ?? "").trim(), system);
    if (!one) return say(unknownUnit((unitText ?? "").trim()), "unknown-unit");
    if (!sum) sum = one;
    else {
      const added = sum.kind === "number" || sum.kind === "percent" ? undefined : addUp(sum, one);
      if (!added) return say("Give one number and one unit, such as 250 g, or 1 lb 4 oz.");
      sum = added;
    }
  }
  const size = amountOf(sum!);
  if (!Number.isFinite(size) || size > 1e9) return say("Give a smaller number.", "out-of-range");
  return { ok: true, value: sum! };
}

/** "250", "1.5", "1,5", "1,500", "1/2", "1 1/2", ".5". */
function readNumber(text: string, unit = ""): Result<number, string> {
  const trimmed = text.trim();
  const mixed = /^(?:(\d+)\s+)?(\d+)\/(\d+)$/.exec(trimmed);
  if (mixed) {
    const [, whole, top, bottom] = mixed;
    if (Number(bottom) === 0) return { ok: false, error: "A fraction cannot be divided by 0." };
    if (whole !== undefined && Number(top) >= Number(bottom))
      return { ok: false, error: "Write the fraction smaller than one, such as 1 1/2." };
    return { ok: true, value: Number(whole ?? 0) + Number(top) / Number(bottom) };
  }
  if (/^\d{1,3}(?:,\d{3})+(?:\.\d+)?$/.test(trimmed) && !trimmed.startsWith("0")) {
    // In grams a thousands comma is plain; "1,500 kg" may be one and a half kilos or one and a half tonnes.
    if (/^(?:kg|kilo|l$|lit|lb|pound|oz|ounce)/i.test(unit.trim()) && !trimmed.includes(".")) {
      return { ok: false, error: `Write ${trimmed.replace(/,/g, "")} or ${trimmed.replace(",", ".")}, whichever you mean.` };
    }
    return { ok: true, value: Number(trimmed.replace(/,/g, "")) };
  }
  if (/^(?:\d+(?:[.,]\d*)?|\.\d+)$/.test(trimmed)) return { ok: true, value: Number(trimmed.replace(",", ".")) };
  return { ok: false, error: "Write the number with one decimal point at most, such as 1.5." };
}

const MASS_WORDS: Readonly<Record<string, keyof typeof GRAMS_IN>> = {
  mg: "mg",
  milligram: "mg",
  milligrams: "mg",
  g: "g",
  gr: "g",
  gm: "g",
  gms: "g",
  grs: "g",
  gram: "g",
  grams: "g",
  gramme: "g",
  grammes: "g",
  kg: "kg",
  kgs: "kg",
  kilo: "kg",
  kilos: "kg",
  kilogram: "kg",
  kilograms: "kg",
  kilogramme: "kg",
  kilogrammes: "kg",
  oz: "oz",
  ozs: "oz",
  ounce: "oz",
  ounces: "oz",
  lb: "lb",
  lbs: "lb",
  pound: "lb",
  pounds: "lb",
  st: "st",
  stone: "st",
};
const VOLUME_WORDS: Readonly<Record<string, "ml" | "cl" | "dl" | "l">> = {
  ml: "ml",
  mls: "ml",
  millilitre: "ml",
  millilitres: "ml",
  milliliter: "ml",
  milliliters: "ml",
  cc: "ml",
  cl: "cl",
  centilitre: "cl",
  centilitres: "cl",
  dl: "dl",
  decilitre: "dl",
  decilitres: "dl",
  l: "l",
  ltr: "l",
  litre: "l",
  litres: "l",
  liter: "l",
  liters: "l",
};
const HOUSEHOLD_WORDS: Readonly<Record<string, HouseholdMeasure>> = {
  cup: "cup",
  cups: "cup",
  c: "cup",
  tbsp: "tablespoon",
  tbsps: "tablespoon",
  tbs: "tablespoon",
  tblsp: "tablespoon",
  tablespoon: "tablespoon",
  tablespoons: "tablespoon",
  dsp: "dessertspoon",
  dstsp: "dessertspoon",
  dessertspoon: "dessertspoon",
  dessertspoons: "dessertspoon",
  tsp: "teaspoon",
  tsps: "teaspoon",
  teaspoon: "teaspoon",
  teaspoons: "teaspoon",
  "fl oz": "fluid-ounce",
  floz: "fluid-ounce",
  "fluid ounce": "fluid-ounce",
  "fluid ounces": "fluid-ounce",
  pint: "pint",
  pints: "pint",
  pt: "pint",
  quart: "quart",
  quarts: "quart",
  qt: "quart",
  gallon: "gallon",
  gallons: "gallon",
};

function withUnit(value: number, unitText: string, system: MeasureSystem): TypedQuantity | undefined {
  const unit = unitText.toLowerCase().replace(/\./g, "").replace(/\s+/g, " ").trim();
  if (unit === "") return { kind: "number", value };
  if (unit === "%" || unit === "percent" || unit === "per cent") return { kind: "percent", percent: value };
  if (Object.hasOwn(MASS_WORDS, unit)) return { kind: "mass", grams: value * GRAMS_IN[MASS_WORDS[unit]!] };
  if (Object.hasOwn(VOLUME_WORDS, unit)) return { kind: "volume", millilitres: value * MILLILITRES_IN[VOLUME_WORDS[unit]!] };
  if (Object.hasOwn(HOUSEHOLD_WORDS, unit)) {
    return { kind: "volume", millilitres: value * householdMillilitres(HOUSEHOLD_WORDS[unit]!, system) };
  }
  return undefined;
}

function unknownUnit(unit: string): string {
  return unit === ""
    ? "Give a unit, such as g."
    : `"${unit.slice(0, 20)}" is no unit known here; use g, kg, oz, lb, ml, l, tsp, tbsp or cup.`;
}

function addUp(a: TypedQuantity, b: TypedQuantity): TypedQuantity | undefined {
  if (a.kind === "mass" && b.kind === "mass") return { kind: "mass", grams: a.grams + b.grams };
  if (a.kind === "volume" && b.kind === "volume") return { kind: "volume", millilitres: a.millilitres + b.millilitres };
  if (a.kind === "number" && b.kind === "number") return { kind: "number", value: a.value + b.value };
  if (a.kind === "percent" && b.kind === "percent") return { kind: "percent", percent: a.percent + b.percent };
  // "250 + 30 g": the unit stands for both.
  if (a.kind === "number" && b.kind === "mass") return { kind: "mass", grams: a.value + b.grams };
  if (a.kind === "mass" && b.kind === "number") return { kind: "mass", grams: a.grams + b.value };
  return undefined;
}

function multiply(quantity: TypedQuantity, count: number): TypedQuantity {
  switch (quantity.kind) {
    case "mass":
      return { kind: "mass", grams: quantity.grams * count };
    case "volume":
      return { kind: "volume", millilitres: quantity.millilitres * count };
    case "number":
      return { kind: "number", value: quantity.value * count };
    case "percent":
      return { kind: "percent", percent: quantity.percent * count };
  }
}

function amountOf(quantity: TypedQuantity): number {
  if (quantity.kind === "mass") return quantity.grams;
  if (quantity.kind === "volume") return quantity.millilitres;
  return quantity.kind === "number" ? quantity.value : quantity.percent;
}

function refuse(text: string, options: ParseQuantityOptions, what: { code: ProblemCode; remedy: string }): Read<never> {
  const found = typeof text === "string" ? text.slice(0, MOST_LETTERS) : typeof text;
  return {
    ok: false,
    error: {
      code: what.code,
      path: options.path ?? [],
      expected: "a weight such as 250 g",
      found: `"${found}"`,
      remedy: what.remedy,
    },
  };
}
