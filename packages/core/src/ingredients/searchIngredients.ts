import { commonBeginnings, commonName } from "./commonNames.js";
import type { NameStyle } from "./displayName.js";
import type { AllergenName, Ingredient, IngredientBook } from "./ingredient.js";
import { editDistance, foldName, letterDifference, letterSet, stemOf, tokensOf } from "./nameMatching.js";

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
  const { wanted, without } = readWithout(text);
  const query = readQuery(wanted);
  if (query.tokens.length === 0 || limit <= 0) return [];
  const index = indexOf(book);
  const wordWeights = query.tokens.map((token) => wordWeight(index, token));
  const likeWords = query.tokens.map((token, position) => likeness(index, token, position === query.tokens.length - 1));

  const scored = index.entries.map((entry) => ({ entry, best: bestName(entry, query, likeWords, wordWeights, names) }));
  const bare = commonName(query.key, names);
  // "melted butter" is butter, though not to the letter; "fresh yeast" is a name of its own.
  const named = scored.some(({ best }) => best?.exact);
  const common = bare ?? (named ? undefined : commonName(withoutPreparation(query), names)) ?? [];
  const beginnings = common.length === 0 ? commonBeginnings(query.key, names) : [];
  const found: { entry: IndexedIngredient; match: IngredientMatch; order: number }[] = [];
  for (const { entry, best } of scored) {
    if (without.some((allergen) => entry.ingredient.contains.some((one) => one.allergen === allergen))) continue;
    const rank = common.indexOf(entry.ingredient.id);
    if (!best && rank < 0) continue;
    // A bare common word has an order of its own, which goes before likeness of names.
    const score = rank < 0 ? best!.score : Math.max(best?.score ?? 0, (bare ? 1 : 0.97) - 0.02 * rank);
    if (score < MIN_SCORE) continue;
    found.push({
      entry,
      order: rank < 0 ? score + (beginnings.includes(entry.ingredient.id) ? 0.15 : 0) : 2 - 0.01 * rank,
      match: {
        ingredient: entry.ingredient,
        matchedName: best?.name.text ?? entry.ingredient.name,
        score: Math.round(score * 1000) / 1000,
        exact: best?.exact ?? (bare !== undefined && rank === 0),
      },
    });
  }
  found.sort((a, b) => b.order - a.order || a.entry.place - b.entry.place);
  return found.slice(0, limit).map(({ match }) => match);
}

// "gluten-free flour" must never offer wheat gluten. "Free-range egg" and "egg, free range" ask for nothing to be left out.
const FREE_FROM = /\b(gluten|wheat|dairy|milk|lactose|eggs?|nuts?|peanuts?|soya?|sesame)[\s-]*free\b(?![\s-]*range)/gi;
const FREE_OF: Readonly<Record<string, AllergenName>> = {
  gluten: "cereals-gluten",
  wheat: "cereals-gluten",
  dairy: "milk",
  milk: "milk",
  lactose: "milk",
  egg: "eggs",
  nut: "nuts",
  peanut: "peanuts",
  soy: "soybeans",
  soya: "soybeans",
  sesame: "sesame",
};

function readWithout(text: string): { readonly wanted: string; readonly without: readonly AllergenName[] } {
  const without: AllergenName[] = [];
  const wanted = text.slice(0, MOST_LETTERS).replace(FREE_FROM, (_whole, what: string) => {
    without.push(FREE_OF[what.toLowerCase().replace(/s$/, "")]!);
    return " ";
  });
  return { wanted, without };
}

const MOST_LETTERS = 120;

interface Query {
  readonly key: string;
  readonly squashed: string;
  readonly tokens: readonly string[];
  readonly sorted: string;
  readonly letters: number;
}

function readQuery(text: string): Query {
  const tokens = tokensOf(foldName(text.slice(0, MOST_LETTERS))).slice(0, 10);
  const stems = tokens.map(stemOf);
  const squashed = stems.join("");
  return { tokens, key: stems.join(" "), squashed, sorted: [...stems].sort().join(" "), letters: letterSet(squashed) };
}

interface ScoredName {
  readonly score: number;
  readonly name: IndexedName;
  readonly exact: boolean;
}

function bestName(
  entry: IndexedIngredient,
  query: Query,
  likeWords: readonly Float64Array[],
  wordWeights: readonly number[],
  names: NameStyle,
): ScoredName | undefined {
  let best: ScoredName | undefined;
  for (const name of entry.names) {
    const scored = scoreName(name, query, likeWords, wordWeights, names);
    if (scored && (best === undefined || scored.score > best.score)) best = { ...scored, name };
  }
  return best;
}

function withoutPreparation({ tokens }: Query): string {
  return tokens
    .filter((token) => !PREPARATION.has(token))
    .map(stemOf)
    .join(" ");
}

interface IndexedName {
  readonly text: string;
  readonly kind: "name" | "us" | "other" | "near";
  /** Indices into `vocabulary`. */
  readonly words: readonly number[];
  readonly squashed: string;
  readonly sorted: string;
  readonly letters: number;
}

interface IndexedIngredient {
  readonly ingredient: Ingredient;
  readonly names: readonly IndexedName[];
  readonly place: number;
}

