import { type Composition, composeFormula } from "../composition/index.js";
import type { Formula } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import { type Keeping, keepFormula } from "../keeping/index.js";
import { isGtin } from "./barcode.js";
import type { LabelPlace, ListCheck } from "./designations.js";
import { type Durability, durabilityOf } from "./durability.js";
import { nutritionExemption, type Seller } from "./exemptions.js";
import { type FrontOfPackLine, frontOfPackLines } from "./frontOfPack.js";
import { type IngredientList, type IngredientListOptions, ingredientList } from "./ingredientList.js";
import { type LabelLanguage, labelWords } from "./languages.js";
import { netText } from "./netQuantity.js";
import { euNutrition } from "./nutrition.js";
import type { NutritionDeclaration } from "./nutritionLines.js";
import { PARTICULAR_WORDS, type Particular, particularOf } from "./particulars.js";
import { plainText } from "./plainText.js";
import { halfUp } from "./rounding.js";
import { type LawRule, ruleOn } from "./rules.js";
import { needsOf, PARTICULARS, type SaleMode } from "./saleModes.js";
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
        : declarationOf(finished, place, portionGrams, inputs, language);
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

function lastDay(keeping: Keeping): number {
  return keeping.plan.find(({ step }) => step === "use-by")?.day ?? keeping.product.days;
}

/** Fibre stands in it where the baker says nothing; but what is voluntary and not known stops no label. */
function declarationOf(
  finished: Composition,
  place: "gb" | "eu",
  portionGrams: number | undefined,
  { showRows }: LabelInputs,
  language: LabelLanguage,
): NutritionDeclaration {
  const declaration = euNutrition(finished, place, portionGrams, showRows, language);
  const isOpen = (id: string) => declaration.rows.some((row) => row.id === id && !(row.perPortion ?? row.per100g).known);
  return showRows === undefined && isOpen("fibre")
    ? { ...declaration, rows: declaration.rows.filter(({ id }) => id !== "fibre") }
    : declaration;
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
