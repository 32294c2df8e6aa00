import { FieldReader, type Reading } from "../quantities/index.js";
import type { OvenFit } from "./oven.js";

/** What bake records of one place in an oven have taught. */
export interface PositionCalibration {
  readonly position: string;
  readonly fit: OvenFit;
  /** How many records it rests on. */
  readonly records: number;
  /** Day on which it was worked out, ISO 8601. */
  readonly madeOn: string;
}

/** An oven as it is kept. */
export interface OvenDocument {
  readonly name: string;
  readonly convection: "natural" | "fan";
  readonly ratedKw?: number;
  readonly positions: readonly { readonly name: string }[];
  readonly notes?: string;
  readonly calibration?: readonly PositionCalibration[];
}

/** One bake as it was written down at the bench. What was not measured is absent. */
export interface BakeRecord {
  readonly name: string;
  readonly formulaId: string;
  readonly revisionId: string;
  readonly formulaName: string;
  readonly component: string;
  readonly ovenId: string;
  readonly position: string;
  readonly tin: string;
  /** The dial [°C]. */
  readonly setC: number;
  readonly fan: boolean;
  /** Day of the bake, ISO 8601. */
  readonly bakedOn: string;
  /** Batter in the tin [g]. */
  readonly gramsBefore: number;
  readonly gramsAfter?: number;
  readonly skewerMinutes?: number;
  readonly outMinutes?: number;
  readonly edgeMm?: number;
  readonly centreMm?: number;
  readonly probe?: readonly { readonly minutes: number; readonly celsius: number }[];
  readonly notes?: string;
}

type Path = readonly (string | number)[];
type Fields = ReadonlyMap<string, unknown>;

const NAME_MOST = 200;
const NOTES_MOST = 5000;
const OVEN_FIELDS = new Set(["name", "convection", "ratedKw", "positions", "notes", "calibration"]);
const FIT_FIELDS = ["offsetK", "aboveFactor", "belowFactor", "offsetSpreadK", "aboveSpread", "belowSpread"] as const;

/**
 * Reads an oven as it is kept: the body of a document, or a file.
 *
 * @returns  undefined where name, convection or the places cannot be read; problems with their paths. Rated power from 0.3 to 100 kW,
 *   one to fifty places. A calibration whose figures could not have come from a fit is refused: it would move every prediction.
 */
export function readOvenDocument(value: unknown): Reading<OvenDocument | undefined> {
  const reader = new FieldReader();
  const fields = reader.object(value, [], OVEN_FIELDS, "an oven");
  if (fields === undefined) return { value: undefined, problems: reader.problems };
  const name = reader.text(fields.get("name"), ["name"], NAME_MOST, "a name");
  const convection = reader.choice(fields.get("convection"), ["natural", "fan"] as const, ["convection"]);
  const ratedKw = optionalNumber(reader, fields, "ratedKw", 0.3, 100, "rated power in kW");
  const positions = reader.list(fields.get("positions"), ["positions"], (one, path) => {
    const of = reader.object(one, path, new Set(["name"]), "a place in the oven");
    const place =
      of === undefined ? undefined : reader.text(of.get("name"), [...path, "name"], NAME_MOST, "a name such as top shelf");
    return place === undefined ? undefined : { name: place };
  });
  if (positions.length === 0)
    reader.say("missing-field", ["positions"], "at least one place in the oven", "none", "Name a shelf or a deck.");
  const notes = reader.optionalText(fields.get("notes"), ["notes"], NOTES_MOST);
  const calibration = reader.list(fields.get("calibration"), ["calibration"], (one, path) => readCalibration(reader, one, path));
  if (name === undefined || convection === undefined || positions.length === 0)
    return { value: undefined, problems: reader.problems };
  return {
    value: {
      name,
      convection,
      positions,
      ...(ratedKw === undefined ? {} : { ratedKw }),
      ...(notes === undefined ? {} : { notes }),
      ...(calibration.length === 0 ? {} : { calibration }),
    },
    problems: reader.problems,
  };
}

function readCalibration(reader: FieldReader, value: unknown, path: Path): PositionCalibration | undefined {
  const of = reader.object(value, path, new Set(["position", "fit", "records", "madeOn"]), "what records of a place have taught");
  if (of === undefined) return undefined;
  const position = reader.text(of.get("position"), [...path, "position"], NAME_MOST, "the place in the oven");
  const records = reader.number(of.get("records"), [...path, "records"], 1, 10_000, "records that it rests on");
  const madeOn = reader.date(of.get("madeOn"), [...path, "madeOn"]);
  const fitOf = reader.object(of.get("fit"), [...path, "fit"], new Set(FIT_FIELDS), "the fit of a place");
  if (fitOf === undefined) return undefined;
  const at = (field: (typeof FIT_FIELDS)[number], least: number, most: number, what: string) =>
    reader.number(fitOf.get(field), [...path, "fit", field], least, most, what);
  const offsetK = at("offsetK", -80, 80, "kelvin between the air and the dial");
  const aboveFactor = at("aboveFactor", 0.1, 10, "heat from above over the usual");
  const belowFactor = at("belowFactor", 0.1, 10, "heat from below over the usual");
  const offsetSpreadK = at("offsetSpreadK", 0, 50, "kelvin");
  const aboveSpread = at("aboveSpread", 0, 2, "a spread");
  const belowSpread = at("belowSpread", 0, 2, "a spread");
  if (
    position === undefined ||
    records === undefined ||
    madeOn === undefined ||
    offsetK === undefined ||
    aboveFactor === undefined ||
    belowFactor === undefined ||
    offsetSpreadK === undefined ||
    aboveSpread === undefined ||
    belowSpread === undefined
  )
    return undefined;
  return { position, records, madeOn, fit: { offsetK, aboveFactor, belowFactor, offsetSpreadK, aboveSpread, belowSpread } };
}

