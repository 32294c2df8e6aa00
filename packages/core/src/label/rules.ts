/** A rule of published law or guidance as a label leans on it. Laws change: the dates say between which days it was read as holding. */
export interface LawRule {
  readonly id: string;
  readonly places: readonly ("gb" | "eu" | "us")[];
  /** What it asks, in a sentence. */
  readonly words: string;
  readonly source: string;
  /** ISO 8601 dates; without `until` no end is known. */
  readonly from: string;
  readonly until?: string;
  /** When the sources were gathered. */
  readonly checkedOn: string;
  /** seen: read in a public copy. memory: recalled, to be looked up in the law in force. */
  readonly basis: "seen" | "memory" | "seen in part";
}

const CHECKED = "2026-11";
const FIC_FROM = "2014-12-13";
const rule = (
  id: string,
  places: LawRule["places"],
  basis: LawRule["basis"],
  from: string,
  words: string,
  source: string,
  until?: string,
): LawRule => ({ id, places, words, source, from, ...(until === undefined ? {} : { until }), checkedOn: CHECKED, basis });

const GB_EU = ["gb", "eu"] as const;
const FIC = "Regulation (EU) 1169/2011 (assimilated in Great Britain)";

/** The rules, newest version of each last. */
export const LAW_RULES: readonly LawRule[] = [
  rule(
    "particulars",
    GB_EU,
    "seen in part",
    FIC_FROM,
    "Prepacked food carries the mandatory particulars.",
    `${FIC}, Articles 9 and 10`,
  ),
  rule(
    "same-field",
    GB_EU,
    "seen in part",
    FIC_FROM,
    "Name, net quantity and alcohol stand in one field of vision.",
    `${FIC}, Article 13(5)`,
  ),
  rule(
    "x-height",
    GB_EU,
    "seen",
    FIC_FROM,
    "Letters have an x-height of 1.2 mm or more; 0.9 mm where the largest surface is under 80 cm².",
    `${FIC}, Article 13(2) and (3), Annex IV`,
  ),
  rule(
    "tiny-pack",
    GB_EU,
    "memory",
    FIC_FROM,
    "With a largest surface under 10 cm² only name, allergens, net quantity and date stand on the pack.",
    `${FIC}, Article 16(2)`,
  ),
  rule(
    "order",
    GB_EU,
    "seen in part",
    FIC_FROM,
    "Ingredients in descending weight as at the time of use.",
    `${FIC}, Article 18(1), Annex VII Part A`,
  ),
  rule(
    "water",
    GB_EU,
    "seen",
    FIC_FROM,
    "Added water by what is left of it in the finished product; up to 5 % need not be listed. Volatile ingredients likewise.",
    `${FIC}, Annex VII Part A, point 1`,
  ),
  rule(
    "reconstituted",
    GB_EU,
    "seen",
    FIC_FROM,
    "Concentrated or dried ingredients that are reconstituted in the making may stand by their weight before drying.",
    `${FIC}, Annex VII Part A, point 3`,
  ),
  rule(
    "under-2",
    GB_EU,
    "memory",
    FIC_FROM,
    "Ingredients under 2 % may follow in any order.",
    `${FIC}, Annex VII Part A, point 6`,
  ),
  rule(
    "compound",
    GB_EU,
    "memory",
    FIC_FROM,
    "A compound ingredient is followed by its own; under 2 % one whose composition is defined by law needs none (never for allergens).",
    `${FIC}, Annex VII Part E`,
  ),
  rule("additives", GB_EU, "memory", FIC_FROM, "Additives by class and name or E number.", `${FIC}, Annex VII Part C`),
  rule(
    "allergens",
    GB_EU,
    "seen in part",
    FIC_FROM,
    "The fourteen are named and stand out in the list.",
    `${FIC}, Article 21, Annex II`,
  ),
  rule(
    "quantity-declared",
    GB_EU,
    "seen",
    FIC_FROM,
    "Quantity of what is in the name, pictured or characteristic, related to the finished product; by weight per 100 g where it exceeds 100 %.",
    `${FIC}, Article 22, Annex VIII; Commission Notice 2017/C 393/05`,
  ),
  rule(
    "net-quantity",
    GB_EU,
    "memory",
    FIC_FROM,
    "Net quantity in g or kg; none needed under 5 g.",
    `${FIC}, Article 23, Annex IX`,
  ),
  rule(
    "date",
    GB_EU,
    "seen",
    FIC_FROM,
    "Best before, or use by for what perishes quickly and can harm. Up to three months a day and month do; to eighteen a month and year; then a year.",
    `${FIC}, Article 24, Annex X`,
  ),
  rule(
    "date-24h",
    GB_EU,
    "memory",
    FIC_FROM,
    "Bakers' and pastry-cooks' wares normally eaten within 24 hours need no date.",
    `${FIC}, Annex X, point 1(d)`,
  ),
  rule("storage", GB_EU, "memory", FIC_FROM, "Special storage conditions and conditions of use are said.", `${FIC}, Article 25`),
  rule(
    "operator",
    GB_EU,
    "memory",
    FIC_FROM,
    "Name and address of the operator under whose name it is sold.",
    `${FIC}, Articles 8(1) and 9(1)(h)`,
  ),
  rule(
    "alcohol",
    GB_EU,
    "memory",
    FIC_FROM,
    "Strength by volume for drinks over 1.2 %; a cake says it holds alcohol by good practice.",
    `${FIC}, Article 9(1)(k)`,
  ),
  rule(
    "may-contain",
    GB_EU,
    "memory",
    FIC_FROM,
    "May-contain is voluntary, after an assessment of the risk, and not misleading.",
    `${FIC}, Article 36`,
  ),
  rule(
    "nutrition",
    GB_EU,
    "seen in part",
    "2016-12-13",
    "Energy, fat, saturates, carbohydrate, sugars, protein, salt per 100 g.",
    `${FIC}, Articles 29 to 35, Annexes XIII to XV; rounding by the Commission's guidance of December 2012`,
  ),
  rule(
    "nutrition-small",
    ["gb"],
    "seen",
    "2016-12-13",
    "No nutrition declaration for small quantities sold direct or to local shops; by guidance a business under 10 staff and 2 million euro (1.4 million pounds), local being the county and its neighbours.",
    `${FIC}, Annex V, point 19, and the guidance of the United Kingdom on it`,
  ),
  rule(
    "nutrition-small-eu",
    ["eu"],
    "seen",
    "2016-12-13",
    "No nutrition declaration for small quantities sold direct or to local shops; each member state says what is small.",
    "Regulation (EU) 1169/2011, Annex V, point 19",
  ),
  rule(
    "nutrition-tiny",
    GB_EU,
    "seen",
    "2016-12-13",
    "None either where the largest surface is under 25 cm².",
    `${FIC}, Annex V, point 18`,
  ),
  rule(
    "distance",
    GB_EU,
    "seen in part",
    FIC_FROM,
    "All but the date before the purchase; everything at delivery.",
    `${FIC}, Article 14`,
  ),
  rule(
    "loose",
    GB_EU,
    "memory",
    FIC_FROM,
    "Food sold loose: allergens; the name and more by national rule.",
    `${FIC}, Article 44`,
  ),
  rule(
    "direct-sale",
    ["gb"],
    "seen",
    "2021-10-01",
    "Prepacked for direct sale: name of the food and a full list with the fourteen standing out.",
    "Food Information (Amendment) (England) Regulations 2019, regulation 5A of the 2014 Regulations, and those of Wales, Scotland and Northern Ireland",
  ),
  rule(
    "flour",
    ["gb"],
    "seen",
    "1998-12-13",
    "calcium carbonate, iron, niacin, thiamin",
    "Bread and Flour Regulations 1998, Schedule 1, until 12 December 2026",
    "2026-12-12",
  ),
  rule(
    "flour",
    ["gb"],
    "seen",
    "2026-12-13",
    "calcium carbonate, iron, niacin, thiamin, folic acid",
    "Bread and Flour (Amendment) (England) Regulations 2024 and Bread and Flour (Wales) Regulations 2025, from 13 December 2026; look up Scotland and Northern Ireland",
  ),
  rule(
    "front-of-pack",
    ["gb"],
    "seen in part",
    "2013-06-19",
    "Voluntary colour bands for fat, saturates, sugars and salt.",
    "Department of Health and others, Guide to creating a front of pack nutrition label (2013, updated 2016), table 2",
  ),
  rule(
    "us-list",
    ["us"],
    "seen",
    "1994-05-08",
    "Ingredients in descending weight; those at 2 % or less may stand after a phrase that says so.",
    "21 CFR 101.4(a)",
  ),
  rule(
    "us-allergens",
    ["us"],
    "memory",
    "2006-01-01",
    "The major allergens in the list or in a line that begins Contains.",
    "Federal Food, Drug, and Cosmetic Act, section 403(w) (eight)",
    "2022-12-31",
  ),
  rule(
    "us-allergens",
    ["us"],
    "memory",
    "2023-01-01",
    "The nine major allergens, sesame among them, in the list or in a line that begins Contains.",
    "Federal Food, Drug, and Cosmetic Act, section 403(w), as amended in 2021",
  ),
  rule(
    "us-net",
    ["us"],
    "memory",
    "1994-02-14",
    "Net weight in ounces (and pounds from one pound) and in grams.",
    "21 CFR 101.7; Fair Packaging and Labeling Act",
  ),
  rule(
    "us-operator",
    ["us"],
    "memory",
    "1994-05-08",
    "Name and place of business of the maker, packer or distributor.",
    "21 CFR 101.5",
  ),
  rule("us-nutrition", ["us"], "seen in part", "2020-01-01", "Nutrition Facts per serving.", "21 CFR 101.9 (2016 rule)"),
  rule(
    "us-serving",
    ["us"],
    "seen in part",
    "2020-01-01",
    "The serving is the piece nearest the reference amount: cake 125, 80 or 55 g by weight.",
    "21 CFR 101.9(b) and 101.12(b)",
  ),
  rule(
    "us-nutrition-small",
    ["us"],
    "memory",
    "1994-05-08",
    "Exempt: sales of at most 500 000 dollars, or at most 50 000 of food; under 10 staff and 10 000 units a year without a notice, under 100 and 100 000 with one. Lost with a nutrition claim.",
    "21 CFR 101.9(j)(1) and (j)(18)",
  ),
  rule(
    "us-date",
    ["us"],
    "memory",
    "2019-05-23",
    "No federal rule asks for a date on cake; the agencies recommend the words Best if Used By.",
    "Recommendation of the agencies; states differ",
  ),
  rule(
    "us-cottage",
    ["us"],
    "memory",
    "2010-01-01",
    "Food made at home for sale is a matter of each state.",
    "State cottage-food laws",
  ),
];

/** The version of a rule that holds on a day. @throws RangeError for an id that is none */
export function ruleOn(id: string, date: string): LawRule {
  const versions = LAW_RULES.filter((one) => one.id === id);
  if (versions.length === 0) throw new RangeError(`ruleOn: there is no rule "${id}"`);
  return versions.findLast(({ from }) => from <= date) ?? versions[0]!;
}

/** What millers in Great Britain add to wheat flour other than wholemeal on a day; the words are those of a list. */
export const flourRuleOn = (date: string): LawRule => ruleOn("flour", date);
