import type { AfterAnswer, BakePrediction } from "@evencrumb/core/bake";
import { formatMinutes } from "@evencrumb/core/quantities";

const WIDTH = 760;
const LEFT = 52;
const RIGHT = 132;
const TOP = 14;

/** Temperatures of the coldest point, the middle, the edge and the surface, with the time in which it is done shaded. */
export function BakeCurves({ answer, timeS }: { answer: BakePrediction; timeS: number }) {
  const { curves, doneSeconds, doneC } = answer;
  const height = 300;
  const until = Math.max(curves.timesS.at(-1) ?? 60, doneSeconds.to) * 1.02;
  const lines = [
    { name: "surface", values: curves.surfaceC },
    { name: "edge", values: curves.edgeC },
    { name: "centre", values: curves.centreC },
    { name: "coldest", values: curves.coldestC },
  ];
  const most = Math.max(120, ...curves.surfaceC);
  const top = Math.ceil(most / 20) * 20;
  const x = (seconds: number) => LEFT + ((WIDTH - LEFT - RIGHT) * seconds) / until;
  const y = (celsius: number) => TOP + ((height - TOP - 40) * (top - celsius)) / top;
  const ends = apart(
    lines.map(({ values }) => y(values.at(-1) ?? 0)),
    17,
  );
  const last = x(curves.timesS.at(-1) ?? 0);
  const step = tickStep(until / 60);
  const minutes = Array.from({ length: Math.floor(until / 60 / step) + 1 }, (_, index) => index * step);
  const degrees = Array.from({ length: Math.floor(top / 20) + 1 }, (_, index) => index * 20);
  return (
    <svg
      className="bake-curves"
      viewBox={`0 0 ${WIDTH} ${height}`}
      role="img"
      aria-label={`Temperatures over ${formatMinutes(curves.timesS.at(-1) ?? 0)}: at the end ${lines
        .map(({ name, values }) => `${name} ${Math.round(values.at(-1) ?? 0)} °C`)
        .join(", ")}. Done between ${formatMinutes(doneSeconds.from)} and ${formatMinutes(doneSeconds.to)}.`}
    >
      {degrees.map((tick) => (
        <g key={tick}>
          <line className="grid-line" x1={LEFT} x2={WIDTH - RIGHT} y1={y(tick)} y2={y(tick)} />
          <text className="scale-word" x={LEFT - 8} y={y(tick) + 4} textAnchor="end">
            {tick}
            {tick === degrees.at(-1) ? " °C" : ""}
          </text>
        </g>
      ))}
      <rect
        className="done-window"
        x={x(doneSeconds.from)}
        width={x(doneSeconds.to) - x(doneSeconds.from)}
        y={TOP}
        height={y(0) - TOP}
      />
      <text className="done-word" x={x(doneSeconds.from) + 6} y={y(0) - 8}>
        done
      </text>
      <line className="done-at" x1={x(doneSeconds.likely)} x2={x(doneSeconds.likely)} y1={TOP} y2={y(0)} />
      <line className="done-level" x1={LEFT} x2={WIDTH - RIGHT} y1={y(doneC)} y2={y(doneC)} />
      {minutes.map((tick) => (
        <text key={tick} className="scale-word" x={x(tick * 60)} y={y(0) + 18} textAnchor="middle">
          {tick}
          {tick === minutes.at(-1) ? " min" : ""}
        </text>
      ))}
      {lines.map(({ name, values }, index) => (
        <g key={name} className={`bake-line ${name}`}>
          <polyline points={points(curves.timesS, values, x, y)} />
          <path className="lead" d={`M${last} ${y(values.at(-1) ?? 0)}L${WIDTH - RIGHT + 6} ${ends[index]}`} />
          <text x={WIDTH - RIGHT + 10} y={ends[index]! + 5}>
            {name} {Math.round(values.at(-1) ?? 0)} °C
          </text>
        </g>
      ))}
      <line className="now" x1={x(timeS)} x2={x(timeS)} y1={TOP} y2={y(0)} />
    </svg>
  );
}

