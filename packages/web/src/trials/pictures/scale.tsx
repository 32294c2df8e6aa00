import { type ReactNode, useId } from "react";
import { plain } from "../settingWords.js";

// Plain SVG from plain numbers. Sizes are in the units of the picture, which is as wide as its place.

export interface Scale {
  readonly at: (value: number) => number;
  readonly ticks: readonly number[];
}

/** A straight scale with four to seven round marks. */
export function scaleOf(values: readonly number[], from: number, to: number): Scale {
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

/** Lines across at the round marks, with the unit at the uppermost. */
export function Marks({ scale, x1, x2, unit }: { scale: Scale; x1: number; x2: number; unit: string }) {
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

export const short = (text: string, most: number): string =>
  text.length <= most ? text : `${text.slice(0, Math.max(1, most - 1))}…`;

/** What a picture needs to be heard as well as seen. */
export interface Told {
  readonly label: string;
  readonly describedBy?: string | undefined;
}

/** A picture under its title, with what it shows in words: for everyone, and in its place for whoever does not see it. */
export function Shown({
  title,
  words,
  note,
  children,
}: {
  title: string;
  words: string;
  /** How to read the marks. */
  note?: ReactNode;
  children: (told: Told) => ReactNode;
}) {
  const id = useId();
  return (
    <figure className="shown" aria-labelledby={id}>
      <figcaption id={id} className="shown-title">
        {title}
      </figcaption>
      {children({ label: title, describedBy: `${id}-words` })}
      <p id={`${id}-words`} className="shown-words">
        {words}
      </p>
      {note === undefined ? null : <p className="muted small">{note}</p>}
    </figure>
  );
}
