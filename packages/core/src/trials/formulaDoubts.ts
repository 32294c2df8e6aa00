import { type BakeRequest, bakeOfComponent, type OvenSettings, predictBake } from "../bake/index.js";
import { balanceOf } from "../composition/index.js";
import type { Component, Formula } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import type { Band } from "../quantities/index.js";
import { fillingCautions, type NamedTin, resolveTin, tinFilling, tinsOf } from "../tins/index.js";

interface Doubt {
  /** The same doubt about two formulas has the same key. */
  readonly key: string;
  readonly words: string;
}

/**
 * Doubts about a formula that the standard does not raise as well: the tins by their fill, and the ratios that bakers balance a cake by.
 * Both are habits of the trade and no verdict.
 */
export function formulaDoubts(
  formula: Formula,
  standard: Formula,
  book: IngredientBook,
  owned: readonly NamedTin[],
): readonly string[] {
  return beyond(
    formula.components.flatMap((component) => mixDoubts(component, book, owned)),
    standard.components.flatMap((component) => mixDoubts(component, book, owned)),
  );
}

const beyond = (run: readonly Doubt[], standard: readonly Doubt[]): readonly string[] => {
  const known = new Set(standard.map(({ key }) => key));
  return run.filter(({ key }) => !known.has(key)).map(({ words }) => words);
};

function mixDoubts(component: Component, book: IngredientBook, owned: readonly NamedTin[]): readonly Doubt[] {
  const filling = tinFilling(component, book, owned).value;
  const tins =
    filling === undefined
      ? []
      : fillingCautions(filling)
          .filter(({ code }) => code === "does-not-fit" || code === "may-overflow" || code === "shallow")
          .map(({ code, words }) => ({ key: `${component.name} ${code}`, words }));
  const ratios =
    component.kind !== "cake"
      ? []
      : balanceOf(component, book)
          .ratios.filter(({ stands }) => stands === "below" || stands === "above")
          .map(({ name, stands, sentence }) => ({ key: `${component.name} ${name} ${stands}`, words: sentence }));
  return [...tins, ...ratios];
}

export interface BakeJudging {
  readonly owned: readonly NamedTin[];
  /** What is known of the oven by component: a fan, a shelf, what its bake records taught. */
  readonly ovens?: Readonly<Record<string, Partial<OvenSettings>>>;
}

/** How far the bakes are judged. */
export interface JudgedBakes {
  /** Doubts of the bake model on each run, in order; empty for a run that raises none or was not judged. */
  readonly doubts: readonly (readonly string[])[];
  /** Runs judged; fewer than all when it was told to stop. */
  readonly judged: number;
}

/** Planned time against the predicted one, corrected by the standard: below or above is a doubt (assumptions). */
const TOO_SHORT = 0.85;
const TOO_LONG = 1.25;
/** A time whose band is wider than this, upper over lower end, says nothing (assumption). */
const TOO_WIDE = 2;

/**
 * What the bake model doubts about each run of a trial beside the standard: that it rises over the rim, is underdone or overdone at the
 * time and temperature it is to be baked at, is never done, or cannot be told.
 *
 * The standard is known to bake well in its own minutes, so that a run is judged by how much longer or shorter it is predicted to take than
 * the standard: of this the model is surer than of the time itself. On the coarse mesh. A generator that may be told to "stop".
 */
export function* judgeBakes(
  standard: Formula,
  runs: readonly Formula[],
  book: IngredientBook,
  judging: BakeJudging,
): Generator<{ readonly done: number; readonly of: number }, JudgedBakes, "go on" | "stop" | undefined> {
  const predicted = new Map<string, Outlook | undefined>();
  const usual = standard.components.map((component) => outlookOf(component, book, judging, predicted));
  const doubts: (readonly string[])[] = [];
  for (const run of runs) {
    doubts.push(
      run.components.flatMap((component, index) => {
        const outlook = outlookOf(component, book, judging, predicted);
        const before = standard.components[index]?.name === component.name ? usual[index] : undefined;
        return outlook === undefined
          ? []
          : beyond(bakeDoubts(outlook, before), before === undefined ? [] : bakeDoubts(before, before));
      }),
    );
    if ((yield { done: doubts.length, of: runs.length }) === "stop") break;
  }
  const judged = doubts.length;
  while (doubts.length < runs.length) doubts.push([]);
  return { doubts, judged };
}

