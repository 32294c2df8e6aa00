import { plain } from "../settingWords.js";

const [WIDTH, HEIGHT, LEFT, BOTTOM, TOP] = [420, 170, 44, 34, 12];

/**
 * How sure predictions are over the whole of what is explored: the variance of a predicted mean, against that of one bake, that so much of
 * the region stays below. Flat and low is good.
 *
 * @param quantiles  at 0, 10, ..., 100 % of the region
 */
export function VariancePicture({ quantiles }: { quantiles: readonly number[] }) {
  const worst = quantiles.at(-1);
  if (worst === undefined || !Number.isFinite(worst)) return null;
  const most = Math.max(1, Math.ceil(worst * 2) / 2);
  const x = (index: number) => LEFT + (index / (quantiles.length - 1)) * (WIDTH - LEFT - 10);
  const y = (value: number) => TOP + (1 - value / most) * (HEIGHT - TOP - BOTTOM);
  const line = quantiles
    .map((value, index) => `${index === 0 ? "M" : "L"}${x(index).toFixed(1)} ${y(value).toFixed(1)}`)
    .join(" ");
  const half = quantiles[5]!;
  return (
    <figure className="shown">
      <svg
        className="picture"
        viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
        role="img"
        aria-label={`Variance of a predicted mean over what is explored: half of it below ${plain(half, 2)}, all of it below ${plain(worst, 2)} of that of one bake.`}
      >
        <g className="marks">
          {[0, most / 2, most].map((value) => (
            <g key={value}>
              <line x1={LEFT} x2={WIDTH - 10} y1={y(value)} y2={y(value)} />
              <text x={LEFT - 8} y={y(value) + 5} textAnchor="end">
                {plain(value, 2)}
              </text>
            </g>
          ))}
          {[0, 5, 10].map((index) => (
            <text key={index} x={x(index)} y={HEIGHT - 10} textAnchor={index === 10 ? "end" : "middle"}>
              {index * 10} %
            </text>
          ))}
        </g>
        {most > 1 ? <line className="one-bake" x1={LEFT} x2={WIDTH - 10} y1={y(1)} y2={y(1)} /> : null}
        <path className="curve" d={line} />
      </svg>
      <figcaption className="muted small">
        Across: how much of what is explored. Up: the variance of a prediction there, against that of one bake. Flat and low is
        good.
      </figcaption>
    </figure>
  );
}
