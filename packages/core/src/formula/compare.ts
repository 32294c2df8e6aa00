import type { IngredientBook, Role } from "../ingredients/index.js";
import { formatGrams, formatPercent } from "../quantities/index.js";
import type { Component, Formula, Stage, Target, Use } from "./formula.js";
import { type ComponentPercentages, componentPercentages, type PercentBasis } from "./percent.js";

/** A figure before and after; null where there was or is none. */
export interface Change<Value = number | null> {
  readonly before: Value;
  readonly after: Value;
}

/** A field that is not a weight: the words a reader sees. */
export interface FieldChange {
  /** "name", "portions", "notes", "kind", "tins", "loss", "specificGravity", "bake", "order", "method", "targets". */
  readonly field: string;
  readonly before: string | null;
  readonly after: string | null;
}

/** Weight that left one stage and came back in another; stages by their name after, or before where they are gone. */
export interface Movement {
  readonly from: string;
  readonly to: string;
  readonly grams: number;
}

export interface IngredientChange {
  readonly ingredient: string;
  readonly name: string;
  readonly status: "same" | "added" | "removed" | "changed";
  /** Over all stages of the component [g]; null where it is not used or not weighed. */
  readonly grams: Change;
  /** After less before [g]; null unless both are weighed. */
  readonly changeGrams: number | null;
  /** The same in percent of before; null unless both are weighed and before is above 0. */
  readonly changePercent: number | null;
  /** Its share on each basis. */
  readonly percent: Readonly<Record<PercentBasis, Change>>;
  readonly moved: readonly Movement[];
  /** split: now in more stages than before. merged: in fewer. */
  readonly spread: "split" | "merged" | null;
  /** Stages that hold it, in order. */
  readonly stages: { readonly before: readonly string[]; readonly after: readonly string[] };
  /** Notes that differ. */
  readonly notes: Change<string | null> | null;
}

export interface StageComparison {
  readonly status: "same" | "changed" | "added" | "removed" | "renamed";
  readonly name: Change<string | null>;
  readonly totalGrams: Change;
  readonly fields: readonly FieldChange[];
}

/** What stayed the same although something else changed: it tells what the change was made against. */
export interface Held {
  readonly what: "total" | "flour" | "group";
  /** The group, where it is one. */
  readonly role?: Role;
  readonly grams: number;
}

export interface ComponentComparison {
  readonly status: "same" | "changed" | "added" | "removed";
  readonly name: Change<string | null>;
  readonly totalGrams: Change;
  readonly flourGrams: Change;
  /** In the order of the formula after, then those that are gone. */
  readonly ingredients: readonly IngredientChange[];
  readonly stages: readonly StageComparison[];
  readonly fields: readonly FieldChange[];
  readonly held: readonly Held[];
}

export interface FormulaComparison {
  readonly same: boolean;
  readonly totalGrams: Change<number>;
  readonly fields: readonly FieldChange[];
  readonly components: readonly ComponentComparison[];
  /** One plain line for each thing that changed; empty when nothing did. */
  readonly summary: readonly string[];
}

/**
 * Weights that differ by less than this are the same [g]: half of what a fine scale shows. It hides what editing in percent
 * leaves in the last digits, and nothing that a baker could weigh.
 */
const SAME_GRAMS = 0.05;

/**
 * What differs between two formulas.
 *
 * Components are matched by name, then by what is in them; stages within a component by name, then by what is in them.
 * An ingredient is followed through all stages of its component, so that moving a part of it is seen as moving.
 *
 * @param book  for names, for the flour and for the groups
 */
export function compareFormulas(before: Formula, after: Formula, book: IngredientBook): FormulaComparison {
  const pairs = matchItems(before.components, after.components, (component) => component.name, componentLikeness);
  const components = pairs.map(([old, now]) => compareComponents(old, now, book));
  const moved = changedPlaces(pairs, before.components);
  const fields = fieldChanges([
    ["name", before.name, after.name],
    ["portions", words(before.portions), words(after.portions)],
    ["notes", before.notes, after.notes],
    ...(moved ? [["order", names(before.components), names(after.components)] as const] : []),
  ]);
  const sum = (key: "before" | "after") => components.reduce((grams, component) => grams + (component.totalGrams[key] ?? 0), 0);
  const totalGrams = { before: sum("before"), after: sum("after") };
  const same = fields.length === 0 && components.every((component) => component.status === "same");
  return { same, totalGrams, fields, components, summary: summarise(fields, components) };
}

