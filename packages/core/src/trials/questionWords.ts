import type { Problem, Reading } from "../quantities/index.js";
import { DESIGN_NAMES, type DesignWords } from "./designWords.js";
import { DISCRIMINATION_METHODS } from "./discrimination.js";
import type { Factor } from "./factors.js";
import type { GoalWords } from "./goals.js";
import { MODEL_NAMES, PROCESS_MODEL_NAMES } from "./model.js";
import type { Question } from "./question.js";
import { type Measure, USUAL_MEASURES } from "./sheet.js";

const KINDS = [
  "better",
  "how much",
  "which blend",
  "which of several",
  "which is liked best",
  "how well is it liked",
  "can people tell",
  "which has more",
  "which do they prefer",
] as const;
const BENCH = ["kind", "seed", "perDay", "perLoad", "alpha", "power"];
const MEASURED = [...BENCH, "measure", "matters", "spread", "also", "goals"];
const PICK = [
  ...["design", "model", "runCount", "centreCount", "axial", "steps", "checkBlends", "repeats"],
  ...["perBatter", "shared", "blockBy"],
];
const FIELDS: Readonly<Record<(typeof KINDS)[number], readonly string[]>> = {
  better: [...MEASURED, "pairing", "aim", "names", "most"],
  "how much": [...MEASURED, ...PICK, "factors"],
  "which blend": [...MEASURED, ...PICK, "shares", "rules", "process"],
  "which of several": [...MEASURED, "names"],
  "which is liked best": [...BENCH, "names", "expected", "share", "tasterCount", "allergens"],
  "how well is it liked": [...BENCH, "names", "matters", "spread", "tasterCount", "allergens"],
  "can people tell": [...BENCH, "method", "aim", "shareTelling", "property", "tasterCount", "names", "allergens"],
  "which has more": [...BENCH, "property", "method", "side", "shareTelling", "tasterCount", "names", "allergens"],
  "which do they prefer": [...BENCH, "share", "tasterCount", "names", "allergens"],
};

