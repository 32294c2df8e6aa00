import {
  Composer,
  type Document,
  isAlias,
  isMap,
  isScalar,
  isSeq,
  Lexer,
  LineCounter,
  type ParsedNode,
  Parser,
  Scalar,
  type YAMLError,
} from "yaml";
import type { Problem, Reading, TextPosition } from "../quantities/index.js";
import type { Formula } from "./formula.js";
import { FORMULA_FILE_SHAPE } from "./formulaShape.js";
import { type Entry, type Look, MAX_PROBLEMS, readShape, type Seen } from "./readShape.js";
import { asFormula } from "./validate.js";

/** A formula of sixty uses is 5 kB; one with fifty ingredients of its own 150 kB, and with the most that are taken 500 kB. */
export const MAX_FILE_CHARACTERS = 600_000;
/** What costs time is not length but the number of words and signs; the largest file that is taken has about 130 000. */
const MAX_LEXEMES = 200_000;
/** A formula needs ten levels. The reader of YAML calls itself once a level, so depth is bounded before it starts. */
const MAX_DEPTH = 40;

/**
 * Reads a formula file.
 *
 * @param text  YAML 1.2, at most 600 000 characters; one document, no anchors' references
 * @returns the formula as far as it could be understood, and each problem with its line and column. With problems it is a
 *   guess to show and not one to save. undefined when the text holds no set of fields at all.
 */
export function parseFormulaFile(text: string): Reading<Formula | undefined> {
  const { document, lines, problems } = parseYaml(text);
  if (document === undefined) return { value: undefined, problems };
  const read = readShape(FORMULA_FILE_SHAPE, document.contents, lookAtYaml(lines));
  // What is broken as text makes further complaints about its meaning untrustworthy.
  return { value: asFormula(read.value), problems: problems.length > 0 ? problems : read.problems };
}

export interface ParsedYaml {
  readonly document: Document.Parsed | undefined;
  readonly lines: LineCounter;
  readonly problems: readonly Problem[];
}

/** Parses one YAML document without trusting it: bounded in length and depth before anything recursive touches it. */
export function parseYaml(text: string): ParsedYaml {
  const lines = new LineCounter();
  const start = { line: 1, column: 1 };
  const refuse = (
    code: Problem["code"],
    position: TextPosition,
    expected: string,
    found: string,
    remedy: string,
  ): ParsedYaml => ({
    document: undefined,
    lines,
    problems: [{ code, path: [], position, expected, found, remedy }],
  });
  if (text.length > MAX_FILE_CHARACTERS) {
    const expected = `a file of at most ${MAX_FILE_CHARACTERS} characters`;
    return refuse("too-large", start, expected, `${text.length} characters`, "Split it into several formulas.");
  }

  lines.addNewLine(0);
  const parser = new Parser(lines.addNewLine);
  const tokens = [];
  let lexemeCount = 0;
  for (const lexeme of new Lexer().lex(text)) {
    if (++lexemeCount > MAX_LEXEMES) {
      const expected = `a file of at most ${MAX_LEXEMES} words and signs`;
      return refuse("too-large", positionAt(lines, parser.offset), expected, "more", "Split it into several formulas.");
    }
    for (const token of parser.next(lexeme)) tokens.push(token);
    if (parser.stack.length > MAX_DEPTH) {
      const expected = "no more than ten levels of lists and fields within each other";
      return refuse(
        "too-large",
        positionAt(lines, parser.offset),
        expected,
        `more than ${MAX_DEPTH}`,
        "Remove the brackets or dashes that open them.",
      );
    }
  }
  for (const token of parser.end()) tokens.push(token);

  // Duplicates are found by the shape's reader, in linear time; the library compares every key with every other.
  const composer = new Composer({
    version: "1.2",
    schema: "core",
    uniqueKeys: false,
    logLevel: "silent",
    lineCounter: lines,
    prettyErrors: false,
  });
  const documents = [...composer.compose(tokens, true, text.length)];
  const [document, second] = documents;
  if (document === undefined) return refuse("syntax", start, "a formula file", "nothing", "Begin with formulaFile: 1.");
  const problems = [...document.errors, ...document.warnings]
    .slice(0, MAX_PROBLEMS)
    .map((error) => syntaxProblem(error, lines, text));
  if (document.contents === null && problems.length === 0) {
    return refuse("missing-field", start, "a formula file, beginning with formulaFile: 1", "nothing", "Write the formula.");
  }
  if (second !== undefined) {
    problems.push({
      code: "syntax",
      path: [],
      position: positionAt(lines, second.range[0]),
      expected: "one formula in a file",
      found: "a second document after ---",
      remedy: "Put it in a file of its own.",
    });
  }
  if (document.directives?.yaml.explicit && document.directives.yaml.version !== "1.2") {
    problems.push({
      code: "syntax",
      path: [],
      position: start,
      expected: "YAML 1.2",
      found: `%YAML ${document.directives.yaml.version}`,
      remedy: "Remove the line that begins with %YAML.",
    });
  }
  return { document, lines, problems };
}

