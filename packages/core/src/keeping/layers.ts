/** One layer of a cake, from the base up. */
export interface Layer {
  readonly name: string;
  readonly thicknessM: number;
  /** Dry solids without fat per volume of layer [kg/m3]. */
  readonly drySolidsKgPerM3: number;
  /** Water at the start [kg per kg of those dry solids]. */
  readonly waterKgPerKg: number;
  /** Diffusivity of water in the layer [m2/s]. */
  readonly diffusivityM2PerS: number;
  /** Water activity of the layer from its water [kg/kg]; has to rise with water. */
  activity(waterKgPerKg: number): number;
}

export interface LayerProfile {
  readonly hours: number;
  /** Mean water of each layer [kg/kg dry]. */
  readonly meanWater: readonly number[];
  /** Water activity in every cell, base to top, `cellsPerLayer` cells a layer. */
  readonly activity: Float64Array;
  /** Water in every cell [kg/kg dry]. */
  readonly water: Float64Array;
}

export interface LayerOptions {
  readonly hours: number;
  readonly sampleEveryHours: number;
  readonly cellsPerLayer?: number;
}

/**
 * Water moving between the layers of a closed cake: base, top and sides let nothing through.
 *
 * Water goes from high to low water activity, not from wet to dry: the flux is D rho_s (dX/daw) grad(aw) inside a layer,
 * written as a conductance for activity, and both faces of a joint share one activity. Finite volumes, implicit in time
 * (one linearisation a step), so water is conserved to rounding whatever the step.
 *
 * @param layers  base to top, at least one
 * @returns  profiles at 0, `sampleEveryHours`, ... and at the end
 *
 * Source of the equation: Fick's second law; equilibrium in activity and not in water after Labuza and Hyman (1998),
 * Trends Food Sci. Technol. 9, 47. Diffusivity of sponge cake 0.5 to 7.5e-10 m2/s at 20 °C: Guillard et al. (2003), J. Food Sci.,
 * doi 10.1111/j.1365-2621.2003.tb05711.x. None was found for jam, cream or icing.
 */
export function moistureBetweenLayers(layers: readonly Layer[], options: LayerOptions): readonly LayerProfile[] {
  const cells = options.cellsPerLayer ?? 24;
  const count = layers.length * cells;
  const layerOf = (cell: number) => layers[Math.floor(cell / cells)]!;
  const water = Float64Array.from({ length: count }, (_, cell) => layerOf(cell).waterKgPerKg);
  const profiles: LayerProfile[] = [profile(0)];
  const stepHours = Math.min(options.sampleEveryHours / 8, options.hours / 64);

  let hours = 0;
  let nextSample = options.sampleEveryHours;
  while (hours < options.hours - 1e-9) {
    const step = Math.min(stepHours, nextSample - hours, options.hours - hours);
    advance(step * 3600);
    hours += step;
    if (hours >= nextSample - 1e-9 || hours >= options.hours - 1e-9) {
      profiles.push(profile(hours));
      nextSample += options.sampleEveryHours;
    }
  }
  return profiles;

  function profile(atHours: number): LayerProfile {
    return {
      hours: atHours,
      meanWater: layers.map((_, index) => mean(water.subarray(index * cells, (index + 1) * cells))),
      activity: Float64Array.from(water, (value, cell) => layerOf(cell).activity(value)),
      water: Float64Array.from(water),
    };
  }

  /** One implicit step: the unknown is the water of every cell, the activity is taken straight around the old water. */
  function advance(stepSeconds: number): void {
    const activity = new Float64Array(count);
    const slope = new Float64Array(count); // d(activity)/d(water)
    const size = new Float64Array(count); // dry solids in a cell [kg/m2]
    const conductance = new Float64Array(count); // from the middle of a cell to its face [kg/(m2 s) per unit of activity]
    for (let cell = 0; cell < count; cell += 1) {
      const layer = layerOf(cell);
      const value = water[cell]!;
      const nudge = Math.max(1e-6, value * 1e-5);
      activity[cell] = layer.activity(value);
      slope[cell] = Math.max(
        1e-6,
        (layer.activity(value + nudge) - layer.activity(Math.max(0, value - nudge))) /
          (value + nudge - Math.max(0, value - nudge)),
      );
      const width = layer.thicknessM / cells;
      size[cell] = layer.drySolidsKgPerM3 * width;
      conductance[cell] = (layer.diffusivityM2PerS * layer.drySolidsKgPerM3) / slope[cell]! / (width / 2);
    }
    const lower = new Float64Array(count);
    const diagonal = new Float64Array(count).fill(1);
    const upper = new Float64Array(count);
    const change = new Float64Array(count);
    for (let face = 0; face + 1 < count; face += 1) {
      const through = stepSeconds / (1 / conductance[face]! + 1 / conductance[face + 1]!);
      const drive = through * (activity[face + 1]! - activity[face]!);
      change[face]! += drive / size[face]!;
      change[face + 1]! -= drive / size[face + 1]!;
      diagonal[face]! += (through * slope[face]!) / size[face]!;
      upper[face] = -(through * slope[face + 1]!) / size[face]!;
      diagonal[face + 1]! += (through * slope[face + 1]!) / size[face + 1]!;
      lower[face + 1] = -(through * slope[face]!) / size[face + 1]!;
    }
    solveTridiagonal(lower, diagonal, upper, change);
    // Fluxes are recomputed from the solution and not the cells set from it, so that what leaves one cell enters the next exactly.
    for (let face = 0; face + 1 < count; face += 1) {
      const through = stepSeconds / (1 / conductance[face]! + 1 / conductance[face + 1]!);
      const flux =
        through * (activity[face + 1]! + slope[face + 1]! * change[face + 1]! - activity[face]! - slope[face]! * change[face]!);
      water[face]! += flux / size[face]!;
      water[face + 1]! -= flux / size[face + 1]!;
    }
  }
}

const mean = (values: Float64Array) => values.reduce((sum, value) => sum + value, 0) / values.length;

/** Thomas's algorithm; `right` holds the solution afterwards. */
function solveTridiagonal(lower: Float64Array, diagonal: Float64Array, upper: Float64Array, right: Float64Array): void {
  for (let row = 1; row < right.length; row += 1) {
    const factor = lower[row]! / diagonal[row - 1]!;
    diagonal[row]! -= factor * upper[row - 1]!;
    right[row]! -= factor * right[row - 1]!;
  }
  for (let row = right.length - 1; row >= 0; row -= 1) {
    right[row] = (right[row]! - (row + 1 < right.length ? upper[row]! * right[row + 1]! : 0)) / diagonal[row]!;
  }
}
