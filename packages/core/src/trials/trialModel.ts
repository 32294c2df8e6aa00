import type { Problem, Reading } from "../quantities/index.js";
import { checkGoal, type Goal } from "./desirability.js";
import type { DataRow, Factor, Setting } from "./factors.js";
import {
  type LevelCoding,
  MODEL_NAMES,
  type ModelName,
  PROCESS_MODEL_NAMES,
  type ProcessModelName,
  type Term,
  termsOf,
} from "./model.js";
import { TRANSFORMS, type Transform } from "./transform.js";

/** A factor as a person writes it; what is left out is taken from the data. */
export interface FactorWords {
  readonly name: string;
  readonly kind?: Factor["kind"];
  readonly unit?: string;
  readonly low?: number;
  readonly high?: number;
  readonly lower?: number;
  readonly upper?: number;
  readonly levels?: readonly string[];
}

export interface ResponseWords {
  readonly name: string;
  readonly unit?: string;
  readonly transform?: Transform;
}

/** The question put to a table of data, in the field's own words. Plain JSON or YAML. */
export interface TrialModel {
  readonly factors: readonly FactorWords[];
  readonly responses: readonly ResponseWords[];
  /** Default: "linear", or "scheffe linear" when all factors are shares. */
  readonly model?: ModelName;
  readonly process?: ProcessModelName;
  readonly crossing?: "full" | "reduced";
  /** Instead of `model`: products of factor names, a name twice for a square. The intercept is added unless there are shares or `intercept` is false. */
  readonly terms?: readonly Term[];
  readonly intercept?: boolean;
  /** Column that tells the baking day or oven load: a fixed block. */
  readonly blocks?: string;
  /** Columns that tell what several runs share (batter, day, taster): random, fitted by REML. */
  readonly wholePlots?: readonly string[];
  /** Whether amounts enter as -1 to +1 over their range; default false. */
  readonly coded?: boolean;
  /** How levels of choices and blocks become columns; defaults "first" for choices and "average" for blocks. */
  readonly coding?: LevelCoding;
  readonly blockCoding?: LevelCoding;
  readonly confidence?: number;
  /** Settings to predict at. */
  readonly predict?: readonly Setting[];
  /** What is wanted of the responses: gives the setting that meets it best. */
  readonly goals?: readonly Goal[];
  /** Choices whose levels are compared, each with each (Tukey) or with one (Dunnett). */
  readonly comparisons?: readonly { readonly factor: string; readonly with?: string }[];
  /** For one choice of two levels: the column whose equal entries make a pair (a day, a load, a taster). */
  readonly paired?: string;
  /** For one choice of two levels: differences (second level minus first) that do not matter, as [from, to]. */
  readonly equivalence?: readonly [number, number];
  /** Leave out terms that cannot be noticed, respecting hierarchy; the p-value above which a term may go. */
  readonly simplify?: number;
}

const FIELDS = [
  "factors",
  "responses",
  "response",
  "model",
  "process",
  "crossing",
  "terms",
  "intercept",
  "blocks",
  "wholePlots",
  "coded",
  "coding",
  "blockCoding",
  "confidence",
  "predict",
  "simplify",
  "goals",
  "comparisons",
  "paired",
  "equivalence",
];
const FACTOR_FIELDS = ["name", "kind", "unit", "low", "high", "lower", "upper", "levels"];
const KINDS: readonly Factor["kind"][] = ["amount", "share", "choice"];

