/** Money in whole minor units (pence, cents) of one currency. No fraction of a penny leaves a function. */
export interface Money {
  readonly minor: number;
  /** ISO 4217: "GBP". */
  readonly currency: string;
}

/** Minor units in one major unit for the currencies that do not have a hundred (ISO 4217; from memory). */
const MINOR_PER_MAJOR: Readonly<Record<string, number>> = {
  JPY: 1,
  KRW: 1,
  ISK: 1,
  CLP: 1,
  VND: 1,
  HUF: 100,
  BHD: 1000,
  KWD: 1000,
  JOD: 1000,
  OMR: 1000,
  TND: 1000,
};

export const minorPerMajor = (currency: string): number => MINOR_PER_MAJOR[currency] ?? 100;

/**
 * Rounds exact parts to whole minor units so that they sum to the rounded total (largest remainder). Each part moves by less
 * than one unit, and equal remainders go to the earlier part, so that the same input gives the same bill.
 *
 * @param exact  parts in minor units, finite; may be negative (a refund)
 */
export function roundToMinor(exact: readonly number[]): readonly number[] {
  // A sum of binary fractions a hair below a half is a half: a millionth of a penny decides nothing.
  const total = Math.round(exact.reduce((sum, part) => sum + part, 0) + 1e-9);
  const floors = exact.map((part) => Math.floor(part + 1e-9));
  let left = total - floors.reduce((sum, part) => sum + part, 0);
  const order = exact
    .map((part, index) => ({ index, remainder: part - floors[index]! }))
    .toSorted((one, other) => other.remainder - one.remainder || one.index - other.index);
  const rounded = [...floors];
  for (const { index } of order) {
    if (left <= 0) break;
    rounded[index]! += 1;
    left -= 1;
  }
  // Rounded parts without a fraction can leave a unit over only when the total itself was rounded down.
  for (const { index } of order.toReversed()) {
    if (left >= 0) break;
    rounded[index]! -= 1;
    left += 1;
  }
  return rounded;
}

/** "£12.40", "12.40 SEK": plain, without grouping by place. */
export function formatMoney({ minor, currency }: Money): string {
  const per = minorPerMajor(currency);
  const digits = Math.round(Math.log10(per));
  const amount = (Math.abs(minor) / per).toFixed(digits);
  const sign = minor < 0 ? "−" : "";
  const symbol = { GBP: "£", EUR: "€", USD: "$" }[currency];
  return symbol === undefined ? `${sign}${amount} ${currency}` : `${sign}${symbol}${amount}`;
}
