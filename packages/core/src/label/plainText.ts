/**
 * Words from outside made fit to be drawn: no control characters, no marks that turn the reading direction (they can make a
 * label read otherwise than it is stored), no halves of letters, no private letters; white space becomes single spaces.
 *
 * @param longest  characters kept; what is longer ends in "…"
 */
export function plainText(words: string, longest = 4000): string {
  const clean = words
    .replace(/[\p{Cc}\u2028\u2029]+/gu, " ")
    .replace(/[\p{Cf}\p{Cs}\p{Co}\p{Cn}]/gu, "")
    .replace(/\s+/g, " ")
    .trim();
  const letters = [...clean];
  return letters.length <= longest ? clean : `${letters.slice(0, longest - 1).join("")}…`;
}

/** Words for HTML, SVG and their attributes; what XML does not allow at all (control characters, halves of letters) is left out. */
export function escapeXml(words: string): string {
  return words
    .replace(/[^\P{Cc}\t\n]|\p{Cs}|[\uFFFE\uFFFF]/gu, "")
    .replaceAll("&", "&amp;")
    .replaceAll("<", "&lt;")
    .replaceAll(">", "&gt;")
    .replaceAll('"', "&quot;")
    .replaceAll("'", "&#39;");
}