/** Reads the words of a model from parsed JSON or YAML. Every field is checked; unknown ones are named. */
export function readTrialModel(document: unknown): Reading<TrialModel> {
  const problems: Problem[] = [];
  const say = (code: Problem["code"], path: Problem["path"], expected: string, found: unknown, remedy: string) =>
    problems.push({ code, path, expected, found: shown(found), remedy });
  if (!isRecord(document)) {
    say(
      "wrong-type",
      [],
      "an object with factors and responses",
      document,
      'Write at least {"factors": ["sugar"], "responses": ["height"], "model": "linear"}.',
    );
    return { value: { factors: [], responses: [] }, problems };
  }
  for (const key of Object.keys(document))
    if (!FIELDS.includes(key))
      say("unknown-field", [key], `one of ${FIELDS.join(", ")}`, key, "Check the spelling, or leave the field out.");

  const factors = listOf(document.factors).flatMap((entry, index): FactorWords[] => {
    const path = ["factors", index] as const;
    if (typeof entry === "string") return [{ name: entry }];
    if (!isRecord(entry) || typeof entry.name !== "string" || entry.name === "") {
      say(
        "missing-field",
        path,
        "a name, or an object with a name",
        entry,
        'Write "sugar" or {"name": "sugar", "kind": "amount"}.',
      );
      return [];
    }
    for (const key of Object.keys(entry))
      if (!FACTOR_FIELDS.includes(key))
        say("unknown-field", [...path, key], `one of ${FACTOR_FIELDS.join(", ")}`, key, "Check the spelling.");
    const words: Record<string, unknown> = { name: entry.name };
    if (entry.kind !== undefined) {
      if (KINDS.includes(entry.kind as Factor["kind"])) words.kind = entry.kind;
      else
        say(
          "out-of-range",
          [...path, "kind"],
          KINDS.join(", "),
          entry.kind,
          "An amount is a number in a unit, shares add to 1, a choice is one of some names.",
        );
    }
    if (typeof entry.unit === "string") words.unit = entry.unit;
    for (const key of ["low", "high", "lower", "upper"]) {
      if (entry[key] === undefined) continue;
      if (typeof entry[key] === "number" && Number.isFinite(entry[key])) words[key] = entry[key];
      else say("wrong-type", [...path, key], "a number", entry[key], "Write the number alone, without a unit.");
    }
    if (entry.levels !== undefined) {
      if (Array.isArray(entry.levels) && entry.levels.length > 1) words.levels = entry.levels.map(shown);
      else
        say("wrong-type", [...path, "levels"], "a list of two names or more", entry.levels, 'Write ["dark tin", "light tin"].');
    }
    return [words as unknown as FactorWords];
  });
  const names = factors.map(({ name }) => name);
  for (const [index, name] of names.entries())
    if (names.indexOf(name) !== index) say("duplicate", ["factors", index], "factors named once", name, "Remove the second one.");
  if (document.factors === undefined)
    say("missing-field", ["factors"], "a list of factors", "nothing", "Name the columns that were changed on purpose.");

  const responses = listOf(document.responses ?? document.response).flatMap((entry, index): ResponseWords[] => {
    if (typeof entry === "string") return [{ name: entry }];
    if (!isRecord(entry) || typeof entry.name !== "string") {
      say("missing-field", ["responses", index], "a name, or an object with a name", entry, 'Write "height".');
      return [];
    }
    const transform = entry.transform ?? "none";
    if (!TRANSFORMS.includes(transform as Transform))
      say("out-of-range", ["responses", index, "transform"], TRANSFORMS.join(", "), transform, "Choose one of these.");
    return [
      {
        name: entry.name,
        ...(typeof entry.unit === "string" ? { unit: entry.unit } : {}),
        ...(TRANSFORMS.includes(transform as Transform) ? { transform: transform as Transform } : {}),
      },
    ];
  });
  if (responses.length === 0)
    say("missing-field", ["responses"], "at least one response", "nothing", "Name the columns that were measured.");

  const value: Record<string, unknown> = { factors, responses };
  const word = <T extends string>(key: string, allowed: readonly T[]) => {
    if (document[key] === undefined) return;
    const tidy = shown(document[key])
      .trim()
      .toLowerCase()
      .replaceAll("é", "e")
      .replace(/[-_\s]+/g, " ") as T;
    if (allowed.includes(tidy)) value[key] = tidy;
    else say("out-of-range", [key], allowed.join(", "), document[key], "Choose one of these.");
  };
  word("model", MODEL_NAMES);
  word("process", PROCESS_MODEL_NAMES);
  word("crossing", ["full", "reduced"] as const);
  word("coding", ["average", "first"] as const);
  word("blockCoding", ["average", "first"] as const);
  for (const key of ["intercept", "coded"]) {
    if (document[key] === undefined) continue;
    if (typeof document[key] === "boolean") value[key] = document[key];
    else say("wrong-type", [key], "true or false", document[key], "Write true or false.");
  }
  if (document.blocks !== undefined) {
    if (typeof document.blocks === "string") value.blocks = document.blocks;
    else say("wrong-type", ["blocks"], "the name of one column", document.blocks, "Name the column of the baking day.");
  }
  if (document.wholePlots !== undefined) value.wholePlots = listOf(document.wholePlots).map(shown);
  if (document.terms !== undefined) {
    value.terms = listOf(document.terms).flatMap((entry, index): Term[] => {
      const term = typeof entry === "string" ? [entry] : entry;
      if (!Array.isArray(term) || term.length > 12 || !term.every((name) => typeof name === "string" && names.includes(name))) {
        say(
          "out-of-range",
          ["terms", index],
          `a list of factor names (${names.join(", ")}), a name twice for a square`,
          entry,
          'Write ["sugar", "egg"] for the interaction, ["sugar", "sugar"] for the square.',
        );
        return [];
      }
      return [term];
    });
  }
  const number = (key: string, low: number, high: number) => {
    if (document[key] === undefined) return;
    const given = document[key];
    if (typeof given === "number" && given >= low && given <= high) value[key] = given;
    else say("out-of-range", [key], `a number from ${low} to ${high}`, given, "Write 0.95 for 95 %.");
  };
  number("confidence", 0.5, 0.999);
  number("simplify", 0.001, 0.999);
  if (document.goals !== undefined)
    value.goals = readGoals(
      document.goals,
      responses.map(({ name }) => name),
      problems,
    );
  if (document.comparisons !== undefined) {
    value.comparisons = listOf(document.comparisons).flatMap((entry, index) => {
      const factor = typeof entry === "string" ? entry : isRecord(entry) ? entry.factor : undefined;
      const control = isRecord(entry) ? entry.with : undefined;
      if (typeof factor === "string" && names.includes(factor) && (control === undefined || typeof control === "string")) {
        return [{ factor, ...(control === undefined ? {} : { with: control }) }];
      }
      say(
        "out-of-range",
        ["comparisons", index],
        `a factor (${names.join(", ")}), or {factor, with}`,
        entry,
        'Write "recipe", or {"factor": "recipe", "with": "standard"}.',
      );
      return [];
    });
  }
  if (document.paired !== undefined) {
    if (typeof document.paired === "string") value.paired = document.paired;
    else
      say(
        "wrong-type",
        ["paired"],
        "the name of one column",
        document.paired,
        "Name the column of the day, the load or the taster.",
      );
  }
  if (document.equivalence !== undefined) {
    const limits = document.equivalence;
    if (
      Array.isArray(limits) &&
      limits.length === 2 &&
      limits.every((limit) => typeof limit === "number") &&
      limits[0] < limits[1]
    )
      value.equivalence = limits;
    else
      say(
        "wrong-type",
        ["equivalence"],
        "two numbers, the lower first",
        limits,
        "Write [-2, 2]: differences of up to 2 either way do not matter.",
      );
  }
  if (document.predict !== undefined) {
    value.predict = listOf(document.predict).flatMap((entry, index): Setting[] => {
      if (isRecord(entry) && names.every((name) => typeof entry[name] === "number" || typeof entry[name] === "string"))
        return [entry as Setting];
      say("missing-field", ["predict", index], `a value for each of ${names.join(", ")}`, entry, "Write one value per factor.");
      return [];
    });
  }
  return { value: value as unknown as TrialModel, problems };
}

