import { summariseAllergens } from "@evencrumb/core/composition";
import type { Formula } from "@evencrumb/core/formula";
import { formatAllergen, type IngredientBook, type NameStyle } from "@evencrumb/core/ingredients";
import { type Binding, type Factor, type Hold, type Question, spreadOfRepeats, USUAL_MEASURES } from "@evencrumb/core/trials";
import { type FactorChoice, nameOf } from "./factorChoices.js";
import { firstPick, type PickForm, pickWords } from "./picking.js";
import { QUESTIONS } from "./questions.js";
import { firstTastingForm, type TastingForm, tastingWordsOf } from "./tasting/asking.js";

export { type FactorChoice, factorChoices, firstRange, nameOf } from "./factorChoices.js";

/** A cake as it is picked: "" stands for the revision that is usual in its place. */
export interface PickedCake {
  readonly formulaId: string;
  readonly revisionId: string;
}

/** One thing that is changed, as it is typed. */
export interface PickedFactor {
  readonly key: string;
  readonly low: string;
  readonly high: string;
  /** For tins: what they are, as typed. For swaps of a whole ingredient: the ids of those that are tried. */
  readonly levels?: readonly string[];
  /** For part of an ingredient: what takes its place. */
  readonly by?: string;
}

/** Everything on the page of a question, as it is typed. */
export interface Form extends PickForm, TastingForm {
  readonly cakes: readonly PickedCake[];
  readonly measure: string;
  readonly ownName: string;
  readonly ownUnit: string;
  readonly ownBetter: "larger" | "smaller" | "";
  readonly also: readonly string[];
  readonly matters: string;
  readonly spread: string;
  readonly repeats: string;
  /** What is wanted of each measure by its name, where it is said. */
  readonly wishes: Readonly<Record<string, Wish>>;
  readonly pairing: "days" | "shelves" | "apart";
  readonly aim: "better" | "no worse" | "the same";
  readonly most: string;
  readonly perDay: string;
  readonly perLoad: string;
  readonly seed: string;
  readonly factors: readonly PickedFactor[];
  readonly hold: Hold | "more";
  /** With hold "more": what the rebalancer holds. */
  readonly held: readonly string[];
  readonly component: string;
  readonly shares: readonly { readonly ingredient: string; readonly lower: string; readonly upper: string }[];
  readonly tasters: string;
  /** null: as the formulas say. */
  readonly allergens: string | null;
  readonly mayContain: string | null;
  /** Raw egg, alcohol: told with the allergens. null: as the formulas say. */
  readonly warnings: string | null;
}

/** What is wanted of a measure, as it is typed. */
export interface Wish {
  readonly direction: "larger" | "smaller" | "target";
  readonly limit: string;
  readonly target: string;
}

export const OWN_MEASURE = "another measure";

export function firstForm(kind: Question["kind"], formulaId: string, seed: number): Form {
  const count =
    kind === "how much" || kind === "which blend" ? 1 : kind === "which of several" || kind === "which is liked best" ? 3 : 2;
  const measure = "height at the centre";
  return {
    cakes: Array.from({ length: count }, () => ({ formulaId, revisionId: "" })),
    measure,
    ownName: "",
    ownUnit: "",
    ownBetter: "",
    also: [],
    matters: usualDifference(measure),
    spread: "",
    repeats: "",
    wishes: {},
    pairing: "days",
    aim: "better",
    most: "",
    perDay: kind === "better" ? "" : "4",
    perLoad: "",
    seed: String(seed),
    factors: [],
    hold: "others",
    held: ["fat", "total"],
    ...firstPick(),
    component: "",
    shares: [],
    tasters: "",
    ...firstTastingForm(),
    allergens: null,
    mayContain: null,
    warnings: null,
  };
}

/** One and a half times the usual spread: a difference that a handful of bakes can show. The baker's own word replaces it. */
export function usualDifference(measure: string): string {
  const sd = USUAL_MEASURES.find(({ name }) => name === measure)?.typicalSd?.value;
  return sd === undefined ? "" : String(Number((1.5 * sd).toPrecision(2)));
}

/** A number as it is typed, with a point or a comma; undefined while it is none. */
export function typedNumber(text: string): number | undefined {
  const tidy = text.trim().replace(/\s/g, "").replace(",", ".").replace("−", "-");
  if (!/^-?(\d+\.?\d*|\.\d+)$/.test(tidy)) return undefined;
  return Number(tidy);
}

/** What the tasters of these formulas have to be told. */
export function allergensOf(formulas: readonly Formula[], book: IngredientBook) {
  const ids = formulas.flatMap(({ components }) =>
    components.flatMap(({ stages }) => stages.flatMap(({ uses }) => uses.map(({ ingredient }) => ingredient))),
  );
  const { contains, mayContain, checkSupplier, unknownIngredients } = summariseAllergens(ids, book);
  const unique = (entries: typeof contains) => [...new Set(entries.map((entry) => formatAllergen(entry)))];
  return {
    contains: unique(contains),
    mayContain: unique([...mayContain, ...checkSupplier]),
    readPackets: [...new Set(checkSupplier.flatMap(({ from }) => from))],
    unknown: unknownIngredients,
  };
}

