import { SIZES } from "./amountWords.js";
import { FOR_THE_BENCH } from "./benchWords.js";
import { doubted, type LineContext, type LineReading } from "./lineReading.js";
import type { ListChoice } from "./listLine.js";
import {
  type BestMatch,
  bestMatch,
  isPreparation,
  look,
  matchAlternatives,
  type NameParts,
  splitAlternatives,
  splitName,
} from "./nameParts.js";
import { findExactly, type NameMatch, unknownId } from "./names.js";
import { bracketQuantityAt, type Paired, pairedAt } from "./pairedAmount.js";
import { isWeighed, weighPaired } from "./pairedWeight.js";
import { type Measured, type Quantity, quantityAt } from "./quantity.js";
import { splitsUp, uncounted } from "./remarks.js";
import { fold } from "./tidy.js";
import { tokenise } from "./tokens.js";
import { roundGrams, type WeighContext, type Weighing } from "./weighing.js";

const CHOICES_MAX = 8;

type Mutable<T> = { -readonly [K in keyof T]: T[K] };

/** One ingredient with its amount. */
export function readAssembled(rest: string, paired: Paired, text: string, context: LineContext): LineReading {
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
    // "(20 tbsp; 282 g)", "(9 oz, 250 g)": the same again in several ways
    const pieces = bracket.split(/\s*[;,|]\s+/).map((piece) => {
      // "(a generous 1/4 tsp)"
      const own = tokenise(piece.replace(/^an?\s+(?=(?:generous|heaped|scant|good|level|rounded)\s+\d)/i, ""));
      const quantity = bracketQuantityAt(own, 0);
      // "(1 packet)" of yeast weighs something too
      const packet =
        /yeast/i.test(rest) &&
        quantity?.value.measured.kind === "count" &&
        /^(?:packet|sachet)$/.test(quantity.value.measured.thing ?? "");
      return quantity !== undefined && quantity.next >= own.length && (packet || isWeighed(quantity.value))
        ? quantity.value
        : piece;
    });
    const amounts = pieces.filter((piece) => typeof piece !== "string");
    bracketed.push(...amounts);
    if (amounts.length < pieces.length) words.push(pieces.filter((piece) => typeof piece === "string").join(", "));
  }
  // "3 bananas, about 300 g": a remark that is nothing but an amount
  const notes: string[] = [];
  for (const note of parts.notes) {
    const tokens = tokenise(
      note.replace(
        /^(?:(?:peeled|trimmed|cut down|boiled down|reduced) to|weighing|or|total|total weight|net weight|to give|giving|to yield|roughly)\s+/i,
        "",
      ),
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
  // "sunflower oil (or other neutral oil)": the first is as good as any
  const anyOther = /^(?:an?other|other|any|similar|whatever|your favourite|the like)\b/i;
  const known = others
    .filter((name) => !anyOther.test(name) || look(parts.head, context).certainty === "ask")
    .filter((name) => look(splitName(name).head, context).certainty !== "unknown")
    .map((name) => splitName(name).head);
  const alternatives = [...splitAlternatives(parts.head), ...known].slice(0, 4);
  const cleaned: NameParts = { head: alternatives[0], notes, brackets: words };
  const match = alternatives.length > 1 ? matchAlternatives(alternatives, cleaned, context) : bestMatch(cleaned, context);
  const filled = withFills(paired.first, [...notes, ...words]);
  const quantity = withSize(filled, parts.head, notes, words, match.found, context);
  const all: Paired = { first: quantity, others: [...paired.others, ...bracketed] };
  const note = [...match.notes, ...words.filter((word) => !match.phrase.includes(word))].join(", ");
  // "200 g butter, sugar": a remark that is the name of something else
  const less = [...notes, ...words].map(lessOf).find((one) => one !== undefined);
  if (less !== undefined) return withLess(match, all, less, note, text, rest, context);
  const needed = [...notes, ...words].map(neededOf).find((one) => one !== undefined);
  if (needed !== undefined) return onlyNeeded(match, all, needed, note, text, rest, context);
  const second = notes.find((one) => match.notes.includes(one) && namesAnother(one, match.found, context));
  const reading = combine(match, all, note, text, rest, context);
  return second === undefined ? reading : doubted(reading, `"${second}" may be a second ingredient; its amount is not known`);
}

/** "Less 2 tbsp", "minus 25 g": an amount that is taken away again. */
function lessOf(remark: string): Needed | undefined {
  const found = /^(?:less|minus)\s+(.+)$/i.exec(remark);
  if (found === null) return undefined;
  const tokens = tokenise(found[1]);
  const quantity = bracketQuantityAt(tokens, 0);
  return quantity !== undefined && quantity.next >= tokens.length && isWeighed(quantity.value)
    ? { said: remark, amount: quantity.value }
    : undefined;
}

function withLess(
  match: BestMatch,
  all: Paired,
  less: Needed,
  note: string,
  text: string,
  rest: string,
  context: LineContext,
): LineReading {
  const whole = combine(match, all, "", text, rest, context);
  const away = combine(match, { first: less.amount as Quantity, others: [] }, "", text, rest, context);
  const left = (whole.grams ?? 0) - (away.grams ?? 0);
  if (whole.grams == null || away.grams == null || !(left > 0))
    return { ...doubted(whole, `"${less.said}" was not understood`), note };
  const choice = (weight: number, why: string): ListChoice => ({
    ingredient: whole.ingredient ?? "",
    name: context.book.get(whole.ingredient ?? "")?.name ?? "",
    grams: weight,
    why,
  });
  return {
    ...doubted(whole, `"${less.said}" is taken away`),
    grams: roundGrams(left),
    note,
    choices: [choice(roundGrams(left), `with "${less.said}" taken away`), choice(whole.grams, "all of it")],
  };
}

interface Needed {
  readonly said: string;
  /** So much of it goes in; or this share of what is written. */
  readonly amount: Quantity | number;
}

/** "You need 200 g", "use 2/3", "only half needed": what of a pack goes in. */
function neededOf(remark: string): Needed | undefined {
  const found =
    /^(?:you(?:'ll| will)?\s+(?:only\s+)?(?:need|use)|use|using|only(?:\s+use)?|we need)\s+(?:only\s+|about\s+)?(.+?)(?:\s+(?:of (?:it|the \w+|a \w+)|is|are|needed|here|used))*$/i.exec(
      remark,
    );
  if (found === null) return undefined;
  const share = /^(?:(half)|(?:a |one )?(third)|(?:a |one )?(quarter)|(\d)\/(\d)|two[- ](thirds)|three[- ](quarters))$/i.exec(
    found[1].trim(),
  );
  if (share !== null) {
    const [, half, third, quarter, top, bottom, thirds, quarters] = share;
    const amount = half
      ? 1 / 2
      : third
        ? 1 / 3
        : quarter
          ? 1 / 4
          : thirds
            ? 2 / 3
            : quarters
              ? 3 / 4
              : Number(top) / Number(bottom);
    return amount > 0 && amount < 1 ? { said: remark, amount } : undefined;
  }
  const tokens = tokenise(found[1]);
  const quantity = bracketQuantityAt(tokens, 0);
  return quantity !== undefined && quantity.next >= tokens.length && isWeighed(quantity.value)
    ? { said: remark, amount: quantity.value }
    : undefined;
}

/** The line with what is needed of it as the likeliest weight, and the whole pack as the other. */
function onlyNeeded(
  match: BestMatch,
  all: Paired,
  needed: Needed,
  note: string,
  text: string,
  rest: string,
  context: LineContext,
): LineReading {
  const whole = combine(match, all, "", text, rest, context);
  const share = typeof needed.amount === "number" ? needed.amount : undefined;
  const part =
    share === undefined ? combine(match, { first: needed.amount as Quantity, others: [] }, "", text, rest, context) : whole;
  if (whole.grams == null || part.grams == null) return { ...doubted(whole, `"${needed.said}" was not understood`), note };
  const grams = roundGrams(part.grams * (share ?? 1));
  const choice = (weight: number, why: string): ListChoice => ({
    ingredient: whole.ingredient ?? "",
    name: context.book.get(whole.ingredient ?? "")?.name ?? "",
    grams: weight,
    why,
  });
  return {
    kind: "ingredient",
    status: whole.status === "not-understood" ? "not-understood" : "doubtful",
    ingredient: whole.ingredient,
    grams,
    note,
    reasons: [...whole.reasons, `"${needed.said}": what is needed is taken, not the whole pack`],
    choices: [choice(grams, needed.said), choice(whole.grams, "all of it")],
  };
}

/** Whether a remark names an ingredient, and another one than that of the line. */
function namesAnother(remark: string, found: NameMatch, context: LineContext): boolean {
  const name = remark.replace(/^(?:and|&|plus|with)\s+/i, "");
  if (/^(?:for|in|from|to|of|on|at|as|like|not|no)\b/i.test(name)) return false;
  if (!/^[a-z]{3,}(?: [a-z]+){0,3}$/i.test(name) || isPreparation(name)) return false;
  const other = findExactly(name, context.book, context.evidence.region);
  return other !== undefined && other.ids.length > 0 && !other.ids.some((id) => found.ids.includes(id));
}

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
    // "medium or large" leaves the size open
    if ((part.match(/\b(?:large|medium|small)\b/gi)?.length ?? 0) > 1) continue;
    const found = /\b(extra[- ]large|very large|large|medium|small|jumbo)\b/i.exec(part);
    if (found !== null) {
      const word = found[1].toLowerCase().replace("-", " ");
      return { ...quantity, size: word === "very large" ? "extra large" : (SIZES.get(word) ?? word) };
    }
  }
  return quantity;
}

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
      `${/\bpacked\b/i.test(text) && !/(?:not|un)\s?packed/i.test(text) ? "packed " : ""}${paired.first.fills.join(" ")} ${splitName(rest).head} ${match.phrase} ${splitName(rest).brackets.join(" ")}`,
    ),
  };
  const { ids } = found;
  const first = ids[0] === undefined ? undefined : book.get(ids[0]);
  const { measured } = paired.first;
  const about = paired.first.about ? ["the list says about"] : [];
  const extra = splitsUp(note, measured) ? undefined : (extraAmount(note) ?? uncounted(note, measured));
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
      if (option.grams !== null && !(option.grams > 0 && Number.isFinite(option.grams))) continue;
      if (choices.some((choice) => choice.ingredient === id && choice.grams === option.grams)) continue;
      choices.push({ ingredient: id, name: ingredient.name, grams: option.grams, why: why ?? option.why });
    }
    if (one.options.length === 0)
      choices.push({ ingredient: id, name: ingredient.name, grams: null, why: why ?? "the weight is not known" });
  };
  add(first.id, weighing, 5, undefined);
  for (const id of ids.slice(1, 5)) add(id, weighPaired(paired, book.get(id), weighContext), ids.length > 3 ? 1 : 2, undefined);
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
  if (choices.length === 0) choices.push({ ingredient: first.id, name: first.name, grams: null, why: "the weight is not known" });
  const shown = choices.slice(0, CHOICES_MAX);
  if (shown.length > 1 || !certain) reading.choices = shown;
  return reading;
}