function compareComponents(before: Component | null, after: Component | null, book: IngredientBook): ComponentComparison {
  const old = before === null ? null : componentPercentages(before, book);
  const now = after === null ? null : componentPercentages(after, book);
  const pairs = matchItems(before?.stages ?? [], after?.stages ?? [], (stage) => stage.name, stageLikeness);
  const ingredients = compareIngredients(before, after, old, now, pairs, book);
  const stages = pairs.map(([oldStage, newStage]) => compareStages(oldStage, newStage));
  const moved = changedPlaces(pairs, before?.stages ?? []);
  const fields =
    before === null || after === null
      ? []
      : fieldChanges([
          ["name", before.name, after.name],
          ["kind", before.kind, after.kind],
          ["tins", tinWords(before), tinWords(after)],
          [
            "loss",
            before.loss && `${before.loss.percent} % (${before.loss.basis})`,
            after.loss && `${after.loss.percent} % (${after.loss.basis})`,
          ],
          ["specificGravity", gravityWords(before), gravityWords(after)],
          ["bake", bakeWords(before), bakeWords(after)],
          ...(moved ? [["order", names(before.stages), names(after.stages)] as const] : []),
        ]);
  const changed =
    fields.length > 0 ||
    ingredients.some(
      (change) => change.status !== "same" || change.moved.length > 0 || change.spread !== null || change.notes !== null,
    ) ||
    stages.some((stage) => stage.status !== "same");
  return {
    status: before === null ? "added" : after === null ? "removed" : changed ? "changed" : "same",
    name: { before: before?.name ?? null, after: after?.name ?? null },
    totalGrams: { before: old?.totalGrams ?? null, after: now?.totalGrams ?? null },
    flourGrams: { before: old?.flourGrams ?? null, after: now?.flourGrams ?? null },
    ingredients,
    stages,
    fields,
    held:
      old === null || now === null || !ingredients.some((change) => change.status !== "same")
        ? []
        : whatWasHeld(old, now, ingredients),
  };
}

// ---- ingredients ----

type Pair<Item> = readonly [before: Item | null, after: Item | null];

function compareIngredients(
  before: Component | null,
  after: Component | null,
  old: ComponentPercentages | null,
  now: ComponentPercentages | null,
  stages: readonly Pair<Stage>[],
  book: IngredientBook,
): readonly IngredientChange[] {
  const ids = [...new Set([...idsOf(after), ...idsOf(before)])];
  return ids.map((id): IngredientChange => {
    const [usesBefore, usesAfter] = [usesOf(before, id), usesOf(after, id)];
    const grams = { before: gramsOf(usesBefore), after: gramsOf(usesAfter) };
    const both = grams.before !== null && grams.after !== null;
    const changeGrams = both ? grams.after! - grams.before! : null;
    const changed = both ? Math.abs(changeGrams!) >= SAME_GRAMS : grams.before !== grams.after;
    const held = { before: stagesWith(before, id), after: stagesWith(after, id) };
    const notes = { before: notesOf(usesBefore), after: notesOf(usesAfter) };
    const present = usesBefore.length > 0 && usesAfter.length > 0;
    return {
      ingredient: id,
      name: book.get(id)?.name ?? id,
      status: usesBefore.length === 0 ? "added" : usesAfter.length === 0 ? "removed" : changed ? "changed" : "same",
      grams,
      changeGrams,
      changePercent: both && grams.before! > 0 ? (changeGrams! / grams.before!) * 100 : null,
      percent: {
        batch: { before: percentOf(old, id, "batchPercent"), after: percentOf(now, id, "batchPercent") },
        bakers: { before: percentOf(old, id, "bakersPercent"), after: percentOf(now, id, "bakersPercent") },
        group: { before: percentOf(old, id, "groupSharePercent"), after: percentOf(now, id, "groupSharePercent") },
      },
      moved: present ? movements(stages, id) : [],
      spread:
        !present || held.before.length === held.after.length ? null : held.after.length > held.before.length ? "split" : "merged",
      stages: held,
      notes: present && notes.before !== notes.after ? notes : null,
    };
  });
}

