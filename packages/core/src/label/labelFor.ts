import { type Composition, composeFormula } from "../composition/index.js";
import type { Formula } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import { type Keeping, keepFormula } from "../keeping/index.js";
import { isGtin } from "./barcode.js";
import type { LabelPlace, ListCheck } from "./designations.js";
import { type Durability, durabilityOf } from "./durability.js";
import { nutritionExemption, type Seller } from "./exemptions.js";
import { type FrontOfPackBand, frontOfPackBand } from "./frontOfPack.js";
import { type IngredientList, type IngredientListOptions, ingredientList } from "./ingredientList.js";
import { type LabelLanguage, labelWords } from "./languages.js";
import { euNutrition } from "./nutrition.js";
import type { NutritionDeclaration } from "./nutritionLines.js";
import { plainText } from "./plainText.js";
import { halfUp } from "./rounding.js";
import { type LawRule, ruleOn } from "./rules.js";
import { type Need, needsOf, PARTICULARS, type ParticularId, type SaleMode } from "./saleModes.js";
import type { StatedForUs } from "./usFurtherRows.js";
import { usPanel } from "./usPanel.js";
import type { UsReferenceClass, UsServing } from "./usServing.js";

/** What a label needs beside the formula. Plain data: what is typed, kept and sent. */
export interface LabelInputs extends Omit<IngredientListOptions, "place" | "date"> {
  readonly place: LabelPlace;
  readonly mode: SaleMode;
  /** ISO 8601 day on which the label is to hold: the rules of that day are applied. */
  readonly date: string;
  /** Name of the food; the formula's when left out. */
  readonly name?: string;
  /** A sentence under the name: "Sponge with raspberry jam and cream". */
  readonly description?: string;
  readonly business?: { readonly name: string; readonly address: string };
  /** Equal packs that one batch makes, and pieces in a pack (cup cakes); a whole cake has no pieces. */
  readonly packs?: number;
  readonly pieces?: number;
  /** Net weight of a pack [g] as the baker states it; computed from the formula and `packs` when left out. */
  readonly netGrams?: number;
  /** Equal portions that a pack holds. With it the weight of a portion is worked out from that of the pack. */
  readonly portions?: number;
  /** Weight of a portion [g] for the column per portion, where the baker states it. */
  readonly portionGrams?: number;
  readonly bakeDate?: string;
  /** What the baker decided, in place of the keeping estimate. */
  readonly keepsDays?: number;
  readonly keptAt?: "room" | "chilled";
  readonly eatenWithin24h?: boolean;
  readonly storage?: string;
  readonly instructions?: string;
  /** when-needed: where the rules ask for it, or do not say that it is exempt. */
  readonly nutrition?: "when-needed" | "always" | "never";
  /** Voluntary lines of the declaration: fibre, starch, polyols, monounsaturates, polyunsaturates. */
  readonly showRows?: readonly string[];
  readonly frontOfPack?: boolean;
  /** The baker's own number. */
  readonly gtin?: string;
  /** Lists of ingredients as packets print them, by ingredient id, for ingredients that do not carry theirs. */
  readonly packets?: Readonly<Record<string, string>>;
  readonly surfaceCm2?: number;
  readonly seller?: Seller;
  readonly usClass?: UsReferenceClass;
  readonly usStated?: StatedForUs;
  readonly addedPercentOfSugars?: Readonly<Record<string, number>>;
}

/** One of the things that a label says, whether this way of selling asks for it, and how it stands. */
export interface Particular {
  readonly id: ParticularId;
  readonly need: Need | "not-needed";
  /** check: it is there, and something has to be looked at before it is printed. */
  readonly state: "there" | "check" | "missing" | "left-out";
  readonly why?: string;
}

export interface FrontOfPackLine {
  readonly nutrient: "energy" | "fat" | "saturates" | "sugars" | "salt";
  readonly name: string;
  /** Amounts in a portion (100 g without one) as printed, and percent of the reference intake. */
  readonly amount: string;
  readonly percent?: number;
  /** Energy has no band. */
  readonly band?: FrontOfPackBand;
}

