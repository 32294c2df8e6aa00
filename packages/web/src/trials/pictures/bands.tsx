import { plain } from "../settingWords.js";

const BANDS = 9;
const STEPS = [...Array(BANDS).keys()];
/** Steps of one colour, from paper to accent: the order is seen without a key, in both lights. */
const shade = (share: number): string =>
  `color-mix(in oklab, var(--accent) ${Math.round(8 + 72 * Math.min(1, Math.max(0, share)))}%, var(--paper))`;

/** The step of colour of a value between the least and the most. */
export function bandOf(values: readonly number[]) {
  const known = values.filter(Number.isFinite);
  const [low, high] = [Math.min(...known), Math.max(...known)];
  const step = (high - low) / BANDS || 1;
  return {
    low,
    high,
    shade: (value: number) => shade(Math.min(BANDS - 1, Math.floor((value - low) / step)) / (BANDS - 1)),
  };
}

/** The steps of colour with the values at their ends. */
export function Key({
  low,
  high,
  unit,
  x,
  y,
  width,
}: {
  low: number;
  high: number;
  unit: string;
  x: number;
  y: number;
  width: number;
}) {
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

/** The best setting. */
export const Cross = ({ x, y }: { x: number; y: number }) => (
  <path className="best" d={`M${x - 9} ${y}H${x + 9}M${x} ${y - 9}V${y + 9}`}>
    <title>best</title>
  </path>
);
