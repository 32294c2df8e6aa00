import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import { formatGrams, formatPercent } from "@evencrumb/core/quantities";
import { fillingCautions, type NamedTin, type TinFilling, tinFilling } from "@evencrumb/core/tins";
import type { Settings } from "../app/house.js";
import { TinPicture, tinWidthMm } from "../parts/TinPicture.js";

/** How each component sits in its tins, drawn to one scale. */
export function TinsReading({
  formula,
  compared,
  book,
  owned,
  settings,
  roomPx = 300,
}: {
  formula: Formula;
  compared: Formula | null;
  book: IngredientBook;
  owned: readonly NamedTin[];
  settings: Settings;
  roomPx?: number;
}) {
  const readings = formula.components
    .filter((component) => (component.tins?.length ?? 0) > 0)
    .map((component) => ({ component, reading: tinFilling(component, book, owned) }));
  if (readings.length === 0)
    return <p className="muted">No component names its tins. Say them in “Kind, tins, loss and batter”.</p>;
  const widest = Math.max(
    ...readings.flatMap(({ reading }) => reading.value?.tins.map(({ tin }) => tinWidthMm(tin)) ?? [100]),
    100,
  );
  const pxPerMm = Math.min(roomPx / (widest + 14), 1.1);
  return (
    <>
      {readings.map(({ component, reading }) => {
        const before = compared?.components.find(({ name }) => name === component.name);
        const beforeFilling = before === undefined ? undefined : tinFilling(before, book, owned).value;
        return (
          <div key={component.name} className="tins-of">
            {readings.length > 1 ? <h3 className="small-head">{component.name}</h3> : null}
            {reading.value === undefined ? null : (
              <TinsDrawn filling={reading.value} before={beforeFilling} pxPerMm={pxPerMm} settings={settings} />
            )}
            {reading.problems.map((problem) => (
              <p key={problem.found + problem.path.join()} className="caution">
                {problem.found} is not a tin that can be read: {problem.remedy}
              </p>
            ))}
          </div>
        );
      })}
    </>
  );
}

export function TinsDrawn({
  filling,
  before,
  pxPerMm,
  settings,
  cautions = fillingCautions(filling),
}: {
  filling: Pick<TinFilling, "tins" | "density">;
  before?: Pick<TinFilling, "tins"> | undefined;
  pxPerMm: number;
  settings: Settings;
  cautions?: readonly { readonly code: string; readonly words: string }[];
}) {
  return (
    <>
      {filling.tins.map((fill, index) => {
        const earlier = before?.tins[index];
        const cups = fill.tin.shape.kind === "tray-of-cups" ? fill.tin.shape.cupCount : 1;
        const each = formatGrams(fill.batterGrams / cups, { weighing: settings.rounding });
        const full = formatPercent(fill.fillShare * 100, 0);
        const depth = `${Math.round(fill.depthMm)} mm`;
        const difference = earlier === undefined ? 0 : Math.round(fill.depthMm) - Math.round(earlier.depthMm);
        return (
          <figure key={fill.text} className="tin-figure">
            <TinPicture
              tin={fill.tin}
              depthMm={fill.depthMm}
              pxPerMm={pxPerMm}
              ghostMm={difference === 0 ? undefined : earlier?.depthMm}
              label={`${fill.text}, filled ${depth} deep, ${full} of it`}
            />
            <figcaption className="figures">
              <strong>
                {fill.count} × {fill.text}
              </strong>
              <span>
                {each} in each{cups > 1 ? " cup" : ""}, {depth} deep, {full} full
                {difference === 0 ? null : (
                  <span className="difference">
                    {" "}
                    {difference > 0 ? "+" : "−"}
                    {Math.abs(difference)} mm
                  </span>
                )}
              </span>
            </figcaption>
          </figure>
        );
      })}
      {cautions.map((caution) => (
        <p key={caution.code + caution.words} className="caution">
          {caution.words}
        </p>
      ))}
    </>
  );
}