/** Reads a question from parsed JSON or YAML. Undefined when something in it has to be mended first. */
export function readQuestion(document: unknown): Reading<Question | undefined> {
  const problems: Problem[] = [];
  const say = (code: Problem["code"], path: Problem["path"], expected: string, found: unknown, remedy: string) =>
    problems.push({ code, path, expected, found: shown(found), remedy });
  if (!isRecord(document)) {
    say("wrong-type", [], "an object with a kind", document, `Write "kind": "better", and what else that question needs.`);
    return { value: undefined, problems };
  }
  const kind = KINDS.find((name) => name === document.kind);
  if (kind === undefined) {
    say("out-of-range", ["kind"], KINDS.join(", "), document.kind ?? "nothing", "Choose the question you want answered.");
    return { value: undefined, problems };
  }
  const allowed = FIELDS[kind];
  for (const key of Object.keys(document))
    if (!allowed.includes(key))
      say("unknown-field", [key], `one of ${allowed.join(", ")}`, key, "Check the spelling, or leave it out.");
  const out: Record<string, unknown> = { kind };
  const number = (key: string, low: number, high: number, whole = false, needed = false) => {
    const given = document[key];
    if (given === undefined) {
      if (needed) say("missing-field", [key], `a number from ${low} to ${high}`, "nothing", `Add "${key}".`);
    } else if (typeof given === "number" && given >= low && given <= high && (!whole || Number.isInteger(given)))
      out[key] = given;
    else say("out-of-range", [key], `a ${whole ? "whole " : ""}number from ${low} to ${high}`, given, "Write the number alone.");
  };
  number("seed", 0, 0xffffffff, true);
  out.seed ??= 1;
  number("perDay", 1, 200, true);
  number("perLoad", 1, 50, true);
  number("alpha", 0.001, 0.5);
  number("power", 0.3, 0.999);
  if (allowed.includes("measure")) {
    number("matters", 1e-9, 1e9, false, true);
    out.measure = readMeasure(document.measure, problems);
  }
  if (allowed.includes("spread")) {
    if (document.spread !== undefined) {
      const { spread } = document;
      if (typeof spread === "number" && spread > 0) out.spread = { sd: spread, df: 10, source: "your own figure" };
      else if (
        isRecord(spread) &&
        typeof spread.sd === "number" &&
        spread.sd > 0 &&
        typeof spread.df === "number" &&
        spread.df >= 1
      )
        out.spread = {
          sd: spread.sd,
          df: spread.df,
          source: typeof spread.source === "string" ? spread.source : "your own repeats",
        };
      else
        say(
          "wrong-type",
          ["spread"],
          "a standard deviation above 0, or {sd, df}",
          spread,
          "Write how much one bake varies, in the unit of the measure.",
        );
    }
  }
  if (document.also !== undefined && allowed.includes("also")) {
    if (Array.isArray(document.also)) out.also = document.also.flatMap((one) => readMeasure(one, problems) ?? []);
    else say("wrong-type", ["also"], "a list of measures", document.also, 'Write ["volume", "firmness"].');
  }
  if (document.goals !== undefined && allowed.includes("goals")) {
    const measures = [out.measure, ...((out.also ?? []) as Measure[])].flatMap((one) =>
      one === undefined ? [] : [(one as Measure).name],
    );
    out.goals = goalList(document.goals, measures, problems);
  }
  const names = (least: number, most: number, needed: boolean) => nameList("names", least, most, needed);
  const nameList = (key: "names" | "expected", least: number, most: number, needed: boolean) => {
    const given = document[key];
    if (given === undefined && !needed) return;
    if (
      Array.isArray(given) &&
      given.length >= least &&
      given.length <= most &&
      given.every((name) => typeof name === "string" && name.trim() !== "")
    )
      out[key] = given;
    else
      say(
        "missing-field",
        [key],
        least === most ? `${least} names` : `${least} to ${most} names`,
        given ?? "nothing",
        'Write ["the standard", "the new one"].',
      );
  };
  const allergens = () => {
    if (Array.isArray(document.allergens) && document.allergens.every((name) => typeof name === "string"))
      out.allergens = document.allergens;
    else
      say(
        "missing-field",
        ["allergens"],
        "the allergens of what is tasted, as a list; an empty list when there are none",
        document.allergens ?? "nothing",
        'Write ["eggs", "milk", "wheat"]. Tasters see it before anything else.',
      );
  };
  const text = (key: string, needed: boolean) => {
    const given = document[key];
    if (given === undefined && !needed) return;
    if (typeof given === "string" && given.trim() !== "" && given.length <= 200) out[key] = given.trim();
    else say("missing-field", [key], "what is asked for, in words", given ?? "nothing", `Write "${key}": "sweetness".`);
  };
  const word = (key: string, words: readonly string[], needed: boolean) => {
    if (document[key] === undefined && !needed) return;
    if (words.includes(document[key] as string)) out[key] = document[key];
    else say("out-of-range", [key], words.join(", "), document[key] ?? "nothing", "Choose one of these.");
  };
  const readPick = (factors: readonly Factor[]) => {
    word("design", DESIGN_NAMES, false);
    word("shared", ["batter", "load"], false);
    word("blockBy", ["day", "load"], false);
    number("runCount", 2, 500, true);
    number("centreCount", 0, 50, true);
    number("steps", 1, 10, true);
    number("repeats", 1, 20, true);
    if (document.axial !== undefined) {
      const { axial } = document;
      if (axial === "rotatable" || axial === "face" || (typeof axial === "number" && axial > 0 && axial < 10)) out.axial = axial;
      else say("out-of-range", ["axial"], "rotatable, face, or a distance above 0", axial, "Choose one of these.");
    }
    if (document.checkBlends !== undefined) {
      if (typeof document.checkBlends === "boolean") out.checkBlends = document.checkBlends;
      else say("wrong-type", ["checkBlends"], "true or false", document.checkBlends, "Write true or false.");
    }
    if (document.perBatter !== undefined) {
      const { perBatter } = document;
      if (Array.isArray(perBatter) && perBatter.every((name) => factors.some((factor) => factor.name === name)))
        out.perBatter = perBatter;
      else
        say(
          "out-of-range",
          ["perBatter"],
          `a list of factors (${factors.map(({ name }) => name).join(", ")})`,
          perBatter,
          "Name what is the same for all bakes of one batter.",
        );
    }
  };
  switch (kind) {
    case "better":
      word("pairing", ["days", "shelves", "apart"], true);
      word("aim", ["better", "no worse", "the same"], false);
      names(2, 2, false);
      number("most", 2, 1000, true);
      break;
    case "how much":
      out.factors = factorList(document.factors, "factors", ["amount", "choice"], problems);
      word("model", ["linear", "interaction", "quadratic", "full factorial"], false);
      readPick(out.factors as Factor[]);
      break;
    case "which blend":
      out.shares = factorList(document.shares, "shares", ["share"], problems);
      if (document.process !== undefined) out.process = factorList(document.process, "process", ["amount", "choice"], problems);
      if (document.rules !== undefined) out.rules = ruleList(document.rules, (out.shares as Factor[]).length, problems);
      word("model", ["scheffe linear", "scheffe quadratic", "scheffe special cubic"], false);
      readPick([...(out.shares as Factor[]), ...((out.process ?? []) as Factor[])]);
      break;
    case "which of several":
      names(2, 30, true);
      break;
    case "which is liked best":
      names(2, 26, true);
      nameList("expected", 3, 26, false);
      number("share", 0.51, 0.99);
      number("tasterCount", 2, 2000, true);
      allergens();
      break;
    case "how well is it liked":
      names(2, 26, true);
      number("matters", 0.01, 8);
      number("tasterCount", 2, 2000, true);
      allergens();
      break;
    case "which has more":
      text("property", true);
      word("method", ["2-AFC", "3-AFC"], false);
      word("side", ["second", "either"], false);
      number("shareTelling", 0.01, 1);
      number("tasterCount", 2, 2000, true);
      names(2, 2, false);
      allergens();
      break;
    case "can people tell":
      word("method", DISCRIMINATION_METHODS, false);
      word("aim", ["difference", "likeness"], false);
      text("property", false);
      number("shareTelling", 0.01, 1);
      number("tasterCount", 2, 2000, true);
      names(2, 2, false);
      allergens();
      break;
    case "which do they prefer":
      number("share", 0.51, 1);
      number("tasterCount", 2, 2000, true);
      names(2, 2, false);
      allergens();
      break;
  }
  return problems.length > 0 ? { value: undefined, problems } : { value: out as unknown as Question, problems };
}

