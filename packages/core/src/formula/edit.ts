import type { IngredientBook } from "../ingredients/index.js";
import type { Problem, ProblemCode, Result } from "../quantities/index.js";
import type { Component, Formula, Stage, Use } from "./formula.js";
import { COMPONENT_SHAPE, FORMULA_SHAPE, STAGE_SHAPE, USE_SHAPE } from "./formulaShape.js";
import { componentPercentages, type PercentBasis, type UsePlace } from "./percent.js";
import { PLAIN_VALUES, readShape } from "./readShape.js";
import type { RecordShape } from "./shape.js";

/**
 * Editing: each function gives a new formula and leaves the old one as it was; what did not change is shared between them.
 * What the baker may not do comes back as a Problem. A place that does not exist is the caller's mistake and throws RangeError.
 */
export type Edited = Result<Formula, Problem>;

/** Which stage: positions counted from 0. */
export interface StagePlace {
  readonly component: number;
  readonly stage: number;
}

/** Which ingredient of which component, in all its stages. */
export interface IngredientPlace {
  readonly component: number;
  readonly ingredient: string;
}

/** undefined takes an optional field away. */
export type UseChange = { readonly [Key in keyof Use]?: Use[Key] | undefined };
export type StageChange = { readonly [Key in keyof Omit<Stage, "uses">]?: Stage[Key] | undefined };
export type ComponentChange = { readonly [Key in keyof Omit<Component, "stages">]?: Component[Key] | undefined };
export type FormulaChange = { readonly [Key in keyof Omit<Formula, "components">]?: Formula[Key] | undefined };

// ---- weights ----

/** Sets the weight of one use [g]; null empties the cell. */
export const setGrams = (formula: Formula, place: UsePlace, grams: number | null): Edited => changeUse(formula, place, { grams });

export interface PercentEdit {
  readonly basis: PercentBasis;
  /** 0 or more. */
  readonly percent: number;
  /**
   * What stays as it is. `others`: every other weight, so the total moves. `total`: the component's weight (for `group`, the
   * group's weight), so the other weights shrink or grow together and keep their proportions.
   */
  readonly hold: "total" | "others";
}

/**
 * Sets the weight of one use so that its share is the given one. Weights are exact; rounding to what a scale can weigh is
 * a step of its own.
 *
 * @returns a Problem where no weight has that share: 100 % or more of a batch or a group that holds other weights, a baker's
 *   percent without flour, a group share of an ingredient the book does not know
 */
export function setPercent(formula: Formula, book: IngredientBook, place: UsePlace, edit: PercentEdit): Edited {
  const use = useAt(formula, place);
  const path = usePath(place, "grams");
  const { basis, percent, hold } = edit;
  if (!(percent >= 0 && percent <= 1e6)) {
    return refuse("out-of-range", path, "a percentage of 0 or more", `${percent} %`, "Type a percentage such as 25.");
  }
  const component = formula.components[place.component]!;
  const figures = componentPercentages(component, book);
  const ownGrams = use.grams ?? 0;
  const role = book.get(use.ingredient)?.role;
  const groupGrams = figures.groups.find((group) => group.role === role)?.totalGrams ?? 0;

  // Everything is worked out as if the others stood still; holding the total then scales all of it together, which keeps shares.
  let wantedGrams: number;
  let scaled: (other: Use) => boolean = () => true;
  if (basis === "bakers" && role !== "flour") {
    if (!(figures.flourGrams > 0)) {
      const remedy = "Weigh the flour first, or work in percent of the batch.";
      return refuse("conflict", path, "flour in this component, which counts as 100 %", "no flour", remedy);
    }
    wantedGrams = (percent / 100) * figures.flourGrams;
  } else {
    if (basis === "group" && role === undefined) {
      const remedy = "Choose an ingredient from the list, or work in percent of the batch.";
      return refuse("unknown-ingredient", path, "an ingredient whose group is known", `"${use.ingredient}"`, remedy);
    }
    // A flour's baker's percent is its share of the flour, because the flour is what counts as 100 %.
    const wholeGrams = basis === "batch" ? figures.totalGrams : groupGrams;
    const words = basis === "batch" ? "the batch" : basis === "bakers" ? "the flour" : `the ${role} group`;
    if (basis === "group") scaled = (other) => book.get(other.ingredient)?.role === role;
    const othersGrams = Math.max(0, wholeGrams - ownGrams);
    const lonely = !(othersGrams > wholeGrams * 1e-12);
    if (lonely) {
      if (percent === 100) return { ok: true, value: formula };
      return refuse(
        "conflict",
        path,
        `100 % (it is all of ${words})`,
        `${percent} %`,
        "Type its weight in grams, or add another ingredient first.",
      );
    }
    if (percent >= 100) {
      return refuse(
        "conflict",
        path,
        `less than 100 % of ${words}, which holds other ingredients`,
        `${percent} %`,
        "Type a smaller share, or remove the others.",
      );
    }
    wantedGrams = (percent / (100 - percent)) * othersGrams;
  }

  const heldGrams = basis === "group" ? groupGrams : figures.totalGrams;
  const factor = hold === "total" ? heldGrams / (heldGrams - ownGrams + wantedGrams) : 1;
  if (!Number.isFinite(factor)) {
    return refuse("conflict", path, "other weights that can make room", "no other weight", "Weigh another ingredient first.");
  }
  const next = mapUses(formula, place.component, (other, stage, index) => {
    if (stage === place.stage && index === place.use) return { ...other, grams: wantedGrams * factor };
    if (factor === 1 || other.grams === null || !scaled(other)) return other;
    return { ...other, grams: other.grams * factor };
  });
  if (next.components[place.component]!.stages.some((stage) => stage.uses.some((other) => !((other.grams ?? 0) <= 1e6)))) {
    return refuse(
      "out-of-range",
      path,
      "weights of at most 1000000 g",
      `${percent} %, which needs more`,
      "Type a share that is further from 0 or 100 %.",
    );
  }
  return { ok: true, value: next };
}

