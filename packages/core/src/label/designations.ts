import { type Allergen, displayName, type Ingredient } from "../ingredients/index.js";
import { type LabelLanguage, labelWords } from "./languages.js";
import { type Additive, LIST_NAMES } from "./listNames.js";
import { plainText } from "./plainText.js";
import { flourRuleOn, type LawRule } from "./rules.js";
import { CLOSE, marked, OPEN, runsOf, type TextRun, wordsOf } from "./textRuns.js";

export type LabelPlace = "gb" | "eu" | "us";

export interface DesignationOptions {
  readonly place: LabelPlace;
  /** ISO 8601; the flour additions differ by date. */
  readonly date: string;
  /** Additives by name or by E number (Annex VII, Part C); the United States name them always. */
  readonly additives?: "name" | "number";
  readonly language?: LabelLanguage;
  /** Names in the language of the label, by ingredient id: the larder knows them in English only. */
  readonly names?: Readonly<Record<string, string>>;
}

/** Something to look up or to supply before a list is printed. */
export interface ListCheck {
  /**
   * unknown: the book does not know it. unweighed: no weight. packet: a list of its own has to stand behind it. translation: no name
   * in the language. allergen: name and allergens do not agree, or a packet has to be read for one. volatile: part of it is gone by
   * the end. note: worth a look.
   */
  readonly kind: "unknown" | "unweighed" | "packet" | "translation" | "allergen" | "volatile" | "note";
  readonly ingredient: string;
  readonly words: string;
}

/** How an ingredient is named in a list, with what has to stand out. */
export interface Designation {
  readonly runs: readonly TextRun[];
  readonly words: string;
  /** Named by class: several of one class may stand together. */
  readonly additive?: Additive;
  /** Its composition is defined by law (jam, chocolate): below 2 % no list of its own is needed. */
  readonly isDefined: boolean;
  /** Its own list is still to be put behind it. */
  readonly needsPacketList: boolean;
  readonly checks: readonly ListCheck[];
}

/** Wheat flours milled here, wholemeal apart, to which the British additions are made, and how they are called. */
const BRITISH_FLOURS: Readonly<Record<string, string>> = {
  "plain-flour": "[wheat] flour",
  "strong-white-flour": "[wheat] flour",
  "cake-flour": "[wheat] flour",
  "soft-flour-9-protein": "[wheat] flour",
  "brown-flour": "brown [wheat] flour",
};
const AMERICAN_FLOURS: Readonly<Record<string, string>> = {
  "all-purpose-flour-us": "[wheat] flour",
  "bread-flour-us": "[wheat] flour",
  "self-rising-flour-us": "[wheat] flour",
};
const ENRICHED = "enriched flour (wheat flour, niacin, reduced iron, thiamin mononitrate, riboflavin, folic acid)";
const RAISED_BRITISH = "raising agents (disodium diphosphate, sodium carbonates)";
const RAISED_AMERICAN =
  "enriched self-rising flour (wheat flour, monocalcium phosphate, baking soda, salt, niacin, reduced iron, thiamin mononitrate, riboflavin, folic acid)";

/** The word that a list has to show for an allergen: the cereal or the nut by name. */
export function allergenWord({ allergen, kind }: Allergen, language: LabelLanguage = "en"): string {
  const { allergens, kinds } = labelWords(language);
  return kind === undefined ? allergens[allergen] : (kinds[kind] ?? plainText(kind, 60));
}

/**
 * The name of an ingredient in a list, with every allergen it holds named and marked for emphasis (Article 21(1)(b)).
 *
 * First what the baker gave (`labelName`, `packetList`), then the names that lists use, then the trade name. In the United States
 * nothing stands out: the line "Contains" names the allergens.
 */
