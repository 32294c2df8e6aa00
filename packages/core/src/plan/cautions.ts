import type { Component, Formula } from "../formula/index.js";
import { displayName, type Ingredient, type IngredientBook, type NameStyle } from "../ingredients/index.js";

/** Something that the person at the bench has to know; `code` is stable. */
export interface SheetCaution {
  readonly code:
    | "raw-egg"
    | "raw-batter"
    | "raw-flour"
    | "keep-chilled"
    | "cool-before-filling"
    | "hot-sugar"
    | "alcohol"
    | "honey"
    | "unknown-ingredient"
    | "not-weighed"
    | "tins";
  /** Names of the components it belongs to; none when it belongs to the whole. */
  readonly components: readonly string[];
  readonly words: string;
}

interface Part {
  readonly component: Component;
  readonly found: readonly { readonly ingredient: Ingredient; readonly grams: number }[];
  readonly grams: number;
  /** Baked, or brought to at least 70 °C by one of its stages. */
  readonly heated: boolean;
}

/** Two minutes at 70 °C is the usual equivalent for a thorough heat treatment (UK food agency guidance, seen). */
const HEATED_FROM_C = 70;
/** Above this a syrup is hotter than boiling water and sticks to skin. */
const HOT_SYRUP_C = 101;

const LOCAL = "Local food law and licensed advice decide.";

/**
 * The usual cautions of the trade for what is on the sheet. A short list of plain rules (common practice, no source, except
 * where a rule is named): it reminds, it does not certify anything.
 */
export function benchCautions(formula: Formula, book: IngredientBook, names: NameStyle = "british"): readonly SheetCaution[] {
  const parts = formula.components.map((component) => partOf(component, book));
  const cautions: SheetCaution[] = [];
  const add = (code: SheetCaution["code"], affected: readonly Part[], words: (list: string) => string) => {
    if (affected.length === 0) return;
    const components = affected.map(({ component }) => component.name);
    cautions.push({ code, components, words: words(listed(components)) });
  };

  add(
    "raw-egg",
    parts.filter((part) => !part.heated && part.found.some(({ ingredient }) => isRawEgg(ingredient))),
    (list) =>
      `${list}: raw egg that no stage heats to ${HEATED_FROM_C} °C. Use pasteurised egg, or say so to those who buy it. ${LOCAL}`,
  );
  add(
    "raw-batter",
    parts.filter(
      (part) => part.component.bake && part.found.some(({ ingredient }) => isRawEgg(ingredient) || isFlour(ingredient)),
    ),
    () => "Raw batter holds raw flour or egg: do not taste it; wash hands, bowls and benches after it.",
  );
  add(
    "raw-flour",
    parts.filter((part) => !part.heated && part.found.some(({ ingredient, grams }) => isFlour(ingredient) && grams > 0)),
    (list) => `${list}: flour is sold raw. Use heat-treated flour where nothing is baked.`,
  );
  const chilled = parts.filter((part) => !part.component.bake && mustChill(part));
  add(
    "keep-chilled",
    chilled,
    (list) =>
      `${list}: keep chilled from making to serving, not above 8 °C (England and Wales: Food Safety and Hygiene Regulations 2013, Schedule 4, and the like). ${LOCAL}`,
  );
  if (chilled.length > 0 && parts.some(({ component }) => component.bake)) {
    cautions.push({
      code: "cool-before-filling",
      components: [],
      words: "Fill only when the cake is cold all through: a warm cake takes the filling out of the chill.",
    });
  }
  add(
    "hot-sugar",
    parts.filter(isHotSugar),
    (list) =>
      `${list}: boiling sugar is hotter than boiling water and sticks. Dry hands, long sleeves, cold water at hand, nobody small nearby.`,
  );
  add(
    "alcohol",
    parts.filter((part) => part.found.some(({ ingredient }) => /^(rum|spirits|wine|beer|coffee-liqueur)/.test(ingredient.id))),
    (list) => `${list}: contains alcohol; tell those who buy it.`,
  );
  add(
    "honey",
    parts.filter((part) => part.found.some(({ ingredient }) => /(^|-)honey(-|$)/.test(ingredient.id))),
    () => "Contains honey: not for children under one year (usual health advice).",
  );
  const unknown = new Map<string, string[]>();
  const open: string[] = [];
  for (const component of formula.components) {
    for (const use of component.stages.flatMap((stage) => stage.uses)) {
      const ingredient = book.get(use.ingredient);
      if (!ingredient) unknown.set(use.ingredient, [...(unknown.get(use.ingredient) ?? []), component.name]);
      if (use.grams === null) open.push(ingredient ? displayName(ingredient, names) : use.ingredient);
    }
  }
  if (unknown.size > 0) {
    const components = [...new Set([...unknown.values()].flat())];
    cautions.push({
      code: "unknown-ingredient",
      components,
      words: `Not in the book: ${[...unknown.keys()].join(", ")}. Allergens of ${unknown.size === 1 ? "this ingredient" : "these ingredients"} are not known here: read the packet.`,
    });
  }
  if (open.length > 0)
    cautions.push({
      code: "not-weighed",
      components: [],
      words: `Not weighed and not in the totals: ${[...new Set(open)].join(", ")}.`,
    });
  return cautions;
}

