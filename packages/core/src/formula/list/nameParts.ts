import type { LineContext } from "./lineReading.js";
import { findExactly, findMixedName, type NameMatch, nameKey } from "./names.js";
import { PREPARATION_WORDS } from "./tradeNames.js";

/** Pulls brackets out of a text. */
export function pullBrackets(text: string): { readonly plain: string; readonly brackets: readonly string[] } {
  const brackets: string[] = [];
  let plain = "";
  let at = 0;
  while (at < text.length) {
    const open = text.indexOf("(", at);
    const square = text.indexOf("[", at);
    const from = open < 0 ? square : square < 0 ? open : Math.min(open, square);
    if (from < 0) {
      plain += text.slice(at);
      break;
    }
    const close = text.indexOf(text[from] === "(" ? ")" : "]", from + 1);
    const to = close < 0 ? text.length : close;
    plain += `${text.slice(at, from)} `;
    const inside = text.slice(from + 1, to).trim();
    if (inside !== "") brackets.push(inside);
    at = to + 1;
  }
  return { plain: plain.replace(/[)\]]/g, " "), brackets };
}

/** Where the name ends and the remarks begin. */
const NOTE_START = new RegExp(
  [
    String.raw`\s*[,;]\s*`,
    String.raw`\s+-\s+`,
    String.raw`\s+\.\s`,
    String.raw`(?<=[a-z]{3})\.\s+`,
    String.raw`\s*\*+`,
    String.raw`\s+(?=plus\b)`,
    String.raw`\s+(?=(?:less|minus)\s+\d)`,
    String.raw`\s+(?=for\s)`,
    String.raw`\s+(?=in (?:a little|some|a splash)\b)`,
    String.raw`\s+(?=\+)`,
    String.raw`\s+(?=&?\s?extra (?:for|to)\b)`,
    String.raw`\s+(?=and (?:extra|more|a little|some)\b)`,
    String.raw`\s+(?=or (?:to taste|more|less|so|as needed|enough)\b)`,
    String.raw`\s+(?=(?:for|to) (?:the |your )?(?:dust|greas|serv|tast|decorat|finish|roll|knead|brush|sprinkl|coat|lin(?:e|ing)\b|drizzl|top\b|topping|flour|glaz|garnish|fry|mix\b|bind|cover|spread|sandwich|fill\b|filling|tin|pan|work|make|loosen|thin|whip|fold|soak|caramel|poach|cook))`,
    String.raw`\s+(?=at room|room temp|straight from|as needed|if needed|if using|if you|if desired|such as|e\.g\.|eg |i\.e\.|optional|to taste|until |cut |broken |torn |see |about |approx|each\b|at \d|weighing |from |mixed with |mixed in|dissolved |soaked |blended |combined |made with |made from |with |without |according|depending|whichever|i use|i used|preferably|ideally|left|that |which |when |weighed|measured|divided|separated|softened|melted|sifted|sieved|warmed|cooled|lightly beaten|finely |roughly |coarsely |very |well |then |please)`,
  ].join("|"),
  "i",
);

export interface NameParts {
  /** What stands before the first remark. */
  readonly head: string;
  /** The remarks, in order. */
  readonly notes: readonly string[];
  readonly brackets: readonly string[];
}

export function splitName(rest: string): NameParts {
  const { plain, brackets } = pullBrackets(rest);
  const text = plain
    .replace(/\s+/g, " ")
    .trim()
    .replace(/^(?:of|x|:|-|=|\.)\s+/i, "")
    .replace(/[.:;,\s]+$/, "");
  const cut = NOTE_START.exec(text);
  if (cut === null || (cut.index === 0 && cut[0].length === 0)) return { head: text, notes: [], brackets };
  if (cut.index === 0) {
    // A remark word opens the name: "finely grated carrot", "very ripe bananas"
    const later = NOTE_START.exec(text.slice(1).replace(/^\S*/, ""));
    const skipped = text.length - text.slice(1).replace(/^\S*/, "").length;
    if (later === null) return { head: text, notes: [], brackets };
    const at = skipped + later.index;
    return { head: text.slice(0, at).trim(), notes: partsOf(text.slice(at + later[0].length)), brackets };
  }
  return { head: text.slice(0, cut.index).trim(), notes: partsOf(text.slice(cut.index + cut[0].length)), brackets };
}

