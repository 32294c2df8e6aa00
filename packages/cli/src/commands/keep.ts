import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import {
  type ComponentKeeping,
  type Keeping,
  keepFormula,
  type MeasuredKeeping,
  moistureInCake,
  type Place,
} from "@evencrumb/core/keeping";
import type { Problem, Result } from "@evencrumb/core/quantities";
import { defineCommand } from "../command.js";
import { readFormula, sayUnknown } from "../formulaInput.js";
import { refuse } from "../io.js";
import { jsonText } from "../render/json.js";
import { problemText } from "../render/problems.js";
import { tableText, wrapped } from "../render/table.js";

interface KeepWords {
  readonly bakeDate?: string;
  readonly place: string;
  readonly measured?: readonly string[];
  readonly hours: string;
}

const PLACES: readonly Place[] = ["gb", "eu", "us"];

export const keepCommand = defineCommand<KeepWords & Readonly<Record<string, unknown>>>({
  name: "keep",
  summary:
    "How a formula keeps: water activity, mould-free days, storage class, what has to be cold, moisture between layers, a plan with dates, cautions.",
  arguments: [["<file>", 'formula file, or "-" for the standard input']],
  options: [
    ["--bake-date <date>", "date of baking, such as 2026-11-25; the plan then has dates"],
    ["--place <place>", "whose rules: gb, eu or us", "gb"],
    ["--measured <values...>", 'what was measured: "Sponge aw=0.87 ph=6.8"; replaces the estimate'],
    ["--hours <hours>", "how long water moves between the layers", "96"],
  ],
  examples: [
    "evencrumb keep sandwich.yaml --bake-date 2026-11-25",
    'evencrumb keep sandwich.yaml --measured "Sponge aw=0.87 ph=6.8" --place us --json',
  ],
  async run({ args, json, bakeDate, place, measured = [], hours }, io) {
    if (!PLACES.includes(place as Place)) {
      io.say(`--place is gb, eu or us, not "${place}".`);
      return 2;
    }
    const long = Number(hours);
    if (!(long >= 1 && long <= 1440)) {
      io.say(`--hours is a number from 1 to 1440, not "${hours}".`);
      return 2;
    }
    const input = await readFormula(io, args[0]!);
    if (typeof input === "number") return input;
    const { formula, book } = input;
    const read = readMeasured(measured);
    if (!read.ok) return refuse(io, [read.error]);
    const kept = keepFormula(formula, book, {
      place: place as Place,
      measured: read.value,
      ...(bakeDate === undefined ? {} : { bakeDate }),
    });
    const wrong = kept.problems.filter(({ path }) => path[0] === "bakeDate" || path[0] === "measured");
    if (wrong.length > 0) return refuse(io, wrong);
    for (const problem of kept.problems) io.say(problemText(problem, args[0] === "-" ? "standard input" : args[0]!));
    const layers = layersAsJson(formula, book, long);
    io.print(json ? jsonText("keep", keepingAsJson(kept, layers)) : keepingAsText(formula.name, kept, layers));
    sayUnknown(io, formula, book);
    return 0;
  },
});

/** "Sponge aw=0.87 ph=6.8": a name and one or both of the two. */
function readMeasured(texts: readonly string[]): Result<Readonly<Record<string, MeasuredKeeping>>, Problem> {
  const measured: Record<string, MeasuredKeeping> = {};
  for (const text of texts) {
    const match = /^(.+?)((?:\s+(?:aw|ph)\s*=\s*\S+)+)$/i.exec(text.trim());
    const values = [...(match?.[2] ?? "").matchAll(/(aw|ph)\s*=\s*(\S+)/gi)].map(([, key, value]) => ({
      key: key!.toLowerCase(),
      value: Number(value!.replace(",", ".")),
    }));
    if (match === null || values.some(({ value }) => !Number.isFinite(value))) {
      return {
        ok: false,
        error: {
          code: "syntax",
          path: ["--measured"],
          expected: 'a component and what was measured, such as "Sponge aw=0.87 ph=6.8"',
          found: text,
          remedy: "Write the name of the component, then aw= or ph= and the number.",
        },
      };
    }
    const of = (key: string) => values.find((one) => one.key === key)?.value;
    const [waterActivity, ph] = [of("aw"), of("ph")];
    measured[match[1]!.trim()] = {
      ...(waterActivity === undefined ? {} : { waterActivity }),
      ...(ph === undefined ? {} : { ph }),
    };
  }
  return { ok: true, value: measured };
}