export interface Label {
  readonly place: LabelPlace;
  readonly mode: SaleMode;
  readonly language: LabelLanguage;
  readonly date: string;
  readonly name: string;
  readonly description?: string;
  readonly list: IngredientList;
  readonly netQuantity?: { readonly grams: number; readonly text: string; readonly basis: "stated" | "computed" };
  readonly durability: Durability;
  readonly storage: string;
  readonly instructions?: string;
  readonly business?: { readonly name: string; readonly address: string };
  readonly alcohol?: string;
  readonly nutrition?: NutritionDeclaration;
  /** How a US serving was found; absent elsewhere. */
  readonly serving?: UsServing & { readonly because: string };
  readonly frontOfPack?: readonly FrontOfPackLine[];
  readonly gtin?: string;
  /** Largest surface of the pack [cm²]: under 80 letters may be smaller. */
  readonly surfaceCm2?: number;
  /** Weight of a portion [g] that bands and declaration speak of. */
  readonly portionGrams?: number;
  /** Portions in a pack, as printed. */
  readonly portions?: number;
  /** Every particular in the order of the law, with how it stands. */
  readonly particulars: readonly Particular[];
  /** What has to be supplied before this is printed: needed, and missing. */
  readonly missing: readonly string[];
  readonly checks: readonly ListCheck[];
  readonly cautions: readonly string[];
  readonly modeWords: string;
  readonly rules: readonly LawRule[];
}

/**
 * What a label says: by the rules of the place on a day, for a way of selling.
 *
 * Plain data with what is missing and what has to be checked beside it; `layoutLabel` sets it on paper. It says which published
 * rule was applied; whether a label is in order is for local law and licensed advice.
 *
 * @throws RangeError for a date that is none, and for amounts out of range; `readLabelInputs` says so beforehand
 */
