import { commonName } from "./commonNames.js";
import type { NameStyle } from "./displayName.js";
import type { Ingredient, IngredientBook } from "./ingredient.js";
import { editDistance, foldName, stemOf, tokensOf } from "./nameMatching.js";

export interface IngredientMatch {
  readonly ingredient: Ingredient;
  /** The name of the ingredient that the text came nearest to. */
  readonly matchedName: string;
  /** 0 to 1; 1 is the very name. Above about 0.8 a typing mistake or a word left out; below 0.55 nothing is returned. */
  readonly score: number;
  /** The text is one of its names, apart from case, accents, hyphens, plural and word order. */
  readonly exact: boolean;
}

export interface SearchOptions {
  /** How many at most; 8 when not given. */
  readonly limit?: number;
  /** Whose names the writer uses; it decides between equals ("bread flour", "milk"). British when not given. */
  readonly names?: NameStyle;
}

const MIN_SCORE = 0.55;

/**
 * Ingredients whose name is like the text, best first: any name, British or US, with typing mistakes, or the beginning of one.
 *
 * @param text  what was typed: "bicarb", "self rasing flour", "confectioners sugar"; only its first 120 characters are looked at
 * @returns  at most `limit` matches, best first; none for text without letters. The order is the same each time for one book.
 *
 * The first search in a book builds an index (a few ms); it is kept for as long as the book.
 */
export function searchIngredients(book: IngredientBook, text: string, options: SearchOptions = {}): readonly IngredientMatch[] {
  const { limit = 8, names = "british" } = options;
  const query = readQuery(text);
  if (query.tokens.length === 0 || limit <= 0) return [];
  const index = indexOf(book);
  const wordWeights = query.tokens.map((token) => wordWeight(index, token));
  const bestOfWord = query.tokens.map((token, position) => likeness(index, token, position === query.tokens.length - 1));

  const common = commonName(query.key, names);
  const found: { entry: IndexedIngredient; match: IngredientMatch; order: number }[] = [];
  for (const entry of index.entries) {
    let best: { score: number; name: IndexedName; exact: boolean } | undefined;
    for (const name of entry.names) {
      const scored = scoreName(name, query, bestOfWord, wordWeights, names);
      if (scored && (best === undefined || scored.score > best.score)) best = { ...scored, name };
    }
    const rank = common ? common.indexOf(entry.ingredient.id) : -1;
    if (!best && rank < 0) continue;
    // A bare common word has an order of its own, which goes before likeness of names.
    const score = rank < 0 ? best!.score : Math.max(best?.score ?? 0, 1 - 0.02 * rank);
    if (score < MIN_SCORE) continue;
    found.push({
      entry,
      order: rank < 0 ? score : 2 - 0.01 * rank,
      match: {
        ingredient: entry.ingredient,
        matchedName: best?.name.text ?? entry.ingredient.name,
        score: Math.round(score * 1000) / 1000,
        exact: best?.exact ?? rank >= 0,
      },
    });
  }
  found.sort((a, b) => b.order - a.order || a.entry.place - b.entry.place);
  return found.slice(0, limit).map(({ match }) => match);
}

interface Query {
  readonly key: string;
  readonly squashed: string;
  readonly tokens: readonly string[];
  readonly stems: readonly string[];
}

function readQuery(text: string): Query {
  const tokens = tokensOf(foldName(text.slice(0, 120))).slice(0, 10);
  const stems = tokens.map(stemOf);
  return { tokens, stems, key: stems.join(" "), squashed: stems.join("") };
}

interface IndexedName {
  readonly text: string;
  readonly kind: "name" | "us" | "other" | "near";
  /** Indices into `vocabulary`. */
  readonly words: readonly number[];
  readonly squashed: string;
  readonly sorted: string;
  readonly weight: number;
}

interface IndexedIngredient {
  readonly ingredient: Ingredient;
  readonly names: readonly IndexedName[];
  readonly place: number;
}

interface SearchIndex {
  readonly entries: readonly IndexedIngredient[];
  readonly vocabulary: readonly string[];
  readonly wordNumbers: ReadonlyMap<string, number>;
  /** How much a word tells, by how few ingredients share it: "flour" little, "buckwheat" much. */
  readonly weights: readonly number[];
}

const indices = new WeakMap<IngredientBook, SearchIndex>();

function indexOf(book: IngredientBook): SearchIndex {
  const known = indices.get(book);
  if (known) return known;
  const index = buildIndex(book);
  indices.set(book, index);
  return index;
}