/** Wishes for responses, checked so that `desirability` takes them. */
function readGoals(given: unknown, responses: readonly string[], problems: Problem[]): Goal[] {
  return listOf(given).flatMap((entry, index): Goal[] => {
    const refuse = (expected: string, remedy: string): Goal[] => {
      problems.push({ code: "out-of-range", path: ["goals", index], expected, found: shown(entry), remedy });
      return [];
    };
    if (!isRecord(entry) || !responses.includes(entry.response as string))
      return refuse(
        `a goal for one of ${responses.join(", ")}`,
        'Write {"response": "height", "direction": "larger", "low": 40, "target": 60}.',
      );
    if (!["larger", "smaller", "target"].includes(entry.direction as string))
      return refuse("direction larger, smaller or target", "Say what is wanted.");
    const numbers = ["low", "high", "target", "shape", "importance"].filter((key) => entry[key] !== undefined);
    if (entry.target === undefined || numbers.some((key) => typeof entry[key] !== "number" || !Number.isFinite(entry[key])))
      return refuse("numbers for low, high, target, shape and importance, target always", "Write the numbers alone.");
    const goal = Object.fromEntries(["response", "direction", ...numbers].map((key) => [key, entry[key]])) as unknown as Goal;
    try {
      checkGoal(goal);
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      return refuse(error.message.replace(/^desirability: /, ""), "Put the limits on the right sides of the target.");
    }
    return [goal];
  });
}

