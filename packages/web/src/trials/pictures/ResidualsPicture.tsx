import type { ResidualPicture } from "@evencrumb/core/trials";
import { plain } from "../settingWords.js";
import { Marks, scaleOf, type Told } from "./scale.js";

/** Residuals against the prediction, against the order of baking, and against what a normal spread would give. */
export function ResidualsPicture({
  picture,
  order,
  unit,
  label,
  describedBy,
}: Told & {
  picture: ResidualPicture;
  /** Place of each run in the order of baking, by its index. */
  order: readonly number[];
  unit: string;
}) {
  const values = picture.rows.map(({ studentised }) => studentised);
  const y = scaleOf([...values, -2, 2], 210, 12);
  const panels = [
    {
      name: `predicted, ${unit}`,
      dots: picture.rows.map(({ runIndex, fitted, studentised }) => ({ runIndex, x: fitted, y: studentised })),
      ticks: true,
    },
    {
      name: "in the order of baking",
      dots: picture.rows.map(({ runIndex, studentised }) => ({ runIndex, x: order[runIndex] ?? runIndex + 1, y: studentised })),
      ticks: true,
    },
    {
      name: "if the errors are normal",
      dots: picture.normal.map(({ runIndex, quantile, studentised }) => ({ runIndex, x: quantile, y: studentised })),
      ticks: false,
    },
  ];
  return (
    <div className="effects three" role="img" aria-label={label} aria-describedby={describedBy}>
      {panels.map(({ name, dots, ticks }) => {
        const x = scaleOf(
          dots.map((dot) => dot.x),
          64,
          290,
        );
        return (
          <svg key={name} className="picture" viewBox="0 0 300 250" aria-hidden="true">
            <Marks scale={y} x1={58} x2={296} unit="" />
            {ticks ? (
              <line className="mean thin" x1={58} x2={296} y1={y.at(0)} y2={y.at(0)} />
            ) : (
              <line className="mean thin" x1={x.at(-2)} x2={x.at(2)} y1={y.at(-2)} y2={y.at(2)} />
            )}
            {dots.map((dot) => (
              <circle
                key={dot.runIndex}
                className={Math.abs(dot.y) > 3 ? "estimate" : "baked"}
                cx={x.at(dot.x)}
                cy={y.at(dot.y)}
                r="4"
              />
            ))}
            {ticks
              ? x.ticks
                  .filter((tick) => x.at(tick) > 60 && x.at(tick) < 292)
                  .map((tick) => (
                    <text key={tick} x={x.at(tick)} y={228} textAnchor="middle">
                      {plain(tick, 2)}
                    </text>
                  ))
              : null}
            <text x={177} y={246} textAnchor="middle" className="name">
              {name}
            </text>
          </svg>
        );
      })}
    </div>
  );
}
