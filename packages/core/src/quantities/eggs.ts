import type { Band } from "./result.js";

/** Class A eggs by weight: EU and UK (Commission Regulation (EC) 589/2008, article 4), or the US weight classes. */
export type EggScheme = "uk" | "eu" | "us";
export type EuEggGrade = "S" | "M" | "L" | "XL";
export type UsEggGrade = "peewee" | "small" | "medium" | "large" | "extra-large" | "jumbo";
export type EggGrade =
  | { readonly scheme: "uk" | "eu"; readonly grade: EuEggGrade }
  | { readonly scheme: "us"; readonly grade: UsEggGrade };

export interface EggParts {
  readonly inShellGrams: number;
  /** White and yolk, without shell. */
  readonly edibleGrams: number;
  readonly whiteGrams: number;
  readonly yolkGrams: number;
  readonly bands: {
    readonly inShellGrams: Band;
    readonly edibleGrams: Band;
    readonly whiteGrams: Band;
    readonly yolkGrams: Band;
  };
  readonly source: string;
}

/**
 * Limits of each EU and UK grade, in shell [g]; the lower one belongs to the grade, the upper does not (63 g is L).
 * The open ends of S and XL are closed at ten grams from the limit: assumption.
 */
export const EU_EGG_LIMITS: Readonly<Record<EuEggGrade, readonly [from: number, below: number]>> = {
  S: [43, 53],
  M: [53, 63],
  L: [63, 73],
  XL: [73, 83],
};

// Shell share of the egg: 9.5 % (Cotterill and Geiger 1977, quoted in a book abstract) to 11.8 % (50 g of 56.7 g, USDA SR28 01123
// and the US large grade). The middle of the two is used: assumption.
const SHELL_SHARE = { likely: 0.1065, from: 0.081, to: 0.124 };
// Yolk share of the edible egg: 0.304 (Cotterill and Geiger) to 0.34 (17 g of 50 g, USDA SR28 01125). Middle of the two: assumption.
const YOLK_SHARE = { likely: 0.322, from: 0.304, to: 0.34 };

// USDA SR28 01123, Egg, whole, raw: portion weights without shell. Peewee is not in it: the least weight in shell less the shell share.
const US_EDIBLE: Readonly<Record<UsEggGrade, number>> = {
  peewee: 31.7,
  small: 38,
  medium: 44,
  large: 50,
  "extra-large": 56,
  jumbo: 63,
};
// Least net weight of a dozen in shell, ounces avoirdupois (US weight classes for shell eggs).
const US_OUNCES_PER_DOZEN: Readonly<Record<UsEggGrade, number>> = {
  peewee: 15,
  small: 18,
  medium: 21,
  large: 24,
  "extra-large": 27,
  jumbo: 30,
};
// Shell share that the two US tables imply together: 1 - 50 / 56.7.
const US_SHELL_SHARE = 0.118;
const GRAMS_PER_OUNCE = 28.349523125;

/**
 * What one egg of a grade gives: weight in shell, and without shell its white and yolk.
 *
 * @returns  grams for one egg; the likely figure is the middle of an EU or UK grade, or the USDA portion weight of a US grade.
 *   Weigh the eggs when it matters: within a grade they differ by a fifth.
 */
export function eggParts(egg: EggGrade): EggParts {
  return egg.scheme === "us" ? usParts(egg.grade) : euParts(egg.grade);
}

function euParts(grade: EuEggGrade): EggParts {
  const [from, below] = EU_EGG_LIMITS[grade];
  const inShell = { likely: (from + below) / 2, from, to: below };
  return parts(
    inShell,
    {
      likely: inShell.likely * (1 - SHELL_SHARE.likely),
      from: from * (1 - SHELL_SHARE.to),
      to: below * (1 - SHELL_SHARE.from),
    },
    YOLK_SHARE,
    "grade limits: Commission Regulation (EC) 589/2008, article 4; shell and yolk shares between Cotterill and Geiger (1977) and USDA SR28",
  );
}

function usParts(grade: UsEggGrade): EggParts {
  const least = (US_OUNCES_PER_DOZEN[grade] * GRAMS_PER_OUNCE) / 12;
  const next = least + (3 * GRAMS_PER_OUNCE) / 12;
  const edible = US_EDIBLE[grade];
  return parts(
    { likely: Math.max(least, edible / (1 - US_SHELL_SHARE)), from: least, to: next },
    { likely: edible, from: least * (1 - SHELL_SHARE.to), to: next * (1 - SHELL_SHARE.from) },
    // USDA weighs 33 g of white and 17 g of yolk in a large egg.
    { ...YOLK_SHARE, likely: 0.34 },
    "edible weight: USDA SR28 01123, 01124, 01125; in shell: US weight classes",
  );
}

function parts(inShell: Band, edible: Band, yolk: Band, source: string): EggParts {
  return {
    inShellGrams: inShell.likely,
    edibleGrams: edible.likely,
    yolkGrams: edible.likely * yolk.likely,
    whiteGrams: edible.likely * (1 - yolk.likely),
    bands: {
      inShellGrams: inShell,
      edibleGrams: edible,
      yolkGrams: { likely: edible.likely * yolk.likely, from: edible.from * yolk.from, to: edible.to * yolk.to },
      whiteGrams: {
        likely: edible.likely * (1 - yolk.likely),
        from: edible.from * (1 - yolk.to),
        to: edible.to * (1 - yolk.from),
      },
    },
    source,
  };
}