/** How one component is predicted to bake, and for how long it is to be baked. */
interface Outlook {
  readonly component: string;
  readonly plannedSeconds?: number;
  readonly outcome: "baked" | "never-done" | "stopped" | "cannot be predicted";
  readonly doneSeconds: Band;
  readonly cautions: readonly string[];
}

function outlookOf(
  component: Component,
  book: IngredientBook,
  { owned, ovens }: BakeJudging,
  predicted: Map<string, Outlook | undefined>,
): Outlook | undefined {
  const { bake } = component;
  const first = component.tins?.[0];
  if (bake === undefined || first === undefined) return undefined;
  const tin = resolveTin(first.tin, owned).value;
  if (tin === undefined) return undefined;
  const tinCount = tinsOf(component, owned).value.reduce((sum, { count }) => sum + count, 0);
  const made = bakeOfComponent(component, book, {
    tin,
    tinCount,
    oven: { ...ovens?.[component.name], setC: bake.ovenC, fan: bake.fan ?? false },
    accuracy: "coarse",
  });
  const planned = bake.minutes === undefined ? {} : { plannedSeconds: 60 * bake.minutes };
  const name = component.name;
  if (!made.ok)
    return {
      component: name,
      ...planned,
      outcome: "cannot be predicted",
      doneSeconds: { likely: 0, from: 0, to: 0 },
      cautions: made.error.map(({ expected, found }) => `${name}: expected ${expected}, found ${found}.`),
    };
  // The time at which it comes out does not change when it is done: runs that differ in nothing else are predicted once.
  const key = JSON.stringify([name, made.value]);
  if (!predicted.has(key)) predicted.set(key, predictedOutlook(name, made.value));
  return { ...predicted.get(key)!, ...planned };
}

function predictedOutlook(component: string, request: BakeRequest): Outlook {
  const { outcome, doneSeconds, cautions } = predictBake(request);
  return { component, outcome, doneSeconds, cautions: cautions.filter((caution) => !/Salmonella/.test(caution)) };
}

function bakeDoubts(run: Outlook, standard: Outlook | undefined): readonly Doubt[] {
  const { component, outcome, doneSeconds, cautions, plannedSeconds } = run;
  const doubts: Doubt[] = cautions.map((words) => ({ key: `${component} ${words.replace(/[\d.]+/g, "")}`, words }));
  if (outcome === "cannot be predicted") return doubts;
  if (outcome === "never-done") {
    doubts.push({ key: `${component} never`, words: `${component} is not predicted to be done at all at this oven.` });
    return doubts;
  }
  if (doneSeconds.to > TOO_WIDE * doneSeconds.from)
    doubts.push({
      key: `${component} wide`,
      words: `How long ${component} takes cannot be told beforehand: between ${minutes(doneSeconds.from)} and ${minutes(doneSeconds.to)} min.`,
    });
  if (plannedSeconds === undefined) return doubts;
  const trusted = standard?.outcome === "baked" && standard.plannedSeconds !== undefined;
  const likely = trusted ? doneSeconds.likely * (standard.plannedSeconds! / standard.doneSeconds.likely) : doneSeconds.likely;
  const [least, most] = trusted ? [TOO_SHORT * likely, TOO_LONG * likely] : [doneSeconds.from, doneSeconds.to];
  const beside = trusted
    ? `; beside the standard it is predicted to take about ${minutes(likely)} min`
    : `; about ${minutes(likely)} min are predicted`;
  if (plannedSeconds < least)
    doubts.push({ key: `${component} short`, words: `${minutes(plannedSeconds)} min look too short for ${component}${beside}.` });
  if (plannedSeconds > most)
    doubts.push({ key: `${component} long`, words: `${minutes(plannedSeconds)} min look too long for ${component}${beside}.` });
  return doubts;
}

const minutes = (seconds: number): string => String(Math.round(seconds / 60));