/** What left some stages and came to others, from the first that lost to the first that gained. */
function movements(stages: readonly Pair<Stage>[], id: string): readonly Movement[] {
  const deltas = stages.map(([before, after]) => ({
    name: (after ?? before)!.name,
    grams: (gramsOf(usesIn(after, id)) ?? 0) - (gramsOf(usesIn(before, id)) ?? 0),
  }));
  const gains = deltas.filter(({ grams }) => grams > 0).map(({ name, grams }) => ({ name, left: grams }));
  const moved: Movement[] = [];
  for (const { name, grams } of deltas) {
    let lost = Math.max(0, -grams);
    for (const gain of gains) {
      const part = Math.min(lost, gain.left);
      if (part < SAME_GRAMS) continue;
      moved.push({ from: name, to: gain.name, grams: part });
      lost -= part;
      gain.left -= part;
    }
  }
  return moved;
}

function whatWasHeld(
  old: ComponentPercentages,
  now: ComponentPercentages,
  ingredients: readonly IngredientChange[],
): readonly Held[] {
  // Each weight may have been rounded by half a step, so a sum over several may be off by a little more.
  const changedCount = ingredients.filter((change) => change.status !== "same").length;
  const near = (a: number, b: number) =>
    Math.abs(a - b) <= Math.max(SAME_GRAMS, Math.min(0.5 * changedCount, 0.002 * Math.max(a, b)));
  const held: Held[] = [];
  if (near(old.totalGrams, now.totalGrams)) held.push({ what: "total", grams: now.totalGrams });
  if (now.flourGrams > 0 && near(old.flourGrams, now.flourGrams)) held.push({ what: "flour", grams: now.flourGrams });
  for (const group of now.groups) {
    const was = old.groups.find(({ role }) => role === group.role);
    // A group in which nothing changed was not held against anything; one that was re-divided was.
    const redivided = [...now.stages, ...old.stages].some((stage) =>
      stage.uses.some(
        (use) =>
          use.role === group.role &&
          ingredients.some((change) => change.ingredient === use.ingredient && change.status !== "same"),
      ),
    );
    if (was !== undefined && redivided && group.role !== "flour" && near(was.totalGrams, group.totalGrams)) {
      held.push({ what: "group", role: group.role, grams: group.totalGrams });
    }
  }
  return held;
}

const usesIn = (stage: Stage | null, id: string): readonly Use[] => stage?.uses.filter((use) => use.ingredient === id) ?? [];
const usesOf = (component: Component | null, id: string): readonly Use[] =>
  component?.stages.flatMap((stage) => usesIn(stage, id)) ?? [];
const idsOf = (component: Component | null): readonly string[] =>
  component?.stages.flatMap((stage) => stage.uses.map((use) => use.ingredient)) ?? [];
const stagesWith = (component: Component | null, id: string): readonly string[] =>
  component?.stages.filter((stage) => usesIn(stage, id).length > 0).map((stage) => stage.name) ?? [];
const notesOf = (uses: readonly Use[]): string | null =>
  uses.flatMap((use) => (use.note === undefined ? [] : [use.note])).join("; ") || null;

/** Sum of what is weighed; null where nothing is. */
function gramsOf(uses: readonly Use[]): number | null {
  const weighed = uses.flatMap((use) => (use.grams === null ? [] : [use.grams]));
  return weighed.length === 0 ? null : weighed.reduce((sum, grams) => sum + grams, 0);
}

function percentOf(
  component: ComponentPercentages | null,
  id: string,
  basis: "batchPercent" | "bakersPercent" | "groupSharePercent",
): number | null {
  const shares =
    component?.stages.flatMap((stage) => stage.uses.filter((use) => use.ingredient === id).map((use) => use[basis])) ?? [];
  const known = shares.filter((share) => share !== null);
  return known.length === 0 ? null : known.reduce((sum, share) => sum + share, 0);
}

// ---- stages and fields ----

function compareStages(before: Stage | null, after: Stage | null): StageComparison {
  const fields =
    before === null || after === null
      ? []
      : fieldChanges([
          ["method", before.method, after.method],
          ["targets", targetWords(before), targetWords(after)],
        ]);
  const grams = (stage: Stage | null) => (stage === null ? null : (gramsOf(stage.uses) ?? 0));
  const renamed = before !== null && after !== null && before.name !== after.name;
  return {
    status: before === null ? "added" : after === null ? "removed" : renamed ? "renamed" : fields.length > 0 ? "changed" : "same",
    name: { before: before?.name ?? null, after: after?.name ?? null },
    totalGrams: { before: grams(before), after: grams(after) },
    fields,
  };
}