export function designation(ingredient: Ingredient, options: DesignationOptions): Designation {
  const { place, language = "en" } = options;
  const checks: ListCheck[] = [];
  const note = (kind: ListCheck["kind"], words: string) =>
    void checks.push({ kind, ingredient: ingredient.id, words: `${ingredient.name}: ${words}` });
  const listed = LIST_NAMES[ingredient.id];
  const ownName = options.names?.[ingredient.id] ?? ingredient.labelName;
  const own = ownName === undefined ? undefined : plainText(ownName, 200);
  const flour = flourWords(ingredient.id, place, options.date);

  if (language !== "en" && options.names?.[ingredient.id] === undefined)
    note("translation", `its name in the language of the label is not given; the English one stands there.`);

  const additive = own === undefined && language === "en" ? listed?.additive : undefined;
  const tabled =
    flour?.words ??
    (place === "us" ? listed?.us : undefined) ??
    (additive === undefined ? undefined : additiveWords(additive, place, options.additives)) ??
    (place === "us" ? undefined : listed?.gb);
  // Only our own tables carry marks; what comes from outside never does. English marks mean nothing in another language.
  const ours = tabled === undefined ? undefined : language === "en" ? marked(tabled) : tabled.replace(/[[\]]/g, "");
  const base = own ?? ours ?? plainName(ingredient, place);
  const packetList =
    ingredient.packetList === undefined ? "" : plainText(ingredient.packetList).replace(/^ingredients\s*:\s*|[.\s]+$/gi, "");
  const isMade = ingredient.parts !== undefined && ingredient.parts.length > 0;
  // "Spices" is a name of its own in the United States (21 CFR 101.22(a)(2)) and needs no list.
  const needsPacketList =
    packetList === "" && !isMade && listed?.packet !== undefined && !(place === "us" && listed.us === "spices");
  const check = place === "us" ? listed?.usCheck : listed?.check;
  const plain = packetList === "" ? base : `${own ?? withoutList(base)} (${packetList})`;
  const whole =
    place === "us"
      ? wordsOf(runsOf(plain))
      : ingredient.contains.reduce((words, allergen) => mark(words, allergen, language), plain);

  if (needsPacketList)
    note("packet", check ?? "its own ingredients have to stand in brackets behind it: copy them from the packet.");
  else if (check !== undefined && packetList === "") note("note", check);
  if (flour?.check !== undefined && own === undefined && packetList === "") note("note", flour.check);
  if (packetList !== "" && language === "en") checkPacketAllergens(ingredient, packetList, note);
  if (ingredient.checkSupplier.length > 0 && packetList === "")
    note("allergen", `often holds ${ingredient.checkSupplier.map((one) => allergenWord(one)).join(", ")}: read its packet.`);
  return {
    runs: runsOf(whole),
    words: wordsOf(runsOf(whole)),
    ...(additive === undefined || place === "us" ? {} : { additive }),
    isDefined: listed?.packet === "defined",
    needsPacketList,
    checks,
  };
}

function flourWords(id: string, place: LabelPlace, date: string): { words: string; check: string; rule?: LawRule } | undefined {
  const isBritish = id in BRITISH_FLOURS;
  const isAmerican = id in AMERICAN_FLOURS;
  const isRaised = id === "self-raising-flour" || id === "self-rising-flour-us";
  if (!isBritish && !isAmerican && !isRaised) return undefined;
  if (place === "us")
    return {
      words: isRaised ? RAISED_AMERICAN : ENRICHED,
      check: "compare with the bag: brands add malted barley flour, or are not enriched.",
    };
  const additions = place === "gb" && !isAmerican && id !== "self-rising-flour-us" ? ` (with ${flourRuleOn(date).words})` : "";
  const plain = BRITISH_FLOURS[id] ?? AMERICAN_FLOURS[id] ?? "[wheat] flour";
  return isRaised
    ? {
        words: `self-raising flour ([wheat] flour${additions}, ${RAISED_BRITISH})`,
        check: "the raising agents differ from brand to brand, and imported flour is not fortified: copy the bag.",
      }
    : {
        words: `${plain}${additions}`,
        check:
          additions === ""
            ? "compare with the bag: flour milled in Great Britain or North America has vitamins and minerals added, which are listed."
            : "compare with the bag: imported flour and flour of small mills is not fortified.",
      };
}

/** "raising agent (sodium carbonates)"; in brackets, so that what follows the comma is not taken for one more of the class. */
const additiveWords = (one: Additive, place: LabelPlace, by: "name" | "number" = "name"): string =>
  place === "us" ? one.us : `${one.class} (${by === "number" ? one.number : one.name})`;

/** Several additives of one class: "raising agents (sodium carbonates, potassium tartrates)". */
export function additivesTogether(all: readonly Additive[], by: "name" | "number" = "name"): string {
  const names = [...new Set(all.map((one) => (by === "number" ? one.number : one.name)))];
  return marked(`${all[0]!.class}${names.length > 1 ? "s" : ""} (${names.join(", ")})`);
}

/** "Cinnamon, ground" is "ground cinnamon"; places and percentages in brackets are the table's, not the list's. */
function plainName(ingredient: Ingredient, place: LabelPlace): string {
  const shown = plainText(displayName(ingredient, place === "us" ? "us" : "british"), 200);
  // The baker's own words are kept as they are, but for the first letter.
  if (ingredient.basis === "own" || ingredient.basis === "compound") return lowerFirst(shown);
  const name = shown.replace(/\s*\([^)]*\)/g, "");
  const parts = /^([^,]+), ([a-z][^,\d%]*)$/i.exec(name);
  return lowerFirst(parts === null ? name.split(",")[0]!.trim() : `${parts[2]} ${lowerFirst(parts[1]!)}`);
}

/** Names of places and people keep their capital. */
const lowerFirst = (name: string) =>
  /^(Greek|Brazil|Medjool|Dutch|Zante|Bourbon|Madagascan|English|Scottish|Welsh|Irish|French|Italian|Spanish|German|American)\b/.test(
    name,
  ) || /^\p{Lu}\p{Lu}/u.test(name)
    ? name
    : name.charAt(0).toLowerCase() + name.slice(1);

/** A name of ours without the list that stands behind it makes room for the packet's. */
const withoutList = (name: string) => (name.endsWith(")") ? name.slice(0, name.indexOf(" (")) : name);

