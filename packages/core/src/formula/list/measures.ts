import type { VolumeUnit } from "./amountWords.js";

/** Whose cups, spoons, pints and eggs a list uses. */
export type MeasureSystem = "us" | "metric" | "imperial" | "australian";

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
  /** In words, for the baker. */
  readonly why: string;
}

interface Sign {
  readonly pattern: RegExp;
  readonly weight: number;
}

// Common practice, no source: words by which a baker tells where a recipe was written.
const US_SIGNS: readonly Sign[] = [
  { pattern: /\bcups?\b/i, weight: 1 },
  { pattern: /\bsticks?\b(?!\s+(?:cinnamon|of cinnamon))(?<!cinnamon sticks?)/i, weight: 2 },
  { pattern: /\ball[- ]?purpose\b|\bAP flour\b/i, weight: 3 },
  { pattern: /\b(?:heavy|heavy whipping) cream\b|\bhalf[- ]and[- ]half\b/i, weight: 3 },
  { pattern: /\bconfectioner'?s'?\b|\bpowdered sugar\b|\b10x sugar\b/i, weight: 3 },
  { pattern: /\bself[- ]rising\b/i, weight: 3 },
  { pattern: /\bcake flour\b|\bgraham crackers?\b|\bkosher salt\b|\bcorn syrup\b|\bvegetable shortening\b|\bcornstarch\b/i, weight: 2 },
  { pattern: /\bgranulated sugar\b|\bbaking soda\b|\bmolasses\b|\bsour cream\b|\bcanola\b|\bpecans?\b|\bzucchinis?\b|\bcrisco\b/i, weight: 1 },
  { pattern: /\bquarts?\b|\bfrosting\b|\bvanilla beans?\b|\bunsalted butter, softened\b/i, weight: 1 },
  { pattern: /\d\s?°?\s?F\b|\bdegrees F/i, weight: 2 },
  { pattern: /\bsuperfine sugar\b|\bsemi-?sweet\b|\bbittersweet chocolate\b|\bdutch[- ]process/i, weight: 2 },
];
const UK_SIGNS: readonly Sign[] = [
  { pattern: /\bplain flour\b|\bself[- ]?raising\b|\bS\.?R\.? flour\b|\bstrong (?:white|bread|plain)\b/i, weight: 3 },
  { pattern: /\bcast[eo]r sugar\b|\bgolden caster\b|\bicing sugar\b/i, weight: 3 },
  { pattern: /\b(?:double|single|soured|clotted) cream\b|\bcreme fraiche\b|\bcrème fraîche\b/i, weight: 3 },
  { pattern: /\bbicarb(?:onate)?\b|\bcornflour\b|\bgolden syrup\b|\b(?:black )?treacle\b/i, weight: 3 },
  { pattern: /\bsultanas?\b|\bdemerara\b|\bmuscovado\b|\bdesiccated\b|\bground almonds\b|\bmixed spice\b|\bglac[eé]\b/i, weight: 2 },
  { pattern: /\bdessert ?spoons?\b|\bdsp\b|\bgas mark\b|\bfree[- ]range\b|\bunwaxed\b|\bcourgettes?\b|\bcaster\b/i, weight: 2 },
  { pattern: /\b(?:sandwich|loaf|cake|springform|sponge) tins?\b|\bg tins?\b/i, weight: 2 },
];
const METRIC_SIGN = /\d\s?(?:g|gr|gms?|grams?|kg|ml|cl|dl)\b/i;
const AUSTRALIAN_SIGN = /\bthickened cream\b|\bcopha\b|\b20 ?ml tablespoons?\b|\bpure cream\b|\bplain \(all[- ]purpose\) flour\b|\bcaster \(superfine\) sugar\b/i;

/** Weighs what the lines give away. `lines` have been tidied. */
export function weighEvidence(lines: readonly string[], stated: MeasureSystem | undefined): Evidence {
  let us = 0;
  let uk = 0;
  let metric = 0;
  let australian = false;
  let cups = false;
  for (const line of lines) {
    for (const sign of US_SIGNS) if (sign.pattern.test(line)) us += sign.weight;
    for (const sign of UK_SIGNS) if (sign.pattern.test(line)) uk += sign.weight;
    if (METRIC_SIGN.test(line)) metric += 1;
    if (/\bcups?\b/i.test(line)) cups = true;
    australian ||= AUSTRALIAN_SIGN.test(line);
  }
  if (stated !== undefined) {
    return { system: stated, stated: true, region: stated === "us" ? "us" : "uk", mixed: false, why: `You said that the measures are ${stated === "us" ? "US" : stated}.` };
  }
  const british = uk + Math.min(metric, 3) * (uk > 0 ? 1 : 0.34);
  if (australian || (cups && uk >= 3 && us <= uk / 2)) {
    return { system: undefined, stated: false, region: "uk", mixed: true, why: "The list has cups beside British names, so a cup may hold 250 ml or 237 ml." };
  }
  if (us >= 3 && us >= 2 * british) return { system: "us", stated: false, region: "us", mixed: false, why: "The list's names and measures are American." };
  if (us >= 3 && british >= 2) {
    return { system: undefined, stated: false, region: us > british ? "us" : "uk", mixed: true, why: "The list has British and American signs." };
  }
  if (cups) return { system: undefined, stated: false, region: us > british ? "us" : "uk", mixed: true, why: "The list does not say whose cups it uses." };
  return { system: "metric", stated: false, region: us > british && us >= 3 ? "us" : "uk", mixed: false, why: uk > 0 ? "The list's names are British." : "The list is metric." };
}

