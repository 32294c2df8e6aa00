import { ALLERGENS, FURTHER_NUTRIENTS, FURTHER_WORDS, type Ingredient, NUTRIENTS } from "../ingredients/index.js";
import { COMPONENT_KINDS, type Component, type Formula, type Stage, type TinUse, type Use } from "./formula.js";
import type { Field, ListShape, NumberShape, RecordShape, TextShape, VariantsShape } from "./shape.js";

/** Version of the formula file. A newer program reads every older one; a change that is not additive raises it. */
export const FORMULA_FILE_VERSION = 1;

const text = (expected: string, maxLength: number, pattern?: string): TextShape => ({
  is: "text",
  expected,
  maxLength,
  ...(pattern === undefined ? {} : { pattern }),
});
const number = (expected: string, range: Omit<NumberShape, "is" | "expected">): NumberShape => ({
  is: "number",
  expected,
  ...range,
});
const list = (expected: string, of: ListShape["of"], maxCount: number, unique?: string): ListShape => ({
  is: "list",
  expected,
  of,
  maxCount,
  ...(unique === undefined ? {} : { unique }),
});
/** Fields in the order in which a file is written. `All` holds every field of the type, so a new one cannot be forgotten. */
const record = <All>(expected: string, fields: Record<keyof Required<All>, Field>): RecordShape => ({
  is: "record",
  expected,
  fields,
});

const basisOf = (of: readonly string[], expected: string): Field => ({
  about: "Where the figure comes from.",
  shape: { is: "choice", expected, of },
});

export const USE_SHAPE = record<Use>("an ingredient with its weight", {
  ingredient: { about: "Id of the ingredient.", shape: text("the id of an ingredient, such as plain-flour", 120) },
  grams: {
    about: "Weight in grams; null while it is not weighed.",
    shape: number("a weight in grams from 0 to 1000000, such as 250, or null", { min: 0, max: 1e6, orNull: true }),
    standIn: null,
  },
  note: { about: "Preparation: sifted, at 20 °C.", shape: text("a short note", 500), optional: true },
  original: {
    about: "The words the line had when it was pasted.",
    shape: text("the words of the pasted line", 1000),
    optional: true,
  },
});

const target = (kind: string, field: string, about: string, shape: Field["shape"]): VariantsShape["cases"][number] => ({
  value: kind,
  record: {
    is: "record",
    expected: "a target",
    fields: {
      kind: { about: "What kind of target.", shape: { is: "constant", expected: kind, value: kind, remedy: `Write ${kind}.` } },
      [field]: { about, shape },
    },
  },
});

export const TARGET_SHAPE: VariantsShape = {
  is: "variants",
  expected: "a target, such as { kind: time, seconds: 300 }",
  tag: "kind",
  cases: [
    target(
      "volume-increase",
      "percent",
      "Growth in volume, percent.",
      number("a percentage from 0 to 2000", { min: 0, max: 2000 }),
    ),
    target("temperature", "celsius", "Temperature, °C.", number("a temperature in °C from -40 to 250", { min: -40, max: 250 })),
    target(
      "specific-gravity",
      "value",
      "Weight over the weight of as much water.",
      number("a number from 0.2 to 1.5", { min: 0.2, max: 1.5 }),
    ),
    target("time", "seconds", "Duration, seconds.", number("seconds from 0 to 604800", { min: 0, max: 604_800 })),
    target("look", "words", "What it looks or feels like.", text("words, such as pale and fluffy", 500)),
  ],
};

export const STAGE_SHAPE = record<Stage>("a stage with its name and uses", {
  name: { about: "Name of the step.", shape: text("the name of the stage, such as Cream", 200), standIn: "Stage" },
  method: { about: "What to do.", shape: text("the method in words", 10_000), optional: true },
  targets: { about: "What tells that the stage is done.", shape: list("a list of targets", TARGET_SHAPE, 20), optional: true },
  uses: {
    about: "Ingredients of this stage with their weights.",
    shape: list("a list of ingredients", USE_SHAPE, 200),
    standIn: [],
  },
});

const TIN_SHAPE = record<TinUse>("a tin and how many of it", {
  count: {
    about: "How many of this tin.",
    shape: number("a whole number from 1 to 10000", { min: 1, max: 10_000, whole: true }),
  },
  tin: {
    about: "The tin by its inner size, or by the name the baker gave it.",
    shape: text("a tin, such as round 20x5 cm", 200),
  },
});

