/** A figure as it stands on a label, and the number that the words stand for. */
export interface Declared {
  readonly text: string;
  /** The number printed; 0 for "0 g" and for "less than". */
  readonly value: number;
}

/** What the rounding rules of the European guidance tell apart. */
export type EuClass = "energy" | "macro" | "fattyAcid" | "salt" | "sodium";

interface EuRule {
  /** At most this much may be written as nothing. */
  readonly nothingUpTo: number;
  readonly fineBelow: number;
  readonly fineDigits: number;
  readonly coarseDigits: number;
}

/**
 * European Commission, Guidance on setting tolerances for nutrient values declared on a label (December 2012), table 4; used
 * in Great Britain too. Limits and steps of fat, saturates, carbohydrate, sugars, protein, fibre and salt seen as the German
 * consumer centres' portal on food labels restates the guidance (question on decimals in the nutrition table); energy, sodium and
 * the words "<0.01 g" for salt (which that page prints as 0.1) from memory of the table. Its edges are tested one by one.
 */
const EU_RULES: Readonly<Record<Exclude<EuClass, "energy">, EuRule>> = {
  macro: { nothingUpTo: 0.5, fineBelow: 10, fineDigits: 1, coarseDigits: 0 },
  fattyAcid: { nothingUpTo: 0.1, fineBelow: 10, fineDigits: 1, coarseDigits: 0 },
  salt: { nothingUpTo: 0.0125, fineBelow: 1, fineDigits: 2, coarseDigits: 1 },
  sodium: { nothingUpTo: 0.005, fineBelow: 1, fineDigits: 2, coarseDigits: 1 },
};
const LESS_THAN: Readonly<Record<Exclude<EuClass, "energy">, string>> = {
  macro: "<0.5 g",
  fattyAcid: "<0.1 g",
  salt: "<0.01 g",
  sodium: "<0.005 g",
};

/**
 * An amount as the European guidance rounds it: once, from the unrounded figure. A tie goes up (no rule is stated; practice).
 *
 * @param amount  grams per 100 g (or per portion), 0 or more; kJ or kcal for energy
 * @throws RangeError for a negative amount or not-a-number
 */
export function roundEu(kind: EuClass, amount: number): Declared {
  check("roundEu", amount);
  if (kind === "energy") {
    const value = halfUp(amount, 0);
    return { text: String(value), value };
  }
  const rule = EU_RULES[kind];
  if (amount <= rule.nothingUpTo) return amount === 0 ? { text: "0 g", value: 0 } : { text: LESS_THAN[kind], value: 0 };
  const fine = halfUp(amount, rule.fineDigits);
  // 9.96 g rounds to 10.0 and is then written like any other 10 g.
  const isFine = amount < rule.fineBelow && fine < rule.fineBelow;
  const value = isFine ? fine : halfUp(amount, rule.coarseDigits);
  return { text: `${value.toFixed(isFine ? rule.fineDigits : rule.coarseDigits)} g`, value };
}

export type UsClass = "calories" | "fat" | "cholesterol" | "sodium" | "carbohydrate" | "protein";

/**
 * An amount per serving as 21 CFR 101.9(c) rounds it.
 *
 * @param amount  kcal for calories, milligrams for cholesterol and sodium, grams for the others; 0 or more
 * @throws RangeError for a negative amount or not-a-number
 *
 * Source: 21 CFR 101.9(c)(1) to (7) and (9), as tabled in the agency's food-labelling guide.
 */
export function roundUs(kind: UsClass, amount: number): Declared {
  check("roundUs", amount);
  const plain = (value: number, unit: string): Declared => ({ text: unit === "" ? String(value) : `${value}${unit}`, value });
  const step = (size: number) => Number((halfUp(amount / size, 0) * size).toFixed(1));
  switch (kind) {
    case "calories":
      return plain(amount < 5 ? 0 : amount <= 50 ? step(5) : step(10), "");
    case "fat":
      return plain(amount < 0.5 ? 0 : amount < 5 ? step(0.5) : step(1), "g");
    case "cholesterol":
      return amount < 2 ? plain(0, "mg") : amount <= 5 ? { text: "less than 5mg", value: 0 } : plain(step(5), "mg");
    case "sodium":
      return plain(amount < 5 ? 0 : amount <= 140 ? step(5) : step(10), "mg");
    case "carbohydrate":
    case "protein":
      return amount < 0.5 ? plain(0, "g") : amount < 1 ? { text: "less than 1g", value: 0 } : plain(step(1), "g");
  }
}

/** Percent daily value of a vitamin or mineral (21 CFR 101.9(c)(8)(iii)); 0 to 2 % is written 0. */
export function roundUsVitaminPercent(percent: number): number {
  check("roundUsVitaminPercent", percent);
  if (percent < 2) return 0;
  const size = percent <= 10 ? 2 : percent <= 50 ? 5 : 10;
  return halfUp(percent / size, 0) * size;
}

/** Rounds half up on decimal digits; a hair of binary rounding below a half still counts as a half. */
export function halfUp(value: number, digits: number): number {
  const scale = 10 ** digits;
  return Math.round(value * scale + 1e-9 * Math.max(1, Math.abs(value * scale))) / scale;
}

function check(name: string, amount: number): void {
  if (!(amount >= 0)) throw new RangeError(`${name}: ${amount} is not 0 or more`);
}
