import { MILLILITRES_IN } from "./convert.js";
import { type Millilitres, millilitres } from "./units.js";

/** Whose cups and spoons. A recipe has to say or be asked: an Australian tablespoon holds a third more than the others. */
export type MeasureSystem = "us" | "metric" | "imperial" | "australian";
export type HouseholdMeasure = "cup" | "tablespoon" | "dessertspoon" | "teaspoon" | "fluid-ounce" | "pint" | "quart" | "gallon";

const US_CUP = MILLILITRES_IN["us-gallon"] / 16;
const IMPERIAL_FLUID_OUNCE = MILLILITRES_IN["imperial-fluid-ounce"];

interface MeasureDefinition {
  readonly ml: number;
  readonly source: string;
}

const EXACT_US = "exact: 1 US gallon = 231 cubic inches (NIST Handbook 44, appendix C)";
const EXACT_IMPERIAL = "exact: 1 gallon = 4.54609 L (Weights and Measures Act 1985, Schedule 1)";
const METRIC_SPOON = "common practice, no source";

const MEASURES: Readonly<Record<MeasureSystem, Partial<Record<HouseholdMeasure, MeasureDefinition>>>> = {
  us: {
    cup: { ml: US_CUP, source: EXACT_US },
    tablespoon: { ml: US_CUP / 16, source: EXACT_US },
    teaspoon: { ml: US_CUP / 48, source: EXACT_US },
    "fluid-ounce": { ml: US_CUP / 8, source: EXACT_US },
    pint: { ml: US_CUP * 2, source: EXACT_US },
    quart: { ml: US_CUP * 4, source: EXACT_US },
    gallon: { ml: US_CUP * 16, source: EXACT_US },
  },
  metric: {
    cup: { ml: 250, source: METRIC_SPOON },
    tablespoon: { ml: 15, source: METRIC_SPOON },
    dessertspoon: { ml: 10, source: METRIC_SPOON },
    teaspoon: { ml: 5, source: METRIC_SPOON },
  },
  imperial: {
    cup: { ml: IMPERIAL_FLUID_OUNCE * 10, source: "half an imperial pint, from memory; rare in British books" },
    tablespoon: { ml: IMPERIAL_FLUID_OUNCE * 0.625, source: "5/8 imperial fluid ounce, from memory; older British books" },
    dessertspoon: { ml: (IMPERIAL_FLUID_OUNCE * 0.625 * 2) / 3, source: "two thirds of the imperial tablespoon, from memory" },
    teaspoon: { ml: (IMPERIAL_FLUID_OUNCE * 0.625) / 3, source: "a third of the imperial tablespoon, from memory" },
    "fluid-ounce": { ml: IMPERIAL_FLUID_OUNCE, source: EXACT_IMPERIAL },
    pint: { ml: IMPERIAL_FLUID_OUNCE * 20, source: EXACT_IMPERIAL },
    quart: { ml: IMPERIAL_FLUID_OUNCE * 40, source: EXACT_IMPERIAL },
    gallon: { ml: IMPERIAL_FLUID_OUNCE * 160, source: EXACT_IMPERIAL },
  },
  australian: {
    cup: { ml: 250, source: "metric cup, from memory" },
    tablespoon: { ml: 20, source: "Australian tablespoon, from memory" },
    dessertspoon: { ml: 10, source: "from memory" },
    teaspoon: { ml: 5, source: "from memory" },
  },
};

/** Where a system has no such measure, the measure of this one is meant: a British pint is imperial, also in a metric kitchen. */
const INSTEAD: Readonly<Record<MeasureSystem, MeasureSystem>> = {
  us: "metric",
  metric: "imperial",
  imperial: "metric",
  australian: "imperial",
};

/**
 * How much one level household measure holds.
 *
 * @returns  volume [mL] of one cup, spoon, pint ...; exact for US and imperial pints and what follows from them
 */
export function householdMillilitres(measure: HouseholdMeasure, system: MeasureSystem): Millilitres {
  return millilitres(definitionOf(measure, system).ml);
}

/** Where the size of a household measure comes from, in words. */
export function householdSource(measure: HouseholdMeasure, system: MeasureSystem): string {
  return definitionOf(measure, system).source;
}

function definitionOf(measure: HouseholdMeasure, system: MeasureSystem): MeasureDefinition {
  const found = MEASURES[system][measure] ?? MEASURES[INSTEAD[system]][measure];
  if (!found) throw new RangeError(`no household measure "${measure}"`);
  return found;
}