/** How each allergen is written in English lists; the words that stand out. */
const ENGLISH: Readonly<Record<string, string>> = {
  eggs: "eggs?",
  milk: "(?<!(?:coconut|almond|oat|soya|soy|rice)\\s)milk",
  soybeans: "soya(?:\\s?beans?)?|soy(?:beans?)?",
  sulphites: "sul(?:ph|f)ur dioxide|sul(?:ph|f)ites?",
  peanuts: "peanuts?",
  crustaceans: "crustaceans?",
  fish: "fish",
  celery: "celery",
  mustard: "mustard",
  sesame: "sesame",
  lupin: "lupins?",
  molluscs: "molluscs?",
  nuts: "nuts",
  "cereals-gluten": "gluten",
  wheat: "wheat",
  rye: "rye",
  barley: "barley",
  oats: "oats?",
  almond: "almonds?",
  hazelnut: "hazelnuts?",
  walnut: "walnuts?",
  cashew: "cashews?(?: nuts?)?",
  pecan: "pecans?(?: nuts?)?",
  brazil: "brazil nuts?",
  pistachio: "pistachios?(?: nuts?)?",
  macadamia: "macadamias?(?: nuts?)?",
};

/** Where the word of a language changes in other ways than by an s at its end. */
const FOREIGN: Readonly<Partial<Record<LabelLanguage, Readonly<Record<string, string>>>>> = {
  de: {
    eggs: "(?<!\\p{L})(?:voll|hühner)?ei(?:er|gelb|weiß|klar)?(?!\\p{L})",
    almond: "mandel",
    hazelnut: "haselnuss|haselnüss",
    walnut: "walnuss|walnüss",
  },
  it: { eggs: "uov[ao]", almond: "mandorl[ae]", hazelnut: "nocciol[ae]", walnut: "noc[ei]", pistachio: "pistacchi[o]?" },
  es: { eggs: "huevos?", walnut: "nuez|nueces" },
  fr: { fish: "poissons?", walnut: "noix" },
};

function patternOf(allergen: Allergen, language: LabelLanguage): RegExp {
  const word = allergenWord(allergen, language).replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
  const known = language === "en" ? ENGLISH : (FOREIGN[language] ?? {});
  const body = known[allergen.kind ?? allergen.allergen] ?? word.replace(/s$/, "s?");
  // German writes the allergen into the word: Weizenmehl, Vollmilch. "Ei" stands in too many words to be looked for inside them.
  return language === "de" ? new RegExp(body, "giu") : new RegExp(`(?<![\\p{L}\\uE000])(?:${body})(?![\\p{L}])`, "giu");
}

/** Emphasises the allergen wherever the words hold it, or names it in brackets. */
function mark(words: string, allergen: Allergen, language: LabelLanguage): string {
  const pattern = patternOf(allergen, language);
  // Words already marked stay as they are: only what is between them is searched.
  const pieces = words.split(/(\uE000[^\uE001]*\uE001)/);
  let found = pieces.some((piece) => piece.startsWith(OPEN) && pattern.test(piece.slice(1, -1)));
  const done = pieces.map((piece) => {
    if (piece.startsWith(OPEN)) return piece;
    pattern.lastIndex = 0;
    return piece.replace(pattern, (hit) => {
      found = true;
      return `${OPEN}${hit}${CLOSE}`;
    });
  });
  return found ? done.join("") : `${done.join("")} (${OPEN}${allergenWord(allergen, language)}${CLOSE})`;
}

const LOOKED_FOR: readonly Allergen[] = [
  ...["wheat", "rye", "barley", "oats"].map((kind): Allergen => ({ allergen: "cereals-gluten", kind })),
  ...["almond", "hazelnut", "walnut", "cashew", "pecan", "brazil", "pistachio", "macadamia"].map(
    (kind): Allergen => ({ allergen: "nuts", kind }),
  ),
  ...(
    [
      "crustaceans",
      "eggs",
      "fish",
      "peanuts",
      "soybeans",
      "milk",
      "celery",
      "mustard",
      "sesame",
      "sulphites",
      "lupin",
      "molluscs",
    ] as const
  ).map((allergen): Allergen => ({ allergen })),
];

/** A packet's list and the allergens that the baker ticked have to agree; where they do not, someone has to look. */
function checkPacketAllergens(
  ingredient: Ingredient,
  list: string,
  note: (kind: "allergen" | "note", words: string) => void,
): void {
  const [own, may = ""] = list.split(/\bmay (?:also )?contain\b/i) as [string, string?];
  if (may !== "") note("allergen", `its packet says "may contain${may}": state that as may-contain, not in the list.`);
  for (const allergen of LOOKED_FOR) {
    if (!patternOf(allergen, "en").test(own)) continue;
    const isHeld = ingredient.contains.some(
      (one) =>
        one.allergen === allergen.allergen &&
        (one.kind === undefined || allergen.kind === undefined || one.kind === allergen.kind),
    );
    if (!isHeld)
      note("allergen", `its packet's list names ${allergenWord(allergen)}, and its allergens do not: correct one of them.`);
  }
}

/** The rule about flour that a designation in Great Britain leans on. */
export const leansOnFlourRule = (id: string): boolean => id in BRITISH_FLOURS || id === "self-raising-flour";
