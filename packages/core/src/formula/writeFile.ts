import {
  Document,
  isAlias,
  isMap,
  isNode,
  isPair,
  isScalar,
  isSeq,
  Pair,
  Scalar,
  type ToStringOptions,
  visit,
  type YAMLMap,
  YAMLSeq,
} from "yaml";
import { parseYaml } from "./file.js";
import type { Formula } from "./formula.js";
import { FORMULA_FILE_SHAPE, FORMULA_FILE_VERSION } from "./formulaShape.js";
import type { RecordShape, Shape } from "./shape.js";

/** Lines are never folded: a baker who edits by hand finds one ingredient on one line. */
const STYLE: ToStringOptions = { lineWidth: 0, indent: 2, indentSeq: true };

/**
 * Writes a formula file.
 *
 * @param previousText  the file as it was. Where it can be read, its lines are edited in place: comments, the order of the
 *   fields, quotation marks and blank lines stay, and only what differs is written anew. A line that moves to another stage
 *   takes its comment along; one that is removed takes it away. A file that is broken as text is written anew.
 * @returns YAML that `parseFormulaFile` reads back as the same formula
 */
export function writeFormulaFile(formula: Formula, previousText?: string): string {
  const value = { formulaFile: FORMULA_FILE_VERSION, ...formula };
  if (previousText !== undefined) {
    const { document, problems } = parseYaml(previousText);
    if (document !== undefined && problems.length === 0 && isMap(document.contents) && !holdsReferences(document)) {
      const carried: Carried = { orphans: new Map(), fresh: [] };
      settleRecord(document.contents, value, FORMULA_FILE_SHAPE, carried);
      placeOrphans(carried);
      return asBefore(document.toString(STYLE), previousText);
    }
  }
  const document = new Document(undefined, { version: "1.2", schema: "core" });
  document.contents = nodeOf(value, FORMULA_FILE_SHAPE) as never;
  return document.toString(STYLE);
}

