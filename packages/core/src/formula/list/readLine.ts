import { FOR_THE_BENCH } from "./benchWords.js";
import { readFruitParts } from "./fruitParts.js";
import { doubted, type LineContext, type LineReading } from "./lineReading.js";
import type { ListChoice } from "./listLine.js";
import {
  bestMatch,
  isKnownName,
  look,
  matchAlternatives,
  type NameParts,
  pullBrackets,
  splitAlternatives,
  splitName,
} from "./nameParts.js";
import { unknownId } from "./names.js";
import { type Paired, pairedAt } from "./pairedAmount.js";
import { isWeighed } from "./pairedWeight.js";
import type { Measured } from "./quantity.js";
import { readAssembled } from "./readIngredient.js";
import { mendDigits } from "./tidy.js";
import { type Token, tokenise } from "./tokens.js";
import { beginsWithAmount, isDimensionOrTime, TOKENS_MAX, type Trailing, trailingAmount } from "./trailingAmount.js";
import { roundGrams } from "./weighing.js";

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

function readMended(whole: string, context: LineContext): readonly LineReading[] | undefined {
  const text = reordered(whole, context);
  const multiplied = readMultiplied(text, context);
  if (multiplied !== undefined) return multiplied;
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

/** "100 g sugar x 2": the line may be meant twice, or say how many were made. */
function readMultiplied(text: string, context: LineContext): readonly LineReading[] | undefined {
  const tail = /^(.+?[^\s,;:(-])[,;]?\s*[x*]\s?([2-9]|1[0-2])\s*$/i.exec(text);
  if (tail === null || !/\d/.test(tail[1]) || /[x*]\s*$/i.test(tail[1])) return undefined;
  const number = Number(tail[2]);
  const readings = readMended(tail[1], context);
  if (readings === undefined || readings.some((one) => one.grams == null || one.status === "not-understood")) return undefined;
  return readings.map((one) => {
    const sure = doubted(one, `"x ${number}" behind the line may mean ${number} times this amount`);
    const choices = sure.choices ?? [];
    const times = choices
      .filter((choice) => choice.grams !== null)
      .slice(0, 3)
      .map((choice) => ({ ...choice, grams: roundGrams((choice.grams ?? 0) * number), why: `${number} times as written` }));
    return { ...sure, choices: [...choices.slice(0, 3), ...times] };
  });
}

/** Puts what some hands write in another order into the usual one: "Vanilla few drops", "To serve: cream", "seeds of 1 vanilla pod". */
function reordered(whole: string, context: LineContext): string {
  const text = whole
    .replace(/\bS\s?\/\s?R\b|\bS\.?\s?R\.?(?=\s+flour\b)/gi, "SR")
    .replace(/\bB\s?\/\s?P\b/gi, "baking powder")
    .replace(/^x\s?(?=\d)/i, "")
    .replace(/\s@\s?(?=\d)/, " at ")
    .replace(/(?<=[a-z])\s(?:n|'n'|'n)\s(?=[a-z])/gi, " and ")
    .replace(/\b10\s?\/\s?12\b%?/, (fat) => (/\bcocoa\b/i.test(whole) ? "" : fat))
    .replace(/\b(almond|vanilla|lemon|rum|peppermint|coffee) ess\b\.?/gi, "$1 essence")
    .replace(/\bcream tartar\b/gi, "cream of tartar")
    .replace(/\b(purpose|raising|rising|plain|bread|cake|strong|rye|wheat) flower\b/gi, "$1 flour")
    .replace(/\bconf\.?\s+(?=sugar\b)/gi, "confectioners ")
    .replace(/\b(?:powd?|pwd)\.?\s+(?=sugar\b)/gi, "powdered ")
    .replace(/\bbr\.?\s+(?=sugar\b)/gi, "brown ")
    .replace(/\bgran\.\s+(?=sugar\b)/gi, "granulated ")
    .replace(/\bbkg\.?\s+(?=powder\b|soda\b)/gi, "baking ")
    .replace(/[\s,]+q\.?\s?s\.?\s*$/i, ", to taste");
  const vague = /^(\S.*\S)\s+(?:an?\s+)?((?:few|couple of) drops|pinch|dash|knob|handful|splash)\s*$/i.exec(text);
  if (vague !== null && !/^\d/.test(text) && !/^(?:an?|one|two|large|small|big|good|generous)\b/i.test(text))
    return `a ${vague[2]} of ${vague[1].replace(/[\s:,-]+$/, "")}`;
  const seeds = /^(?:the\s+)?(?:scraped\s+)?seeds?\s+(?:scraped\s+)?(?:of|from)\s+(.+?\bvanilla\s+(?:pods?|beans?))\b(.*)$/i.exec(
    text,
  );
  if (seeds !== null) return `${seeds[1]}, seeds only${seeds[2]}`;
  const pulp = /^(?:the\s+)?pulp\s+(?:of|from)\s+(\d.*?\bpassion\s?fruits?\b)(.*)$/i.exec(text);
  if (pulp !== null) return `${pulp[1]}, pulp${pulp[2]}`;
  const times = /^(lemons?|limes?|oranges?)\s+x\s?(\d{1,2})\b(.*)$/i.exec(text);
  if (times !== null) return `${times[2]} ${times[1].replace(/s$/i, "")}s${times[3]}`;
  const pods = /^(?:the\s+)?(?:crushed\s+|ground\s+)?seeds?\s+(?:of|from)\s+(\d.*?\bcardamom\b(?:\s+pods?)?)(.*)$/i.exec(text);
  if (pods !== null) return `${pods[1]}, seeds only${pods[2]}`;
  const sized = AS_BIG_AS.exec(text);
  if (sized !== null) {
    const piece = /egg/i.test(sized[2]) ? "egg" : /hazelnut/i.test(sized[2]) ? "hazelnut" : "walnut";
    return `a ${piece}size of ${sized[1]}${sized[3]}`;
  }
  const label = /^([A-Za-z][A-Za-z ]{2,30})(?::|\s+=)\s+(\S.*)$/.exec(text);
  if (label !== null && !beginsWithAmount(text)) {
    const meant = NO_WEIGHT_MEANT.test(label[1]);
    const named = look(label[1], context);
    const unknown = named.certainty === "unknown" || /not understood/.test(named.why ?? "");
    if (meant && !isKnownName(label[1], context)) return `${label[2]}, ${label[1]}`;
    if (unknown && beginsWithAmount(label[2])) return label[2];
  }
  return text;
}

/** "Butter the size of an egg", "a piece of butter as big as a walnut". */
const AS_BIG_AS =
  /^(?:(?:a|one)\s+(?:piece|lump|knob|bit|nut)\s+of\s+)?([a-z]+(?:\s[a-z]+)?),?\s+(?:(?:about\s+)?(?:the\s+)?size\s+of|as\s+(?:big|large)\s+as)\s+an?\s+(?:(?:small|large|good|hen'?s)\s+)?(walnut|egg|hazelnut|nut)\b(.*)$/i;

const NEXT_AMOUNT = /(?<=[a-z]{3})\s+(?=\d[\d./]*\s?(?:g|kg|oz|lbs?|ml|tsp|tbsp)\s+[a-z]{3})/;

/** "200 g dark chocolate, 200 g butter": several ingredients in a line, each with its amount. */
function readSeveral(text: string, context: LineContext): readonly LineReading[] | undefined {
  if (!/[,;+]|\s:\s/.test(text) && (text.length > 120 || !NEXT_AMOUNT.test(text))) return undefined;
  const { brackets } = pullBrackets(text);
  if (brackets.some((bracket) => /[,;+]/.test(bracket))) return undefined;
  // "3oz butter 6oz icing sugar": nothing but amounts parts them
  const behind = readSeveralBehind(text, context);
  if (behind !== undefined) return behind;
  const pieces = /[,;+]/.test(text)
    ? text.split(/\s*[,;](?!\d)\s*|\s+\+\s+/).filter((piece) => piece !== "")
    : text.split(NEXT_AMOUNT);
  if (pieces.length < 2 || pieces.length > 8) return undefined;
  // "coffee made with 2 tsp granules", "butter or 6 oz margarine": a sentence, and no row of ingredients
  const joined = /\b(?:with|in|into|of|from|or|and|plus|to|made|x|about|approx|for|at|than|by)$/i;
  if (pieces.some((piece) => joined.test(piece))) return undefined;
  const readings: LineReading[] = [];
  for (const piece of pieces) {
    const tokens = tokenise(piece);
    if (tokens[0]?.kind !== "number" && !(readings.length > 0 && pairedAt(tokens, 0) !== undefined)) {
      // "3 oz butter, 6 oz icing sugar, jam": a name at the end of such a line is one more of them
      if (readings.length < 2 || !isKnownName(piece, context)) return undefined;
      const bare = readWithoutAmount(piece, context);
      if (bare === undefined) return undefined;
      for (const one of bare) readings.push({ ...one, part: readings.length + 1 });
      continue;
    }
    const amount = pairedAt(tokens, 0);
    if (amount === undefined || amount.next >= tokens.length) return undefined;
    const rest = piece.slice(tokens[amount.next].start);
    const match = bestMatch(splitName(rest), context);
    if (match.found.certainty === "unknown" || match.leftover) return undefined;
    readings.push({ ...readAssembled(rest, amount.value, piece, context), part: readings.length + 1 });
  }
  return readings;
}

/** "Butter 8 oz, sugar 8 oz, eggs 4", "water 250 g : sugar 250 g": several, each with its amount behind. */
function readSeveralBehind(text: string, context: LineContext): readonly LineReading[] | undefined {
  if (text.length > 160 || /^\W*\d/.test(text)) return undefined;
  const pieces = text.split(/\s*[,;](?!\d)\s*|\s+[:+]\s+/).filter((piece) => piece !== "");
  if (pieces.length < 2 || pieces.length > 8) return undefined;
  const readings: LineReading[] = [];
  for (const piece of pieces) {
    const front = readings.length > 0 && /^\d/.test(piece) ? tokenise(piece) : [];
    const led = front.length === 0 ? undefined : pairedAt(front, 0);
    if (led !== undefined && led.next < front.length) {
      const name = piece.slice(front[led.next].start);
      const known = bestMatch(splitName(name), context);
      if (known.found.certainty === "unknown" || known.leftover) return undefined;
      readings.push({ ...readAssembled(name, led.value, piece, context), part: readings.length + 1 });
      continue;
    }
    // "left 10 mins": what is done with them
    if (readings.length > 1 && /^[a-z]+ (?:for )?\d+ ?(?:mins?|minutes|hours?|hrs?)$/i.test(piece)) continue;
    const tail = /^([A-Za-z][A-Za-z /-]{2,40}?)\s*(\d[\d.,/ ]*\s?[a-zA-Z.]*)$/.exec(piece);
    if (tail === null) return undefined;
    const tokens = tokenise(tail[2]);
    const amount = pairedAt(tokens, 0);
    if (amount === undefined || amount.next < tokens.length) return undefined;
    const match = bestMatch(splitName(tail[1]), context);
    if (match.found.certainty === "unknown" || match.leftover) return undefined;
    readings.push({ ...readAssembled(tail[1], amount.value, piece, context), part: readings.length + 1 });
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
  if (/[(,+&]|\b(?:or|and|plus|to make|to give|enough)\b/i.test(trailing.name)) return undefined;
  if (measured.kind === "percent" || /^0+$/.test(tokens[0].text)) return readTrailing(text, trailing, context);
  const name = trailing.name.slice(tokens[next].start);
  return assemble(
    trailing.rest === "" ? name : `${name}, ${trailing.rest}`,
    { first: first.first, others: [trailing.paired.first, ...trailing.paired.others] },
    text,
    context,
  );
}

function readTrailing(text: string, trailing: Trailing, context: LineContext): readonly LineReading[] | undefined {
  const name = trailing.name.trim();
  if (name.length === 0 || name.split(/\s+/).length > 9) return undefined;
  const match = bestMatch(splitName(name), context);
  // A bare number after words that are no ingredient is prose: "Bake in batches of 12".
  const { measured } = trailing.paired.first;
  const bare = measured.kind === "count" && measured.thing === undefined;
  if (bare && (match.found.certainty === "unknown" || (!trailing.separated && match.leftover))) return undefined;
  // "Butter, sugar and flour 6 oz each"
  if (trailing.paired.first.each || /\b(?:each|of each|apiece)\s*$/i.test(text)) {
    const shared = readEach(name, trailing.paired, text, context);
    if (shared !== undefined) return shared;
  }
  const rest = trailing.rest === "" ? "" : `, ${trailing.rest}`;
  const reading = assemble(`${name}${rest}`, trailing.paired, text, context);
  return reading;
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
  const names = splitName(rest.replace(/,(?=\s)(?!\s*(?:and|&)\b)/g, " and ").replace(/,(?=\s)/g, ""))
    .head.split(/\s+and\s+|\s*&\s*/i)
    .map((one) => one.replace(/^and\s+/, "").trim())
    .filter((one) => one !== "");
  if (names.length < 2 || names.length > 6) return undefined;
  const readings = names.map((name) => readAssembled(name, paired, text, context));
  if (readings.some((reading) => reading.status === "not-understood")) return undefined;
  return readings.map((reading, at) => ({ ...reading, part: at + 1 }));
}

function assemble(rest: string, paired: Paired, text: string, context: LineContext): readonly LineReading[] | undefined {
  const added =
    withHalves(rest, paired, text, context) ??
    withCompany(rest, paired, text, context) ??
    withAddition(rest, paired, text, context) ??
    withOtherAmount(rest, paired, text, context);
  if (added !== undefined) return added;
  const head = splitName(rest).head;
  // "butter and sugar", where the pair is no ingredient of its own
  const both = /^(.+?)\s+(?:and|&)\s+(.+)$/i.exec(head);
  if (both !== null && look(head, context).certainty !== "sure") {
    const parts = both.slice(1, 3).map((name) => look(name, context));
    const whole = look(head, context);
    const wholeKnown = whole.certainty === "taken" || (whole.certainty === "ask" && !/not understood/.test(whole.why ?? ""));
    if (!wholeKnown && parts.every((part) => part.certainty !== "unknown" && !/not understood/.test(part.why ?? ""))) {
      return both.slice(1, 3).map((name, at) => {
        const each = doubted(
          readAssembled(name, paired, text, context),
          "one amount stands before two ingredients: is it for each, or for both together?",
        );
        const halves = (each.choices ?? []).slice(0, 1).flatMap((choice) => {
          const grams = choice.grams === null ? null : roundGrams(choice.grams / 2);
          return grams === null ? [] : [{ ...choice, grams, why: "half of it, if it is for both together" }];
        });
        return { ...each, choices: [...(each.choices ?? []), ...halves], part: at + 1 };
      });
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

/** "Sugar 100 g (half caster, half light brown)": two ingredients, half the amount each. */
function withHalves(rest: string, paired: Paired, text: string, context: LineContext): readonly LineReading[] | undefined {
  const halves = /^(.*?)[\s,(:-]+half\s+([a-z -]+?)[,;]?\s*(?:and\s+|&\s*)?half\s+([a-z -]+?)\)?\s*$/i.exec(rest);
  if (halves === null || !isWeighed(paired.first)) return undefined;
  const noun = splitName(halves[1]).head.split(" ").at(-1) ?? "";
  const readings = halves.slice(2, 4).map((kind) => {
    const [plain, joined] = [look(kind, context), look(`${kind} ${noun}`, context)];
    const name =
      joined.certainty === "sure" || joined.certainty === "taken" || plain.certainty === "unknown" ? `${kind} ${noun}` : kind;
    return readAssembled(name, paired, text, context);
  });
  if (readings.some((one) => one.status === "not-understood" || one.grams == null)) return undefined;
  return readings.map((one, at) => ({
    ...one,
    grams: roundGrams((one.grams ?? 0) / 2),
    reasons: [...one.reasons, "half of the amount"],
    ...(one.choices === undefined
      ? {}
      : {
          choices: one.choices.map((choice) => ({
            ...choice,
            grams: choice.grams === null ? null : roundGrams(choice.grams / 2),
          })),
        }),
    part: at + 1,
  }));
}

const COMPANY =
  /[\s,]*\(?\b(?:(?:dissolved|mixed|sifted|sieved|blended|combined|stirred|whisked|soaked|slaked|steeped|bloomed|infused|soured|curdled|tossed|coated|rolled|dusted)\s+(?:together\s+)?(?:in|into|with)|together with|with)\s+(?=\d|(?:an?|one|two|three|four|five|six|half)\s)/i;

/** "1 tbsp instant coffee in 2 tbsp boiling water". */
const IN_LIQUID = /\s+in\s+(?=(?:\d|an?\s|one\s|two\s|three\s|half\s)[^,;]*\b(?:water|milk|rum|brandy|tea|coffee)\s*$)/i;

function orDrained(liquid: LineReading): LineReading {
  const asked = doubted(liquid, "is the soaking water used, or drained away?");
  const [first] = asked.choices ?? [];
  return first === undefined
    ? asked
    : { ...asked, choices: [...(asked.choices ?? []), { ...first, grams: null, why: "drained away" }] };
}

/** "2 tsp instant coffee dissolved in 1 tbsp hot water", "250 g flour sifted with 1 tsp baking powder": two ingredients, both weighed. */
function withCompany(rest: string, paired: Paired, text: string, context: LineContext): readonly LineReading[] | undefined {
  const plain = COMPANY.exec(rest) === null ? IN_LIQUID.exec(rest) : null;
  const link = COMPANY.exec(rest) ?? plain;
  if (link === null || link.index === 0) return undefined;
  const after = rest
    .slice(link.index + link[0].length)
    .replace(/\)\s*$/, "")
    .replace(
      /[\s,]+(?:overnight|first|beforehand|to make a paste|for \d+ (?:minutes|mins|hours|hrs?)|for (?:an hour|several hours))\s*$/i,
      "",
    );
  // "in 2 tbsp of the milk" is of the list's own milk, and what is drained goes into no cake.
  if (/\b(?:the|this|its|their|that|drain|drained|strained|discard)\b|\d\s*%/i.test(after)) return undefined;
  const tokens = tokenise(after);
  const amount = pairedAt(tokens, 0);
  if (amount === undefined || amount.next >= tokens.length || !isWeighed(amount.value.first)) return undefined;
  const name = after.slice(tokens[amount.next].start);
  // "300 ml coffee made with 2 tsp granules": the second is within the first; "milk powder made up with 270 ml water" is of two
  const made = /[\s,]*\b(?:made up|made|brewed|up)\s*$/i.exec(rest.slice(0, link.index));
  if (made !== null && !(/\bpowder\b/i.test(rest) && /^(?:\w+\s)?water$/i.test(name.trim()))) return undefined;
  const before = rest.slice(0, made?.index ?? link.index);
  for (const one of [before, name]) {
    const match = bestMatch(splitName(one), context);
    if (match.found.certainty === "unknown" || match.leftover) return undefined;
  }
  const [solid, liquid] = [readAssembled(before, paired, text, context), readAssembled(name, amount.value, text, context)];
  if (plain !== null && context.book.get(liquid.ingredient ?? "")?.role !== "liquid" && !/^milk/.test(liquid.ingredient ?? ""))
    return undefined;
  // Water that fruit or nuts were soaked in goes into the cake or down the sink: only the baker knows.
  const poured = /\b(?:soaked|steeped)\b/i.test(link[0]) && liquid.ingredient === "water";
  const drink: LineReading = poured ? orDrained(liquid) : liquid;
  return [solid, drink].map((reading, at) => ({ ...reading, part: at + 1 }));
}

/** "3 large eggs, plus 2 yolks" is two ingredients; "1 cup flour, plus 2 tablespoons" is one amount in two parts. */
function withAddition(rest: string, paired: Paired, text: string, context: LineContext): readonly LineReading[] | undefined {
  const link =
    /(?:,\s*|\s+)(?:(?:plus|and|&)\s+|\+\s*)(?:an?\s+(?=extra|additional|further))?(?:(?:extra|additional|another|further)\s+)?(?=\d|(?:an?|one|two|three|four|five|six|half)\s)/i.exec(
      rest,
    );
  // "2 tbsp lemon juice + zest of 1 lemon"
  const fruit = /(?:,\s*|\s+)(?:(?:plus|and|&)\s+|\+\s*)(?=(?:the |finely |freshly |grated )*(?:zest|juice|rind|peel)\b)/i.exec(
    rest,
  );
  if (fruit !== null && fruit.index > 0) {
    const parts = readFruitParts(rest.slice(fruit.index + fruit[0].length), context);
    if (parts !== undefined) {
      return [readAssembled(rest.slice(0, fruit.index), paired, text, context), ...parts].map((reading, at) => ({
        ...reading,
        part: at + 1,
      }));
    }
  }
  // "100 g plus 2 tbsp caster sugar", "1 stick + 1 1/2 tbsp butter": one thing in two amounts
  const joint = /^(?:plus|and|&|\+)\s*(?=\d)/i.exec(rest);
  const stick = paired.first.measured.kind === "count" && paired.first.measured.thing === "stick";
  if (joint !== null && (stick || isWeighed(paired.first))) {
    const tokens = tokenise(rest.slice(joint[0].length));
    const more = pairedAt(tokens, 0);
    if (more !== undefined && more.next < tokens.length && isWeighed(more.value.first)) {
      const name = rest.slice(joint[0].length + tokens[more.next].start);
      if (look(splitName(name).head, context).certainty !== "unknown")
        return [paired, more.value].map((one, at) => ({ ...readAssembled(name, one, text, context), part: at + 1 }));
    }
  }
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
    const single = paired.others.length === 0 && amount.value.others.length === 0;
    const sum: Measured | undefined = !single
      ? undefined
      : first.kind === "volume" && second.kind === "volume"
        ? { kind: "volume", parts: [...first.parts, ...second.parts] }
        : first.kind === "mass" && second.kind === "mass"
          ? { ...first, grams: { low: first.grams.low + second.grams.low, high: first.grams.high + second.grams.high } }
          : undefined;
    if (sum !== undefined)
      return [readAssembled(whole, { first: { ...paired.first, measured: sum }, others: [] }, text, context)];
    // "255 g caster sugar, plus 1 tbsp": two weights of the same
    if (!isWeighed(paired.first) || !isWeighed(amount.value.first)) return undefined;
    const noun = splitName(before).head;
    if (noun === "" || look(noun, context).certainty === "unknown") return undefined;
    return [readAssembled(whole, paired, text, context), readAssembled(noun, amount.value, text, context)].map((reading, at) => ({
      ...reading,
      part: at + 1,
    }));
  }
  // "2 eggs and 1 extra yolk" names another thing; "200 g butter, plus 50 g extra" and "plus 50 g for the topping" are more of the same
  const named = name.replace(/^(?:extra|more|further|additional)(?:\s+|$)/i, "");
  const again = look(splitName(named).head, context);
  const more = named === name ? /^(?:for|to|extra|more|melted|softened|if|in|on)\b/i.test(name) : splitName(named).head === "";
  if (more || again.certainty === "unknown") {
    const head = splitName(before).head;
    if (look(head, context).certainty === "unknown") return undefined;
    const both = [readAssembled(before, paired, text, context), readAssembled(`${head}, ${name}`, amount.value, text, context)];
    return both.map((reading, at) => ({ ...reading, part: at + 1 }));
  }
  // "2 whole eggs + 1 yolk, medium": the size behind is that of all
  const behindSize = /,\s*(small|medium|large)(?:\s+(?:eggs?|ones))?\s*$/i.exec(named);
  if (behindSize !== null && /\b(?:eggs?|yolks?|whites?)\b/i.test(before) && paired.first.size === undefined) {
    const size = behindSize[1].toLowerCase();
    const ofSize = (one: Paired): Paired => ({ ...one, first: { ...one.first, size } });
    return [
      readAssembled(before, ofSize(paired), text, context),
      readAssembled(named.slice(0, behindSize.index), ofSize(amount.value), text, context),
    ].map((reading, at) => ({ ...reading, part: at + 1 }));
  }
  const size = paired.first.size;
  const sized =
    size !== undefined && amount.value.first.size === undefined && /^(?:egg |eggs? )?(?:yolks?|whites?|eggs?)\b/i.test(name);
  const other: Paired = sized ? { ...amount.value, first: { ...amount.value.first, size } } : amount.value;
  const readings = [readAssembled(before, paired, text, context), readAssembled(named, other, text, context)];
  if (readings[1].status === "not-understood" && readings[1].grams == null) return undefined;
  return readings.map((reading, at) => ({ ...reading, part: at + 1 }));
}

/** "1 vanilla pod or 1 tsp vanilla extract": two ways, each with its amount. */
function withOtherAmount(rest: string, paired: Paired, text: string, context: LineContext): readonly LineReading[] | undefined {
  const link = /,?\s+or\s+(?:else\s+)?(?=\d|(?:an?|one|two|three|four|half|the)\s)/i.exec(rest);
  if (link === null || link.index === 0) return undefined;
  const before = rest.slice(0, link.index);
  if (before.includes("(") && !before.includes(")")) return undefined;
  const after = rest.slice(link.index + link[0].length);
  const read = readMended(after, context);
  // "15 g fresh yeast or 7 g dried": the second goes by its adjective
  const noun = splitName(before).head.split(" ").at(-1) ?? "";
  const short = /^\S+(?:\s\S+){1,2}$/.test(after) && noun !== "" && !after.endsWith(noun);
  const named =
    short && (read === undefined || read[0].status === "not-understood") ? readMended(`${after} ${noun}`, context) : undefined;
  const other = named !== undefined && named[0].status !== "not-understood" ? named : read;
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

const NO_WEIGHT_MEANT =
  /\b(?:to taste|taste|for (?:the )?(?:dust|greas|serv|sprinkl|scatter|decorat|finish|roll|knead|brush|lin|coat|fry|drizzl|top|garnish|tin|pan|work|glaz)|to (?:serve|dust|decorate|finish|grease|sprinkle|scatter|strew|garnish|top|glaze|brush|drizzle|roll|coat|mix|bind|taste|loosen|pipe)|as needed|if needed|as required|optional|if (?:liked|desired|wanted|you like|using)|a little|some|enough|extra|a few|handful|q\.?\s?s\b)/i;

/** "Salt", "icing sugar, for dusting", "butter for the tin". */
function readWithoutAmount(text: string, context: LineContext): readonly LineReading[] | undefined {
  if (text.length > 120) return undefined;
  // "The same weight of sugar as the eggs": it hangs on another line, and is not worked out
  const same = /^(?:the\s+)?(?:same|equal)\s+(?:weight|amount|quantity)\s+of\s+(.+?)(?:\s+as\b.*)?$/i.exec(text);
  if (same !== null) {
    const hanging = readWithoutAmount(same[1], context);
    return hanging?.map((one) => doubted(one, "the amount hangs on another line and is not worked out: give its weight"));
  }
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