export const listed = (text: string): string[] =>
  text
    .split(",")
    .map((word) => word.trim())
    .filter((word) => word !== "");

/** What a share weighs now, of all shares of the blend together. */
export function blendNow(
  formula: Formula,
  component: string,
  ingredients: readonly string[],
): { readonly grams: number; readonly shares: readonly number[] } {
  const uses = formula.components.find(({ name }) => name === component)?.stages.flatMap((stage) => stage.uses) ?? [];
  const each = ingredients.map((ingredient) =>
    uses.reduce((sum, use) => sum + (use.ingredient === ingredient ? (use.grams ?? 0) : 0), 0),
  );
  const grams = each.reduce((sum, one) => sum + one, 0);
  return { grams, shares: each.map((one) => (grams > 0 ? one / grams : 0)) };
}

export interface AskContext {
  /** Names of the cakes, in their order, as far as they are picked. */
  readonly names: readonly string[];
  readonly formula: Formula | undefined;
  readonly choices: readonly FactorChoice[];
  readonly book: IngredientBook;
  readonly nameStyle: NameStyle;
  readonly allergens: readonly string[];
  /** Reads tins as typed; null while they cannot be read. */
  readonly readTins: (text: string) => readonly { readonly count: number; readonly tin: string }[] | null;
}

/** The question as a document for core to check, what each factor means, and what is still to be said. */
export function questionOf(
  kind: Question["kind"],
  form: Form,
  context: AskContext,
): { readonly document: Record<string, unknown>; readonly bindings: readonly Binding[]; readonly missing: readonly string[] } {
  const missing: string[] = [];
  const document: Record<string, unknown> = { kind };
  const bindings: Binding[] = [];
  const number = (key: string, text: string, needed: string | null, factor = 1) => {
    const value = typedNumber(text);
    if (value !== undefined) document[key] = value * factor;
    else if (text.trim() !== "") missing.push(`“${text.trim()}” is no number.`);
    else if (needed !== null) missing.push(needed);
  };
  number("seed", form.seed, null);
  const tasted = QUESTIONS.find((question) => question.kind === kind)!.tasted;
  if (!tasted) {
    number("perDay", form.perDay, null);
    number("perLoad", form.perLoad, null);
    const usual = USUAL_MEASURES.find(({ name }) => name === form.measure);
    if (usual !== undefined) document.measure = usual.name;
    else if (form.ownName.trim() === "" || form.ownUnit.trim() === "") missing.push("Name your measure and its unit.");
    else
      document.measure = {
        name: form.ownName.trim(),
        unit: form.ownUnit.trim(),
        ...(form.ownBetter === "" ? {} : { better: form.ownBetter }),
      };
    number("matters", form.matters, "Say which difference would change what you bake.");
    const also = USUAL_MEASURES.filter(({ name }) => form.also.includes(name) && name !== form.measure);
    if (also.length > 0) document.also = also.map(({ name }) => name);
    const measured = [usual?.name ?? form.ownName.trim(), ...also.map(({ name }) => name)];
    const wishes = wishesOf(form, measured, missing);
    if (wishes.length > 0) document.goals = wishes;
    const repeats = repeatsSpread(form.repeats);
    if (form.spread.trim() !== "") number("spread", form.spread, null);
    else if (repeats !== undefined) document.spread = repeats;
    else if (usual?.typicalSd === undefined)
      missing.push("Say how much one bake varies, or write down a few that were meant to be the same.");
  }
  const { names } = context;
  if (kind !== "how much" && kind !== "which blend") {
    if (names.length < form.cakes.length) missing.push("Choose the cakes.");
    else if (new Set(names).size < names.length) missing.push("Choose cakes that differ: one of them is there twice.");
    else document.names = names;
  }
  switch (kind) {
    case "better":
      document.pairing = form.pairing;
      if (form.aim !== "better") document.aim = form.aim;
      if (form.aim === "no worse" && betterOf(form) === undefined)
        missing.push("Say of your measure whether more or less of it is better, or choose one that says so.");
      number("most", form.most, null);
      break;
    case "how much": {
      const { factors, bindings: bound } = factorsOf(form, context, missing);
      bindings.push(...bound);
      if (form.factors.length === 0) missing.push("Choose what is changed.");
      document.factors = factors;
      Object.assign(document, pickWords(form, factors, missing));
      break;
    }
    case "which blend": {
      const shares: Factor[] = [];
      for (const { ingredient, lower, upper } of form.shares) {
        const name = nameOf(ingredient, context.book, context.nameStyle);
        const [from, to] = [typedNumber(lower), typedNumber(upper)];
        if (from === undefined || to === undefined) {
          missing.push(`Say how much of the blend ${name} may be.`);
          continue;
        }
        shares.push({ kind: "share", name, lower: from / 100, upper: to / 100 });
        bindings.push({ factor: name, kind: "share of blend", component: form.component, ingredient });
      }
      if (form.shares.length < 2) missing.push("Choose two ingredients or more that make up the blend.");
      document.shares = shares;
      const process = factorsOf(form, context, missing);
      bindings.push(...process.bindings);
      if (process.factors.length > 0) document.process = process.factors;
      Object.assign(document, pickWords(form, [...shares, ...process.factors], missing));
      break;
    }
    case "which of several":
      break;
    default:
      missing.push(...tastingWordsOf(kind, form, names, context.allergens, document));
      break;
  }
  return { document, bindings, missing };
}

