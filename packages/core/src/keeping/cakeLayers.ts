import { composeFormula } from "../composition/index.js";
import type { Formula } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import { tinFilling } from "../tins/index.js";
import { type Layer, moistureBetweenLayers } from "./layers.js";
import { waterActivity } from "./waterActivity.js";
import { type ReadPhase, waterPhaseOf } from "./waterPhase.js";

export interface CakeLayer {
  readonly name: string;
  readonly thicknessMm: number;
  /** Water as percent of the layer's weight, at the start and at each sampled hour. */
  readonly waterPercent: readonly number[];
  /** Mean water activity at each sampled hour. */
  readonly activity: readonly number[];
}

export interface CakeMoisture {
  readonly hours: readonly number[];
  /** Base to top. */
  readonly layers: readonly CakeLayer[];
  /** Water activity through the cake at each sampled hour, base to top. */
  readonly profiles: readonly Float64Array[];
  readonly words: readonly string[];
  readonly assumptions: readonly string[];
}

/** Density of baked crumb [kg/m3] where no measured height is known: 0.46 g/mL was measured for a small pound cake (review, J. Food Process. Technol. 4:278). */
const CRUMB_DENSITY = 460;
/** Densities [kg/m3] of what lies between: whipped to twice its volume, or dense (assumptions). */
const FILLING_DENSITY = { whipped: 500, dense: 1200 } as const;
/** Guillard et al. (2003): 0.5 to 7.5e-10 m2/s in sponge at 20 °C; fillings: none found, a like figure is assumed. */
const DIFFUSIVITY = { cake: 3e-10, filling: 3e-10 } as const;

/**
 * Water moving between the layers of the assembled cake, kept closed.
 *
 * Cake components are split into as many layers as they have tins and stacked with everything else between; the area is that
 * of the first cake component's tin.
 *
 * @param hours  how long, 1 to 24 x 60
 * @returns undefined when there is no cake with a tin, or nothing beside it
 */
export function moistureInCake(formula: Formula, book: IngredientBook, hours = 96): CakeMoisture | undefined {
  const composed = composeFormula(formula, book);
  const cakes = formula.components.flatMap((component, index) =>
    component.kind === "cake" ? [{ component, part: composed.components[index]! }] : [],
  );
  const others = formula.components.flatMap((component, index) =>
    component.kind === "filling" || component.kind === "icing" ? [{ component, part: composed.components[index]! }] : [],
  );
  const cake = cakes[0];
  if (cake === undefined || others.length === 0) return undefined;
  const filling = tinFilling(cake.component, book).value;
  const tin = filling?.tins[0];
  if (filling === undefined || tin === undefined || !(tin.depthMm > 0)) return undefined;
  const count = filling.tins.reduce((sum, { count: many }) => sum + many, 0);
  const areaM2 = (filling.batterMl * 1e-6) / count / (tin.depthMm / 1000);

  const cakePhase = waterPhaseOf(cake.part.finished, cake.component.loss === undefined);
  const crumb = layerOf(
    cake.component.name,
    cakePhase,
    cake.part.finished.totals.fat.amount,
    CRUMB_DENSITY,
    areaM2 * count,
    DIFFUSIVITY.cake,
  );
  const joints = Math.max(1, count - 1);
  const between = others.map(({ component, part }) => {
    const whipped = component.stages.some(({ targets = [] }) => targets.some(({ kind }) => kind === "volume-increase"));
    const phase = waterPhaseOf(part.finished, false);
    return layerOf(
      component.name,
      phase,
      part.finished.totals.fat.amount,
      whipped ? FILLING_DENSITY.whipped : FILLING_DENSITY.dense,
      areaM2 * joints,
      DIFFUSIVITY.filling,
    );
  });
  const usable = between.filter((one) => one !== undefined);
  if (crumb === undefined || usable.length === 0) return undefined;
  const stack = Array.from({ length: count }, (_, index) => (index === 0 ? [crumb] : [...usable, crumb])).flat();
  if (count === 1) stack.push(...usable);

  const profiles = moistureBetweenLayers(
    stack.map(({ layer }) => layer),
    { hours, sampleEveryHours: Math.max(1, hours / 24), cellsPerLayer: 16 },
  );
  const layers = stack.map(({ layer, wholePerDry }, index): CakeLayer => {
    const water = profiles.map(({ meanWater }) => meanWater[index]!);
    return {
      name: layer.name,
      thicknessMm: layer.thicknessM * 1000,
      waterPercent: water.map((value) => (100 * value) / (value + wholePerDry)),
      activity: profiles.map(
        ({ activity }) => activity.subarray(index * 16, (index + 1) * 16).reduce((sum, value) => sum + value, 0) / 16,
      ),
    };
  });
  return {
    hours: profiles.map((profile) => profile.hours),
    layers,
    profiles: profiles.map(({ activity }) => activity),
    words: wordsFor(layers, profiles.at(-1)!.hours),
    assumptions: [
      "Closed cake at 20 °C; water diffuses through crumb at 3e-10 m2/s (published range 0.5 to 7.5e-10; times scale with it).",
      "No figure was found for fillings: the same is assumed. Fat slows it down.",
      "Crumb weighs 0.46 g/mL, whipped filling 0.5, dense filling 1.2.",
      ...cakePhase.assumptions,
    ],
  };
}

