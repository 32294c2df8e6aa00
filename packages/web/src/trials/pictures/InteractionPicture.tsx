import type { InteractionLines } from "@evencrumb/core/trials";
import { plain } from "../settingWords.js";
import { Marks, scaleOf, short, type Told } from "./scale.js";

/** How a response moves with one factor at several settings of another; lines that are not side by side depend on each other. */
export function InteractionPicture({ lines, unit, label, describedBy }: Told & { lines: InteractionLines; unit: string }) {
  const [width, height] = [640, 320];
  const y = scaleOf(
    lines.lines.flatMap(({ points }) => points.map(({ estimate }) => estimate)),
    height - 60,
    14,
  );
  const places = lines.lines[0]?.points.map(({ at }) => at) ?? [];
  const numbers = places.every((at) => typeof at === "number");
  const x = numbers ? scaleOf(places.map(Number), 90, 480) : null;
  const at = (index: number) => (x === null ? 90 + ((index + 0.5) * 390) / places.length : x.at(Number(places[index])));
  return (
    <svg className="picture" viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label} aria-describedby={describedBy}>
      <Marks scale={y} x1={84} x2={490} unit={unit} />
      {lines.lines.map(({ name, points }, line) => {
        const last = points.at(-1)!;
        return (
          <g key={name}>
            <path
              className="curve"
              strokeDasharray={["", "9 6", "2 5", "14 5 2 5"][line % 4]}
              d={`M${points.map(({ estimate }, index) => `${at(index)} ${y.at(estimate)}`).join("L")}`}
            />
            <text x={500} y={y.at(last.estimate) + 5} className="name">
              {short(name, 16)}
            </text>
          </g>
        );
      })}
      {x === null
        ? places.map((place, index) => (
            <text key={String(place)} x={at(index)} y={height - 36} textAnchor="middle">
              {short(String(place), Math.floor(50 / places.length))}
            </text>
          ))
        : x.ticks
            .filter((tick) => x.at(tick) >= 88 && x.at(tick) <= 484)
            .map((tick) => (
              <text key={tick} x={x.at(tick)} y={height - 36} textAnchor="middle">
                {plain(tick, 2)}
              </text>
            ))}
      <text x={285} y={height - 12} textAnchor="middle" className="name">
        {short(lines.x, 40)}
        {lines.xUnit === "" ? "" : `, ${lines.xUnit}`}
      </text>
      <text x={500} y={height - 12} className="name">
        {short(lines.by, 18)}
      </text>
    </svg>
  );
}