const partsOf = (text: string): readonly string[] =>
  text
    .split(/\s*[,;]\s*/)
    .map((one) => one.trim())
    .filter((one) => one !== "");

export interface BestMatch {
  readonly found: NameMatch;
  /** The words that were matched. */
  readonly phrase: string;
  /** The name was not met in full. */
  readonly leftover: boolean;
  /** Notes with what became part of the name taken out. */
  readonly notes: readonly string[];
}

export const isPreparation = (words: string) =>
  nameKey(words)
    .split(" ")
    .every((word) => PREPARATION_WORDS.has(word) || PREPARATION_WORDS.has(`${word}s`));

export const look = (phrase: string, { book, evidence }: Pick<LineContext, "book" | "evidence">): NameMatch =>
  findMixedName(phrase, book, evidence.region, evidence.mixed && !evidence.australian);

const RANK = { sure: 3, taken: 2, ask: 1, unknown: 0 } as const;

/** The best reading of a name with what follows it: "sugar, caster", "butter (unsalted)", "cream, double, whipped". */
export function bestMatch(parts: NameParts, context: LineContext): BestMatch {
  const { head, notes, brackets } = parts;
  const found = look(head, context);
  const leftoverOf = (match: NameMatch) =>
    match.certainty === "unknown" || /not understood|not in the book; is it/.test(match.why ?? "");
  let best: BestMatch = { found, phrase: head, leftover: leftoverOf(found), notes };
  if (head === "") return best;
  // "almonds, blanched", "whole egg (pasteurised)": a remark that with the name is the name of another ingredient
  const remarks = [...notes.slice(0, 2), ...brackets.slice(0, 2)].filter((remark) => /^[a-z-]+(?: [a-z-]+)?$/i.test(remark));
  for (const remark of remarks) {
    // "butter, softened" stays what it is; "cherries, pitted" settles which they are
    if (found.certainty !== "ask" && isPreparation(remark)) continue;
    for (const noun of new Set([head, head.replace(/^(?:whole|fresh|large|medium|small|ripe|good)\s+/i, "")])) {
      const named = findExactly(`${remark} ${noun}`, context.book, context.evidence.region);
      if (named === undefined || named.certainty === "ask" || named.ids[0] === undefined) continue;
      if (found.ids[0] === named.ids[0] && found.certainty !== "ask") continue;
      return { found: named, phrase: `${remark} ${noun}`, leftover: false, notes: notes.filter((note) => note !== remark) };
    }
  }
  if (found.certainty === "sure") return best;
  const extras: { words: string; notes: readonly string[] }[] = [];
  notes.slice(0, 2).forEach((note, at) => {
    if (note.length <= 40) extras.push({ words: note, notes: notes.filter((_, index) => index !== at) });
  });
  for (const bracket of brackets.slice(0, 2)) if (bracket.length <= 40) extras.push({ words: bracket, notes });
  for (const extra of extras) {
    // "butter, softened": a word on its state does not change what it is
    if (isPreparation(extra.words)) continue;
    for (const phrase of [`${extra.words} ${head}`, `${head} ${extra.words}`]) {
      const other = look(phrase, context);
      if (leftoverOf(other)) continue;
      const better =
        RANK[other.certainty] > RANK[best.found.certainty] ||
        (best.leftover && other.certainty !== "unknown") ||
        (best.found.certainty !== "sure" &&
          other.certainty === "taken" &&
          other.ids[0] !== best.found.ids[0] &&
          other.ids[0] !== undefined);
      if (!better) continue;
      best = { found: other, phrase, leftover: false, notes: extra.notes };
    }
  }
  return best;
}

/** "butter or margarine", "plain/all-purpose flour". */
export function splitAlternatives(head: string): readonly string[] {
  const parts = head
    .split(/\s+or\s+|\s*\/\s*/i)
    .map((one) => one.trim())
    .filter((one) => one !== "");
  return parts.length > 1 && parts.length <= 4 ? parts : [head];
}

