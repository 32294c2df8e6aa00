import type { Formula } from "@evencrumb/core/formula";
import {
  FIRST_PAPER,
  isGtin,
  LABEL_LANGUAGES,
  type LabelDocument,
  type LabelInputs,
  type LabelLanguage,
  type LabelPlace,
  SALE_MODES,
} from "@evencrumb/core/label";
import type { Settings } from "../app/house.js";

export const PLACE_WORDS: Readonly<Record<LabelPlace, string>> = {
  gb: "Great Britain",
  eu: "European Union",
  us: "United States",
};

export const LANGUAGE_WORDS: Readonly<Record<LabelLanguage, string>> = {
  en: "English",
  fr: "French",
  de: "German",
  es: "Spanish",
  it: "Italian",
};

/** A label that was just begun. */
export const firstLabel = (formulaId: string): LabelDocument => ({
  name: "Great Britain",
  formulaId,
  inputs: { place: "gb", mode: "prepacked", packs: 1 },
  paper: FIRST_PAPER,
});

/** What core needs for a label on a day: what is kept of it, and what holds for the whole bakery. */
export function inputsOf({ inputs }: LabelDocument, { business, seller, mayContain }: Settings, date: string): LabelInputs {
  const isNamed = business !== undefined && business.name.trim() !== "" && business.address.trim() !== "";
  return {
    ...inputs,
    date,
    ...(isNamed ? { business } : {}),
    ...(seller === undefined ? {} : { seller }),
    ...(mayContain === undefined || mayContain.length === 0 ? {} : { mayContain }),
  };
}

/** The ids of all ingredients of a formula, each once. */
export const ingredientsOf = (formula: Formula): readonly string[] => [
  ...new Set(formula.components.flatMap(({ stages }) => stages.flatMap(({ uses }) => uses.map(({ ingredient }) => ingredient)))),
];

/** What this app kept of a label before labels were documents: on one device, as it was typed. */
export interface WordsOfOld {
  readonly mode?: string;
  readonly language?: string;
  readonly description?: string;
  readonly bakeDate?: string;
  readonly packs?: string;
  readonly gtin?: string;
  readonly widthMm?: string;
  readonly heightMm?: string;
  readonly down?: string;
  readonly across?: string;
  readonly declared?: readonly string[];
  readonly packets?: Readonly<Record<string, string>>;
}

/** Those words as a label. What cannot be read as it was typed is left out of it; `gtin` half typed is given back. */
export function fromWordsOfOld(
  formulaId: string,
  words: WordsOfOld,
  place: string | undefined,
  device: string,
): { readonly body: LabelDocument; readonly gtin: string } {
  const known = (["gb", "eu", "us"] as const).find((one) => one === place) ?? "gb";
  const within = (text: string | undefined, least: number, most: number, otherwise: number) => {
    const value = Number(text);
    return text !== undefined && text.trim() !== "" && value >= least && value <= most ? value : otherwise;
  };
  const whole = (text: string | undefined) => Math.round(within(text, 1, 50, 1));
  const packets = Object.fromEntries(Object.entries(words.packets ?? {}).filter(([, list]) => list.trim() !== ""));
  const description = words.description?.trim() ?? "";
  const gtin = words.gtin?.trim() ?? "";
  const isWhole = gtin.length === 13 && isGtin(gtin);
  return {
    body: {
      name: `${PLACE_WORDS[known]}, from ${device}`,
      formulaId,
      inputs: {
        place: known,
        mode: SALE_MODES.find((one) => one === words.mode) ?? "prepacked",
        language: LABEL_LANGUAGES.find((one) => one === words.language) ?? "en",
        packs: within(words.packs, 1, 10_000, 1),
        ...(description === "" ? {} : { description: description.slice(0, 400) }),
        ...(/^\d{4}-\d{2}-\d{2}$/.test(words.bakeDate ?? "") ? { bakeDate: words.bakeDate! } : {}),
        ...(isWhole ? { gtin } : {}),
        ...((words.declared ?? []).length > 0 ? { declareQuantityOf: words.declared! } : {}),
        ...(Object.keys(packets).length > 0 ? { packets } : {}),
      },
      paper: {
        widthMm: within(words.widthMm, 15, 600, FIRST_PAPER.widthMm),
        heightMm: within(words.heightMm, 15, 600, FIRST_PAPER.heightMm),
        rows: whole(words.down),
        columns: whole(words.across),
      },
    },
    gtin: isWhole ? "" : gtin,
  };
}
