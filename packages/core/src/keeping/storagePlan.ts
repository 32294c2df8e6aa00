import type { Formula } from "../formula/index.js";
import { CHILL_RULE } from "./cautions.js";
import type { KeptAt, Place } from "./keepFormula.js";
import type { FreezerLife } from "./usualDays.js";

export interface PlanStep {
  readonly step: "bake" | "cool" | "wrap" | "freeze" | "thaw" | "fill" | "serve" | "use-by";
  /** Eaten fresh, or by way of the freezer; what comes before the two part belongs to both. */
  readonly path: "both" | "fresh" | "frozen";
  /** ISO 8601 date; absent when no bake date was given. */
  readonly date?: string;
  /** Whole days after baking; on the frozen path after the longest usual time in the freezer. */
  readonly day: number;
  readonly words: string;
}

/**
 * When to do what, from baking to the last slice, eaten fresh and by way of the freezer.
 *
 * Dates are the bake date plus whole days; nothing here reads a clock. How long it keeps is common practice unless a
 * published line or rule sets the limit, which `product.limitedBy` says.
 *
 * @param ask.bakeDate  a date as `isDate` takes it
 */
export function storagePlan(ask: {
  readonly formula: Formula;
  readonly product: {
    readonly keptAt: KeptAt;
    readonly days: number;
    readonly freezer: { readonly plain?: FreezerLife; readonly whole: FreezerLife };
  };
  readonly chilledNames: readonly string[];
  readonly place: Place;
  readonly bakeDate?: string;
}): readonly PlanStep[] {
  const { product, chilledNames, bakeDate, place } = ask;
  const later = ask.formula.components.filter(({ kind }) => kind !== "cake" && kind !== "syrup").map(({ name }) => name);
  const isBaked = ask.formula.components.some(({ kind, bake }) => kind === "cake" || bake !== undefined);
  const cold = product.keptAt === "chilled";
  const days = (count: number) => `${count} ${count === 1 ? "day" : "days"}`;
  // A chilled filling goes in the day after: the cake has to be cold all through first.
  const fillDay = isBaked && cold ? 1 : 0;
  const fillWords = cold
    ? `${isBaked ? "Fill and finish" : "Make"} with ${chilledNames.join(" and ")} as late as the order allows; keep cold from then on, ${CHILL_RULE[place]}.`
    : `Fill and finish with ${later.join(" and ")}.`;
  const serveWords = cold
    ? "Take out half an hour before serving, no longer than the rule allows: cold fat is hard."
    : "Serve at room temperature.";
  const lastWords = `Last good day: ${days(product.days)} ${cold ? "from filling, kept cold" : "wrapped, at room temperature"}.`;
  const finish = (path: "fresh" | "frozen", start: number): readonly PlanStep[] => [
    ...(later.length > 0 ? [{ step: "fill" as const, path, day: start + fillDay, words: fillWords }] : []),
    { step: "serve", path, day: start + fillDay, words: serveWords },
    { step: "use-by", path, day: start + fillDay + product.days, words: lastWords },
  ];
  const steps: PlanStep[] = [
    ...(isBaked ? BAKING : []),
    ...finish("fresh", 0),
    ...(isBaked ? frozen(product.freezer, finish) : []),
  ];
  return steps.map((step) => (bakeDate === undefined ? step : { ...step, date: addDays(bakeDate, step.day) }));
}

const BAKING: readonly PlanStep[] = [
  { step: "bake", path: "both", day: 0, words: "Bake." },
  {
    step: "cool",
    path: "both",
    day: 0,
    words:
      "Leave in the tin about half an hour, then on a rack until cold all through (common practice; the bake view works out the time).",
  },
  {
    step: "wrap",
    path: "both",
    day: 0,
    words: "Wrap only when it is no warmer than the room: a warm cake wets its wrapping, and mould starts there.",
  },
];

function frozen(
  { plain, whole }: { readonly plain?: FreezerLife; readonly whole: FreezerLife },
  finish: (path: "frozen", start: number) => readonly PlanStep[],
): readonly PlanStep[] {
  const life = plain ?? whole;
  if (life.days === undefined) return [];
  return [
    {
      step: "freeze",
      path: "frozen",
      day: 0,
      words: `Or freeze the same day, unfilled and wrapped tightly, at -18 °C or below: ${life.words}. That is for quality; frozen it does not spoil.`,
    },
    {
      step: "thaw",
      path: "frozen",
      day: Math.round(life.days.likely),
      words:
        "Thaw by this day, wrapped, two to three hours at room temperature or overnight in the cold, so that water settles on the wrapping and not on the cake. The days count from here.",
    },
    ...finish("frozen", Math.round(life.days.likely)),
  ];
}

/** Whether text is a calendar date of the years 1900 to 2999, such as 2026-11-25. */
export function isDate(text: string): boolean {
  if (!/^(19|2\d)\d{2}-\d{2}-\d{2}$/.test(text)) return false;
  const time = Date.parse(`${text}T00:00:00Z`);
  // The parser takes 30 February for 2 March: only a date that comes back as it went in is one.
  return !Number.isNaN(time) && new Date(time).toISOString().startsWith(text);
}

/** Calendar date some days later, by whole days of UTC, so that no change of the clock moves it. */
function addDays(isoDate: string, days: number): string {
  return new Date(Date.parse(`${isoDate}T00:00:00Z`) + days * 86_400_000).toISOString().slice(0, 10);
}