export const COMPONENT_SHAPE = record<Component>("a component with its name, kind and stages", {
  name: {
    about: "Unique within the formula.",
    shape: text("the name of the component, such as Sponge", 200),
    standIn: "Component",
  },
  kind: {
    about: "What kind of part it is.",
    shape: { is: "choice", expected: `one of: ${COMPONENT_KINDS.join(", ")}`, of: COMPONENT_KINDS },
    standIn: "other",
  },
  tins: { about: "What it is baked or set in.", shape: list("a list of tins", TIN_SHAPE, 50), optional: true },
  loss: {
    about: "Weight lost in the making, all of it water.",
    shape: record<NonNullable<Component["loss"]>>("a loss, such as { percent: 10, basis: stated }", {
      percent: { about: "Percent of the raw weight.", shape: number("a percentage from 0 to below 100", { min: 0, below: 100 }) },
      basis: basisOf(["stated", "measured"], "stated or measured"),
    }),
    optional: true,
  },
  specificGravity: {
    about: "Weight of the raw mix over the weight of as much water.",
    shape: record<NonNullable<Component["specificGravity"]>>("a specific gravity, such as { value: 0.85, basis: typical }", {
      value: { about: "Without unit.", shape: number("a number from 0.2 to 1.5", { min: 0.2, max: 1.5 }) },
      basis: basisOf(["typical", "measured"], "typical or measured"),
    }),
    optional: true,
  },
  bake: {
    about: "How it is baked.",
    shape: record<NonNullable<Component["bake"]>>("a bake, such as { ovenC: 170, fan: false, minutes: 50 }", {
      ovenC: { about: "Oven setting, °C.", shape: number("an oven temperature in °C from 30 to 400", { min: 30, max: 400 }) },
      fan: { about: "With the fan on.", shape: { is: "flag", expected: "true or false" } },
      minutes: {
        about: "Time, minutes.",
        shape: number("minutes above 0 and up to 2880", { above: 0, max: 2880 }),
        optional: true,
      },
    }),
    optional: true,
  },
  stages: { about: "Steps in the order of the work.", shape: list("a list of stages", STAGE_SHAPE, 60), standIn: [] },
});

const MAX_PER_100G: Partial<Record<(typeof NUTRIENTS)[number], number>> = { energyKj: 4000, energyKcal: 1000 };

const figure = (value: NumberShape): VariantsShape => ({
  is: "variants",
  expected: "a figure, such as { known: true, value: 9.1, source: packet }",
  tag: "known",
  cases: [
    {
      value: true,
      record: {
        is: "record",
        expected: "a known figure",
        fields: {
          known: {
            about: "The figure is known.",
            shape: { is: "constant", expected: "true", value: true, remedy: "Write true." },
          },
          value: { about: "The figure.", shape: value },
          source: { about: "Where it was read.", shape: text("where the figure was read", 1000) },
        },
      },
    },
    {
      value: false,
      record: {
        is: "record",
        expected: "a figure that is not known",
        fields: {
          known: {
            about: "The figure is not known.",
            shape: { is: "constant", expected: "false", value: false, remedy: "Write false." },
          },
          why: { about: "Why there is no figure.", shape: text("why there is no figure", 1000) },
        },
      },
    },
  ],
});

const ALLERGEN_LIST = list(
  "a list of allergens",
  record<{ allergen: string; kind?: string }>("an allergen, such as { allergen: nuts, kind: almond }", {
    allergen: {
      about: "One of the fourteen of Annex II of Regulation (EU) 1169/2011.",
      shape: { is: "choice", expected: `one of: ${ALLERGENS.join(", ")}`, of: ALLERGENS },
    },
    kind: { about: "The cereal or the nut.", shape: text("the cereal or the nut, such as wheat", 100), optional: true },
  }),
  50,
);

const ROLES = [
  "flour",
  "fat",
  "sugar",
  "egg",
  "dairy",
  "liquid",
  "raising",
  "chocolate",
  "nut",
  "fruit",
  "flavour",
  "salt",
  "thickener",
  "other",
] as const satisfies readonly Ingredient["role"][];
const BASES = ["dataset", "computed", "memory", "own", "compound"] as const satisfies readonly Ingredient["basis"][];

