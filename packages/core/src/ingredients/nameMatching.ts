/** Lower case, without accents and apostrophes; hyphens, commas and brackets become spaces; some spellings made one. */
export function foldName(text: string): string {
  const plain = (ASCII.test(text) ? text : unaccented(text))
    .toLowerCase()
    .replace(/['`.]/g, "")
    .replace(/&/g, " and ")
    .replace(/(\d)\s*%/g, "$1")
    .replace(/[^a-z0-9]+/g, " ")
    .trim();
  return plain.replace(/[a-z]+/g, (word) => SPELLINGS.get(word) ?? word);
}

const ASCII = /^[\x20-\x7e]*$/;

function unaccented(text: string): string {
  return text
    .normalize("NFD")
    .replace(/\p{M}+/gu, "")
    .replace(/’/g, "")
    .replace(/œ/gi, "oe")
    .replace(/æ/gi, "ae");
}

// British and US spellings, and words run together, brought to one form before words are compared.
const SPELLINGS: ReadonlyMap<string, string> = new Map([
  ["yogurt", "yoghurt"],
  ["yogourt", "yoghurt"],
  ["yoghourt", "yoghurt"],
  ["soy", "soya"],
  ["gelatin", "gelatine"],
  ["glycerin", "glycerine"],
  ["castor", "caster"],
  ["confectioner", "confectioners"],
  ["pasteurized", "pasteurised"],
  ["alkalized", "alkalised"],
  ["crystallized", "crystallised"],
  ["selfraising", "self raising"],
  ["wholewheat", "whole wheat"],
  ["wholegrain", "whole grain"],
  ["muscavado", "muscovado"],
  ["tinned", "canned"],
  ["choc", "chocolate"],
  ["marg", "margarine"],
  ["veg", "vegetable"],
]);

const SMALL_WORDS = new Set(["of", "the", "a", "an", "and", "or", "with", "in", "for"]);

/** The words of a folded name that tell something. Keeps a small word only when there is no other. */
export function tokensOf(folded: string): readonly string[] {
  const all = folded.split(" ").filter((token) => token !== "");
  const telling = all.filter((token) => !SMALL_WORDS.has(token));
  return telling.length > 0 ? telling : all;
}

/** A word without its plural ending: berries, tomatoes, halves, eggs. Rough, but the same for both sides of a comparison. */
export function stemOf(token: string): string {
  if (token.length > 4 && token.endsWith("ies")) return `${token.slice(0, -3)}y`;
  if (token.length > 4 && token.endsWith("ves")) return `${token.slice(0, -3)}f`;
  if (token.length > 4 && /(?:[sx]es|ches|shes|oes)$/.test(token)) return token.slice(0, -2);
  if (token.length > 3 && token.endsWith("s") && !/(?:ss|us|is)$/.test(token)) return token.slice(0, -1);
  return token;
}

/**
 * The least number of typing mistakes between two words: a letter added, left out, changed, or two neighbours swapped
 * (Damerau-Levenshtein, optimal string alignment).
 *
 * @param most  the search stops there; a distance beyond it comes back as `most + 1`
 */
export function editDistance(a: string, b: string, most: number): number {
  const [m, n] = [a.length, b.length];
  if (Math.abs(m - n) > most || m > MOST_LETTERS || n > MOST_LETTERS) return most + 1;
  let [before, last, row] = rows;
  for (let j = 0; j <= n; j++) last[j] = j;
  for (let i = 1; i <= m; i++) {
    row[0] = i;
    let least = i;
    const letter = a.charCodeAt(i - 1);
    for (let j = 1; j <= n; j++) {
      const same = letter === b.charCodeAt(j - 1) ? 0 : 1;
      let cost = Math.min(last[j]! + 1, row[j - 1]! + 1, last[j - 1]! + same);
      if (i > 1 && j > 1 && letter === b.charCodeAt(j - 2) && a.charCodeAt(i - 2) === b.charCodeAt(j - 1)) {
        cost = Math.min(cost, before[j - 2]! + 1);
      }
      row[j] = cost;
      if (cost < least) least = cost;
    }
    if (least > most) return most + 1;
    [before, last, row] = [last, row, before];
  }
  return Math.min(last[n]!, most + 1);
}

const MOST_LETTERS = 200;
// Three rows of the table, kept between calls: a search compares a word with a thousand others. No call runs inside another.
const rows: readonly [Uint8Array, Uint8Array, Uint8Array] = [
  new Uint8Array(MOST_LETTERS + 1),
  new Uint8Array(MOST_LETTERS + 1),
  new Uint8Array(MOST_LETTERS + 1),
];

/** Which letters and digits a word has, one bit each (digits share one): words whose sets differ a lot need not be compared. */
export function letterSet(word: string): number {
  let set = 0;
  for (let at = 0; at < word.length; at++) {
    const letter = word.charCodeAt(at) - 97;
    set |= letter >= 0 && letter < 26 ? 1 << letter : 1 << 26;
  }
  return set;
}

/** How many letters are in one set and not in the other; one typing mistake changes it by 2 at most. */
export function letterDifference(a: number, b: number): number {
  let bits = a ^ b;
  let count = 0;
  for (; bits !== 0; count++) bits &= bits - 1;
  return count;
}

/** A kebab-case id from a name: "Crème fraîche, full fat" becomes "creme-fraiche-full-fat". At most 80 characters. */
export function slugOf(name: string): string {
  return name
    .normalize("NFD")
    .replace(/\p{M}+/gu, "")
    .toLowerCase()
    .replace(/['’]/g, "")
    .replace(/[^a-z0-9]+/g, "-")
    .slice(0, 80)
    .replace(/^-+|-+$/g, "");
}
