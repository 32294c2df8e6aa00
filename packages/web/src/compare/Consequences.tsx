import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import type { Consequence, ConsequenceReport, ConsequenceTopic } from "@evencrumb/core/plan";
import type { PriceInputs } from "@evencrumb/core/price";
import type { NamedTin } from "@evencrumb/core/tins";
import { useMemo, useRef } from "react";
import { ingredientsFor } from "../work/bookOf.js";
import { useJob } from "../work/useJob.js";
import { ChangePicture } from "./ChangePicture.js";
import { figureWords } from "./figureWords.js";
import { compareWork } from "./jobs.js";
import "../style/consequences.css";

const TOPICS: readonly (readonly [ConsequenceTopic, string])[] = [
  ["composition", "What it is made of"],
  ["ratio", "Ratios"],
  ["softness", "Softness"],
  ["setting", "Setting"],
  ["bake", "In the oven"],
  ["keeping", "Keeping"],
  ["allergens", "Allergens"],
  ["energy", "Energy"],
  ["cost", "Cost"],
];

/** What a change does, before anything is baked: sentences first, then each figure with its size and what it is unsure by. */
export function Consequences({
  before,
  after,
  book,
  owned,
  price,
}: {
  before: Formula;
  after: Formula;
  book: IngredientBook;
  owned: readonly NamedTin[];
  price?: PriceInputs | undefined;
}) {
  const request = useMemo(
    () => ({
      before,
      after,
      ownedTins: owned,
      ingredients: ingredientsFor(book, [before, after]),
      ...(price === undefined ? {} : { price }),
    }),
    [before, after, owned, book, price],
  );
  const job = useJob(compareWork, "consequences", request, 30);
  // The last report stays while the next is worked out, so that nothing jumps.
  const last = useRef<ConsequenceReport | null>(null);
  if (job.state === "ready") last.current = job.answer;
  const report = last.current;
  return (
    <section
      aria-label="What it does"
      className="what-it-does"
      data-empty={report === null || undefined}
      aria-busy={job.state !== "ready"}
    >
      <h2>What it does</h2>
      {report === null ? <p className="muted">Working it out…</p> : <Report report={report} />}
    </section>
  );
}

function Report({ report }: { report: ConsequenceReport }) {
  const { sentences, consequences, missing } = report;
  const beyond = consequences.filter(({ exceeds }) => exceeds);
  const within = consequences.filter(({ exceeds, change }) => !exceeds && change !== undefined);
  return (
    <>
      <ul className="sentences large">
        {sentences.length === 0 ? <li>Nothing that is more than it is unsure by.</li> : null}
        {sentences.map((sentence) => (
          <li key={sentence}>{sentence}</li>
        ))}
      </ul>
      <FigureTables figures={beyond} />
      {within.length === 0 ? null : (
        <details className="assumed">
          <summary>{within.length} more figures moved by less than they are unsure by, or stayed</summary>
          <FigureTables figures={within} />
        </details>
      )}
      {missing.length === 0 ? null : (
        <details className="assumed">
          <summary>What could not be compared</summary>
          <ul className="sentences small muted">
            {missing.map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
        </details>
      )}
    </>
  );
}

function FigureTables({ figures }: { figures: readonly Consequence[] }) {
  const topics = TOPICS.filter(([topic]) => figures.some((figure) => figure.topic === topic));
  if (topics.length === 0) return null;
  return (
    <div className="figure-tables">
      <table className="plain-table figures consequence-table">
        <thead>
          <tr>
            <th scope="col">Figure</th>
            <th scope="col" className="figure">
              before
            </th>
            <th scope="col" className="figure">
              after
            </th>
            <th scope="col" className="figure">
              change
            </th>
            <th scope="col">against its doubt</th>
            <th scope="col" className="picture-head">
              <span className="mark-key before-key">before</span> <span className="mark-key after-key">after</span>
            </th>
          </tr>
        </thead>
        {topics.map(([topic, heading]) => {
          const about = figures.filter((figure) => figure.topic === topic);
          const places = [...new Set(about.map(({ where }) => where))];
          return (
            <tbody key={topic}>
              <tr>
                <th scope="rowgroup" colSpan={6} className="part-head">
                  {heading}
                  {places.length === 1 ? <span className="muted small">, {places[0]}</span> : null}
                </th>
              </tr>
              {about.map((figure) => (
                <FigureRow key={`${figure.where} ${figure.what}`} figure={figure} showWhere={places.length > 1} />
              ))}
            </tbody>
          );
        })}
      </table>
    </div>
  );
}

function FigureRow({ figure, showWhere }: { figure: Consequence; showWhere: boolean }) {
  const { what, where, unit, before, after, change, uncertainty, exceeds } = figure;
  const words = figureWords(figure);
  return (
    <tr>
      <th scope="row">
        {what}
        {showWhere ? <span className="muted small">, {where}</span> : null}
        {unit === "" ? null : <span className="muted small">, {unit}</span>}
      </th>
      <td className={typeof before === "string" ? "in-words" : "figure"}>{words.before}</td>
      <td className={typeof after === "string" ? "in-words strong" : "figure strong"}>{words.after}</td>
      <td className="figure">{change === undefined ? null : <span className="difference">{words.change}</span>}</td>
      <td>
        {uncertainty === undefined ? (
          <span className="muted small">{exceeds ? "differs" : ""}</span>
        ) : (
          <span className="small">
            <span className="muted">{exceeds ? "beyond" : "within"}</span> {words.uncertainty}
          </span>
        )}
      </td>
      <td className="picture-cell">
        <ChangePicture figure={figure} />
      </td>
    </tr>
  );
}
