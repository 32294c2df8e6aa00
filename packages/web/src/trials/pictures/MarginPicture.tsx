import type { MarginPicture as Margin } from "@evencrumb/core/trials";
import { plain } from "../settingWords.js";
import { scaleOf, type Told } from "./scale.js";

/** A difference with its range beside what does not matter: sameness is shown when the whole range lies in the shaded part. */
export function MarginPicture({
  margin,
  unit,
  less,
  more,
  label,
  describedBy,
}: Told & {
  margin: Margin;
  unit: string;
  /** What lies to the left and to the right of nought: "flatter", "taller". */
  less: string;
  more: string;
}) {
  const { estimate, from, to, least, most } = margin;
  const x = scaleOf([from, to, 0, ...(least === undefined ? [] : [least]), ...(most === undefined ? [] : [most])], 40, 600);
  const ends = [...x.ticks.map(x.at), 40, 600];
  const [left, right] = [
    least === undefined ? Math.min(...ends) : x.at(least),
    most === undefined ? Math.max(...ends) : x.at(most),
  ];
  return (
    <svg className="picture" viewBox="0 0 640 170" role="img" aria-label={label} aria-describedby={describedBy}>
      <rect className="harmless" x={left} y={30} width={Math.max(0, right - left)} height={72} />
      {[least, most].map((edge) =>
        edge === undefined ? null : <line key={edge} className="edge" x1={x.at(edge)} x2={x.at(edge)} y1={30} y2={102} />,
      )}
      <text x={(left + right) / 2} y={22} textAnchor="middle">
        does not matter
      </text>
      <line className="mean thin" x1={x.at(0)} x2={x.at(0)} y1={30} y2={110} />
      <line className="whisker thick" x1={x.at(from)} x2={x.at(to)} y1={66} y2={66} />
      <circle className="estimate" cx={x.at(estimate)} cy={66} r="7" />
      {x.ticks.map((tick) => (
        <text key={tick} x={x.at(tick)} y={126} textAnchor="middle">
          {plain(tick, 2).replace("-", "−")}
        </text>
      ))}
      <text x={40} y={156} className="name">
        ‹ {less}
      </text>
      <text x={320} y={156} textAnchor="middle" className="name">
        {unit}
      </text>
      <text x={600} y={156} textAnchor="end" className="name">
        {more} ›
      </text>
    </svg>
  );
}
