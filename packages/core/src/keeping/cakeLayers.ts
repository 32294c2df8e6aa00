import { type Composition, composeFormula } from "../composition/index.js";
import type { Formula } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import { type AssembledLayer, type AssembleOptions, assembleCake, laidApart } from "./assembly.js";
import { type Layer, moistureBetweenLayers } from "./layers.js";
import { partOf, perishableOf } from "./perishable.js";
import { likelyActivity } from "./waterActivity.js";
import { type ReadPhase, soakedWith, waterPhaseOf } from "./waterPhase.js";

export interface CakeLayer {
  readonly name: string;
  readonly thicknessMm: number;
  /** Water as percent of the layer's weight, at the start and at each sampled hour. */
  readonly waterPercent: readonly number[];
  /** Mean water activity at each sampled hour. */
  readonly activity: readonly number[];
}

export interface MoistureOptions extends AssembleOptions {
  /** Where it is kept [°C], 0 to 30; 5 when something in it has to be cold, 20 otherwise. */
  readonly keptC?: number;
}

export interface CakeMoisture {
  /** Where it was taken to be kept [°C]. */
  readonly keptC: number;
  readonly hours: readonly number[];
  /** Base to top. */
  readonly layers: readonly CakeLayer[];
  /** Water activity through the cake at each sampled hour, base to top, `cellsPerLayer` cells a layer. */
  readonly profiles: readonly Float64Array[];
  readonly cellsPerLayer: number;
  readonly words: readonly string[];
  readonly assumptions: readonly string[];
}

/** Guillard et al. (2003): 0.5 to 7.5e-10 m2/s in sponge at 20 °C; fillings: none found, a like figure is assumed. */
const DIFFUSIVITY_M2_PER_S = 3e-10;
/**
 * Fat slows water down (Roca et al. 2006, 2008, as cited in a thesis; direction only). How much is an assumption: with the fourth
 * power of the fat-free share, a tenth of the figure in whipped double cream. Without it cream would give away most of its
 * water in four days, which no baker has seen.
 */
const slowedByFat = (fatShare: number) => (1 - Math.min(0.9, fatShare)) ** 4;
/** Guillard et al. (2003): activation energy 84 to 128 kJ/mol by moisture, measured from 5 to 25 °C; the middle [J/mol]. */
const ACTIVATION_J_PER_MOL = 106e3;
/** Where a cake is kept [°C]: what has to be cold in the refrigerator, everything else at room. */
const KEPT_C = { chilled: 5, room: 20 } as const;

/** Diffusivity of water in crumb [m2/s] at a temperature [°C]. */
function crumbDiffusivity(temperatureC: number): number {
  const GAS_J_PER_MOL_K = 8.314;
  return DIFFUSIVITY_M2_PER_S * Math.exp((-ACTIVATION_J_PER_MOL / GAS_J_PER_MOL_K) * (1 / (temperatureC + 273.15) - 1 / 293.15));
}
const CELLS_PER_LAYER = 16;
/** A dusting of sugar is no layer that water could move through. */
const THINNEST_MM = 0.5;

/**
 * Water moving between the layers of the assembled cake, kept closed.
 *
 * @param hours  how long, 1 to 24 x 60
 * @returns  undefined when there is no cake with a tin, or nothing wet beside it
 * @throws RangeError for hours or a temperature outside their ranges
 */
export function moistureInCake(
  given: Formula,
  book: IngredientBook,
  hours = 96,
  options: MoistureOptions = {},
): CakeMoisture | undefined {
  const isCold = given.components.some((component) => perishableOf(partOf(component, book)) !== undefined);
  const temperatureC = options.keptC ?? (isCold ? KEPT_C.chilled : KEPT_C.room);
  if (!(temperatureC >= 0 && temperatureC <= 30))
    throw new RangeError(`moistureInCake: ${temperatureC} °C is not within 0 to 30`);
  const diffusivity = crumbDiffusivity(temperatureC);
  if (!(hours >= 1 && hours <= 24 * 60)) throw new RangeError(`moistureInCake: ${hours} hours are not within 1 to 1440`);
  // Taken apart here too, so that the layers' places are those of this formula.
  const { formula } = laidApart(given);
  const cake = assembleCake(formula, book, options).value;
  if (cake === undefined) return undefined;
  const composed = composeFormula(formula, book);
  const finished = composed.components.map((part) => part.finished);
  const phases = formula.components.map((component, index) =>
    waterPhaseOf(finished[index]!, component.kind === "cake" && component.loss === undefined),
  );
  const soaked = formula.components.map((component, index) =>
    component.kind === "cake" ? soaking(formula, finished, phases, index) : phases[index]!,
  );
  const stack = cake.layers.flatMap((layer) => {
    if (layer.role === "coating" || layer.thicknessMm.likely < THINNEST_MM) return [];
    return stackLayer(layer, soaked[layer.componentIndex]!, finished[layer.componentIndex]!, diffusivity) ?? [];
  });
  if (stack.length < 2) return undefined;

  const profiles = moistureBetweenLayers(
    stack.map(({ layer }) => layer),
    { hours, sampleEveryHours: Math.max(1, hours / 24), cellsPerLayer: CELLS_PER_LAYER },
  );
  const layers = stack.map(({ layer, wholePerDry }, index): CakeLayer => {
    const water = profiles.map(({ meanWater }) => meanWater[index]!);
    const cells = (activity: Float64Array) => activity.subarray(index * CELLS_PER_LAYER, (index + 1) * CELLS_PER_LAYER);
    return {
      name: layer.name,
      thicknessMm: layer.thicknessM * 1000,
      waterPercent: water.map((value) => (100 * value) / (value + wholePerDry)),
      activity: profiles.map(({ activity }) => cells(activity).reduce((sum, value) => sum + value, 0) / CELLS_PER_LAYER),
    };
  });
  const read = new Set(cake.layers.flatMap(({ componentIndex }) => soaked[componentIndex]!.assumptions));
  return {
    keptC: temperatureC,
    hours: profiles.map((profile) => profile.hours),
    layers,
    profiles: profiles.map(({ activity }) => activity),
    cellsPerLayer: CELLS_PER_LAYER,
    words: wordsFor(layers, profiles.at(-1)!.hours),
    assumptions: [
      `Closed cake kept at ${temperatureC} °C; water diffuses through crumb at 3e-10 m2/s at 20 °C (published range 0.5 to 7.5e-10; times scale with it), slower in the cold by 106 kJ/mol (published 84 to 128).`,
      "No figure was found for fillings: the same is assumed without fat, a tenth of it in whipped double cream. Take the times as a rough guide.",
      "Each component counts as evenly mixed, but for stages of a filling that are called spread or layer.",
      ...cake.assumptions,
      ...read,
    ],
  };
}

