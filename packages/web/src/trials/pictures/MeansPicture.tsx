import { plain } from "../settingWords.js";
import { scaleOf, short, type Told } from "./scale.js";

/** Means of several with their intervals. */
export function MeansPicture({
  groups,
  unit,
  label,
  describedBy,
}: Told & {
  groups: readonly { readonly name: string; readonly mean: number; readonly from: number; readonly to: number }[];
  unit: string;
}) {
  const height = groups.length * 44 + 40;
  const x = scaleOf(
    groups.flatMap(({ from, to }) => [from, to]),
    220,
    610,
  );
  return (
    <svg className="picture" viewBox={`0 0 640 ${height}`} role="img" aria-label={label} aria-describedby={describedBy}>
      {x.ticks.map((tick) => (
        <g key={tick} className="marks">
          <line x1={x.at(tick)} x2={x.at(tick)} y1={6} y2={height - 30} />
          <text x={x.at(tick)} y={height - 10} textAnchor="middle">
            {plain(tick, 2)}
          </text>
        </g>
      ))}
      {groups.map(({ name, mean, from, to }, index) => (
        <g key={name}>
          <text x={204} y={index * 44 + 32} textAnchor="end" className="name">
            {short(name, 24)}
          </text>
          <line className="whisker" x1={x.at(from)} x2={x.at(to)} y1={index * 44 + 27} y2={index * 44 + 27} />
          <circle className="estimate" cx={x.at(mean)} cy={index * 44 + 27} r="6">
            <title>{`${plain(mean, 2)} ${unit}`}</title>
          </circle>
        </g>
      ))}
    </svg>
  );
}