/** Keeps what the library always writes its own way: the line ends, and whether a blank line stands before the last comment. */
function asBefore(text: string, previousText: string): string {
  const lastComment = /\n[ \t]*\r?\n((?:#.*\r?\n?)+)$/;
  const sameEnd = lastComment.test(text) && !lastComment.test(previousText) ? text.replace(lastComment, "\n$1") : text;
  return /\r\n/.test(previousText) ? sameEnd.replaceAll("\n", "\r\n") : sameEnd;
}

/** An edit in one place must not show in another, so a file with references is written anew. */
function holdsReferences(document: Document.Parsed): boolean {
  let found = false;
  visit(document, (_key, node) => {
    if (isAlias(node) || (isNode(node) && "anchor" in node && node.anchor !== undefined)) found = true;
    return found ? visit.BREAK : undefined;
  });
  return found;
}

// ---- editing in place ----

/** What tells which item of a list is which, so that an item keeps its comments when its neighbours come and go. */
const IDENTITY: Readonly<Record<string, string>> = {
  components: "name",
  stages: "name",
  uses: "ingredient",
  tins: "tin",
  targets: "kind",
  ingredients: "id",
  parts: "ingredient",
};

/** What was taken out of one list and may have come back in another: a line that moved to another stage. */
interface Carried {
  /** Nodes that no list holds any more, by field and name. */
  readonly orphans: Map<string, unknown[]>;
  /** Items for which a new node was made. */
  readonly fresh: {
    readonly seq: YAMLSeq;
    readonly index: number;
    readonly value: unknown;
    readonly shape: Shape;
    readonly field: string;
  }[];
}

const carriedKey = (field: string, name: unknown): string => `${field} ${String(name)}`;

/** Puts orphans where a new node of the same name was made: whole components and stages first, then their lines. */
function placeOrphans(carried: Carried): void {
  const taken = new Set<unknown>();
  for (const field of Object.keys(IDENTITY)) {
    for (const item of carried.fresh.filter((one) => one.field === field)) {
      const key = carriedKey(field, (item.value as Record<string, unknown>)[IDENTITY[field]!]);
      const orphan = carried.orphans.get(key)?.find((node) => !taken.has(node));
      if (orphan === undefined) continue;
      visit(orphan as never, (_key, node) => {
        taken.add(node);
      });
      item.seq.items[item.index] = settle(orphan, item.value, item.shape, field, { orphans: new Map(), fresh: [] });
    }
  }
}

function addOrphan(field: string, node: unknown, carried: Carried): void {
  if (!isMap(node)) return;
  const key = carriedKey(field, node.get(IDENTITY[field]!));
  carried.orphans.set(key, [...(carried.orphans.get(key) ?? []), node]);
  for (const pair of node.items) {
    const inner = keyOf(pair);
    if (IDENTITY[inner] !== undefined && isSeq(pair.value)) for (const item of pair.value.items) addOrphan(inner, item, carried);
  }
}

function settleRecord(map: YAMLMap, value: Readonly<Record<string, unknown>>, shape: RecordShape, carried: Carried): void {
  const wanted = Object.keys(shape.fields).filter((key) => value[key] !== undefined);
  // A field that the formula does not have goes; so does a second one of the same name.
  const seen = new Set<string>();
  map.items = map.items.filter((pair) => {
    const key = keyOf(pair);
    if (!wanted.includes(key) || seen.has(key)) return false;
    seen.add(key);
    return true;
  });
  for (const key of wanted) {
    const fieldShape = shape.fields[key]!.shape;
    const pair = map.items.find((item) => keyOf(item) === key);
    if (pair !== undefined) pair.value = settle(pair.value, value[key], fieldShape, key, carried);
    else
      map.items.splice(
        placeFor(map, key, Object.keys(shape.fields)),
        0,
        new Pair(new Scalar(key), nodeOf(value[key], fieldShape, key)),
      );
  }
}

/** A new field stands after the nearest field that comes before it in a freshly written file. */
function placeFor(map: YAMLMap, key: string, order: readonly string[]): number {
  const rank = order.indexOf(key);
  let place = 0;
  map.items.forEach((pair, index) => {
    if (order.indexOf(keyOf(pair)) < rank) place = index + 1;
  });
  return place;
}

/** The node that now holds the value: the old one where it can be kept. */
function settle(node: unknown, value: unknown, shape: Shape, field: string, carried: Carried): unknown {
  if (Array.isArray(value)) {
    if (!isSeq(node) || shape.is !== "list") return keepComments(node, nodeOf(value, shape, field));
    settleList(node, value, shape.of, field, carried);
    return node;
  }
  if (typeof value === "object" && value !== null) {
    const record = recordShapeOf(shape, value as Record<string, unknown>);
    if (!isMap(node) || record === undefined) return keepComments(node, nodeOf(value, shape, field));
    settleRecord(node, value as Record<string, unknown>, record, carried);
    return node;
  }
  if (!isScalar(node)) return nodeOf(value, shape, field);
  if (Object.is(node.value, value)) return node;
  const next = scalarOf(value);
  // Words keep the kind of quotation marks they had; a number never had any.
  if (
    typeof value === "string" &&
    typeof node.value === "string" &&
    next.type === undefined &&
    node.type !== undefined &&
    !node.type.startsWith("BLOCK")
  ) {
    next.type = node.type;
  }
  return keepComments(node, next);
}

function settleList(seq: YAMLSeq, values: readonly unknown[], shape: Shape, field: string, carried: Carried): void {
  const identity = IDENTITY[field];
  const nameOfNode = (node: unknown) => (identity !== undefined && isMap(node) ? node.get(identity) : undefined);
  const nameOfValue = (value: unknown) => (identity !== undefined ? (value as Record<string, unknown>)[identity] : undefined);
  const left = new Set<unknown>(seq.items);
  const chosen = new Map<number, unknown>();
  const take = (index: number, node: unknown) => {
    chosen.set(index, node);
    left.delete(node);
  };
  // First those that stand where they stood, then those that moved, then those that took another name in the same place.
  values.forEach((value, index) => {
    const node = seq.items[index];
    if (node !== undefined && (identity === undefined || nameOfNode(node) === nameOfValue(value))) take(index, node);
  });
  values.forEach((value, index) => {
    if (chosen.has(index) || identity === undefined) return;
    const name = nameOfValue(value);
    for (const node of left) {
      if (nameOfNode(node) !== name) continue;
      take(index, node);
      return;
    }
  });
  const names = new Set(values.map(nameOfValue));
  values.forEach((_value, index) => {
    const node = seq.items[index];
    if (!chosen.has(index) && left.has(node) && seq.items.length === values.length && !names.has(nameOfNode(node)))
      take(index, node);
  });
  // [] can only be written on one line; what comes into it reads better on lines of its own.
  if (values.length === 0 || seq.items.length === 0) seq.flow = values.length === 0;
  if (identity !== undefined) for (const node of left) addOrphan(field, node, carried);
  seq.items = values.map((value, index) => {
    if (chosen.has(index)) return settle(chosen.get(index), value, shape, field, carried);
    if (identity !== undefined) carried.fresh.push({ seq, index, value, shape, field });
    return nodeOf(value, shape, field);
  });
}

function keepComments(from: unknown, to: unknown): unknown {
  if (isScalar(from) && isScalar(to)) {
    to.comment = from.comment;
    to.commentBefore = from.commentBefore;
    to.spaceBefore = from.spaceBefore;
  } else if ((isSeq(from) || isMap(from) || isScalar(from)) && (isSeq(to) || isMap(to) || isScalar(to))) {
    to.commentBefore = from.commentBefore;
    to.comment = from.comment;
  }
  return to;
}

function keyOf(pair: unknown): string {
  if (!isPair(pair)) return "";
  return isScalar(pair.key) ? String(pair.key.value) : String(pair.key);
}

function recordShapeOf(shape: Shape, value: Readonly<Record<string, unknown>>): RecordShape | undefined {
  if (shape.is === "record") return shape;
  if (shape.is === "variants") return shape.cases.find((variant) => variant.value === value[shape.tag])?.record;
  return undefined;
}

// ---- writing anew ----

/** Small sets of fields that read best on one line, as a baker would write a line of a list. */
const ON_ONE_LINE = new Set([
  "uses",
  "tins",
  "targets",
  "loss",
  "specificGravity",
  "bake",
  "contains",
  "checkSupplier",
  "mayContain",
  "parts",
  "packs",
  "householdWeights",
  "densityGPerMl",
]);

function nodeOf(value: unknown, shape: Shape, field = "", inFlow = false): unknown {
  if (Array.isArray(value)) {
    const seq = new YAMLSeq();
    const of = shape.is === "list" ? shape.of : shape;
    seq.items = value.map((item) => nodeOf(item, of, field));
    if (value.length === 0 || inFlow) seq.flow = true;
    return seq;
  }
  if (typeof value === "object" && value !== null) {
    const document = new Document({});
    const map = document.contents as unknown as YAMLMap;
    const record = recordShapeOf(shape, value as Record<string, unknown>);
    const flow = inFlow || ON_ONE_LINE.has(field) || (shape.is === "variants" && shape.tag === "known");
    const keys = record === undefined ? Object.keys(value) : Object.keys(record.fields);
    for (const key of keys) {
      const item = (value as Record<string, unknown>)[key];
      if (item === undefined) continue;
      map.items.push(new Pair(new Scalar(key), nodeOf(item, record?.fields[key]?.shape ?? shape, key, flow)) as never);
    }
    map.flow = flow;
    return map;
  }
  return scalarOf(value, inFlow);
}

function scalarOf(value: unknown, inFlow = false): Scalar {
  const scalar = new Scalar(value);
  if (typeof value !== "string") return scalar;
  // Anything that a block or plain text could lose or bend is written with its marks spelt out.
  const fragile = /[^\P{C}\n]|[\u2028\u2029]/u.test(value) || /^\s|\s$|[ \t]\n|\n[ \t]/.test(value);
  if (fragile || (inFlow && value.includes("\n"))) scalar.type = Scalar.QUOTE_DOUBLE;
  else if (value.includes("\n")) scalar.type = Scalar.BLOCK_LITERAL;
  return scalar;
}