export function labelFor(formula: Formula, plainBook: IngredientBook, inputs: LabelInputs): Label {
  const book = withPackets(plainBook, inputs.packets);
  const { place, mode, date, language = "en" } = inputs;
  const finished = composeFormula(formula, book).product.finished;
  const words = labelWords(language);
  const list = ingredientList(formula, book, inputs);
  const keeping = keepFormula(formula, book, { place });
  const keptAt = inputs.keptAt ?? keeping.product.keptAt;
  const asked = durabilityOf({
    place,
    language,
    date,
    days: inputs.keepsDays ?? lastDay(keeping),
    keptAt,
    because:
      inputs.keepsDays === undefined
        ? `estimate: ${keeping.product.limitedBy}; show by a test that it holds`
        : "as the baker decided",
    ...(inputs.bakeDate === undefined ? {} : { bakeDate: inputs.bakeDate }),
    ...(inputs.eatenWithin24h === undefined ? {} : { eatenWithin24h: inputs.eatenWithin24h }),
  });
  // A line to write the date on is for a pack that needs one; elsewhere a date that is not known is not spoken of.
  const durability = asked.date === undefined && mode !== "prepacked" ? { ...asked, text: "" } : asked;
  const net = netQuantityOf(finished, inputs);
  const portionGrams = portionOf(inputs, net?.grams);
  const exemption = nutritionExemption(place, mode, inputs.seller, inputs.surfaceCm2);
  const wantsNutrition =
    inputs.nutrition === "always" || ((inputs.nutrition ?? "when-needed") === "when-needed" && exemption.verdict !== "exempt");
  const usPart = place === "us" ? usPanel(formula, book, finished, inputs, net?.grams) : undefined;
  const nutrition =
    !wantsNutrition || !(finished.totalGrams > 0)
      ? undefined
      : place === "us"
        ? usPart?.declaration
        : euNutrition(finished, place, portionGrams, inputs.showRows, language);
  const alcoholPer100g = finished.totalGrams > 0 ? (finished.totals.alcohol.amount * 100) / finished.totalGrams : 0;
  const isAlcoholic = alcoholPer100g >= ALCOHOL_SAID;
  const gtin = inputs.gtin === undefined ? undefined : inputs.gtin.replace(/\D/g, "");
  const clean = (text: string | undefined, most = 400) =>
    text === undefined || plainText(text) === "" ? undefined : plainText(text, most);
  const business =
    inputs.business === undefined
      ? undefined
      : { name: plainText(inputs.business.name, 200), address: plainText(inputs.business.address, 400) };
  const description = clean(inputs.description);
  const instructions = clean(inputs.instructions);
  const frontOfPack =
    inputs.frontOfPack === true && place !== "us" ? frontOfPackLines(finished, portionGrams, language) : undefined;
  const rest = {
    place,
    mode,
    language,
    date,
    name: plainText(inputs.name ?? formula.name, 200),
    ...(description === undefined ? {} : { description }),
    list,
    ...(net === undefined ? {} : { netQuantity: net }),
    durability,
    storage:
      clean(inputs.storage) ??
      (place === "us" && keptAt === "chilled" ? "Keep refrigerated." : keptAt === "chilled" ? words.storeCold : words.storeRoom),
    ...(instructions === undefined ? {} : { instructions }),
    ...(business === undefined || business.name === "" ? {} : { business }),
    ...(isAlcoholic ? { alcohol: words.alcohol } : {}),
    ...(nutrition === undefined ? {} : { nutrition }),
    ...(usPart === undefined || nutrition === undefined ? {} : { serving: usPart.serving }),
    ...(frontOfPack === undefined ? {} : { frontOfPack }),
    ...(gtin !== undefined && gtin.length === 13 && isGtin(gtin) ? { gtin } : {}),
    ...(inputs.surfaceCm2 === undefined ? {} : { surfaceCm2: inputs.surfaceCm2 }),
    ...(portionGrams === undefined ? {} : { portionGrams }),
    ...(inputs.portions === undefined || place === "us" ? {} : { portions: inputs.portions }),
  };
  const { needs, rule, words: modeWords } = needsOf(place, mode);
  const particulars = PARTICULARS.map((id) => particularOf(id, needs[id] ?? "not-needed", rest, inputs, exemption, mode));
  const missing = [
    ...particulars.flatMap(({ id, need, state, why }) =>
      state === "missing" && (need === "needed" || need === "at-delivery" || need === "if-it-applies")
        ? [`${PARTICULAR_WORDS[id]}: ${why ?? "not given"}`]
        : [],
    ),
    ...(inputs.gtin !== undefined && rest.gtin === undefined
      ? [`Barcode: ${plainText(inputs.gtin, 40)} is not an EAN-13 number that ends in its check digit`]
      : []),
  ];
  return {
    ...rest,
    particulars,
    missing,
    checks: list.checks,
    cautions: [
      `${modeWords}`,
      ...(exemption.verdict === "needed" || (mode !== "prepacked" && mode !== "distance")
        ? []
        : [`Nutrition declaration: ${exemption.words}`]),
      ...(isAlcoholic
        ? [
            `It holds ${halfUp(alcoholPer100g, 1)} g alcohol in 100 g as put in; part of it is gone after baking. Check the rules on alcohol in food where you sell.`,
          ]
        : []),
      "Rules as gathered in November 2026. Local food law and licensed advice decide.",
    ],
    modeWords,
    rules: [
      ...new Map(
        [
          ruleOn(rule, date),
          ...list.rules,
          ...durability.rules,
          ruleOn(exemption.rule, date),
          ...(place === "us"
            ? ["us-net", "us-operator", ...(nutrition === undefined ? [] : ["us-nutrition", "us-serving"])]
            : [
                "x-height",
                "net-quantity",
                "operator",
                ...(nutrition === undefined ? [] : ["nutrition"]),
                ...(frontOfPack === undefined ? [] : ["front-of-pack"]),
              ]
          ).map((id) => ruleOn(id, date)),
        ].map((one) => [`${one.id} ${one.from}`, one]),
      ).values(),
    ],
  };
}

/** The book with lists that were copied from packets for this label. */
function withPackets(book: IngredientBook, packets: LabelInputs["packets"]): IngredientBook {
  if (packets === undefined) return book;
  const found = new Map(
    Object.entries(packets).flatMap(([id, packetList]) => {
      const known = book.get(id);
      return known === undefined ? [] : [[id, { ...known, packetList }] as const];
    }),
  );
  return { all: book.all.map((one) => found.get(one.id) ?? one), get: (id) => found.get(id) ?? book.get(id) };
}

/** A cake says that it holds alcohol from this much [g per 100 g]; vanilla extract alone stays under it (our choice, no source). */
const ALCOHOL_SAID = 0.5;

const PARTICULAR_WORDS: Readonly<Record<ParticularId, string>> = {
  name: "Name of the food",
  list: "List of ingredients",
  allergens: "Allergens",
  quantities: "Quantity of an ingredient",
  "net-quantity": "Net quantity",
  date: "Date",
  storage: "Storage",
  instructions: "Instructions",
  operator: "Name and address of the business",
  alcohol: "Alcohol",
  "may-contain": "May contain",
  nutrition: "Nutrition declaration",
};

