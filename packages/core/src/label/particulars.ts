import type { ListCheck } from "./designations.js";
import type { nutritionExemption } from "./exemptions.js";
import type { Label, LabelInputs } from "./labelFor.js";
import type { Need, ParticularId, SaleMode } from "./saleModes.js";

/** One of the things that a label says, whether this way of selling asks for it, and how it stands. */
export interface Particular {
  readonly id: ParticularId;
  readonly need: Need | "not-needed";
  /** check: it is there, and something has to be looked at before it is printed. */
  readonly state: "there" | "check" | "missing" | "left-out";
  readonly why?: string;
}

/** How each is called where it is missing. */
export const PARTICULAR_WORDS: Readonly<Record<ParticularId, string>> = {
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

/** Kinds of checks that leave a list unfinished. */
const UNFINISHED = new Set<ListCheck["kind"]>(["unknown", "unweighed", "packet", "translation"]);

/** How one particular stands on a label. */
export function particularOf(
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
      if (open.length > 0) return is("missing", openWords(open));
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

/** What is open, with the names that are not given in the label's language in one sentence: there may be one for each ingredient. */
function openWords(open: readonly ListCheck[]): string {
  const untranslated = open.filter(({ kind }) => kind === "translation").map(({ words }) => words.slice(0, words.indexOf(":")));
  const others = open.filter(({ kind }) => kind !== "translation").map(({ words }) => words);
  return [
    ...others,
    ...(untranslated.length === 0
      ? []
      : [
          `Not named in the language of the label, so that the English ${untranslated.length === 1 ? "name stands" : "names stand"} there: ${untranslated.join(", ")}.`,
        ]),
  ].join(" ");
}
