import type { IngredientBook } from "../../ingredients/index.js";
import type { EggGrade, MeasureSystem, Problem } from "../../quantities/index.js";
import type { Component, ComponentKind, Formula, Stage, Use } from "../formula.js";
import type { LineContext, LineReading } from "./lineReading.js";
import type { ListChoice, ListLine } from "./listLine.js";
import { type Evidence, weighEvidence } from "./measures.js";
import { isKnownName, isNameInBook } from "./nameParts.js";
import { readLine } from "./readLine.js";
import { componentKind, isMethod, isRule, readAside, readHeading } from "./sections.js";
import { tableLines } from "./tables.js";
import { LINE_COUNT_MAX, LINE_LENGTH_MAX, type Stripped, stripMarks, tidy } from "./tidy.js";
import { beginsWithAmount } from "./trailingAmount.js";

export interface ReadListOptions {
  /** Whose cups, spoons and eggs; where left out, the list's own words tell, and where they do not, the line is doubtful. */
  readonly measures?: MeasureSystem;
  /** The eggs of this bakery, for lists that do not name a size. */
  readonly eggGrade?: EggGrade;
  /** A name for the formula where the list has no title. */
  readonly name?: string;
}

/** A pasted list, read. Plain data: it can be kept and sent while the baker settles the doubtful lines. */
export interface ListReading {
  /** With the first choice of every doubtful line; not-understood lines are in it with their words and, where there is one, their weight. */
  readonly formula: Formula;
  /** Every line of the text in order. */
  readonly lines: readonly ListLine[];
  /** About the list as a whole: cut lines, limits, percent without a flour. */
  readonly problems: readonly Problem[];
  /** What the measures were taken to be, and why, in plain words. */
  readonly measures: { readonly system: MeasureSystem | undefined; readonly why: string };
  /** The names and kinds of the components in order, so that the formula can be built again. */
  readonly outline: ListOutline;
}

export interface ListOutline {
  readonly title: string;
  readonly portions?: number;
  readonly components: readonly { readonly name: string; readonly kind: ComponentKind; readonly stages: readonly string[] }[];
}

/** Text beyond this is not read, and that is said [characters]. */
const TEXT_LENGTH_MAX = 400_000;

/**
 * Reads an ingredient list as people write it.
 *
 * @param text  any text; up to 2,000 lines of 1,000 characters are read, and what is cut is said in `problems`
 * @param book  the ingredients that names are looked up in; keep one book, its index is kept beside it
 * @returns  always something: each line understood, doubtful with its choices, or not understood. Nothing is dropped: headings
 *   open components and stages, method is kept with them, and every line is in `lines` with its own words.
 */
export function readList(text: string, book: IngredientBook, options: ReadListOptions = {}): ListReading {
  const problems: Problem[] = [];
  const source = typeof text === "string" ? text : "";
  const whole = source.length > TEXT_LENGTH_MAX ? source.slice(0, TEXT_LENGTH_MAX) : source;
  if (whole !== source) {
    problems.push(
      limitProblem(
        1,
        `a list of at most ${TEXT_LENGTH_MAX} characters`,
        `${source.length} characters`,
        "Paste the list alone; what stands beyond was not read.",
      ),
    );
  }
  const allLines = whole.split(/\r\n|\r|\n|\u2028|\u2029/);
  const originals = allLines.slice(0, LINE_COUNT_MAX);
  if (allLines.length > LINE_COUNT_MAX) {
    problems.push(
      limitProblem(
        LINE_COUNT_MAX + 1,
        `a list of at most ${LINE_COUNT_MAX} lines`,
        `${allLines.length} lines`,
        "Paste the list in parts; the lines beyond were not read.",
      ),
    );
  }
  const rows: Row[] = originals.map((original, at) => {
    let cut = original;
    if (original.length > LINE_LENGTH_MAX) {
      cut = original.slice(0, LINE_LENGTH_MAX);
      problems.push(
        limitProblem(
          at + 1,
          `a line of at most ${LINE_LENGTH_MAX} characters`,
          `${original.length} characters`,
          "Break the line; what stands beyond was not read.",
        ),
      );
    }
    const tidied = tidy(cut);
    return { original, tidied, stripped: stripMarks(tidied), cut: cut !== original };
  });
  applyTables(rows);
  const evidence = weighEvidence(
    rows.map((row) => row.stripped.text),
    options.measures,
  );
  const state = new Reader(rows, book, evidence, options);
  state.run();
  const lines = settlePercents(state.lines, state.percents, book, problems);
  const outline = state.outline();
  return {
    formula: buildFormula(lines, outline),
    lines,
    problems,
    measures: { system: evidence.system, why: evidence.why },
    outline,
  };
}

