import type { Formula } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import type { Problem } from "../quantities/index.js";
import { type NamedTin, resolveTin } from "../tins/index.js";
import type { OvenRecord } from "./calibrate.js";
import { bakeOfComponent } from "./componentBake.js";
import type { BakeRecord } from "./ovenDocuments.js";

/**
 * A kept bake record as `calibrate` takes it, or what stands in the way of using it.
 *
 * @param id  of the record: names may be the same on two days, and what `calibrate` answers is found again by name and id
 * @param formula  the revision that was baked
 * @param owned  the baker's tins, by which the record may name its own
 */
export function ovenRecordOf(
  id: string,
  record: BakeRecord,
  formula: Formula | undefined,
  book: IngredientBook,
  owned: readonly NamedTin[],
): { readonly record?: OvenRecord; readonly problems: readonly Problem[] } {
  const missing = (path: string, expected: string, found: string, remedy: string): { problems: readonly Problem[] } => ({
    problems: [{ code: "missing-field", path: [path], expected, found, remedy }],
  });
  const component = formula?.components.find(({ name }) => name === record.component);
  if (component === undefined)
    return missing("component", "the formula that was baked", `no ${record.component}`, "Write the record anew.");
  const tin = resolveTin(record.tin, owned);
  if (tin.value === undefined) return { problems: tin.problems };
  const made = bakeOfComponent(component, book, {
    tin: tin.value,
    grams: record.gramsBefore,
    oven: { setC: record.setC, fan: record.fan },
    accuracy: "coarse",
  });
  if (!made.ok) return { problems: made.error };
  const { skewerMinutes, outMinutes, gramsAfter, gramsBefore, centreMm, probe } = record;
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
      name: `${record.name} ${id.slice(0, 4)}`,
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