export interface HouseholdPart {
  /** What the usual sets of cups and spoons hold: quarters and thirds of a cup, halves of a tablespoon, quarters of a teaspoon, an eighth. */
  readonly amount: number;
  readonly measure: HouseholdMeasure;
}

export interface HouseholdAmount {
  /** One part, or two where one would miss by more than 2 %: a cup and a tablespoon. */
  readonly parts: readonly HouseholdPart[];
  /** "1½ cups", "2 tbsp", "1 cup + 1 tbsp". */
  readonly text: string;
  /** What that holds [mL]. */
  readonly millilitres: number;
  /** How much more (or less, negative) that is than what was asked for [%]. */
  readonly differencePercent: number;
}

const FRACTIONS = [
  { value: 0, sign: "" },
  { value: 1 / 4, sign: "¼" },
  { value: 1 / 3, sign: "⅓" },
  { value: 1 / 2, sign: "½" },
  { value: 2 / 3, sign: "⅔" },
  { value: 3 / 4, sign: "¾" },
  { value: 1, sign: "" },
] as const;

const SHORT: Readonly<Record<HouseholdMeasure, readonly [one: string, many: string]>> = {
  cup: ["cup", "cups"],
  tablespoon: ["tbsp", "tbsp"],
  dessertspoon: ["dsp", "dsp"],
  teaspoon: ["tsp", "tsp"],
  "fluid-ounce": ["fl oz", "fl oz"],
  pint: ["pint", "pints"],
  quart: ["quart", "quarts"],
  gallon: ["gallon", "gallons"],
};

/** "1½", "⅔", "3": a number in the quarters and thirds that cups and spoons have; the nearest of them. */
export function formatFraction(value: number): string {
  if (!(value >= 0 && Number.isFinite(value))) throw new RangeError(`formatFraction: ${value} is not 0 or more`);
  const { whole, fraction } = toFraction(value);
  if (fraction.sign === "") return String(whole + fraction.value);
  return whole === 0 ? fraction.sign : `${whole}${fraction.sign}`;
}

function toFraction(value: number) {
  const whole = Math.floor(value);
  const rest = value - whole;
  const fraction = FRACTIONS.reduce((best, next) => (Math.abs(next.value - rest) < Math.abs(best.value - rest) ? next : best));
  return { whole, fraction };
}

/**
 * A volume in the cups and spoons of a reader's kitchen, as a baker would fill them: only amounts that the usual sets hold (cups of
 * 1, ½, ⅓ and ¼, a tablespoon and its half, teaspoons of 1, ½, ¼ and ⅛: common practice, no source), the fewest of them, and never
 * a row of tablespoons where a cup would do.
 *
 * @param volume  [mL], above 0
 * @returns  the amount and by how much it misses; under a sixteenth of a teaspoon it is still "⅛ tsp" with the miss told
 */
export function householdAmount(volume: Millilitres | number, system: MeasureSystem): HouseholdAmount {
  if (!(volume > 0 && Number.isFinite(volume))) throw new RangeError(`householdAmount: ${volume} mL is not above 0`);
  const single = least(singles(volume, system));
  if (single !== undefined && Math.abs(missOf(single.parts, volume, system)) <= 0.02)
    return amountOf(single.parts, volume, system);
  const best = least([...(single === undefined ? [] : [single]), ...pairs(volume, system)]);
  return amountOf(best?.parts ?? [{ amount: 0.125, measure: "teaspoon" }], volume, system);
}

interface Candidate {
  readonly parts: readonly HouseholdPart[];
  /** The miss as a share, and a little for what is clumsy to measure. */
  readonly cost: number;
}

const TEASPOONS = [1 / 8, 1 / 4, 1 / 2, 3 / 4, 1, 5 / 4, 3 / 2, 7 / 4, 2, 9 / 4, 5 / 2, 11 / 4] as const;
const TABLESPOONS = [1, 3 / 2, 2, 5 / 2, 3, 7 / 2] as const;
const CUP_PARTS = [0, 1 / 4, 1 / 3, 1 / 2, 2 / 3, 3 / 4, 1] as const;
/** What is added to a cup or a tablespoon; finer spoons only where they still matter. */
const ADDED_TABLESPOONS = [1, 3 / 2, 2, 5 / 2, 3, 7 / 2] as const;
const ADDED_TEASPOONS = [1 / 4, 1 / 2, 1, 3 / 2, 2, 5 / 2, 3, 7 / 2] as const;