type LayersJson = ReturnType<typeof layersAsJson>;

/** Empty lists where there is nothing for water to move between. */
function layersAsJson(formula: Formula, book: IngredientBook, hours: number) {
  const moved = moistureInCake(formula, book, hours);
  return {
    keptC: moved?.keptC ?? null,
    hours: moved?.hours ?? [],
    layers: moved?.layers ?? [],
    words: moved?.words ?? [],
    assumptions: moved?.assumptions ?? [],
  };
}

function keepingAsJson(kept: Keeping, layers: LayersJson): Readonly<Record<string, unknown>> {
  return {
    components: kept.components.map(componentAsJson),
    product: kept.product,
    layers,
    plan: kept.plan,
    cautions: kept.cautions,
  };
}

function componentAsJson(component: ComponentKeeping): Readonly<Record<string, unknown>> {
  const { waterActivity, mouldFreeDays21C: life, mouldFreeDaysBand, storageClass, storageClassWrapped, ...rest } = component;
  return {
    ...rest,
    waterActivity: waterActivity ?? null,
    mouldFreeDays21C: life.known ? life.days : null,
    mouldFree: life,
    ...(mouldFreeDaysBand === undefined ? {} : { mouldFreeDaysBand }),
    storageClass: storageClass ?? null,
    storageClassWrapped: storageClassWrapped ?? null,
  };
}

function keepingAsText(name: string, kept: Keeping, layers: LayersJson): string {
  const { product } = kept;
  const rows = kept.components.map((one) => [
    one.name,
    one.waterActivity === undefined
      ? "-"
      : `${one.waterActivity.likely.toFixed(2)} (${one.waterActivity.from.toFixed(2)}-${one.waterActivity.to.toFixed(2)})`,
    one.mouldFreeDays21C.known ? one.mouldFreeDays21C.days.toFixed(0) : "-",
    one.keptAt === "chilled" ? "cold" : "room",
    one.keptAt === "chilled" ? `${one.chilledDays!.from}-${one.chilledDays!.to}` : "",
  ]);
  const left = (heading: string) => ({ heading, align: "left" as const });
  const plan = kept.plan.map((step) => [
    step.path === "frozen" ? "  frozen" : "",
    step.date ?? `day ${step.day}`,
    step.step,
    wrapped(step.words, 84).replaceAll("\n", `\n${" ".repeat(34)}`),
  ]);
  return [
    `${name}: ${product.keptAt === "chilled" ? "kept cold" : "at room temperature"}, ${product.days} ${product.days === 1 ? "day" : "days"}`,
    wrapped(`Limit: ${product.limitedBy}.`, 110, "  "),
    "",
    tableText(
      [left(""), left("water activity"), { heading: "mould-free days", align: "decimal" }, left("kept"), left("days cold")],
      rows,
      "  ",
    ),
    ...kept.components.flatMap((one) => one.reasons.map((reason) => wrapped(`${one.name}: ${reason}`, 110, "  "))),
    ...(layers.words.length > 0
      ? ["", `Water between the layers at ${layers.keptC} °C`, ...layers.words.map((words) => wrapped(words, 110, "  "))]
      : []),
    "",
    "Plan",
    ...plan.map(([path, day, step, words]) => `${path!.padEnd(10)}${day!.padEnd(12)}${step!.padEnd(12)}${words}`.trimEnd()),
    "",
    "Cautions",
    ...kept.cautions.map((caution) => wrapped(`- ${caution}`, 110, "  ")),
  ].join("\n");
}