/** The cake's water with all syrups soaked in, shared out over all cakes by weight. */
function soaking(formula: Formula, finished: readonly Composition[], phases: readonly ReadPhase[], cakeIndex: number): ReadPhase {
  const cakeGrams = formula.components.reduce(
    (sum, { kind }, index) => sum + (kind === "cake" ? finished[index]!.totalGrams : 0),
    0,
  );
  return formula.components.reduce(
    (phase, { kind, name }, index) =>
      kind === "syrup" && cakeGrams > 0 ? soakedWith(phase, name, phases[index]!, 1 / cakeGrams) : phase,
    phases[cakeIndex]!,
  );
}

interface StackLayer {
  readonly layer: Layer;
  /** Dry solids and fat over dry solids: what water is a percent of. */
  readonly wholePerDry: number;
}

function stackLayer(
  { name, role, thicknessMm, grams, volumeMl }: AssembledLayer,
  { phase, drySolidsGrams }: ReadPhase,
  finished: Composition,
  diffusivityM2PerS: number,
): StackLayer | undefined {
  if (!(drySolidsGrams > 0 && phase.waterGrams > 0)) return undefined;
  const fatGrams = finished.totals.fat.amount;
  const dryShare = drySolidsGrams / (drySolidsGrams + phase.waterGrams + fatGrams);
  const activityAt = tabulated((waterKgPerKg) => likelyActivity({ ...phase, waterGrams: waterKgPerKg * drySolidsGrams }) ?? 0);
  return {
    layer: {
      name,
      thicknessM: thicknessMm.likely / 1000,
      drySolidsKgPerM3: (1000 * grams * dryShare) / volumeMl.likely,
      waterKgPerKg: phase.waterGrams / drySolidsGrams,
      diffusivityM2PerS:
        role === "crumb"
          ? diffusivityM2PerS
          : diffusivityM2PerS * slowedByFat(fatGrams / (drySolidsGrams + phase.waterGrams + fatGrams)),
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

/** Layers of one name that do alike are told together, others by their place from the base. */
function wordsFor(layers: readonly CakeLayer[], hours: number): readonly string[] {
  return [...new Set(layers.map(({ name }) => name))].flatMap((name) => {
    const alike = layers.filter((one) => one.name === name);
    const change = ({ waterPercent }: CakeLayer) => waterPercent.at(-1)! - waterPercent[0]!;
    const changes = alike.map(change);
    if (Math.max(...changes) - Math.min(...changes) < SAME_PERCENT) return [layerWords(name, alike[0]!, hours)];
    return alike.map((layer) => layerWords(`${name}, layer ${layers.indexOf(layer) + 1} from the base`, layer, hours));
  });
}

/** Differences of water below this are not told [% of the weight]. */
const SAME_PERCENT = 0.3;

function layerWords(name: string, { waterPercent }: CakeLayer, hours: number): string {
  const [first, last] = [waterPercent[0]!, waterPercent.at(-1)!];
  const time = hours % 24 === 0 ? `${hours / 24} ${hours === 24 ? "day" : "days"}` : `${Math.round(hours)} hours`;
  if (Math.abs(last - first) < SAME_PERCENT) return `${name}: water kept (within 0.3 %) for ${time}.`;
  return `${name}: water ${last > first ? "taken up" : "given away"}, ${first.toFixed(1)} % to ${last.toFixed(1)} % in ${time}.`;
}
