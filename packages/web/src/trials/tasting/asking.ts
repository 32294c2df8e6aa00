import type { DiscriminationMethod, Question } from "@evencrumb/core/trials";
import { typedNumber } from "../asking.js";

/** What is typed about a tasting. */
export interface TastingForm {
  readonly tasters: string;
  readonly method: DiscriminationMethod;
  readonly telling: "difference" | "likeness";
  /** Whole percent of people. */
  readonly shareTelling: string;
  readonly property: string;
  readonly side: "second" | "either";
  readonly samples: "2-AFC" | "3-AFC";
  /** Whole percent of people who prefer one, or place the best first. */
  readonly sharePreferring: string;
  /** Points of 9. */
  readonly markMatters: string;
  readonly markSpread: string;
  /** Names in the order that is expected, the best first; empty while none is. */
  readonly expected: readonly string[];
}

export const firstTastingForm = (): Omit<TastingForm, "tasters"> => ({
  method: "triangle",
  telling: "difference",
  shareTelling: "50",
  property: "",
  side: "either",
  samples: "2-AFC",
  sharePreferring: "70",
  markMatters: "1",
  markSpread: "",
  expected: [],
});

/** Questions that take two cakes and more. */
export const severalCakes = (kind: Question["kind"]): boolean =>
  kind === "which is liked best" || kind === "how well is it liked";

/** An expected order of just these cakes; null where none was given. */
export const expectedOrder = (form: Pick<TastingForm, "expected">, names: readonly string[]): readonly string[] | null =>
  form.expected.length === 0
    ? null
    : [...form.expected.filter((name) => names.includes(name)), ...names.filter((name) => !form.expected.includes(name))];

/**
 * What a tasting asks for, laid into the question.
 *
 * @returns what is still to be said
 */
export function tastingWordsOf(
  kind: Question["kind"],
  form: TastingForm,
  names: readonly string[],
  allergens: readonly string[],
  document: Record<string, unknown>,
): readonly string[] {
  const missing: string[] = [];
  const number = (key: string, text: string, factor = 1) => {
    const value = typedNumber(text);
    if (value !== undefined) document[key] = value * factor;
    else if (text.trim() !== "") missing.push(`“${text.trim()}” is no number.`);
  };
  document.allergens = allergens;
  number("tasterCount", form.tasters);
  switch (kind) {
    case "can people tell":
      document.method = form.method;
      document.aim = form.telling;
      number("shareTelling", form.shareTelling, 0.01);
      break;
    case "which has more":
      if (form.property.trim() === "") missing.push("Name the property: sweetness, moistness, lemon flavour.");
      else document.property = form.property.trim();
      document.side = form.side;
      document.method = form.side === "either" ? "2-AFC" : form.samples;
      number("shareTelling", form.shareTelling, 0.01);
      break;
    case "which do they prefer":
      number("share", form.sharePreferring, 0.01);
      break;
    case "which is liked best": {
      number("share", form.sharePreferring, 0.01);
      const expected = expectedOrder(form, names);
      if (expected !== null && names.length > 2) document.expected = expected;
      break;
    }
    case "how well is it liked":
      number("matters", form.markMatters);
      number("spread", form.markSpread);
      break;
  }
  return missing;
}