const DESIGN_FIELDS = [
  ...["kind", "design", "factors", "seed", "runCount", "generators", "centreCount", "axial", "steps", "checkBlends", "rules"],
  ...["model", "process", "crossing", "terms", "repeats", "perBatter", "shared", "blockBy", "perDay", "perLoad", "measure"],
];

/** A design asked for by name, and what will be measured when that was said. */
export interface DesignRequest {
  readonly words: DesignWords;
  readonly measure?: Measure;
}

/** Reads a design asked for by name (`kind: design`) from parsed JSON or YAML. Undefined when something has to be mended first. */
export function readDesignWords(document: unknown): Reading<DesignRequest | undefined> {
  const problems: Problem[] = [];
  const say = (code: Problem["code"], path: Problem["path"], expected: string, found: unknown, remedy: string) =>
    problems.push({ code, path, expected, found: shown(found), remedy });
  if (!isRecord(document)) {
    say(
      "wrong-type",
      [],
      "an object with a design and factors",
      document,
      'Write {"kind": "design", "design": "two-level factorial", "factors": [...]}.',
    );
    return { value: undefined, problems };
  }
  for (const key of Object.keys(document))
    if (!DESIGN_FIELDS.includes(key))
      say("unknown-field", [key], `one of ${DESIGN_FIELDS.join(", ")}`, key, "Check the spelling, or leave it out.");
  const out: Record<string, unknown> = {};
  const word = (key: string, words: readonly string[], needed = false) => {
    if (document[key] === undefined && !needed) return;
    const tidy = shown(document[key] ?? "nothing")
      .trim()
      .replaceAll("é", "e");
    const found = words.find((name) => name.toLowerCase() === tidy.toLowerCase());
    if (found === undefined) say("out-of-range", [key], words.join(", "), document[key] ?? "nothing", "Choose one of these.");
    else out[key] = found;
  };
  const whole = (key: string, low: number, high: number) => {
    if (document[key] === undefined) return;
    if (Number.isInteger(document[key]) && (document[key] as number) >= low && (document[key] as number) <= high)
      out[key] = document[key];
    else say("out-of-range", [key], `a whole number from ${low} to ${high}`, document[key], "Write the number alone.");
  };
  word("design", DESIGN_NAMES, true);
  word("model", MODEL_NAMES);
  word("process", PROCESS_MODEL_NAMES);
  word("crossing", ["full", "reduced"]);
  word("shared", ["batter", "load"]);
  word("blockBy", ["day", "load"]);
  whole("seed", 0, 0xffffffff);
  out.seed ??= 1;
  whole("runCount", 2, 1000);
  whole("centreCount", 0, 50);
  whole("steps", 1, 10);
  whole("repeats", 1, 20);
  whole("perDay", 1, 1000);
  whole("perLoad", 1, 100);
  const factors = factorList(document.factors, "factors", ["amount", "choice", "share"], problems);
  out.factors = factors;
  const names = factors.map(({ name }) => name);
  if (factors.length > 12) say("too-large", ["factors"], "at most 12 factors", factors.length, "Leave some out.");
  if (document.axial !== undefined) {
    const { axial } = document;
    if (axial === "rotatable" || axial === "face" || (typeof axial === "number" && axial > 0 && axial < 10)) out.axial = axial;
    else say("out-of-range", ["axial"], "rotatable, face, or a distance above 0", axial, "Choose one of these.");
  }
  if (document.checkBlends !== undefined) {
    if (typeof document.checkBlends === "boolean") out.checkBlends = document.checkBlends;
    else say("wrong-type", ["checkBlends"], "true or false", document.checkBlends, "Write true or false.");
  }
  if (document.rules !== undefined)
    out.rules = ruleList(document.rules, factors.filter(({ kind }) => kind === "share").length, problems);
  const isNameList = (value: unknown): value is string[] =>
    Array.isArray(value) && value.length > 0 && value.every((name) => names.includes(name as string));
  if (document.perBatter !== undefined) {
    if (isNameList(document.perBatter)) out.perBatter = document.perBatter;
    else
      say(
        "out-of-range",
        ["perBatter"],
        `a list of factors (${names.join(", ")})`,
        document.perBatter,
        "Name what is the same for all bakes of one batter.",
      );
  }
  if (document.generators !== undefined) {
    if (
      isRecord(document.generators) &&
      Object.entries(document.generators).every(([name, product]) => names.includes(name) && isNameList(product))
    )
      out.generators = document.generators;
    else
      say(
        "wrong-type",
        ["generators"],
        "each added factor with the list of basic factors that sets it",
        document.generators,
        'Write {"oven": ["flour", "sugar", "egg"]}.',
      );
  }
  if (document.terms !== undefined) {
    const list = Array.isArray(document.terms)
      ? document.terms.map((term: unknown) => (typeof term === "string" ? [term] : term))
      : [];
    if (list.length > 0 && list.length <= 400 && list.every((term) => isNameList(term) && term.length <= 12)) {
      out.terms = [...(factors.some(({ kind }) => kind === "share") ? [] : [[]]), ...list];
    } else
      say(
        "wrong-type",
        ["terms"],
        "a list of products of factors",
        document.terms,
        'Write [["sugar"], ["egg"], ["sugar", "egg"]].',
      );
  }
  const measure = document.measure === undefined ? undefined : readMeasure(document.measure, problems);
  if (problems.length > 0) return { value: undefined, problems };
  return { value: { words: out as unknown as DesignWords, ...(measure === undefined ? {} : { measure }) }, problems };
}