/** From the oven's door to the wrapping, the cream or the freezer. */
export function CoolingPicture({ cooling }: { cooling: AfterAnswer }) {
  const { curves } = cooling;
  const height = 240;
  const until = curves.timesS.at(-1) ?? 3600;
  const inHours = until > 3 * 3600;
  const all = [...curves.warmestC, ...curves.surfaceC];
  const low = Math.min(0, Math.floor(Math.min(...all, ...curves.coldestC) / 20) * 20);
  const top = Math.ceil(Math.max(...all) / 20) * 20;
  const x = (seconds: number) => LEFT + ((WIDTH - LEFT - RIGHT) * seconds) / until;
  const y = (celsius: number) => TOP + 30 + ((height - TOP - 70) * (top - celsius)) / (top - low);
  const lines = [
    { name: "warmest", values: curves.warmestC, style: "coldest" },
    { name: "surface", values: curves.surfaceC, style: "surface" },
  ];
  const ends = apart(
    lines.map(({ values }) => y(values.at(-1) ?? 0)),
    17,
  );
  const marks = coolingMarks(cooling).filter(({ atS }) => atS <= until);
  const unit = inHours ? 3600 : 60;
  const step = tickStep(until / unit);
  const ticks = Array.from({ length: Math.floor(until / unit / step) + 1 }, (_, index) => index * step);
  const degrees = Array.from({ length: (top - low) / 20 + 1 }, (_, index) => low + index * 20);
  return (
    <svg
      className="bake-curves"
      viewBox={`0 0 ${WIDTH} ${height}`}
      role="img"
      aria-label={`After the oven: ${marks.map(({ words, atS }) => `${words} after ${formatMinutes(atS)}`).join(", ")}.`}
    >
      {degrees.map((tick) => (
        <g key={tick}>
          <line className="grid-line" x1={LEFT} x2={WIDTH - RIGHT} y1={y(tick)} y2={y(tick)} />
          <text className="scale-word" x={LEFT - 8} y={y(tick) + 4} textAnchor="end">
            {tick}
            {tick === degrees.at(-1) ? " °C" : ""}
          </text>
        </g>
      ))}
      {ticks.map((tick) => (
        <text key={tick} className="scale-word" x={x(tick * unit)} y={y(low) + 18} textAnchor="middle">
          {tick}
          {tick === ticks.at(-1) ? (inHours ? " h" : " min") : ""}
        </text>
      ))}
      {marks.map(({ short, atS }, index) => (
        <g key={short} className="cooling-mark">
          <line x1={x(atS)} x2={x(atS)} y1={TOP + 4 + 15 * (index % 2)} y2={y(low)} />
          <text
            x={x(atS) + (x(atS) > WIDTH - RIGHT - 60 ? -5 : 5)}
            y={TOP + 12 + 15 * (index % 2)}
            textAnchor={x(atS) > WIDTH - RIGHT - 60 ? "end" : "start"}
          >
            {short}
          </text>
        </g>
      ))}
      {lines.map(({ name, values, style }, index) => (
        <g key={name} className={`bake-line ${style}`}>
          <polyline points={points(curves.timesS, values, x, y)} />
          <text x={WIDTH - RIGHT + 10} y={ends[index]! + 5}>
            {name} {Math.round(values.at(-1) ?? 0)} °C
          </text>
        </g>
      ))}
    </svg>
  );
}

/** When each thing can be done with the cake; what does not come within the time followed is left out. */
export function coolingMarks(
  cooling: AfterAnswer,
): readonly { readonly short: string; readonly words: string; readonly atS: number }[] {
  const all: readonly (readonly [string, string, number | null | undefined])[] = [
    ["handled", "can be handled", cooling.handleSeconds],
    ["wrapped", "can be wrapped, or go into the freezer", cooling.wrapSeconds],
    ["filled", "can be filled", cooling.fillSeconds],
    ["cold", "is cold through", cooling.chilledSeconds],
    ["frozen", "is frozen through", cooling.frozenSeconds],
    ["thawed", "is thawed", cooling.thawedSeconds],
  ];
  return all.flatMap(([short, words, atS]) => (atS === null || atS === undefined ? [] : [{ short, words, atS }]));
}

const points = (times: Float64Array, values: Float64Array, x: (s: number) => number, y: (c: number) => number): string => {
  const step = Math.max(1, Math.floor(times.length / 240));
  const list: string[] = [];
  for (let at = 0; at < times.length; at += step) list.push(`${x(times[at]!).toFixed(1)},${y(values[at]!).toFixed(1)}`);
  const end = times.length - 1;
  list.push(`${x(times[end]!).toFixed(1)},${y(values[end]!).toFixed(1)}`);
  return list.join(" ");
};

/** A step that puts four to nine marks on an axis. */
export function tickStep(most: number): number {
  for (const step of [1, 2, 5, 10, 15, 20, 30, 60, 120]) if (most / step <= 9) return step;
  return 240;
}

/** Moves labels apart that would stand on each other; the order stays. */
export function apart(places: readonly number[], least: number): readonly number[] {
  const order = places.map((place, index) => ({ place, index })).sort((a, b) => a.place - b.place);
  for (let round = 0; round < 12; round++)
    for (let at = 1; at < order.length; at++) {
      const short = least - (order[at]!.place - order[at - 1]!.place);
      if (short <= 0) continue;
      order[at]!.place += short / 2;
      order[at - 1]!.place -= short / 2;
    }
  const moved = places.slice();
  for (const { place, index } of order) moved[index] = place;
  return moved;
}
