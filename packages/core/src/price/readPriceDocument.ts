import { FieldReader, type Reading } from "../quantities/index.js";
import { minorPerMajor } from "./money.js";
import { ovenEnergy } from "./ovenEnergy.js";
import type { PriceInputs } from "./priceInputs.js";
import type { PriceRule, PriceSettings } from "./sellingPrice.js";

/** What is kept and sent about the price of one product: what it costs beside its ingredients, and how it is sold. */
export interface PriceDocument {
  readonly name: string;
  /** Id of the formula that it prices, where it is kept beside one. */
  readonly formula?: string;
  readonly inputs: PriceInputs;
  readonly settings?: PriceSettings;
  /** What has to be earned whether anything is sold or not: a market day's pitch, a month's rent [minor units]. */
  readonly fixed?: { readonly name: string; readonly minor: number };
}

/**
 * What the whole bakery takes for granted where a document does not say its own. A document without a date is priced on the day
 * that is asked for.
 */
export interface PriceDefaults {
  /** ISO 8601. */
  readonly date?: string;
  readonly perHourMinor?: number;
  readonly onCostPercent?: number;
  readonly perKwhMinor?: number;
  readonly feePercent?: number;
  readonly taxPercent?: number;
}

type Path = readonly (string | number)[];
type Fields = ReadonlyMap<string, unknown>;

/**
 * Reads a price document: a file (YAML or JSON, already parsed) or the body of a kept one.
 *
 * Money may be given in major units ("perHour: 14.50") or, with "Minor" behind the name, in whole pence or cents.
 *
 * @param house  taken where the document leaves it out: the day, the wage, the tariff, fee and tax
 * @returns  undefined where currency, date or the number of cakes cannot be read; problems with their paths
 */
export function readPriceDocument(value: unknown, house: PriceDefaults = {}): Reading<PriceDocument | undefined> {
  const reader = new FieldReader();
  const fields = reader.object(value, [], new Set(DOCUMENT_FIELDS), "a price document");
  if (fields === undefined) return { value: undefined, problems: reader.problems };
  const name = reader.optionalText(fields.get("name"), ["name"], 200) ?? "Price";
  const formula = reader.optionalText(fields.get("formula"), ["formula"], 120);
  const currency = readCurrency(reader, fields.get("currency"));
  const date = reader.date(fields.get("date") ?? house.date, ["date"]);
  const cakes = reader.number(fields.get("cakes"), ["cakes"], 1, 100_000, "cakes that a batch makes");
  const portions =
    fields.get("portionsPerCake") === undefined
      ? 1
      : reader.number(fields.get("portionsPerCake"), ["portionsPerCake"], 1, 10_000, "portions of a cake");
  const money = moneyReader(reader, currency ?? "GBP");
  const percent = (of: Fields, field: string, path: Path, least: number, most: number) =>
    of.get(field) === undefined ? undefined : reader.number(of.get(field), [...path, field], least, most, "percent");
  const unsoldPercent = percent(fields, "unsoldPercent", [], 0, 99.9);
  const usablePercent = reader.entries(
    fields.get("usablePercent"),
    ["usablePercent"],
    "ingredients with the percent that is used",
    (one, path) => reader.number(one, path, 0.1, 100, "percent of what is bought"),
  );
  const labour = readLabour(reader, fields.get("labour"), money, house);
  const energy = readEnergy(reader, fields.get("energy"), money, house);
  const packaging = reader.list(fields.get("packaging"), ["packaging"], (one, path) => {
    const of = reader.object(one, path, new Set(["name", "cost", "costMinor", "minor", "per"]), "a piece of packaging");
    if (of === undefined) return undefined;
    const what = reader.text(of.get("name"), [...path, "name"], 200, "what it is, such as box");
    const minor = of.has("minor")
      ? reader.number(of.get("minor"), [...path, "minor"], 0, 1e9, "a cost in pence or cents")
      : money(of, "cost", path, true);
    const per = reader.choice(of.get("per") ?? "cake", ["batch", "cake", "portion"] as const, [...path, "per"]);
    return what === undefined || minor === undefined || per === undefined ? undefined : { name: what, minor, per };
  });
  const overhead = reader.list(fields.get("overhead"), ["overhead"], (one, path) => {
    const of = reader.object(
      one,
      path,
      new Set(["name", "perBatch", "perBatchMinor", "minorPerBatch", "percent"]),
      "an overhead",
    );
    if (of === undefined) return undefined;
    const what = reader.text(of.get("name"), [...path, "name"], 200, "what it is, such as rent");
    if (of.has("percent")) {
      const share = percent(of, "percent", path, 0, 1000);
      return what === undefined || share === undefined ? undefined : { name: what, percent: share };
    }
    const minor = of.has("minorPerBatch")
      ? reader.number(of.get("minorPerBatch"), [...path, "minorPerBatch"], 0, 1e9, "an amount in pence or cents")
      : money(of, "perBatch", path, true);
    return what === undefined || minor === undefined ? undefined : { name: what, minorPerBatch: minor };
  });
  const settings = readSettings(reader, fields.get("selling"), money, house);
  const fixedFields =
    fields.get("fixed") === undefined
      ? undefined
      : reader.object(fields.get("fixed"), ["fixed"], new Set(["name", "cost", "costMinor"]), "a fixed cost");
  const fixedMinor = fixedFields === undefined ? undefined : money(fixedFields, "cost", ["fixed"], true);
  const fixedName =
    fixedFields === undefined
      ? undefined
      : (reader.optionalText(fixedFields.get("name"), ["fixed", "name"], 200) ?? "fixed costs");
  if (currency === undefined || date === undefined || cakes === undefined || portions === undefined)
    return { value: undefined, problems: reader.problems };
  const inputs: PriceInputs = {
    currency,
    date,
    cakes,
    portionsPerCake: portions,
    ...(unsoldPercent === undefined ? {} : { unsoldPercent }),
    ...(Object.keys(usablePercent).length === 0 ? {} : { usablePercent }),
    ...(labour === undefined ? {} : { labour }),
    ...(energy === undefined ? {} : { energy }),
    ...(packaging.length === 0 ? {} : { packaging }),
    ...(overhead.length === 0 ? {} : { overhead }),
  };
  return {
    value: {
      name,
      ...(formula === undefined ? {} : { formula }),
      inputs,
      ...(settings === undefined ? {} : { settings }),
      ...(fixedMinor === undefined || fixedName === undefined ? {} : { fixed: { name: fixedName, minor: fixedMinor } }),
    },
    problems: reader.problems,
  };
}

