import { readBakeRecord, readOvenDocument } from "@evencrumb/core/bake";
import { validateFormula } from "@evencrumb/core/formula";
import { readIngredient } from "@evencrumb/core/ingredients";
import { readLabelDocument, readLabelInputs } from "@evencrumb/core/label";
import { readKeptPrices, readPriceDocument } from "@evencrumb/core/price";
import type { Problem } from "@evencrumb/core/quantities";
import { parseTin } from "@evencrumb/core/tins";
import type { KindRules } from "@evencrumb/store";
import { trialProblems } from "./tasting.js";

/** The kinds of document that a bakery keeps, each with the check that its body has to pass. */
export function bakeryKinds(): Readonly<Record<string, KindRules>> {
  return {
    formula: { check: (body) => validateFormula(body).problems, nameOf },
    ingredient: { check: (body) => readIngredient(body).problems, nameOf },
    tin: { check: (body) => [...named.check(body), ...tinProblems(body)], nameOf },
    oven: { check: (body) => readOvenDocument(body).problems, nameOf },
    bakeRecord: { check: (body) => readBakeRecord(body).problems, nameOf },
    photo: { check: (body) => [...named.check(body), ...photoProblems(body)], nameOf },
    trial: { check: (body) => [...named.check(body), ...trialProblems(body)], nameOf },
    order: named,
    priceList: { check: (body) => [...named.check(body), ...(isObject(body) ? readKeptPrices(body).problems : [])], nameOf },
    // The day, the wage and the tariff may be the house's own: any will do to read the rest.
    price: {
      check: (body) => [...named.check(body), ...(isObject(body) ? readPriceDocument(body, ANY_HOUSE).problems : [])],
      nameOf,
    },
    label: { check: (body) => [...named.check(body), ...(isObject(body) ? labelProblems(body) : [])], nameOf },
  };
}

/** A label of a formula, or what a label needs beside one. The day is asked for when it is made; any will do to read the rest. */
const labelProblems = (body: object): readonly Problem[] =>
  Object.hasOwn(body, "inputs")
    ? readLabelDocument(body).problems.filter(({ path }) => path[0] !== "name")
    : readLabelInputs(body, { date: "2026-01-01" }).problems;

const ANY_HOUSE = { date: "2026-01-01", perHourMinor: 0, perKwhMinor: 0 };
const isObject = (body: unknown): body is object => typeof body === "object" && body !== null && !Array.isArray(body);
const nameOf = (body: unknown): string => (body as { readonly name: string }).name;

/** For kinds whose subject has no check of its own yet: fields, of which one is the name. */
const named: KindRules = {
  nameOf,
  check(body): readonly Problem[] {
    if (typeof body !== "object" || body === null || Array.isArray(body)) {
      return [
        {
          code: "wrong-type",
          path: [],
          expected: "an object with a name",
          found: describe(body),
          remedy: "Send the fields of the document.",
        },
      ];
    }
    const name: unknown = Object.hasOwn(body, "name") ? (body as { readonly name: unknown }).name : undefined;
    if (typeof name === "string" && name.trim() !== "") return [];
    return [
      {
        code: name === undefined ? "missing-field" : "wrong-type",
        path: ["name"],
        expected: "a name",
        found: name === undefined ? "nothing" : describe(name),
        remedy: "Give it the name it is listed under.",
      },
    ];
  },
};

/** A tin the baker owns: `{ name, tin: "round 20x5 cm", count }`. Its words have to be readable, or no formula could use it. */
function tinProblems(body: unknown): readonly Problem[] {
  if (typeof body !== "object" || body === null) return [];
  const { tin, count } = body as { readonly tin?: unknown; readonly count?: unknown };
  const problems: Problem[] = [];
  if (typeof tin !== "string") {
    problems.push({
      code: tin === undefined ? "missing-field" : "wrong-type",
      path: ["tin"],
      expected: 'a description such as "round 20x5 cm"',
      found: tin === undefined ? "nothing" : describe(tin),
      remedy: "Describe the tin by shape and inner size.",
    });
  } else {
    const read = parseTin(tin);
    // A word that was passed over is no reason to refuse a tin that was understood.
    if (read.value === undefined) problems.push(...read.problems.map((problem) => ({ ...problem, path: ["tin"] })));
  }
  if (count !== undefined && !(Number.isInteger(count) && (count as number) >= 0 && (count as number) <= 10_000)) {
    problems.push({
      code: "out-of-range",
      path: ["count"],
      expected: "a whole number from 0 to 10 000",
      found: describe(count),
      remedy: "Say how many you own.",
    });
  }
  return problems;
}

/** Longest picture that is kept [characters of base64]; the app scales down to half of it. */
const PHOTO_CHARACTERS_MAX = 300_000;

/** A picture of a run: a JPEG that was scaled down before it was sent. What is kept as one is shown as one, and as nothing else. */
function photoProblems(body: unknown): readonly Problem[] {
  if (typeof body !== "object" || body === null) return [];
  const { type, data } = body as { readonly type?: unknown; readonly data?: unknown };
  const problems: Problem[] = [];
  if (type !== "image/jpeg")
    problems.push({
      code: "wrong-type",
      path: ["type"],
      expected: "image/jpeg",
      found: describe(type),
      remedy: "Send the picture as JPEG.",
    });
  // "/9j/" is how every JPEG begins in base64.
  if (typeof data !== "string" || data.length > PHOTO_CHARACTERS_MAX || !/^\/9j\/[A-Za-z0-9+/]+={0,2}$/.test(data))
    problems.push({
      code: typeof data === "string" && data.length > PHOTO_CHARACTERS_MAX ? "too-large" : "wrong-type",
      path: ["data"],
      expected: `a JPEG in base64, at most ${PHOTO_CHARACTERS_MAX} characters`,
      found: typeof data === "string" ? `${data.length} characters` : describe(data),
      remedy: "Scale the picture down, and send it as base64.",
    });
  return problems;
}

const describe = (value: unknown): string =>
  Array.isArray(value) ? "a list" : (JSON.stringify(value) ?? typeof value).slice(0, 60);
