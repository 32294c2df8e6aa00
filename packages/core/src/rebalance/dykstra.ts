import type { OptimisationModel } from "./model.js";

/**
 * A rough optimum of a small quadratic model that is known to have an answer, for when the general solver breaks off.
 *
 * In units in which every curvature is 1 the optimum is the point of the allowed set nearest to the free optimum; Dykstra's
 * alternating projections (Boyle and Dykstra 1986, from memory) walk there row by row. `polishQuadratic` sharpens and proves it.
 *
 * @param model  every variable with a quadratic cost above 0
 */
export function nearestByProjections(model: OptimisationModel, sweepsMost = 40_000): readonly number[] {
  const unit = model.variables.map(({ quadratic = 0 }) => 1 / Math.sqrt(2 * quadratic));
  const point = Float64Array.from(model.variables, ({ linear }, index) => -linear * unit[index]!);
  const limits = [
    ...model.rows.map(({ terms, lower, upper }) => {
      const entries = terms.map(({ variable, coefficient }) => ({ variable, coefficient: coefficient * unit[variable]! }));
      return { entries, lower, upper };
    }),
    ...model.variables.map(({ lower, upper }, variable) => ({
      entries: [{ variable, coefficient: unit[variable]! }],
      lower,
      upper,
    })),
  ]
    .map((limit) => ({ ...limit, size: limit.entries.reduce((sum, { coefficient }) => sum + coefficient ** 2, 0), pull: 0 }))
    .filter(({ size }) => size > 0);
  for (let sweep = 0; sweep < sweepsMost; sweep += 1) {
    let moved = 0;
    for (const limit of limits) {
      // The correction of the last sweep is taken back before the next projection: without it the walk ends at some allowed point.
      const at = limit.entries.reduce((sum, { variable, coefficient }) => sum + coefficient * point[variable]!, 0);
      const before = at - limit.pull * limit.size;
      const wanted = Math.min(limit.upper, Math.max(limit.lower, before));
      const pull = (wanted - before) / limit.size;
      const step = pull - limit.pull;
      limit.pull = pull;
      for (const { variable, coefficient } of limit.entries) point[variable]! += step * coefficient;
      moved = Math.max(moved, Math.abs(step) * Math.sqrt(limit.size));
    }
    if (moved < 1e-13 * (1 + Math.max(...point.map(Math.abs)))) break;
  }
  return Array.from(point, (value, index) => value * unit[index]!);
}