function limitProblem(line: number, expected: string, found: string, remedy: string): Problem {
  return { code: "too-large", path: [], position: { line, column: 1 }, expected, found, remedy };
}

interface Row {
  readonly original: string;
  readonly tidied: string;
  stripped: Stripped;
  readonly cut: boolean;
  /** The row is the head of a table. */
  head?: boolean;
}

function applyTables(rows: Row[]): void {
  const texts = tableLines(rows.map((row) => row.tidied));
  texts.forEach((table, at) => {
    if (table === undefined) return;
    rows[at].stripped = { text: table.text, marked: false, closeHyphen: false };
    rows[at].head = table.head;
  });
}

interface OpenComponent {
  readonly name: string;
  readonly kind: ComponentKind;
  readonly stages: string[];
}

/** Walks down the lines with what is open: component, stage, list or method. */
class Reader {
  readonly lines: ListLine[] = [];
  readonly percents = new Map<number, number>();
  private readonly components: OpenComponent[] = [];
  private component: OpenComponent | undefined;
  private stage = "";
  private mode: "list" | "method" | "aside" = "list";
  private title: string | undefined;
  private portions: number | undefined;
  private seenIngredient = false;
  private readonly known = new Map<string, readonly LineReading[] | undefined>();
  private readonly lineContext: LineContext;
  private readonly rows: readonly Row[];
  private readonly options: ReadListOptions;

  constructor(rows: readonly Row[], book: IngredientBook, evidence: Evidence, options: ReadListOptions) {
    this.rows = rows;
    this.options = options;
    const hyphens = rows.filter((row) => /^\s*-/.test(row.tidied)).length;
    this.lineContext = { book, evidence, eggGrade: options.eggGrade, minusLikely: hyphens === 1 };
  }

  run(): void {
    this.rows.forEach((row, at) => {
      this.read(row, at);
    });
  }

  outline(): ListOutline {
    const only = this.components.length === 1 && this.components[0].name !== "Cake" ? this.components[0].name : undefined;
    const title = this.title ?? this.options.name ?? only ?? "Pasted list";
    return { title, ...(this.portions === undefined ? {} : { portions: this.portions }), components: this.components };
  }