function partOf(component: Component, book: IngredientBook): Part {
  const found = component.stages
    .flatMap((stage) => stage.uses)
    .flatMap((use) => {
      const ingredient = book.get(use.ingredient);
      return ingredient ? [{ ingredient, grams: use.grams ?? 0 }] : [];
    });
  const hot = component.stages.some((stage) =>
    stage.targets?.some((target) => target.kind === "temperature" && target.celsius >= HEATED_FROM_C),
  );
  return {
    component,
    found,
    grams: found.reduce((sum, { grams }) => sum + grams, 0),
    heated: component.bake !== undefined || component.kind === "cake" || hot,
  };
}

const isFlour = (ingredient: Ingredient) =>
  ingredient.role === "flour" && /flour/.test(ingredient.id) && !/cornflour|potato-flour/.test(ingredient.id);
const isRawEgg = (ingredient: Ingredient) => ingredient.role === "egg" && !/pasteurised|dried/.test(ingredient.id);
const isFreshDairy = (ingredient: Ingredient) =>
  /cream|mascarpone|ricotta|quark|cheese|yoghurt|milk|custard/.test(ingredient.id) &&
  !/powder|condensed|evaporated|chocolate|cream-of-tartar|coconut/.test(ingredient.id);

/** A tenth of fresh dairy, or any egg: what guidance calls a cream or custard filling. A spoon of milk in an icing is neither. */
function mustChill(part: Part): boolean {
  const dairy = part.found.reduce((sum, { ingredient, grams }) => sum + (isFreshDairy(ingredient) ? grams : 0), 0);
  const egg = part.found.some(({ ingredient, grams }) => ingredient.role === "egg" && !/dried/.test(ingredient.id) && grams > 0);
  return part.component.kind !== "cake" && (dairy >= 0.1 * part.grams ? dairy > 0 : egg);
}

function isHotSugar(part: Part): boolean {
  const sugar = part.found.reduce((sum, { ingredient, grams }) => sum + (ingredient.role === "sugar" ? grams : 0), 0);
  if (!(sugar >= 0.25 * part.grams && sugar > 0) || part.component.bake) return false;
  return part.component.stages.some(
    (stage) =>
      stage.targets?.some((target) => target.kind === "temperature" && target.celsius >= HOT_SYRUP_C) ||
      /\bboil|caramel/i.test(stage.method ?? ""),
  );
}

function listed(names: readonly string[]): string {
  return names.length <= 1 ? (names[0] ?? "") : `${names.slice(0, -1).join(", ")} and ${names.at(-1)}`;
}
