/*
 * Names, notes and methods come from people and from pasted pages. Before anything is drawn they are freed of what no recipe needs
 * and what can mislead: control characters, marks that turn the direction of writing, halves of broken characters.
 */

/** One line of text: control and direction marks become spaces, broken characters the replacement sign, white space is folded. */
export function oneLine(text: string): string {
  return cleaned(text).replaceAll(/\s+/g, " ").trim();
}

/** Text of several lines, each as `oneLine`; empty ones are dropped. */
export function linesOf(text: string): readonly string[] {
  return text
    .split(/\r\n|[\r\n\u0085\u2028\u2029]/)
    .map(oneLine)
    .filter((line) => line !== "");
}

const UNIT = /(?<=[\d½¼¾⅓⅔⅛]) (?=(?:°[CF]|g|kg|ml|l|litre|oz|lb|fl oz|cm|mm|in|tsp|tbsp|cups?|sticks?|min|h|%)(?![a-zà-ÿ]))/g;

/** The same words with a space that does not break between a number and its unit. */
export const heldTogether = (text: string): string => text.replaceAll(UNIT, "\u00a0");

function cleaned(text: string): string {
  let clean = "";
  for (const sign of text) {
    const code = sign.codePointAt(0)!;
    if (isControl(code) || isDirection(code)) clean += " ";
    else clean += isHalf(code) || code === 0xfffe || code === 0xffff ? "\ufffd" : sign;
  }
  return clean;
}

const isControl = (code: number) => code < 0x20 || (code >= 0x7f && code < 0xa0);
const isDirection = (code: number) =>
  code === 0x200e ||
  code === 0x200f ||
  code === 0x061c ||
  (code >= 0x202a && code <= 0x202e) ||
  (code >= 0x2066 && code <= 0x2069);
const isHalf = (code: number) => code >= 0xd800 && code <= 0xdfff;