/**
 * Millilitres of one unit, likeliest first; more than one where the list does not say which.
 * Sizes: household-measures table (US customary units exact by definition; metric, imperial and Australian from memory).
 */
export function unitMillilitres(unit: VolumeUnit, evidence: Evidence): readonly { readonly ml: number; readonly name: string }[] {
  const us = evidence.system === "us";
  const known = evidence.system !== undefined;
  switch (unit) {
    case "ml":
      return [{ ml: 1, name: "ml" }];
    case "cl":
      return [{ ml: 10, name: "cl" }];
    case "dl":
      return [{ ml: 100, name: "dl" }];
    case "litre":
      return [{ ml: 1000, name: "litre" }];
    case "us-cup":
      return [US_CUP];
    case "metric-cup":
      return [METRIC_CUP];
    case "cup":
      if (us) return [US_CUP];
      if (evidence.stated && evidence.system !== "imperial") return [METRIC_CUP];
      if (evidence.stated) return [METRIC_CUP, { ml: 284.130625, name: "half an imperial pint" }, US_CUP];
      return evidence.region === "us" ? [US_CUP, METRIC_CUP] : [METRIC_CUP, US_CUP];
    case "au-tablespoon":
      return [{ ml: 20, name: "Australian tablespoon of 20 ml" }];
    case "tablespoon":
      if (us) return [{ ml: 14.78676478125, name: "US tablespoon" }];
      if (evidence.system === "australian") return [{ ml: 20, name: "Australian tablespoon of 20 ml" }];
      // A US tablespoon is 1.4 % smaller than a metric one: no reason to ask.
      return [{ ml: 15, name: "tablespoon of 15 ml" }];
    case "dessertspoon":
      return [{ ml: 10, name: "dessertspoon of 10 ml" }];
    case "teaspoon":
      return us ? [{ ml: 4.92892159375, name: "US teaspoon" }] : [{ ml: 5, name: "teaspoon of 5 ml" }];
    case "half-teaspoon":
      return [{ ml: 2.5, name: "half teaspoon" }];
    case "us-fluid-ounce":
      return [US_FLUID_OUNCE];
    case "imperial-fluid-ounce":
      return [IMPERIAL_FLUID_OUNCE];
    case "fluid-ounce":
      if (us) return [US_FLUID_OUNCE];
      if (known && !evidence.mixed) return [IMPERIAL_FLUID_OUNCE];
      return evidence.region === "us" ? [US_FLUID_OUNCE, IMPERIAL_FLUID_OUNCE] : [IMPERIAL_FLUID_OUNCE, US_FLUID_OUNCE];
    case "us-pint":
      return [US_PINT];
    case "imperial-pint":
      return [IMPERIAL_PINT];
    case "pint":
      if (us) return [US_PINT];
      if (known && !evidence.mixed) return [IMPERIAL_PINT];
      return evidence.region === "us" ? [US_PINT, IMPERIAL_PINT] : [IMPERIAL_PINT, US_PINT];
    case "quart":
      if (us) return [{ ml: 946.352946, name: "US quart" }];
      return [
        { ml: 946.352946, name: "US quart" },
        { ml: 1136.5225, name: "imperial quart" },
      ];
    case "gill":
      // A quarter of an imperial pint, but half a pint in the north of England (from memory); and the US gill is 118 ml.
      return [
        { ml: 142.0653125, name: "imperial gill (quarter of a pint)" },
        { ml: 284.130625, name: "northern English gill (half a pint)" },
      ];
  }
}

const US_CUP = { ml: 236.5882365, name: "US cup of 237 ml" };
const METRIC_CUP = { ml: 250, name: "metric cup of 250 ml" };
const US_FLUID_OUNCE = { ml: 29.5735295625, name: "US fluid ounce" };
const IMPERIAL_FLUID_OUNCE = { ml: 28.4130625, name: "imperial fluid ounce" };
const US_PINT = { ml: 473.176473, name: "US pint" };
const IMPERIAL_PINT = { ml: 568.26125, name: "imperial pint" };
