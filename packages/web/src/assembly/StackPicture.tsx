import type { AssembledCake } from "@evencrumb/core/keeping";
import { formatGrams } from "@evencrumb/core/quantities";

const WIDTH = 620;
const CAKE_WIDTH = 300;
const LEFT = 56;
const TOP = 14;
const ROW = 20;

/** The cake cut through the middle, to scale: as wide as a round one of its top surface, each layer as high as it is. */
export function StackPicture({ cake }: { cake: AssembledCake }) {
  const coating = cake.layers.filter(({ role }) => role === "coating");
  const stack = cake.layers.filter(({ role }) => role !== "coating");
  const widthMm = 2 * Math.sqrt((cake.topAreaCm2 * 100) / Math.PI);
  const fillings = [...new Set(stack.flatMap(({ name, role }) => (role === "filling" ? [name] : [])))];
  const around = coating.reduce((sum, { thicknessMm }) => sum + thicknessMm.likely, 0);
  const scale = CAKE_WIDTH / (widthMm + 2 * around);
  const inner = widthMm * scale;
  const x = LEFT + (CAKE_WIDTH - inner) / 2;
  const heights = stack.map(({ thicknessMm }) => thicknessMm.likely * scale);
  const stackHeight = heights.reduce((sum, height) => sum + height, 0) + around * scale;
  const room = Math.max(stackHeight, ROW * cake.layers.length) + 2 * TOP;
  const base = TOP + (room - 2 * TOP + stackHeight) / 2;
  let reached = base;
  const bands = stack.map((layer, index) => {
    const height = heights[index] ?? 0;
    reached -= height;
    return { layer, y: reached, height };
  });
  const labels = [
    ...bands.map(({ layer, y, height }) => ({ layer, at: y + height / 2 })),
    ...coating.map((layer) => ({ layer, at: base - stackHeight + 4 })),
  ];
  const places = spread(labels.map(({ at }) => at));
  const words = cake.layers
    .toReversed()
    .map(({ name, thicknessMm, grams }) => `${name} ${thicknessMm.likely.toFixed(0)} mm, ${formatGrams(grams)}`)
    .join("; ");
  return (
    <svg className="stack-picture" viewBox={`0 0 ${WIDTH} ${room}`} role="img" aria-label={`From the top: ${words}`}>
      {coating.length === 0 ? null : (
        <rect
          className="stack-layer coating"
          x={LEFT}
          width={CAKE_WIDTH}
          y={base - stackHeight}
          height={stackHeight}
          rx={Math.min(6, around * scale)}
        />
      )}
      {bands.map(({ layer, y, height }, index) => (
        <rect
          // biome-ignore lint/suspicious/noArrayIndexKey: a layer has no name but its place
          key={index}
          className={`stack-layer ${layer.role}${fillings.indexOf(layer.name) > 0 ? " other" : ""}`}
          x={x}
          width={inner}
          y={y}
          height={Math.max(0.75, height)}
        />
      ))}
      <line className="stack-board" x1={LEFT - 10} x2={LEFT + CAKE_WIDTH + 10} y1={base + 1} y2={base + 1} />
      <g className="stack-measure">
        <path
          d={`M ${LEFT - 14} ${base} h -6 M ${LEFT - 17} ${base} V ${base - stackHeight} M ${LEFT - 14} ${base - stackHeight} h -6`}
        />
        <text x={LEFT - 24} y={base - stackHeight / 2 + 5} textAnchor="end">
          {Math.round(cake.heightMm.likely)}
        </text>
      </g>
      {labels.map(({ layer, at }, index) => {
        const y = places[index] ?? at;
        return (
          // biome-ignore lint/suspicious/noArrayIndexKey: a label has no name but its place
          <g key={index}>
            <path className="stack-lead" d={`M ${x + inner + 2} ${at} L ${LEFT + CAKE_WIDTH + 18} ${y} h 6`} />
            <text className="stack-word" x={LEFT + CAKE_WIDTH + 30} y={y + 5}>
              {layer.name}
              <tspan className="stack-figure">
                {" "}
                {layer.thicknessMm.likely < 2 ? layer.thicknessMm.likely.toFixed(1) : Math.round(layer.thicknessMm.likely)} mm,{" "}
                {formatGrams(layer.grams)}
              </tspan>
            </text>
          </g>
        );
      })}
    </svg>
  );
}

/** Words are moved apart until they do not overlap, and stay about where their layers are. */
function spread(places: readonly number[]): readonly number[] {
  const order = places.map((value, index) => ({ value, index })).toSorted((one, other) => one.value - other.value);
  for (let at = 1; at < order.length; at += 1) {
    const [above, here] = [order[at - 1]!, order[at]!];
    if (here.value - above.value < ROW) here.value = above.value + ROW;
  }
  const wasMiddle = places.reduce((sum, value) => sum + value, 0) / Math.max(1, places.length);
  const isMiddle = order.reduce((sum, { value }) => sum + value, 0) / Math.max(1, order.length);
  const moved = [...places];
  for (const { value, index } of order) moved[index] = value + wasMiddle - isMiddle;
  return moved;
}