/** A measure by its usual name, or described. */
function readMeasure(given: unknown, problems: Problem[]): Measure | undefined {
  const usual = USUAL_MEASURES.map(({ name }) => name).join(", ");
  if (typeof given === "string") {
    const found = USUAL_MEASURES.find(({ name }) => name === given.trim().toLowerCase());
    if (found === undefined)
      problems.push({
        code: "out-of-range",
        path: ["measure"],
        expected: `one of ${usual}, or {name, unit}`,
        found: given,
        remedy: 'Describe your own: {"name": "spring", "unit": "mm", "better": "larger"}.',
      });
    return found;
  }
  if (isRecord(given) && typeof given.name === "string" && typeof given.unit === "string") {
    const { name, unit, better, more, less, how } = given;
    const typicalSd = readTypicalSd(given.typicalSd, problems);
    return {
      name,
      unit,
      ...(better === "larger" || better === "smaller" ? { better } : {}),
      ...(typeof more === "string" ? { more } : {}),
      ...(typeof less === "string" ? { less } : {}),
      ...(typeof how === "string" ? { how } : {}),
      ...(typicalSd === undefined ? {} : { typicalSd }),
    };
  }
  problems.push({
    code: "missing-field",
    path: ["measure"],
    expected: `what is measured: one of ${usual}, or {name, unit}`,
    found: shown(given ?? "nothing"),
    remedy: 'Write "measure": "height at the centre".',
  });
  return undefined;
}