const RECORD_FIELDS = new Set([
  "name",
  "formulaId",
  "revisionId",
  "formulaName",
  "component",
  "ovenId",
  "position",
  "tin",
  "setC",
  "fan",
  "bakedOn",
  "gramsBefore",
  "gramsAfter",
  "skewerMinutes",
  "outMinutes",
  "edgeMm",
  "centreMm",
  "probe",
  "notes",
]);

/**
 * Reads a bake record as it is kept.
 *
 * @returns  undefined where what was baked, where, how hot or how much of it cannot be read; problems with their paths. Dial 60 to 350 °C,
 *   times up to ten hours, a weight after the bake that is not above the one before.
 */
export function readBakeRecord(value: unknown): Reading<BakeRecord | undefined> {
  const reader = new FieldReader();
  const fields = reader.object(value, [], RECORD_FIELDS, "a bake record");
  if (fields === undefined) return { value: undefined, problems: reader.problems };
  const words = (field: string, expected: string) => reader.text(fields.get(field), [field], NAME_MOST, expected);
  const name = words("name", "a name");
  const formulaId = words("formulaId", "the id of the formula that was baked");
  const revisionId = words("revisionId", "the id of the revision that was baked");
  const formulaName = words("formulaName", "the name of the formula");
  const component = words("component", "the part that was baked");
  const ovenId = words("ovenId", "the id of the oven");
  const position = words("position", "the place in the oven");
  const tin = words("tin", 'a tin such as "round 20x5 cm"');
  const setC = reader.number(fields.get("setC"), ["setC"], 60, 350, "the dial in °C");
  const fan = reader.flag(fields.get("fan"), ["fan"]) ?? false;
  const bakedOn = reader.date(fields.get("bakedOn"), ["bakedOn"]);
  const gramsBefore = reader.number(fields.get("gramsBefore"), ["gramsBefore"], 1, 100_000, "grams of batter in the tin");
  const gramsAfter = optionalNumber(reader, fields, "gramsAfter", 1, 100_000, "grams of the baked cake");
  if (gramsBefore !== undefined && gramsAfter !== undefined && gramsAfter > gramsBefore)
    reader.say(
      "out-of-range",
      ["gramsAfter"],
      `a weight of at most ${gramsBefore} g, which went in`,
      String(gramsAfter),
      "A cake loses water in the oven: weigh both without the tin, or both with it.",
    );
  const skewerMinutes = optionalNumber(reader, fields, "skewerMinutes", 0.5, 600, "minutes until the skewer came out clean");
  const outMinutes = optionalNumber(reader, fields, "outMinutes", 0.5, 600, "minutes until it was taken out");
  const edgeMm = optionalNumber(reader, fields, "edgeMm", 1, 500, "height at the edge in mm");
  const centreMm = optionalNumber(reader, fields, "centreMm", 1, 500, "height in the middle in mm");
  const probe = reader.list(fields.get("probe"), ["probe"], (one, path) => {
    const of = reader.object(one, path, new Set(["minutes", "celsius"]), "a reading of the probe");
    if (of === undefined) return undefined;
    const minutes = reader.number(of.get("minutes"), [...path, "minutes"], 0, 600, "minutes from the door");
    const celsius = reader.number(of.get("celsius"), [...path, "celsius"], -30, 200, "°C in the middle of the cake");
    return minutes === undefined || celsius === undefined ? undefined : { minutes, celsius };
  });
  const notes = reader.optionalText(fields.get("notes"), ["notes"], NOTES_MOST);
  if (
    name === undefined ||
    formulaId === undefined ||
    revisionId === undefined ||
    formulaName === undefined ||
    component === undefined ||
    ovenId === undefined ||
    position === undefined ||
    tin === undefined ||
    setC === undefined ||
    bakedOn === undefined ||
    gramsBefore === undefined
  )
    return { value: undefined, problems: reader.problems };
  const measured = { gramsAfter, skewerMinutes, outMinutes, edgeMm, centreMm, notes };
  return {
    value: {
      name,
      formulaId,
      revisionId,
      formulaName,
      component,
      ovenId,
      position,
      tin,
      setC,
      fan,
      bakedOn,
      gramsBefore,
      ...Object.fromEntries(Object.entries(measured).filter(([, one]) => one !== undefined)),
      ...(probe.length === 0 ? {} : { probe }),
    },
    problems: reader.problems,
  };
}

function optionalNumber(
  reader: FieldReader,
  fields: Fields,
  field: string,
  least: number,
  most: number,
  expected: string,
): number | undefined {
  const value = fields.get(field);
  return value === undefined || value === null ? undefined : reader.number(value, [field], least, most, expected);
}