/** Factors with everything known, from the words and, where they are silent, from the data. */
export function factorsFromData(model: TrialModel, rows: readonly DataRow[]): Reading<readonly Factor[]> {
  const problems: Problem[] = [];
  const scheffe = model.model?.startsWith("scheffe") ?? false;
  const unspoken = model.factors.filter(({ kind, levels }) => kind === undefined && levels === undefined);
  const numeric = (name: string) => rows.every((row) => typeof row[name] !== "string");
  // Numbers between 0 and 1 that add to 1 in every row are shares, if the model asks for shares.
  const sums = rows.map((row) => unspoken.reduce((sum, { name }) => sum + (typeof row[name] === "number" ? row[name] : 0), 0));
  const areShares =
    scheffe &&
    unspoken.length > 1 &&
    unspoken.every(({ name }) => numeric(name)) &&
    sums.every((sum) => Math.abs(sum - 1) < 0.005);
  const factors = model.factors.flatMap((words, index): Factor[] => {
    const { name } = words;
    if (rows.length > 0 && !rows.some((row) => name in row)) {
      problems.push({
        code: "missing-field",
        path: ["factors", index],
        expected: `a column called "${name}"`,
        found: `columns ${Object.keys(rows[0]!).join(", ")}`,
        remedy: "Correct the name, or add the column.",
      });
      return [];
    }
    const kind =
      words.kind ?? (words.levels !== undefined ? "choice" : numeric(name) ? (areShares ? "share" : "amount") : "choice");
    if (kind === "choice") {
      const found = [
        ...new Set(rows.flatMap((row) => (row[name] === null || row[name] === undefined ? [] : [String(row[name])]))),
      ];
      const levels =
        words.levels ??
        (found.every((level) => Number.isFinite(Number(level))) ? found.sort((a, b) => Number(a) - Number(b)) : found.sort());
      if (levels.length < 2) {
        problems.push({
          code: "out-of-range",
          path: ["factors", index],
          expected: "at least two levels in the data",
          found: levels.join(", ") || "none",
          remedy: "Leave out a factor that was never changed.",
        });
        return [];
      }
      return [{ kind, name, levels }];
    }
    const values = rows.flatMap((row) => (typeof row[name] === "number" ? [row[name]] : []));
    const least = values.length > 0 ? Math.min(...values) : 0;
    const most = values.length > 0 ? Math.max(...values) : 1;
    if (kind === "share")
      return [{ kind, name, lower: words.lower ?? Math.max(0, least), upper: words.upper ?? Math.min(1, most) }];
    const low = words.low ?? least;
    const high = words.high ?? most;
    if (!(low < high)) {
      problems.push({
        code: "out-of-range",
        path: ["factors", index],
        expected: "an amount that was changed",
        found: `${low} in every run`,
        remedy: "Leave out a factor that was never changed.",
      });
      return [];
    }
    return [{ kind, name, low, high, ...(words.unit === undefined ? {} : { unit: words.unit }) }];
  });
  return { value: factors, problems };
}

/** The terms of a model for its factors; a problem when words and factors do not fit. */
export function termsFromWords(model: TrialModel, factors: readonly Factor[]): Reading<readonly Term[]> {
  const shares = factors.filter((factor) => factor.kind === "share");
  const intercept = model.intercept ?? shares.length === 0;
  if (model.terms !== undefined)
    return { value: [...(intercept ? [[]] : []), ...model.terms.filter((term) => term.length > 0)], problems: [] };
  const name = model.model ?? (shares.length > 0 ? "scheffe linear" : "linear");
  const conflict = (expected: string, remedy: string): Reading<readonly Term[]> => ({
    value: [],
    problems: [{ code: "conflict", path: ["model"], expected, found: name, remedy }],
  });
  if (shares.length > 0 && !name.startsWith("scheffe")) {
    return conflict(
      "a Scheffé model, since shares add to 1",
      'Use "scheffe linear", "scheffe quadratic" or "scheffe special cubic".',
    );
  }
  if (name.startsWith("scheffe") && shares.length < 2)
    return conflict(
      "two shares or more, which add to 1 in every run",
      'Give the parts of the blend kind "share", or use "linear", "interaction" or "quadratic".',
    );
  const terms = termsOf(
    {
      model: name,
      ...(model.process === undefined ? {} : { process: model.process }),
      ...(model.crossing === undefined ? {} : { crossing: model.crossing }),
    },
    factors,
  );
  return { value: intercept || name.startsWith("scheffe") ? terms : terms.filter((term) => term.length > 0), problems: [] };
}

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === "object" && value !== null && !Array.isArray(value);
const listOf = (value: unknown): readonly unknown[] =>
  value === undefined || value === null ? [] : Array.isArray(value) ? value : [value];

/** A value from outside in words; never fails, whatever it is. */
function shown(value: unknown): string {
  if (typeof value === "string") return value.slice(0, 120);
  if (typeof value === "bigint" || typeof value === "symbol" || typeof value === "function") return typeof value;
  try {
    return (JSON.stringify(value) ?? "nothing").slice(0, 120);
  } catch {
    return typeof value; // it holds itself, or a bigint
  }
}
