import { minorPerMajor } from "./money.js";

/** Names under which an amount may be given in pounds, and the one that says it in pence, by the part of the document. */
const AMOUNTS: Readonly<Record<string, readonly (readonly [string, string])[]>> = {
  labour: [["perHour", "perHourMinor"]],
  energy: [["perKwh", "perKwhMinor"]],
  packaging: [
    ["cost", "minor"],
    ["costMinor", "minor"],
  ],
  overhead: [
    ["perBatch", "minorPerBatch"],
    ["perBatchMinor", "minorPerBatch"],
  ],
  selling: [
    ["price", "priceMinor"],
    ["fee", "feeMinor"],
    ["roundUp", "roundUpMinor"],
  ],
  fixed: [["cost", "costMinor"]],
};

/**
 * The same price document with every amount in minor units, for a form that shows one of the two ways to write it.
 *
 * @param document  fields as `readPriceDocument` reads them without a problem; what is not an amount is left as it is
 */
export function priceInMinor<Document extends object>(document: Document): Document {
  const { currency } = document as { readonly currency?: unknown };
  const per = minorPerMajor(typeof currency === "string" ? currency : "GBP");
  const part = (name: string, value: unknown): unknown => {
    const pairs = AMOUNTS[name];
    if (pairs === undefined || typeof value !== "object" || value === null) return value;
    if (Array.isArray(value)) return value.map((one: unknown) => part(name, one));
    return Object.fromEntries(
      Object.entries(value).map(([field, amount]: [string, unknown]) => {
        const to = pairs.find(([from]) => from === field)?.[1];
        if (to === undefined || typeof amount !== "number") return [field, amount];
        // As the reader does: 14.35 x 100 is 1434.9999999999998 in binary.
        return [to, field.endsWith("Minor") ? amount : Math.round(amount * per * 1e5) / 1e5];
      }),
    );
  };
  return Object.fromEntries(Object.entries(document).map(([name, value]) => [name, part(name, value)])) as Document;
}