export const INGREDIENT_SHAPE = record<Ingredient>("an ingredient of the baker's own", {
  id: { about: "Short name in small letters, stable for ever.", shape: text("an id, such as own-plum-jam", 120) },
  name: { about: "British trade name.", shape: text("a name", 200) },
  usName: { about: "US name where it is another one.", shape: text("a name", 200), optional: true },
  otherNames: { about: "Other names.", shape: list("a list of names", text("a name", 200), 100) },
  group: { about: "Shelf in the larder.", shape: text("a group", 100) },
  role: { about: "What it does in a cake.", shape: { is: "choice", expected: `one of: ${ROLES.join(", ")}`, of: ROLES } },
  per100g: {
    about: "Grams per 100 g as sold; the energies in kJ and kcal.",
    shape: {
      is: "record",
      expected: "the figures per 100 g",
      fields: Object.fromEntries(
        NUTRIENTS.map((nutrient) => {
          const max = MAX_PER_100G[nutrient] ?? 100;
          return [
            nutrient,
            { about: `${nutrient} per 100 g.`, shape: figure(number(`a number from 0 to ${max}`, { min: 0, max })) },
          ];
        }),
      ),
    },
  },
  furtherPer100g: {
    about: "What a US panel asks for besides, per 100 g in the unit of the name (Mcg: micrograms).",
    shape: {
      is: "record",
      expected: "further figures per 100 g",
      fields: Object.fromEntries(
        FURTHER_NUTRIENTS.map((nutrient) => {
          const { name, unit, mostPer100g: max } = FURTHER_WORDS[nutrient];
          const shape = figure(number(`${unit} from 0 to ${max}`, { min: 0, max }));
          return [nutrient, { about: `${name}, ${unit} per 100 g.`, shape, optional: true }];
        }),
      ),
    },
    optional: true,
  },
  densityGPerMl: { about: "Density, g/mL.", shape: figure(number("a density above 0 and up to 25", { above: 0, max: 25 })) },
  householdWeights: {
    about: "Weights of household amounts.",
    shape: list(
      "a list of household weights",
      record<Ingredient["householdWeights"][number]>("a household weight", {
        amount: { about: "How many.", shape: number("a number above 0", { above: 0, max: 10_000 }) },
        measure: { about: "Of what.", shape: text("a measure, such as cup", 200) },
        grams: { about: "Their weight, g.", shape: number("a weight in grams", { min: 0, max: 1e6 }) },
        source: { about: "Where it was read.", shape: text("where it was read", 1000) },
      }),
      100,
    ),
  },
  contains: { about: "Allergens in it.", shape: ALLERGEN_LIST },
  checkSupplier: { about: "Allergens common in the bought product.", shape: ALLERGEN_LIST },
  mayContain: { about: "Allergens it may contain, as the baker states.", shape: ALLERGEN_LIST },
  basis: { about: "How the figures were found.", shape: { is: "choice", expected: `one of: ${BASES.join(", ")}`, of: BASES } },
  source: { about: "Where the figures come from.", shape: text("where the figures come from", 2000) },
  notes: { about: "Notes.", shape: text("notes", 10_000), optional: true },
  labelName: { about: "What a label calls it.", shape: text("a name as a label has it", 200), optional: true },
  packetList: {
    about: "Its list of ingredients as its packet prints it.",
    shape: text("the list of its packet, such as: sugar, cocoa mass", 4000),
    optional: true,
  },
  packs: {
    about: "What was paid for a pack.",
    shape: list(
      "a list of packs",
      record<NonNullable<Ingredient["packs"]>[number]>("a pack", {
        grams: { about: "Weight of the pack, g.", shape: number("a weight in grams above 0", { above: 0, max: 1e8 }) },
        priceMinor: {
          about: "Price in whole pence or cents.",
          shape: number("a price in whole pence or cents", { min: 0, max: 1e10, whole: true }),
        },
        currency: { about: "ISO 4217.", shape: text("a currency, such as GBP", 3, "^[A-Z]{3}$") },
        supplier: { about: "Who sold it.", shape: text("a supplier", 200), optional: true },
        date: {
          about: "Day of the price.",
          shape: text("a date, such as 2026-03-31", 30, "^\\d{4}-\\d{2}-\\d{2}"),
          optional: true,
        },
      }),
      200,
    ),
    optional: true,
  },
  parts: {
    about: "What a compound is made of.",
    shape: list(
      "a list of parts",
      record<NonNullable<Ingredient["parts"]>[number]>("a part", {
        ingredient: { about: "Id of the ingredient.", shape: text("the id of an ingredient", 120) },
        grams: { about: "Weight, g.", shape: number("a weight in grams", { min: 0, max: 1e6 }) },
      }),
      200,
    ),
    optional: true,
  },
  partsLossPercent: {
    about: "Water lost while it is made, percent of the parts.",
    shape: number("a percentage from 0 to below 100", { min: 0, below: 100 }),
    optional: true,
  },
});

const formulaFields: Record<keyof Required<Formula>, Field> = {
  name: { about: "Name of the product.", shape: text("the name of the formula", 200), standIn: "Unnamed formula" },
  notes: { about: "Notes.", shape: text("notes", 20_000), optional: true },
  portions: {
    about: "Into how many portions the finished product is cut.",
    shape: number("a whole number of portions from 1 to 100000", { min: 1, max: 100_000, whole: true }),
    optional: true,
  },
  components: {
    about: "Parts made on their own, in the order of the work.",
    shape: list("a list of components", COMPONENT_SHAPE, 60, "name"),
    standIn: [],
  },
  ingredients: {
    about: "The baker's own ingredients that this formula uses, so that the file can travel.",
    shape: list("a list of ingredients", INGREDIENT_SHAPE, 150, "id"),
    optional: true,
  },
};

const version: Field = {
  about: "Version of this file format.",
  shape: {
    is: "constant",
    expected: `${FORMULA_FILE_VERSION}, the version of the formula file that this program reads`,
    value: FORMULA_FILE_VERSION,
    remedy: `Write "formulaFile: ${FORMULA_FILE_VERSION}"; a higher number was written by a newer program, which can read it.`,
  },
};

/** A formula as JSON; the version may be there. */
export const FORMULA_SHAPE: RecordShape = {
  is: "record",
  expected: "a formula with its name and components",
  fields: { formulaFile: { ...version, optional: true }, ...formulaFields },
};

/** A formula as a file: the same, and the version has to be there. */
export const FORMULA_FILE_SHAPE: RecordShape = {
  is: "record",
  expected: "a formula file, beginning with formulaFile: 1",
  fields: { formulaFile: { ...version, standIn: FORMULA_FILE_VERSION }, ...formulaFields },
};
