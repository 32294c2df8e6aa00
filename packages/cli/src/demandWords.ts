import { type Component, componentGrams, type Formula } from "@evencrumb/core/formula";
import {
  ALLERGENS,
  type AllergenName,
  type IngredientBook,
  NUTRIENTS,
  type Nutrient,
  ROLES,
  type Role,
} from "@evencrumb/core/ingredients";
import { setTemperatureDemand, solidFatDemand, waterActivityDemand } from "@evencrumb/core/keeping";
import type { Problem, Result } from "@evencrumb/core/quantities";
import type { BentDemand, Demand, Measure } from "@evencrumb/core/rebalance";

/** Words of the command line for what is swapped, held and limited. */
export interface DemandWords {
  readonly swap?: string;
  readonly hold?: string;
  readonly keep?: string;
  readonly mayAdd?: string;
  readonly without?: string;
  readonly atMost?: readonly string[];
  readonly atLeast?: readonly string[];
  readonly pieces?: readonly string[];
}

export interface ReadDemands {
  readonly swap?: { readonly from: string; readonly percent: number; readonly to: readonly string[] };
  readonly keep: readonly string[];
  readonly mayAdd: readonly string[];
  readonly demands: readonly Demand[];
  readonly bent: readonly BentDemand[];
  readonly pieces: readonly { readonly ingredient: string; readonly gramsEach: number }[];
}

/** Reads all of them; every word that is not understood is a problem, and nothing is guessed. */
export function readDemands(words: DemandWords, book: IngredientBook): Result<ReadDemands, readonly Problem[]> {
  const problems: Problem[] = [];
  const fail = (option: string, expected: string, found: string, remedy: string) => {
    problems.push({ code: "syntax", path: [option], expected, found, remedy });
    return undefined;
  };
  const id = (option: string, text: string): string | undefined => {
    const wanted = text.trim().toLowerCase();
    const found = book.get(wanted)?.id ?? book.all.find((one) => one.name.toLowerCase() === wanted)?.id;
    return found ?? fail(option, "the id or the name of an ingredient", text.trim(), "evencrumb ingredients WORD finds its id.");
  };
  const ids = (option: string, text = "") => list(text).flatMap((one) => id(option, one) ?? []);

  const swap = words.swap === undefined ? undefined : readSwap(words.swap);
  const demands: Demand[] = [];
  const keep: string[] = ids("--keep", words.keep);
  for (const one of list(words.hold ?? "")) {
    const measure = measureOf(one);
    if (measure !== undefined) demands.push({ kind: "hold", measure });
    else {
      const found = id("--hold", one);
      if (found !== undefined) keep.push(found);
    }
  }
  for (const one of list(words.without ?? "")) {
    const allergen = allergenOf(one);
    if (allergen === undefined) fail("--without", `one of ${ALLERGENS.join(", ")}`, one, "Name one of the fourteen allergens.");
    else demands.push({ kind: "absent", allergen });
  }
  const bent: BentDemand[] = [];
  for (const [option, texts, side] of [
    ["--at-most", words.atMost ?? [], "most"],
    ["--at-least", words.atLeast ?? [], "least"],
  ] as const)
    for (const text of texts) readLimit(option, text, side);
  const pieces = (words.pieces ?? []).flatMap((text) => readPiece(text) ?? []);
  const mayAdd = ids("--may-add", words.mayAdd);
  if (problems.length > 0) return { ok: false, error: problems };
  return { ok: true, value: { ...(swap === undefined ? {} : { swap }), keep, mayAdd, demands, bent, pieces } };

  function readSwap(text: string) {
    const match = /^(.+?)\s+(\d+(?:\.\d+)?)\s*%\s+(?:to\s+)?(.+)$/.exec(text.trim());
    if (match === null)
      return fail(
        "--swap",
        'what, how much of it, and by what, such as "butter-unsalted 40% sunflower-oil"',
        text,
        "Put a percent sign after the share that is replaced.",
      );
    const from = id("--swap", match[1]!);
    const to = ids("--swap", match[3]!);
    return from === undefined || to.length === 0 ? undefined : { from, percent: Number(match[2]), to };
  }

  /** "sugars 30%" is in 100 g, "fat 200 g" in the batch; "water-activity 0.85", "set-temperature 80", "solid-fat@5 10" are bent. */
  function readLimit(option: string, text: string, side: "most" | "least"): void {
    const match = /^(.+?)\s+(\d+(?:\.\d+)?)\s*(%|g)?$/.exec(text.trim());
    const [name, value, unit] = [match?.[1]?.toLowerCase() ?? "", Number(match?.[2]), match?.[3]];
    const limits = { [side]: value };
    const solid = /^solid-fat@(\d+(?:\.\d+)?)$/.exec(name);
    if (match !== null && name === "water-activity" && value <= 1) bent.push(waterActivityDemand(limits, book));
    else if (match !== null && name === "set-temperature") bent.push(setTemperatureDemand(limits, book));
    else if (solid !== null && Number(solid[1]) <= 40) bent.push(solidFatDemand(Number(solid[1]), limits, book));
    else {
      const found = book.get(name);
      const measure =
        measureOf(name) ?? (found === undefined ? undefined : ({ kind: "ingredient", ingredient: found.id } as const));
      if (match === null || measure === undefined)
        fail(
          option,
          'a limit such as "sugars 30%" (in 100 g), "fat 200 g" (in the batch), "water-activity 0.85", "set-temperature 80" or "solid-fat@5 10"',
          text,
          "Write what, a number, and % or g.",
        );
      else demands.push({ kind: "between", measure, per: unit === "%" ? "100g" : "batch", ...limits });
    }
  }

  function readPiece(text: string) {
    const match = /^(.+?)\s+(\d+(?:\.\d+)?)\s*g?$/.exec(text.trim());
    if (match === null)
      return fail(
        "--pieces",
        'an ingredient and the weight of one, such as "egg-whole-uk 51"',
        text,
        "Write its id and the grams of one.",
      );
    const ingredient = id("--pieces", match[1]!);
    return ingredient === undefined ? undefined : { ingredient, gramsEach: Number(match[2]) };
  }
}