/** Wishes as a baker has them: limits may be left out, and those that are there must be on the right sides. */
function goalList(given: unknown, measures: readonly string[], problems: Problem[]): GoalWords[] {
  if (!Array.isArray(given)) {
    problems.push({
      code: "wrong-type",
      path: ["goals"],
      expected: "a list of wishes",
      found: shown(given),
      remedy: 'Write [{"response": "volume", "direction": "larger"}].',
    });
    return [];
  }
  return given.flatMap((entry: unknown, index): GoalWords[] => {
    const refuse = (expected: string, remedy: string): GoalWords[] => {
      problems.push({ code: "out-of-range", path: ["goals", index], expected, found: shown(entry), remedy });
      return [];
    };
    if (!isRecord(entry) || !measures.includes(entry.response as string))
      return refuse(`a wish for one of ${measures.join(", ")}`, "Name a measure of this trial, and list it under also.");
    if (!["larger", "smaller", "target"].includes(entry.direction as string))
      return refuse("direction larger, smaller or target", "Say what is wanted.");
    const numbers = ["low", "high", "target", "importance"].filter((key) => entry[key] !== undefined);
    if (numbers.some((key) => typeof entry[key] !== "number" || !Number.isFinite(entry[key])))
      return refuse("numbers for low, high, target and importance", "Write the numbers alone.");
    const { low, high, target } = entry as { readonly low?: number; readonly high?: number; readonly target?: number };
    if (entry.direction === "target" && target === undefined) return refuse("the target that is wanted", "Add the target.");
    if (
      (low !== undefined && target !== undefined && !(low < target)) ||
      (high !== undefined && target !== undefined && !(high > target))
    )
      return refuse("low below the target, and high above it", "Put the limits on the right sides of the target.");
    return [Object.fromEntries(["response", "direction", ...numbers].map((key) => [key, entry[key]])) as unknown as GoalWords];
  });
}

/** How much one bake varies, said with the measure: a number, or {value, source}. */
function readTypicalSd(given: unknown, problems: Problem[]): Measure["typicalSd"] {
  if (given === undefined) return undefined;
  const value = isRecord(given) ? given.value : given;
  if (typeof value === "number" && value > 0 && Number.isFinite(value))
    return { value, source: isRecord(given) && typeof given.source === "string" ? given.source : "said with the measure" };
  problems.push({
    code: "wrong-type",
    path: ["measure", "typicalSd"],
    expected: "a standard deviation above 0, or {value, source}",
    found: shown(given),
    remedy: "Write how much one bake varies, in the unit of the measure.",
  });
  return undefined;
}

function factorList(given: unknown, key: string, kinds: readonly Factor["kind"][], problems: Problem[]): Factor[] {
  const refuse = (index: number, entry: unknown, expected: string) =>
    problems.push({ code: "wrong-type", path: [key, index], expected, found: shown(entry), remedy: "Complete the entry." });
  if (!Array.isArray(given)) {
    problems.push({
      code: "missing-field",
      path: [key],
      expected: "a list",
      found: shown(given ?? "nothing"),
      remedy: `Write "${key}": [...].`,
    });
    return [];
  }
  return given.flatMap((entry, index): Factor[] => {
    if (!isRecord(entry) || typeof entry.name !== "string") {
      refuse(index, entry, "an object with a name");
      return [];
    }
    const { name, kind, low, high, lower, upper, levels, unit } = entry;
    if (kinds.includes("choice") && Array.isArray(levels)) return [{ kind: "choice", name, levels: levels.map(shown) }];
    if (kinds.includes("amount") && typeof low === "number" && typeof high === "number")
      return [{ kind: "amount", name, low, high, ...(typeof unit === "string" ? { unit } : {}) }];
    const asShare = kinds.length === 1 || kind === "share" || lower !== undefined || upper !== undefined;
    if (kinds.includes("share") && asShare) {
      const [from, to] = [lower ?? 0, upper ?? 1];
      if (typeof from === "number" && typeof to === "number") return [{ kind: "share", name, lower: from, upper: to }];
    }
    refuse(
      index,
      entry,
      kinds.length === 1 ? "{name, lower, upper}, shares from 0 to 1" : "{name, low, high, unit}, or {name, levels}",
    );
    return [];
  });
}

function ruleList(given: unknown, count: number, problems: Problem[]) {
  const list = Array.isArray(given) ? given : [given];
  return list.flatMap((entry, index) => {
    if (
      isRecord(entry) &&
      Array.isArray(entry.weights) &&
      entry.weights.length === count &&
      entry.weights.every((weight) => typeof weight === "number") &&
      typeof (entry.constant ?? 0) === "number"
    ) {
      return [{ weights: entry.weights as number[], constant: (entry.constant ?? 0) as number }];
    }
    problems.push({
      code: "wrong-type",
      path: ["rules", index],
      expected: `{weights: [${count} numbers], constant}, which says weights . shares + constant >= 0`,
      found: shown(entry),
      remedy: "One weight for each share, in their order.",
    });
    return [];
  });
}

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === "object" && value !== null && !Array.isArray(value);

function shown(value: unknown): string {
  if (typeof value === "string") return value.slice(0, 120);
  try {
    return (JSON.stringify(value) ?? typeof value).slice(0, 120);
  } catch {
    return typeof value;
  }
}