function fieldChanges(
  fields: readonly (readonly [field: string, before: string | undefined, after: string | undefined])[],
): readonly FieldChange[] {
  return fields.flatMap(([field, before, after]) =>
    before === after ? [] : [{ field, before: before ?? null, after: after ?? null }],
  );
}

const words = (value: number | undefined): string | undefined => (value === undefined ? undefined : String(value));
const names = (items: readonly { readonly name: string }[]): string => items.map(({ name }) => name).join(", ");
const tinWords = ({ tins }: Component): string | undefined => tins?.map(({ count, tin }) => `${count} × ${tin}`).join(", ");
const gravityWords = ({ specificGravity }: Component): string | undefined =>
  specificGravity && `${specificGravity.value} (${specificGravity.basis})`;
const bakeWords = ({ bake }: Component): string | undefined =>
  bake && `${bake.ovenC} °C${bake.fan ? " fan" : ""}${bake.minutes === undefined ? "" : `, ${bake.minutes} min`}`;
const targetWords = ({ targets }: Stage): string | undefined => targets?.map(targetWord).join("; ");

function targetWord(target: Target): string {
  switch (target.kind) {
    case "volume-increase":
      return `${target.percent} % more volume`;
    case "temperature":
      return `${target.celsius} °C`;
    case "specific-gravity":
      return `specific gravity ${target.value}`;
    case "time":
      return target.seconds % 60 === 0 ? `${target.seconds / 60} min` : `${target.seconds} s`;
    case "look":
      return target.words;
  }
}

// ---- matching ----

/** Pairs in the order of `after`, then what is gone in the order of `before`. */
function matchItems<Item>(
  before: readonly Item[],
  after: readonly Item[],
  nameOf: (item: Item) => string,
  likeness: (a: Item, b: Item) => number,
): readonly Pair<Item>[] {
  const left = new Set(before);
  const match = new Map<Item, Item>();
  const accept = (item: Item, old: Item) => {
    match.set(item, old);
    left.delete(old);
  };
  for (const item of after) {
    const old = [...left].find((candidate) => nameOf(candidate) === nameOf(item));
    if (old !== undefined) accept(item, old);
  }
  // The best likeness first, so that two renamed stages do not take each other's place.
  const candidates = after
    .filter((item) => !match.has(item))
    .flatMap((item) => [...left].map((old) => ({ item, old, score: likeness(old, item) })))
    .filter(({ score }) => score >= 0.5)
    .sort((a, b) => b.score - a.score);
  for (const { item, old } of candidates) if (!match.has(item) && left.has(old)) accept(item, old);
  return [
    ...after.map((item): Pair<Item> => [match.get(item) ?? null, item]),
    ...[...left].map((old): Pair<Item> => [old, null]),
  ];
}

const stageLikeness = (a: Stage, b: Stage): number => idLikeness(a.uses, b.uses);
const componentLikeness = (a: Component, b: Component): number =>
  idLikeness(
    a.stages.flatMap((stage) => stage.uses),
    b.stages.flatMap((stage) => stage.uses),
  );

/** Share of the ingredients that both have: 0 nothing in common, 1 the same ones. */
function idLikeness(a: readonly Use[], b: readonly Use[]): number {
  const [idsA, idsB] = [new Set(a.map((use) => use.ingredient)), new Set(b.map((use) => use.ingredient))];
  const common = [...idsA].filter((id) => idsB.has(id)).length;
  const all = idsA.size + idsB.size - common;
  return all === 0 ? 0 : common / all;
}

/** Whether the items that are in both stand in another order than before. */
function changedPlaces<Item>(pairs: readonly Pair<Item>[], before: readonly Item[]): boolean {
  const places = pairs.flatMap(([old, now]) => (old === null || now === null ? [] : [before.indexOf(old)]));
  return places.some((place, index) => index > 0 && place < places[index - 1]!);
}

// ---- plain language ----

const FIELD_WORDS: Readonly<Record<string, string>> = {
  name: "Name",
  portions: "Portions",
  notes: "Notes",
  kind: "Kind",
  tins: "Tins",
  loss: "Loss",
  specificGravity: "Specific gravity",
  bake: "Bake",
  order: "Order",
  method: "Method",
  targets: "Targets",
};