  private read(row: Row, at: number): undefined {
    const { text } = row.stripped;
    const base = { text: row.original, lineNumber: at + 1 };
    const say = (
      kind: ListLine["kind"],
      status: ListLine["status"] = "understood",
      reasons: readonly string[] = [],
    ): undefined => {
      const place = kind === "method" || kind === "note" ? this.place() : {};
      this.lines.push({ ...base, kind, status, reasons, ...place });
    };
    if (text.trim() === "") {
      if (row.original.trim() === "" || isRule(row.tidied) || /^\W*$/.test(row.tidied))
        say(row.original.trim() === "" ? "blank" : "note");
      else say("note", "not-understood", ["nothing readable is in this line"]);
      return;
    }
    if (isRule(text)) return say("note");
    if (row.head) return say("note", "understood", ["the head of a table"]);
    const label = this.mode === "list" ? /^([A-Za-z][A-Za-z &'-]{2,30})(?::|\s+=)\s+(\d.*)$/.exec(text) : null;
    if (label !== null && beginsWithAmount(label[2])) {
      // "Filling: 3 oz butter, 6 oz icing sugar": heading and ingredients in one line
      const signs = { marked: false, afterBlank: true, beforeAmount: true, knownName: isKnownName(label[1], this.lineContext) };
      const heading = signs.knownName ? undefined : readHeading(`${label[1]}:`, signs);
      const part = heading?.opens === "stage" || (heading?.opens === "component" && heading.kind !== "other");
      const readings = part ? this.readOnce(label[2]) : undefined;
      if (heading !== undefined && readings !== undefined && this.open(heading, at, `${label[1]}:`))
        return void this.push(base, readings, row);
    }
    const startsWithAmount = beginsWithAmount(text);
    const aside = readAside(text);
    if (aside !== undefined && !(startsWithAmount && this.isIngredient(text))) {
      if (aside.portions !== undefined) this.portions ??= aside.portions;
      return say("note");
    }
    const method = !startsWithAmount && isMethod(text) && !isKnownName(text, this.lineContext);
    if (!startsWithAmount && !(method && !/[:]\s*$/.test(text) && !row.stripped.marked && !this.isFirstText(at))) {
      const next = this.nextText(at);
      const heading = readHeading(text, {
        marked: row.stripped.marked,
        afterBlank: at === 0 || this.rows[at - 1].stripped.text.trim() === "",
        beforeAmount: next !== undefined && (beginsWithAmount(next) || this.isIngredient(next)),
        knownName: isNameInBook(text.replace(/\s*:\s*$/, ""), this.lineContext),
      });
      if (heading !== undefined && this.open(heading, at, text)) return say("heading");
    }
    if (this.mode === "aside") return say("note");
    if (this.mode === "method") {
      const readings = startsWithAmount && !isMethod(text) && text.length <= 80 ? this.readOnce(text) : undefined;
      const weighs = readings?.every((one) => one.grams != null && one.status !== "not-understood");
      if (!weighs || readings === undefined) return say("method");
      this.push(
        base,
        readings.map((one) => repeated(one)),
        row,
      );
      return;
    }
    const opening =
      !startsWithAmount &&
      this.title === undefined &&
      !this.seenIngredient &&
      this.components.length === 0 &&
      this.isFirstText(at);
    if (opening && this.isTitle(text)) {
      this.title = text.replace(/[:.\s]+$/, "").slice(0, 80);
      return say("heading");
    }
    if (method) return say("method");
    const minus = this.lineContext.minusLikely && row.stripped.closeHyphen;
    const readings = minus ? readLine(text, this.lineContext) : this.readOnce(text);
    if (readings !== undefined) {
      const vain =
        readings.length === 1 &&
        readings[0].status === "not-understood" &&
        readings[0].grams === null &&
        readings[0].percent === undefined;
      // A sentence that begins with a number: "2 hours later, slice it."
      if (vain && !/^[\d~.½]/.test(text) && readings[0].choices === undefined)
        return this.readProse(text, row, base.lineNumber, say);
      if (vain && (isMethod(text) || text.split(/\s+/).length > 12)) {
        return say(
          isMethod(text) ? "method" : "note",
          isMethod(text) ? "understood" : "not-understood",
          isMethod(text) ? [] : readings[0].reasons,
        );
      }
      this.push(base, readings, row);
      return;
    }
    this.readProse(text, row, base.lineNumber, say);
  }

  /** A line with neither an amount nor a known name. */
  private readProse(
    text: string,
    row: Row,
    lineNumber: number,
    say: (kind: ListLine["kind"], status?: ListLine["status"], reasons?: readonly string[]) => undefined,
  ): undefined {
    const words = text.split(/\s+/).length;
    const prose = words > 6 || (/[.!?]$/.test(text) && words > 3);
    if (prose) {
      const numbers = /\d/.test(text);
      // "the same weight of sugar as the eggs": an amount that hangs on another line
      const hangs = /\b(?:same|equal|half the|twice the|double the) (?:weight|amount|quantity)\b|\bweight of\b/i.test(text);
      return say(
        "note",
        numbers || hangs ? "not-understood" : "understood",
        hangs
          ? ["an amount that hangs on another line is not worked out: add it by hand"]
          : numbers
            ? ["words with a number that is not an amount of an ingredient"]
            : ["kept as a note"],
      );
    }
    if (!/\p{L}/u.test(text)) return say("note", "not-understood", ["no name is in this line"]);
    const reading: LineReading = {
      kind: "ingredient",
      status: "not-understood",
      grams: null,
      ingredient: nameId(text),
      reasons: ["neither an amount nor a name that the book knows", "add it as your own ingredient, or choose one from the book"],
    };
    this.push({ text: row.original, lineNumber }, [reading], row);
  }

  /** The first words of a list, where they hold no amount and are not the name of an ingredient. */
  private isTitle(text: string): boolean {
    // "Lemon drizzle - 2 lb tin": the tin behind the name is no amount
    const bare = text.replace(/\s*[-,(]\s*\d[^,]*\b(?:tins?|tray|round|square|loaf|bundt|portions?|serves)\b.*$/i, "");
    return this.readsAsTitle(text) || (bare !== text && this.readsAsTitle(bare));
  }

  private readsAsTitle(text: string): boolean {
    if (text.length > 100 || text.split(/\s+/).length > 12 || !/\p{L}/u.test(text) || isKnownName(text, this.lineContext))
      return false;
    if (
      isMethod(text) &&
      !/\b(?:cake|cakes|bread|loaf|sponge|cupcakes|muffins|brownies|cookies|biscuits|tart|pie)\b[^a-z]*(?:ever|recipe)?\W*$/i.test(
        text,
      )
    )
      return false;
    const readings = this.readOnce(text);
    // "Banana loaf x 24": a number of cakes
    const cakes = componentKind(text) === "cake" && !/\d\s*(?:g|kg|ml|oz|lbs?|cups?|tbsp|tsp)\b/i.test(text);
    if (cakes && readings?.every((one) => one.status !== "understood")) return true;
    return (
      readings === undefined ||
      readings.every((one) => one.grams == null && one.percent === undefined && !/not weighed/.test(one.reasons.join()))
    );
  }

  private isFirstText(at: number): boolean {
    for (let before = 0; before < at; before += 1) {
      const line = this.lines[before];
      if (line !== undefined && line.kind !== "blank" && line.kind !== "note") return false;
    }
    return true;
  }

  private push(base: { text: string; lineNumber: number }, readings: readonly LineReading[], row: Row): void {
    this.seenIngredient = true;
    this.ensurePlace();
    for (const { percent, ...reading } of readings) {
      if (percent !== undefined) this.percents.set(this.lines.length, percent);
      const named = reading.choices?.map((choice) => ({
        ...choice,
        name: this.lineContext.book.get(choice.ingredient)?.name ?? choice.name,
      }));
      const cut = row.cut && reading.status === "understood";
      this.lines.push({
        ...base,
        ...reading,
        ...(named === undefined ? {} : { choices: named }),
        ...(cut ? { status: "doubtful" as const, reasons: [...reading.reasons, "the line is too long and was cut"] } : {}),
        ...this.place(),
      });
    }
  }

  private ensurePlace(): void {
    if (this.component === undefined) this.openComponent("Cake", "cake");
    if (this.stage === "") this.openStage("Mix");
  }

  private place(): { component?: string; stage?: string } {
    if (this.component === undefined) return {};
    return this.stage === "" ? { component: this.component.name } : { component: this.component.name, stage: this.stage };
  }

  private openComponent(name: string, kind: ComponentKind): void {
    const known = this.components.find((one) => one.name.toLowerCase() === name.toLowerCase());
    if (known !== undefined) {
      this.component = known;
      this.stage = known.stages[known.stages.length - 1] ?? "";
      return;
    }
    this.component = { name, kind, stages: [] };
    this.components.push(this.component);
    this.stage = "";
  }

  private openStage(name: string): void {
    if (this.component === undefined) this.openComponent("Cake", "cake");
    const component = this.component as OpenComponent;
    const known = component.stages.find((one) => one.toLowerCase() === name.toLowerCase());
    this.stage = known ?? name;
    if (known === undefined) component.stages.push(name);
  }

  /** Opens what a heading names; false where it is no heading after all. */
  private open(heading: NonNullable<ReturnType<typeof readHeading>>, at: number, text: string): boolean {
    switch (heading.opens) {
      case "list":
        this.mode = "list";
        return true;
      case "method":
        this.mode = "method";
        return true;
      case "aside":
        this.mode = "aside";
        return true;
      case "stage":
        if (this.mode !== "list" && !this.listFollows(at)) return false;
        this.mode = "list";
        this.openStage(heading.name);
        return true;
      case "component": {
        if (this.mode !== "list") {
          if (!this.listFollows(at)) {
            // "For the icing" within the method: the words that follow belong to it
            const known = this.components.find((one) => one.name.toLowerCase() === heading.name.toLowerCase());
            if (known === undefined || this.mode === "aside") return false;
            this.openComponent(known.name, known.kind);
            return true;
          }
          this.mode = "list";
        }
        // The first line of all is the title, unless it says that it is a part.
        const first = this.isFirstText(at) && !this.seenIngredient && this.title === undefined;
        const part =
          /^for |^to make/i.test(text) ||
          (/:\s*$/.test(text) && text.trim().split(/\s+/).length < 4) ||
          /^(?:the )?(?:sponges?|cakes?|batter|filling|icing|frosting|topping|base|glaze|syrup|buttercream|crumble)$/i.test(text);
        if (first && !part && text.trim().split(/\s+/).length > 1) {
          this.title = text.replace(/[:.\s-]+$/, "").slice(0, 80);
          return true;
        }
        this.openComponent(heading.name, heading.kind);
        return true;
      }
    }
  }

  /** A line is looked at before it is its turn, to tell a heading from what follows it; it is read once. */
  private readOnce(text: string): readonly LineReading[] | undefined {
    if (this.known.has(text)) return this.known.get(text);
    const readings = readLine(text, { ...this.lineContext, minusLikely: false });
    this.known.set(text, readings);
    return readings;
  }

  private listFollows(at: number): boolean {
    const next = this.nextText(at);
    return next !== undefined && !isMethod(next) && beginsWithAmount(next) && this.isIngredient(next);
  }

  private nextText(at: number): string | undefined {
    for (let next = at + 1; next < Math.min(this.rows.length, at + 4); next += 1) {
      const { text } = this.rows[next].stripped;
      if (text.trim() !== "" && !isRule(text)) return text;
    }
    return undefined;
  }

  private isIngredient(text: string): boolean {
    if (text.length > 120) return false;
    const readings = this.readOnce(text);
    return readings?.some((one) => one.status !== "not-understood" && one.grams !== null) ?? false;
  }
}

const nameId = (text: string) =>
  text
    .toLowerCase()
    .normalize("NFD")
    .replace(/\p{M}/gu, "")
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "")
    .slice(0, 60) || "unnamed";

/** A weighed line among the method most likely says again what the list has said. */
function repeated(reading: LineReading): LineReading {
  const own: readonly ListChoice[] = reading.choices ?? [
    {
      ingredient: reading.ingredient as string,
      name: reading.ingredient as string,
      grams: reading.grams ?? null,
      why: "as read",
    },
  ];
  return {
    ...reading,
    status: "doubtful",
    leftOut: true,
    reasons: [
      ...reading.reasons,
      "it stands among the method and may repeat an amount of the list; it is left out until you choose it",
    ],
    choices: own,
  };
}

/**
 * A list in percent: flour at 100 makes it baker's percent, everything adding to 100 makes it percent of the batch.
 * Either way one percent becomes one gram, and the list says so.
 */
function settlePercents(
  lines: readonly ListLine[],
  percents: ReadonlyMap<number, number>,
  book: IngredientBook,
  problems: Problem[],
): readonly ListLine[] {
  if (percents.size === 0) return lines;
  const weighed = lines.filter((line) => line.kind === "ingredient" && line.grams != null).length;
  if (percents.size < 2 || weighed > percents.size) return lines;
  let flour = 0;
  let total = 0;
  for (const [at, percent] of percents) {
    total += percent;
    if (book.get(lines[at].ingredient ?? "")?.role === "flour") flour += percent;
  }
  const ofFlour = Math.abs(flour - 100) < 0.5 && total > 110;
  const ofBatch = !ofFlour && Math.abs(total - 100) <= 1;
  const basis = ofFlour
    ? "a percent of the flour: 1 % is set down as 1 g, for 100 g of flour"
    : "a percent of the batch: 1 % is set down as 1 g, for 100 g of batch";
  const unclear = "percent of what is not clear: neither does the flour make 100, nor does the whole; 1 % is set down as 1 g";
  const firstLine = Math.min(...[...percents.keys()].map((at) => lines[at].lineNumber));
  problems.push({
    code: "not-a-weight",
    path: [],
    position: { line: firstLine, column: 1 },
    expected: "weights such as 250 g",
    found: "a list in percent",
    remedy:
      ofFlour || ofBatch
        ? "The shares are right; scale the formula to the weight you want."
        : "Check the percents: flour should be 100, or all together.",
  });
  return lines.map((line, at) => {
    const percent = percents.get(at);
    if (percent === undefined) return line;
    if (!(percent > 0))
      return { ...line, status: "not-understood" as const, reasons: ["the percent is nothing; give one above 0"] };
    const known = line.status !== "not-understood";
    const nameAsk = line.reasons.length > 1;
    const sure = known && (ofFlour || ofBatch) && !nameAsk && percent <= 1000;
    const { choices, ...rest } = line;
    const weighedChoices = choices?.map((choice) => ({
      ...choice,
      grams: percent,
      why: choice.why === "" ? `${percent} %` : choice.why,
    }));
    return {
      ...rest,
      status: sure ? ("understood" as const) : line.status,
      grams: percent,
      reasons: [...line.reasons.filter((reason) => !reason.startsWith("a percent:")), ofFlour || ofBatch ? basis : unclear],
      ...(weighedChoices === undefined || (sure && weighedChoices.length < 2) ? {} : { choices: weighedChoices }),
    };
  });
}

/** The formula of lines: pure, so that settling a line and reading the list give the same. */
export function buildFormula(lines: readonly ListLine[], outline: ListOutline): Formula {
  const uses = new Map<string, Use[]>();
  const methods = new Map<string, string[]>();
  const notes: string[] = [];
  const key = (component: string | undefined, stage: string | undefined) => JSON.stringify([component ?? "", stage ?? ""]);
  const add = <T>(map: Map<string, T[]>, at: string, one: T) => {
    const list = map.get(at);
    if (list === undefined) map.set(at, [one]);
    else list.push(one);
  };
  for (const line of lines) {
    if (line.kind === "ingredient" && line.leftOut !== true && line.ingredient !== undefined) {
      add(uses, key(line.component, line.stage), {
        ingredient: line.ingredient,
        grams: line.grams ?? null,
        ...(line.note === undefined ? {} : { note: line.note }),
        original: line.text.trim().slice(0, LINE_LENGTH_MAX),
      });
    } else if (line.kind === "method") add(methods, key(line.component, line.stage), line.text.trim());
    else if (line.kind === "note" && !isRule(line.text)) notes.push(line.text.trim());
    else if (line.leftOut === true) add(methods, key(line.component, line.stage), line.text.trim());
  }
  const components: Component[] = [];
  for (const { name, kind, stages } of outline.components) {
    const built: Stage[] = stages.map((stage) => {
      const method = methods.get(key(name, stage));
      return {
        name: stage,
        ...(method === undefined ? {} : { method: method.join("\n") }),
        uses: uses.get(key(name, stage)) ?? [],
      };
    });
    const loose = methods.get(key(name, undefined));
    if (built.length === 0 && loose === undefined) continue;
    if (built.length === 0) built.push({ name: "Mix", method: (loose ?? []).join("\n"), uses: [] });
    else if (loose !== undefined)
      built[0] = { ...built[0], method: [...loose, ...(built[0].method === undefined ? [] : [built[0].method])].join("\n") };
    components.push({ name, kind, stages: built });
  }
  const before = methods.get(key(undefined, undefined));
  if (before !== undefined) notes.unshift(...before);
  return {
    name: outline.title,
    ...(notes.length === 0 ? {} : { notes: notes.join("\n") }),
    ...(outline.portions === undefined ? {} : { portions: outline.portions }),
    components,
  };
}