/**
 * Splits one ingredient of a component over stages and keeps its total. Uses that are already in a named stage keep their
 * place and notes; uses in other stages go.
 *
 * @param shares  one for each stage that is to hold it; they add to 1 (to within a thousandth, then evened out)
 */
export function splitIngredient(
  formula: Formula,
  place: IngredientPlace,
  shares: readonly { readonly stage: number; readonly share: number }[],
): Edited {
  const component = componentAt(formula, place.component);
  for (const { stage } of shares) stageAt(formula, { component: place.component, stage });
  const path = ["components", place.component, "stages"];
  const uses = usesOf(component, place.ingredient);
  if (uses.length === 0) return refuseAbsent(path, place.ingredient);
  const sum = shares.reduce((total, { share }) => total + share, 0);
  const right = shares.every(({ share }) => share >= 0) && Math.abs(sum - 1) <= 1e-3;
  if (!right || new Set(shares.map(({ stage }) => stage)).size !== shares.length) {
    const found = shares.map(({ share }) => `${share * 100} %`).join(" + ") || "none";
    return refuse("out-of-range", path, "shares, one a stage, that add to 100 %", found, "Change one of the shares.");
  }
  const weighed = uses.some((use) => use.grams !== null);
  const total = uses.reduce((grams, use) => grams + (use.grams ?? 0), 0);
  // The last share takes what is left, so that the parts add to the very same total.
  let left = total;
  const gramsOf = new Map<number, number | null>();
  shares.forEach(({ stage, share }, index) => {
    const part = index === shares.length - 1 ? Math.max(0, left) : total * (share / sum);
    left -= part;
    gramsOf.set(stage, weighed ? part : null);
  });
  const stages = component.stages.map((stage, index): Stage => {
    const grams = gramsOf.get(index);
    const first = stage.uses.findIndex((use) => use.ingredient === place.ingredient);
    if (grams === undefined)
      return first < 0 ? stage : { ...stage, uses: stage.uses.filter((use) => use.ingredient !== place.ingredient) };
    if (first < 0) return { ...stage, uses: [...stage.uses, { ingredient: place.ingredient, grams }] };
    const kept = stage.uses.flatMap((use, at) => {
      if (use.ingredient !== place.ingredient) return [use];
      return at === first ? [{ ...use, grams }] : [];
    });
    return { ...stage, uses: kept };
  });
  return { ok: true, value: withComponent(formula, place.component, { ...component, stages }) };
}

/** Sets what an ingredient weighs over all stages of a component [g], keeping how it is split between them. */
export function setIngredientTotal(formula: Formula, place: IngredientPlace, grams: number): Edited {
  const component = componentAt(formula, place.component);
  const path = ["components", place.component, "stages"];
  const uses = usesOf(component, place.ingredient);
  if (uses.length === 0) return refuseAbsent(path, place.ingredient);
  if (!(grams >= 0 && grams <= 1e6)) {
    return refuse("out-of-range", path, "a weight in grams from 0 to 1000000", `${grams}`, "Type a weight such as 250.");
  }
  const total = uses.reduce((sum, use) => sum + (use.grams ?? 0), 0);
  if (!(total > 0) && uses.length > 1) {
    const remedy = "Weigh it in its stages first, or say how it is split.";
    return refuse("conflict", path, "a split to keep", `${uses.length} uses that weigh nothing`, remedy);
  }
  const next = mapUses(formula, place.component, (use) => {
    if (use.ingredient !== place.ingredient) return use;
    if (!(total > 0)) return { ...use, grams };
    return use.grams === null ? use : { ...use, grams: use.grams * (grams / total) };
  });
  return { ok: true, value: next };
}

