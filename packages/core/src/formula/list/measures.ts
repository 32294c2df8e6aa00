import { type HouseholdMeasure, householdMillilitres, type MeasureSystem } from "../../quantities/index.js";
import type { VolumeUnit } from "./amountWords.js";

/** What a list gives away about its country. */
export interface Evidence {
  /** The system in use, or undefined where the list does not say. */
  readonly system: MeasureSystem | undefined;
  /** The system was stated by the caller. */
  readonly stated: boolean;
  /** Names are read as this country has them. */
  readonly region: "uk" | "us";
  /** Signs of both countries are in the list. */
  readonly mixed: boolean;
  /** Cups are named in a list that is otherwise British. */
  readonly cupsUnsure: boolean;
  /** Signs of Australia or New Zealand, whose tablespoon may hold 20 ml. */
  readonly australian: boolean;
  /** Numbers stand without a unit throughout: "butter 150". */
  readonly unitless: boolean;
  /** In words, for the baker. */
  readonly why: string;
}

interface Sign {
  readonly pattern: RegExp;
  readonly weight: number;
}

// Common practice, no source: words by which a baker tells where a recipe was written.
const US_SIGNS: readonly Sign[] = [
  { pattern: /\bcups?\b|(?<!\d\d)\d\s*[cC]\.?(?=\s+[a-z(])/i, weight: 1 },
  { pattern: /\bsticks?\b(?!\s+(?:cinnamon|of cinnamon))(?<!cinnamon sticks?)/i, weight: 2 },
  { pattern: /\ball[- ]?purpose\b|\bAP flour\b/i, weight: 3 },
  { pattern: /\b(?:heavy|heavy whipping) cream\b|\bhalf[- ]and[- ]half\b/i, weight: 3 },
  { pattern: /\bconfectioner'?s'?\b|\bpowdered sugar\b|\b10x sugar\b/i, weight: 3 },
  { pattern: /\bself[- ]rising\b/i, weight: 3 },
  {
    pattern:
      /\bcake flour\b|\bgraham crackers?\b|\bkosher salt\b|\bcorn syrup\b|\bshortening\b|\bapplesauce\b|\boleo\b|\bcornstarch\b/i,
    weight: 2,
  },
  {
    pattern: /\bgranulated sugar\b|\bbaking soda\b|\bmolasses\b|\bsour cream\b|\bcanola\b|\bpecans?\b|\bzucchinis?\b/i,
    weight: 1,
  },
  { pattern: /\bquarts?\b|\bfrosting\b|\bvanilla beans?\b|\bunsalted butter, softened\b/i, weight: 1 },
  { pattern: /\d\s?°?\s?F\b|\bdegrees F/i, weight: 2 },
  { pattern: /\b(?:at|oven|to)\s+(?:3\d\d|4[0-4]\d)\b(?!\s*(?:g|gr|grams|ml|k|mm)\b)/i, weight: 2 },
  { pattern: /\b(?:2[5-9]\d|3\d\d|4[0-5]\d)\s?°(?!\s?[CcK])/, weight: 2 },
  { pattern: /(?<![\d.])\d\s*[tT]\.?\s+[a-z]{3}/, weight: 1 },
  { pattern: /\bsuperfine sugar\b|\bsemi-?sweet\b|\bbittersweet chocolate\b|\bdutch[- ]process/i, weight: 2 },
];
const UK_SIGNS: readonly Sign[] = [
  { pattern: /\bplain flour\b|\bself[- ]?raising\b|\bS\.?R\.? flour\b|\bstrong (?:white|bread|plain)\b/i, weight: 3 },
  { pattern: /\bcast[eo]r sugar\b|\bgolden caster\b|\bicing sugar\b/i, weight: 3 },
  { pattern: /\b(?:double|single|soured|clotted) cream\b|\bcreme fraiche\b|\bcrème fraîche\b/i, weight: 3 },
  { pattern: /\bbicarb(?:onate)?\b|\bcornflour\b|\bgolden syrup\b|\b(?:black )?treacle\b/i, weight: 3 },
  {
    pattern: /\bsultanas?\b|\bdemerara\b|\bmuscovado\b|\bdesiccated\b|\bground almonds\b|\bmixed spice\b|\bglac[eé]\b/i,
    weight: 2,
  },
  { pattern: /\bdessert ?spoons?\b|\bdsp\b|\bgas mark\b|\bfree[- ]range\b|\bunwaxed\b|\bcourgettes?\b|\bcaster\b/i, weight: 2 },
  { pattern: /\b(?:sandwich|loaf|cake|springform|sponge) tins?\b|\bg tins?\b/i, weight: 2 },
];
const METRIC_SIGN = /\d\s?(?:g|gr|gms?|grams?|kg|ml|cl|dl)\b/i;
const MEASURED = /\d\s?(?:g|gr|gms?|grams?|kg|ml|cl|dl|l|oz|ozs|lbs?|tsp|tbsp|cups?|c|t|%|pints?)\b/i;
/** "butter 150", "150 butter" */
const BARE_NUMBER = /^[a-z][a-z ,'&()-]{2,40}[\s:-]+\d{1,4}(?:\.\d+)?\s*$|^\d{2,4}\s+[a-z]{3}/i;
const AUSTRALIAN_SIGN =
  /\bthickened cream\b|\bcopha\b|\b20 ?ml tablespoons?\b|\bpure cream\b|\bplain \(all[- ]purpose\) flour\b|\bcaster \(superfine\) sugar\b/i;

/** Weighs what the lines give away. `lines` have been tidied. */
export function weighEvidence(lines: readonly string[], stated: MeasureSystem | undefined): Evidence {
  let us = 0;
  let uk = 0;
  let metric = 0;
  let australian = false;
  let cups = 0;
  let sticks = false;
  let [bare, measured] = [0, 0];
  for (const line of lines) {
    for (const sign of US_SIGNS) if (sign.pattern.test(line)) us += sign.weight;
    for (const sign of UK_SIGNS) if (sign.pattern.test(line)) uk += sign.weight;
    if (METRIC_SIGN.test(line)) metric += 1;
    if (MEASURED.test(line)) measured += 1;
    else if (BARE_NUMBER.test(line)) bare += 1;
    if (/\bcups?\b/i.test(line) || /(?<!\d\d)\d\s*c\.?(?=\s+[a-z(])/.test(line)) cups += 1;
    sticks ||= /\d\s*sticks?\b|\bounces?\b/i.test(line);
    australian ||= AUSTRALIAN_SIGN.test(line);
  }
  const unitless = bare >= 3 && bare > measured;
  const base = { stated: false, mixed: false, cupsUnsure: false, australian: false, unitless };
  if (stated !== undefined) {
    const why = `You said that the measures are ${stated === "us" ? "US" : stated}.`;
    return { ...base, system: stated, stated: true, region: stated === "us" ? "us" : "uk", why };
  }
  const british = uk + (uk > 0 ? 1 : 0.34) * Math.min(metric, 3);
  const region = us > british && us >= 3 ? "us" : "uk";
  // A cup or two among British weights: only the cup is in doubt.
  if (!australian && cups > 0 && uk >= 3 && us <= uk / 2 && (cups <= 2 || metric >= 2 * cups)) {
    const why = "The list is British and has a cup, which may hold 250 ml or 237 ml.";
    return { ...base, system: "metric", region: "uk", cupsUnsure: true, why };
  }
  if (australian || (cups > 0 && uk >= 3 && us <= uk / 2)) {
    const why = "The list has cups beside British names, so a cup may hold 250 ml or 237 ml.";
    return { ...base, system: undefined, region: "uk", mixed: true, australian: true, why };
  }
  // Grams throughout and no cup or stick: American names alone do not make American eggs.
  const household = cups > 0 || sticks;
  if (metric >= 3 && !household && us < 8) {
    return {
      ...base,
      system: "metric",
      region: "uk",
      why: uk > 0 ? "The list is metric, with British names." : "The list is metric.",
    };
  }
  if (us >= 3 && us >= 2 * british)
    return { ...base, system: "us", region: "us", why: "The list's names and measures are American." };
  if (us >= 3 && british >= 2)
    return { ...base, system: undefined, region, mixed: true, why: "The list has British and American signs." };
  if (cups > 0 || us > 3) {
    return {
      ...base,
      system: undefined,
      region: us > british ? "us" : "uk",
      mixed: true,
      why: "The list does not say whose cups it uses.",
    };
  }
  return {
    ...base,
    system: "metric",
    region,
    why: uk > 0 ? "The list's names are British." : "The list is metric, or says nothing of its country.",
  };
}

/** One way to read a unit. */
export interface UnitReading {
  readonly ml: number;
  readonly name: string;
}

const household = (measure: HouseholdMeasure, system: MeasureSystem, name: string): UnitReading => ({
  ml: householdMillilitres(measure, system),
  name,
});
const metric = (ml: number, name: string): readonly UnitReading[] => [{ ml, name }];

/** Millilitres of one unit, likeliest first; more than one where the list does not say which. The sizes are those of the quantities folder. */
export function unitMillilitres(unit: VolumeUnit, evidence: Evidence): readonly UnitReading[] {
  const { system, region } = evidence;
  const usFirst = region === "us";
  const either = (us: UnitReading, other: UnitReading): readonly UnitReading[] => (usFirst ? [us, other] : [other, us]);
  const usCup = household("cup", "us", "US cup of 237 ml");
  const metricCup = household("cup", "metric", "metric cup of 250 ml");
  const usFluidOunce = household("fluid-ounce", "us", "US fluid ounce");
  const imperialFluidOunce = household("fluid-ounce", "imperial", "imperial fluid ounce");
  const usPint = household("pint", "us", "US pint");
  const imperialPint = household("pint", "imperial", "imperial pint");
  switch (unit) {
    case "ml":
      return metric(1, "ml");
    case "cl":
      return metric(10, "cl");
    case "dl":
      return metric(100, "dl");
    case "litre":
      return metric(1000, "litre");
    case "us-cup":
      return [usCup];
    case "metric-cup":
      return [metricCup];
    case "cup":
      if (system === "us") return [usCup];
      if (evidence.stated && system !== "imperial") return [metricCup];
      if (evidence.stated) return [household("cup", "imperial", "half an imperial pint"), metricCup];
      return either(usCup, metricCup);
    case "au-tablespoon":
      return [household("tablespoon", "australian", "Australian tablespoon of 20 ml")];
    case "tablespoon":
      if (system === "us" || system === "australian" || system === "imperial")
        return [household("tablespoon", system, "tablespoon")];
      // A US tablespoon is 1.4 % smaller than a metric one: no reason to ask.
      if (evidence.australian)
        return [
          household("tablespoon", "metric", "tablespoon of 15 ml"),
          household("tablespoon", "australian", "Australian tablespoon of 20 ml"),
        ];
      return [household("tablespoon", "metric", "tablespoon of 15 ml")];
    case "dessertspoon":
      return [household("dessertspoon", "metric", "dessertspoon of 10 ml")];
    case "teaspoon":
      return [household("teaspoon", system === "us" || system === "imperial" ? system : "metric", "teaspoon")];
    case "us-fluid-ounce":
      return [usFluidOunce];
    case "imperial-fluid-ounce":
      return [imperialFluidOunce];
    case "fluid-ounce":
      if (system === "us") return [usFluidOunce];
      return system !== undefined ? [imperialFluidOunce] : either(usFluidOunce, imperialFluidOunce);
    case "us-pint":
      return [usPint];
    case "imperial-pint":
      return [imperialPint];
    case "pint":
      if (system === "us") return [usPint];
      return system !== undefined ? [imperialPint] : either(usPint, imperialPint);
    case "quart":
      if (system === "us") return [household("quart", "us", "US quart")];
      return [household("quart", "us", "US quart"), household("quart", "imperial", "imperial quart")];
    case "gill":
      // A quarter of an imperial pint, but half a pint in the north of England (from memory).
      return [
        { ml: imperialPint.ml / 4, name: "gill of a quarter pint" },
        { ml: imperialPint.ml / 2, name: "northern English gill of half a pint" },
      ];
  }
}