interface SearchIndex {
  readonly entries: readonly IndexedIngredient[];
  readonly vocabulary: readonly string[];
  readonly vocabularyLetters: readonly number[];
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
      const squashed = stems.join("");
      return { text, kind, words, squashed, sorted: [...stems].sort().join(" "), letters: letterSet(squashed) };
    });
    for (const number of seen) holders[number] = holders[number]! + 1;
    return { ingredient, names };
  });
  const weights = holders.map((count) => 1 / (1 + Math.log(1 + count / 3)));
  const entries = drafts.map(({ ingredient, names }, place) => ({
    ingredient,
    place,
    names: names.filter((name) => name.words.length > 0),
  }));
  return { entries, vocabulary, vocabularyLetters: vocabulary.map(letterSet), wordNumbers, weights };
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
  // How it is prepared or grown hardly tells what it is. A word that no name has is probably mistyped.
  if (PREPARATION.has(token)) return 0.1;
  return number === undefined ? 0.5 : index.weights[number]!;
}

const PREPARATION = new Set(
  (
    "organic fresh freshly chopped melted softened soft sifted sieved toasted grated finely coarsely roughly cold warm hot chilled " +
    "room temperature good quality fine large small medium ripe pure natural plain cooled crushed diced sliced halved peeled pitted stoned " +
    "pinch dash splash handful knob sprig drop few " +
    "free range packed level heaped extra lightly beaten cubed unwaxed washed dried frozen thawed drained local your favourite"
  ).split(" "),
);

/** How like a typed word each word of the vocabulary is, 0 (not at all) to 1. */
function likeness(index: SearchIndex, token: string, isLast: boolean): Float64Array {
  const stem = stemOf(token);
  const letters = letterSet(stem);
  const allowed = token.length < 4 ? 0 : token.length < 8 ? 1 : 2;
  const like = new Float64Array(index.vocabulary.length);
  index.vocabulary.forEach((word, number) => {
    if (word === stem) {
      like[number] = 1;
    } else if ((isLast || token.length >= 2) && word.startsWith(token)) {
      // Still typing: the longer the beginning, the surer. In the middle of the text a beginning is an abbreviation.
      like[number] = (isLast ? 0.8 : 0.7) + 0.18 * (token.length / word.length);
    } else if (allowed > 0 && word.length >= 3 && letterDifference(letters, index.vocabularyLetters[number]!) <= 2 * allowed) {
      const distance = editDistance(stem, word, allowed);
      if (distance <= allowed) like[number] = 1 - (distance * 1.3) / Math.max(stem.length, word.length);
    }
  });
  return like;
}

function scoreName(
  name: IndexedName,
  query: Query,
  likeWords: readonly Float64Array[],
  queryWeights: readonly number[],
  names: NameStyle,
): { score: number; exact: boolean } | undefined {
  const preference = preferenceFor(name.kind, names);
  if (name.squashed === query.squashed) return { score: preference, exact: name.kind !== "near" };
  if (name.sorted === query.sorted) return { score: preference - 0.005, exact: name.kind !== "near" };
  const score = Math.max(scoreWords(name, likeWords, queryWeights), scoreRunTogether(name, query));
  return score > 0 ? { score: score * preference, exact: false } : undefined;
}

/** Word by word, in any order: what was typed must be found; what the name has beyond it counts less, as people leave words out. */
function scoreWords(name: IndexedName, likeWords: readonly Float64Array[], queryWeights: readonly number[]): number {
  let matched = 0;
  let total = 0;
  let covered = 0;
  let used = 0; // one bit a word of the name
  for (let position = 0; position < likeWords.length; position++) {
    const like = likeWords[position]!;
    const weight = queryWeights[position]!;
    total += weight;
    let best = 0;
    let bestAt = -1;
    for (let at = 0; at < name.words.length; at++) {
      const value = like[name.words[at]!]!;
      if (value > best && (used & (1 << at)) === 0) {
        best = value;
        bestAt = at;
      }
    }
    if (bestAt < 0) continue;
    used |= 1 << bestAt;
    matched += weight * best;
    covered += best;
  }
  return matched === 0 ? 0 : 0.97 * (matched / total) * (0.78 + 0.22 * (covered / name.words.length));
}

/** "corn flour" for "cornflour", "butter milk", "desicated coconut": the words run together. */
function scoreRunTogether(name: IndexedName, query: Query): number {
  const length = Math.max(name.squashed.length, query.squashed.length);
  const allowed = length < 6 ? 1 : length < 12 ? 2 : 3;
  if (query.squashed.length <= 3 || Math.abs(name.squashed.length - query.squashed.length) > allowed) return 0;
  if (letterDifference(name.letters, query.letters) > 2 * allowed) return 0;
  const distance = editDistance(query.squashed, name.squashed, allowed);
  return distance <= allowed ? 0.97 - (distance * 1.2) / length : 0;
}

/** Between equals the main name wins, then the name of the reader's country, then other names, then a nearest stand-in. */
function preferenceFor(kind: IndexedName["kind"], names: NameStyle): number {
  if (kind === "near") return 0.9;
  if (kind === "other") return 0.975;
  if (kind === "us") return names === "us" ? 1 : 0.985;
  return names === "us" ? 0.99 : 1;
}
