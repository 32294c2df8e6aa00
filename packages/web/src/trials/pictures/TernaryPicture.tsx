import { type TernaryMap, ternaryPlace } from "@evencrumb/core/trials";
import { useId } from "react";
import { plain } from "../settingWords.js";
import { bandOf, Cross, Key } from "./bands.js";
import { short, type Told } from "./scale.js";

/** Predicted response over three shares; what the limits hold out is greyed. */
export function TernaryPicture({
  map,
  unit,
  best,
  label,
  describedBy,
}: Told & {
  map: TernaryMap;
  unit: string;
  best?: readonly number[] | undefined;
}) {
  const [size, left, top] = [420, 110, 44];
  const at = ({ x, y }: { readonly x: number; readonly y: number }) =>
    [left + x * size, top + (Math.sqrt(3) / 2 - y) * size] as const;
  const allowed = map.points.filter(({ allowed: is }) => is).map(({ estimate }) => estimate);
  const bands = bandOf(allowed.length > 0 ? allowed : map.points.map(({ estimate }) => estimate));
  const bestAt = best === undefined ? undefined : ternaryPlace(map, best);
  const clip = useId();
  const outline = (places: readonly { readonly x: number; readonly y: number }[]) =>
    places.map((place) => at(place).join(",")).join(" ");
  const frame = [
    { x: 0.5, y: Math.sqrt(3) / 2 },
    { x: 0, y: 0 },
    { x: 1, y: 0 },
  ];
  const corner = (index: 0 | 1 | 2) =>
    map.most[index] > 0.9999
      ? `all ${short(map.corners[index], 26)}`
      : `${plain(map.most[index] * 100, 0)} % ${short(map.corners[index], 24)}`;
  return (
    <svg className="picture" viewBox="0 0 640 480" role="img" aria-label={label} aria-describedby={describedBy}>
      <clipPath id={clip}>
        <polygon points={outline(map.border)} />
      </clipPath>
      <polygon className="held-out" points={outline(frame)} />
      <g clipPath={`url(#${clip})`}>
        {map.triangles.map((triangle) => {
          const corners = triangle.map((index) => map.points[index]!);
          // Wholly outside: the grey of the frame is all there is to see.
          if (corners.every(({ allowed: is }) => !is)) return null;
          const colour = bands.shade(corners.reduce((sum, { estimate }) => sum + estimate, 0) / 3);
          return <polygon key={triangle.join("-")} points={outline(corners)} fill={colour} stroke={colour} strokeWidth="0.8" />;
        })}
      </g>
      <polygon className="frame" points={outline(map.border)} />
      <polygon className="frame" points={outline(frame)} />
      {map.baked.map((point, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: a dot has no other identity than its place
        <circle key={index} className="ring" cx={at(point)[0]} cy={at(point)[1]} r="5" />
      ))}
      {bestAt === undefined ? null : <Cross x={at(bestAt)[0]} y={at(bestAt)[1]} />}
      <text x={left + size / 2} y={30} textAnchor="middle" className="name">
        {corner(0)}
      </text>
      <text x={left - 6} y={top + 0.866 * size + 26} textAnchor="middle" className="name">
        {corner(1)}
      </text>
      <text x={left + size + 6} y={top + 0.866 * size + 26} textAnchor="middle" className="name">
        {corner(2)}
      </text>
      <Key low={bands.low} high={bands.high} unit={unit} x={430} y={60} width={180} />
    </svg>
  );
}
