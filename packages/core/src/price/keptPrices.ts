import { FieldReader, type Reading } from "../quantities/index.js";
import type { PriceEntry } from "./priceList.js";

const MOST_ENTRIES = 20_000;

/**
 * Reads the body of a kept price list: `{ name, entries: [{ ingredient, pack: { grams, priceMinor, currency, supplier, date } }] }`.
 * An entry that cannot be read is left out and said.
 */
export function readKeptPrices(value: unknown): Reading<readonly PriceEntry[]> {
  const reader = new FieldReader();
  const fields = reader.object(value, [], new Set(["name", "entries"]), "a price list");
  const listed: unknown = fields?.get("entries");
  const entries: PriceEntry[] = [];
  if (fields !== undefined && !Array.isArray(listed))
    reader.say("wrong-type", ["entries"], "a list of prices", typeof listed, "Give a list, empty where there are no prices.");
  const all: readonly unknown[] = Array.isArray(listed) ? listed : [];
  if (all.length > MOST_ENTRIES)
    reader.say("too-large", ["entries"], `at most ${MOST_ENTRIES} prices`, String(all.length), "Begin a second list.");
  for (const [index, one] of all.slice(0, MOST_ENTRIES).entries()) {
    const path = ["entries", index];
    const of = reader.object(one, path, new Set(["ingredient", "pack"]), "a price");
    const pack = reader.object(of?.get("pack"), [...path, "pack"], PACK_FIELDS, "a pack");
    if (of === undefined || pack === undefined) continue;
    const ingredient = reader.text(of.get("ingredient"), [...path, "ingredient"], 120, "the id of an ingredient");
    const grams = reader.number(pack.get("grams"), [...path, "pack", "grams"], 1e-3, 1e7, "the weight of the pack in g");
    const priceMinor = reader.number(pack.get("priceMinor"), [...path, "pack", "priceMinor"], 0, 1e9, "pence or cents");
    const currency = reader.text(pack.get("currency"), [...path, "pack", "currency"], 3, "a currency such as GBP");
    const supplier = reader.optionalText(pack.get("supplier"), [...path, "pack", "supplier"], 200);
    const date = pack.has("date") ? reader.date(pack.get("date"), [...path, "pack", "date"]) : undefined;
    if (ingredient === undefined || grams === undefined || priceMinor === undefined || currency === undefined) continue;
    entries.push({
      ingredient,
      pack: {
        grams,
        priceMinor,
        currency,
        ...(supplier === undefined ? {} : { supplier }),
        ...(date === undefined ? {} : { date }),
      },
    });
  }
  return { value: entries, problems: reader.problems };
}

const PACK_FIELDS: ReadonlySet<string> = new Set(["grams", "priceMinor", "currency", "supplier", "date"]);

/** A list with more prices behind it: none is ever replaced, and one that is there already is not written down twice. */
export function addPrices(
  kept: readonly PriceEntry[],
  more: readonly PriceEntry[],
): { readonly entries: readonly PriceEntry[]; readonly added: number; readonly known: number } {
  const seen = new Set(kept.map(keyOf));
  const fresh: PriceEntry[] = [];
  for (const entry of more) {
    const key = keyOf(entry);
    if (seen.has(key)) continue;
    seen.add(key);
    fresh.push(entry);
  }
  return { entries: [...kept, ...fresh], added: fresh.length, known: more.length - fresh.length };
}

const keyOf = ({ ingredient, pack }: PriceEntry): string =>
  JSON.stringify([ingredient, pack.grams, pack.priceMinor, pack.currency, pack.supplier ?? "", pack.date ?? ""]);
