import { type BakeRequest, checkBakeRequest } from "@evencrumb/core/bake";
import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import { formatGrams, formatMinutes } from "@evencrumb/core/quantities";
import { compareTins, type FillRule, type NamedTin, USUAL_FILL_SHARE } from "@evencrumb/core/tins";
import { useMemo, useState } from "react";
import { useHouseState } from "../app/useHouse.js";
import { problemWords } from "../parts/Field.js";
import { useJob } from "../work/useJob.js";
import { manyBakes, type TinOutlook } from "./jobs.js";
import { betweenMinutes } from "./words.js";

/** Crumb near the wall that is done this long before the middle is likely to be dry [s]; an assumption. */
const DRY_EDGE_S = 1200;
/** A middle this much taller than the edge is seen as a dome; an assumption. */
const DOME_SHARE = 0.15;

/** The same batter in every tin that the baker owns. */
export function OtherTins({
  formula,
  component,
  book,
  owned,
  request,
}: {
  formula: Formula;
  component: string;
  book: IngredientBook;
  owned: readonly NamedTin[];
  /** The bake on the page: its oven, and what is around it, hold for every tin. */
  request: BakeRequest;
}) {
  const { settings } = useHouseState();
  const [rule, setRule] = useState<FillRule["rule"]>("same-depth");
  const rows = useMemo(
    () =>
      compareTins(formula, owned, {
        book,
        component,
        fill: rule === "share" ? { rule, share: USUAL_FILL_SHARE } : { rule },
      }).map(({ name, fill: filled, tinsPerBatch }) => {
        const { after: _after, bakeSeconds: _bakeSeconds, sectionEveryS: _every, ...rest } = request;
        const bake: BakeRequest = { ...rest, tin: filled.tin, massGrams: filled.batterGrams, accuracy: "coarse" };
        return { name, filled, tinsPerBatch, bake, problems: checkBakeRequest(bake) };
      }),
    [formula, owned, book, component, rule, request],
  );
  const asked = useMemo(
    () => rows.filter(({ problems }) => problems.length === 0).map(({ name, bake }) => ({ name, request: bake })),
    [rows],
  );
  const job = useJob(manyBakes, "tins", asked.length === 0 ? null : asked, 500);
  const known: readonly TinOutlook[] = job.state === "ready" ? job.answer : job.state === "working" ? (job.progress ?? []) : [];
  if (owned.length === 0)
    return (
      <p className="muted">
        Write down the tins you own under <a href="#/tins">Tins</a>, and this batter is tried in each of them.
      </p>
    );
  return (
    <>
      <div className="row other-tins-rule">
        <label className="pick">
          filled
          <select value={rule} onChange={(event) => setRule(event.currentTarget.value as FillRule["rule"])}>
            <option value="same-depth">as deep as the formula fills its tins</option>
            <option value="share">a little over half full, as is usual</option>
          </select>
        </label>
        <p className="muted small" role="status">
          {job.state === "working"
            ? `Baking ${known.length + 1} of ${asked.length}, coarsely…`
            : job.state === "stopped"
              ? "Stopped."
              : "Worked out on a coarse mesh."}
        </p>
        {job.state === "working" ? (
          <button type="button" className="button quiet" onClick={job.stop}>
            Stop
          </button>
        ) : job.state === "stopped" ? (
          <button type="button" className="button quiet" onClick={job.again}>
            Go on
          </button>
        ) : null}
      </div>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: it scrolls sideways on a narrow page, also by the keyboard */}
      <section className="wide-table" tabIndex={0} aria-label="Table of other tins">
        <table className="plain-table other-tins">
          <thead>
            <tr>
              <th scope="col">Tin</th>
              <th scope="col" className="figure">
                batter
              </th>
              <th scope="col" className="figure">
                deep
              </th>
              <th scope="col" className="figure">
                done in
              </th>
              <th scope="col" className="figure">
                edge ready before
              </th>
              <th scope="col">what to look out for (indicative)</th>
            </tr>
          </thead>
          <tbody>
            {rows.map(({ name, filled, problems }) => {
              const outlook = known.find((row) => row.name === name);
              return (
                <tr key={name}>
                  <th scope="row">{name}</th>
                  <td className="figure">{formatGrams(filled.batterGrams, { weighing: settings.rounding })}</td>
                  <td className="figure">{Math.round(filled.depthMm)} mm</td>
                  {problems[0] !== undefined ? (
                    <td colSpan={3} className="caution">
                      {problemWords(problems[0])}
                    </td>
                  ) : outlook === undefined ? (
                    <td colSpan={3} className="muted">
                      …
                    </td>
                  ) : (
                    <>
                      <td className="figure">
                        <strong>{outlook.outcome === "never-done" ? "not in 4 h" : formatMinutes(outlook.doneS.likely)}</strong>
                        <span className="muted small other-band"> {betweenMinutes(outlook.doneS)}</span>
                      </td>
                      <td className="figure">{formatMinutes(outlook.edgeAheadS)}</td>
                      <td>{risksOf(outlook).join(", ")}</td>
                    </>
                  )}
                </tr>
              );
            })}
          </tbody>
        </table>
      </section>
    </>
  );
}

/** What may go wrong in this tin, from the figures of the prediction. */
function risksOf(row: TinOutlook): readonly string[] {
  const dome = row.centreMm - row.edgeMm;
  const risks = [
    row.cautions.some((words) => words.includes("over the rim")) ? "over the rim" : "",
    dome > DOME_SHARE * row.edgeMm ? `domes by ${Math.round(dome)} mm` : "",
    row.edgeAheadS > DRY_EDGE_S ? "dry edge" : "",
    row.browning === "very dark" ? "very dark top" : "",
    row.browning === "pale" ? "pale top" : "",
  ].filter((words) => words !== "");
  return risks.length === 0 ? ["nothing in particular"] : risks;
}
