/** How long one line may be; the rest of a longer one is not read, and that is said. A recipe line has under 200 characters. */
export const LINE_LENGTH_MAX = 1000;
/** How many lines are read. */
export const LINE_COUNT_MAX = 2000;

const VULGAR: Readonly<Record<string, string>> = {
  "¼": "1/4",
  "½": "1/2",
  "¾": "3/4",
  "⅐": "1/7",
  "⅑": "1/9",
  "⅒": "1/10",
  "⅓": "1/3",
  "⅔": "2/3",
  "⅕": "1/5",
  "⅖": "2/5",
  "⅗": "3/5",
  "⅘": "4/5",
  "⅙": "1/6",
  "⅚": "5/6",
  "⅛": "1/8",
  "⅜": "3/8",
  "⅝": "5/8",
  "⅞": "7/8",
  "↉": "0",
};

const ENTITIES: Readonly<Record<string, string>> = {
  "&nbsp;": " ",
  "&amp;": "&",
  "&frac12;": " 1/2",
  "&frac14;": " 1/4",
  "&frac34;": " 3/4",
  "&quot;": '"',
  "&#39;": "'",
  "&rsquo;": "'",
  "&ndash;": "-",
  "&mdash;": " - ",
  "&deg;": "°",
  "&times;": " x ",
  "&eacute;": "é",
  "&egrave;": "è",
  "&ucirc;": "û",
};

/** True where nothing needs tidying: the plain characters of a typewriter. */
const PLAIN = /^[\x20-\x7e]*$/;

/**
 * One line with its hidden and odd characters replaced by what they look like: every kind of space, full-width digits,
 * "½" as " 1/2", curly quotes, dashes, "×". Tabs stay, since they part columns. The line keeps its meaning and not its length.
 */
export function tidy(line: string): string {
  let text = line;
  if (!(PLAIN.test(text) && !text.includes("&"))) {
    text = text
      .replace(/\p{Cf}|\p{Variation_Selector}|\u034F/gu, "")
      .replace(
        /&(?:nbsp|amp|frac12|frac14|frac34|quot|#39|rsquo|ndash|mdash|deg|times|eacute|egrave|ucirc);/g,
        (e) => ENTITIES[e] ?? e,
      )
      .replace(/[¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞↉]/g, (c) => ` ${VULGAR[c] ?? c} `)
      .replace(/℔/g, " lb ")
      .replace(/[×✕✖╳]/g, " x ")
      .normalize("NFKC")
      .replace(/\u2044|\u2215/g, "/")
      .replace(/[‘’‚‛′´`]/g, "'")
      .replace(/[“”„‟″]/g, '"')
      .replace(/\s?[—―]\s?/g, " - ")
      .replace(/[‐‑‒–−]/g, "-")
      .replace(/…/g, "...")
      .replace(/(?!\t)\p{Cc}/gu, "")
      .replace(/[\u1680\u2000-\u200A\u2028\u2029\u202F\u205F\u3000\u00A0]/g, " ")
      // Two combining marks and more on one letter are decoration or attack, never a name.
      .replace(/\p{M}{2,}/gu, "");
  }
  return text
    .replace(/\.{3,}/g, "  ")
    .replace(/_{3,}/g, "  ")
    .replace(/[ ]+$/, "");
}

const ACCENTS = /\p{M}/gu;

/** Lower case without accents, for comparing words. */
export function fold(text: string): string {
  const lower = text.toLowerCase();
  return PLAIN.test(lower) ? lower : lower.replace(/ß/g, "ss").replace(/œ/g, "oe").normalize("NFD").replace(ACCENTS, "");
}

/** A line without what stands before its text: bullet, check box, number of the line, signs of bold and of a heading. */
export interface Stripped {
  readonly text: string;
  /** It was set as a heading: "## Icing", "**Icing**". */
  readonly marked: boolean;
  /** "1." before it. */
  readonly ordinal?: number;
  /** A hyphen stood close to the number: "-200 g"; a bullet more likely than a negative weight. */
  readonly closeHyphen: boolean;
}

// Any sign that cannot begin an amount or a name is a bullet: stars, boxes, arrows, pictures. A hyphen only before a space.
const BULLET = /^(?:\[[ xX✓✔]?\]|\(\s?\)|-+(?=\s)|\+(?=\s)|[oO·](?=\s{2,})|[^\p{L}\p{N}\s(~#.\-+"'[<|]+)\s*/u;

/** Takes the marks before a line away. `text` has been through `tidy`. */
export function stripMarks(line: string): Stripped {
  let text = line.trim();
  let marked = false;
  let ordinal: number | undefined;
  let closeHyphen = false;
  const hash = /^#{1,6}\s*/.exec(text);
  if (hash !== null) {
    marked = true;
    text = text.slice(hash[0].length).replace(/\s*#+$/, "");
  }
  const bold = /^(?:\*\*|__)(.{1,120}?)(?:\*\*|__)\s*:?\s*$/.exec(text);
  if (bold !== null) marked = true;
  text = text.replace(/\*\*|__/g, "");
  if (/^[*_][^*_]{1,120}[*_]$/.test(text)) text = text.slice(1, -1);
  text = text.replace(/<\/?(?:li|ul|ol|p|b|strong|em|i|br|span|div|td|tr|h[1-6])\s?\/?>/gi, " ").trim();
  for (let turn = 0; turn < 4; turn += 1) {
    const bullet = BULLET.exec(text);
    if (bullet === null) break;
    text = text.slice(bullet[0].length);
  }
  if (/^-\s?[\dA-Za-z]/.test(text)) {
    closeHyphen = /^-\d/.test(text);
    text = text.slice(1).trim();
  }
  // "1. Butter", "2) 200 g flour"; not "1.5 kg".
  const number = /^\(?(\d{1,2})(?:[.):]\s+|\)\s*|[.:](?=[A-Za-z]))(?=\S)/.exec(text);
  if (number !== null) {
    ordinal = Number(number[1]);
    text = text.slice(number[0].length);
    const box = BULLET.exec(text);
    if (box !== null) text = text.slice(box[0].length);
  }
  return ordinal === undefined ? { text, marked, closeHyphen } : { text, marked, ordinal, closeHyphen };
}

/** Letters that a scanner or a hurried hand puts for digits: "25O g", "2OOg", "l00 g". Gives the line with digits, and what it mended. */
export function mendDigits(line: string): { readonly text: string; readonly mended?: string } {
  let mended: string | undefined;
  // "200gcaster sugar": the space was lost
  const parted = line.replace(
    /(\d)(g|kg|ml|oz|lb)(?=(?:cast[eo]r|plain|self|sr|icing|granulated|demerara|butter|unsalted|salted|soft|sugar|flour|milk|cream|cocoa|dark|white|ground|sultanas|raisins|currants|almonds|walnuts|double|single|whole|cold|strong|golden|light|honey|dates)\b)/gi,
    "$1$2 ",
  );
  const text = parted.replace(
    /(?<![A-Za-z\d])(?:[lIO]\d{2,3}|\d{1,3}[oOlI]{1,2}|\d[oO]\d)(?=\s?(?:g|kg|ml|oz|grams?)(?![A-Za-z]))/g,
    (found) => {
      mended = found;
      return found.replace(/[oO]/g, "0").replace(/[lI]/g, "1");
    },
  );
  return mended === undefined ? { text } : { text, mended };
}