function singles(volume: number, system: MeasureSystem): readonly Candidate[] {
  const candidate = (amount: number, measure: HouseholdMeasure, clumsy: number): Candidate => {
    const parts = [{ amount, measure }];
    return { parts, cost: Math.abs(missOf(parts, volume, system)) + clumsy };
  };
  const cups = volume / householdMillilitres("cup", system);
  const tablespoon = householdMillilitres("tablespoon", system);
  return [
    ...CUP_PARTS.map((part) => Math.floor(cups) + part)
      .filter((amount) => amount > 0)
      .map((amount) => candidate(amount, "cup", 0)),
    ...TABLESPOONS.map((amount) => candidate(amount, "tablespoon", Number.isInteger(amount) ? 0.005 : 0.01)),
    ...TEASPOONS.filter((amount) => amount * householdMillilitres("teaspoon", system) < tablespoon).map((amount) =>
      candidate(amount, "teaspoon", Number.isInteger(amount * 2) ? 0.01 : 0.015),
    ),
  ];
}

/** A bigger measure not quite filling the volume, and spoons for the rest. */
function pairs(volume: number, system: MeasureSystem): readonly Candidate[] {
  const found: Candidate[] = [];
  const add = (big: HouseholdPart, small: HouseholdPart, clumsy: number) => {
    const parts = [big, small];
    found.push({ parts, cost: Math.abs(missOf(parts, volume, system)) + 0.01 + clumsy });
  };
  const cup = householdMillilitres("cup", system);
  const cups = Math.floor(volume / cup);
  for (const part of CUP_PARTS) {
    const amount = cups + part;
    if (amount === 0 || amount * cup > volume) continue;
    for (const spoons of ADDED_TABLESPOONS) {
      // Two spoons are less work than three and a half.
      const clumsy = 0.005 * spoons + (Number.isInteger(spoons) ? 0 : 0.002);
      add({ amount, measure: "cup" }, { amount: spoons, measure: "tablespoon" }, clumsy);
    }
    // From a cup on a teaspoon is less than the eye can level.
    for (const spoons of [1, 3 / 2, 2]) add({ amount, measure: "cup" }, { amount: spoons, measure: "teaspoon" }, 0.012);
  }
  if (volume < cup / 3) {
    // Three teaspoons to the tablespoon, and four to the Australian one.
    const teaspoonsIn = householdMillilitres("tablespoon", system) / householdMillilitres("teaspoon", system);
    for (const amount of [1, 2, 3]) {
      for (const spoons of ADDED_TEASPOONS.filter((each) => each < teaspoonsIn - 0.1 && (amount === 1 || each >= 1 / 2)))
        add({ amount, measure: "tablespoon" }, { amount: spoons, measure: "teaspoon" }, Number.isInteger(spoons) ? 0.004 : 0.008);
    }
  }
  // The eighth is in American sets, and only worth a second spoon where it is a quarter of the whole or more.
  for (const amount of system === "us" ? [1 / 4, 1 / 2] : [])
    add({ amount, measure: "teaspoon" }, { amount: 1 / 8, measure: "teaspoon" }, 0.06);
  return found;
}

function least(candidates: readonly Candidate[]): Candidate | undefined {
  return [...candidates].sort((a, b) => a.cost - b.cost)[0];
}

function heldBy(parts: readonly HouseholdPart[], system: MeasureSystem): number {
  return parts.reduce((sum, part) => sum + part.amount * householdMillilitres(part.measure, system), 0);
}

function missOf(parts: readonly HouseholdPart[], volume: number, system: MeasureSystem): number {
  return heldBy(parts, system) / volume - 1;
}

function amountOf(parts: readonly HouseholdPart[], volume: number, system: MeasureSystem): HouseholdAmount {
  const words = parts.map(
    ({ amount, measure }) => `${amount === 1 / 8 ? "⅛" : formatFraction(amount)} ${SHORT[measure][amount > 1 ? 1 : 0]}`,
  );
  return {
    parts,
    text: words.join(" + "),
    millilitres: heldBy(parts, system),
    differencePercent: missOf(parts, volume, system) * 100,
  };
}
