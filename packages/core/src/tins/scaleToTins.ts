import { type Component, componentGrams, type Formula, scaleFormula } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import type { Problem, Result } from "../quantities/index.js";
import { batterDensity, batterVolumeMl, type UsedDensity } from "./batter.js";
import {
  FULLEST_SHARE,
  fillingCautions,
  fillOf,
  type TinCaution,
  type TinFill,
  tinComponent,
  tinFilling,
  USUAL_FILL_SHARE,
} from "./filling.js";
import { filledTin, tinCapacityMl, volumeAtDepth } from "./geometry.js";
import type { CountedTin, NamedTin } from "./parseTin.js";

/** How full the new tins shall be. */
export type FillRule =
  /** As deep as the batter stands in the formula's own tins; the usual share where it names none. */
  | { readonly rule: "same-depth" }
  /** This share of each tin's capacity, above 0 to 1. */
  | { readonly rule: "share"; readonly share: number };

export interface ScaleToTinsOptions {
  readonly book: IngredientBook;
  /** Component that goes into the tins; see `tinComponent` for the one meant when absent. */
  readonly component?: string;
  readonly fill?: FillRule;
  /** Whether filling and topping follow the component (default), or only the component is scaled. */
  readonly scale?: "formula" | "component";
  /** Tins that the baker has given names, which formulas may use. */
  readonly owned?: readonly NamedTin[];
}

export interface TinScaling {
  /** The whole formula times `factor`; the component's tins are the new ones. */
  readonly formula: Formula;
  readonly factor: number;
  readonly component: string;
  readonly density: UsedDensity;
  readonly tins: readonly TinFill[];
  /** How the batter stood in the formula's own tins, where it names any. */
  readonly before?: readonly TinFill[];
  readonly cautions: readonly TinCaution[];
}

/** Below this share a tin of another kind than before looks forgotten (common practice, no source). */
const LEAST_USUAL_SHARE = 0.45;

/** A change of thickness beyond this makes the old bake time unfit. Assumption: a tenth is what a skewer can tell. */
const THICKNESS_CHANGE = 0.1;

/**
 * Scales a formula so that one component fills the given tins.
 *
 * The batter stands as deep as in the formula's own tins, so that the old bake time holds as nearly as it can, or fills a
 * share of each tin. No tin is filled beyond two thirds (or beyond the formula's own share, where that is more) by the
 * same-depth rule; where that bites it is said. All components are scaled alike, so that filling and topping follow, unless `scale` says otherwise.
 *
 * @returns the scaled formula with weights unrounded, or the problem: no such component, nothing weighed, no tins
 */
export function scaleToTins(
  formula: Formula,
  tins: readonly CountedTin[],
  options: ScaleToTinsOptions,
): Result<TinScaling, Problem> {
  const component = tinComponent(formula, options.component);
  if (!component)
    return refuse(
      "unknown-component",
      options.component ?? "",
      `one of: ${formula.components.map(({ name }) => name).join(", ")}`,
      "Choose a component by its name.",
    );
  const batterGrams = componentGrams(component);
  if (!(batterGrams > 0))
    return refuse("not-a-weight", component.name, "a component with weights", "Give its ingredients weights first.");
  if (tins.length === 0) return refuse("unknown-tin", "", "at least one tin", 'Write tins such as "2 round 20x5 cm".');
  const fill = options.fill ?? { rule: "same-depth" };
  if (fill.rule === "share" && !(fill.share > 0 && fill.share <= 1)) {
    return refuse("out-of-range", String(fill.share), "a fill share above 0 and up to 1", "Half is 0.5, two thirds 0.67.");
  }

  const density = batterDensity(component, options.book);
  const before = tinFilling(component, options.book, options.owned).value;
  const { volumes, cautions: ruleCautions } = targetVolumes(tins, fill, before?.tins);
  const target = tins.reduce((sum, { count }, index) => sum + count * volumes[index]!, 0);
  const factor = target / batterVolumeMl(batterGrams, density.specificGravity);
  const filled = tins.map((counted, index) => fillOf(counted, volumes[index]!, density.specificGravity));
  const bake = before ? bakeTimeCaution(component, before.tins, filled) : undefined;
  const cautions = [...ruleCautions, ...(bake ? [bake] : []), ...fillingCautions({ density, tins: filled })];
  return {
    ok: true,
    value: {
      formula: scaledInto(formula, component, factor, tins, {
        only: options.scale === "component",
        bakeUnfit: bake !== undefined,
      }),
      factor,
      component: component.name,
      density,
      tins: filled,
      ...(before ? { before: before.tins } : {}),
      cautions,
    },
  };
}

