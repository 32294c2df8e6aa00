import type { House } from "../app/house.js";
import { readSmall, removeSmall, smallNames, writeSmall } from "../keep/storage.js";
import { fromWordsOfOld, type WordsOfOld } from "./documents.js";

/**
 * Labels were once kept on one device alone. What a device still holds of them becomes labels that every device has; nothing is
 * laid over what others wrote, because each becomes a label of its own. What was typed is taken off the device only once it waits to
 * be sent, which outlives a crash.
 */
export function moveOldWords(house: House): Promise<void> {
  // One at a time: two would make each label twice.
  moving ??= move(house).finally(() => {
    moving = undefined;
  });
  return moving;
}
let moving: Promise<void> | undefined;

async function move(house: House): Promise<void> {
  const place = readSmall<string>("label.place");
  for (const name of smallNames("label.")) {
    if (name === "label.place" || name === "label.business") continue;
    const words = readSmall<WordsOfOld>(name);
    const formulaId = name.slice("label.".length);
    if (words === undefined || typeof words !== "object" || words === null) continue;
    const { body, gtin } = fromWordsOfOld(formulaId, words, place, house.state().device.name);
    const id = await house.create("label", body, "What was typed on this device before labels were shared.");
    if (gtin !== "") writeSmall(`text.gtin.${id}`, gtin);
    removeSmall(name);
  }
  moveBusiness(house);
}

/** Who sells holds for the whole bakery. Another device may have said so already: then its words stay, and these wait here. */
function moveBusiness(house: House): void {
  const here = readSmall<{ readonly name: string; readonly address: string }>("label.business");
  if (here === undefined) return;
  const { business } = house.state().settings;
  const isSame = business?.name === here.name && business.address === here.address;
  const isEmpty = here.name.trim() === "" && here.address.trim() === "";
  if (business !== undefined && !isSame && !isEmpty) return;
  if (business === undefined && !isEmpty) house.choose({ business: here });
  removeSmall("label.business");
}
