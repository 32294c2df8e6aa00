import type { Consequence } from "@evencrumb/core/plan";
import type { Band } from "@evencrumb/core/quantities";

const WIDTH = 180;
const EDGE = 8;

/** Before and after on one line, each with its band; told apart by shape and height and not by colour alone. */
export function ChangePicture({ figure }: { figure: Consequence }) {
  const { before, after, bandBefore, bandAfter, uncertainty, what } = figure;
  if (typeof before !== "number" || typeof after !== "number") return null;
  const one = bandBefore ?? around(before, uncertainty);
  const other = bandAfter ?? around(after, uncertainty);
  const low = Math.min(one.from, other.from, before, after);
  const high = Math.max(one.to, other.to, before, after);
  if (!(high > low)) return null;
  const x = (value: number) => EDGE + ((WIDTH - 2 * EDGE) * (value - low)) / (high - low);
  return (
    <svg
      className="change-picture"
      viewBox={`0 0 ${WIDTH} 26`}
      width={WIDTH}
      height="26"
      role="img"
      aria-label={`${what}, before and after with their bands`}
    >
      <line className="change-band before" x1={x(one.from)} x2={x(one.to)} y1="8" y2="8" />
      <line className="change-band after" x1={x(other.from)} x2={x(other.to)} y1="18" y2="18" />
      <circle className="change-mark before" cx={x(before)} cy="8" r="4.2" />
      <circle className="change-mark after" cx={x(after)} cy="18" r="5" />
    </svg>
  );
}

/** Half of what a difference is unsure by on either side: two marks whose bands do not meet differ by more than that. */
const around = (value: number, uncertainty = 0): Band => ({
  likely: value,
  from: value - uncertainty / 2,
  to: value + uncertainty / 2,
});
