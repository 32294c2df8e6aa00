import type { ContourMap, EffectLine, PairedDots, ResidualPicture, TernaryMap } from "@evencrumb/core/trials";
import { plain } from "./settingWords.js";

// Plain SVG from plain numbers. Sizes are in the units of the picture, which is as wide as its place.

interface Scale {
  readonly at: (value: number) => number;
  readonly ticks: readonly number[];
}

/** A straight scale with four to seven round marks. */
function scaleOf(values: readonly number[], from: number, to: number): Scale {
  const known = values.filter(Number.isFinite);
  let [low, high] = [Math.min(...known), Math.max(...known)];
  if (!(high > low)) [low, high] = [low - 1, high + 1];
  const room = (high - low) * 0.06;
  [low, high] = [low - room, high + room];
  const raw = (high - low) / 6;
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = [1, 2, 5, 10].map((times) => times * power).find((size) => size >= raw)!;
  const ticks: number[] = [];
  for (let tick = Math.ceil(low / step) * step; tick <= high + 1e-12; tick += step) ticks.push(Number(tick.toPrecision(10)));
  return { at: (value) => from + ((value - low) / (high - low)) * (to - from), ticks };
}

/** Each day, load or taster as a line from the first cake to the second. */
export function PairedPicture({ names, pairs, unit, label }: PairedDots & { unit: string; label: string }) {
  const [width, height] = [640, 340];
  const y = scaleOf(
    pairs.flatMap(({ first, second }) => [first, second]),
    height - 46,
    16,
  );
  const [left, right] = [200, 440];
  return (
    <svg className="picture" viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label}>
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

function Marks({ scale, x1, x2, unit }: { scale: Scale; x1: number; x2: number; unit: string }) {
  return (
    <g className="marks">
      {scale.ticks.map((tick, index) => (
        <g key={tick}>
          <line x1={x1} x2={x2} y1={scale.at(tick)} y2={scale.at(tick)} />
          <text x={x1 - 8} y={scale.at(tick) + 5} textAnchor="end">
            {plain(tick, 3)}
            {index === scale.ticks.length - 1 ? ` ${unit}` : ""}
          </text>
        </g>
      ))}
    </g>
  );
}

/** How the response moves with each thing that was changed, all on one scale; the band is where the mean may lie. */
export function EffectsPicture({
  lines,
  unit,
  baked,
  label,
}: {
  lines: readonly EffectLine[];
  unit: string;
  /** What was measured, for each factor: where it stood, and the figure. */
  baked: readonly {
    readonly factor: string;
    readonly points: readonly { readonly at: number | string; readonly value: number }[];
  }[];
  label: string;
}) {
  const all = lines.flatMap((line) =>
    line.points.flatMap(({ estimate, from, to }) => [estimate, from ?? estimate, to ?? estimate]),
  );
  const measured = baked.flatMap(({ points }) => points.map(({ value }) => value));
  const height = 250;
  return (
    <div className="effects" role="img" aria-label={label}>
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
            {dots.map((dot, index) => {
              const place = line.points.findIndex(({ at: level }) => level === dot.at);
              return (
                // biome-ignore lint/suspicious/noArrayIndexKey: a dot has no other identity than its place
                <circle key={index} className="baked" cx={at(dot.at, place)} cy={y.at(dot.value)} r="3.6" />
              );
            })}
            {band && x !== null ? (
              <path
                className="band"
                d={`M${line.points.map((point, index) => `${at(point.at, index)} ${y.at(point.to!)}`).join("L")}L${line.points
                  .map((point, index) => `${at(point.at, index)} ${y.at(point.from!)}`)
                  .reverse()
                  .join("L")}Z`}
              />
            ) : null}
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

const BANDS = 9;
const STEPS = [...Array(BANDS).keys()];
/** Steps of one colour, from paper to accent: the order is seen without a key, in both lights. */
const shade = (share: number): string =>
  `color-mix(in oklab, var(--accent) ${Math.round(8 + 72 * Math.min(1, Math.max(0, share)))}%, var(--paper))`;

function bandOf(values: readonly number[]) {
  const known = values.filter(Number.isFinite);
  const [low, high] = [Math.min(...known), Math.max(...known)];
  const step = (high - low) / BANDS || 1;
  return {
    low,
    high,
    shade: (value: number) => shade(Math.min(BANDS - 1, Math.floor((value - low) / step)) / (BANDS - 1)),
  };
}

function Key({ low, high, unit, x, y, width }: { low: number; high: number; unit: string; x: number; y: number; width: number }) {
  return (
    <g>
      {STEPS.map((band) => (
        <rect
          key={band}
          x={x + (band * width) / BANDS}
          y={y}
          width={width / BANDS + 0.5}
          height={12}
          fill={shade(band / (BANDS - 1))}
        />
      ))}
      <text x={x} y={y + 30}>
        {plain(low, 1)}
      </text>
      <text x={x + width} y={y + 30} textAnchor="end">
        {plain(high, 1)} {unit}
      </text>
    </g>
  );
}

/** Predicted response over two amounts, in steps of one colour; what was baked as rings, the best as a cross. */
export function ContourPicture({
  map,
  unit,
  best,
  label,
}: {
  map: ContourMap;
  unit: string;
  best?: { readonly x: number; readonly y: number } | undefined;
  label: string;
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
    <svg className="picture" viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label}>
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

const Cross = ({ x, y }: { x: number; y: number }) => (
  <path className="best" d={`M${x - 9} ${y}H${x + 9}M${x} ${y - 9}V${y + 9}`}>
    <title>best</title>
  </path>
);

/** Predicted response over three shares; what the limits hold out is greyed. */
export function TernaryPicture({
  map,
  unit,
  best,
  label,
}: {
  map: TernaryMap;
  unit: string;
  best?: readonly number[] | undefined;
  label: string;
}) {
  const [size, left, top] = [420, 110, 44];
  const at = ({ x, y }: { readonly x: number; readonly y: number }) =>
    [left + x * size, top + (Math.sqrt(3) / 2 - y) * size] as const;
  const allowed = map.points.filter(({ allowed: is }) => is).map(({ estimate }) => estimate);
  const bands = bandOf(allowed.length > 0 ? allowed : map.points.map(({ estimate }) => estimate));
  const bestAt =
    best === undefined
      ? undefined
      : { x: best[2]! / map.total + best[0]! / map.total / 2, y: (best[0]! / map.total) * (Math.sqrt(3) / 2) };
  return (
    <svg className="picture" viewBox="0 0 640 480" role="img" aria-label={label}>
      <g>
        {map.triangles.map((triangle) => {
          const corners = triangle.map((index) => map.points[index]!);
          const inside = corners.every(({ allowed: is }) => is);
          const mean = corners.reduce((sum, { estimate }) => sum + estimate, 0) / 3;
          return (
            <polygon
              key={triangle.join("-")}
              points={corners.map((corner) => at(corner).join(",")).join(" ")}
              fill={inside ? bands.shade(mean) : "var(--sunk)"}
              stroke={inside ? bands.shade(mean) : "var(--sunk)"}
              strokeWidth="0.8"
            />
          );
        })}
      </g>
      <polygon
        className="frame"
        points={[
          { x: 0.5, y: Math.sqrt(3) / 2 },
          { x: 0, y: 0 },
          { x: 1, y: 0 },
        ]
          .map((corner) => at(corner).join(","))
          .join(" ")}
      />
      {map.baked.map((point, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: a dot has no other identity than its place
        <circle key={index} className="ring" cx={at(point)[0]} cy={at(point)[1]} r="5" />
      ))}
      {bestAt === undefined ? null : <Cross x={at(bestAt)[0]} y={at(bestAt)[1]} />}
      <text x={left + size / 2} y={30} textAnchor="middle" className="name">
        all {short(map.corners[0], 28)}
      </text>
      <text x={left - 6} y={top + 0.866 * size + 26} textAnchor="middle" className="name">
        all {short(map.corners[1], 24)}
      </text>
      <text x={left + size + 6} y={top + 0.866 * size + 26} textAnchor="middle" className="name">
        all {short(map.corners[2], 24)}
      </text>
      <Key low={bands.low} high={bands.high} unit={unit} x={430} y={60} width={180} />
    </svg>
  );
}

/** Residuals against the prediction, and against what normal errors would give. */
export function ResidualsPicture({ picture, unit }: { picture: ResidualPicture; unit: string }) {
  const values = picture.rows.map(({ studentised }) => studentised);
  const y = scaleOf([...values, -2, 2], 210, 12);
  const fitted = scaleOf(
    picture.rows.map((row) => row.fitted),
    64,
    290,
  );
  const normal = scaleOf(
    picture.normal.map((row) => row.quantile),
    64,
    290,
  );
  return (
    <div className="effects" role="img" aria-label="Residuals against the prediction, and against a normal spread">
      <svg className="picture" viewBox="0 0 300 250" aria-hidden="true">
        <Marks scale={y} x1={58} x2={296} unit="" />
        {picture.rows.map((row) => (
          <circle key={row.runIndex} className="baked" cx={fitted.at(row.fitted)} cy={y.at(row.studentised)} r="4" />
        ))}
        {fitted.ticks.map((tick) => (
          <text key={tick} x={fitted.at(tick)} y={228} textAnchor="middle">
            {plain(tick, 2)}
          </text>
        ))}
        <text x={177} y={246} textAnchor="middle" className="name">
          predicted, {unit}
        </text>
      </svg>
      <svg className="picture" viewBox="0 0 300 250" aria-hidden="true">
        <Marks scale={y} x1={58} x2={296} unit="" />
        <line className="mean thin" x1={normal.at(-2)} x2={normal.at(2)} y1={y.at(-2)} y2={y.at(2)} />
        {picture.normal.map((row) => (
          <circle key={row.runIndex} className="baked" cx={normal.at(row.quantile)} cy={y.at(row.studentised)} r="4" />
        ))}
        <text x={177} y={246} textAnchor="middle" className="name">
          if the errors are normal
        </text>
      </svg>
    </div>
  );
}

/** One dot for each taster who answered: filled for a right answer, or for the second cake. */
export function TasterDots({ marked, of, line, label }: { marked: number; of: number; line: number; label: string }) {
  const columns = Math.min(of, 20);
  const rows = Math.ceil(of / columns);
  const step = Math.min(44, 600 / columns);
  return (
    <svg className="picture dots" viewBox={`0 0 640 ${rows * step + 40}`} role="img" aria-label={label}>
      {Array.from({ length: of }, (_, index) => (
        <circle
          // biome-ignore lint/suspicious/noArrayIndexKey: a dot stands for any taster
          key={index}
          className={index < marked ? "estimate" : "ring"}
          cx={20 + step / 2 + (index % columns) * step}
          cy={step / 2 + Math.floor(index / columns) * step}
          r={step * 0.34}
        />
      ))}
      {rows === 1 ? (
        <>
          <line className="mean" x1={20 + line * step} x2={20 + line * step} y1={0} y2={step + 6} />
          <text x={20 + line * step} y={step + 26} textAnchor="middle">
            by guessing
          </text>
        </>
      ) : null}
    </svg>
  );
}

/** Means of several with their intervals. */
export function MeansPicture({
  groups,
  unit,
  label,
}: {
  groups: readonly { readonly name: string; readonly mean: number; readonly from: number; readonly to: number }[];
  unit: string;
  label: string;
}) {
  const height = groups.length * 44 + 40;
  const x = scaleOf(
    groups.flatMap(({ from, to }) => [from, to]),
    220,
    610,
  );
  return (
    <svg className="picture" viewBox={`0 0 640 ${height}`} role="img" aria-label={label}>
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

const short = (text: string, most: number): string => (text.length <= most ? text : `${text.slice(0, Math.max(1, most - 1))}…`);