// ---- uses ----

/** Changes fields of one use: the ingredient, the weight, the note. */
export function changeUse(formula: Formula, place: UsePlace, change: UseChange): Edited {
  return patch(USE_SHAPE, useAt(formula, place), change, usePath(place), (use) => withUse(formula, place, use));
}

/** Adds a use; `at` is its position in the stage, at the end when left out. */
export function addUse(formula: Formula, place: StagePlace, use: Use, at?: number): Edited {
  const stage = stageAt(formula, place);
  const position = at ?? stage.uses.length;
  within(position, stage.uses.length + 1, "use");
  return checked(USE_SHAPE, use, usePath({ ...place, use: position }), (good) =>
    withStage(formula, place, { ...stage, uses: stage.uses.toSpliced(position, 0, good) }),
  );
}

export function removeUse(formula: Formula, place: UsePlace): Edited {
  useAt(formula, place);
  const stage = stageAt(formula, place);
  return { ok: true, value: withStage(formula, place, { ...stage, uses: stage.uses.toSpliced(place.use, 1) }) };
}

/** Moves a use within its stage, to another stage or to another component; `to.use` counts after it was taken out. */
export function moveUse(formula: Formula, from: UsePlace, to: UsePlace): Edited {
  const use = useAt(formula, from);
  const taken = removeUse(formula, from);
  if (!taken.ok) return taken;
  const stage = stageAt(taken.value, to);
  within(to.use, stage.uses.length + 1, "use");
  return { ok: true, value: withStage(taken.value, to, { ...stage, uses: stage.uses.toSpliced(to.use, 0, use) }) };
}

// ---- stages ----

/** Changes fields of a stage: its name, method, targets. */
export function changeStage(formula: Formula, place: StagePlace, change: StageChange): Edited {
  return patch(STAGE_SHAPE, stageAt(formula, place), change, stagePath(place), (stage) => withStage(formula, place, stage));
}

export function addStage(formula: Formula, componentIndex: number, stage: Stage, at?: number): Edited {
  const component = componentAt(formula, componentIndex);
  const position = at ?? component.stages.length;
  within(position, component.stages.length + 1, "stage");
  return checked(STAGE_SHAPE, stage, stagePath({ component: componentIndex, stage: position }), (good) =>
    withComponent(formula, componentIndex, { ...component, stages: component.stages.toSpliced(position, 0, good) }),
  );
}

export function removeStage(formula: Formula, place: StagePlace): Edited {
  stageAt(formula, place);
  const component = componentAt(formula, place.component);
  const stages = component.stages.toSpliced(place.stage, 1);
  return { ok: true, value: withComponent(formula, place.component, { ...component, stages }) };
}

/** Moves a stage within its component or to another; `to.stage` counts after it was taken out. */
export function moveStage(formula: Formula, from: StagePlace, to: StagePlace): Edited {
  const stage = stageAt(formula, from);
  const taken = removeStage(formula, from);
  if (!taken.ok) return taken;
  const component = componentAt(taken.value, to.component);
  within(to.stage, component.stages.length + 1, "stage");
  const stages = component.stages.toSpliced(to.stage, 0, stage);
  return { ok: true, value: withComponent(taken.value, to.component, { ...component, stages }) };
}

// ---- components ----

/** Changes fields of a component: its name, kind, tins, loss, specific gravity, bake. */
export function changeComponent(formula: Formula, index: number, change: ComponentChange): Edited {
  const component = componentAt(formula, index);
  const name = change.name;
  if (name !== undefined && formula.components.some((other, at) => at !== index && other.name === name))
    return refuseName(formula, index, name);
  return patch(COMPONENT_SHAPE, component, change, ["components", index], (good) => withComponent(formula, index, good));
}

export function addComponent(formula: Formula, component: Component, at?: number): Edited {
  const position = at ?? formula.components.length;
  within(position, formula.components.length + 1, "component");
  if (formula.components.some((other) => other.name === component.name)) return refuseName(formula, position, component.name);
  return checked(COMPONENT_SHAPE, component, ["components", position], (good) => ({
    ...formula,
    components: formula.components.toSpliced(position, 0, good),
  }));
}

export function removeComponent(formula: Formula, index: number): Edited {
  componentAt(formula, index);
  return { ok: true, value: { ...formula, components: formula.components.toSpliced(index, 1) } };
}

/** Moves a component; `to` counts after it was taken out. */
export function moveComponent(formula: Formula, from: number, to: number): Edited {
  const component = componentAt(formula, from);
  within(to, formula.components.length, "component");
  return { ok: true, value: { ...formula, components: formula.components.toSpliced(from, 1).toSpliced(to, 0, component) } };
}