interface StackLayer {
  readonly layer: Layer;
  /** Dry solids and fat over dry solids: what water is a percent of. */
  readonly wholePerDry: number;
}

function layerOf(
  name: string,
  { phase, drySolidsGrams }: ReadPhase,
  fatGrams: number,
  density: number,
  areaM2: number,
  diffusivityM2PerS: number,
): StackLayer | undefined {
  if (!(drySolidsGrams > 0 && phase.waterGrams > 0)) return undefined;
  const totalKg = (drySolidsGrams + phase.waterGrams + fatGrams) / 1000;
  const volume = totalKg / density;
  const activityAt = tabulated(
    (waterKgPerKg) => waterActivity({ ...phase, waterGrams: waterKgPerKg * drySolidsGrams })?.activity.likely ?? 0,
  );
  return {
    layer: {
      name,
      thicknessM: volume / areaM2,
      drySolidsKgPerM3: drySolidsGrams / 1000 / volume,
      waterKgPerKg: phase.waterGrams / drySolidsGrams,
      diffusivityM2PerS,
      activity: activityAt,
    },
    wholePerDry: (drySolidsGrams + fatGrams) / drySolidsGrams,
  };
}

/** The activity of a layer is asked thousands of times: a table with straight lines between is near enough (1e-4) and fast. */
function tabulated(activity: (waterKgPerKg: number) => number): (waterKgPerKg: number) => number {
  const points = Array.from({ length: 97 }, (_, index) => (index / 96) ** 2 * 6); // denser where it is dry, up to 6 kg/kg
  const values = points.map((water) => (water === 0 ? 0 : activity(water)));
  // An undissolved sugar keeps the solution saturated and the line level: a slight slope keeps the equation solvable.
  for (let index = 1; index < values.length; index += 1) values[index] = Math.max(values[index]!, values[index - 1]! + 1e-6);
  return (water) => {
    const place = Math.min(95.999_999, Math.sqrt(Math.max(0, water) / 6) * 96);
    const index = Math.floor(place);
    const [left, right] = [points[index]!, points[index + 1]!];
    const share = (water - left) / (right - left);
    return values[index]! + share * (values[index + 1]! - values[index]!);
  };
}

function wordsFor(layers: readonly CakeLayer[], hours: number): readonly string[] {
  return [...new Set(layers.map(({ name }) => name))].flatMap((name) => {
    const layer = layers.find((one) => one.name === name)!;
    const change = layer.waterPercent.at(-1)! - layer.waterPercent[0]!;
    if (Math.abs(change) < 0.3) return [`${name} keeps its water (within 0.3 %) for ${Math.round(hours)} hours.`];
    return [
      `${name} ${change > 0 ? "takes up" : "gives away"} water: ${layer.waterPercent[0]!.toFixed(1)} % to ${layer.waterPercent.at(-1)!.toFixed(1)} % in ${Math.round(hours)} hours.`,
    ];
  });
}
