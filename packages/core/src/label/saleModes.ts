export const SALE_MODES = ["prepacked", "direct-sale", "loose", "distance"] as const;
/** direct-sale: packed where it is sold, before it is chosen ("prepacked for direct sale"). */
export type SaleMode = (typeof SALE_MODES)[number];

export const PARTICULARS = [
  "name",
  "list",
  "allergens",
  "quantities",
  "net-quantity",
  "date",
  "storage",
  "instructions",
  "operator",
  "alcohol",
  "may-contain",
  "nutrition",
] as const;
export type ParticularId = (typeof PARTICULARS)[number];

export type Need = "needed" | "at-delivery" | "if-it-applies" | "voluntary";

interface ModeNeeds {
  readonly needs: Readonly<Partial<Record<ParticularId, Need>>>;
  readonly rule: string;
  readonly words: string;
}

const FULL = {
  name: "needed",
  list: "needed",
  allergens: "needed",
  quantities: "if-it-applies",
  "net-quantity": "needed",
  date: "needed",
  storage: "if-it-applies",
  instructions: "if-it-applies",
  operator: "needed",
  nutrition: "needed",
} as const satisfies ModeNeeds["needs"];
const US_FULL = {
  ...FULL,
  date: "voluntary",
  quantities: "voluntary",
  storage: "if-it-applies",
} as const satisfies ModeNeeds["needs"];

const EUROPE: Readonly<Record<SaleMode, ModeNeeds>> = {
  prepacked: { needs: FULL, rule: "particulars", words: "Packed before it is sold, and not where it is sold: all particulars." },
  "direct-sale": {
    needs: { name: "needed", list: "needed", allergens: "needed" },
    rule: "direct-sale",
    words:
      "Packed where it is sold, before the customer chooses: name and full list with the allergens standing out. The rest is voluntary.",
  },
  loose: {
    needs: { name: "needed", allergens: "needed" },
    rule: "loose",
    words: "Sold unwrapped, or wrapped after the customer chooses: allergens, and the name by national rule.",
  },
  distance: {
    needs: { ...FULL, date: "at-delivery" },
    rule: "distance",
    words: "Sold at a distance: everything but the date before the purchase, and everything at delivery.",
  },
};

const AMERICA: Readonly<Record<SaleMode, ModeNeeds>> = {
  prepacked: {
    needs: US_FULL,
    rule: "us-list",
    words: "In a package: name, net weight, list, allergens, maker, Nutrition Facts.",
  },
  "direct-sale": {
    needs: { name: "needed", list: "needed", allergens: "needed", "net-quantity": "needed", operator: "needed" },
    rule: "us-list",
    words: "Packed on the premises: as a package; Nutrition Facts are not asked of what is made mainly on site. States differ.",
  },
  loose: {
    needs: { name: "voluntary", allergens: "voluntary" },
    rule: "us-list",
    words: "Served, or wrapped at the customer's request: no federal label. States and cities differ.",
  },
  distance: { needs: US_FULL, rule: "us-list", words: "Shipped in a package: as prepacked." },
};

/** What a way of selling asks of a label. In the EU outside Great Britain member states may ask more of what is not prepacked. */
export function needsOf(place: "gb" | "eu" | "us", mode: SaleMode): ModeNeeds {
  if (place === "us") return AMERICA[mode];
  if (place === "eu" && mode === "direct-sale")
    return {
      needs: { name: "voluntary", list: "voluntary", allergens: "needed" },
      rule: "loose",
      words: "Packed for direct sale: allergens; the member state may ask for more (Article 44).",
    };
  return EUROPE[mode];
}