/** What is changed beside the shares of a blend, and what each of it means in the formula. */
function factorsOf(
  form: Form,
  context: AskContext,
  missing: string[],
): { readonly factors: readonly Factor[]; readonly bindings: readonly Binding[] } {
  const { book, nameStyle } = context;
  const factors: Factor[] = [];
  const bindings: Binding[] = [];
  for (const picked of form.factors) {
    const choice = context.choices.find(({ key }) => key === picked.key);
    if (choice === undefined) continue;
    const name = choice.label;
    if (choice.tins !== undefined) {
      const { component } = choice.tins;
      const levels = (picked.levels ?? []).map((text) => ({ text: text.trim(), tins: context.readTins(text) }));
      const broken = levels.find(({ tins }) => tins === null);
      if (levels.length < 2 || broken !== undefined) {
        missing.push(`Write two tins that can be read for “${name}”, such as “2 round 18x7 cm”.`);
        continue;
      }
      factors.push({ kind: "choice", name, levels: levels.map(({ text }) => text) });
      const tins = Object.fromEntries(levels.map(({ text, tins: read }) => [text, read!]));
      bindings.push({ factor: name, kind: "tin", component, tins });
      continue;
    }
    if (choice.swap?.how === "whole") {
      const { component, ingredient } = choice.swap;
      const others = (picked.levels ?? []).filter((id) => id !== "");
      if (others.length === 0) {
        missing.push(`Choose what is tried in place of ${nameOf(ingredient, book, nameStyle)}.`);
        continue;
      }
      const factor = `for ${nameOf(ingredient, book, nameStyle)}`;
      const by = Object.fromEntries([ingredient, ...others].map((id) => [nameOf(id, book, nameStyle), id]));
      factors.push({ kind: "choice", name: factor, levels: Object.keys(by) });
      bindings.push({ factor, kind: "swap", component, ingredient, by });
      continue;
    }
    const [low, high] = [typedNumber(picked.low), typedNumber(picked.high)];
    if (low === undefined || high === undefined) {
      missing.push(`Say from where to where “${name}” goes.`);
      continue;
    }
    if (choice.swap !== undefined) {
      const { component, ingredient } = choice.swap;
      if (picked.by === undefined || picked.by === "") {
        missing.push(`Choose what takes the place of ${nameOf(ingredient, book, nameStyle)}.`);
        continue;
      }
      const factor = `${nameOf(picked.by, book, nameStyle)} for ${nameOf(ingredient, book, nameStyle)}`;
      factors.push({ kind: "amount", name: factor, unit: "%", low, high });
      bindings.push({ factor, kind: "replace", component, ingredient, by: picked.by });
      continue;
    }
    factors.push({ kind: "amount", name, low, high, ...(choice.unit === "" ? {} : { unit: choice.unit }) });
    const binding = choice.bind(name);
    if (binding !== null) bindings.push(binding);
  }
  return { factors, bindings };
}

/** Which way the measure that decides is better; undefined where neither is. */
const betterOf = (form: Form): "larger" | "smaller" | undefined => {
  if (form.measure === OWN_MEASURE) return form.ownBetter === "" ? undefined : form.ownBetter;
  return USUAL_MEASURES.find(({ name }) => name === form.measure)?.better;
};

/** Wishes with what is typed of them; limits may stay open. */
function wishesOf(form: Form, measured: readonly string[], missing: string[]) {
  return measured.flatMap((response) => {
    const wish = form.wishes[response];
    if (wish === undefined) return [];
    const { direction } = wish;
    const [limit, target] = [typedNumber(wish.limit), typedNumber(wish.target)];
    if (direction === "target" && target === undefined) {
      missing.push(`Say which ${response} is wanted.`);
      return [];
    }
    return [
      {
        response,
        direction,
        ...(limit === undefined || direction === "target" ? {} : { [direction === "larger" ? "low" : "high"]: limit }),
        ...(target === undefined ? {} : { target }),
      },
    ];
  });
}

/** "41 43, 42.5" as figures of bakes that were meant to be the same; a new line begins another group. */
export function repeatsSpread(text: string) {
  const groups = text
    .split(/[\n;]/)
    .map((line) => line.split(/[\s,/]+/).flatMap((word) => typedNumber(word) ?? []))
    .filter((group) => group.length > 1);
  return spreadOfRepeats(groups);
}
