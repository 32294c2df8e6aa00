import { type ComponentKeeping, type Keeping, keepFormula, moistureInCake, type Place } from "@evencrumb/core/keeping";
import { useDeferredValue, useMemo, useState } from "react";
import { addresses } from "../app/route.js";
import { useHouseState } from "../app/useHouse.js";
import { Assembled } from "../assembly/Assembled.js";
import { ActivityScale, LayersPicture } from "../margin/keepPictures.js";
import { ProblemList } from "../parts/Field.js";
import { useOwnedTins } from "../parts/useOwnedTins.js";
import "../style/keep.css";
import { type OpenFormula, useSessionState } from "./FormulaPage.js";

const PLACES: readonly { readonly place: Place; readonly words: string }[] = [
  { place: "gb", words: "Great Britain" },
  { place: "eu", words: "European Union" },
  { place: "us", words: "United States" },
];

/** How a formula keeps: the product first, then its parts, its layers over the days, and when to do what. */
export function KeepPage({ open }: { open: OpenFormula }) {
  const { id } = open.detail.document;
  const { formula: typed } = useSessionState(open.session);
  const formula = useDeferredValue(typed);
  const { book } = useHouseState();
  const owned = useOwnedTins();
  const [place, setPlace] = useState<Place>("gb");
  const [bakeDate, setBakeDate] = useState("");
  const [measured, setMeasured] = useState<Readonly<Record<string, { waterActivity?: number; ph?: number }>>>({});
  const keeping = useMemo(
    () => keepFormula(formula, book, { place, measured, ...(bakeDate === "" ? {} : { bakeDate }) }),
    [formula, book, place, measured, bakeDate],
  );
  const moisture = useMemo(() => moistureInCake(formula, book, 96, { owned }), [formula, book, owned]);
  return (
    <div className="page">
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.formula(id)}>
            ‹ {formula.name}
          </a>
          <h1>How it keeps</h1>
        </div>
        <div className="buttons">
          <label className="pick">
            by the rules of
            <select value={place} onChange={(event) => setPlace(event.currentTarget.value as Place)}>
              {PLACES.map((one) => (
                <option key={one.place} value={one.place}>
                  {one.words}
                </option>
              ))}
            </select>
          </label>
          <label className="pick">
            baked on
            <input type="date" value={bakeDate} onChange={(event) => setBakeDate(event.currentTarget.value)} />
          </label>
        </div>
      </header>
      <ProblemList problems={keeping.problems} />
      <p className="keep-answer">
        {keeping.product.keptAt === "chilled" ? "Kept cold" : "Kept at room temperature, wrapped"}, good for about{" "}
        <strong>
          {keeping.product.days} {keeping.product.days === 1 ? "day" : "days"}
        </strong>{" "}
        (predicted). <span className="muted">What sets it: {keeping.product.limitedBy}.</span>
      </p>
      <section aria-label="Its parts" className="keep-parts">
        {keeping.components.map((part) => (
          <PartKeeping
            key={part.name}
            part={part}
            own={measured[part.name] ?? {}}
            onOwn={(own) => setMeasured((all) => ({ ...all, [part.name]: own }))}
          />
        ))}
      </section>
      <Assembled formula={formula} book={book} owned={owned} />
      {moisture === undefined ? null : (
        <section aria-label="Water between the layers" className="stack">
          <h2>Water between the layers</h2>
          <LayersPicture moisture={moisture} />
          <ul className="sentences">
            {moisture.words.map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
          <Assumptions words={moisture.assumptions} />
        </section>
      )}
      <PlanSteps keeping={keeping} />
      <section aria-label="Cautions" className="stack cautions">
        <h2>Take care</h2>
        <ul className="sentences">
          {keeping.cautions.map((words) => (
            <li key={words}>{words}</li>
          ))}
        </ul>
      </section>
    </div>
  );
}