function buildIndex(book: IngredientBook): SearchIndex {
  const wordNumbers = new Map<string, number>();
  const vocabulary: string[] = [];
  const holders: number[] = [];
  const drafts = book.all.map((ingredient) => {
    const seen = new Set<number>();
    const names = namesOf(ingredient).map(({ text, kind }) => {
      const stems = tokensOf(foldName(text)).map(stemOf);
      const words = stems.map((stem) => {
        let number = wordNumbers.get(stem);
        if (number === undefined) {
          number = vocabulary.length;
          wordNumbers.set(stem, number);
          vocabulary.push(stem);
          holders.push(0);
        }
        seen.add(number);
        return number;
      });
      return { text, kind, words, squashed: stems.join(""), sorted: [...stems].sort().join(" ") };
    });
    for (const number of seen) holders[number] = holders[number]! + 1;
    return { ingredient, names };
  });
  const weights = holders.map((count) => 1 / (1 + Math.log(1 + count / 3)));
  const entries = drafts.map(({ ingredient, names }, place) => ({
    ingredient,
    place,
    names: names
      .filter((name) => name.words.length > 0)
      .map((name) => ({ ...name, weight: name.words.reduce((sum, word) => sum + weights[word]!, 0) })),
  }));
  return { entries, vocabulary, wordNumbers, weights };
}

function namesOf(ingredient: Ingredient): { text: string; kind: IndexedName["kind"] }[] {
  const near = /\s*\((?:nearest|near)[^)]*\)\s*/i;
  const named = (text: string, kind: IndexedName["kind"]) =>
    near.test(text) ? { text: text.replace(near, ""), kind: "near" as const } : { text, kind };
  return [
    named(ingredient.name, "name"),
    ...(ingredient.usName ? [named(ingredient.usName, "us")] : []),
    ...ingredient.otherNames.map((name) => named(name, "other")),
    { text: ingredient.id.replaceAll("-", " "), kind: "other" as const },
  ];
}

function wordWeight(index: SearchIndex, token: string): number {
  const number = index.wordNumbers.get(stemOf(token));
  // A word that no name has: probably mistyped, so it tells as much as a middling word.
  return number === undefined ? 0.6 : index.weights[number]!;
}

/** How like a typed word each word of the vocabulary is, 0 to 1. Only words that are alike at all are kept. */
function likeness(index: SearchIndex, token: string, isLast: boolean): ReadonlyMap<number, number> {
  const stem = stemOf(token);
  const like = new Map<number, number>();
  index.vocabulary.forEach((word, number) => {
    if (word === stem) {
      like.set(number, 1);
      return;
    }
    if (token.length >= 2 && word.startsWith(token)) {
      // Still typing: the longer the beginning, the surer. In the middle of the text a beginning is an abbreviation.
      like.set(number, (isLast ? 0.8 : 0.7) + 0.18 * (token.length / word.length));
      return;
    }
    const allowed = token.length < 4 ? 0 : token.length < 8 ? 1 : 2;
    if (allowed === 0 || Math.abs(word.length - stem.length) > allowed || word.length < 3) return;
    const distance = editDistance(stem, word, allowed);
    if (distance <= allowed) like.set(number, 1 - (distance * 1.3) / Math.max(stem.length, word.length));
  });
  return like;
}

function scoreName(
  name: IndexedName,
  query: Query,
  bestOfWord: readonly ReadonlyMap<number, number>[],
  queryWeights: readonly number[],
  names: NameStyle,
): { score: number; exact: boolean } | undefined {
  const preference = preferenceFor(name.kind, names);
  if (name.squashed === query.squashed) return { score: preference, exact: name.kind !== "near" };
  if (name.sorted === [...query.stems].sort().join(" ")) return { score: preference - 0.005, exact: name.kind !== "near" };

  let matched = 0;
  let total = 0;
  let covered = 0;
  const used = new Set<number>();
  bestOfWord.forEach((like, position) => {
    const weight = queryWeights[position]!;
    total += weight;
    let best = 0;
    let bestAt = -1;
    name.words.forEach((word, at) => {
      const value = used.has(at) ? 0 : (like.get(word) ?? 0);
      if (value > best) {
        best = value;
        bestAt = at;
      }
    });
    if (bestAt < 0) return;
    used.add(bestAt);
    matched += weight * best;
    covered += best * name.weight * (1 / name.words.length);
  });
  let score = 0;
  if (used.size > 0) {
    // What was typed must be found; what the name has beyond it counts less, because people leave words out.
    const recall = matched / total;
    const precision = covered / name.weight;
    score = 0.97 * recall * (0.78 + 0.22 * precision);
  }
  // "corn flour" for "cornflour", "butter milk", "desicated coconut": the words run together.
  const length = Math.max(name.squashed.length, query.squashed.length);
  const allowed = length < 6 ? 1 : length < 12 ? 2 : 3;
  if (Math.abs(name.squashed.length - query.squashed.length) <= allowed && query.squashed.length > 3) {
    const distance = editDistance(query.squashed, name.squashed, allowed);
    if (distance <= allowed) score = Math.max(score, 0.97 - (distance * 1.2) / length);
  }
  return score > 0 ? { score: score * preference, exact: false } : undefined;
}

/** Between equals the main name wins, then the name of the reader's country, then other names, then a nearest stand-in. */
function preferenceFor(kind: IndexedName["kind"], names: NameStyle): number {
  if (kind === "near") return 0.9;
  if (kind === "other") return 0.975;
  if (kind === "us") return names === "us" ? 1 : 0.985;
  return names === "us" ? 0.99 : 1;
}
