import { SIZES, UNITS } from "./amountWords.js";
import { doubted, type LineContext, type LineReading } from "./lineReading.js";
import type { ListChoice } from "./listLine.js";
import { pullBrackets } from "./nameParts.js";
import { bracketQuantityAt, pairedAt } from "./pairedAmount.js";
import { isWeighed } from "./pairedWeight.js";
import { type Quantity, quantityAt } from "./quantity.js";
import { readAssembled } from "./readIngredient.js";
import { fold } from "./tidy.js";
import { tokenise } from "./tokens.js";
import { roundGrams } from "./weighing.js";

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
export function readFruitParts(text: string, context: LineContext): readonly LineReading[] | undefined {
  const words = fold(text);
  const eggs = /^(?:the\s+)?(?:egg\s+)?(whites?|yolks?)\s+(?:of|from)\s+/.exec(words);
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
  // "4 eggs, 1 white only" is of one of them
  if (only !== null && !/\beggs?\b.*(?:\d|\b(?:one|two|three)\b).*\b(?:whites?|yolks?) only\b/.test(words)) {
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
  // "zest of 1 lemon, plus 2 tbsp juice": the juice is measured
  const own =
    /^(.*?\b(?:zest|rind|peel)\b.*?)[,\s]+(?:plus|and|&|\+)\s+(\d.*?)\s+(?:of\s+)?(?:the\s+|its\s+)?(?:(lemon|lime|orange)\s+)?juice\s*$/i.exec(
      text,
    );
  if (own !== null) {
    const [, before, measure, named] = own;
    const measured = tokenise(measure);
    const juice = pairedAt(measured, 0);
    const zest = readFruitParts(before, context);
    const fruit = named?.toLowerCase() ?? new RegExp(FRUIT.source).exec(fold(before))?.[1];
    if (
      juice !== undefined &&
      juice.next >= measured.length &&
      isWeighed(juice.value.first) &&
      zest !== undefined &&
      fruit !== undefined
    )
      return [...zest, readAssembled(`${fruit} juice`, juice.value, text, context)].map((reading, at) => ({
        ...reading,
        part: at + 1,
      }));
  }
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
  const several = readFruitsApart(text, fruits, { zest: wantsZest, juice: wantsJuice }, context);
  if (several !== undefined) return several;
  const [{ fruit, amount, start }] = fruits;
  // "2 oranges (about 560 g), boiled": the whole fruit, weighed
  if (!wantsZest && !wantsJuice) {
    const flesh = CITRUS.get(fruit)?.flesh;
    const weighed = pullBrackets(text).brackets.flatMap((bracket) => {
      const inner = tokenise(bracket);
      const measured = bracketQuantityAt(inner, 0);
      return measured !== undefined && measured.next >= inner.length && measured.value.measured.kind === "mass"
        ? [measured.value]
        : [];
    });
    if (weighed.length === 1 && flesh !== undefined && context.book.get(flesh) !== undefined)
      return [
        doubted(
          readAssembled(fruit, { first: weighed[0], others: [] }, text, context),
          "the weight may be with peel and pips, and the line does not say what is used",
        ),
      ];
  }
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
    const grams = roundGrams(number * each);
    const name = book.get(id)?.name ?? id;
    const likeness =
      id === kinds.zest && (fruit === "lemon" || fruit === "lime" || fruit === "orange")
        ? []
        : [`The book has no ${fruit} zest; ${name.toLowerCase()} is the nearest.`];
    const zest: ListChoice[] = [1, 0.6, 1.5].map((factor) => ({
      ingredient: id,
      name,
      grams: roundGrams(grams * factor),
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
            grams: roundGrams(number * piece.grams),
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
      ...(wantsZest && fruits.length > 1 ? ["the line names more than one fruit"] : []),
      ...(more ? ["the line has a second number"] : []),
      ...(sized ? [`the table does not say what a ${amount.size} fruit gives`] : []),
      ...(juice.sourced ? [] : ["how much juice a fruit gives is from memory"]),
      ...amount.doubts.map((doubt) => doubt.why),
    ];
    const grams = range ? roundGrams(((span.low + span.high) / 2) * (juice.grams / juiceNumber)) : juice.grams;
    const choices = [1, 0.7, 1.3].map((factor) => ({
      ingredient: id,
      name,
      grams: roundGrams(grams * factor),
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

/** "Zest of 1 lemon and 1 orange", "zest of 1 lemon and juice of 2 oranges": each fruit for itself. */
function readFruitsApart(
  text: string,
  fruits: readonly { readonly fruit: string; readonly amount: Quantity }[],
  wants: { readonly zest: boolean; readonly juice: boolean },
  context: LineContext,
): readonly LineReading[] | undefined {
  if (fruits.length !== 2 || fruits[0].fruit === fruits[1].fruit || !(wants.zest || wants.juice)) return undefined;
  const numbers = tokenise(text).filter((token) => token.kind === "number");
  if (numbers.length > 2 || /[(]/.test(text)) return undefined;
  let pieces: readonly string[];
  if (wants.zest && wants.juice) {
    pieces = text.split(
      /\s*(?:,|\band\b|\bplus\b|&|\+)\s*(?=(?:the\s+)?(?:juice|zest|finely|grated)\b.*\b(?:lemon|lime|orange|clementine|grapefruit))/i,
    );
    const alone = (piece: string) => new RegExp(FRUIT.source).test(fold(piece)) && /\b(?:juice|zest|rind|peel)/i.test(piece);
    if (pieces.length !== 2 || !pieces.every(alone)) return undefined;
  } else {
    const part = wants.zest ? "zest" : "juice";
    const count = (amount: Quantity) => (amount.measured.kind === "count" ? amount.measured.amount : undefined);
    if (fruits.some(({ amount }) => amount.doubts.length > 0 || count(amount)?.low !== count(amount)?.high)) return undefined;
    pieces = fruits.map(({ fruit, amount }) => `${part} of ${count(amount)?.high ?? 1} ${amount.size ?? ""} ${fruit}`);
  }
  const readings = pieces.map((piece) => readFruitParts(piece, context));
  if (readings.some((reading) => reading === undefined)) return undefined;
  return readings.flatMap((reading) => reading ?? []).map((reading, at) => ({ ...reading, note: text.trim(), part: at + 1 }));
}

function juiceOf(fruit: string, number: number, { book }: LineContext): { grams: number; why: string; sourced: boolean } {
  const id = fruit === "lemon" ? "lemon-juice" : fruit === "lime" ? "lime-juice" : "orange-juice";
  const yields =
    JUICE_GRAMS[fruit] === undefined
      ? book.get(id)?.householdWeights.find((one) => /^(?:lemon|lime|fruit) yields/.test(one.measure))
      : undefined;
  const each = yields?.grams ?? JUICE_GRAMS[fruit] ?? 45;
  return {
    grams: roundGrams(number * each),
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
