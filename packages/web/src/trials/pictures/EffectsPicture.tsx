import type { EffectLine } from "@evencrumb/core/trials";
import { plain } from "../settingWords.js";
import { Marks, scaleOf, short, type Told } from "./scale.js";

/** How the response moves with each thing that was changed, all on one scale; the band is where the mean may lie. */
export function EffectsPicture({
  lines,
  unit,
  baked,
  label,
  describedBy,
}: Told & {
  lines: readonly EffectLine[];
  unit: string;
  /** What was measured, for each factor: where it stood, and the figure. */
  baked: readonly {
    readonly factor: string;
    readonly points: readonly { readonly at: number | string; readonly value: number }[];
  }[];
}) {
  const all = lines.flatMap((line) =>
    line.points.flatMap(({ estimate, from, to, single }) => [
      estimate,
      single?.from ?? from ?? estimate,
      single?.to ?? to ?? estimate,
    ]),
  );
  const measured = baked.flatMap(({ points }) => points.map(({ value }) => value));
  const height = 250;
  return (
    <div className="effects" role="img" aria-label={label} aria-describedby={describedBy}>
      {lines.map((line) => {
        const y = scaleOf([...all, ...measured], height - 44, 12);
        const numbers = line.points.every(({ at }) => typeof at === "number");
        const x = numbers
          ? scaleOf(
              line.points.map(({ at }) => Number(at)),
              64,
              290,
            )
          : null;
        const at = (place: number | string, index: number) =>
          x === null ? 64 + ((index + 0.5) * 226) / line.points.length : x.at(Number(place));
        const band = line.points.every(({ from }) => from !== undefined);
        const shown = line.unit === "share" ? (value: number) => plain(value * 100, 0) : (value: number) => plain(value, 2);
        const dots = baked.find(({ factor }) => factor === line.factor)?.points ?? [];
        return (
          <svg key={line.factor} className="picture" viewBox={`0 0 300 ${height}`} aria-hidden="true">
            <Marks scale={y} x1={58} x2={296} unit={unit} />
            {x !== null && line.points.every(({ single }) => single !== undefined) ? (
              <path
                className="band one"
                d={`M${line.points.map((point, index) => `${at(point.at, index)} ${y.at(point.single!.to)}`).join("L")}L${line.points
                  .map((point, index) => `${at(point.at, index)} ${y.at(point.single!.from)}`)
                  .reverse()
                  .join("L")}Z`}
              />
            ) : null}
            {band && x !== null ? (
              <path
                className="band"
                d={`M${line.points.map((point, index) => `${at(point.at, index)} ${y.at(point.to!)}`).join("L")}L${line.points
                  .map((point, index) => `${at(point.at, index)} ${y.at(point.from!)}`)
                  .reverse()
                  .join("L")}Z`}
              />
            ) : null}
            {dots.map((dot, index) => {
              const place = line.points.findIndex(({ at: level }) => level === dot.at);
              return (
                // biome-ignore lint/suspicious/noArrayIndexKey: a dot has no other identity than its place
                <circle key={index} className="baked" cx={at(dot.at, place)} cy={y.at(dot.value)} r="3.6" />
              );
            })}
            {x === null ? (
              line.points.map((point, index) => (
                <g key={String(point.at)}>
                  {point.from === undefined ? null : (
                    <line
                      className="whisker"
                      x1={at(point.at, index)}
                      x2={at(point.at, index)}
                      y1={y.at(point.from)}
                      y2={y.at(point.to!)}
                    />
                  )}
                  <circle className="estimate" cx={at(point.at, index)} cy={y.at(point.estimate)} r="5" />
                  <text x={at(point.at, index)} y={height - 24} textAnchor="middle">
                    {short(String(point.at), Math.floor(34 / line.points.length))}
                  </text>
                </g>
              ))
            ) : (
              <>
                <path
                  className="curve"
                  d={`M${line.points.map((point, index) => `${at(point.at, index)} ${y.at(point.estimate)}`).join("L")}`}
                />
                {x.ticks
                  .filter((tick) => x.at(tick) >= 62 && x.at(tick) <= 292)
                  .map((tick) => (
                    <text key={tick} x={x.at(tick)} y={height - 24} textAnchor="middle">
                      {shown(tick)}
                    </text>
                  ))}
              </>
            )}
            <text x={177} y={height - 6} textAnchor="middle" className="name">
              {short(line.factor, 30)}
              {line.unit === "share" ? ", %" : line.unit === "" ? "" : `, ${line.unit}`}
            </text>
          </svg>
        );
      })}
    </div>
  );
}