/** Ginger and coffee mean the powder by the spoon, and something else by weight or volume. */
function byMeasure(found: NameMatch, measured: Measured, words: string): NameMatch {
  const { ids } = found;
  // A word that nobody understood ("ginger floss") is not settled by the measure
  if (/not understood|is it /.test(found.why ?? "")) return found;
  const spoon =
    (measured.kind === "vague" && !/^(?:knob|thumb|handful)$/.test(measured.thing)) ||
    (measured.kind === "volume" &&
      measured.parts.every((part) => part.unit === "teaspoon" || part.unit === "tablespoon" || part.unit === "dessertspoon"));
  const brewed =
    /\b(?:cold|hot|strong|brewed|black|cooled|liquid|made)\b/.test(words) &&
    !/\b(?:granules?|powder|instant|dissolved)\b/.test(words);
  if (ids[0] === "coffee-brewed" && spoon && !brewed && ids.includes("coffee-instant")) {
    return {
      certainty: "ask",
      ids: ["coffee-instant", ...ids.filter((id) => id !== "coffee-instant")],
      why: "Coffee by the spoon may be instant coffee, or the drink.",
    };
  }
  if (ids[0] === "bicarbonate-of-soda" && found.certainty === "ask" && spoon)
    return { certainty: "taken", ids, why: "Soda by the spoon is bicarbonate of soda." };
  // Margarine by the stick or the block is the hard one
  const hard = ids.find((id) => id === "block-margarine" || id === "margarine-stick-us");
  if (
    hard !== undefined &&
    found.certainty !== "sure" &&
    ids.some((id) => /^soft-/.test(id)) &&
    /\b(?:sticks?|block|hard)\b/.test(words)
  )
    return {
      certainty: "taken",
      ids: [hard, ...ids.filter((id) => id !== hard)],
      why: "Margarine by the stick is the hard one.",
    };
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
  // "tossed in 1 tbsp of the flour" is of another line
  if (note === "" || /\d.*\bof the\b/i.test(note)) return undefined;
  // "1 egg + enough milk to make 200 ml"
  if (
    /(?:^|,\s*)(?:plus|\+|and|&)\s+(?:enough|some|a splash of|a dash of|a drop of|a squeeze of)\s/i.test(note) &&
    !FOR_THE_BENCH.test(note)
  ) {
    return `a second ingredient in the line was not counted: "${note}"`;
  }
  // "3 oz butter, 6 oz icing sugar": a remark that is an ingredient; "50 g of it melted" and "30 g for the top" are none
  for (const part of note.split(/\s*[,;]\s*/)) {
    const words = tokenise(part);
    const amount = words[0]?.kind === "number" ? quantityAt(words, 0) : undefined;
    const after = amount === undefined ? undefined : words[amount.next]?.text;
    if (
      amount !== undefined &&
      isWeighed(amount.value) &&
      after !== undefined &&
      !/^(?:for|to|in|at|each|total|when|after|with|and|left|reserved|kept|softened|melted|cold|cubed|chopped|grated|%|°|c|f|cm|mm|\)|\/|-)$/.test(
        after,
      ) &&
      words[amount.next - 1]?.text !== "of"
    ) {
      return `a second amount in the line was not counted: "${part}"`;
    }
  }
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
