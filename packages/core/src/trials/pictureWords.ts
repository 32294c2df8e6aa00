import type { MarginPicture } from "./equivalenceWords.js";
import type { ContourMap, EffectLine, InteractionLines, PairedDots, ResidualPicture, TernaryMap } from "./plots.js";
import { capital, figure, list, percent, signed, tidy } from "./words.js";

// What each picture shows, in words: under it for everyone, and in its place for whoever does not see it.

const round = (value: number): string => tidy(Number(value.toPrecision(3)));

export function pairsInWords({ names, pairs }: PairedDots, unit: string): string {
  const gaps = pairs.map(({ first, second }) => second - first);
  const higher = gaps.filter((gap) => gap > 0).length;
  const step = (Math.max(...gaps) - Math.min(...gaps)) / 10;
  return `${capital(names[1])} is higher in ${higher} of ${pairs.length} pairs; it stands from ${signed(Math.min(...gaps), step)} to ${signed(Math.max(...gaps), step)} ${unit} against ${names[0]}.`;
}

export function marginInWords({ estimate, from, to, least, most }: MarginPicture, unit: string): string {
  const step = (to - from) / 8;
  const harmless =
    least !== undefined && most !== undefined
      ? `between ${signed(least, step)} and ${signed(most, step)} ${unit}`
      : least !== undefined
        ? `above ${signed(least, step)} ${unit}`
        : `below ${signed(most!, step)} ${unit}`;
  const inside = (least === undefined || from > least) && (most === undefined || to < most);
  return `The difference is ${signed(estimate, step)} ${unit}, between ${signed(from, step)} and ${signed(to, step)}. What does not matter lies ${harmless}: the range is ${inside ? "wholly" : "not wholly"} inside it.`;
}

/** One sentence a factor. */
export function effectInWords({ factor, unit, points }: EffectLine, responseUnit: string): string {
  if (points.every(({ at }) => typeof at === "string"))
    return `${capital(factor)}: ${points.map(({ at, estimate }) => `${at} ${round(estimate)} ${responseUnit}`).join(", ")}.`;
  const place = (at: number | string) =>
    unit === "share" ? percent(Number(at)) : `${round(Number(at))}${unit === "" ? "" : ` ${unit}`}`;
  const [first, last] = [points[0]!, points.at(-1)!];
  const top = points.reduce((best, point) => (point.estimate > best.estimate ? point : best));
  const bottom = points.reduce((best, point) => (point.estimate < best.estimate ? point : best));
  const between = [
    ...(top !== first && top !== last ? [`highest ${round(top.estimate)} at ${place(top.at)}`] : []),
    ...(bottom !== first && bottom !== last ? [`lowest ${round(bottom.estimate)} at ${place(bottom.at)}`] : []),
  ];
  return `${capital(factor)}: ${round(first.estimate)} ${responseUnit} at ${place(first.at)}, ${round(last.estimate)} at ${place(last.at)}${between.length === 0 ? "" : `; ${between.join(", ")}`}.`;
}

export function interactionInWords({ x, by, lines }: InteractionLines, unit: string): string {
  const parts = lines.map(({ name, points }) => {
    const [first, last] = [points[0]!.estimate, points.at(-1)!.estimate];
    return `with ${by} ${name} from ${round(first)} to ${round(last)} ${unit}`;
  });
  return `As ${x} goes from its first to its last: ${list(parts)}. Lines that run side by side would mean that neither asks for the other.`;
}

export function contourInWords(map: ContourMap, unit: string): string {
  const cells = map.estimate.flatMap((row, j) =>
    row.map((estimate, i) => ({ estimate, x: map.x.values[i]!, y: map.y.values[j]! })),
  );
  const place = ({ x, y }: { readonly x: number; readonly y: number }) =>
    `${map.x.factor} ${round(x)}${map.x.unit === "" ? "" : ` ${map.x.unit}`} and ${map.y.factor} ${round(y)}${map.y.unit === "" ? "" : ` ${map.y.unit}`}`;
  return extremes(cells, place, unit);
}

export function ternaryInWords(map: TernaryMap, unit: string): string {
  const allowed = map.points.filter((point) => point.allowed);
  if (allowed.length === 0) return "No blend on this map lies within the limits.";
  const out = map.points.length - allowed.length;
  const place = ({ shares }: { readonly shares: readonly number[] }) =>
    list(map.corners.map((corner, index) => `${corner} ${percent(shares[index]!)}`));
  return `${extremes(allowed, place, unit)}${out > 0 ? ` What the limits hold out is grey.` : ""}`;
}

function extremes<Cell extends { readonly estimate: number }>(
  cells: readonly Cell[],
  place: (cell: Cell) => string,
  unit: string,
): string {
  const top = cells.reduce((best, cell) => (cell.estimate > best.estimate ? cell : best));
  const bottom = cells.reduce((best, cell) => (cell.estimate < best.estimate ? cell : best));
  return `Highest, ${round(top.estimate)} ${unit}, at ${place(top)}; lowest, ${round(bottom.estimate)} ${unit}, at ${place(bottom)}.`;
}

/** @param names  name of each run, by its index */
export function residualsInWords({ rows }: ResidualPicture, names: readonly string[]): string {
  const beyond = rows.filter(({ studentised }) => Math.abs(studentised) > 2);
  const farthest = rows.reduce((best, row) => (Math.abs(row.studentised) > Math.abs(best.studentised) ? row : best), rows[0]!);
  return `${beyond.length} of ${rows.length} runs lie more than two spreads off; about ${Math.max(1, Math.round(rows.length / 20))} would by chance. The farthest is ${names[farthest.runIndex] ?? `run ${farthest.runIndex + 1}`}, ${figure(farthest.studentised, 0.5)} spreads off.`;
}

export function meansInWords(
  groups: readonly { readonly name: string; readonly mean: number; readonly from: number; readonly to: number }[],
  unit: string,
): string {
  return `${groups.map(({ name, mean, from, to }) => `${name} ${figure(mean, (to - from) / 8)} ${unit} (${figure(from, (to - from) / 8)} to ${figure(to, (to - from) / 8)})`).join(", ")}.`;
}
