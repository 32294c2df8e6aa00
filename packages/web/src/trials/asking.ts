import { summariseAllergens } from "@evencrumb/core/composition";
import type { Formula, Target } from "@evencrumb/core/formula";
import { displayName, formatAllergen, type IngredientBook, type NameStyle } from "@evencrumb/core/ingredients";
import {
  type Binding,
  type DiscriminationMethod,
  type Factor,
  type Hold,
  type Question,
  spreadOfRepeats,
  USUAL_MEASURES,
} from "@evencrumb/core/trials";
import { QUESTIONS } from "./questions.js";

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
  /** For tins: what they are, as typed. */
  readonly levels?: readonly string[];
}

/** Everything on the page of a question, as it is typed. */
export interface Form {
  readonly cakes: readonly PickedCake[];
  readonly measure: string;
  readonly ownName: string;
  readonly ownUnit: string;
  readonly ownBetter: "larger" | "smaller" | "";
  readonly also: readonly string[];
  readonly matters: string;
  readonly spread: string;
  readonly repeats: string;
  readonly pairing: "days" | "shelves" | "apart";
  readonly most: string;
  readonly perDay: string;
  readonly perLoad: string;
  readonly seed: string;
  readonly factors: readonly PickedFactor[];
  readonly hold: Hold;
  readonly component: string;
  readonly shares: readonly { readonly ingredient: string; readonly lower: string; readonly upper: string }[];
  readonly method: DiscriminationMethod;
  readonly tasters: string;
  readonly shareTelling: string;
  readonly property: string;
  /** null: as the formulas say. */
  readonly allergens: string | null;
  readonly mayContain: string | null;
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
    pairing: "days",
    most: "",
    perDay: kind === "better" ? "" : "4",
    perLoad: "",
    seed: String(seed),
    factors: [],
    hold: "others",
    component: "",
    shares: [],
    method: "triangle",
    tasters: kind === "which is liked best" ? "12" : "",
    shareTelling: "50",
    property: "",
    allergens: null,
    mayContain: null,
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

/** Something in a formula that can be a factor. */
export interface FactorChoice {
  readonly key: string;
  /** "caster sugar in Sponge"; also the factor's name. */
  readonly label: string;
  readonly unit: string;
  readonly now: number | null;
  readonly bind: (name: string) => Binding | null;
  /** A choice between tins has levels and no range. */
  readonly tins?: { readonly component: string; readonly now: string };
}

export function factorChoices(formula: Formula, book: IngredientBook, names: NameStyle): readonly FactorChoice[] {
  const several = formula.components.length > 1;
  const within = (component: string) => (several ? ` in ${component}` : "");
  const choices: FactorChoice[] = [];
  for (const { name: component, stages, bake, tins } of formula.components) {
    const grams = new Map<string, { total: number; stages: string[] }>();
    for (const stage of stages)
      for (const use of stage.uses) {
        if (use.grams === null || use.grams === 0) continue;
        const entry = grams.get(use.ingredient) ?? { total: 0, stages: [] };
        entry.total += use.grams;
        if (!entry.stages.includes(stage.name)) entry.stages.push(stage.name);
        grams.set(use.ingredient, entry);
      }
    for (const [ingredient, { total, stages: where }] of grams) {
      const name = nameOf(ingredient, book, names);
      choices.push({
        key: `ingredient|${component}|${ingredient}`,
        label: `${name}${within(component)}`,
        unit: "g",
        now: total,
        bind: (factor) => ({ factor, kind: "ingredient", component, ingredient }),
      });
      if (where.length === 2) {
        const [first, second] = where as [string, string];
        const inFirst = stages
          .filter((stage) => stage.name === first)
          .flatMap(({ uses }) => uses)
          .reduce((sum, use) => sum + (use.ingredient === ingredient ? (use.grams ?? 0) : 0), 0);
        choices.push({
          key: `split|${component}|${ingredient}`,
          label: `share of ${name} in ${first}, the rest in ${second}`,
          unit: "of 1",
          now: Number((inFirst / total).toFixed(2)),
          bind: (factor) => ({ factor, kind: "stage split", component, ingredient, stages: [first, second] }),
        });
      }
    }
    for (const stage of stages)
      for (const target of stage.targets ?? []) {
        const known = targetChoice(target);
        if (known === null) continue;
        const { kind, words, unit, now } = known;
        choices.push({
          key: `target|${component}|${stage.name}|${kind}`,
          label: `${words} of ${stage.name}${within(component)}`,
          unit,
          now,
          bind: (factor) => ({ factor, kind: "stage target", component, stage: stage.name, target: kind }),
        });
      }
    if (bake !== undefined) {
      choices.push({
        key: `oven|${component}`,
        label: `oven${within(component)}`,
        unit: "°C",
        now: bake.ovenC,
        bind: (factor) => ({ factor, kind: "oven", component }),
      });
      choices.push({
        key: `minutes|${component}`,
        label: `minutes in the oven${within(component)}`,
        unit: "min",
        now: bake.minutes ?? null,
        bind: (factor) => ({ factor, kind: "minutes", component }),
      });
    }
    const tinWords = (tins ?? []).map(({ count, tin }) => `${count} ${tin}`).join(", ");
    if (tinWords !== "")
      choices.push({
        key: `tin|${component}`,
        label: `tin${within(component)}`,
        unit: "",
        now: null,
        bind: () => null,
        tins: { component, now: tinWords },
      });
  }
  return choices;
}

function targetChoice(target: Target): {
  readonly kind: Exclude<Target["kind"], "look">;
  readonly words: string;
  readonly unit: string;
  readonly now: number;
} | null {
  switch (target.kind) {
    case "temperature":
      return { kind: "temperature", words: "temperature", unit: "°C", now: target.celsius };
    case "time":
      return { kind: "time", words: "time", unit: "s", now: target.seconds };
    case "volume-increase":
      return { kind: "volume-increase", words: "volume increase", unit: "%", now: target.percent };
    case "specific-gravity":
      return { kind: "specific-gravity", words: "specific gravity", unit: "", now: target.value };
    case "look":
      return null;
  }
}

/** A range to begin with: about a sixth either way, ten degrees for an oven, on whole steps. */
export function firstRange(choice: FactorChoice): { readonly low: string; readonly high: string } {
  const { now, unit } = choice;
  if (now === null) return { low: "", high: "" };
  const away = unit === "°C" ? 10 : unit === "of 1" ? 0.25 : now * 0.15;
  const step = unit === "of 1" || unit === "" ? 0.01 : away >= 20 ? 5 : away >= 2 ? 1 : 0.1;
  const round = (value: number) => String(Number((Math.round(value / step) * step).toFixed(2)));
  return { low: round(Math.max(0, now - away)), high: round(unit === "of 1" ? Math.min(1, now + away) : now + away) };
}

export const nameOf = (ingredient: string, book: IngredientBook, names: NameStyle): string => {
  const known = book.get(ingredient);
  return (known === undefined ? ingredient : displayName(known, names)).toLowerCase();
};

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
      number("most", form.most, null);
      break;
    case "how much": {
      const factors: Factor[] = [];
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
          bindings.push({
            factor: name,
            kind: "tin",
            component,
            tins: Object.fromEntries(levels.map(({ text, tins }) => [text, tins!])),
          });
          continue;
        }
        const [low, high] = [typedNumber(picked.low), typedNumber(picked.high)];
        if (low === undefined || high === undefined) {
          missing.push(`Say from where to where “${name}” goes.`);
          continue;
        }
        factors.push({ kind: "amount", name, low, high, ...(choice.unit === "" ? {} : { unit: choice.unit }) });
        const binding = choice.bind(name);
        if (binding !== null) bindings.push(binding);
      }
      if (form.factors.length === 0) missing.push("Choose what is changed.");
      document.factors = factors;
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
      break;
    }
    case "which of several":
      break;
    case "which is liked best":
      document.allergens = context.allergens;
      number("tasterCount", form.tasters, "Say how many will taste.");
      break;
    case "can people tell":
      document.allergens = context.allergens;
      document.method = form.method;
      number("tasterCount", form.tasters, null);
      number("shareTelling", form.shareTelling, null, 0.01);
      break;
    case "which do they prefer":
      document.allergens = context.allergens;
      number("tasterCount", form.tasters, null);
      break;
  }
  return { document, bindings, missing };
}

/** "41 43, 42.5" as figures of bakes that were meant to be the same; a new line begins another group. */
export function repeatsSpread(text: string) {
  const groups = text
    .split(/[\n;]/)
    .map((line) => line.split(/[\s,/]+/).flatMap((word) => typedNumber(word) ?? []))
    .filter((group) => group.length > 1);
  return spreadOfRepeats(groups);
}
