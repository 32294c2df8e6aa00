import { type DesignName, type Factor, offeredDesigns } from "@evencrumb/core/trials";

/** The choice of a design, as it is typed; "" is what is recommended. */
export interface PickForm {
  readonly design: DesignName | "";
  readonly model: string;
  readonly runCount: string;
  readonly centreCount: string;
  /** How often the whole plan is baked. */
  readonly overAgain: string;
  /** Names of the factors that are the same for several bakes. */
  readonly hard: readonly string[];
  readonly shared: "batter" | "load";
  readonly blockBy: "day" | "load";
}

export const firstPick = (): PickForm => ({
  design: "",
  model: "",
  runCount: "",
  centreCount: "",
  overAgain: "",
  hard: [],
  shared: "batter",
  blockBy: "day",
});

/** Models that an expert may ask for, by whether shares are among the factors; the words are the field's. */
export const modelsFor = (factors: readonly Factor[]): readonly (readonly [string, string])[] =>
  factors.some(({ kind }) => kind === "share")
    ? [
        ["scheffe linear", "each ingredient by itself (Scheffé linear)"],
        ["scheffe quadratic", "and pairs together (Scheffé quadratic)"],
        ["scheffe special cubic", "and three together (Scheffé special cubic)"],
      ]
    : [
        ["linear", "each by itself (linear)"],
        ["interaction", "and whether one depends on another (with interactions)"],
        ["quadratic", "and a bend in between (quadratic)"],
      ];

/** Which fields of a design can be set. */
export const asksFor = (design: DesignName | undefined) => ({
  runCount: design === "D-optimal" || design === "I-optimal" || design === "two-level fraction",
  centreCount:
    design === "two-level factorial" ||
    design === "two-level fraction" ||
    design === "central composite" ||
    design === "Box-Behnken",
});

/** The design as words for core; what does not fit the factors any more is left out. */
export function pickWords(form: PickForm, factors: readonly Factor[], missing: string[]): Record<string, unknown> {
  const offers = offeredDesigns(factors);
  const words: Record<string, unknown> = {};
  const design = offers.find((offer) => offer.design === form.design)?.design;
  if (design !== undefined) words.design = design;
  const asked = asksFor(design ?? offers[0]?.design);
  if (modelsFor(factors).some(([name]) => name === form.model)) words.model = form.model;
  const whole = (key: "runCount" | "centreCount" | "repeats", wanted: boolean) => {
    const text = form[key === "repeats" ? "overAgain" : key].trim();
    if (!wanted || text === "") return;
    if (/^\d+$/.test(text)) words[key] = Number(text);
    else missing.push(`“${text}” is no whole number.`);
  };
  whole("runCount", asked.runCount);
  whole("centreCount", asked.centreCount);
  whole("repeats", true);
  const hard = form.hard.filter((name) => factors.some((factor) => factor.name === name));
  if (hard.length > 0) Object.assign(words, { perBatter: hard, shared: form.shared });
  else if (form.blockBy === "load") words.blockBy = "load";
  return words;
}
