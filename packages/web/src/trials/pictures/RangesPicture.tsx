import { plain } from "../settingWords.js";
import { scaleOf, short, type Told } from "./scale.js";

export interface RangeRow {
  readonly name: string;
  readonly unit: string;
  readonly from: number;
  readonly to: number;
  /** What came out, where it did. */
  readonly at?: number;
}

/** A promised range for each measure, on a scale of its own, with what came out and the place of "no difference". */
export function RangesPicture({ rows, label, describedBy }: Told & { rows: readonly RangeRow[] }) {
  const height = rows.length * 86 + 6;
  return (
    <svg className="picture" viewBox={`0 0 640 ${height}`} role="img" aria-label={label} aria-describedby={describedBy}>
      {rows.map(({ name, unit, from, to, at }, index) => {
        const x = scaleOf([from, to, 0, ...(at === undefined ? [] : [at])], 40, 600);
        const top = index * 86;
        const inside = at !== undefined && at >= from && at <= to;
        return (
          <g key={name}>
            <text x={40} y={top + 20} className="name">
              {short(name, 40)}, {unit}
            </text>
            <rect className="harmless" x={x.at(from)} y={top + 30} width={x.at(to) - x.at(from)} height={22} />
            <line className="mean thin" x1={x.at(0)} x2={x.at(0)} y1={top + 26} y2={top + 58} />
            {at === undefined ? null : <circle className={inside ? "estimate" : "ring"} cx={x.at(at)} cy={top + 41} r="8" />}
            {x.ticks.map((tick) => (
              <text key={tick} x={x.at(tick)} y={top + 74} textAnchor="middle">
                {plain(tick, 3).replace("-", "−")}
              </text>
            ))}
          </g>
        );
      })}
    </svg>
  );
}
