import type { Formula, Target } from "@evencrumb/core/formula";
import { displayName, type Ingredient, type IngredientBook, type NameStyle } from "@evencrumb/core/ingredients";
import { SWAPS } from "@evencrumb/core/rebalance";
import type { Binding } from "@evencrumb/core/trials";

/** Something in a formula that can be a factor. */
export interface FactorChoice {
  readonly key: string;
  /** "caster sugar in Sponge"; also the factor's name. */
  readonly label: string;
  readonly unit: string;
  readonly now: number | null;
  readonly group: "amounts" | "swaps" | "method" | "oven and tin";
  readonly bind: (name: string) => Binding | null;
  /** A choice between tins has levels and no range. */
  readonly tins?: { readonly component: string; readonly now: string };
  /** "part": how much of it another takes the place of, in percent; "whole": one or another. Which is still to be chosen. */
  readonly swap?: { readonly component: string; readonly ingredient: string; readonly how: "part" | "whole" };
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
        group: "amounts",
        bind: (factor) => ({ factor, kind: "ingredient", component, ingredient }),
      });
      for (const how of ["part", "whole"] as const)
        choices.push({
          key: `swap-${how}|${component}|${ingredient}`,
          label:
            how === "part"
              ? `part of the ${name}${within(component)} replaced`
              : `another in place of ${name}${within(component)}`,
          unit: how === "part" ? "%" : "",
          now: null,
          group: "swaps",
          bind: () => null,
          swap: { component, ingredient, how },
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
          group: "method",
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
          group: "method",
          bind: (factor) => ({ factor, kind: "stage target", component, stage: stage.name, target: kind }),
        });
      }
    if (bake !== undefined) {
      choices.push({
        key: `oven|${component}`,
        label: `oven${within(component)}`,
        unit: "°C",
        now: bake.ovenC,
        group: "oven and tin",
        bind: (factor) => ({ factor, kind: "oven", component }),
      });
      choices.push({
        key: `minutes|${component}`,
        label: `minutes in the oven${within(component)}`,
        unit: "min",
        now: bake.minutes ?? null,
        group: "oven and tin",
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
        group: "oven and tin",
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

/** A range to begin with, the formula as it is in its middle: about a sixth either way, ten degrees for an oven, on whole steps. */
export function firstRange(choice: FactorChoice): { readonly low: string; readonly high: string } {
  const { now, unit } = choice;
  if (choice.swap?.how === "part") return { low: "0", high: "100" };
  if (now === null) return { low: "", high: "" };
  const sixth = unit === "°C" ? 10 : unit === "of 1" ? 0.25 : now * 0.15;
  const step = unit === "of 1" || unit === "" ? 0.01 : sixth >= 20 ? 5 : sixth >= 2 ? 1 : 0.1;
  const away = Math.max(step, Math.round(sixth / step) * step);
  const words = (value: number) => String(Number(value.toFixed(2)));
  return { low: words(Math.max(0, now - away)), high: words(unit === "of 1" ? Math.min(1, now + away) : now + away) };
}

export const nameOf = (ingredient: string, book: IngredientBook, names: NameStyle): string => {
  const known = book.get(ingredient);
  return (known === undefined ? ingredient : displayName(known, names)).toLowerCase();
};

/** What may take the place of an ingredient: the swaps that bakers make first, then what does the same work in a cake. */
export function replacements(ingredient: string, book: IngredientBook): readonly Ingredient[] {
  const offered = SWAPS.filter(({ from }) => from === ingredient).flatMap(({ to }) => to.slice(0, 1));
  const role = book.get(ingredient)?.role;
  const alike = book.all.filter((one) => one.role === role && one.id !== ingredient).map(({ id }) => id);
  return [...new Set([...offered, ...alike])].flatMap((id) => book.get(id) ?? []);
}