const DOCUMENT_FIELDS = [
  "name",
  "formula",
  "currency",
  "date",
  "cakes",
  "portionsPerCake",
  "unsoldPercent",
  "usablePercent",
  "labour",
  "energy",
  "packaging",
  "overhead",
  "selling",
  "fixed",
] as const;

function readCurrency(reader: FieldReader, value: unknown): string | undefined {
  const text = reader.text(value, ["currency"], 3, "a currency such as GBP");
  if (text === undefined || /^[A-Z]{3}$/.test(text)) return text;
  reader.say("wrong-type", ["currency"], "a currency such as GBP", text, "Use the three capital letters of ISO 4217.");
  return undefined;
}

type MoneyReader = (of: Fields, field: string, path: Path, isNeeded?: boolean) => number | undefined;

/** An amount by its name in major units, or with "Minor" behind it in minor ones; both may have a fraction of a penny (a bag at 7.5p). */
function moneyReader(reader: FieldReader, currency: string): MoneyReader {
  return (of, field, path, isNeeded = false) => {
    if (of.has(`${field}Minor`))
      return reader.number(of.get(`${field}Minor`), [...path, `${field}Minor`], 0, 1e9, "an amount in pence or cents");
    if (!of.has(field) && !isNeeded) return undefined;
    const major = reader.number(of.get(field), [...path, field], 0, 1e7, "an amount such as 14.50");
    // 14.35 x 100 is 1434.9999999999998 in binary: a hundred-thousandth of a penny is cut off.
    return major === undefined ? undefined : Math.round(major * minorPerMajor(currency) * 1e5) / 1e5;
  };
}

const LABOUR_FIELDS: ReadonlySet<string> = new Set(["perHour", "perHourMinor", "onCostPercent", "waitingPercent", "stages"]);

function readLabour(reader: FieldReader, value: unknown, money: MoneyReader, house: PriceDefaults): PriceInputs["labour"] {
  if (value === undefined || value === null) return undefined;
  const path = ["labour"];
  const of = reader.object(value, path, LABOUR_FIELDS, "the labour");
  if (of === undefined) return undefined;
  const perHourMinor = money(of, "perHour", path, house.perHourMinor === undefined) ?? house.perHourMinor;
  const onCost = of.has("onCostPercent")
    ? reader.number(of.get("onCostPercent"), [...path, "onCostPercent"], 0, 200, "percent of the wage")
    : house.onCostPercent;
  const waitingPercent = of.has("waitingPercent")
    ? reader.number(of.get("waitingPercent"), [...path, "waitingPercent"], 0, 100, "percent of the wage")
    : undefined;
  const stages = reader.list(of.get("stages"), [...path, "stages"], (one, at) => {
    const stage = reader.object(one, at, new Set(["name", "handsOnMinutes", "waitingMinutes"]), "a stage of the work");
    if (stage === undefined) return undefined;
    const name = reader.text(stage.get("name"), [...at, "name"], 200, "what is done, such as mix");
    const hands = reader.number(stage.get("handsOnMinutes"), [...at, "handsOnMinutes"], 0, 10_000, "minutes of work");
    const waiting = stage.has("waitingMinutes")
      ? reader.number(stage.get("waitingMinutes"), [...at, "waitingMinutes"], 0, 100_000, "minutes of waiting")
      : undefined;
    return name === undefined || hands === undefined
      ? undefined
      : { name, handsOnMinutes: hands, ...(waiting === undefined ? {} : { waitingMinutes: waiting }) };
  });
  return perHourMinor === undefined
    ? undefined
    : {
        perHourMinor,
        ...(onCost === undefined ? {} : { onCostPercent: onCost }),
        ...(waitingPercent === undefined ? {} : { waitingPercent }),
        stages,
      };
}

