import { FOR_THE_BENCH } from "./benchWords.js";
import { isWeighed } from "./pairedWeight.js";
import { type Measured, quantityAt } from "./quantity.js";
import { tokenise } from "./tokens.js";

/**
 * The second look at a line. What was read as its amount is taken out by then; a number that is still left in the remarks is either one
 * of the kinds below, which weigh nothing, or an amount that nobody has counted. The first look knows what amounts look like; this one
 * knows only what is harmless, so that what neither of them has met is asked about and not passed over.
 */

/** Numbers that say how, where and how hot, and weigh nothing. */
const HARMLESS: readonly RegExp[] = [
  // percent of cocoa or fat, strength, temperatures, times, lengths
  /\d\s*(?:%|percent|per cent|degrees?|deg|proof|bloom)(?![a-z])/i,
  /\d\s*°/,
  /\b\d{2,3}\s?[CF]\b/,
  /\d\s?-?(?:min|mins|minutes?|hours?|hrs?|seconds?|secs?|days?|weeks?|months?|nights?)\b/i,
  /\d\s?-?(?:cm|mm|inch|inches|in|")(?![a-z])/i,
  // pieces it is cut into, times it is done, where to look
  /\b(?:in|into)\s+(?:about\s+|roughly\s+)?(?:\d|two|three|four|six|eight)/i,
  /\b(?:two|three|four|\d)\s+times\b|\btwice\b|\bonce\b/i,
  /\b(?:page|p\.?|pp\.?|step|note|notes|recipe|see|no\.?|number|size|type|grade|stage|method|part|step)\s*#?\d/i,
  /\bT\s?\d{2,3}\b|\bE\s?\d{3}\b/,
  // so much of another line of the list: "tossed in 1 tbsp of the flour"
  /\b(?:in|with)\b.*\d.*\bof the\b/i,
  // yields and money
  /\b(?:serves|makes|feeds|yields?|for)\s+(?:about\s+)?\d+(?:\s?-\s?\d+)?\s*(?:people|persons|servings|portions|slices|cakes?|layers?|cupcakes|muffins|bars|biscuits)?$/i,
  /[£$€]\s?\d|\d\s?p\b/,
];

/** "about 6", "2 lemons", "1 pack", "roughly 3 medium carrots": the same amount once more, by the piece. */
const BY_THE_PIECE =
  /^(?:(?:about|approx\.?|approximately|roughly|around|from|ie|i\.e\.|=|~|that'?s|it'?s|say|or so)\s*){0,2}(?:\d+(?:(?:\s*(?:to|or|-|\/)\s*|[ .])\d+)*|one|two|three|four|five|six|half)\s*(?:(?:small|medium|large|big|ripe|whole|good|heaped|level|average)(?:-sized)?\s*)*(?:[a-z]+\s?){0,2}$/i;

const ANOTHER =
  /\b(?:same (?:amount|weight|quantity)|the same of|equal (?:weight|amount|quantity)|ditto|(?:its|their|the) weight (?:of|in)|double the|twice the|half as much|as much (?:of|again))\b/i;

/** Verbs by which part of the amount is taken away again. */
const TAKEN_AWAY =
  /\b(?:keep|reserve|hold|set|save|put|leave|take)\b.*\b(?:back|aside|for|by|out|off)\b|\bof which\b|\bless\b|\bminus\b/i;

/**
 * What in the remarks of a line may change its amount and was not counted.
 *
 * @param note  remarks, parted by commas, as they stood
 * @param amount  what was read as the amount: beside a weight, a number of pieces is the same again; beside a number of pieces it is not
 * @returns  why the baker has to say, or nothing
 */
export function uncounted(note: string, amount: Measured): string | undefined {
  if (note === "") return undefined;
  const another = ANOTHER.exec(note);
  if (another !== null) return `the line speaks of a second amount: "${another[0]}"`;
  for (const piece of note.split(/\s*[,;()]\s*/)) {
    if (FOR_THE_BENCH.test(piece) && !TAKEN_AWAY.test(piece)) continue;
    const part = /\b(?:one|two|three|four|half|\d+)\b/i.test(piece) && /\b(?:only|whites?|yolks?)\b/i.test(piece);
    if (part && amount.kind === "count") return `"${piece}" may mean that only a part is used`;
    if (!/\d/.test(piece)) continue;
    if (TAKEN_AWAY.test(piece)) return `"${piece}" may take away from the amount`;
    if (HARMLESS.some((one) => one.test(piece))) continue;
    const weighed = amount.kind === "mass" || amount.kind === "volume";
    if (
      weighed &&
      BY_THE_PIECE.test(
        piece
          .replace(/[!.?]+$/, "")
          .replace(/\b(no|nos|pcs?)\.?\s*$/i, "")
          .trim(),
      ) &&
      !holdsWeight(piece)
    )
      continue;
    return `the number in "${piece}" was not counted`;
  }
  return undefined;
}

/** "300 g icing sugar (200 g for the buttercream, 100 g for the glaze)": the parts of the amount, and nothing more. */
export function splitsUp(note: string, amount: Measured): boolean {
  if (amount.kind !== "mass" || !/\d/.test(note)) return false;
  const tokens = tokenise(note);
  let sum = 0;
  let count = 0;
  for (let at = 0; at < tokens.length; at += 1) {
    const part = tokens[at].kind === "number" ? quantityAt(tokens, at) : undefined;
    if (part === undefined || part.value.measured.kind !== "mass") continue;
    sum += part.value.measured.grams.high;
    count += 1;
    at = part.next - 1;
  }
  return count > 1 && Math.abs(sum / amount.grams.high - 1) < 0.02;
}

function holdsWeight(piece: string): boolean {
  const tokens = tokenise(piece);
  return tokens.some((token, at) => {
    const amount = token.kind === "number" ? quantityAt(tokens, at) : undefined;
    return amount !== undefined && isWeighed(amount.value);
  });
}
