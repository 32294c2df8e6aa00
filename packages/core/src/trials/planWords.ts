/** How often something will be noticed, as it is said: "about 8 times in ten". */
export const timesInTen = (power: number): string =>
  power >= 0.995
    ? "almost surely"
    : power >= 0.95
      ? "19 times in twenty"
      : power < 0.05
        ? "hardly ever"
        : `about ${Math.max(1, Math.round(power * 10))} times in ten`;

/** A share as it is said: "63 %". */
export const percentWords = (share: number): string => `${Math.round(100 * share)} %`;
