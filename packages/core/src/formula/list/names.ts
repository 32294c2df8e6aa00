import type { IngredientBook } from "../../ingredients/index.js";
import { fold } from "./tidy.js";
import { PREPARATION_WORDS, TRADE_NAMES, type TradeName } from "./tradeNames.js";

/** Whose names the list uses. */
export type NameRegion = "uk" | "us";

/**
 * How a name was found. sure: it means one ingredient; taken: the trade's habit, alternatives offered; ask: the baker has to say;
 * unknown: not in the book (candidates, if any, only look like it).
 */
export interface NameMatch {
  readonly certainty: "sure" | "taken" | "ask" | "unknown";
  /** Ids in the book, likeliest first. */
  readonly ids: readonly string[];
  readonly why?: string;
}

const SPELLINGS: ReadonlyMap<string, string> = new Map(
  Object.entries({
    yogurt: "yoghurt",
    yoghourt: "yoghurt",
    yogourt: "yoghurt",
    castor: "caster",
    whiskey: "whisky",
    gelatin: "gelatine",
    glycerin: "glycerine",
    cardamon: "cardamom",
    dessicated: "desiccated",
    desicated: "desiccated",
    dessicatted: "desiccated",
    soy: "soya",
    choc: "chocolate",
    demarara: "demerara",
    demerera: "demerara",
    pasteurized: "pasteurised",
    crystallized: "crystallised",
    color: "colour",
    coloring: "colouring",
    flavoring: "flavouring",
    flavorless: "flavourless",
    veg: "vegetable",
    wholewheat: "wholemeal",
    semiskimmed: "semi skimmed",
    selfraising: "self raising",
    selfrising: "self rising",
    icingsugar: "icing sugar",
    bakingpowder: "baking powder",
    bakingsoda: "baking soda",
    sr: "self raising",
    srf: "self raising flour",
    strawbs: "strawberry",
    rasps: "raspberry",
    blackberrys: "blackberry",
    pwdr: "powder",
    powd: "powder",
    pwd: "powder",
    flr: "flour",
    btr: "butter",
    vanila: "vanilla",
    cinamon: "cinnamon",
    evoo: "olive oil",
    evap: "evaporated",
    ap: "all purpose",
    allpurpose: "all purpose",
    cornstarch: "corn starch",
    buttermilk: "buttermilk",
    treacles: "treacle",
    bicarbonated: "bicarbonate",
    sodium: "sodium",
    confectioner: "confectioner",
    chocolates: "chocolate",
    unsltd: "unsalted",
    unslt: "unsalted",
    pl: "plain",
    cherrys: "cherry",
    egs: "egg",
    conserve: "jam",
    preserve: "jam",
    gran: "granulated",
    sug: "sugar",
    choco: "chocolate",
  }),
);

function singular(word: string): string {
  if (word.length < 4 || !word.endsWith("s")) return word;
  if (/(?:ss|us|is)$/.test(word)) return word;
  if (word === "leaves") return "leaf";
  if (word === "halves") return "half";
  if (word.endsWith("ies") && word.length > 4) return `${word.slice(0, -3)}y`;
  if (/(?:oes|ches|shes|xes|sses)$/.test(word)) return word.slice(0, -2);
  return word.slice(0, -1);
}

/** A name without what does not matter: case, accents, hyphens, plural, spelling of either shore. Words parted by one space. */
export function nameKey(phrase: string): string {
  const known = keyMemory.get(phrase);
  if (known !== undefined) return known;
  const key = makeKey(phrase);
  if (keyMemory.size >= MEMORY_MAX) keyMemory.clear();
  keyMemory.set(phrase, key);
  return key;
}

/** A line's phrases are looked at many times while it is read. A book lives long and a hostile list is endless: memory is not. */
const MEMORY_MAX = 5000;
const keyMemory = new Map<string, string>();