/** The component that is meant: the one named, else the one that holds what is swapped, else the first cake, else the heaviest. */
export function componentFor(formula: Formula, named: string | undefined, swapped: string | undefined): Component | undefined {
  const wanted = named?.trim().toLowerCase();
  if (wanted !== undefined) return formula.components.find(({ name }) => name.toLowerCase() === wanted);
  const holds = (component: Component) =>
    component.stages.some(({ uses }) => uses.some(({ ingredient, grams }) => ingredient === swapped && (grams ?? 0) > 0));
  return (
    formula.components.find(holds) ??
    formula.components.find(({ kind }) => kind === "cake") ??
    formula.components.toSorted((one, other) => componentGrams(other) - componentGrams(one))[0]
  );
}

const list = (text: string) =>
  text
    .split(",")
    .map((one) => one.trim())
    .filter((one) => one !== "");

const OTHER_WORDS: Readonly<Record<string, Nutrient>> = {
  sugar: "sugars",
  salt: "sodium",
  "saturated-fat": "saturates",
  saturated: "saturates",
  kj: "energyKj",
  kcal: "energyKcal",
};

function measureOf(word: string): Measure | undefined {
  const wanted = word.trim().toLowerCase();
  if (wanted === "total" || wanted === "weight") return { kind: "total" };
  if (wanted === "sweetness") return { kind: "sweetness" };
  if (wanted === "raising") return { kind: "gas" };
  if (wanted === "cost") return { kind: "cost" };
  const nutrient = OTHER_WORDS[wanted] ?? NUTRIENTS.find((one) => one.toLowerCase() === wanted);
  if (nutrient !== undefined) return { kind: "nutrient", nutrient };
  // Where a word is both, fat is the fat in everything and not the fats that were bought.
  const role = (ROLES as readonly string[]).includes(wanted) ? (wanted as Role) : undefined;
  return role === undefined ? undefined : { kind: "role", role };
}

const ALLERGEN_ALIASES: Readonly<Record<string, AllergenName>> = {
  gluten: "cereals-gluten",
  wheat: "cereals-gluten",
  egg: "eggs",
  soya: "soybeans",
  soy: "soybeans",
  dairy: "milk",
  peanut: "peanuts",
};

function allergenOf(word: string): AllergenName | undefined {
  const wanted = word.trim().toLowerCase();
  return ALLERGEN_ALIASES[wanted] ?? ALLERGENS.find((one) => one === wanted);
}