/** How the reader looks at YAML nodes. Nothing is turned into objects on the way, so no name can reach a prototype. */
export function lookAtYaml(lines: LineCounter): Look<unknown> {
  const positionOf = (node: unknown): TextPosition | undefined => {
    const range = (node as ParsedNode | null)?.range;
    return range ? positionAt(lines, range[0]) : undefined;
  };
  return {
    positionOf,
    see(node): Seen<unknown> {
      if (node === null || node === undefined) return { is: "nothing" };
      if (isAlias(node)) return { is: "strange", words: `*${node.source}, a reference to another place` };
      if (isSeq(node)) return { is: "list", items: node.items.map((item) => item ?? nothingAt(node)) };
      if (isMap(node)) return { is: "record", entries: node.items.map((pair) => entryOf(pair.key, pair.value, positionOf)) };
      if (!isScalar(node)) return { is: "strange", words: "something that is neither words nor a number" };
      const { value } = node;
      if (value === null) return { is: "nothing" };
      if (typeof value === "string") return { is: "text", value };
      if (typeof value === "number") return { is: "number", value };
      if (typeof value === "boolean") return { is: "flag", value };
      return { is: "strange", words: `a ${typeof value}` };
    },
  };
}

function entryOf(key: unknown, value: unknown, positionOf: (node: unknown) => TextPosition | undefined): Entry<unknown> {
  const position = positionOf(key);
  return {
    key: isScalar(key) ? String(key.value ?? "") : "a key that is not a word",
    value: value ?? nothingAt(key),
    ...(position === undefined ? {} : { position }),
  };
}

/** A value that is not written stands where its key or its list stands, so that a complaint about it has a place. */
function nothingAt(neighbour: unknown): Scalar {
  const nothing = new Scalar(null);
  nothing.range = (neighbour as ParsedNode | null)?.range;
  return nothing;
}

/** What the library complains about, in the words of someone who does not know YAML. */
function syntaxProblem(error: YAMLError, lines: LineCounter, text: string): Problem {
  const [offset] = error.pos;
  const rest = (/^[^\r\n]*/.exec(text.slice(offset, offset + 200))?.[0] ?? "").trim();
  const found =
    rest === ""
      ? offset >= text.trimEnd().length
        ? "the end of the file"
        : "the end of the line"
      : `"${rest.length > 60 ? `${rest.slice(0, 57)}...` : rest}"`;
  const [expected, remedy] = syntaxWords(error);
  return { code: "syntax", path: [], position: positionAt(lines, offset), expected, found, remedy };
}

function syntaxWords(error: YAMLError): readonly [expected: string, remedy: string] {
  const { code, message } = error;
  switch (code) {
    case "TAB_AS_INDENT":
      return ["spaces at the start of the line", "Replace the tab with spaces."];
    case "BAD_INDENT":
      return ["a line that starts in the same column as its neighbours", "Move the line left or right until it lines up."];
    case "BAD_SCALAR_START":
      return ["words that begin with a letter, a digit or a quotation mark", "Put the words in quotation marks."];
    case "BLOCK_AS_IMPLICIT_KEY":
    case "BLOCK_IN_FLOW":
    case "MULTILINE_IMPLICIT_KEY":
      return [
        "one field a line, its name before the colon",
        "If the words hold a colon or a line break, put them in quotation marks; else check how far the line is moved in.",
      ];
    case "BAD_DQ_ESCAPE":
      return ["a \\ only before a letter that it changes, as in \\n", "Write \\\\ for a \\ that is meant as it stands."];
    case "TAG_RESOLVE_FAILED":
    case "BAD_COLLECTION_TYPE":
      return ["plain words and numbers, without a ! mark", "Remove the word that begins with !, or put it in quotation marks."];
    case "BAD_ALIAS":
    case "ALIAS_PROPS":
      return ["the words themselves, not a reference", "Remove the * or &, or put the words in quotation marks."];
    case "MISSING_CHAR":
      if (message.includes("closing")) return ["a closing quotation mark", "Close the quotation marks that open here or before."];
      if (message.includes("implicit map keys") || message.includes("Implicit map keys")) {
        return ["a field: its name, a colon, a space and its value", "Add the colon and a space after it."];
      }
      if (message.includes(", ")) return ["a comma between two fields", "Add the comma, or the bracket that closes the line."];
      return ["YAML", `${message}.`];
    default:
      return ["YAML", `${message.split("\n")[0]}.`];
  }
}

function positionAt(lines: LineCounter, offset: number): TextPosition {
  const { line, col } = lines.linePos(offset);
  return { line: Math.max(1, line), column: Math.max(1, col) };
}