function makeKey(phrase: string): string {
  const words: string[] = [];
  for (const raw of fold(phrase)
    .replace(/\s+%/g, "%")
    .replace(/\bsemi[- ]sweet/g, "semisweet")
    .replace(/(\d)\s?(?:percent|per cent)\b/g, "$1%")
    .replace(/'s\b|s'(?=\s|$)/g, "s")
    .replace(/\b([a-z])\.(?:([a-z])\.)/g, "$1$2")
    .replace(/[^a-z0-9%]+/g, " ")
    .trim()
    .split(" ")) {
    if (raw === "") continue;
    const word = SPELLINGS.get(raw) ?? singular(raw);
    words.push(SPELLINGS.get(word) ?? word);
  }
  return words.join(" ");
}

interface Entry {
  readonly ids: readonly string[];
  readonly certainty: NameMatch["certainty"];
  readonly why?: string;
}

interface LetteredKey {
  readonly key: string;
  readonly letters: Uint8Array;
  /** A bit for each letter that is in it. */
  readonly mask: number;
}

interface NameIndex {
  readonly uk: ReadonlyMap<string, Entry>;
  readonly us: ReadonlyMap<string, Entry>;
  /** The same keys with their words in order of the alphabet: "sugar, caster". */
  readonly ukSorted: ReadonlyMap<string, Entry>;
  readonly usSorted: ReadonlyMap<string, Entry>;
  /** By their length. */
  readonly keys: ReadonlyMap<number, readonly LetteredKey[]>;
  readonly vocabulary: ReadonlySet<string>;
  /** Words in the longest name. */
  readonly wordsMax: number;
  readonly typos: Map<string, NearestKey | undefined>;
  /** The words of the names by first letter and length. */
  readonly spellings: ReadonlyMap<string, readonly string[]>;
  /** What was found for a phrase, by region and phrase. */
  readonly found: Map<string, NameMatch>;
}

const indexes = new WeakMap<IngredientBook, NameIndex>();
const sortLetters = (word: string) => [...word].sort().join("");
const sortWords = (key: string) => key.split(" ").sort().join(" ");

