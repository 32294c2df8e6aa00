/** A piece of a line: a number as written, a word, or one sign. `start` and `end` are places in the line. */
export interface Token {
  readonly kind: "number" | "word" | "sign";
  /** As written; words in lower case. */
  readonly text: string;
  /** Words as written, since "T" and "t" differ. */
  readonly raw: string;
  readonly start: number;
  readonly end: number;
  /** White space stood before it. */
  readonly spaced: boolean;
}

const isDigit = (code: number) => code >= 48 && code <= 57;
const WORD = /[\p{L}\p{M}']/u;

/** Cuts a tidied line. One pass, so that a long line costs what its length says. */
export function tokenise(line: string): Token[] {
  const tokens: Token[] = [];
  let at = 0;
  let spaced = false;
  while (at < line.length) {
    const char = line[at];
    if (char === " " || char === "\t") {
      spaced = true;
      at += 1;
      continue;
    }
    const start = at;
    let kind: Token["kind"] = "sign";
    if (isDigit(line.charCodeAt(at)) || (char === "." && isDigit(line.charCodeAt(at + 1)))) {
      kind = "number";
      while (
        isDigit(line.charCodeAt(at)) ||
        ((line[at] === "." || line[at] === "," || line[at] === "'") && isDigit(line.charCodeAt(at + 1)) && line[at] !== "'")
      )
        at += 1;
    } else if (WORD.test(char)) {
      kind = "word";
      while (at < line.length && WORD.test(line[at])) at += 1;
    } else {
      // A sign outside the basic plane is two units long and must not be cut in two.
      at += line.codePointAt(at)! > 0xffff ? 2 : 1;
    }
    const raw = line.slice(start, at);
    tokens.push({ kind, text: kind === "word" ? raw.toLowerCase() : raw, raw, start, end: at, spaced });
    spaced = false;
  }
  return tokens;
}
