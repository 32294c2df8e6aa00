import { type Component, componentGrams, type Formula } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import type { Problem, Reading } from "../quantities/index.js";
import { batterDensity, batterVolumeMl, type UsedDensity } from "./batter.js";
import { fillDepth, filledTin, tinCapacityMl, tinDepthMm, volumeAtDepth } from "./geometry.js";
import { type CountedTin, type NamedTin, parseTins, resolveTin } from "./parseTin.js";

/** One kind of tin with its share of the batter; every figure is for one tin. */
export interface TinFill extends CountedTin {
  readonly capacityMl: number;
  readonly batterMl: number;
  readonly batterGrams: number;
  /** Batter over capacity; above 1 it does not fit. */
  readonly fillShare: number;
  /** Depth of the batter in each hollow [mm]. */
  readonly depthMm: number;
}

/** How a component sits in its tins. */
export interface TinFilling {
  readonly component: string;
  readonly batterGrams: number;
  readonly batterMl: number;
  readonly density: UsedDensity;
  readonly tins: readonly TinFill[];
}

/** Something to know before baking; `code` is stable. */
export interface TinCaution {
  readonly code:
    | "does-not-fit"
    | "may-overflow"
    | "shallow"
    | "bake-time"
    | "typical-density"
    | "usual-size"
    | "capped"
    | "more-tins"
    | "other-depth";
  readonly words: string;
}

/**
 * Common practice, no source: fill a tin half to two thirds. The upper end agrees with baked volumes of 1.5 to 2 times the
 * batter (seen in one general work on food science).
 */
export const FULLEST_SHARE = 2 / 3;
/** Where a formula says nothing of tins: between half and two thirds, nearer the half (common practice, no source). */
export const USUAL_FILL_SHARE = 0.55;
/** Below this a sponge dries before it colours and hides behind the wall (common practice, no source). */
const SHALLOW_SHARE = 0.25;

/** Batter of one component in the tins that its formula names; problems where it names none or an unknown one. */
export function tinFilling(
  component: Component,
  book: IngredientBook,
  owned: readonly NamedTin[] = [],
): Reading<TinFilling | undefined> {
  const { value: tins, problems } = tinsOf(component, owned);
  const batterGrams = componentGrams(component);
  if (tins.length === 0) return { value: undefined, problems };
  const density = batterDensity(component, book);
  const batterMl = batterVolumeMl(batterGrams, density.specificGravity);
  return {
    value: { component: component.name, batterGrams, batterMl, density, tins: shareOut(batterMl, tins, density.specificGravity) },
    problems,
  };
}

/** The tins a component names, read; a name of a tin that the baker owns wins over a description. */
export function tinsOf(component: Component, owned: readonly NamedTin[] = []): Reading<readonly CountedTin[]> {
  const value: CountedTin[] = [];
  const problems: Problem[] = [];
  (component.tins ?? []).forEach((use, index) => {
    const reading = resolveTin(use.tin, owned);
    if (reading.value) value.push({ count: use.count, tin: reading.value, text: use.tin });
    problems.push(...reading.problems.map((problem) => ({ ...problem, path: ["tins", index, "tin"] })));
  });
  return { value, problems };
}

/** Tins written by the baker for a batch: parsed, and names of owned tins ("2 Sandwich tins") resolved first. */
export function readTinsFor(text: string, owned: readonly NamedTin[] = []): Reading<readonly CountedTin[]> {
  const wanted = text.trim().toLowerCase();
  for (const { name, tin } of owned) {
    const lower = name.trim().toLowerCase();
    if (wanted === lower) return { value: [{ count: 1, tin, text: name }], problems: [] };
    const counted = /^(\d{1,3})\s*(?:[x×]\s*)?(.+)$/.exec(wanted);
    if (counted && counted[2] === lower) return { value: [{ count: Number(counted[1]), tin, text: name }], problems: [] };
  }
  return parseTins(text);
}

