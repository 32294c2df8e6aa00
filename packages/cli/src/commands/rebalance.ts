import { writeFormulaFile } from "@evencrumb/core/formula";
import { formatGrams } from "@evencrumb/core/quantities";
import { type HighsLike, offeredSwap, type RebalanceAnswer, rebalance, solverFromHighs } from "@evencrumb/core/rebalance";
import { defineCommand } from "../command.js";
import { componentFor, type DemandWords, readDemands } from "../demandWords.js";
import { readFormula, sayUnknown } from "../formulaInput.js";
import { refuse } from "../io.js";
import { jsonText } from "../render/json.js";
import { tableText, wrapped } from "../render/table.js";

interface RebalanceWords extends DemandWords {
  readonly component?: string;
  readonly cheapest?: boolean;
  readonly output?: string;
}

export const rebalanceCommand = defineCommand<RebalanceWords & Readonly<Record<string, unknown>>>({
  name: "rebalance",
  summary:
    "The nearest formula (or the cheapest) in which a swap is made and what must hold holds, in weighable amounts; or which demands conflict.",
  arguments: [["<file>", 'formula file, or "-" for the standard input']],
  options: [
    ["--swap <swap>", '"butter-unsalted 40% sunflower-oil": what, how much of it, and by what (several with commas)'],
    [
      "--hold <list>",
      "what keeps its amount: total, fat, water, sugars, protein, sweetness ..., a group (flour, egg), or an ingredient",
    ],
    ["--keep <list>", "ingredients whose weight stays"],
    ["--may-add <list>", "ingredients that may be added besides"],
    ["--without <list>", "allergens that must not be in it: milk, eggs, gluten, nuts ..."],
    [
      "--at-most <limits...>",
      '"sugars 30%" in 100 g, "fat 200 g" in the batch, "water-activity 0.85", "set-temperature 80", "solid-fat@5 10"',
    ],
    ["--at-least <limits...>", "the same from below"],
    ["--pieces <pieces...>", '"egg-whole-uk 51": only whole ones of this weight'],
    ["--cheapest", "as cheap as can be instead of as near as can be; prices from the packs of the formula's ingredients"],
    ["--component <name>", "the component to change; the one with the swapped ingredient when left out"],
    ["-o, --output <file>", "write the new formula file"],
  ],
  examples: [
    'evencrumb rebalance sandwich.yaml --swap "butter-unsalted 40% sunflower-oil" --hold fat,water,total --may-add water',
    'evencrumb rebalance sandwich.yaml --at-most "sugars 20%" --hold total --pieces "egg-whole-uk 51" --json',
  ],
  async run({ args, json, component: named, cheapest, output, ...words }, io) {
    const input = await readFormula(io, args[0]!);
    if (typeof input === "number") return input;
    const { formula, book, text } = input;
    const read = readDemands(words, book);
    if (!read.ok) return refuse(io, read.error);
    const { swap, demands, bent } = read.value;
    if (swap === undefined && demands.length === 0 && bent.length === 0) {
      io.say("Say what to change or what must hold: --swap, --hold, --at-most, --at-least or --without.");
      return 2;
    }
    const component = componentFor(formula, named, swap?.from);
    if (component === undefined) {
      io.say(`--component is one of: ${formula.components.map(({ name }) => `"${name}"`).join(", ")}.`);
      return 2;
    }
    // An offered swap carries what keeps the balance, unless it was said what may be added.
    const offered = swap === undefined || words.mayAdd !== undefined ? undefined : offeredSwap(swap.from, swap.to);
    if (offered !== undefined && offered.carries.length > 0)
      io.say(`${offered.words} May be added: ${offered.carries.join(", ")} (--may-add says otherwise).`);
    const held = (offered?.holds ?? []).map((measure) => ({ kind: "hold" as const, measure }));
    const mayAdd = [...read.value.mayAdd, ...(offered?.carries ?? [])];
    // Only this command needs the solver, and it takes a moment to load.
    const { default: highs } = await import("highs");
    const solver = solverFromHighs(await (highs as unknown as () => Promise<HighsLike>)());
    const answer = rebalance(
      {
        formula,
        component: component.name,
        ...read.value,
        mayAdd,
        demands: [...demands, ...held],
        aim: cheapest === true ? "cheapest" : "nearest",
      },
      book,
      solver,
    );
    if (answer.status === "problems") return refuse(io, answer.problems);
    if (answer.status === "optimal" && output !== undefined) {
      await io.writeFile(output, writeFormulaFile(answer.formula, text));
      io.say(`Written to ${output}.`);
    }
    if (json) io.print(jsonText("rebalance", answerAsJson(answer)));
    else io.print(answer.status === "conflict" ? answer.words : answerAsText(component.name, answer));
    sayUnknown(io, formula, book);
    return answer.status === "optimal" ? 0 : 1;
  },
});

type Answered = Exclude<RebalanceAnswer, { readonly status: "problems" }>;

function answerAsJson(answer: Answered): Readonly<Record<string, unknown>> {
  if (answer.status === "conflict") return { ...answer, changes: [], objective: null };
  return { ...answer };
}

function answerAsText(component: string, answer: Extract<Answered, { readonly status: "optimal" }>): string {
  const grams = (value: number) => formatGrams(value, { bare: true });
  const weighed = answer.changes.filter(({ beforeGrams, afterGrams }) => beforeGrams !== afterGrams);
  const rows = weighed.map(({ name, beforeGrams, afterGrams, exactGrams }) => [
    name,
    grams(beforeGrams),
    grams(afterGrams),
    `${afterGrams > beforeGrams ? "+" : ""}${grams(Number((afterGrams - beforeGrams).toFixed(6)))}`,
    exactGrams.toFixed(2),
  ]);
  const decimal = (heading: string) => ({ heading, align: "decimal" as const });
  const figure = (value: number | undefined) => (value === undefined ? "-" : value.toFixed(2));
  return [
    weighed.length === 0 ? `${component}: nothing has to change.` : component,
    ...(rows.length > 0
      ? [
          tableText(
            [{ heading: "", align: "left" }, decimal("before g"), decimal("after g"), decimal("change g"), decimal("exact g")],
            rows,
            "  ",
          ),
        ]
      : []),
    ...(answer.outcomes.length > 0
      ? [
          "",
          tableText(
            [{ heading: "", align: "left" }, decimal("before"), decimal("after")],
            answer.outcomes.map(({ words, before, after }) => [words, figure(before), figure(after)]),
            "  ",
          ),
        ]
      : []),
    ...answer.cautions.map((caution) => wrapped(`- ${caution}`, 110, "  ")),
  ].join("\n");
}
