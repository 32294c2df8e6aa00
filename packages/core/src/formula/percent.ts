import type { IngredientBook, Role } from "../ingredients/index.js";
import type { Component, ComponentKind, Formula } from "./formula.js";

/** batch: all ingredients of the component = 100. bakers: its flour = 100. group: its ingredients of the same role = 100. */
export const PERCENT_BASES = ["batch", "bakers", "group"] as const;
export type PercentBasis = (typeof PERCENT_BASES)[number];

/** Which cell of the sheet: positions counted from 0. */
export interface UsePlace {
  readonly component: number;
  readonly stage: number;
  readonly use: number;
}

export interface UsePercentages {
  readonly ingredient: string;
  /** Name in the book; the id where the book does not know it. */
  readonly name: string;
  /** null where the book does not know the ingredient. */
  readonly role: Role | null;
  /** Weight [g], null while it is not weighed. */
  readonly grams: number | null;
  /** Percent of the component's weighed total; null while unweighed or while the total is 0. */
  readonly batchPercent: number | null;
  /** Percent of the component's flour; null while unweighed or where there is no flour. */
  readonly bakersPercent: number | null;
  /** Percent of the weight of its role in the component; null while unweighed, unknown, or while the group weighs 0. */
  readonly groupSharePercent: number | null;
  readonly note?: string;
}

export interface StagePercentages {
  readonly name: string;
  readonly totalGrams: number;
  readonly batchPercent: number | null;
  readonly bakersPercent: number | null;
  readonly uses: readonly UsePercentages[];
}

/** All the ingredients of one role in a component: its fats, its sugars. */
export interface GroupPercentages {
  readonly role: Role;
  readonly totalGrams: number;
  readonly batchPercent: number | null;
  readonly bakersPercent: number | null;
}

export interface ComponentPercentages {
  readonly name: string;
  readonly kind: ComponentKind;
  /** Weight [g] of everything that is weighed. */
  readonly totalGrams: number;
  readonly flourGrams: number;
  readonly stages: readonly StagePercentages[];
  /** In the order in which the roles first occur. */
  readonly groups: readonly GroupPercentages[];
  /** Uses with no weight: the totals leave them out, and say so by listing them. */
  readonly unweighed: readonly UsePlace[];
  /** Ingredients the book does not know; they count in the total and in no group. */
  readonly unknownIngredients: readonly string[];
}

export interface FormulaPercentages {
  readonly name: string;
  readonly totalGrams: number;
  readonly flourGrams: number;
  readonly components: readonly ComponentPercentages[];
  readonly unweighed: readonly UsePlace[];
  readonly unknownIngredients: readonly string[];
}

/**
 * Every weight of a formula as a share, on the three bases that bakers use. Shares are taken within a component, because a
 * component is what is mixed in one bowl.
 *
 * @returns percents 0 to 100 and above (a cake may hold 120 % of sugar on flour), never NaN: where there is nothing to
 *   divide by the share is null.
 */
export function percentages(formula: Formula, book: IngredientBook): FormulaPercentages {
  const components = formula.components.map((component, index) => componentPercentages(component, book, index));
  return {
    name: formula.name,
    totalGrams: sum(components.map((component) => component.totalGrams)),
    flourGrams: sum(components.map((component) => component.flourGrams)),
    components,
    unweighed: components.flatMap((component) => component.unweighed),
    unknownIngredients: [...new Set(components.flatMap((component) => component.unknownIngredients))],
  };
}

/** The same for one component; `componentIndex` is only what its places are numbered with. */
export function componentPercentages(component: Component, book: IngredientBook, componentIndex = 0): ComponentPercentages {
  const groupGrams = new Map<Role, number>();
  const unweighed: UsePlace[] = [];
  const unknown = new Set<string>();
  let totalGrams = 0;
  component.stages.forEach((stage, stageIndex) => {
    stage.uses.forEach((use, useIndex) => {
      const role = book.get(use.ingredient)?.role;
      if (role === undefined) unknown.add(use.ingredient);
      if (use.grams === null) unweighed.push({ component: componentIndex, stage: stageIndex, use: useIndex });
      const grams = use.grams ?? 0;
      totalGrams += grams;
      if (role !== undefined) groupGrams.set(role, (groupGrams.get(role) ?? 0) + grams);
    });
  });
  const flourGrams = groupGrams.get("flour") ?? 0;

  const stages = component.stages.map((stage): StagePercentages => {
    const stageGrams = sum(stage.uses.map((use) => use.grams ?? 0));
    return {
      name: stage.name,
      totalGrams: stageGrams,
      batchPercent: share(stageGrams, totalGrams),
      bakersPercent: share(stageGrams, flourGrams),
      uses: stage.uses.map((use): UsePercentages => {
        const ingredient = book.get(use.ingredient);
        const role = ingredient?.role ?? null;
        return {
          ingredient: use.ingredient,
          name: ingredient?.name ?? use.ingredient,
          role,
          grams: use.grams,
          batchPercent: share(use.grams, totalGrams),
          bakersPercent: share(use.grams, flourGrams),
          groupSharePercent: role === null ? null : share(use.grams, groupGrams.get(role) ?? 0),
          ...(use.note === undefined ? {} : { note: use.note }),
        };
      }),
    };
  });

  return {
    name: component.name,
    kind: component.kind,
    totalGrams,
    flourGrams,
    stages,
    groups: [...groupGrams].map(([role, roleGrams]) => ({
      role,
      totalGrams: roleGrams,
      batchPercent: share(roleGrams, totalGrams),
      bakersPercent: share(roleGrams, flourGrams),
    })),
    unweighed,
    unknownIngredients: [...unknown],
  };
}

/** Weight [g] of everything weighed in a component. */
export const componentGrams = (component: Component): number =>
  sum(component.stages.map((stage) => sum(stage.uses.map((use) => use.grams ?? 0))));

/** Weight [g] of everything weighed in a formula. */
export const formulaGrams = (formula: Formula): number => sum(formula.components.map(componentGrams));

const share = (part: number | null, whole: number): number | null =>
  part === null || !(whole > 0) ? null : (part / whole) * 100;

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);