/** Shares batter out so that it stands equally deep in every tin, as far as each one's brim allows. */
export function shareOut(batterMl: number, tins: readonly CountedTin[], specificGravity: number): readonly TinFill[] {
  const capacity = tins.reduce((sum, { count, tin }) => sum + count * tinCapacityMl(tin), 0);
  if (batterMl >= capacity)
    return tins.map((counted) => fillOf(counted, (tinCapacityMl(counted.tin) * batterMl) / capacity, specificGravity));
  // The volume at a common depth only grows with the depth, so halving the bracket finds it.
  let [low, high] = [0, Math.max(...tins.map(({ tin }) => filledTin(tin).depthMm))];
  for (let step = 0; step < 80; step++) {
    const middle = (low + high) / 2;
    const volume = tins.reduce((sum, { count, tin }) => sum + count * volumeAtDepth(tin, middle), 0);
    if (volume < batterMl) low = middle;
    else high = middle;
  }
  return tins.map((counted) => fillOf(counted, volumeAtDepth(counted.tin, (low + high) / 2), specificGravity));
}

/** A tin with a given volume of batter in it. */
export function fillOf(counted: CountedTin, batterMl: number, specificGravity: number): TinFill {
  const capacityMl = tinCapacityMl(counted.tin);
  return {
    ...counted,
    capacityMl,
    batterMl,
    batterGrams: batterMl * specificGravity,
    fillShare: batterMl / capacityMl,
    depthMm: fillDepth(counted.tin, batterMl),
  };
}

/** Cautions that a filling gives rise to by itself. */
export function fillingCautions(filling: Pick<TinFilling, "density" | "tins">): readonly TinCaution[] {
  const cautions: TinCaution[] = [];
  for (const fill of filling.tins) {
    const percent = Math.round(fill.fillShare * 100);
    if (fill.fillShare > 1) {
      cautions.push({
        code: "does-not-fit",
        words: `${fill.text}: ${Math.round(fill.batterMl)} ml of batter does not fit into ${Math.round(fill.capacityMl)} ml.`,
      });
    } else if (fill.fillShare > 1.05 * FULLEST_SHARE) {
      cautions.push({
        code: "may-overflow",
        words: `${fill.text}: ${percent} % full. Batter grows by half or more; beyond two thirds it may run over.`,
      });
    } else if (fill.fillShare < SHALLOW_SHARE) {
      cautions.push({
        code: "shallow",
        words: `${fill.text}: only ${percent} % full (${fill.depthMm.toFixed(0)} mm deep of ${tinDepthMm(fill.tin).toFixed(0)} mm). A thin layer bakes fast and dries.`,
      });
    }
    const usual = fill.tin.assumed.filter(
      (assumption) => assumption.what !== "material" && fill.tin.measuredCapacityMl === undefined,
    );
    if (usual.length > 0) {
      cautions.push({ code: "usual-size", words: `${fill.text}: ${usual.map((assumption) => assumption.words).join("; ")}.` });
    }
  }
  if (filling.density.basis === "family") {
    const { family, specificGravity, source } = filling.density;
    cautions.push({
      code: "typical-density",
      words: `Batter volume by the specific gravity typical of ${family === "oil" || family === "angel" ? "an" : "a"} ${family} batter, ${specificGravity} (${source}). Measure yours: weight of a cup of batter over weight of the cup of water.`,
    });
  }
  return cautions;
}

/**
 * Which component a question about tins means: the one named, else the first with tins, else the first cake, else the
 * heaviest.
 */
export function tinComponent(formula: Formula, name?: string): Component | undefined {
  if (name !== undefined) {
    return (
      formula.components.find((component) => component.name === name) ??
      formula.components.find((component) => component.name.toLowerCase() === name.trim().toLowerCase())
    );
  }
  return (
    formula.components.find((component) => (component.tins ?? []).length > 0) ??
    formula.components.find((component) => component.kind === "cake") ??
    [...formula.components].sort((a, b) => componentGrams(b) - componentGrams(a))[0]
  );
}