/** Volume of batter [mL] for one of each tin. */
function targetVolumes(
  tins: readonly CountedTin[],
  fill: FillRule,
  before: readonly TinFill[] | undefined,
): { volumes: readonly number[]; cautions: readonly TinCaution[] } {
  if (fill.rule === "share") return { volumes: tins.map(({ tin }) => fill.share * tinCapacityMl(tin)), cautions: [] };
  if (!before) {
    const words = `The formula names no tins of its own: each is filled to ${Math.round(USUAL_FILL_SHARE * 100)} % (common practice: half to two thirds).`;
    return { volumes: tins.map(({ tin }) => USUAL_FILL_SHARE * tinCapacityMl(tin)), cautions: [{ code: "capped", words }] };
  }
  const depthMm = Math.max(...before.map((one) => one.depthMm));
  const fullest = Math.max(FULLEST_SHARE, ...before.map((one) => Math.min(one.fillShare, 1)));
  const cautions: TinCaution[] = [];
  const volumes = tins.map(({ tin, text }) => {
    const wanted = volumeAtDepth(tin, depthMm);
    const most = fullest * tinCapacityMl(tin);
    if (wanted <= most * (1 + 1e-9)) {
      const share = wanted / tinCapacityMl(tin);
      // A sandwich tin is filled to a third and a loaf tin never: where the kind of tin changes, equal depth may not be meant.
      if (share < LEAST_USUAL_SHARE && !before.some((one) => one.tin.shape.kind === tin.shape.kind)) {
        cautions.push({
          code: "shallow",
          words: `${text}: as deep as before (${Math.round(depthMm)} mm) it is only ${Math.round(share * 100)} % full; this kind of tin is usually filled half to two thirds. Ask for a fill share to have that.`,
        });
      }
      return wanted;
    }
    cautions.push({
      code: "capped",
      words: `${text}: ${Math.round(depthMm)} mm of batter would fill it to ${Math.round((wanted / tinCapacityMl(tin)) * 100)} %; it is filled to ${Math.round(fullest * 100)} % instead.`,
    });
    return most;
  });
  return { volumes, cautions };
}

/** How thick the batter is for the heat: its volume over its whole surface [mm]. It tells a cup from a slab of equal depth. */
function heatThicknessMm(fill: TinFill): number {
  const { volumeMl, baseAreaMm2, sideAreaMm2, topAreaMm2 } = filledTin(fill.tin, fill.depthMm);
  return (volumeMl * 1000) / (baseAreaMm2 + sideAreaMm2 + topAreaMm2);
}

/**
 * Whether the old bake time still holds. Time of heating goes with the square of thickness where conduction inside rules
 * (Fourier number, exact) and with the first power where the heat has to get in from outside (both terms are in Plank's
 * equation); a cake lies between. That is the rough guide given; the bake model says more.
 */
export function bakeTimeCaution(
  component: Component,
  before: readonly TinFill[],
  after: readonly TinFill[],
): TinCaution | undefined {
  const mean = (fills: readonly TinFill[], of: (fill: TinFill) => number) =>
    fills.reduce((sum, fill) => sum + of(fill) * fill.count * fill.batterMl, 0) /
    fills.reduce((sum, fill) => sum + fill.count * fill.batterMl, 0);
  const oldDepth = mean(before, (fill) => fill.depthMm);
  const oldThickness = mean(before, heatThicknessMm);
  const ratios = after.map((fill) => ({ depth: fill.depthMm / oldDepth, thickness: heatThicknessMm(fill) / oldThickness, fill }));
  const worst = ratios.reduce((a, b) => (Math.abs(Math.log(b.thickness)) > Math.abs(Math.log(a.thickness)) ? b : a));
  const changed = ratios.some(
    ({ depth, thickness }) => Math.abs(depth - 1) > THICKNESS_CHANGE || Math.abs(thickness - 1) > THICKNESS_CHANGE,
  );
  if (!changed) return undefined;
  const minutes = component.bake?.minutes;
  const depths = `${Math.round(worst.fill.depthMm)} mm of batter instead of ${Math.round(oldDepth)} mm`;
  const change = Math.abs(worst.depth - 1) > THICKNESS_CHANGE ? depths : "as deep as before but another shape";
  const guess = [worst.thickness, worst.thickness ** 2].map((ratio) => (minutes ?? 0) * ratio).sort((a, b) => a - b);
  const guide =
    minutes === undefined
      ? "Test early."
      : `The old ${minutes} min does not hold. Rough guide: ${Math.max(1, Math.round(guess[0]!))} to ${Math.max(1, Math.round(guess[1]!))} min (between the first and second power of the thickness; computed, not measured). Test early.`;
  return { code: "bake-time", words: `${worst.fill.text}: ${change}. ${guide}` };
}

function scaledInto(
  formula: Formula,
  component: Component,
  factor: number,
  tins: readonly CountedTin[],
  change: { readonly only: boolean; readonly bakeUnfit: boolean },
): Formula {
  const scaled = scaleFormula(formula, factor, change.only ? { component: component.name } : {});
  return {
    ...scaled,
    components: scaled.components.map((each, index) => {
      if (formula.components[index] !== component) return each;
      const tinned: Component = { ...each, tins: tins.map(({ count, text }) => ({ count, tin: text })) };
      // A time that no longer holds must not reach the bench; the caution keeps it in words.
      if (!change.bakeUnfit || each.bake?.minutes === undefined) return tinned;
      const { minutes: _unfit, ...bake } = each.bake;
      return { ...tinned, bake };
    }),
  };
}

function refuse(code: Problem["code"], found: string, expected: string, remedy: string): Result<never, Problem> {
  return { ok: false, error: { code, path: [], expected, found, remedy } };
}
