import type { SaleMode } from "./saleModes.js";

/** What the seller says of the business; each may be left out, and then the answer may be that it is not known. */
export interface Seller {
  readonly staff?: number;
  /** Turnover or balance of a year [GBP in Great Britain, EUR in the EU]. */
  readonly yearlyTurnover?: number;
  /** Sold by the maker to the eater, or to local shops that sell to the eater. */
  readonly isDirectOrLocal?: boolean;
  /** Sales of everything and of food in a year [USD]; units of this product in a year. */
  readonly yearlySalesDollars?: number;
  readonly yearlyFoodSalesDollars?: number;
  readonly yearlyUnits?: number;
  /** A claim about nutrition or health ends every exemption. */
  readonly makesNutritionClaim?: boolean;
}

export interface Exemption {
  readonly verdict: "needed" | "exempt" | "not-known";
  readonly words: string;
  readonly rule: string;
}

/**
 * Whether a nutrition declaration has to stand on this label, as far as the published rules say.
 *
 * "not-known" means that the seller has to say more; until then the declaration is made.
 *
 * Sources: Regulation (EU) 1169/2011, Annex V, points 18 and 19, and the guidance of the United Kingdom on it (seen); 21 CFR
 * 101.9(j)(1), (3) and (18) (from memory).
 */
export function nutritionExemption(
  place: "gb" | "eu" | "us",
  mode: SaleMode,
  seller: Seller = {},
  surfaceCm2?: number,
): Exemption {
  if (seller.makesNutritionClaim === true)
    return {
      verdict: "needed",
      words: "A claim about nutrition or health asks for the declaration, whoever sells.",
      rule: place === "us" ? "us-nutrition" : "nutrition",
    };
  if (place === "us") return usExemption(mode, seller);
  if (mode === "loose" || mode === "direct-sale")
    return { verdict: "exempt", words: "Not asked for food that is loose or packed for direct sale.", rule: "loose" };
  if (surfaceCm2 !== undefined && surfaceCm2 < 25)
    return { verdict: "exempt", words: `The largest surface is ${surfaceCm2} cm², under 25.`, rule: "nutrition-tiny" };
  const { isDirectOrLocal, staff, yearlyTurnover } = seller;
  if (isDirectOrLocal === false)
    return { verdict: "needed", words: "It is not sold direct or to local shops only.", rule: "nutrition" };
  if (place === "eu")
    return {
      verdict: "not-known",
      words:
        "Small quantities sold direct or to local shops are exempt; what is small is for the member state to say. Ireland: up to 250 kg or 500 units a week, within 100 km (SI 559/2016).",
      rule: "nutrition-small-eu",
    };
  if (isDirectOrLocal === undefined || staff === undefined || yearlyTurnover === undefined)
    return {
      verdict: "not-known",
      words:
        "Exempt by the guidance for a business under 10 staff and 1.4 million pounds a year that sells direct or to local shops: say how many staff, what turnover and to whom.",
      rule: "nutrition-small",
    };
  return staff < 10 && yearlyTurnover <= 1_400_000
    ? {
        verdict: "exempt",
        words: `${staff} staff, ${yearlyTurnover} pounds a year, sold direct or to local shops.`,
        rule: "nutrition-small",
      }
    : {
        verdict: "needed",
        words: `${staff} staff and ${yearlyTurnover} pounds a year are more than the guidance calls small.`,
        rule: "nutrition",
      };
}

function usExemption(mode: SaleMode, seller: Seller): Exemption {
  const rule = "us-nutrition-small";
  if (mode === "loose" || mode === "direct-sale")
    return { verdict: "exempt", words: "Ready to eat and made mainly where it is sold (101.9(j)(3)).", rule };
  const { yearlySalesDollars: sales, yearlyFoodSalesDollars: food, staff, yearlyUnits: units } = seller;
  if (food !== undefined && food <= 50_000)
    return { verdict: "exempt", words: `Food sales of ${food} dollars a year, at most 50 000.`, rule };
  if (sales !== undefined && sales <= 500_000)
    return { verdict: "exempt", words: `Sales of ${sales} dollars a year, at most 500 000.`, rule };
  if (staff !== undefined && units !== undefined) {
    if (staff < 10 && units < 10_000)
      return { verdict: "exempt", words: `${staff} staff and ${units} units a year: no notice needed.`, rule };
    if (staff < 100 && units < 100_000)
      return {
        verdict: "exempt",
        words: `${staff} staff and ${units} units a year: exempt once a notice is filed each year.`,
        rule,
      };
    if (sales !== undefined || food !== undefined)
      return { verdict: "needed", words: "More sales, staff or units than the exemptions allow.", rule: "us-nutrition" };
  }
  return {
    verdict: "not-known",
    words: "Small businesses are exempt: say what is sold in a year, how many staff and how many units.",
    rule,
  };
}
