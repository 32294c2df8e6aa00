import { type LabelLanguage, labelWords } from "./languages.js";
import type { LawRule } from "./rules.js";
import { ruleOn } from "./rules.js";

export interface Durability {
  readonly kind: "best-before" | "use-by" | "none";
  /** Last day [ISO 8601]; absent while no day of baking is known. */
  readonly date?: string;
  /** As printed: "Use by 28 November 2026"; with a line to fill in while there is no date. */
  readonly text: string;
  readonly because: string;
  readonly rules: readonly LawRule[];
}

export interface DurabilityAsk {
  readonly place: "gb" | "eu" | "us";
  readonly language: LabelLanguage;
  /** Day on which the label is to hold. */
  readonly date: string;
  readonly bakeDate?: string;
  /** Whole days from baking to the last good day, and how it is kept: from the keeping plan or as the baker decided. */
  readonly days: number;
  readonly keptAt: "room" | "chilled";
  readonly because: string;
  /** A ware normally eaten within 24 hours of making. */
  readonly eatenWithin24h?: boolean;
}

/** Longest lives for which a day and a month do, and a month and a year (Annex X, point 1(c)): three and eighteen months, in days. */
const [DAY_MONTH_DAYS, MONTH_YEAR_DAYS] = [92, 548];

/**
 * The date of a label. What has to be kept cold is taken as highly perishable and gets "use by"; the rest "best before", by day
 * up to three months, by month up to eighteen, then by year.
 *
 * The days are an estimate or the baker's; only a test by the baker or a laboratory shows that they hold.
 *
 * Source: Regulation (EU) 1169/2011, Article 24 and Annex X.
 */
export function durabilityOf(ask: DurabilityAsk): Durability {
  const { place, language, date, keptAt, days, because } = ask;
  if (keptAt === "room" && ask.eatenWithin24h === true && place !== "us")
    return {
      kind: "none",
      text: "",
      because: "normally eaten within 24 hours of making: no date needed",
      rules: [ruleOn("date-24h", date)],
    };
  const words = labelWords(language);
  const kind = keptAt === "chilled" ? "use-by" : "best-before";
  const last = ask.bakeDate === undefined ? undefined : addDays(ask.bakeDate, days);
  const rules = [ruleOn(place === "us" ? "us-date" : "date", date)];
  const answer = (text: string): Durability => ({ kind, ...(last === undefined ? {} : { date: last }), text, because, rules });
  if (place === "us")
    return answer(`${kind === "use-by" ? "Use by" : "Best if used by"} ${last === undefined ? "________" : usDate(last)}`);
  if (last === undefined) return answer(`${kind === "use-by" ? words.useBy : words.bestBefore} ________`);
  const [year, month] = [last.slice(0, 4), words.months[Number(last.slice(5, 7)) - 1]!];
  if (kind === "use-by") return answer(`${words.useBy} ${dayText(last, language)}`);
  if (days <= DAY_MONTH_DAYS) return answer(`${words.bestBefore} ${dayText(last, language)}`);
  return answer(days <= MONTH_YEAR_DAYS ? `${words.bestBeforeEnd} ${month} ${year}` : `${words.bestBeforeEnd} ${year}`);
}

/** "28 November 2026": day, month and year in that order and uncoded, which may be more than asked for and never less. */
function dayText(date: string, language: LabelLanguage): string {
  const [year, month, day] = [
    date.slice(0, 4),
    labelWords(language).months[Number(date.slice(5, 7)) - 1]!,
    Number(date.slice(8, 10)),
  ];
  if (language === "de") return `${day}. ${month} ${year}`;
  return language === "es" ? `${day} de ${month} de ${year}` : `${day} ${month} ${year}`;
}

const usDate = (date: string) =>
  `${labelWords("en").months[Number(date.slice(5, 7)) - 1]!.slice(0, 3)} ${Number(date.slice(8, 10))}, ${date.slice(0, 4)}`;

/** Calendar date some whole days later, by UTC, so that no change of the clock moves it. @throws RangeError for what is no date */
export function addDays(isoDate: string, days: number): string {
  const start = Date.parse(`${isoDate}T00:00:00Z`);
  if (Number.isNaN(start)) throw new RangeError(`addDays: "${isoDate}" is not a date such as 2026-11-25`);
  return new Date(start + Math.round(days) * 86_400_000).toISOString().slice(0, 10);
}