export function matchAlternatives(alternatives: readonly string[], parts: NameParts, context: LineContext): BestMatch {
  const { evidence } = context;
  const whole = look(alternatives.join(" or "), context);
  if (whole.certainty === "sure" || whole.certainty === "taken")
    return { found: whole, phrase: alternatives.join(" or "), leftover: false, notes: parts.notes };
  const last = alternatives[alternatives.length - 1].split(/\s+/);
  const ids: string[] = [];
  const asked: string[] = [];
  let unknown: string | undefined;
  for (const one of alternatives) {
    // "caster or granulated sugar": the first borrows the noun of the last
    const own = bestMatch({ ...parts, head: one }, context).found;
    const borrowed = [`${one} ${last[last.length - 1]}`, ...(last.length > 2 ? [`${one} ${last.slice(-2).join(" ")}`] : [])].map(
      (phrase) => look(phrase, context),
    );
    const fits = (match: NameMatch) => match.certainty !== "unknown" && !/not understood|is it /.test(match.why ?? "");
    const found = [own, ...borrowed].filter(fits).sort((a, b) => RANK[b.certainty] - RANK[a.certainty])[0];
    if (found === undefined) unknown ??= one;
    else {
      if (found.certainty === "ask" && found.why !== undefined) asked.push(found.why);
      const id = found.ids[0];
      if (id !== undefined && !ids.includes(id)) ids.push(id);
    }
  }
  const phrase = alternatives.join(" or ");
  if (ids.length === 0) return bestMatch({ ...parts, head: alternatives.join(" ") }, context);
  if (ids.length === 1 && unknown === undefined) {
    return {
      found: { certainty: asked.length > 0 ? "ask" : "sure", ids, ...(asked.length > 0 ? { why: asked[0] } : {}) },
      phrase,
      leftover: false,
      notes: parts.notes,
    };
  }
  // "plain (all-purpose) flour" and the like name one thing for two readers.
  if (unknown === undefined && ids.length === 2 && sameThing(ids[0], ids[1])) {
    const us = ids.find((id) => /-us$|^cake-flour$|-us-/.test(id));
    const chosen = evidence.region === "us" && us !== undefined ? [us, ...ids.filter((id) => id !== us)] : ids;
    return {
      found: { certainty: "taken", ids: chosen, why: "Two names for the same thing." },
      phrase,
      leftover: false,
      notes: parts.notes,
    };
  }
  const why =
    unknown === undefined
      ? `The line leaves a choice: ${phrase}.`
      : `The line leaves a choice, and "${unknown}" is not in the book.`;
  return { found: { certainty: "ask", ids, why }, phrase, leftover: false, notes: parts.notes };
}

/** Ids of one ingredient in its British and its American form. */
const TWINS: readonly (readonly string[])[] = [
  ["plain-flour", "all-purpose-flour-us"],
  ["self-raising-flour", "self-rising-flour-us"],
  ["wholemeal-flour", "whole-wheat-flour-us"],
  ["strong-white-flour", "bread-flour-us"],
  ["icing-sugar-uk", "icing-sugar"],
  ["butter-unsalted", "butter-unsalted-us"],
  ["butter-salted", "butter-salted-us"],
  ["milk-whole", "milk-whole-us"],
  ["cornflour", "maize-flour"],
  ["black-treacle", "molasses"],
];

const sameThing = (a: string, b: string) => TWINS.some((twins) => twins.includes(a) && twins.includes(b));

/** Whether a name is in the book; for telling ingredients from headings. */
export function isKnownName(text: string, context: Pick<LineContext, "book" | "evidence">): boolean {
  const found = look(text, context);
  return found.certainty !== "unknown" && !/not understood|is it /.test(found.why ?? "") && nameKey(text) !== "";
}

/** A known name for which the book has more than the nearest thing: "caramel sauce" heads a part, and is no ingredient of the book. */
export function isNameInBook(text: string, context: Pick<LineContext, "book" | "evidence">): boolean {
  return isKnownName(text, context) && !/nearest is offered/.test(look(text, context).why ?? "");
}
