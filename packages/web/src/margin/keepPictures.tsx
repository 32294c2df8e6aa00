import type { CakeMoisture } from "@evencrumb/core/keeping";
import type { Band } from "@evencrumb/core/quantities";

const LEAST = 0.6;
const place = (activity: number) => `${((Math.min(1, Math.max(LEAST, activity)) - LEAST) / (1 - LEAST)) * 100}%`;

/** Water activity on a line from 0.6 to 1, with its band. */
export function ActivityScale({ activity }: { activity: Band }) {
  return (
    <svg
      className="activity-scale"
      role="img"
      aria-label={`Water activity ${activity.likely.toFixed(2)}, between ${activity.from.toFixed(2)} and ${activity.to.toFixed(2)}, on a scale from 0.6 to 1`}
    >
      <line className="scale-track" x1="0" x2="100%" y1="16" y2="16" />
      {[0.6, 0.7, 0.8, 0.9, 1].map((tick) => (
        <g key={tick}>
          <line className="scale-tick" x1={place(tick)} x2={place(tick)} y1="12" y2="20" />
          <text className="scale-word" x={place(tick)} y="34" textAnchor={tick === 0.6 ? "start" : tick === 1 ? "end" : "middle"}>
            {tick.toFixed(1)}
          </text>
        </g>
      ))}
      <line className="scale-band" x1={place(activity.from)} x2={place(activity.to)} y1="16" y2="16" />
      <circle className="scale-point" cx={place(activity.likely)} cy="16" r="6" />
    </svg>
  );
}

const WIDTH = 640;
const LEFT = 44;
const RIGHT = 200;
const HEIGHT = 220;

/** Water of each layer over the days: one line a layer, named where it ends. */
export function LayersPicture({ moisture }: { moisture: CakeMoisture }) {
  const { hours } = moisture;
  // Two layers of one sponge behave alike: one line for each name keeps the picture readable.
  const layers = [...new Map(moisture.layers.map((layer) => [layer.name, layer])).values()];
  const all = layers.flatMap(({ waterPercent }) => waterPercent);
  const low = Math.floor(Math.min(...all) / 5) * 5;
  const high = Math.max(low + 5, Math.ceil(Math.max(...all) / 5) * 5);
  const x = (hour: number) => LEFT + ((WIDTH - LEFT - RIGHT) * hour) / (hours.at(-1) ?? 1);
  const y = (percent: number) => 12 + ((HEIGHT - 44) * (high - percent)) / (high - low);
  const ends = spread(layers.map(({ waterPercent }) => y(waterPercent.at(-1) ?? low)));
  const ticks = Array.from({ length: Math.round((high - low) / 5) + 1 }, (_, index) => low + index * 5);
  const days = Math.floor((hours.at(-1) ?? 0) / 24);
  return (
    <svg
      className="layers-picture"
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      role="img"
      aria-label={`Water of each layer over ${days} days. ${moisture.words.join(" ")}`}
    >
      {ticks.map((tick) => (
        <g key={tick}>
          <line className="grid-line" x1={LEFT} x2={WIDTH - RIGHT} y1={y(tick)} y2={y(tick)} />
          <text className="scale-word" x={LEFT - 8} y={y(tick) + 4} textAnchor="end">
            {tick} %
          </text>
        </g>
      ))}
      {Array.from({ length: days + 1 }, (_, day) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: the day is its own name
        <text key={day} className="scale-word" x={x(day * 24)} y={HEIGHT - 10} textAnchor="middle">
          {day === 0 ? "filled" : `${day} d`}
        </text>
      ))}
      {layers.map((layer, index) => (
        <g key={layer.name} className={`layer-line layer-${index % 4}`}>
          <polyline
            points={layer.waterPercent.map((percent, at) => `${x(hours[at] ?? 0).toFixed(1)},${y(percent).toFixed(1)}`).join(" ")}
          />
          <text x={WIDTH - RIGHT + 8} y={(ends[index] ?? 0) + 4}>
            {layer.name} {(layer.waterPercent.at(-1) ?? 0).toFixed(0)} %
          </text>
        </g>
      ))}
    </svg>
  );
}

/** Names at the ends of lines are moved apart until they do not overlap. */
function spread(places: readonly number[], gap = 17): readonly number[] {
  const order = places.map((value, index) => ({ value, index })).toSorted((one, other) => one.value - other.value);
  for (let at = 1; at < order.length; at += 1) {
    const [above, here] = [order[at - 1]!, order[at]!];
    if (here.value - above.value < gap) here.value = above.value + gap;
  }
  const moved = [...places];
  for (const { value, index } of order) moved[index] = value;
  return moved;
}