/** Energy as kWh, or from the oven's rating. */
function readEnergy(reader: FieldReader, value: unknown, money: MoneyReader, house: PriceDefaults): PriceInputs["energy"] {
  if (value === undefined || value === null) return undefined;
  const path = ["energy"];
  const of = reader.object(
    value,
    path,
    new Set(["kwh", "basis", "perKwh", "perKwhMinor", "ratedKw", "warmUpMinutes", "bakeMinutes", "dutyPercent", "batches"]),
    "the energy",
  );
  if (of === undefined) return undefined;
  const perKwhMinor = money(of, "perKwh", path, house.perKwhMinor === undefined) ?? house.perKwhMinor;
  const number = (field: string, least: number, most: number, what: string) =>
    of.has(field) ? reader.number(of.get(field), [...path, field], least, most, what) : undefined;
  if (of.has("ratedKw")) {
    const ratedKw = number("ratedKw", 0.05, 500, "the oven's power in kW");
    const [warmUpMinutes, bakeMinutes] = [
      number("warmUpMinutes", 0, 1000, "minutes") ?? 0,
      number("bakeMinutes", 0, 10_000, "minutes") ?? 0,
    ];
    const dutyPercent = number("dutyPercent", 1, 100, "percent");
    const batches = number("batches", 1, 1000, "batches that share the warm-up");
    if (ratedKw === undefined || perKwhMinor === undefined) return undefined;
    const { kwh } = ovenEnergy({
      ratedKw,
      warmUpMinutes,
      bakeMinutes,
      ...(dutyPercent === undefined ? {} : { dutyPercent }),
      ...(batches === undefined ? {} : { batches }),
    });
    return { kwh, perKwhMinor, basis: "stated" };
  }
  const kwh = reader.number(of.get("kwh"), [...path, "kwh"], 0, 10_000, "kWh of a batch");
  const basis = reader.choice(of.get("basis") ?? "stated", ["measured", "predicted", "stated"] as const, [...path, "basis"]);
  return kwh === undefined || perKwhMinor === undefined || basis === undefined ? undefined : { kwh, perKwhMinor, basis };
}

const SELLING_FIELDS: ReadonlySet<string> = new Set([
  "marginPercent",
  "markUpPercent",
  "price",
  "priceMinor",
  "feePercent",
  "fee",
  "feeMinor",
  "taxPercent",
  "roundUp",
  "roundUpMinor",
  "leastMarginPercent",
]);

function readSettings(reader: FieldReader, value: unknown, money: MoneyReader, house: PriceDefaults): PriceSettings | undefined {
  if (value === undefined || value === null) return undefined;
  const path = ["selling"];
  const of = reader.object(value, path, SELLING_FIELDS, "how it is sold");
  if (of === undefined) return undefined;
  const ways = ["marginPercent", "markUpPercent", "price"].filter((field) => of.has(field) || of.has(`${field}Minor`));
  if (ways.length !== 1) {
    reader.say(
      ways.length === 0 ? "missing-field" : "conflict",
      path,
      "one of marginPercent, markUpPercent and price",
      ways.join(" and ") || "none of them",
      "Margin is a share of the price, mark-up a share of the cost: say one.",
    );
    return undefined;
  }
  const number = (field: string, least: number, most: number) =>
    of.has(field) ? reader.number(of.get(field), [...path, field], least, most, "percent") : undefined;
  const rule = ((): PriceRule | undefined => {
    if (ways[0] === "marginPercent") {
      const percent = number("marginPercent", 0, 99.9);
      return percent === undefined ? undefined : { kind: "margin", percent };
    }
    if (ways[0] === "markUpPercent") {
      const percent = number("markUpPercent", 0, 10_000);
      return percent === undefined ? undefined : { kind: "mark-up", percent };
    }
    const minor = money(of, "price", path, true);
    return minor === undefined ? undefined : { kind: "price", minor: Math.round(minor) };
  })();
  const feePercent = number("feePercent", 0, 100) ?? house.feePercent;
  const taxPercent = number("taxPercent", 0, 100) ?? house.taxPercent;
  const leastMarginPercent = number("leastMarginPercent", 0, 99.9);
  const [feeMinor, roundUp] = [money(of, "fee", path), money(of, "roundUp", path)];
  return rule === undefined
    ? undefined
    : {
        rule,
        ...(feePercent === undefined ? {} : { feePercent }),
        ...(feeMinor === undefined ? {} : { feeMinor }),
        ...(taxPercent === undefined ? {} : { taxPercent }),
        ...(roundUp === undefined || roundUp < 1 ? {} : { roundUpMinor: Math.round(roundUp) }),
        ...(leastMarginPercent === undefined ? {} : { leastMarginPercent }),
      };
}