function summarise(fields: readonly FieldChange[], components: readonly ComponentComparison[]): readonly string[] {
  const lines = fields.map((field) => fieldLine("", field));
  const several = components.length > 1;
  for (const component of components) {
    const { before, after } = component.name;
    if (component.status === "added") lines.push(`Component ${after} added: ${gramsWord(component.totalGrams.after)}`);
    if (component.status === "removed") lines.push(`Component ${before} removed: ${gramsWord(component.totalGrams.before)}`);
    if (component.status !== "changed") continue;
    const lead = several ? `${after}: ` : "";
    for (const field of component.fields) {
      lines.push(field.field === "name" ? `Component ${before} renamed to ${after}` : fieldLine(lead, field));
    }
    for (const change of component.ingredients) {
      const line = ingredientLine(change);
      if (line !== null) lines.push(`${lead}${line}`);
    }
    for (const stage of component.stages) lines.push(...stageLines(stage).map((line) => `${lead}${line}`));
    if (component.held.length > 0) lines.push(`${lead}${heldLine(component.held)}`);
  }
  return lines;
}

function ingredientLine(change: IngredientChange): string | null {
  const { name, grams, changePercent, moved, stages, notes } = change;
  const parts: string[] = [];
  if (change.status === "added") parts.push(`added, ${gramsWord(grams.after)} in ${stages.after.join(" and ")}`);
  else if (change.status === "removed") parts.push(`removed, ${gramsWord(grams.before)}`);
  else if (change.status === "changed") {
    const percent = changePercent === null ? "" : ` (${changePercent > 0 ? "+" : ""}${formatPercent(changePercent)})`;
    parts.push(`${gramsWord(grams.before)} to ${gramsWord(grams.after)}${percent}`);
  }
  for (const { from, to, grams: part } of moved) {
    const all = grams.before !== null && Math.abs(part - grams.before) < SAME_GRAMS;
    parts.push(
      all && change.status === "same" ? `moved from ${from} to ${to}` : `${gramsWord(part)} of it moved from ${from} to ${to}`,
    );
  }
  if (moved.length === 0 && change.spread !== null) {
    parts.push(change.spread === "split" ? `now in ${stages.after.join(" and ")}` : `now only in ${stages.after.join(" and ")}`);
  }
  if (notes !== null) {
    parts.push(notes.after === null ? `note "${notes.before}" removed` : `note now "${notes.after}"`);
  }
  return parts.length === 0 ? null : `${name}: ${parts.join("; ")}`;
}

function stageLines(stage: StageComparison): readonly string[] {
  const { before, after } = stage.name;
  if (stage.status === "added") return [`Stage ${after} added`];
  if (stage.status === "removed") return [`Stage ${before} removed`];
  const lines = stage.status === "renamed" ? [`Stage ${before} renamed to ${after}`] : [];
  return [...lines, ...stage.fields.map((field) => fieldLine(`${after}: `, field))];
}

function fieldLine(lead: string, { field, before, after }: FieldChange): string {
  const word = FIELD_WORDS[field] ?? field;
  if (field === "method" || field === "notes") {
    const verb = before === null ? "added" : after === null ? "removed" : "changed";
    return `${lead}${word} ${verb}`;
  }
  if (before === null) return `${lead}${word}: ${after}`;
  if (after === null) return `${lead}${word} ${before} removed`;
  return `${lead}${word}: ${before} to ${after}`;
}

function heldLine(held: readonly Held[]): string {
  const parts = held.map(
    ({ what, role, grams }) => `${what === "group" ? `all ${ROLE_WORDS[role!]}` : `the ${what}`} (${gramsWord(grams)})`,
  );
  return `Kept: ${parts.join(", ")}`;
}

const ROLE_WORDS: Readonly<Record<Role, string>> = {
  flour: "flour",
  fat: "fats",
  sugar: "sugars",
  egg: "egg",
  dairy: "dairy",
  liquid: "liquids",
  raising: "raising agents",
  chocolate: "chocolate and cocoa",
  nut: "nuts",
  fruit: "fruit",
  flavour: "flavours",
  salt: "salt",
  thickener: "thickeners",
  other: "other ingredients",
};

const gramsWord = (grams: number | null): string => (grams === null ? "not weighed" : formatGrams(grams));