/** A name that no component has yet: the wanted one, or the first free of "Sponge 2", "Sponge 3" ... */
export function freeComponentName(formula: Formula, wanted: string): string {
  const taken = new Set(formula.components.map((component) => component.name));
  if (!taken.has(wanted)) return wanted;
  const [, stem = wanted] = /^(.*\S)\s+\d+$/s.exec(wanted) ?? [];
  let number = 2;
  while (taken.has(`${stem} ${number}`)) number++;
  return `${stem} ${number}`;
}

// ---- the formula ----

/** Changes fields of the formula: its name, notes, portions, own ingredients. */
export function changeFormula(formula: Formula, change: FormulaChange): Edited {
  return patch(FORMULA_SHAPE, formula, change, [], (good: Formula) => good);
}

// ---- helpers ----

const usesOf = (component: Component, ingredient: string): readonly Use[] =>
  component.stages.flatMap((stage) => stage.uses.filter((use) => use.ingredient === ingredient));

/** Changes the named fields only when the reader would take them, and says the same words where it would not. */
function patch<Item extends object>(
  shape: RecordShape,
  item: Item,
  change: { readonly [Key in keyof Item]?: Item[Key] | undefined },
  path: Problem["path"],
  make: (item: Item) => Formula,
): Edited {
  const changed = Object.keys(change);
  const fields = Object.fromEntries(Object.entries(shape.fields).filter(([key]) => changed.includes(key)));
  const [problem] = readShape({ ...shape, fields }, change, PLAIN_VALUES).problems;
  if (problem !== undefined) return { ok: false, error: { ...problem, path: [...path, ...problem.path] } };
  const next: Record<string, unknown> = Object.fromEntries(Object.entries(item));
  for (const [key, value] of Object.entries(change)) {
    if (value === undefined) delete next[key];
    else next[key] = value;
  }
  return { ok: true, value: make(next as Item) };
}

/** Adds an item only when the reader would take it. */
function checked<Item>(shape: RecordShape, item: Item, path: Problem["path"], make: (item: Item) => Formula): Edited {
  const [problem] = readShape<unknown>(shape, item, PLAIN_VALUES).problems;
  if (problem !== undefined) return { ok: false, error: { ...problem, path: [...path, ...problem.path] } };
  return { ok: true, value: make(item) };
}

function mapUses(formula: Formula, componentIndex: number, change: (use: Use, stage: number, index: number) => Use): Formula {
  const component = componentAt(formula, componentIndex);
  const stages = component.stages.map((stage, stageIndex) => {
    const uses = stage.uses.map((use, index) => change(use, stageIndex, index));
    return uses.every((use, index) => use === stage.uses[index]) ? stage : { ...stage, uses };
  });
  return withComponent(formula, componentIndex, { ...component, stages });
}

const withComponent = (formula: Formula, index: number, component: Component): Formula => ({
  ...formula,
  components: formula.components.with(index, component),
});

function withStage(formula: Formula, place: StagePlace, stage: Stage): Formula {
  const component = componentAt(formula, place.component);
  return withComponent(formula, place.component, { ...component, stages: component.stages.with(place.stage, stage) });
}

function withUse(formula: Formula, place: UsePlace, use: Use): Formula {
  const stage = stageAt(formula, place);
  return withStage(formula, place, { ...stage, uses: stage.uses.with(place.use, use) });
}

function within(index: number, count: number, what: string): void {
  if (!(Number.isInteger(index) && index >= 0 && index < count))
    throw new RangeError(`no ${what} ${index}: there are ${count} places`);
}

function componentAt(formula: Formula, index: number): Component {
  within(index, formula.components.length, "component");
  return formula.components[index]!;
}

function stageAt(formula: Formula, place: StagePlace): Stage {
  const { stages } = componentAt(formula, place.component);
  within(place.stage, stages.length, "stage");
  return stages[place.stage]!;
}

function useAt(formula: Formula, place: UsePlace): Use {
  const { uses } = stageAt(formula, place);
  within(place.use, uses.length, "use");
  return uses[place.use]!;
}

const stagePath = (place: StagePlace): Problem["path"] => ["components", place.component, "stages", place.stage];
const usePath = (place: UsePlace, ...field: string[]): Problem["path"] => [...stagePath(place), "uses", place.use, ...field];

function refuse(code: ProblemCode, path: Problem["path"], expected: string, found: string, remedy: string): Edited {
  return { ok: false, error: { code, path, expected, found, remedy } };
}

const refuseAbsent = (path: Problem["path"], ingredient: string): Edited =>
  refuse("unknown-ingredient", path, "an ingredient that this component uses", `"${ingredient}"`, "Add it to a stage first.");

const refuseName = (formula: Formula, index: number, name: string): Edited =>
  refuse(
    "duplicate",
    ["components", index, "name"],
    "a name that no other component has",
    `"${name}"`,
    `Call it "${freeComponentName(formula, name)}".`,
  );
