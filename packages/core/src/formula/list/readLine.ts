import type { IngredientBook } from "../../ingredients/index.js";
import type { EggGrade } from "../../quantities/index.js";
import { NUMBER_WORDS, SIZES, UNITS } from "./amountWords.js";
import type { ListChoice, ListLine } from "./listLine.js";
import { type Evidence, unitMillilitres } from "./measures.js";
import { findMixedName, type NameMatch, nameKey, unknownId } from "./names.js";
import { bracketQuantityAt, type Measured, type Paired, pairedAt, type Quantity, quantityAt } from "./quantity.js";
import { fold, mendDigits } from "./tidy.js";
import { type Token, tokenise } from "./tokens.js";
import { PREPARATION_WORDS } from "./tradeNames.js";
import { isDry, type WeighContext, type Weighing, weigh } from "./weigh.js";

/** What a line is read with. */
export interface LineContext {
  readonly book: IngredientBook;
  readonly evidence: Evidence;
  readonly eggGrade: EggGrade | undefined;
  /** A hyphen stood close to a number, and the list has no other hyphens for bullets. */
  readonly minusLikely: boolean;
}

/** What a line says, without its place in the list. */
export type LineReading = Omit<ListLine, "text" | "lineNumber" | "component" | "stage"> & {
  /** The line's amount is a percent of something. */
  readonly percent?: number;
};

type Mutable<T> = { -readonly [K in keyof T]: T[K] };

const CHOICES_MAX = 8;
/** A line of more words and signs than this is prose. */
const TOKENS_MAX = 80;

/**
 * Reads one line as ingredients, or gives nothing where it holds neither an amount nor a name that the book knows.
 *
 * @param line  tidied, without bullet and number
 */
export function readLine(line: string, context: LineContext): readonly LineReading[] | undefined {
  const { text, mended } = mendDigits(line);
  const readings = readMended(text, context);
  if (readings === undefined) return undefined;
  return readings.map((reading) => {
    let now = reading;
    if (mended !== undefined) now = doubted(now, `"${mended}" has letters where digits belong; check the number`);
    if (context.minusLikely) now = doubted(now, "a weight cannot be negative; the hyphen is read as a bullet");
    return now;
  });
}

function doubted(reading: LineReading, why: string): LineReading {
  const status = reading.status === "understood" ? "doubtful" : reading.status;
  return { ...reading, status, reasons: [...reading.reasons, why], ...withChoices(reading.choices ?? ownChoice(reading)) };
}

const ownChoice = (reading: LineReading): readonly ListChoice[] =>
  reading.ingredient === undefined
    ? []
    : [{ ingredient: reading.ingredient, name: reading.ingredient, grams: reading.grams ?? null, why: "as read" }];
const withChoices = (choices: readonly ListChoice[]) => (choices.length === 0 ? {} : { choices });

function readMended(whole: string, context: LineContext): readonly LineReading[] | undefined {
  const text = reordered(whole, context);
  const many = readSeveral(text, context);
  if (many !== undefined) return many;
  const fruit = readFruitParts(text, context);
  if (fruit !== undefined) return fruit;
  const tokens = tokenise(text);
  if (tokens.length === 0) return undefined;
  const leading = pairedAt(tokens, 0);
  const bothEnds = leading === undefined ? undefined : amountsAtBothEnds(text, tokens, leading.value, leading.next, context);
  if (bothEnds !== undefined) return bothEnds;
  if (leading !== undefined && !isDimensionOrTime(leading.value.first.measured, tokens, leading.next)) {
    return readWithAmount(text, tokens, leading.value, leading.next, context);
  }
  // Prose, not a list: an amount at its end is looked for in a line of a list's length only.
  const trailing = tokens.length > TOKENS_MAX ? undefined : trailingAmount(text, tokens);
  if (trailing !== undefined) return readTrailing(text, trailing, context);
  return readWithoutAmount(text, context);
}

/** Puts what some hands write in another order into the usual one: "Vanilla few drops", "To serve: cream", "seeds of 1 vanilla pod". */
function reordered(text: string, context: LineContext): string {
  const vague = /^(\S.*\S)\s+(?:an?\s+)?((?:few|couple of) drops|pinch|dash|knob|handful|splash)\s*$/i.exec(text);
  if (vague !== null && !/^\d/.test(text) && !/^(?:an?|one|two|large|small|big|good|generous)\b/i.test(text))
    return `a ${vague[2]} of ${vague[1].replace(/[\s:,-]+$/, "")}`;
  const seeds = /^(?:the\s+)?(?:scraped\s+)?seeds?\s+(?:scraped\s+)?(?:of|from)\s+(.+?\bvanilla\s+(?:pods?|beans?))\b(.*)$/i.exec(
    text,
  );
  if (seeds !== null) return `${seeds[1]}, seeds only${seeds[2]}`;
  const label = /^([A-Za-z][A-Za-z ]{2,30}):\s+(\S.*)$/.exec(text);
  if (label !== null && !beginsWithAmount(text)) {
    const meant = NO_WEIGHT_MEANT.test(label[1]);
    const unknown = look(label[1], context).certainty === "unknown";
    if (meant && !isKnownName(label[1], context)) return `${label[2]}, ${label[1]}`;
    if (unknown && beginsWithAmount(label[2])) return label[2];
  }
  return text;
}

/** "200 g dark chocolate, 200 g butter": several ingredients in a line, each with its amount. */
function readSeveral(text: string, context: LineContext): readonly LineReading[] | undefined {
  if (!/[,;+]/.test(text)) return undefined;
  const { brackets } = pullBrackets(text);
  if (brackets.some((bracket) => /[,;+]/.test(bracket))) return undefined;
  const pieces = text.split(/\s*[,;](?!\d)\s*|\s+\+\s+/).filter((piece) => piece !== "");
  if (pieces.length < 2 || pieces.length > 8) return undefined;
  const readings: LineReading[] = [];
  for (const piece of pieces) {
    const tokens = tokenise(piece);
    if (tokens[0]?.kind !== "number") return undefined;
    const amount = pairedAt(tokens, 0);
    if (amount === undefined || amount.next >= tokens.length) return undefined;
    const rest = piece.slice(tokens[amount.next].start);
    const match = bestMatch(splitName(rest), context);
    if (match.found.certainty === "unknown" || match.leftover) return undefined;
    readings.push({ ...readAssembled(rest, amount.value, piece, context), part: readings.length + 1 });
  }
  return readings;
}