function indexOf(book: IngredientBook): NameIndex {
  const known = indexes.get(book);
  if (known !== undefined) return known;
  const uk = new Map<string, Entry>();
  const us = new Map<string, Entry>();
  const put = (map: Map<string, Entry>, name: string, entry: Entry) => {
    const key = nameKey(name);
    if (key !== "" && !map.has(key)) map.set(key, entry);
  };
  // The baker's own names come first: they know what they mean by them.
  for (const ingredient of book.all) {
    if (ingredient.basis !== "own" && ingredient.basis !== "compound") continue;
    const entry: Entry = { ids: [ingredient.id], certainty: "sure" };
    for (const name of [ingredient.name, ingredient.usName ?? "", ...ingredient.otherNames, ingredient.id]) {
      put(uk, name, entry);
      put(us, name, entry);
    }
  }
  const inBook = (ids: string) => ids.split(" ").filter((id) => id !== "" && book.get(id) !== undefined);
  const tradeEntry = (row: TradeName, region: NameRegion): Entry | undefined => {
    const ids = inBook(region === "us" ? (row.us ?? row.uk) : row.uk);
    // A thing that the book does not have, named so that part of its name is not taken for the whole.
    if (row.uk === "") return { ids: [], certainty: "unknown", why: row.why };
    if (ids.length === 0) return undefined;
    const asks = row.how === "ask" || row.how === `ask ${region}`;
    const certainty = asks ? "ask" : row.why === "" ? "sure" : "taken";
    return { ids, certainty, ...(row.why === "" ? {} : { why: row.why }) };
  };
  // A row that offers the nearest gives way as soon as the book has the thing itself.
  const primary = new Set(book.all.flatMap((one) => [nameKey(one.name), nameKey(one.usName ?? ""), nameKey(one.id)]));
  for (const row of TRADE_NAMES) {
    const stopgap = row.uk === "" || /^The book has/.test(row.why);
    const [british, american] = [tradeEntry(row, "uk"), tradeEntry(row, "us")];
    for (const name of row.names.split(";")) {
      if (stopgap && primary.has(nameKey(name))) continue;
      if (british !== undefined) put(uk, name, british);
      if (american !== undefined) put(us, name, american);
    }
  }
  const bare = (name: string) => name.replace(/\s*\([^)]*\)/g, "");
  const isNearest = (name: string) => /\(nearest/.test(name);
  const nearest: Entry["why"] = "The book has no such ingredient; the nearest is offered.";
  // Exact names before names without their bracket, and each shore's own name before the other's.
  const american = book.all.filter((one) => /-us$|-us-/.test(one.id) || /\(US\b/.test(one.name));
  for (const one of american)
    if (one.usName !== undefined && !isNearest(one.usName)) put(us, one.usName, { ids: [one.id], certainty: "sure" });
  for (const pass of ["us", "exact", "others", "bare", "id"] as const) {
    for (const ingredient of book.all) {
      const entry: Entry = { ids: [ingredient.id], certainty: "sure" };
      if (pass === "us" && ingredient.usName !== undefined && !isNearest(ingredient.usName)) put(us, ingredient.usName, entry);
      if (pass === "exact") {
        put(uk, ingredient.name, entry);
        put(us, ingredient.name, entry);
      }
      if (pass === "others") {
        for (const name of ingredient.otherNames) {
          const tagged: Entry = isNearest(name) ? { ids: [ingredient.id], certainty: "ask", why: nearest } : entry;
          put(uk, isNearest(name) ? bare(name) : name, tagged);
          put(us, isNearest(name) ? bare(name) : name, tagged);
        }
        if (ingredient.usName !== undefined && !isNearest(ingredient.usName)) put(uk, ingredient.usName, entry);
      }
      if (pass === "bare") {
        for (const name of [ingredient.name, ingredient.usName ?? ""]) {
          if (!name.includes("(") && !name.includes(",")) continue;
          const tagged: Entry = isNearest(name) ? { ids: [ingredient.id], certainty: "ask", why: nearest } : entry;
          put(uk, bare(name), tagged);
          put(us, bare(name), tagged);
        }
      }
      if (pass === "id") {
        put(uk, ingredient.id, entry);
        put(us, ingredient.id, entry);
      }
    }
  }
  const sorted = (map: ReadonlyMap<string, Entry>) => {
    const by = new Map<string, Entry>();
    for (const [key, entry] of map) if (key.includes(" ")) if (!by.has(sortWords(key))) by.set(sortWords(key), entry);
    return by;
  };
  const vocabulary = new Set<string>(PREPARATION_WORDS);
  const keys = new Map<number, LetteredKey[]>();
  for (const key of new Set([...uk.keys(), ...us.keys()])) {
    const letters = letterCounts(key);
    const lettered = { key, letters, mask: letterMask(letters) };
    const same = keys.get(key.length);
    if (same === undefined) keys.set(key.length, [lettered]);
    else same.push(lettered);
    for (const word of key.split(" ")) vocabulary.add(word);
  }
  let wordsMax = 1;
  for (const map of [uk, us]) for (const key of map.keys()) wordsMax = Math.max(wordsMax, key.split(" ").length);
  const spellings = new Map<string, string[]>();
  for (const word of vocabulary) {
    const same = spellings.get(`${word[0]}${word.length}`);
    if (same === undefined) spellings.set(`${word[0]}${word.length}`, [word]);
    else same.push(word);
  }
  const index: NameIndex = {
    uk,
    us,
    ukSorted: sorted(uk),
    usSorted: sorted(us),
    keys,
    vocabulary,
    wordsMax,
    typos: new Map(),
    spellings,
    found: new Map(),
  };
  indexes.set(book, index);
  return index;
}

function letterCounts(key: string): Uint8Array {
  const counts = new Uint8Array(27);
  for (let at = 0; at < key.length; at += 1) {
    const code = key.charCodeAt(at) - 97;
    counts[code >= 0 && code < 26 ? code : 26] += 1;
  }
  return counts;
}

const letterMask = (letters: Uint8Array) => letters.reduce((mask, count, at) => (count > 0 ? mask | (1 << at) : mask), 0);

function bitCount(mask: number): number {
  let bits = mask - ((mask >>> 1) & 0x55555555);
  bits = (bits & 0x33333333) + ((bits >>> 2) & 0x33333333);
  return (((bits + (bits >>> 4)) & 0x0f0f0f0f) * 0x01010101) >>> 24;
}

/** Edits between two words, a swap of neighbours counting one; anything above `most` is `most + 1`. */
function editDistance(a: string, b: string, most: number): number {
  if (Math.abs(a.length - b.length) > most) return most + 1;
  let before = new Uint8Array(b.length + 1);
  let last = Uint8Array.from({ length: b.length + 1 }, (_, at) => at);
  for (let i = 1; i <= a.length; i += 1) {
    const row = new Uint8Array(b.length + 1);
    row[0] = i;
    let least = i;
    for (let j = 1; j <= b.length; j += 1) {
      const same = a.charCodeAt(i - 1) === b.charCodeAt(j - 1) ? 0 : 1;
      let value = Math.min(last[j] + 1, row[j - 1] + 1, last[j - 1] + same);
      if (i > 1 && j > 1 && a.charCodeAt(i - 1) === b.charCodeAt(j - 2) && a.charCodeAt(i - 2) === b.charCodeAt(j - 1)) {
        value = Math.min(value, before[j - 2] + 1);
      }
      row[j] = value;
      if (value < least) least = value;
    }
    if (least > most) return most + 1;
    before = last;
    last = row;
  }
  return last[b.length];
}

interface NearestKey {
  readonly key: string;
  readonly distance: number;
  /** The others that are as near. */
  readonly ties: readonly string[];
}

/** The key that is nearest to a mistyped one, or nothing where several are as near at two edits. */
function nearestKey(index: NameIndex, key: string): NearestKey | undefined {
  if (key.length < 4 || key.length > 40) return undefined;
  if (index.typos.has(key)) return index.typos.get(key);
  const most = key.length >= 8 ? 2 : 1;
  const letters = letterCounts(key);
  const mask = letterMask(letters);
  let best: { key: string; distance: number; ties: string[] } | undefined;
  for (let length = key.length - most; length <= key.length + most; length += 1) {
    for (const candidate of index.keys.get(length) ?? []) {
      if (bitCount(candidate.mask ^ mask) > 2 * most) continue;
      let difference = 0;
      for (let at = 0; at < 27; at += 1) difference += Math.abs(candidate.letters[at] - letters[at]);
      if (difference > 2 * most) continue;
      const distance = editDistance(key, candidate.key, most);
      if (distance > most) continue;
      if (best === undefined || distance < best.distance) {
        best = { key: candidate.key, distance, ties: [] };
      } else if (distance === best.distance) best.ties.push(candidate.key);
    }
  }
  const found = best !== undefined && best.ties.length > 0 && best.distance > 1 ? undefined : best;
  if (index.typos.size >= MEMORY_MAX) index.typos.clear();
  index.typos.set(key, found);
  return found;
}

/** The words with each strange one put right, where exactly one word of the names is one slip away. */
function mendWords(index: NameIndex, words: readonly string[], strange: readonly string[]): string | undefined {
  const mended: string[] = [];
  for (const word of words) {
    if (!strange.includes(word)) {
      mended.push(word);
      continue;
    }
    if (word.length < 6) return undefined;
    const near = [-1, 0, 1]
      .flatMap((longer) => index.spellings.get(`${word[0]}${word.length + longer}`) ?? [])
      .filter((known) => editDistance(word, known, 1) === 1);
    if (near.length !== 1) return undefined;
    mended.push(near[0]);
  }
  return mended.join(" ");
}

const fromEntry = (entry: Entry): NameMatch => ({
  certainty: entry.certainty,
  ids: entry.ids,
  ...(entry.why === undefined ? {} : { why: entry.why }),
});

/** Chocolate by its share of cocoa: "dark chocolate (70% cocoa solids)". */
function chocolateByPercent(key: string, book: IngredientBook): NameMatch | undefined {
  if (!/\bchocolate\b|\bcouverture\b/.test(key)) return undefined;
  const share = /(?:^| )(\d{2,3})(?: \d{1,2})?(?: ?%| percent| per cent)/.exec(key);
  if (share === null) return undefined;
  if (/\b(?:milk|white)\b/.test(key)) return undefined;
  const percent = Number(share[1]);
  const id =
    percent >= 70 && percent <= 85
      ? "dark-chocolate-70-85"
      : percent >= 60 && percent < 70
        ? "dark-chocolate-60-69"
        : percent >= 45 && percent < 60
          ? "dark-chocolate-45-59"
          : undefined;
  if (id !== undefined && book.get(id) !== undefined) return { certainty: "sure", ids: [id] };
  return {
    certainty: "ask",
    ids: ["dark-chocolate-70-85", "dark-chocolate-60-69", "dark-chocolate-45-59"].filter((one) => book.get(one) !== undefined),
    why: `The book has no chocolate of ${percent} % cocoa.`,
  };
}

/** Milk and yoghurt by their fat: "2% milk", "0% Greek yoghurt". */
function dairyByPercent(key: string, book: IngredientBook): NameMatch | undefined {
  const share = /(?:^| )(\d)(?: (\d))?%/.exec(key);
  if (
    share === null ||
    !/\b(?:milk|yoghurt|creme fraiche)\b/.test(key) ||
    /\b(?:condensed|evaporated|coconut|powder|chocolate)\b/.test(key)
  )
    return undefined;
  const percent = Number(`${share[1]}.${share[2] ?? 0}`);
  const inBook = (...ids: readonly string[]) => ids.filter((id) => book.get(id) !== undefined);
  if (/\bmilk\b/.test(key) && !/\bbutter ?milk\b/.test(key)) {
    if (percent >= 3)
      return { certainty: "taken", ids: inBook("milk-whole"), why: "Milk of 3 % fat and more is read as whole milk." };
    if (percent >= 1.4)
      return { certainty: "taken", ids: inBook("milk-semi-skimmed"), why: "Milk of about 2 % fat is read as semi-skimmed." };
    return {
      certainty: "ask",
      ids: inBook("milk-skimmed", "milk-semi-skimmed"),
      why: `The book has no milk of ${percent} % fat.`,
    };
  }
  if (/\bgreek\b/.test(key) && percent >= 5) return undefined;
  if (percent >= 3 && percent < 5) return undefined;
  return {
    certainty: "ask",
    ids: inBook("yoghurt-low-fat", "yoghurt-whole-uk", "yoghurt-greek"),
    why: `The book has none of ${percent} % fat.`,
  };
}

/**
 * Finds a name in a list that has signs of both countries: what one of them would ask is asked.
 *
 * @param mixed  the list has signs of both; with false it is `findName`
 */
export function findMixedName(phrase: string, book: IngredientBook, region: NameRegion, mixed: boolean): NameMatch {
  const found = findName(phrase, book, region);
  if (!mixed || found.certainty === "unknown" || found.certainty === "ask") return found;
  const other = findName(phrase, book, region === "us" ? "uk" : "us");
  if (other.certainty !== "ask") return found;
  return {
    certainty: "ask",
    ids: [...new Set([...found.ids, ...other.ids])],
    ...(other.why === undefined ? {} : { why: other.why }),
  };
}

/** An ingredient whose name is just these words, in this order or another; nothing is dropped, guessed or mended. */
export function findExactly(phrase: string, book: IngredientBook, region: NameRegion): NameMatch | undefined {
  const index = indexOf(book);
  const key = nameKey(phrase);
  if (key === "" || key.length > 120) return undefined;
  const [map, sorted] = region === "us" ? [index.us, index.usSorted] : [index.uk, index.ukSorted];
  const entry = map.get(key) ?? sorted.get(sortWords(key));
  return entry === undefined ? undefined : fromEntry(entry);
}

/** Flours that hold no wheat anyway. */
const NO_WHEAT = /oat|rice|maize|corn|buckwheat|potato|tapioca|gram|soya|polenta|millet|sorghum|teff|arrowroot|custard/;

/** Finds the ingredient of a name as it stands in a list. */
export function findName(phrase: string, book: IngredientBook, region: NameRegion): NameMatch {
  const { found: memory } = indexOf(book);
  const key = `${region}${phrase}`;
  const known = memory.get(key);
  if (known !== undefined) return known;
  const match = findClaimed(phrase, book, region);
  if (memory.size >= MEMORY_MAX) memory.clear();
  memory.set(key, match);
  return match;
}

/** With what a packet claims and a cake does not feel. */
function findClaimed(phrase: string, book: IngredientBook, region: NameRegion): NameMatch {
  const found = findWords(phrase, book, region);
  const claim = /\bgluten[- ]free\b|\bGF\b/.exec(phrase);
  if (claim === null || (found.certainty !== "ask" && found.certainty !== "unknown")) return found;
  // "Gluten-free baking powder" is baking powder to a cake; gluten-free flour is not the flour it stands for.
  const plain = findWords(phrase.replace(claim[0], " "), book, region);
  const first = book.get(plain.ids[0] ?? "");
  const same = first !== undefined && (first.role !== "flour" || NO_WHEAT.test(first.id)) && first.id !== "digestive-biscuits";
  return same && plain.certainty !== "unknown" ? plain : found;
}

function findWords(phrase: string, book: IngredientBook, region: NameRegion): NameMatch {
  const index = indexOf(book);
  const map = region === "us" ? index.us : index.uk;
  const bySorted = region === "us" ? index.usSorted : index.ukSorted;
  const key = nameKey(phrase);
  if (key === "" || key.length > 120) return { certainty: "unknown", ids: [] };
  const exact = (wanted: string): Entry | undefined =>
    map.get(wanted) ?? (wanted.includes(" ") ? bySorted.get(sortWords(wanted)) : undefined);
  const whole = exact(key);
  if (whole !== undefined) return fromEntry(whole);
  const chocolate = chocolateByPercent(key, book);
  if (chocolate !== undefined) return chocolate;
  const dairy = dairyByPercent(key, book);
  if (dairy !== undefined) return dairy;
  const words = key.split(" ");
  const kept = words.filter(
    (word) => !PREPARATION_WORDS.has(word) && !PREPARATION_WORDS.has(`${word}s`) && !/^\d+%?$/.test(word) && word !== "%",
  );
  // "peeled and cored apples": an "and" whose neighbours are gone goes too; the one in "raisins and sultanas" stays.
  while (kept[0] === "and") kept.shift();
  while (kept[kept.length - 1] === "and") kept.pop();
  const reduced = kept.join(" ");
  if (reduced === "") {
    // "whites", "peel": every word is a word of preparation, so the whole has to be a name
    return { certainty: "unknown", ids: [] };
  }
  const plain = exact(reduced);
  if (plain !== undefined) return fromEntry(plain);
  // Dropping only one preparation word at a time keeps "dried", "roasted" and the like where they are part of a name.
  for (let drop = 0; drop < words.length && words.length <= 6; drop += 1) {
    if (!PREPARATION_WORDS.has(words[drop])) continue;
    const one = exact(words.filter((_, at) => at !== drop).join(" "));
    if (one !== undefined) return fromEntry(one);
  }
  const WEAK = /^(?:cheese|whole|classic|traditional|original|style|unsalted|seedless|crunchy|smooth|natural)$/;
  const fullFat = /\bfull fat\b/.test(key);
  const lean = kept.filter((word) => !WEAK.test(word) && !(fullFat && (word === "full" || word === "fat")));
  const leaner = lean.length > 0 && lean.length < kept.length ? exact(lean.join(" ")) : undefined;
  if (leaner !== undefined && leaner.certainty !== "ask") return fromEntry(leaner);
  const typo = nearestKey(index, reduced) ?? (reduced === key ? undefined : nearestKey(index, key));
  const strange = kept.filter((word) => !index.vocabulary.has(word));
  if (typo !== undefined && typo.distance === 1 && strange.length > 0) {
    // "self rasing flour" is as near to the British name as to the American one: the list's own country goes first.
    const foreign = region === "us" ? /raising|muscovado/ : /rising|-us\b/;
    const candidates = [typo.key, ...typo.ties]
      .map((name) => ({ name, entry: map.get(name) ?? index.uk.get(name) ?? index.us.get(name) }))
      .filter((one) => one.entry !== undefined && one.entry.ids.length > 0)
      .sort((a, b) => Number(foreign.test(a.name)) - Number(foreign.test(b.name)));
    const [near] = candidates;
    if (near?.entry !== undefined) {
      const native = candidates.filter((one) => foreign.test(one.name) === foreign.test(near.name));
      const ids = [...new Set(native.flatMap((one) => one.entry?.ids.slice(0, 1) ?? []))];
      // "mlik": a short word is sure only where its own letters changed places
      const swapped = reduced.length >= 4 && sortLetters(reduced) === sortLetters(near.name);
      const sure = (reduced.length >= 7 || swapped) && near.entry.certainty !== "ask" && ids.length === 1;
      return {
        certainty: sure ? "taken" : "ask",
        ids: [...new Set([...near.entry.ids, ...candidates.flatMap((one) => one.entry?.ids ?? [])])],
        why: `"${phrase.trim()}" is read as ${near.name}.${near.entry.why === undefined ? "" : ` ${near.entry.why}`}`,
      };
    }
  }
  // "self raisin flour": every word is one that names have, and the whole is a slip from a name
  const slip =
    typo !== undefined && typo.distance === 1 && typo.ties.length === 0 && reduced.length >= 10 ? map.get(typo.key) : undefined;
  if (typo !== undefined && slip !== undefined && slip.ids.length > 0)
    return {
      // "butter milk": only a space
      certainty: slip.certainty !== "ask" && reduced.replace(/ /g, "") === typo.key.replace(/ /g, "") ? "taken" : "ask",
      ids: slip.ids,
      why: `"${phrase.trim()}" is read as ${typo.key}.`,
    };
  // "choclate, dark": one word is a slip of a word that names have
  const mended = strange.length > 0 && strange.length <= 2 && kept.length > 1 ? mendWords(index, kept, strange) : undefined;
  const spelt = mended === undefined ? undefined : exact(mended);
  if (mended !== undefined && spelt !== undefined && spelt.ids.length > 0)
    return {
      certainty: spelt.certainty === "ask" ? "ask" : "taken",
      ids: spelt.ids,
      why: `"${phrase.trim()}" is read as ${mended}.${spelt.why === undefined ? "" : ` ${spelt.why}`}`,
    };
  // The longest run of words that is a name; the rest was not understood.
  const most = Math.min(words.length, 12);
  const isStrange = words.slice(0, most).map((word) => !index.vocabulary.has(word));
  for (let length = Math.min(most - 1, index.wordsMax); length >= 1; length -= 1) {
    // The last words are the thing itself in English, so runs at the end come first.
    for (let from = most - length; from >= 0; from -= 1) {
      // No name holds a word that is in none.
      if (isStrange.includes(true) && isStrange.slice(from, from + length).includes(true)) continue;
      const run = words.slice(from, from + length).join(" ");
      if (run.length < 3) continue;
      const entry = exact(run);
      if (entry === undefined || entry.ids.length === 0) continue;
      const rest = [...words.slice(0, from), ...words.slice(from + length)].join(" ");
      return { certainty: "ask", ids: entry.ids, why: `"${rest}" was not understood; is it ${run}?` };
    }
  }
  if (typo !== undefined) {
    const entry = map.get(typo.key) ?? index.uk.get(typo.key) ?? index.us.get(typo.key);
    if (entry !== undefined && entry.ids.length > 0)
      return { certainty: "ask", ids: entry.ids, why: `"${phrase.trim()}" is not in the book; is it ${typo.key}?` };
  }
  return { certainty: "unknown", ids: [], why: `"${phrase.trim().slice(0, 60)}" is not in the book of ingredients.` };
}

/** An id for an ingredient that the book does not know, made from its name. */
export function unknownId(phrase: string): string {
  const id = nameKey(phrase)
    .replace(/%/g, "")
    .trim()
    .replace(/ +/g, "-")
    .slice(0, 60)
    .replace(/^-+|-+$/g, "");
  return id === "" ? "unnamed" : id;
}
