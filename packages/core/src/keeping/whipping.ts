/** Where the fat of a whipped blend stands. */
export interface WhippingVerdict {
  readonly fatPercent: number;
  readonly place: "too-lean" | "lean" | "usual" | "rich" | "too-rich";
  readonly words: string;
}

/**
 * Whether a blend of creams will whip and hold.
 *
 * @param parts  weights [g] and fat [% of the part] of everything in the bowl, sugar and flavour with 0 % fat included
 *
 * From memory of Walstra, Wouters and Geurts, Dairy Science and Technology: below 30 % fat cream does not hold, 35 to 40 % is best,
 * above 45 % it churns easily and gives less volume.
 */
export function whippingVerdict(
  parts: readonly { readonly grams: number; readonly fatPercent: number }[],
): WhippingVerdict | undefined {
  const total = parts.reduce((sum, { grams }) => sum + grams, 0);
  if (!(total > 0)) return undefined;
  const fatPercent = parts.reduce((sum, part) => sum + part.grams * part.fatPercent, 0) / total;
  if (fatPercent < 30) return { fatPercent, place: "too-lean", words: "Below 30 % fat cream does not hold when whipped." };
  if (fatPercent < 35) return { fatPercent, place: "lean", words: "It whips, softly; 35 to 40 % fat holds best." };
  if (fatPercent <= 40) return { fatPercent, place: "usual", words: "35 to 40 % fat holds best." };
  if (fatPercent <= 45) return { fatPercent, place: "rich", words: "Stiff and quick: less volume, stop early." };
  return {
    fatPercent,
    place: "too-rich",
    words: "Above 45 % fat it turns to butter easily and gives less volume: keep it cold and stop early.",
  };
}
