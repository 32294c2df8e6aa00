import type { House } from "../app/house.js";
import { type Opened, useLiveBody, useLiveDocument } from "../keep/useLiveDocument.js";
import type { Trial } from "./documents.js";

export type OpenTrial = Opened<Trial>;

/** Loads a trial and keeps it in step: what is written here goes out, what phones and other devices add comes in at once. */
export const useOpenTrial = (house: House, id: string, ready: boolean): OpenTrial | "opening" | "missing" =>
  useLiveDocument<Trial>(house, "trial", id, ready);

export const useTrialBody = useLiveBody<Trial>;
