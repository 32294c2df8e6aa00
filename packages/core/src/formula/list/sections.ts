import type { ComponentKind } from "../formula.js";
import { fold } from "./tidy.js";

/** What a heading opens. */
export type Heading =
  | { readonly opens: "component"; readonly name: string; readonly kind: ComponentKind }
  | { readonly opens: "stage"; readonly name: string }
  | { readonly opens: "list" }
  | { readonly opens: "method" }
  | { readonly opens: "aside"; readonly name: string };

const KINDS: readonly (readonly [RegExp, ComponentKind])[] = [
  [/\b(?:syrup|soak|drizzle)\b/, "syrup"],
  [/\b(?:glaze|mirror glaze)\b/, "glaze"],
  [/\b(?:icing|frosting|buttercream|butter cream|fondant|royal icing|marzipan)\b/, "icing"],
  [
    /\b(?:fillings?|ganache|curd|jam|compote|custard|pastry cream|creme patissiere|cremeux|mousse|praline|caramel|sauce|coulis|creme|cream layer|cream)\b/,
    "filling",
  ],
  [
    /\b(?:topping|crumble|streusel|decoration|decorations|garnish|to decorate|to finish|to serve|to top|to dust|coating|dusting|finish|meringue|sprinkle|nut crunch|brittle)\b/,
    "topping",
  ],
  [
    /\b(?:cakes?|sponges?|batter|cupcakes?|muffins?|loaf|loaves|genoise|dacquoise|biscuit base|roulade|swiss roll|torte|brownies?|blondies?|traybake|gateau|layers?|mixture|joconde|madeira|pudding|buns?|scones?|cheesecake)\b/,
    "cake",
  ],
  [/\b(?:base|crust|pastry|shortcrust|dough|cheesecake base)\b/, "other"],
];

/** What kind of component a name speaks of: "lemon drizzle" is a syrup. */
export function componentKind(name: string): ComponentKind | undefined {
  const words = fold(name);
  // The last word says what it is: "cake filling", "icing sugar cake".
  let best: { at: number; kind: ComponentKind } | undefined;
  for (const [pattern, kind] of KINDS) {
    for (const found of words.matchAll(new RegExp(pattern.source, "g"))) {
      if (best === undefined || found.index > best.at) best = { at: found.index, kind };
    }
  }
  return best?.kind;
}

const STAGE_WORDS =
  /^(?:the )?(?:dry|wet|liquid|creamed|folded|whisked|other)(?: ingredients?| mix(?:ture)?| stage| team)?$|^(?:stage|step|group|mix|part|phase) [a-h0-9]+\b.{0,40}$|^(?:creaming|whisking|folding|fold in|cream|sugar batter|flour batter|scald|sponge stage|autolyse|foam|meringue stage|melt|rub in|dries|wets|dry|wet|liquids?|fats?|egg mix(?:ture)?|flour mix(?:ture)?|butter mix(?:ture)?)$/;
const LIST_WORDS =
  /^(?:the )?(?:ingredients?|ingredient list|you will need|you'll need|what you need|what you'll need|shopping list|recipe|formula|quantities|for the recipe)(?: list)?$/;
