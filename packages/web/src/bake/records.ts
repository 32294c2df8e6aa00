import { bakeOfComponent, type OvenRecord } from "@evencrumb/core/bake";
import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import type { Problem } from "@evencrumb/core/quantities";
import { type NamedTin, resolveTin } from "@evencrumb/core/tins";
import type { Kept } from "../app/house.js";
import type { BakeRecord } from "./documents.js";

/** A record as core calibrates with it, or what stands in the way of using it. */
export function ovenRecordOf(
  { id, body }: Kept<BakeRecord>,
  formula: Formula | undefined,
  book: IngredientBook,
  owned: readonly NamedTin[],
): { readonly record?: OvenRecord; readonly problems: readonly Problem[] } {
  const missing = (path: string, expected: string, found: string, remedy: string): { problems: readonly Problem[] } => ({
    problems: [{ code: "missing-field", path: [path], expected, found, remedy }],
  });
  const component = formula?.components.find(({ name }) => name === body.component);
  if (component === undefined)
    return missing("component", "the formula that was baked", `no ${body.component}`, "Write the record anew.");
  const tin = resolveTin(body.tin, owned);
  if (tin.value === undefined) return { problems: tin.problems };
  const made = bakeOfComponent(component, book, {
    tin: tin.value,
    grams: body.gramsBefore,
    oven: { setC: body.setC, fan: body.fan },
    accuracy: "coarse",
  });
  if (!made.ok) return { problems: made.error };
  const { skewerMinutes, outMinutes, gramsAfter, gramsBefore, centreMm, probe } = body;
  const out =
    outMinutes === undefined || (gramsAfter === undefined && centreMm === undefined)
      ? {}
      : {
          out: {
            atS: 60 * outMinutes,
            ...(gramsAfter === undefined ? {} : { lossPercent: (100 * (gramsBefore - gramsAfter)) / gramsBefore }),
            ...(centreMm === undefined ? {} : { centreMm }),
          },
        };
  if (skewerMinutes === undefined && (probe?.length ?? 0) === 0 && !("out" in out))
    return missing(
      "skewerMinutes",
      "something measured",
      "nothing",
      "Write the time of the clean skewer, a temperature, or a weight with its time.",
    );
  return {
    problems: [],
    record: {
      // Names may be the same on two days; what core answers is found again by this one.
      name: `${body.name} ${id.slice(0, 4)}`,
      request: made.value,
      ...(skewerMinutes === undefined ? {} : { cleanSkewerS: 60 * skewerMinutes }),
      ...(probe === undefined || probe.length === 0
        ? {}
        : {
            probe: {
              timesS: probe.map(({ minutes }) => 60 * minutes),
              temperaturesC: probe.map(({ celsius }) => celsius),
            },
          }),
      ...out,
    },
  };
}

/** "12 May, Raspberry sandwich, Sponge": what a record is listed under. */
export const recordName = (bakedOn: string, formula: string, component: string): string =>
  `${new Date(`${bakedOn}T12:00:00Z`).toLocaleDateString("en-GB", { day: "numeric", month: "short", timeZone: "UTC" })}, ${formula}, ${component}`;
