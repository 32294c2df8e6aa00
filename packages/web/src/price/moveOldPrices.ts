import type { PriceEntry } from "@evencrumb/core/price";
import type { House } from "../app/house.js";
import { readSmall, removeSmall, smallNames } from "../keep/storage.js";
import { fromWordsOfOld, type WordsOfOld } from "./body.js";

/**
 * Prices were once kept on one device alone. What a device still holds of them becomes documents that every device has; nothing is
 * laid over what others wrote, because each becomes a document of its own. It is taken off the device only once it waits to be sent,
 * which outlives a crash.
 */
export async function moveOldPrices(house: House): Promise<void> {
  const { formulas, settings, device } = house.state();
  for (const name of smallNames("price.")) {
    const words = readSmall<WordsOfOld>(name);
    const formulaId = name.slice("price.".length);
    if (words === undefined || typeof words !== "object" || words === null) continue;
    const title = formulas.find(({ id }) => id === formulaId)?.name ?? "Price";
    const body = fromWordsOfOld(formulaId, `${title}, from ${device.name}`.slice(0, 200), words, settings.currency);
    await house.create("price", body, "What was typed on this device before prices were shared.");
    removeSmall(name);
  }
  const list = readSmall<{ readonly entries: readonly PriceEntry[] }>("prices");
  if (Array.isArray(list?.entries)) {
    house.addPrices(list.entries);
    removeSmall("prices");
  }
}