function lastDay(keeping: Keeping): number {
  return keeping.plan.find(({ step }) => step === "use-by")?.day ?? keeping.product.days;
}

/** Kinds of checks that leave a list unfinished. */
const UNFINISHED = new Set<ListCheck["kind"]>(["unknown", "unweighed", "packet", "translation"]);

function particularOf(
  id: ParticularId,
  need: Particular["need"],
  label: Pick<
    Label,
    "name" | "list" | "netQuantity" | "durability" | "storage" | "business" | "alcohol" | "nutrition" | "instructions"
  >,
  inputs: LabelInputs,
  exemption: ReturnType<typeof nutritionExemption>,
  mode: SaleMode,
): Particular {
  const is = (state: Particular["state"], why?: string): Particular => ({
    id,
    need,
    state,
    ...(why === undefined ? {} : { why }),
  });
  const { list } = label;
  switch (id) {
    case "name":
      return label.name === "" ? is("missing", "type the name of the food") : is("there");
    case "list": {
      if (mode === "loose") return is("left-out");
      if (list.items.length === 0) return is("missing", "nothing is weighed yet");
      const open = list.checks.filter(({ kind }) => UNFINISHED.has(kind));
      if (open.length > 0) return is("missing", open.map(({ words }) => words).join(" "));
      return list.checks.length > 0 ? is("check", `${list.checks.length} things to compare with the packets`) : is("there");
    }
    case "allergens": {
      const unknown = list.checks.filter(({ kind }) => kind === "unknown");
      if (unknown.length > 0) return is("missing", unknown.map(({ words }) => words).join(" "));
      const open = list.checks.filter(({ kind }) => kind === "allergen");
      return open.length > 0 ? is("check", open.map(({ words }) => words).join(" ")) : is("there");
    }
    case "quantities":
      return list.items.some(({ quantity }) => quantity !== undefined)
        ? is("there")
        : is("left-out", "say which ingredients are in the name or pictured, if any");
    case "net-quantity":
      return label.netQuantity === undefined
        ? is(need === "not-needed" ? "left-out" : "missing", "say how many packs a batch makes, or weigh one")
        : is("there");
    case "date":
      if (label.durability.kind === "none") return is("left-out", label.durability.because);
      return label.durability.date === undefined
        ? is(need === "needed" || need === "at-delivery" ? "missing" : "left-out", "give the day of baking")
        : is("there");
    case "storage":
      return is("there");
    case "instructions":
      return label.instructions === undefined ? is("left-out") : is("there");
    case "operator":
      return label.business === undefined || label.business.address === ""
        ? is(need === "not-needed" ? "left-out" : "missing", "give the name and the address of the business")
        : is("there");
    case "alcohol":
      return label.alcohol === undefined ? is("left-out") : is("there");
    case "may-contain":
      return list.mayContain === undefined ? is("left-out", "nothing stated; assess what else the bakery handles") : is("there");
    case "nutrition": {
      if (label.nutrition === undefined)
        return exemption.verdict === "exempt" || need === "not-needed"
          ? { id, need: "not-needed", state: "left-out", why: exemption.words }
          : is(
              "missing",
              inputs.nutrition === "never"
                ? "left out as asked"
                : inputs.place === "us"
                  ? "say how many packs a batch makes: the serving goes by it"
                  : "nothing is weighed yet",
            );
      const open = label.nutrition.rows.filter((row) => !(row.perPortion ?? row.per100g).known);
      const whys = new Set(
        open.flatMap(({ perPortion, per100g }) => {
          const cell = perPortion ?? per100g;
          return cell.known ? [] : [cell.why];
        }),
      );
      return open.length === 0
        ? is("there")
        : is("missing", `${open.map(({ name }) => name).join(", ")} cannot be printed: ${[...whys].join("; ")}`);
    }
  }
}

/** The weight of a portion [g] as stated, else the pack's over its portions. @throws RangeError for portions that are not from 1 on */
function portionOf({ portionGrams, portions }: LabelInputs, packGrams: number | undefined): number | undefined {
  if (portions !== undefined && !(Number.isInteger(portions) && portions >= 1))
    throw new RangeError(`labelFor: ${portions} portions are not a whole number from 1 on`);
  return portionGrams ?? (portions === undefined || packGrams === undefined ? undefined : packGrams / portions);
}