function PartKeeping({
  part,
  own,
  onOwn,
}: {
  part: ComponentKeeping;
  own: { waterActivity?: number; ph?: number };
  onOwn: (own: { waterActivity?: number; ph?: number }) => void;
}) {
  const { waterActivity: activity, mouldFreeDays21C: life } = part;
  return (
    <article className="keep-part">
      <h2>{part.name}</h2>
      <p className="muted">{part.keptAt === "chilled" ? "keep cold" : "room temperature"}</p>
      {activity === undefined ? (
        <p className="muted">There is no water to go by.</p>
      ) : (
        <>
          <ActivityScale activity={activity} />
          <p className="figures">
            Water activity <strong>{activity.likely.toFixed(2)}</strong>, between {activity.from.toFixed(2)} and{" "}
            {activity.to.toFixed(2)} ({activity.basis})
          </p>
        </>
      )}
      <p>{life.known ? `Free of mould for about ${Math.round(life.days)} days, wrapped, at 21 °C (predicted).` : life.words}</p>
      <p>Freezer: {part.freezer.words}.</p>
      <ul className="sentences small">
        {part.reasons.map((words) => (
          <li key={words}>{words}</li>
        ))}
      </ul>
      <div className="row">
        <OwnFigure
          label="measured water activity"
          value={own.waterActivity}
          most={1}
          onValue={(waterActivity) =>
            onOwn({ ...(own.ph === undefined ? {} : { ph: own.ph }), ...(waterActivity === undefined ? {} : { waterActivity }) })
          }
        />
        <OwnFigure
          label="measured pH"
          value={own.ph}
          most={14}
          onValue={(ph) =>
            onOwn({
              ...(own.waterActivity === undefined ? {} : { waterActivity: own.waterActivity }),
              ...(ph === undefined ? {} : { ph }),
            })
          }
        />
      </div>
      <Assumptions words={part.assumptions} />
    </article>
  );
}

function OwnFigure({
  label,
  value,
  most,
  onValue,
}: {
  label: string;
  value: number | undefined;
  most: number;
  onValue: (value: number | undefined) => void;
}) {
  const [text, setText] = useState(value === undefined ? "" : String(value));
  const wrong = text.trim() !== "" && !(Number(text) >= 0 && Number(text) <= most);
  return (
    <label className="field">
      <span className="label">{label}</span>
      <input
        className="short"
        inputMode="decimal"
        value={text}
        aria-invalid={wrong}
        onChange={(event) => {
          const next = event.currentTarget.value.replace(",", ".");
          setText(next);
          const figure = Number(next);
          onValue(next.trim() === "" || !(figure >= 0 && figure <= most) ? undefined : figure);
        }}
      />
      {wrong ? (
        <span className="wrong">
          A number from 0 to {most}, such as {most === 1 ? "0.87" : "4.2"}.
        </span>
      ) : null}
    </label>
  );
}

function PlanSteps({ keeping }: { keeping: Keeping }) {
  const paths = [
    { path: "fresh", words: "Eaten fresh" },
    { path: "frozen", words: "By way of the freezer" },
  ] as const;
  return (
    <section aria-label="When to do what" className="stack">
      <h2>When to do what</h2>
      <div className="keep-paths">
        {paths.map(({ path, words }) => {
          const steps = keeping.plan.filter((step) => step.path === "both" || step.path === path);
          if (!steps.some((step) => step.path === path)) return null;
          return (
            <div key={path}>
              <h3 className="small-head">{words}</h3>
              <ol className="keep-plan">
                {steps.map((step) => (
                  <li key={`${step.step} ${step.words}`}>
                    <span className="figures muted">{step.date === undefined ? `day ${step.day}` : dayWords(step.date)}</span>
                    <span>{step.words}</span>
                  </li>
                ))}
              </ol>
            </div>
          );
        })}
      </div>
    </section>
  );
}

const dayWords = (isoDate: string) =>
  new Date(`${isoDate}T12:00:00Z`).toLocaleDateString("en-GB", { day: "numeric", month: "short", timeZone: "UTC" });

function Assumptions({ words }: { words: readonly string[] }) {
  if (words.length === 0) return null;
  return (
    <details className="assumed">
      <summary>What was assumed</summary>
      <ul className="sentences small muted">
        {words.map((one) => (
          <li key={one}>{one}</li>
        ))}
      </ul>
    </details>
  );
}
