import { celsiusFromFahrenheit, fahrenheitFromCelsius, formatFraction } from "../quantities/index.js";
import type { ReaderMeasures } from "./amounts.js";
import { inchWords } from "./readerTin.js";

/*
 * The baker's own words stay as they are; behind a temperature, a length or a weight in them stands the same in the reader's units. Each
 * expression is anchored on digits and takes a bounded number of characters, so no text makes it slow.
 */

const NUMBER = String.raw`[−-]?\d{1,4}(?:\.\d{1,2})?`;
const TO = String.raw`\s{0,2}(?:-|–|to|and)\s{0,2}`;
/** A conversion that the baker has written already: "180 °C (350 °F)", "180 °C/350 °F", "180C, 350F". */
const SAID = (unit: string) => String.raw`(?!\s{0,2}[(/,]?\s{0,2}${NUMBER}\s{0,2}(?:°|º|degrees?)?\s{0,2}${unit}\b)`;
const DEGREES = String.raw`\s{0,2}(?:°|º|degrees?)\s{0,2}`;

const CELSIUS = new RegExp(
  String.raw`(?<![\d.,])(${NUMBER})(?:(?:${DEGREES}C)?${TO}(${NUMBER}))?(?:${DEGREES}C(?:elsius)?\b|C\b)${SAID("F")}`,
  "g",
);
const FAHRENHEIT = new RegExp(
  String.raw`(?<![\d.,])(${NUMBER})(?:(?:${DEGREES}F)?${TO}(${NUMBER}))?(?:${DEGREES}F(?:ahrenheit)?\b|F\b)${SAID("C")}`,
  "g",
);
const LENGTH = /(?<![\d.,x×])(\d{1,3}(?:\.\d)?)\s{0,2}(cm|mm)\b(?!\s{0,2}[(/]\s{0,2}[\d½¼¾])/g;

const WEIGHT = new RegExp(
  String.raw`(?<![\d.,])(\d{1,5}(?:\.\d)?)(?:\s{0,2}g?${TO}(\d{1,5}(?:\.\d)?))?\s{0,2}g\b(?!\s{0,2}[(/]\s{0,2}[\d½¼¾])`,
  "g",
);
const GRAMS_PER_OUNCE = 28.349523125;

/** "to 40 °C, then" becomes "to 40 °C (104 °F), then" for readers of Fahrenheit; "take 2 cm" becomes "take 2 cm (¾ in)". */
export function forReader(text: string, measures: ReaderMeasures): string {
  if (measures === "metric") {
    return text.replaceAll(FAHRENHEIT, (whole, from: string, to: string | undefined) => {
      return `${whole} (${range(from, to, (value) => Math.round(celsiusFromFahrenheit(value)))} °C)`;
    });
  }
  return text
    .replaceAll(CELSIUS, (whole, from: string, to: string | undefined) => {
      return `${whole} (${range(from, to, (value) => Math.round(fahrenheitFromCelsius(value)))} °F)`;
    })
    .replaceAll(LENGTH, (whole, size: string, unit: string) => {
      const mm = Number(size) * (unit === "cm" ? 10 : 1);
      // A millimetre or two in inches is no help.
      return mm < 6 ? whole : `${whole} (${inchWords(mm / 25.4)} in)`;
    })
    .replaceAll(WEIGHT, (whole, from: string, to: string | undefined) => {
      // Below half an ounce a quarter of one says nothing.
      if (Number(from) < 14) return whole;
      const ounces = [from, ...(to === undefined ? [] : [to])].map((one) => formatFraction(Number(one) / GRAMS_PER_OUNCE));
      return `${whole} (${ounces.join(" to ")} oz)`;
    });
}

function range(from: string, to: string | undefined, convert: (value: number) => number): string {
  const [first, last] = [convert(numberIn(from)), to === undefined ? undefined : convert(numberIn(to))];
  const written = (value: number) => (value < 0 ? `−${-value}` : String(value));
  return last === undefined ? written(first) : `${written(first)} to ${written(last)}`;
}

const numberIn = (text: string) => Number(text.replace("−", "-"));
