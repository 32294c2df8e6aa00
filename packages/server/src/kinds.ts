import { validateFormula } from "@evencrumb/core/formula";
import type { Problem } from "@evencrumb/core/quantities";
import type { KindRules } from "@evencrumb/store";

/** The kinds of document that a bakery keeps, each with the check that its body has to pass. */
export function bakeryKinds(): Readonly<Record<string, KindRules>> {
  return {
    formula: { check: (body) => validateFormula(body).problems, nameOf },
    ingredient: named,
    tin: named,
    oven: named,
    bakeRecord: named,
    trial: named,
    order: named,
    priceList: named,
  };
}

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

const describe = (value: unknown): string =>
  Array.isArray(value) ? "a list" : (JSON.stringify(value) ?? typeof value).slice(0, 60);
