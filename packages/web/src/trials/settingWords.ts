import type { Factor, Setting } from "@evencrumb/core/trials";

/** "caster sugar 198 g, oven 170 °C", "butter 60 %, oil 40 %", "revision 3". */
export function settingWords(factors: readonly Factor[], setting: Setting): string {
  return factors
    .map((factor) => {
      const value = setting[factor.name];
      if (value === undefined) return "";
      if (factor.kind === "choice")
        return factor.name === "cake" ? String(value) : factor.name === "shelf" ? `${value} shelf` : `${factor.name}: ${value}`;
      const number = Number(value);
      if (factor.kind === "share") return `${factor.name} ${plain(number * 100, 1)} %`;
      return `${factor.name} ${plain(number, 2)}${factor.unit === undefined ? "" : ` ${factor.unit}`}`;
    })
    .filter((part) => part !== "")
    .join(", ");
}

/** A sentence in which no line breaks between a figure and its unit. */
export const unbroken = (text: string): string => text.replace(/(\d) (?=(mm|g|ml|N|°C|%|points|L\*)(?![\p{L}]))/gu, "$1\u00a0");

/** A chance as it is printed: never a row of noughts. */
export const chance = (p: number): string => (p < 0.0001 ? "less than 0.0001" : String(Number(p.toPrecision(2))));

/** A number without digits that say nothing. */
export const plain = (value: number, digits: number): string => String(Number(value.toFixed(digits)));