const METHOD_WORDS =
  /^(?:the )?(?:method|directions?|instructions?|preparation|procedure|steps?|how to(?: make(?: it)?)?|to make|making|what to do|method of making|baking|assembly|to assemble|assemble|process|cooking instructions|preparation method|let's bake)$/;
const ASIDE_WORDS =
  /^(?:(?:baker'?s |recipe |cook'?s )?notes?|tips?|equipment|special equipment|tools|you will also need|nutrition(?:al)?(?: information| facts)?|nutrition per serving|storage|to store|storing|source|tags?|serving suggestions?|variations?|faqs?|comments?|allergens?|allergy advice|substitutions?|make ahead)$/;
const COMPONENT_ALONE =
  /^(?:(?:the|my|our) )?(?:[a-z'&-]+ ){0,4}(?:cake|cakes|sponge|sponges|batter|filling|fillings|icing|frosting|buttercream|butter cream|glaze|syrup|drizzle|topping|crumb|crumble|crumble topping|streusel|ganache|compote|coulis|pastry cream|creme patissiere|meringue|decoration|decorations|base|crust|pastry|dough|soak|coating|praline|mousse|loaf|cupcakes|muffins|layers?|custard|caramel|sauce|curd|cream|garnish|biscuit base|cake mix|cake mixture|sponge mix|brownies?)(?: layer| layers| mix| mixture| ingredients| base)?$/;

const capital = (text: string) => (text === "" ? text : text[0].toUpperCase() + text.slice(1));
const tidyName = (text: string) => {
  const name = text.replace(/\s+/g, " ").trim();
  const calm = name === name.toUpperCase() && /[A-Z]{2}/.test(name) ? name.toLowerCase() : name;
  return capital(calm).slice(0, 60);
};

/** How much a line looks like a heading. */
export interface HeadingSigns {
  /** Set as one: "##", bold. */
  readonly marked: boolean;
  /** The line before it is blank, or it is the first. */
  readonly afterBlank: boolean;
  /** The next line that is not blank begins with an amount. */
  readonly beforeAmount: boolean;
  /** The words are the name of an ingredient in the book. */
  readonly knownName: boolean;
}

/** Reads a heading, or gives nothing. `text` is tidied and without marks. */
export function readHeading(text: string, signs: HeadingSigns): Heading | undefined {
  if (text.length > 80) return undefined;
  const colon = /:\s*-?\s*$/.test(text);
  const dash = /\s-+\s*$|-{2,}\s*$/.test(text);
  // "Icing (enough for 12)", "SPONGE (makes 2 layers)"
  let body = text
    .replace(/\s*[:-]+\s*$/, "")
    .replace(/\s*\([^)]{0,50}\)\s*$/, "")
    .replace(/\s*:\s*$/, "")
    .trim();
  if (body === "") return undefined;
  const words = fold(body).replace(/[.!]+$/, "");
  if (LIST_WORDS.test(words)) return { opens: "list" };
  if (METHOD_WORDS.test(words)) return { opens: "method" };
  if (ASIDE_WORDS.test(words)) return { opens: "aside", name: tidyName(body) };
  const ingredientsOf = /^(?:the )?ingredients? (?:for|of) (?:the )?(.+)$|^(.+?) ingredients$/.exec(words);
  const soaking =
    /^(.*?\b(?:syrup|glaze|drizzle|icing|topping)),? (?:for (?:soaking|brushing|drizzling|the top)|if you like|optional)$/.exec(
      words,
    );
  if (soaking !== null && signs.beforeAmount && words.split(" ").length <= 6)
    return { opens: "component", name: tidyName(body), kind: componentKind(soaking[1]) ?? "other" };
  const forThe = /^(?:for|to make|to prepare|for making)\s+(?:the\s+|a\s+|your\s+)?(.+)$/i.exec(body);
  if (STAGE_WORDS.test(words) && (words !== "cream" || colon || signs.marked)) return { opens: "stage", name: tidyName(body) };
  const caps = body === body.toUpperCase() && /[A-Z]{3}/.test(body);
  if (ingredientsOf !== null && !/[\d.,]/.test(words) && words.split(" ").length <= 6) {
    const name = ingredientsOf[1] ?? ingredientsOf[2];
    return { opens: "component", name: tidyName(name), kind: componentKind(name) ?? "other" };
  }
  if (forThe !== null && !/\b(?:taste)\b/.test(words)) {
    const name = forThe[1].replace(/\s+you(?:'ll| will) need$/i, "").replace(/\s+ingredients$/i, "");
    if (colon || dash || signs.marked || caps || /^for the|^for your|^to make the/i.test(body)) {
      if (/^\d/.test(name) || /\b(?:dusting|greasing|tin|pan)\b/i.test(name))
        return colon || signs.marked
          ? { opens: "component", name: tidyName(name), kind: componentKind(name) ?? "other" }
          : undefined;
      return { opens: "component", name: tidyName(name), kind: componentKind(name) ?? "other" };
    }
    return undefined;
  }
  const toFinish =
    /^(?:to|top|finish|serve|decorate|sandwich|fill|coat|cover) with$|^to (?:serve|decorate|finish|assemble|garnish|top|dust|glaze|fill|sandwich|coat)(?:\s+(?:the|and)\s+\w+| and \w+)?$/.test(
      words,
    );
  if (toFinish) return { opens: "component", name: tidyName(body), kind: "topping" };
  if (/\d/.test(words) && !/^(?:layer|component|part|cake|filling|sponge) \d$|\b(?:layer|sponge|filling) \d$/.test(words))
    return undefined;
  if (words.split(" ").length > 7) return undefined;
  const kind = componentKind(body);
  if (signs.marked || colon || dash || caps) {
    if (signs.knownName && !signs.beforeAmount && (kind === undefined || caps)) return undefined;
    if (signs.knownName && kind === undefined && !signs.marked && !colon) return undefined;
    body = body.replace(/\s*-+$/, "");
    return { opens: "component", name: tidyName(body), kind: kind ?? "other" };
  }
  // "Dacquoise amande" between a blank line and amounts
  const between =
    signs.afterBlank && signs.beforeAmount && !signs.knownName && kind !== undefined && words.split(" ").length <= 5;
  const alone = (COMPONENT_ALONE.test(words) || between) && !/[.,]/.test(body) && !/\s(?:for|to)\s/.test(words);
  if (alone && (signs.beforeAmount || !signs.knownName)) {
    // "Icing" before amounts is a part; "Whipping cream" among them may be an ingredient
    const part = /^(?:the )?(?:icing|filling|topping|base|glaze|syrup|frosting|buttercream|sponge|crumble|ganache)$/.test(words);
    if (signs.knownName && !signs.afterBlank && !part) return undefined;
    return { opens: "component", name: tidyName(body), kind: kind ?? "other" };
  }
  return undefined;
}

const VERBS =
  "preheat|heat|beat|cream|whisk|mix|fold|sift|sieve|pour|bake|add|stir|melt|grease|butter|line|flour|place|put|combine|leave|cool|spread|spoon|transfer|turn|remove|allow|let|set|cut|slice|serve|dust|sprinkle|drizzle|whip|blend|pulse|process|crack|separate|divide|split|bring|boil|simmer|reduce|chill|refrigerate|freeze|wrap|store|keep|make|prepare|start|begin|continue|repeat|check|test|insert|rub|knead|roll|press|weigh|measure|toast|roast|grate|zest|juice|squeeze|chop|peel|brush|ice|decorate|sandwich|layer|assemble|top|fill|pipe|cover|scrape|tip|tap|smooth|level|warm|soak|drain|rinse|strain|once|when|while|meanwhile|then|next|first|finally|using|in|on|at|to|with|after|before|if|do|don't|be|ensure|carefully|gently|gradually|slowly|lightly|quickly|immediately|now|arrange|crush|dissolve|work|scatter|swirl|finish|stack|trim|pre heat|rotate|run|gather|shape|rest|prove|stand|take|pre-heat|lay|crumble|break|enjoy|because|for best|mash|drop|scoop|reserve|toss|steam|poach|cook|fry|switch|lower|raise|increase|dip|unmould|invert|lift|wipe";
const OPENS_WITH_VERB = new RegExp(`^(?:${VERBS})\\b`, "i");
/** Verbs that open no name: "Fold in flour", "Bake 40 min". */
const PLAIN_VERBS =
  /^(?:add|bake|fold|beat|whisk|mix|stir|sift|sieve|pour|pre-?\s?heat|heat|boil|simmer|spread|melt|combine|place|put|bring|remove|let|leave|allow|cook|grease|transfer|divide|turn|knead|chill|refrigerate|freeze|serve|cover|blend|whip|rub|make|microwave|process|decorate|sprinkle|dust|fill|slice|sandwich|spoon|allow|layer|stack)\s/i;
const CREAM_TOGETHER = /^cream\s+(?!cheese\b|of\b|soda\b)\S+(?:\s\S+)?\s+(?:and\b|with\b|&|together\b|until\b)/i;
const SENTENCE_CUES =
  /\b(?:until|together|then|minutes?|mins?|oven|bowl|tin|pan|mixture|speed|smooth|fluffy|golden|skewer|rack|over|into|gently|slowly|a time|°|degrees|the (?:butter|sugar|eggs?|flour|milk|cake|sponge|icing|tin|mixture|batter|filling)|and then|stiff peaks|soft peaks)\b/i;
const IMPERATIVE_OBJECT =
  /^\S+(?:\s+(?:in|up|out|together|together,|off))?\s+(?:the|a|an|all|together|in|with|until|your|both|up|into|over|on|each|half|everything|it|them|this|some|for|to|dry|wet|off|out|through|well)\b/i;

const NOUN_OR_VERB = /^(?:butter|flour|cream|zest|juice|ice|top|water|salt|sugar|spice)\b/i;
const NOUN_AS_VERB =
  /^[a-z-]+\s+(?:the|your|a|an|together|and (?:line|flour|base-line|grease) (?:the|a|an|your|two|three|both|\d)|both|each|two|three|all|everything|it|them|this|up)\b/i;

/** Whether a line without an amount in front tells what to do. */
export function isMethod(text: string): boolean {
  if (/^(?:let me|let us know|do let|please|thanks?|if you (?:like|want|make|try))\b/i.test(text)) return false;
  // "butter the size of a walnut" is no work to do
  if (
    /^(?:[a-z ]+ of )?(?:butter|marg\w*|lard|dripping|fat|suet|yeast),? (?:(?:about )?(?:the )?size of|as (?:big|large) as) an?\b/i.test(
      text,
    )
  )
    return false;
  const words = text.split(/\s+/).length;
  if (words === 2 && PLAIN_VERBS.test(text)) return true;
  if (words < 3) return /^(?:preheat|bake|enjoy|serve|chill|cool|mix|stir|whisk)\b.*[.!]$/i.test(text);
  // "Butter: 150 g for the cake"
  if (/^[A-Za-z ]{3,30}:\s*\d/.test(text) && !/^[^:]*\b(?:step|method|stage)\b/i.test(text)) return false;
  if (PLAIN_VERBS.test(text) || CREAM_TOGETHER.test(text)) return true;
  // "Butter for the tin" and "Cream, whipped" are things; "Butter the tin" is work.
  if (NOUN_OR_VERB.test(text))
    return NOUN_AS_VERB.test(text) || (words >= 5 && SENTENCE_CUES.test(text) && !/,/.test(text.split(/\s+/)[0]));
  if (OPENS_WITH_VERB.test(text)) {
    if (IMPERATIVE_OBJECT.test(text)) return true;
    if (words >= 4 && SENTENCE_CUES.test(text)) return true;
    if (words >= 5 && /[.!]$/.test(text)) return true;
  }
  if (words >= 10 && SENTENCE_CUES.test(text)) return true;
  return words >= 14 && /[.!?](?:\s|$)/.test(text);
}

/** Lines about the whole: portions, times, tin, oven. They are kept as notes. */
export interface Aside {
  readonly portions?: number;
}

const META =
  /^(?:serves|serving|servings|makes|yields?|yield|portions?|feeds|cuts into|prep(?:aration)?(?: time)?|cook(?:ing)?(?: time)?(?=\s*(?:[:=~-]|\d|about|approx|$))|bak(?:e|ing) time|total time|ready in|time|difficulty|level|skill level|oven|temperature|temp|tin|tins|pan size|tin size|cuisine|course|author|source|adapted from|recipe (?:by|from|adapted)|rating|calories|kcal|nutrition|per serving|date|page|category|diet|keywords?|equipment|special equipment|you will need|you'll need|resting time|chilling time|cooling time|active time|freez(?:es|able)|suitable for|gas mark|print|pin|save|share|jump to|scale|[0-9]+x\b)\b/i;

/** What people write to each other and to themselves around a list: greetings, tips, errands. */
const CHAT: readonly RegExp[] = [
  /^(?:hi|hello|hey|hiya|dear)(?:\s+[a-z]+){0,2}\s*[,!-][^0-9]*$/i,
  /^(?:(?:lots of |all my |much )?love|cheers|best wishes|kind regards|regards|thanks|thank you|yours)\b,?[^0-9]{0,25}$/i,
  /^(?:(?:cook|baker|chef|mum|gran|nan)'?s\s+|my\s+|top\s+|handy\s+)?(?:tips?|notes?|n\.?b\.?|p\.?s\.?|variations?|warning|allergy advice)\s*[:.,-]\s*\S/i,
  /^[^0-9]*\b(?:works? (?:too|well|fine|as well)|(?:is|are) (?:fine|ok|good)(?: too)?|will do(?: too)?|also works?)\b[^0-9]*$/i,
  /^(?:keeps?|freezes?|stores?|lasts?|best eaten|best on|prove|prove[sd]?|proof|rest|chill)\b.*\b(?:days?|weeks?|months?|hours?|hrs?|overnight|mins?|airtight|tin)\b/i,
  /^\d{3}\s?(?:C|F|°|fan)?\s*[/,]\s*\d{1,3}(?:\s?-\s?\d{1,3})?\s?(?:m|min|mins|minutes)\b/i,
  /^(?:updated|printed|copied|dated?|version|revised|rev)\b[^a-z]*\d[^a-z]*$/i,
  /^(?:cool|stand|leave|steep|infuse)\b.*\d\s*(?:hours?|hrs?|mins?|minutes?)\b/i,
  /^\d{1,3}\s+(?:[a-z]+\s+)?(?:cases|liners|skewers|candles|cake boards?|boxes|lolly sticks|piping bags?)\b[^0-9]*$/i,
  /^\d{1,2}\s?x\s?\d{1,2}\b[^a-z]*\b(?:pan|tin|dish|tray)\b/i,
  /^\d{2,3}\s?°?\s?[CF]\b.*\b(?:for|min|mins|minutes|hours?)\b/i,
  /^(?:fills?|makes|enough for)\s+\d/i,
  /^(?:\d\s?(?:lb|kg|g)\s+)?(?:loaf|cake|sandwich|square|round|bundt|ring)?\s?(?:tin|tins|pan|pans)\b.*\b(?:lined|greased|buttered|floured)\b/i,
  /^better\b.*\b(?:days?|hours?|overnight)\b/i,
  /^\d{3}\s+for\s+\d{1,3}\s?(?:ish|m|min|mins|minutes)\b/i,
  /^(?:do ?n'?t|never|always|make sure|be careful|careful|watch out)\b[^0-9]*$/i,
  /^(?:regulo|reg)\.?\s?\d|^brix\b/i,
  /^(?:half|double|twice|treble) (?:that|this|the (?:recipe|icing|filling|quantit))\b/i,
  /^\d{1,2}(?:[.,]\d)?\s*-?\s*(?:cm|inch|inches|in\b|")[^a-z]*(?:round|square|deep|diameter|loose|springform)\b[^g]*$/i,
  /^(?:p|pp|page)\.?\s?\d{1,4}\b[^a-z]*$/i,
  /^(?:buy|order|borrow|pick up|remember|don'?t forget|ask)\b[^0-9]*$/i,
];

/** Reads "Serves 8", "Oven: 180 °C", "20 cm round tin", or gives nothing. */
export function readAside(text: string): Aside | undefined {
  const meta = META.test(text);
  const portions =
    /(?:^|[|;,]\s*)(?:serves|serving|servings|portions|feeds|cuts into|yields?|makes)\b[:\s]*(?:about\s+|approx\.?\s+|up to\s+)?(\d{1,3})\b(?!\s*(?:cm|inch|in\b|"|x|g\b|kg|ml|lb|layers?|-inch))/i.exec(
      text,
    );
  if (meta) {
    const count = portions === null ? undefined : Number(portions[1]);
    const cakes = /\bcakes?\b/i.test(text) && count !== undefined && count < 4;
    return count === undefined || count < 1 || cakes ? {} : { portions: count };
  }
  if (
    /^(?:\d(?:\.\d+)?\s+(?:stars?\s+)?from\s+\d+\s+(?:votes?|reviews?|ratings?)|us customary\b.*|metric\s*[|/-]?\s*us customary)\s*$/i.test(
      text,
    )
  )
    return {};
  // The head of a sheet
  if (
    /^(?:product|product name|recipe|recipe name|batch|batch (?:size|no\.?|number)|version|made by|checked by|sheet|ref(?:erence)?|customer|order)\s*:/i.test(
      text,
    )
  )
    return {};
  // The foot of a sheet: what all of it weighs
  if (
    /^(?:[\d.,]+\s?(?:g|kg|%)?\s+(?:\([^)]*\)\s*)*)?(?:sub-?\s?|grand\s)?totals?(?:\s(?:weight|batter|mix|dough|yield|batch))?\b[\s\d.,:=%()a-z]{0,60}$/i.test(
      text,
    ) &&
    !/\btotal\s+(?:eggs?|butter|sugar)/i.test(text)
  )
    return {};
  if (/^see (?:the |my )?(?:notes?|tips?|below|above|recipe|method|video|post)\b/i.test(text)) return {};
  if (/^(?:gas|mark|fan)\s*(?:mark\s*)?\d/i.test(text)) return {};
  const servings = /^(\d{1,3})\s+(?:servings?|portions?|people|slices?)\s*$/i.exec(text);
  if (servings !== null) return { portions: Number(servings[1]) };
  if (
    /^(?:an?\s+|one\s+|two\s+|\d\s*x?\s+)?\d{1,2}(?:[.,]\d)?(?:\s*x\s*\d{1,2}(?:[.,]\d)?)*\s*-?\s*(?:cm|mm|inch|inches|in\b|")/i.test(
      text,
    ) &&
    /\b(?:tins?|pans?|moulds?|dish|dishes|rings?|tray|cakes?)\b/i.test(text)
  )
    return {};
  if (/^\d{2,3}\s*(?:°|º|degrees|deg\b)?\s*[CF]?\b.*\b(?:fan|gas|oven|mark|minutes|mins)\b/i.test(text)) return {};
  if (/^\d+(?:\s*(?:-|to)\s*\d+)?\s*(?:min|mins|minutes|hours?|hrs?)\b/i.test(text)) return {};
  if (/^(?:https?:\/\/|www\.)/i.test(text)) return {};
  if (CHAT.some((one) => one.test(text))) return {};
  return undefined;
}

/** "-----", "|---|---|", "====": a line drawn. */
export const isRule = (text: string): boolean => /^[\s\-=_*|:+~.#•·]*$/.test(text) && text.trim() !== "";