function netQuantityOf(
  finished: Composition,
  { place, netGrams, packs, portions, language = "en" }: LabelInputs,
): Label["netQuantity"] {
  if (netGrams !== undefined && !(netGrams > 0)) throw new RangeError(`labelFor: a net weight of ${netGrams} g is not above 0`);
  if (packs !== undefined && !(packs > 0)) throw new RangeError(`labelFor: ${packs} packs are not above 0`);
  const grams = netGrams ?? (packs === undefined || !(finished.totalGrams > 0) ? undefined : finished.totalGrams / packs);
  if (grams === undefined) return undefined;
  // A column per portion asks for the number of portions in the pack (Article 33(4), from memory).
  const held = portions === undefined || portions < 2 || place === "us" ? "" : ` (${portions} ${labelWords(language).portions})`;
  return {
    grams,
    text: `${netText(place, grams, language)}${held}`,
    basis: netGrams === undefined ? "computed" : "stated",
  };
}

/** What is printed is never more than there is: computed weights are rounded down, to 5 g from 100 g and to 1 g below. */
function netText(place: LabelPlace, grams: number, language: LabelLanguage): string {
  const step = grams >= 100 ? 5 : 1;
  const shown = Number.isInteger(grams) ? grams : Math.floor(grams / step + 1e-9) * step;
  if (place !== "us") {
    const weight = shown >= 1000 ? `${Number((shown / 1000).toFixed(3))} kg` : `${shown} g`;
    return `${labelWords(language).netWeight} ${weight}`;
  }
  const ounces = Math.floor((shown / 28.349523125) * 10 + 1e-9) / 10;
  if (ounces < 16) return `NET WT ${ounces} OZ (${shown}g)`;
  const pounds = Math.floor(ounces / 16);
  return `NET WT ${ounces} OZ (${pounds} LB${ounces - 16 * pounds >= 0.1 ? ` ${halfUp(ounces - 16 * pounds, 1)} OZ` : ""}) ${shown}g`;
}

/** The lines of the voluntary scheme of the United Kingdom; none where a figure is missing, for half a picture misleads. */
function frontOfPackLines(
  finished: Composition,
  portionGrams: number | undefined,
  language: LabelLanguage,
): readonly FrontOfPackLine[] | undefined {
  const { rows } = euNutrition(finished, "gb", portionGrams, [], language);
  const lines = (["energyKj", "fat", "saturates", "sugars", "salt"] as const).flatMap((id): FrontOfPackLine[] => {
    const row = rows.find((one) => one.id === id)!;
    const shown = row.perPortion ?? row.per100g;
    if (!shown.known || !row.per100g.known) return [];
    const kcal = rows.find((one) => one.id === "energyKcal")!;
    const shownKcal = kcal.perPortion ?? kcal.per100g;
    return [
      {
        nutrient: id === "energyKj" ? "energy" : id,
        name: id === "energyKj" ? row.name : row.name.replace(/^of which /, ""),
        amount:
          id === "energyKj"
            ? `${shown.declared.text} kJ${shownKcal.known ? ` ${shownKcal.declared.text} kcal` : ""}`
            : shown.declared.text.replace(/ /g, ""),
        ...(row.percent === undefined ? {} : { percent: row.percent }),
        ...(id === "energyKj" ? {} : { band: frontOfPackBand(id, row.per100g.declared.value, portionGrams) }),
      },
    ];
  });
  return lines.length === 5 ? lines : undefined;
}

/** The label in a few lines of plain text. */
export function labelText(label: Label): readonly string[] {
  return [
    label.name,
    ...(label.description === undefined ? [] : [label.description]),
    ...(label.mode === "loose"
      ? []
      : [label.list.runs.map(({ text, emphasised }) => (emphasised ? text.toUpperCase() : text)).join("")]),
    ...(label.list.contains === undefined ? [] : [label.list.contains]),
    ...(label.list.mayContain === undefined ? [] : [label.list.mayContain]),
    ...(label.alcohol === undefined ? [] : [`${label.alcohol}.`]),
    ...(label.durability.text === "" ? [] : [label.durability.text]),
    label.storage,
    ...(label.instructions === undefined ? [] : [label.instructions]),
    ...(label.netQuantity === undefined ? [] : [label.netQuantity.text]),
    ...(label.business === undefined ? [] : [`${label.business.name}, ${label.business.address}`]),
  ];
}
