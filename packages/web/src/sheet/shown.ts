import type { PartComposition } from "@evencrumb/core/composition";
import type { Component, ComponentPercentages, Formula } from "@evencrumb/core/formula";
import { displayName, type IngredientBook, type Role } from "@evencrumb/core/ingredients";
import { formatGrams, formatPercent, roundParts } from "@evencrumb/core/quantities";
import type { Settings } from "../app/house.js";
import type { Derived } from "../formula/session.js";

/** A line as it is read on the sheet: words only. */
export interface ShownUse {
  readonly name: string;
  readonly unknown: boolean;
  readonly note: string;
  /** As a scale can weigh it, so that the lines add to the total shown; null while it is not weighed. */
  readonly grams: string | null;
  /** What a cell holds when it is opened or copied. */
  readonly exactGrams: string;
  readonly percent: string | null;
  readonly share: string | null;
  readonly group: string;
}

export interface ShownComponent {
  readonly stages: readonly { readonly uses: readonly ShownUse[] }[];
  readonly total: string;
  readonly percent: string | null;
  readonly unweighed: number;
  /** After its loss; null where it loses nothing. */
  readonly finished: string | null;
}

/** What differs from the revision that the sheet is compared with. */
export interface LineDifferences {
  line(component: number, stage: number, use: number): string | null;
  gone(component: number, stage: number): readonly { readonly key: string; readonly name: string; readonly grams: string }[];
  total(component: number): string | null;
}

/** The plural in which a group is spoken of: "65 % of the fats". */
export const GROUP_WORDS: Readonly<Record<Role, string>> = {
  flour: "flours",
  fat: "fats",
  sugar: "sugars",
  egg: "eggs",
  dairy: "dairy",
  liquid: "liquids",
  raising: "raising",
  chocolate: "chocolate",
  nut: "nuts",
  fruit: "fruit",
  flavour: "flavours",
  salt: "salt",
  thickener: "thickeners",
  other: "other",
};

const bare = (text: string) => text.replace(/ ?%$/, "");

/** What the words depend on beside the component itself, and the words that are known already. */
export interface Known {
  readonly book: IngredientBook;
  readonly settings: Settings;
  readonly basis: "batch" | "bakers";
  readonly shown: WeakMap<Component, ShownComponent>;
}

export function shownComponents(
  formula: Formula,
  { percentages, composition }: Derived,
  known: Known,
): readonly ShownComponent[] {
  return formula.components.map((component, c) => {
    const before = known.shown.get(component);
    if (before !== undefined) return before;
    const shown = shownComponent(component, percentages.components[c]!, composition.components[c], known);
    known.shown.set(component, shown);
    return shown;
  });
}

function shownComponent(
  formulaComponent: Component,
  component: ComponentPercentages,
  part: PartComposition | undefined,
  { book, settings, basis }: Known,
): ShownComponent {
  const weighing = settings.rounding;
  const uses = component.stages.flatMap((stage) => stage.uses);
  const rounded = roundParts(
    uses.map((use) => use.grams ?? 0),
    weighing,
  );
  const finished = part?.finished;
  let at = 0;
  const stages = component.stages.map((stage, s) => ({
    uses: stage.uses.map((use, u): ShownUse => {
      const grams = rounded.parts[at++]!;
      const known = book.get(use.ingredient);
      const percent = basis === "batch" ? use.batchPercent : use.bakersPercent;
      return {
        name: known === undefined ? use.ingredient : displayName(known, settings.names),
        unknown: known === undefined,
        note: formulaComponent.stages[s]?.uses[u]?.note ?? "",
        grams: use.grams === null ? null : formatGrams(grams, { bare: true, weighing }),
        exactGrams: use.grams === null ? "" : String(Number(use.grams.toFixed(3))),
        percent: percent === null ? null : bare(formatPercent(percent)),
        // A group of one says nothing.
        share:
          use.groupSharePercent === null || use.groupSharePercent > 99.999 ? null : bare(formatPercent(use.groupSharePercent, 0)),
        group: use.role === null ? "" : GROUP_WORDS[use.role],
      };
    }),
  }));
  const whole =
    basis === "batch"
      ? component.totalGrams > 0
        ? 100
        : null
      : component.stages.reduce<number | null>(
          (sum, stage) => (stage.bakersPercent === null ? sum : (sum ?? 0) + stage.bakersPercent),
          null,
        );
  return {
    stages,
    total: formatGrams(rounded.total, { bare: true, weighing }),
    percent: whole === null ? null : bare(formatPercent(whole)),
    unweighed: component.unweighed.length,
    finished:
      finished === undefined || !(finished.lostGrams > 0) ? null : formatGrams(finished.totalGrams, { bare: true, weighing }),
  };
}
