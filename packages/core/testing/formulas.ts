/** What the tests of `core` make up: small books and any valid formula. Outside `src`, so that nothing of it is shipped. */
import fc from "fast-check";
import type { Component, Formula, Stage, Target, TinUse, Use } from "../src/formula/formula.js";
import { COMPONENT_KINDS } from "../src/formula/formula.js";
import {
  type Ingredient,
  type IngredientBook,
  NUTRIENTS,
  type Nutrient,
  type NutrientFigures,
  type Role,
} from "../src/ingredients/index.js";

/** Figures [g per 100 g] where given; every other nutrient is 0, or missing where given as null. */
export function figures(given: Partial<Record<Nutrient, number | null>>, source = "made up for a test"): NutrientFigures {
  return Object.fromEntries(
    NUTRIENTS.map((nutrient) => {
      const value = given[nutrient] === undefined ? 0 : given[nutrient];
      return [nutrient, value === null ? { known: false, why: "not analysed" } : { known: true, value, source }];
    }),
  ) as unknown as NutrientFigures;
}

export function ingredientOf(
  id: string,
  role: Role,
  per100g: Partial<Record<Nutrient, number | null>> = {},
  more: Partial<Ingredient> = {},
): Ingredient {
  return {
    id,
    name: id,
    otherNames: [],
    group: "test",
    role,
    per100g: figures(per100g),
    densityGPerMl: { known: false, why: "not needed" },
    householdWeights: [],
    contains: [],
    checkSupplier: [],
    mayContain: [],
    basis: "own",
    source: "made up for a test",
    ...more,
  };
}

export function bookWith(all: readonly Ingredient[]): IngredientBook {
  const byId = new Map(all.map((ingredient) => [ingredient.id, ingredient]));
  return { all, get: (id) => byId.get(id) };
}

/** A book that knows no more than names and roles. */
export const bookOf = (roles: Readonly<Record<string, Role>>): IngredientBook =>
  bookWith(Object.entries(roles).map(([id, role]) => ingredientOf(id, role)));

export const COMMON_ROLES = { flour: "flour", sugar: "sugar", butter: "fat", egg: "egg", milk: "dairy", salt: "salt" } as const;

/** Text as people and machines put it into a field: plain words, YAML's own signs, several lines, other scripts. */
const text = (maxLength: number) =>
  fc
    .oneof(
      { weight: 4, arbitrary: fc.string({ minLength: 1, maxLength }) },
      { weight: 2, arbitrary: fc.string({ minLength: 1, maxLength, unit: "grapheme" }) },
      {
        weight: 3,
        arbitrary: fc.constantFrom(
          ...[
            "null",
            "true",
            "~",
            "12",
            "1e3",
            "0x1f",
            ".nan",
            "- a",
            "a: b",
            "# no",
            "a # b",
            "'",
            '"',
            "|",
            ">",
            "{",
            "[",
            "&a",
            "*a",
            "!t",
            "%",
            "@",
            "---",
            "...",
            "?",
            ":",
            "a:",
            "yes",
            " lead",
            "trail ",
            "  ",
            "<<",
            "=",
            "2026-01-02",
          ],
        ),
      },
      {
        weight: 1,
        arbitrary: fc.constantFrom(
          "one\ntwo",
          "one\n\n two \n",
          "\n",
          "tab\there",
          "\n lead",
          "long ".repeat(30),
          "crlf\r\nhere",
        ),
      },
    )
    .filter((words) => words.length <= maxLength && /\S/.test(words) && !/[^\P{Cc}\t\n\r]/u.test(words));

const weight = fc.oneof(
  fc.integer({ min: 0, max: 2000 }),
  fc.double({ min: 0, max: 1e6, noNaN: true, noDefaultInfinity: true }).map((value) => value + 0),
);
const share = (max: number) => fc.double({ min: 0, max, noNaN: true }).map((value) => value + 0);

export const anyUse = (): fc.Arbitrary<Use> =>
  fc.record(
    {
      ingredient: fc.constantFrom(...Object.keys(COMMON_ROLES), "moon-dust"),
      grams: fc.option(weight, { nil: null, freq: 8 }),
      note: text(80),
      original: text(120),
    },
    { requiredKeys: ["ingredient", "grams"] },
  );

export const anyTarget = (): fc.Arbitrary<Target> =>
  fc.oneof(
    fc.record({ kind: fc.constant("volume-increase" as const), percent: share(900) }),
    fc.record({ kind: fc.constant("temperature" as const), celsius: share(150) }),
    fc.record({ kind: fc.constant("specific-gravity" as const), value: fc.double({ min: 0.2, max: 1.5, noNaN: true }) }),
    fc.record({ kind: fc.constant("time" as const), seconds: share(7200) }),
    fc.record({ kind: fc.constant("look" as const), words: text(60) }),
  );

export const anyStage = (): fc.Arbitrary<Stage> =>
  fc.record(
    {
      name: text(30),
      method: text(200),
      targets: fc.array(anyTarget(), { maxLength: 3 }),
      uses: fc.array(anyUse(), { maxLength: 6 }),
    },
    { requiredKeys: ["name", "uses"] },
  );

const anyTin = (): fc.Arbitrary<TinUse> =>
  fc.record({ count: fc.integer({ min: 1, max: 40 }), tin: fc.constantFrom("round 20x5 cm", "loaf 900 g", "ring 24x8 cm") });

export const anyComponent = (): fc.Arbitrary<Component> =>
  fc.record(
    {
      name: text(30),
      kind: fc.constantFrom(...COMPONENT_KINDS),
      stages: fc.array(anyStage(), { maxLength: 4 }),
      tins: fc.array(anyTin(), { maxLength: 2 }),
      loss: fc.record({ percent: share(99), basis: fc.constantFrom("stated" as const, "measured" as const) }),
      specificGravity: fc.record({
        value: fc.double({ min: 0.2, max: 1.5, noNaN: true }),
        basis: fc.constantFrom("typical" as const, "measured" as const),
      }),
      bake: fc.record(
        { ovenC: fc.integer({ min: 80, max: 260 }), fan: fc.boolean(), minutes: fc.integer({ min: 1, max: 300 }) },
        { requiredKeys: ["ovenC", "fan"] },
      ),
    },
    { requiredKeys: ["name", "kind", "stages"] },
  );

/** Any formula the reader accepts. */
export const anyFormula = (): fc.Arbitrary<Formula> =>
  fc.record(
    {
      name: text(60),
      notes: text(200),
      portions: fc.integer({ min: 1, max: 400 }),
      components: fc.uniqueArray(anyComponent(), { maxLength: 3, selector: (component) => component.name }),
    },
    { requiredKeys: ["name", "components"] },
  );
