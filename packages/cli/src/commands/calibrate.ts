import { type Calibration, calibrate, explainPositions, OVEN_PRIOR, type OvenRecord } from "@evencrumb/core/bake";
import type { Problem } from "@evencrumb/core/quantities";
import { defineCommand } from "../command.js";
import { refuse } from "../io.js";
import { jsonText } from "../render/json.js";
import { tableText } from "../render/table.js";
import { bakeRequest } from "./bake.js";

/** One bake in the records file. */
interface RecordInput {
  readonly name?: unknown;
  readonly formula?: unknown;
  readonly component?: unknown;
  readonly tin?: unknown;
  readonly oven?: unknown;
  readonly grams?: unknown;
  readonly position?: unknown;
  readonly cleanSkewerMinutes?: unknown;
  readonly outMinutes?: unknown;
  readonly lossPercent?: unknown;
  readonly centreMm?: unknown;
  readonly probe?: { readonly minutes?: unknown; readonly celsius?: unknown };
}
const FIELDS =
  "name, formula, component, tin, oven, grams, position, cleanSkewerMinutes, outMinutes, lossPercent, centreMm, probe";

export const calibrateCommand = defineCommand<Readonly<Record<string, unknown>>>({
  name: "calibrate",
  summary: "Fit an oven to its bake records: effective temperature, heat from above and below, for each shelf position.",
  arguments: [["<records>", "JSON file with a list of bakes"]],
  options: [],
  examples: ["evencrumb calibrate records.json", "evencrumb calibrate records.json --json > oven.json"],
  async run({ args, json }, io) {
    const path = args[0]!;
    const problem = (where: readonly (string | number)[], expected: string, found: string): Problem => ({
      code: "wrong-type",
      path: where,
      expected,
      found,
      remedy: `A record has ${FIELDS}; name, formula and one measurement are needed.`,
    });
    let parsed: unknown;
    try {
      parsed = JSON.parse(await io.readText(path));
    } catch {
      return refuse(io, [problem([], "JSON: a list of bakes", "no JSON")], path);
    }
    if (!Array.isArray(parsed) || parsed.length === 0) return refuse(io, [problem([], "a list of bakes", "none")], path);
    const byPosition = new Map<string, OvenRecord[]>();
    for (const [index, input] of (parsed as RecordInput[]).entries()) {
      const number = (value: unknown, field: string): number | undefined | Problem =>
        value === undefined || (typeof value === "number" && Number.isFinite(value))
          ? (value as number | undefined)
          : problem([index, field], "a number", JSON.stringify(value));
      const [skewer, out, loss, height, grams] = (
        ["cleanSkewerMinutes", "outMinutes", "lossPercent", "centreMm", "grams"] as const
      ).map((field) => number(input[field], field));
      for (const value of [skewer, out, loss, height, grams]) if (typeof value === "object") return refuse(io, [value], path);
      if (typeof input.formula !== "string") return refuse(io, [problem([index, "formula"], "a formula file", "nothing")], path);
      const text = (value: unknown) => (typeof value === "string" || typeof value === "number" ? String(value) : undefined);
      const asked = await bakeRequest(
        input.formula,
        {
          ...(text(input.component) === undefined ? {} : { component: text(input.component)! }),
          ...(text(input.tin) === undefined ? {} : { tin: text(input.tin)! }),
          ...(text(input.oven) === undefined ? {} : { oven: text(input.oven)! }),
          ...(grams === undefined ? {} : { grams: String(grams) }),
        },
        io,
      );
      if (typeof asked === "number") return asked;
      const { probe } = input;
      const list = (value: unknown): number[] | undefined =>
        Array.isArray(value) && value.length > 0 && value.every((v) => typeof v === "number") ? (value as number[]) : undefined;
      const minutes = list(probe?.minutes);
      const celsius = list(probe?.celsius);
      if (probe !== undefined && (!minutes || !celsius || minutes.length !== celsius.length))
        return refuse(
          io,
          [problem([index, "probe"], "minutes and celsius, two lists of one length", JSON.stringify(probe))],
          path,
        );
      if (skewer === undefined && !minutes && (out === undefined || (loss === undefined && height === undefined)))
        return refuse(io, [problem([index], "a measurement", "none")], path);
      const position = text(input.position) ?? "1";
      const record: OvenRecord = {
        name: text(input.name) ?? `bake ${index + 1}`,
        request: asked.request,
        ...(skewer === undefined ? {} : { cleanSkewerS: 60 * (skewer as number) }),
        ...(minutes && celsius ? { probe: { timesS: minutes.map((m) => 60 * m), temperaturesC: celsius } } : {}),
        ...(out === undefined
          ? {}
          : {
              out: {
                atS: 60 * (out as number),
                ...(loss === undefined ? {} : { lossPercent: loss as number }),
                ...(height === undefined ? {} : { centreMm: height as number }),
              },
            }),
      };
      byPosition.set(position, [...(byPosition.get(position) ?? []), record]);
    }
    const positions = [...byPosition].map(([position, records]) => ({
      position,
      records,
      result: calibrate(records, OVEN_PRIOR),
    }));
    const compared = positions
      .slice(1)
      .map((other) =>
        explainPositions(
          positions[0]!.records[0]!.request,
          { name: `position ${positions[0]!.position}`, fit: positions[0]!.result.fit },
          { name: `position ${other.position}`, fit: other.result.fit },
        ),
      );
    if (json) {
      io.print(
        jsonText("calibrate", {
          positions: positions.map(({ position, result }) => ({ position, ...result })),
          compared: compared.map(({ words, oneSeconds, otherSeconds }) => ({ words, oneSeconds, otherSeconds })),
        }),
      );
    } else
      io.print(
        [
          ...positions.map(({ position, result }) => calibrationText(position, result)),
          ...compared.map(({ words }) => words),
        ].join("\n\n"),
      );
    return 0;
  },
});

function calibrationText(position: string, { fit, before, after, flagged, misfit }: Calibration): string {
  const left = (heading: string) => ({ heading, align: "left" as const });
  const number = (heading: string) => ({ heading, align: "decimal" as const });
  return [
    `Position ${position}: the air is ${fit.offsetK.toFixed(1)} ± ${fit.offsetSpreadK.toFixed(1)} °C off the setting; heat from above ${fit.aboveFactor.toFixed(2)} times, from below and the sides ${fit.belowFactor.toFixed(2)} times a usual oven's.`,
    tableText(
      [left("bake"), left("measured"), number("off before"), number("off after")],
      after.map((r, i) => [r.name, r.words, before[i]!.deviations.toFixed(1), r.deviations.toFixed(1)]),
    ),
    `Off by ${misfit.before.toFixed(1)} standard deviations before, ${misfit.after.toFixed(1)} after.`,
    ...flagged.map(({ name, why }) => `Left out, ${name}: ${why}`),
  ].join("\n");
}
