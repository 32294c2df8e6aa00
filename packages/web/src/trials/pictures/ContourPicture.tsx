import type { ContourMap } from "@evencrumb/core/trials";
import { plain } from "../settingWords.js";
import { bandOf, Cross, Key } from "./bands.js";
import { type Scale, scaleOf, type Told } from "./scale.js";

/** Predicted response over two amounts, in steps of one colour; what was baked as rings, the best as a cross. */
export function ContourPicture({
  map,
  unit,
  best,
  label,
  describedBy,
}: Told & {
  map: ContourMap;
  unit: string;
  best?: { readonly x: number; readonly y: number } | undefined;
}) {
  const [width, height] = [640, 470];
  const x = scaleOf(map.x.values, 90, 610);
  const y = scaleOf(map.y.values, 350, 12);
  const bands = bandOf(map.estimate.flat());
  const cell = (values: readonly number[], index: number, scale: Scale) => {
    const half = (values[1]! - values[0]!) / 2;
    return [scale.at(values[index]! - half), scale.at(values[index]! + half)] as const;
  };
  return (
    <svg className="picture" viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label} aria-describedby={describedBy}>
      <g shapeRendering="crispEdges">
        {map.estimate.map((row, j) => {
          const [y1, y2] = cell(map.y.values, j, y);
          return row.map((value, i) => {
            const [x1, x2] = cell(map.x.values, i, x);
            return (
              <rect
                // biome-ignore lint/suspicious/noArrayIndexKey: a cell has no other identity than its place
                key={`${i}-${j}`}
                x={x1}
                y={y2}
                width={x2 - x1 + 0.6}
                height={y1 - y2 + 0.6}
                fill={bands.shade(value)}
              />
            );
          });
        })}
      </g>
      {map.points.map((point, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: a dot has no other identity than its place
        <circle key={index} className="ring" cx={x.at(point.x)} cy={y.at(point.y)} r="5" />
      ))}
      {best === undefined ? null : <Cross x={x.at(best.x)} y={y.at(best.y)} />}
      {x.ticks.map((tick) => (
        <text key={tick} x={x.at(tick)} y={380} textAnchor="middle">
          {plain(tick, 2)}
        </text>
      ))}
      {y.ticks.map((tick) => (
        <text key={tick} x={76} y={y.at(tick) + 5} textAnchor="end">
          {plain(tick, 2)}
        </text>
      ))}
      <text x={350} y={404} textAnchor="middle" className="name">
        {map.x.factor}
        {map.x.unit === "" ? "" : `, ${map.x.unit}`}
      </text>
      <text x={18} y={181} textAnchor="middle" className="name" transform="rotate(-90 18 181)">
        {map.y.factor}
        {map.y.unit === "" ? "" : `, ${map.y.unit}`}
      </text>
      <Key low={bands.low} high={bands.high} unit={unit} x={90} y={420} width={240} />
    </svg>
  );
}
