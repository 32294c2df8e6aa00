import type { PairedDots } from "@evencrumb/core/trials";
import { plain } from "../settingWords.js";
import { Marks, scaleOf, short, type Told } from "./scale.js";

/** Each day, load or taster as a line from the first cake to the second. */
export function PairedPicture({ names, pairs, unit, label, describedBy }: PairedDots & Told & { readonly unit: string }) {
  const [width, height] = [640, 340];
  const y = scaleOf(
    pairs.flatMap(({ first, second }) => [first, second]),
    height - 46,
    16,
  );
  const [left, right] = [200, 440];
  return (
    <svg className="picture" viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label} aria-describedby={describedBy}>
      <Marks scale={y} x1={110} x2={width - 110} unit={unit} />
      {pairs.map((pair) => (
        <g key={pair.label} className="pair">
          <title>{`${pair.label}: ${plain(pair.first, 2)} and ${plain(pair.second, 2)} ${unit}`}</title>
          <line x1={left} x2={right} y1={y.at(pair.first)} y2={y.at(pair.second)} />
          <circle cx={left} cy={y.at(pair.first)} r="5.5" />
          <circle cx={right} cy={y.at(pair.second)} r="5.5" />
        </g>
      ))}
      <text x={left} y={height - 16} textAnchor="middle" className="name">
        {short(names[0], 26)}
      </text>
      <text x={right} y={height - 16} textAnchor="middle" className="name">
        {short(names[1], 26)}
      </text>
    </svg>
  );
}
