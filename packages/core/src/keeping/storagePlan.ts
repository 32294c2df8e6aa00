import type { Formula } from "../formula/index.js";
import type { KeptAt, Place } from "./keepFormula.js";

export interface PlanStep {
  readonly step: "bake" | "cool" | "wrap" | "freeze" | "thaw" | "fill" | "serve" | "use-by";
  /** ISO 8601 date; absent when no bake date was given. */
  readonly date?: string;
  /** Whole days after baking. */
  readonly day: number;
  readonly words: string;
}

/** Weeks in the freezer for quality: plain cakes 2 to 4 months, iced or filled 1 to 2 (common practice, two extension services). */
const FROZEN_DAYS = { plain: 90, filled: 45 } as const;

/**
 * When to do what, from baking to the last slice, eaten fresh and by way of the freezer.
 *
 * Dates are the bake date plus whole days; nothing here reads a clock.
 */
export function storagePlan(ask: {
  readonly formula: Formula;
  readonly product: { readonly keptAt: KeptAt; readonly days: number };
  readonly chilledNames: readonly string[];
  readonly place: Place;
  readonly bakeDate?: string;
}): readonly PlanStep[] {
  const { product, chilledNames, bakeDate } = ask;
  const isFilled = ask.formula.components.some(({ kind }) => kind === "filling" || kind === "icing");
  const cold = product.keptAt === "chilled";
  const steps: PlanStep[] = [
    { step: "bake", day: 0, words: "Bake." },
    {
      step: "cool",
      day: 0,
      words:
        "Leave in the tin about half an hour, then on a rack until cold all through (common practice; the bake view works out the time).",
    },
    {
      step: "wrap",
      day: 0,
      words: "Wrap only when it is no warmer than the room: a warm cake wets its wrapping, and mould starts there.",
    },
    ...(isFilled
      ? [
          {
            step: "fill" as const,
            day: cold ? 1 : 0,
            words: cold
              ? `Fill with ${chilledNames.join(" and ")} as late as the order allows, and keep cold from then on.`
              : "Fill or ice.",
          },
        ]
      : []),
    {
      step: "serve",
      day: cold ? 1 : 0,
      words: cold ? "Take out half an hour before serving: cold fat is hard." : "Serve at room temperature.",
    },
    {
      step: "use-by",
      day: (cold ? 1 : 0) + product.days,
      words: `Last good day (${product.days} ${product.days === 1 ? "day" : "days"} ${cold ? "from filling, cold" : "wrapped, at room temperature"}).`,
    },
    {
      step: "freeze",
      day: 0,
      words: `Or freeze the same day, unfilled and wrapped tightly, at -18 °C or below; best within three months (quality, not safety; common practice).`,
    },
    {
      step: "thaw",
      day: FROZEN_DAYS.plain,
      words:
        "Thaw wrapped, two to three hours at room temperature or overnight in the cold, so that water settles on the wrapping and not on the cake. Then fill; count the days from there.",
    },
  ];
  return steps.map((step) => (bakeDate === undefined ? step : { ...step, date: addDays(bakeDate, step.day) }));
}

/** Calendar date some days later, by whole days of UTC, so that no change of the clock moves it. */
function addDays(isoDate: string, days: number): string {
  const start = Date.parse(`${isoDate}T00:00:00Z`);
  if (Number.isNaN(start)) throw new RangeError(`storagePlan: "${isoDate}" is not a date such as 2026-11-25`);
  return new Date(start + days * 86_400_000).toISOString().slice(0, 10);
}