/** "00 flour 200 g", "35% cream 200 g": the first number is of the name; "3 bananas 300 g": the second says what they weigh. */
function amountsAtBothEnds(
  text: string,
  tokens: readonly Token[],
  first: Paired,
  next: number,
  context: LineContext,
): readonly LineReading[] | undefined {
  const { measured } = first.first;
  const bare = measured.kind === "count" && measured.thing === undefined && first.others.length === 0;
  if ((!bare && measured.kind !== "percent") || tokens.length > TOKENS_MAX) return undefined;
  const trailing = trailingAmount(text, tokens);
  if (
    trailing === undefined ||
    !isWeighed(trailing.paired.first) ||
    trailing.name.length < (tokens[next]?.end ?? Number.POSITIVE_INFINITY)
  )
    return undefined;
  if (/[(,]|\b(?:or|and|plus)\b/i.test(trailing.name)) return undefined;
  if (measured.kind === "percent" || /^0+$/.test(tokens[0].text)) return readTrailing(text, trailing, context);
  const name = trailing.name.slice(tokens[next].start);
  return assemble(
    trailing.rest === "" ? name : `${name}, ${trailing.rest}`,
    { first: first.first, others: [trailing.paired.first, ...trailing.paired.others] },
    text,
    context,
  );
}

/** "20 cm tin", "25 minutes", "180 °C": numbers that weigh nothing. */
function isDimensionOrTime(measured: Measured, tokens: readonly Token[], next: number): boolean {
  const after = tokens[next]?.text ?? "";
  if (
    /^(?:min|mins|minute|minutes|hour|hours|hr|hrs|second|seconds|secs|day|days|night|°|degrees|portions?|servings?|people|persons?|layers?|x|w|watt|watts|litre-capacity)$/.test(
      after,
    )
  ) {
    return true;
  }
  if (measured.kind === "length") {
    return !/^(?:ginger|root|fresh|cinnamon|vanilla|lemongrass|peeled|stick)$/.test(after);
  }
  return false;
}

interface Trailing {
  readonly name: string;
  readonly paired: Paired;
  readonly rest: string;
  /** A word or a sign stood between name and amount, so a bare number counts too. */
  readonly separated: boolean;
}

/** "Butter 200 g", "Butter: 200 g, softened", "Eggs x 3", "Butter (200 g)". */
function trailingAmount(text: string, tokens: readonly Token[]): Trailing | undefined {
  for (let at = 1; at < tokens.length; at += 1) {
    const token = tokens[at];
    const before = tokens[at - 1];
    const word =
      token.kind === "word" && (NUMBER_WORDS.has(token.text) || token.text === "half") && /^[:\-(,;=]$/.test(before.text);
    const about = (token.text === "about" || token.text === "approx" || token.text === "~") && tokens[at + 1] !== undefined;
    const plain = token.kind === "number";
    const vague = /^(?:a|pinch|dash|drop|drops)$/.test(token.text) && /^[:\-,;(=]$/.test(before.text);
    if (!plain && !word && !vague && !about) continue;
    // "dark chocolate 70% 200 g", "milk 2 %": a percent of a property is not the amount
    if (plain && tokens[at + 1]?.text === "%" && at + 2 < tokens.length && !/^[,;)(]$/.test(tokens[at + 2].text)) continue;
    if (
      plain &&
      tokens[at + 1]?.text === "%" &&
      /\b(?:cocoa|chocolate|cream|milk|fat|couverture)\b/.test(fold(text.slice(0, token.start)))
    )
      continue;
    if (plain && before.text === "/" && at > 1) continue;
    const inBracket = before.text === "(";
    const found = inBracket ? pairedInBracket(tokens, at) : pairedAt(tokens, at);
    if (found === undefined) continue;
    const { measured } = found.value.first;
    if (measured.kind === "length") continue;
    let next = found.next;
    let nameEnd = before.end;
    while (
      next < tokens.length &&
      /^(?:each|approx|approximately|about|total|or|so|no|nos|off|pcs?|pieces?|whole|\.)$/.test(tokens[next].text) &&
      (tokens[next + 1] === undefined || tokens[next + 1].text === ".")
    )
      next += 1;
    if (inBracket) {
      if (tokens[next]?.text !== ")") continue;
      next += 1;
    }
    let last = at - 1;
    while (last >= 0 && /^[:\-(,;=.|x*@]$/i.test(tokens[last].text) && (tokens[last].kind === "sign" || tokens[last].spaced))
      last -= 1;
    if (last < 0) continue;
    nameEnd = tokens[last].end;
    const separated = last < at - 1;
    const bare = measured.kind === "count" && measured.thing === undefined;
    const after = tokens[next]?.text;
    // A number within a name ("00 flour", "type 55 flour") is followed by more of the name.
    const atEnd = next >= tokens.length;
    const beforeNote = after !== undefined && /^[,;(.\-*]$/.test(after);
    if (bare && !separated && !atEnd && after !== "(" && after !== ",") continue;
    if (!atEnd && !beforeNote && (bare || measured.kind === "percent")) continue;
    if (/\b(?:type|t|no|number|grade|e)$/.test(fold(text.slice(0, nameEnd))) && bare) continue;
    // "cut into 2 cm pieces", "for 20 minutes", "at 20 C"
    if (/(?:into|for|at|to|of|in|from|until|than|with|every)$/.test(fold(text.slice(0, nameEnd))) && !inBracket) return undefined;
    if (isDimensionOrTime(measured, tokens, next)) continue;
    if (bare && after !== undefined && /^(?:°|c|f)$/.test(after)) continue;
    const rest = next < tokens.length ? text.slice(tokens[next].start).replace(/^[\s,;.:)-]+/, "") : "";
    return { name: text.slice(0, nameEnd), paired: found.value, rest, separated };
  }
  return undefined;
}

function pairedInBracket(tokens: readonly Token[], at: number): { value: Paired; next: number } | undefined {
  const one = bracketQuantityAt(tokens, at);
  if (one !== undefined && tokens[one.next]?.text === ")") return { value: { first: one.value, others: [] }, next: one.next };
  return pairedAt(tokens, at);
}

function readTrailing(text: string, trailing: Trailing, context: LineContext): readonly LineReading[] | undefined {
  const name = trailing.name.trim();
  if (name.length === 0 || name.split(/\s+/).length > 9) return undefined;
  const match = bestMatch(splitName(name), context);
  // A bare number after words that are no ingredient is prose: "Bake in batches of 12".
  const { measured } = trailing.paired.first;
  const bare = measured.kind === "count" && measured.thing === undefined;
  if (bare && (match.found.certainty === "unknown" || (!trailing.separated && match.leftover))) return undefined;
  const rest = trailing.rest === "" ? "" : `, ${trailing.rest}`;
  const reading = assemble(`${name}${rest}`, trailing.paired, text, context);
  return reading;
}

/** Pulls brackets out of a text. */
function pullBrackets(text: string): { readonly plain: string; readonly brackets: readonly string[] } {
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
    String.raw`\s+(?=\+)`,
    String.raw`\s+(?=&?\s?extra (?:for|to)\b)`,
    String.raw`\s+(?=and (?:extra|more|a little|some)\b)`,
    String.raw`\s+(?=or (?:to taste|more|less|so|as needed|enough)\b)`,
    String.raw`\s+(?=(?:for|to) (?:the |your )?(?:dust|greas|serv|tast|decorat|finish|roll|knead|brush|sprinkl|coat|lin(?:e|ing)\b|drizzl|top\b|topping|flour|glaz|garnish|fry|mix\b|bind|cover|spread|sandwich|fill\b|filling|tin|pan|work|make|loosen|thin|whip|fold|soak|caramel|poach|cook))`,
    String.raw`\s+(?=at room|room temp|straight from|from the fridge|as needed|if needed|if using|if you|if desired|such as|e\.g\.|eg |i\.e\.|optional|to taste|until |cut |broken |torn |see |about |approx|each\b|at \d|weighing |mixed with |mixed in|dissolved |soaked |blended |combined |made with |made from |with |without |according|depending|whichever|i use|i used|preferably|ideally|left|that |which |when |weighed|measured|divided|separated|softened|melted|sifted|sieved|warmed|cooled|lightly beaten|finely |roughly |coarsely |very |well |then |please)`,
  ].join("|"),
  "i",
);

interface NameParts {
  /** What stands before the first remark. */
  readonly head: string;
  /** The remarks, in order. */
  readonly notes: readonly string[];
  readonly brackets: readonly string[];
}

function splitName(rest: string): NameParts {
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

interface BestMatch {
  readonly found: NameMatch;
  /** The words that were matched. */
  readonly phrase: string;
  /** The name was not met in full. */
  readonly leftover: boolean;
  /** Notes with what became part of the name taken out. */
  readonly notes: readonly string[];
}

const isPreparation = (words: string) =>
  nameKey(words)
    .split(" ")
    .every((word) => PREPARATION_WORDS.has(word) || PREPARATION_WORDS.has(`${word}s`));

const look = (phrase: string, { book, evidence }: Pick<LineContext, "book" | "evidence">): NameMatch =>
  findMixedName(phrase, book, evidence.region, evidence.mixed && !evidence.australian);

const RANK = { sure: 3, taken: 2, ask: 1, unknown: 0 } as const;

/** The best reading of a name with what follows it: "sugar, caster", "butter (unsalted)", "cream, double, whipped". */
function bestMatch(parts: NameParts, context: LineContext): BestMatch {
  const { head, notes, brackets } = parts;
  const found = look(head, context);
  const leftoverOf = (match: NameMatch) =>
    match.certainty === "unknown" || /not understood|not in the book; is it/.test(match.why ?? "");
  let best: BestMatch = { found, phrase: head, leftover: leftoverOf(found), notes };
  if (found.certainty === "sure" || head === "") return best;
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

function readWithAmount(
  text: string,
  tokens: readonly Token[],
  paired: Paired,
  next: number,
  context: LineContext,
): readonly LineReading[] | undefined {
  let at = next;
  let each = paired.first.each;
  if (/^(?:each|ea)$/.test(tokens[at]?.text ?? "")) {
    each = true;
    at += 1;
    if (tokens[at]?.text === "of" || tokens[at]?.text === ":") at += 1;
  }
  const rest = at < tokens.length ? text.slice(tokens[at].start) : "";
  if (each) {
    const shared = readEach(rest, paired, text, context);
    if (shared !== undefined) return shared;
  }
  return assemble(rest, paired, text, context);
}

/** "100 g each butter and sugar": the amount for each of several names. */
function readEach(rest: string, paired: Paired, text: string, context: LineContext): readonly LineReading[] | undefined {
  const names = splitName(rest.replace(/,(?=\s)/g, " and "))
    .head.split(/\s+and\s+|\s*&\s*/i)
    .map((one) => one.replace(/^and\s+/, "").trim())
    .filter((one) => one !== "");
  if (names.length < 2 || names.length > 6) return undefined;
  const readings = names.map((name) => readAssembled(name, paired, text, context));
  if (readings.some((reading) => reading.status === "not-understood")) return undefined;
  return readings.map((reading, at) => ({ ...reading, part: at + 1 }));
}

function assemble(rest: string, paired: Paired, text: string, context: LineContext): readonly LineReading[] | undefined {
  const added = withAddition(rest, paired, text, context) ?? withOtherAmount(rest, paired, text, context);
  if (added !== undefined) return added;
  const head = splitName(rest).head;
  // "butter and sugar", where the pair is no ingredient of its own
  const both = /^(.+?)\s+(?:and|&)\s+(.+)$/i.exec(head);
  if (both !== null && look(head, context).certainty !== "sure") {
    const parts = both.slice(1, 3).map((name) => look(name, context));
    const whole = look(head, context);
    const wholeKnown = whole.certainty === "taken" || (whole.certainty === "ask" && !/not understood/.test(whole.why ?? ""));
    if (!wholeKnown && parts.every((part) => part.certainty !== "unknown" && !/not understood/.test(part.why ?? ""))) {
      return both.slice(1, 3).map((name, at) => ({
        ...doubted(
          readAssembled(name, paired, text, context),
          "one amount stands before two ingredients: is it for each, or for both together?",
        ),
        part: at + 1,
      }));
    }
  }
  const one = readAssembled(rest, paired, text, context);
  if (
    one.percent === undefined &&
    paired.first.measured.kind === "count" &&
    one.status === "not-understood" &&
    !/[a-z]/i.test(rest)
  ) {
    return [{ ...one, reasons: ["a number without a name"] }];
  }
  return [one];
}

const FOR_THE_BENCH =
  /\b(?:for|to)\s+(?:the\s+|your\s+)?(?:dust|greas|sprinkl|serv|roll|brush|lin|tin|pan|knead|flour|work|taste|garnish|hands|surface|board)/i;

/** "3 large eggs, plus 2 yolks" is two ingredients; "1 cup flour, plus 2 tablespoons" is one amount in two parts. */
function withAddition(rest: string, paired: Paired, text: string, context: LineContext): readonly LineReading[] | undefined {
  const link =
    /(?:,\s*|\s+)(?:(?:plus|and|&)\s+|\+\s*)(?:an?\s+(?=extra|additional|further))?(?:(?:extra|additional|another|further)\s+)?(?=\d|(?:an?|one|two|three|four|five|six|half)\s)/i.exec(
      rest,
    );
  if (link === null || link.index === 0) return undefined;
  const before = rest.slice(0, link.index);
  if (before.includes("(") && !before.includes(")")) return undefined;
  const after = rest.slice(link.index + link[0].length);
  if (FOR_THE_BENCH.test(after)) return undefined;
  const tokens = tokenise(after);
  const amount = pairedAt(tokens, 0);
  if (amount === undefined) return undefined;
  const name = amount.next < tokens.length ? after.slice(tokens[amount.next].start).trim() : "";
  const first = paired.first.measured;
  const second = amount.value.first.measured;
  if (name === "" || /^[,;(.]/.test(name)) {
    const whole = `${before}${name}`;
    if (paired.others.length > 0 || amount.value.others.length > 0) return undefined;
    const sum: Measured | undefined =
      first.kind === "volume" && second.kind === "volume"
        ? { kind: "volume", parts: [...first.parts, ...second.parts] }
        : first.kind === "mass" && second.kind === "mass"
          ? { ...first, grams: { low: first.grams.low + second.grams.low, high: first.grams.high + second.grams.high } }
          : undefined;
    return sum === undefined
      ? undefined
      : [readAssembled(whole, { first: { ...paired.first, measured: sum }, others: [] }, text, context)];
  }
  // "200 g butter, plus 50 g for the topping": more of the same
  const again = look(splitName(name).head, context);
  if (/^(?:for|to|extra|more|melted|softened|if|in|on)\b/i.test(name) || again.certainty === "unknown") {
    const head = splitName(before).head;
    if (look(head, context).certainty === "unknown") return undefined;
    const both = [readAssembled(before, paired, text, context), readAssembled(`${head}, ${name}`, amount.value, text, context)];
    return both.map((reading, at) => ({ ...reading, part: at + 1 }));
  }
  const size = paired.first.size;
  const sized =
    size !== undefined && amount.value.first.size === undefined && /^(?:egg |eggs? )?(?:yolks?|whites?|eggs?)\b/i.test(name);
  const other: Paired = sized ? { ...amount.value, first: { ...amount.value.first, size } } : amount.value;
  const readings = [readAssembled(before, paired, text, context), readAssembled(name, other, text, context)];
  if (readings[1].status === "not-understood" && readings[1].grams == null) return undefined;
  return readings.map((reading, at) => ({ ...reading, part: at + 1 }));
}

/** "1 vanilla pod or 1 tsp vanilla extract": two ways, each with its amount. */
function withOtherAmount(rest: string, paired: Paired, text: string, context: LineContext): readonly LineReading[] | undefined {
  const link = /,?\s+or\s+(?:else\s+)?(?=\d|(?:an?|one|two|three|four|half|the)\s)/i.exec(rest);
  if (link === null || link.index === 0) return undefined;
  const before = rest.slice(0, link.index);
  if (before.includes("(") && !before.includes(")")) return undefined;
  const other = readMended(rest.slice(link.index + link[0].length), context);
  if (other === undefined || other.length !== 1 || other[0].ingredient === undefined) return undefined;
  const one = readAssembled(before, paired, text, context);
  const names = (reading: LineReading): readonly ListChoice[] =>
    reading.choices?.slice(0, 2) ?? [
      {
        ingredient: reading.ingredient ?? "",
        name: context.book.get(reading.ingredient ?? "")?.name ?? reading.ingredient ?? "",
        grams: reading.grams ?? null,
        why: "as written",
      },
    ];
  if (one.ingredient === undefined) return undefined;
  const choices = [...names(one), ...names(other[0]).filter(() => other[0].status !== "not-understood")];
  return [{ ...doubted(one, "the line leaves a choice between two amounts"), choices }];
}

/** One ingredient with its amount. */
function readAssembled(rest: string, paired: Paired, text: string, context: LineContext): LineReading {
  const parts = splitName(rest);
  const bracketed: Quantity[] = [];
  const words: string[] = [];
  for (const bracket of parts.brackets) {
    const tokens = tokenise(bracket);
    const pair = pairedAt(tokens, 0);
    if (pair !== undefined && pair.next >= tokens.length && pair.value.others.length > 0 && isWeighed(pair.value.first)) {
      bracketed.push(pair.value.first, ...pair.value.others);
      continue;
    }
    const quantity = bracketQuantityAt(tokens, 0);
    if (quantity !== undefined && quantity.next >= tokens.length && isWeighed(quantity.value)) bracketed.push(quantity.value);
    else words.push(bracket);
  }
  // "3 bananas, about 300 g": a remark that is nothing but an amount
  const notes: string[] = [];
  for (const note of parts.notes) {
    const tokens = tokenise(
      note.replace(/^(?:weighing|or|total|total weight|net weight|to give|giving|to yield|you need|roughly)\s+/i, ""),
    );
    const quantity = bracketQuantityAt(tokens, 0);
    if (
      quantity !== undefined &&
      quantity.next >= tokens.length &&
      isWeighed(quantity.value) &&
      !/^(?:plus|extra|\+)/i.test(note)
    )
      bracketed.push(quantity.value);
    else notes.push(note);
  }
  // "rapeseed oil (or sunflower oil)", "butter, or margarine"
  const others = [...words, ...notes].flatMap((word) =>
    /^or\s+(?!more|less|so\b|to taste|as needed|enough)/i.test(word) ? word.replace(/^or\s+/i, "").split(/\s+or\s+/i) : [],
  );
  const known = others
    .filter((name) => look(splitName(name).head, context).certainty !== "unknown")
    .map((name) => splitName(name).head);
  const alternatives = [...splitAlternatives(parts.head), ...known].slice(0, 4);
  const cleaned: NameParts = { head: alternatives[0], notes, brackets: words };
  const match = alternatives.length > 1 ? matchAlternatives(alternatives, cleaned, context) : bestMatch(cleaned, context);
  const filled = withFills(paired.first, [...notes, ...words]);
  const quantity = withSize(filled, parts.head, notes, words, match.found, context);
  const all: Paired = { first: quantity, others: [...paired.others, ...bracketed] };
  const note = [...match.notes, ...words.filter((word) => !match.phrase.includes(word))].join(", ");
  return combine(match, all, note, text, rest, context);
}

const isWeighed = (quantity: Quantity) => quantity.measured.kind === "mass" || quantity.measured.kind === "volume";

/** "1 tsp baking powder (heaped)": how full the spoon is, said behind the name. */
function withFills(quantity: Quantity, remarks: readonly string[]): Quantity {
  if (quantity.measured.kind !== "volume") return quantity;
  const fills = remarks.flatMap(
    (remark) =>
      /^(?:slightly |very |well )?(heaped|heaping|rounded|scant|generous|level)$/i.exec(remark)?.[1].toLowerCase() ?? [],
  );
  return fills.length === 0 ? quantity : { ...quantity, fills: [...quantity.fills, ...fills] };
}

/** "free-range large eggs", "eggs, large": a size that stands with the name. */
function withSize(
  quantity: Quantity,
  head: string,
  notes: readonly string[],
  brackets: readonly string[],
  match: NameMatch,
  { book }: LineContext,
): Quantity {
  if (quantity.measured.kind !== "count" || quantity.size !== undefined) return quantity;
  const first = book.get(match.ids[0] ?? "");
  if (first === undefined || !/^(?:egg|fruit|other)$/.test(first.role)) return quantity;
  for (const part of [head, ...notes.slice(0, 2), ...brackets.slice(0, 2)]) {
    const grade = /\bsize ([SML]|XL)\b|^([SML]|XL)(?: size)?$/.exec(part);
    if (grade !== null) {
      const size = { S: "small", M: "medium", L: "large", XL: "extra large" }[grade[1] ?? grade[2]];
      if (size !== undefined) return { ...quantity, size };
    }
    const found = /\b(extra[- ]large|very large|large|medium|small|jumbo)\b/i.exec(part);
    if (found !== null) {
      const word = found[1].toLowerCase().replace("-", " ");
      return { ...quantity, size: word === "very large" ? "extra large" : (SIZES.get(word) ?? word) };
    }
  }
  return quantity;
}

/** "butter or margarine", "plain/all-purpose flour". */
function splitAlternatives(head: string): readonly string[] {
  const parts = head
    .split(/\s+or\s+|\s*\/\s*/i)
    .map((one) => one.trim())
    .filter((one) => one !== "");
  return parts.length > 1 && parts.length <= 4 ? parts : [head];
}

function matchAlternatives(alternatives: readonly string[], parts: NameParts, context: LineContext): BestMatch {
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

/** Puts the possible names and the possible weights together, and judges how sure the line is. */
function combine(match: BestMatch, paired: Paired, note: string, text: string, rest: string, context: LineContext): LineReading {
  const { book } = context;
  const lineWords = fold(text);
  const found = byMeasure(match.found, paired.first.measured, lineWords);
  const weighContext: WeighContext = {
    evidence: context.evidence,
    eggGrade: context.eggGrade,
    words: lineWords,
    headWords: fold(
      `${/\bpacked\b/i.test(text) && !/(?:not|un)\s?packed/i.test(text) ? "packed " : ""}${paired.first.fills.join(" ")} ${splitName(rest).head} ${splitName(rest).brackets.join(" ")}`,
    ),
  };
  const { ids } = found;
  const first = ids[0] === undefined ? undefined : book.get(ids[0]);
  const { measured } = paired.first;
  const about = paired.first.about ? ["the list says about"] : [];
  const extra = extraAmount(note);
  const noteText = note === "" ? {} : { note };
  if (measured.kind === "percent") {
    const base: LineReading = {
      kind: "ingredient",
      status: "doubtful",
      grams: null,
      reasons: ["a percent: it needs a list that is all in percent"],
      percent: measured.percent,
      ...noteText,
    };
    return first === undefined
      ? {
          ...base,
          status: "not-understood",
          ingredient: unknownId(match.phrase),
          reasons: [found.why ?? "the name is not in the book"],
        }
      : {
          ...base,
          ingredient: first.id,
          ...(found.certainty === "ask" ? { reasons: [found.why ?? "", ...base.reasons] } : {}),
          choices: ids.map((id) => ({ ingredient: id, name: book.get(id)?.name ?? id, grams: null, why: "" })),
        };
  }
  const weighing = weighPaired(paired, first, weighContext);
  const zero = weighing.options.length > 0 && weighing.options[0].grams !== null && !(weighing.options[0].grams > 0);
  if (zero) {
    return {
      kind: "ingredient",
      status: "not-understood",
      ingredient: first?.id ?? unknownId(match.phrase),
      grams: null,
      ...noteText,
      reasons: ["the weight is nothing; give a weight above 0, or take the line away"],
    };
  }
  if (first === undefined) {
    const grams = weighing.options[0]?.grams ?? null;
    return {
      kind: "ingredient",
      status: "not-understood",
      ingredient: unknownId(match.phrase),
      grams: Number.isFinite(grams) ? grams : null,
      ...noteText,
      reasons: [
        found.why ?? "the name is not in the book",
        ...(grams === null ? weighing.reasons : []),
        "add it as your own ingredient, or choose one from the book",
      ],
    };
  }
  const choices: ListChoice[] = [];
  const add = (id: string, one: Weighing, count: number, why: string | undefined) => {
    const ingredient = book.get(id);
    if (ingredient === undefined) return;
    for (const option of one.options.slice(0, count)) {
      if (option.grams !== null && !Number.isFinite(option.grams)) continue;
      if (choices.some((choice) => choice.ingredient === id && choice.grams === option.grams)) continue;
      choices.push({ ingredient: id, name: ingredient.name, grams: option.grams, why: why ?? option.why });
    }
    if (one.options.length === 0)
      choices.push({ ingredient: id, name: ingredient.name, grams: null, why: why ?? "the weight is not known" });
  };
  add(first.id, weighing, 5, undefined);
  for (const id of ids.slice(1, 5)) add(id, weighPaired(paired, book.get(id), weighContext), 1, undefined);
  const certain = found.certainty !== "ask" && weighing.certain && extra === undefined;
  const reasons = [
    ...(found.why === undefined || found.why === "" ? [] : [found.why]),
    ...weighing.reasons,
    ...about,
    ...(extra === undefined ? [] : [extra]),
  ];
  const grams = weighing.options[0]?.grams ?? null;
  const reading: Mutable<LineReading> = {
    kind: "ingredient",
    status: certain ? "understood" : "doubtful",
    ingredient: first.id,
    grams: grams !== null && Number.isFinite(grams) ? grams : null,
    reasons,
    ...noteText,
  };
  if (weighing.band !== undefined && certain) reading.gramsBand = weighing.band;
  const shown = choices.slice(0, CHOICES_MAX);
  if (shown.length > 1 || !certain) reading.choices = shown;
  return reading;
}

/** Ginger and coffee mean the powder by the spoon, and something else by weight or volume. */
function byMeasure(found: NameMatch, measured: Measured, words: string): NameMatch {
  const { ids } = found;
  const spoon =
    measured.kind === "vague" ||
    (measured.kind === "volume" &&
      measured.parts.every((part) => part.unit === "teaspoon" || part.unit === "tablespoon" || part.unit === "dessertspoon"));
  if (ids[0] === "coffee-brewed" && spoon && ids.includes("coffee-instant")) {
    return {
      certainty: "ask",
      ids: ["coffee-instant", ...ids.filter((id) => id !== "coffee-instant")],
      why: "Coffee by the spoon may be instant coffee, or the drink.",
    };
  }
  if (ids[0] === "ginger-ground" && ids.includes("ginger-root")) {
    if (/\b(?:fresh|grated|minced|root|peeled)\b/.test(words))
      return { certainty: "taken", ids: ["ginger-root", "ginger-ground"], why: "Grated ginger is read as fresh root." };
    if (spoon) return { certainty: "taken", ids, why: "Ginger by the spoon is read as ground." };
    return { ...found, ids: ["ginger-root", "ginger-ground"] };
  }
  return found;
}

/** "plus 2 tbsp": an amount that belongs to the cake and was not counted. One "for dusting" is a remark. */
function extraAmount(note: string): string | undefined {
  if (note === "") return undefined;
  const found =
    /(?:^|\W)(?:plus|and|with|in|\+|&)\s+(?:an?\s+)?(?:(?:extra|additional|another|about|a further)\s+)*(\d|half|one|two|three)/i.exec(
      note,
    );
  if (found === null) return undefined;
  if (FOR_THE_BENCH.test(note)) return undefined;
  const tokens = tokenise(
    note
      .slice(found.index)
      .replace(/^\W*(?:plus|and|with|in|\+|&)\s+/i, "")
      .replace(/^(?:(?:extra|additional|another|about|a further)\s+)+/i, ""),
  );
  const quantity = quantityAt(tokens, 0);
  if (quantity === undefined || (/^\W*(?:in|with)\b/i.test(found[0]) && !isWeighed(quantity.value))) return undefined;
  return `a second amount in the line was not counted: "${note}"`;
}

/** The weight of an amount that the line says in several ways; where they disagree, it is doubtful. */
function weighPaired(paired: Paired, ingredient: Parameters<typeof weigh>[1], context: WeighContext): Weighing {
  const { first, others } = paired;
  if (others.length === 0) return weigh(first, ingredient, context);
  const all = [first, ...others];
  const weighed = all.filter(isWeighed);
  if (weighed.length === 0) return weigh(first, ingredient, context);
  // Grams before millilitres, and either before ounces and cups; a weight beside a number of things is their weight.
  const order = (quantity: Quantity) => {
    const { measured } = quantity;
    if (measured.kind === "mass") return measured.ounces ? 2 : 0;
    if (measured.kind === "volume") return /^(?:ml|cl|dl|litre)$/.test(measured.parts[0].unit) ? 1 : 3;
    return 4;
  };
  const sorted = [...all].sort((a, b) => order(a) - order(b));
  // "5 ml (1 tsp) baking powder": a dry thing is weighed by the spoon
  const spoon = sorted[0].measured.kind === "volume" ? all.find((one) => order(one) === 3) : undefined;
  const best = spoon !== undefined && ingredient !== undefined && isDry(ingredient) ? spoon : sorted[0];
  const count = first.measured.kind === "count" ? first.measured : undefined;
  if (count !== undefined && best !== first) return weighCounted(first, best, ingredient, context);
  // "8 oz (1 cup) milk": the cup says that the ounces are fluid ones.
  if (best.measured.kind === "mass" && best.measured.fluidLikely) {
    const ounces = best.measured.grams.high / 28.349523125;
    const cup = all.find((one) => one.measured.kind === "volume");
    if (cup !== undefined && cup.measured.kind === "volume") {
      const ml = cup.measured.parts.reduce(
        (sum, part) => sum + part.amount.high * unitMillilitres(part.unit, context.evidence)[0].ml,
        0,
      );
      const fluid = ml / unitMillilitres("fluid-ounce", context.evidence)[0].ml;
      const weighed = weigh(best, ingredient, context);
      if (!weighed.certain && Math.abs(fluid / ounces - 1) < 0.06) return weigh(cup, ingredient, context);
    }
  }
  const base = weigh({ ...best, container: best.container ?? first.container } as Quantity, ingredient, context);
  const grams = base.options[0]?.grams;
  if (grams == null) return weigh(first, ingredient, context);
  for (const other of all) {
    if (other === best) continue;
    const { measured } = other;
    if (measured.kind === "mass" && best.measured.kind === "mass") {
      if (best.measured.ounces === measured.ounces || measured.ounces !== undefined) {
        const [metric, ounces] = best.measured.ounces
          ? [measured.grams.high, best.measured.grams.high]
          : [best.measured.grams.high, measured.grams.high];
        const perOunce = metric / (ounces / 28.349523125);
        // Printed pairs round an ounce to 25, 28 or 30 g (common practice, no source).
        if ((perOunce < 24.4 || perOunce > 31.2) && Math.abs(metric - ounces) > 5)
          return disagree(base, other, ingredient, context);
      }
      continue;
    }
    const second = weigh(other, ingredient, context);
    const theirs = second.options.map((option) => option.grams).filter((one): one is number => one !== null);
    if (theirs.length === 0) continue;
    const bothVolumes = measured.kind === "volume" && best.measured.kind === "volume";
    const sharePercent = bothVolumes ? 11 : ingredient === undefined ? 100 : measured.kind === "volume" ? 45 : 15;
    if (!theirs.some((one) => Math.abs(one / grams - 1) * 100 <= sharePercent || Math.abs(one - grams) <= 3))
      return disagree(base, other, ingredient, context);
  }
  return base;
}

function disagree(base: Weighing, other: Quantity, ingredient: Parameters<typeof weigh>[1], context: WeighContext): Weighing {
  const second = weigh(other, ingredient, context);
  return {
    options: [...base.options, ...second.options],
    certain: false,
    reasons: [...base.reasons, "the line gives two amounts that do not agree"],
  };
}

/** "2 tins (400 g each)", "3 bananas (about 300 g)", "2 sticks (226 g)". */
function weighCounted(first: Quantity, best: Quantity, ingredient: Parameters<typeof weigh>[1], context: WeighContext): Weighing {
  const base = weigh(best, ingredient, context);
  const grams = base.options[0]?.grams;
  if (grams == null || first.measured.kind !== "count") return base;
  const number = first.measured.amount.high;
  const times = (factor: number, why: string) => ({
    options: base.options.map((option) => ({
      grams: option.grams === null ? null : Math.round(option.grams * factor * 100) / 100,
      why,
    })),
    certain: base.certain,
    reasons: base.reasons,
  });
  if (best.each) return times(number, `${number} of the weight given for each`);
  if (best.fills.includes("total") || number === 1) return peelCheck(base, first, best, ingredient);
  const alone = weigh(first, ingredient, context).options[0]?.grams;
  if (alone != null && alone > 0) {
    const asTotal = Math.abs(Math.log(grams / alone));
    const asEach = Math.abs(Math.log((grams * number) / alone));
    if (asTotal < 0.45 && asTotal < asEach) return peelCheck(base, first, best, ingredient);
    if (asEach < 0.45 && asEach < asTotal)
      return { ...times(number, "read as the weight of each"), certain: false, reasons: ["the weight is read as that of each"] };
  }
  const total = { ...base.options[0], why: "the weight of all together" };
  const each = { grams: Math.round(grams * number * 100) / 100, why: "the weight of each" };
  const container = first.measured.thing !== undefined && first.measured.thing !== "stick";
  return {
    options: container ? [each, total] : [total, each],
    certain: false,
    reasons: ["is the weight in the bracket that of one, or of all?"],
  };
}

/** Fruit weighed with its peel weighs less in the bowl. */
function peelCheck(base: Weighing, first: Quantity, best: Quantity, ingredient: Parameters<typeof weigh>[1]): Weighing {
  if (
    first.measured.kind === "count" &&
    first.measured.thing === undefined &&
    ingredient !== undefined &&
    /^(?:banana|orange|mango|pineapple|passion-fruit|butternut-squash|pumpkin|lemon-flesh|apple|cooking-apple|pear)$/.test(
      ingredient.id,
    ) &&
    !best.fills.includes("peeled")
  ) {
    return {
      ...base,
      certain: false,
      reasons: [...base.reasons, "the weight may be with peel and core"],
      options: [
        ...base.options,
        ...base.options.map((option) => ({
          grams: option.grams === null ? null : Math.round(option.grams * 70) / 100,
          why: "if weighed with peel and core, about 30 % less (from memory)",
        })),
      ],
    };
  }
  return base;
}

const NO_WEIGHT_MEANT =
  /\b(?:to taste|taste|for (?:the )?(?:dust|greas|serv|sprinkl|decorat|finish|roll|knead|brush|lin|coat|fry|drizzl|top|garnish|tin|pan|work|glaz)|to (?:serve|dust|decorate|finish|grease|sprinkle|garnish|top|glaze|brush|drizzle|roll|coat|mix|bind|taste|loosen)|as needed|if needed|as required|optional|if (?:liked|desired|wanted|you like|using)|a little|some|enough|extra|a few|handful|q\.?\s?s\b)/i;

/** "Salt", "icing sugar, for dusting", "butter for the tin". */
function readWithoutAmount(text: string, context: LineContext): readonly LineReading[] | undefined {
  if (text.length > 120) return undefined;
  const lead = /^(?:(?:a little|some|extra|a few|plenty of|more|enough|little)\s+)+/i.exec(text);
  const body = lead === null ? text : text.slice(lead[0].length);
  const parts = splitName(body);
  if (parts.head === "" || parts.head.split(/\s+/).length > 6) return undefined;
  const names =
    /\s(?:and|&)\s/i.test(parts.head) && look(parts.head, context).certainty !== "sure"
      ? parts.head.split(/\s+(?:and|&)\s+/i)
      : [parts.head];
  const meant = NO_WEIGHT_MEANT.test(text) || lead !== null;
  const readings: LineReading[] = [];
  for (const name of names) {
    const alternatives = splitAlternatives(name);
    const own: NameParts = { head: alternatives[0], notes: parts.notes, brackets: parts.brackets };
    const match = alternatives.length > 1 ? matchAlternatives(alternatives, own, context) : bestMatch(own, context);
    const { found } = match;
    if (found.certainty === "unknown" || (match.leftover && !meant)) {
      if (names.length === 1) return undefined;
      // "salt and pepper": the second is not in the book, and is still said
      readings.push({
        kind: "ingredient",
        status: "not-understood",
        ingredient: unknownId(name),
        grams: null,
        reasons: [found.why ?? "the name is not in the book"],
        part: readings.length + 1,
      });
      continue;
    }
    const tiny = context.book.get(found.ids[0])?.role === "salt";
    const choices = found.ids
      .slice(0, 5)
      .map((id) => ({ ingredient: id, name: context.book.get(id)?.name ?? id, grams: null, why: "used and not weighed" }));
    const sure = (meant || tiny) && found.certainty !== "ask";
    const note = [...(lead === null ? [] : [lead[0].trim()]), ...match.notes, ...parts.brackets].join(", ");
    readings.push({
      kind: "ingredient",
      status: sure ? "understood" : "doubtful",
      ingredient: found.ids[0],
      grams: null,
      reasons: [
        ...(found.why === undefined || found.why === "" ? [] : [found.why]),
        meant ? "it is used and not weighed" : "no amount is given",
      ],
      ...(note === "" ? {} : { note }),
      ...(sure ? {} : { choices }),
      ...(names.length > 1 ? { part: readings.length + 1 } : {}),
    });
  }
  if (readings.every((reading) => reading.status === "not-understood")) return undefined;
  return readings;
}

const CITRUS: ReadonlyMap<string, { readonly zest: string; readonly juice: string; readonly flesh?: string }> = new Map([
  ["lemon", { zest: "lemon-zest", juice: "lemon-juice", flesh: "lemon-flesh" }],
  ["lime", { zest: "lime-zest", juice: "lime-juice" }],
  ["orange", { zest: "orange-zest", juice: "orange-juice", flesh: "orange" }],
  ["clementine", { zest: "orange-zest", juice: "orange-juice" }],
  ["satsuma", { zest: "orange-zest", juice: "orange-juice" }],
  ["mandarin", { zest: "orange-zest", juice: "orange-juice" }],
  ["tangerine", { zest: "orange-zest", juice: "orange-juice" }],
  ["grapefruit", { zest: "orange-zest", juice: "orange-juice" }],
]);

/** Zest of one fruit [g]: a tablespoon of lemon (SR28 weighs it 6 g), less of a lime, more of an orange; how much a fruit gives is from memory. */
const ZEST_GRAMS: Readonly<Record<string, number>> = {
  lemon: 6,
  lime: 3,
  orange: 9,
  clementine: 4,
  satsuma: 4,
  mandarin: 4,
  tangerine: 4,
  grapefruit: 12,
};
/** Juice of fruit that the table does not have [g]. From memory. */
const JUICE_GRAMS: Readonly<Record<string, number>> = {
  clementine: 40,
  satsuma: 40,
  mandarin: 40,
  tangerine: 40,
  grapefruit: 150,
};

const FRUIT = /\b(lemon|lime|orange|clementine|satsuma|mandarin|tangerine|grapefruit)(?:'?s)?'?\b/g;

/** "Zest of 2 limes", "juice ½ lemon", "1 orange, zested and juiced", "2 lemons", and "whites of 3 eggs". */
function readFruitParts(text: string, context: LineContext): readonly LineReading[] | undefined {
  const words = fold(text);
  const eggs = /^(?:the\s+)?(whites?|yolks?)\s+(?:of|from)\s+/.exec(words);
  if (eggs !== null) {
    const tokens = tokenise(text.slice(eggs[0].length));
    const amount = quantityAt(tokens, 0);
    const after = amount === undefined ? "" : fold(text.slice(eggs[0].length).slice(tokens[amount.next]?.start ?? 0));
    if (amount !== undefined && amount.value.measured.kind === "count" && /\beggs?\b/.test(after)) {
      const rest = after.replace(/\beggs?\b/, eggs[1].startsWith("white") ? "egg whites" : "egg yolks");
      return [readAssembled(rest, { first: amount.value, others: [] }, text, context)];
    }
  }
  const only = /\beggs?\b.*\b(whites?|yolks?) only\b/.exec(words);
  if (only !== null) {
    const tokens = tokenise(text);
    const amount = pairedAt(tokens, 0);
    if (amount !== undefined && amount.value.first.measured.kind === "count")
      return [readAssembled(only[1].startsWith("white") ? "egg whites" : "egg yolks", amount.value, text, context)];
  }
  if (text.length > 300) return undefined;
  if (!/\b(?:lemon|lime|orange|clementine|satsuma|mandarin|tangerine|grapefruit)/.test(words)) return undefined;
  if (
    /\b(?:candied|mixed peel|crystalli[sz]ed|curd|marmalade|liqueur|extract|essence|oil|blossom|flower|squash|cordial|jelly|chocolate|segments?|cake|drizzle|loaf|tin)\b/.test(
      words,
    )
  )
    return undefined;
  // "2 tbsp lemon juice (about 1 lemon)": the measured amount is the amount
  const measuredFirst = pairedAt(tokenise(text), 0);
  if (measuredFirst !== undefined && isWeighed(measuredFirst.value.first)) return undefined;
  const wantsZest = /\b(?:zests?|zested|rinds?|peels?)\b/.test(words);
  const wantsJuice = /\b(?:juices?|juiced)\b/.test(words);
  const fruits: { fruit: string; amount: Quantity; start: number }[] = [];
  for (const found of words.matchAll(FRUIT)) {
    const amount = countBefore(text.slice(0, found.index));
    if (amount !== undefined) fruits.push({ fruit: found[1], amount, start: found.index });
  }
  if (fruits.length === 0) {
    // "lemon, grated zest of 1"
    const name = new RegExp(FRUIT.source).exec(words);
    const behind = /\b(?:of|from)\s+(\S+)\s*$/.exec(words);
    const number = behind === null || name === null ? undefined : quantityAt(tokenise(behind[1]), 0)?.value;
    if (name === null || number === undefined || number.measured.kind !== "count" || number.measured.thing !== undefined)
      return undefined;
    fruits.push({ fruit: name[1], amount: number, start: 0 });
  }
  const [{ fruit, amount, start }] = fruits;
  // "2-3 lemons, juiced (100 ml)": what came out of them was measured
  if (wantsZest !== wantsJuice) {
    for (const bracket of pullBrackets(text).brackets) {
      const inner = tokenise(bracket);
      const measured = bracketQuantityAt(inner, 0);
      if (measured !== undefined && measured.next >= inner.length && isWeighed(measured.value)) {
        return [readAssembled(`${fruit} ${wantsZest ? "zest" : "juice"}`, { first: measured.value, others: [] }, text, context)];
      }
    }
  }
  const kinds = CITRUS.get(fruit)!;
  const { book } = context;
  const at = (id: string, fallback: string) => (book.get(id) === undefined ? fallback : id);
  const span = amount.measured.kind === "count" ? amount.measured.amount : { low: 1, high: 1 };
  const number = span.high;
  const range = span.high > span.low;
  const note = text.trim();
  const readings: LineReading[] = [];
  const other = secondAmount(text, start, fruits.length);
  const sized = amount.size !== undefined && amount.size !== "medium";
  if (wantsZest || (!wantsZest && !wantsJuice)) {
    const id = at(kinds.zest, "lemon-zest");
    const each = ZEST_GRAMS[fruit];
    const grams = Math.round(number * each * 100) / 100;
    const name = book.get(id)?.name ?? id;
    const likeness =
      id === kinds.zest && (fruit === "lemon" || fruit === "lime" || fruit === "orange")
        ? []
        : [`The book has no ${fruit} zest; ${name.toLowerCase()} is the nearest.`];
    const zest: ListChoice[] = [1, 0.6, 1.5].map((factor) => ({
      ingredient: id,
      name,
      grams: Math.round(grams * factor * 100) / 100,
      why: `${Math.round(each * factor * 10) / 10} g of zest a fruit (from memory)`,
    }));
    if (wantsZest) {
      readings.push({
        kind: "ingredient",
        status: "doubtful",
        ingredient: id,
        grams,
        note,
        reasons: [...likeness, "how much zest a fruit gives is from memory; weigh it where it matters"],
        choices: zest,
      });
    } else {
      // "2 lemons": what of them?
      const juice = juiceOf(fruit, number, context);
      const juiceId = at(kinds.juice, "lemon-juice");
      const choices: ListChoice[] = [
        { ingredient: juiceId, name: book.get(juiceId)?.name ?? juiceId, grams: juice.grams, why: `the juice; ${juice.why}` },
        zest[0],
      ];
      const flesh = kinds.flesh === undefined ? undefined : book.get(kinds.flesh);
      if (flesh !== undefined) {
        const piece = flesh.householdWeights.find((one) => /^(?:fruit|medium)/.test(one.measure));
        if (piece !== undefined)
          choices.push({
            ingredient: flesh.id,
            name: flesh.name,
            grams: Math.round(number * piece.grams),
            why: `the flesh; ${piece.measure} = ${piece.grams} g, ${piece.source}`,
          });
      }
      return [
        {
          kind: "ingredient",
          status: "doubtful",
          ingredient: choices[0].ingredient,
          grams: choices[0].grams,
          reasons: ["the line does not say whether zest, juice or flesh is used"],
          choices,
          note,
        },
      ];
    }
  }
  if (wantsJuice) {
    const id = at(kinds.juice, "lemon-juice");
    // "zest of 2 lemons and juice of 1"
    const own = wantsZest ? /\bjuice\s+(?:of|from)\s+(?:just |only )?(\S+)\s*$/.exec(words) : null;
    const ownAmount = own === null ? undefined : quantityAt(tokenise(own[1]), 0)?.value.measured;
    const juiceNumber = ownAmount?.kind === "count" ? ownAmount.amount.high : number;
    const juice = juiceOf(fruit, juiceNumber, context);
    const name = book.get(id)?.name ?? id;
    const numbers = tokenise(text).filter((token) => token.kind === "number").length;
    const more = wantsZest && ownAmount === undefined && numbers > 1 && Number.isInteger(number);
    const doubts = [
      ...(range ? ["a range"] : []),
      ...(more ? ["the line has a second number"] : []),
      ...(sized ? [`the table does not say what a ${amount.size} fruit gives`] : []),
      ...(juice.sourced ? [] : ["how much juice a fruit gives is from memory"]),
      ...amount.doubts.map((doubt) => doubt.why),
    ];
    const grams = range ? Math.round(((span.low + span.high) / 2) * (juice.grams / juiceNumber) * 100) / 100 : juice.grams;
    const choices = [1, 0.7, 1.3].map((factor) => ({
      ingredient: id,
      name,
      grams: Math.round(grams * factor * 100) / 100,
      why: factor === 1 ? juice.why : `times ${factor} for a ${factor < 1 ? "small" : "large"} fruit (from memory)`,
    }));
    const sure = doubts.length === 0 && !(wantsZest && fruits.length > 1);
    readings.push({
      kind: "ingredient",
      status: sure ? "understood" : "doubtful",
      ingredient: id,
      grams,
      note,
      reasons: sure ? [`${juice.why}; fruit differ by a third`] : doubts,
      ...(sure ? { gramsBand: { likely: grams, from: Math.round(grams * 65) / 100, to: Math.round(grams * 135) / 100 } } : {}),
      choices,
    });
  }
  const all = other === undefined ? readings : readings.map((reading) => doubted(reading, other));
  return all.length > 1 ? all.map((reading, index) => ({ ...reading, part: index + 1 })) : all;
}

function juiceOf(fruit: string, number: number, { book }: LineContext): { grams: number; why: string; sourced: boolean } {
  const id = fruit === "lemon" ? "lemon-juice" : fruit === "lime" ? "lime-juice" : "orange-juice";
  const yields =
    JUICE_GRAMS[fruit] === undefined
      ? book.get(id)?.householdWeights.find((one) => /^(?:lemon|lime|fruit) yields/.test(one.measure))
      : undefined;
  const each = yields?.grams ?? JUICE_GRAMS[fruit] ?? 45;
  return {
    grams: Math.round(number * each * 100) / 100,
    why: yields === undefined ? `${each} g a fruit (from memory)` : `${yields.measure} ${yields.grams} g, ${yields.source}`,
    sourced: yields !== undefined,
  };
}

/** The number that stands right before a fruit, with words such as "large unwaxed" between; nothing where a measure stands there. */
function countBefore(before: string): Quantity | undefined {
  const tokens = tokenise(before);
  let end = tokens.length;
  let size: string | undefined;
  while (
    end > 0 &&
    (SIZES.has(tokens[end - 1].text) ||
      /^(?:unwaxed|ripe|juicy|fresh|organic|whole|extra|waxed|blood|seville|amalfi|sicilian|scrubbed|washed|good|nice|,|of|a|an|-)$/.test(
        tokens[end - 1].text,
      ))
  ) {
    size ??= SIZES.get(tokens[end - 1].text);
    if (/^an?$/.test(tokens[end - 1].text)) break;
    if (tokens[end - 1].text === "of" || tokens[end - 1].text === ",") return undefined;
    end -= 1;
  }
  for (let from = Math.max(0, end - 6); from < end; from += 1) {
    const found = quantityAt(tokens, from);
    if (found === undefined) continue;
    if (found.next < end) continue;
    if (found.value.measured.kind === "vague") return undefined;
    if (found.value.measured.kind !== "count" || found.value.measured.thing !== undefined) return undefined;
    // "1-2 limes" read from its second half would lose the first
    return size === undefined ? found.value : { ...found.value, size };
  }
  return undefined;
}

/** Another amount in a line about fruit: "zest of 1 lemon, plus 2 tbsp juice". */
function secondAmount(text: string, start: number, fruits: number): string | undefined {
  if (fruits > 1 && !/\(\s*(?:about|approx)?/i.test(text))
    return "the line names more than one fruit; only the first was counted";
  const tokens = tokenise(text);
  for (let at = 0; at < tokens.length; at += 1) {
    if (tokens[at].kind !== "number") continue;
    const unit = UNITS.get(tokens[at + 1]?.text ?? "");
    if (unit !== undefined && (unit.kind === "mass" || unit.kind === "volume") && tokens[at].start !== start)
      return "the line has a second amount, which was not counted";
  }
  return undefined;
}

/** Whether a text begins with something that can be an amount; for telling ingredients from prose. */
export function beginsWithAmount(text: string): boolean {
  const tokens = tokenise(text.slice(0, 80));
  const found = pairedAt(tokens, 0);
  if (found === undefined) return false;
  if (
    tokens[0]?.kind !== "number" &&
    found.value.first.measured.kind === "count" &&
    found.value.first.measured.thing === undefined &&
    /^(?:a|an|one)$/.test(tokens[0]?.text ?? "")
  )
    return false;
  return !isDimensionOrTime(found.value.first.measured, tokens, found.next);
}

/** Whether a name is in the book; for telling ingredients from headings. */
export function isKnownName(text: string, context: Pick<LineContext, "book" | "evidence">): boolean {
  const found = look(text, context);
  return found.certainty !== "unknown" && !/not understood|is it /.test(found.why ?? "") && nameKey(text) !== "";
}
