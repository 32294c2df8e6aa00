import { compareFormulas, countEggs, formulaGrams } from "@evencrumb/core/formula";
import { displayName } from "@evencrumb/core/ingredients";
import { formatGrams } from "@evencrumb/core/quantities";
import { compareTins, tinComponent } from "@evencrumb/core/tins";
import { useMemo, useState } from "react";
import { ActionButton } from "../app/ActionButton.js";
import { defineActions } from "../app/action.js";
import { addresses, go, useRoute } from "../app/route.js";
import { useHouseState } from "../app/useHouse.js";
import {
  eggOf,
  SCALE_BY,
  type ScaleBy,
  type ScaledBatch,
  type ScaleRequest,
  scaleAs,
  scaleQuery,
  scaleRequestFrom,
} from "../formula/scaling.js";
import type { FormulaSession } from "../formula/session.js";
import { TinsDrawn } from "../margin/TinsReading.js";
import { Aligned } from "../parts/Aligned.js";
import { Field } from "../parts/Field.js";
import { TinPicture, tinWidthMm } from "../parts/TinPicture.js";
import { useOwnedTins } from "../parts/useOwnedTins.js";
import { type OpenFormula, useSessionState } from "./FormulaPage.js";

const LABELS: Readonly<
  Record<ScaleBy, { readonly choice: string; readonly field: string; readonly help: string; readonly first: string }>
> = {
  tins: { choice: "Tins", field: "Tins", help: "Such as 2 round 23x5 cm, or a tin you own.", first: "" },
  grams: { choice: "Weight", field: "Raw weight, g", help: "Of everything, or of one component.", first: "1500" },
  portions: { choice: "Portions", field: "Portions", help: "Of the same size as now.", first: "24" },
  eggs: { choice: "Eggs", field: "Whole eggs", help: "So that no part of an egg is left over.", first: "6" },
  ingredient: { choice: "What is left", field: "Left, g", help: "Of one ingredient, to be used up.", first: "" },
  factor: { choice: "Times", field: "Times the formula", help: "Such as 1.5.", first: "2" },
};

interface ScaleContext {
  readonly id: string;
  readonly session: FormulaSession;
  readonly request: ScaleRequest;
  readonly batch: ScaledBatch | null;
}

export const scaleActions = defineActions<ScaleContext>()({
  batchSheet: {
    label: "Batch sheet for this",
    applies: ({ batch }) => batch !== null,
    does: ({ id, request }) => go(addresses.formula(id, "batch", scaleQuery(request))),
  },
  takeOver: {
    label: "Put these weights in the sheet",
    applies: ({ batch }) => batch !== null,
    does: ({ id, session, batch }) => {
      if (batch === null) return;
      session.edit(() => ({ ok: true, value: batch.formula }));
      go(addresses.formula(id));
    },
  },
});

/** From this batch to the one that is wanted: to tins, a weight, portions, eggs, what is left, or times. */
export function ScalePage({ open }: { open: OpenFormula }) {
  const { session } = open;
  const { id } = open.detail.document;
  const { formula } = useSessionState(session);
  const { book, settings } = useHouseState();
  const owned = useOwnedTins();
  const route = useRoute();
  const asked = route.page === "formula" ? scaleRequestFrom(route.query) : null;
  const inTins = tinComponent(formula);
  const [request, setRequestState] = useState<ScaleRequest>(
    () => asked ?? { by: "tins", value: inTins?.tins?.map(({ count, tin }) => `${count} ${tin}`).join(", ") ?? "" },
  );
  const setRequest = (next: ScaleRequest) => {
    setRequestState(next);
    go(addresses.formula(id, "scale", scaleQuery(next)), true);
  };
  const result = useMemo(
    () => (request.value.trim() === "" ? null : scaleAs(request, formula, book, owned, settings)),
    [request, formula, book, owned, settings],
  );
  const batch = result?.ok ? result.value : null;
  const context: ScaleContext = { id, session, request, batch };
  const eggs = useMemo(() => countEggs(formula, book, eggOf(settings)).eggs, [formula, book, settings]);
  const used = useMemo(() => {
    const ids = new Set(
      formula.components.flatMap(({ stages }) => stages.flatMap(({ uses }) => uses.map(({ ingredient }) => ingredient))),
    );
    return [...ids].map((ingredient) => {
      const known = book.get(ingredient);
      return { ingredient, name: known === undefined ? ingredient : displayName(known, settings.names) };
    });
  }, [formula, book, settings.names]);
  const labels = LABELS[request.by];
  const pxPerMm = batch?.filling
    ? drawingScale(
        batch.filling.tins.map(({ tin }) => tinWidthMm(tin)),
        340,
      )
    : 1;

  return (
    <div className="page">
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.formula(id)}>
            ‹ {formula.name}
          </a>
          <h1>Scale</h1>
          <p className="muted figures">
            Now {formatGrams(formulaGrams(formula), { weighing: settings.rounding })}
            {formula.portions === undefined ? "" : `, ${formula.portions} portions`}
            {eggs > 0 ? `, ${Number(eggs.toFixed(1))} eggs` : ""}
          </p>
        </div>
        <div className="buttons">
          <ActionButton action={scaleActions.takeOver} context={context} />
          <ActionButton action={scaleActions.batchSheet} context={context} kind="main" />
        </div>
      </header>

      <fieldset className="segments">
        <legend className="hidden-words">Scale to</legend>
        {SCALE_BY.map((by) => (
          <label key={by} className="segment">
            <input
              type="radio"
              name="scale-by"
              checked={request.by === by}
              onChange={() =>
                setRequest({
                  by,
                  value: firstValue(by, formula.portions, eggs),
                  ...(by === "ingredient" && used[0] !== undefined ? { ingredient: used[0].ingredient } : {}),
                })
              }
            />
            <span>{LABELS[by].choice}</span>
          </label>
        ))}
      </fieldset>

      <div className="row">
        {request.by === "ingredient" ? (
          <Field label="Ingredient">
            {(field) => (
              <select
                {...field}
                value={request.ingredient ?? ""}
                onChange={(event) => setRequest({ ...request, ingredient: event.currentTarget.value })}
              >
                {used.map(({ ingredient, name }) => (
                  <option key={ingredient} value={ingredient}>
                    {name}
                  </option>
                ))}
              </select>
            )}
          </Field>
        ) : null}
        <Field
          label={labels.field}
          help={labels.help}
          wrong={result !== null && !result.ok ? `Expected ${result.error.expected}. ${result.error.remedy}` : null}
          className={request.by === "tins" ? "grow" : ""}
        >
          {(field) => (
            <input
              {...field}
              className={request.by === "tins" ? "" : "short"}
              inputMode={request.by === "tins" ? "text" : "decimal"}
              value={request.value}
              onChange={(event) => setRequest({ ...request, value: event.currentTarget.value })}
            />
          )}
        </Field>
        {request.by === "tins" || request.by === "grams" ? (
          <Field label={request.by === "tins" ? "Filled with" : "Weight of"}>
            {(field) => (
              <select
                {...field}
                value={request.component ?? ""}
                onChange={(event) => {
                  const { component: _none, ...rest } = request;
                  setRequest(event.currentTarget.value === "" ? rest : { ...rest, component: event.currentTarget.value });
                }}
              >
                <option value="">{request.by === "tins" ? (inTins?.name ?? "the cake") : "everything"}</option>
                {formula.components
                  .filter(({ name }) => request.by === "grams" || name !== inTins?.name)
                  .map(({ name }) => (
                    <option key={name}>{name}</option>
                  ))}
              </select>
            )}
          </Field>
        ) : null}
      </div>

      {request.by === "tins" && owned.length > 0 ? (
        <OwnTins
          onPick={(name, count) => setRequest({ ...request, value: `${count} ${name}` })}
          comparison={compareTins(formula, owned, {
            book,
            ...(request.component === undefined ? {} : { component: request.component }),
          })}
        />
      ) : null}

      {batch === null ? null : (
        <div className="scaled">
          <section aria-label="The scaled batch" className="scaled-lines">
            <p className="factor">
              <strong className="figures">{Number(batch.factor.toFixed(3))}</strong> times the formula
            </p>
            <ScaledLines batch={batch} session={session} />
          </section>
          {batch.filling === null ? null : (
            <section className="reading scaled-tins" aria-label="In the tins">
              <h2>In the tins</h2>
              <TinsDrawn
                filling={batch.filling}
                before={batch.before ?? undefined}
                pxPerMm={pxPerMm}
                settings={settings}
                cautions={batch.cautions}
              />
            </section>
          )}
        </div>
      )}
    </div>
  );
}

function firstValue(by: ScaleBy, portions: number | undefined, eggs: number): string {
  if (by === "portions" && portions !== undefined) return String(portions * 2);
  if (by === "eggs" && eggs > 0) return String(Math.max(1, Math.round(eggs)));
  return LABELS[by].first;
}

/** So many px for a mm that the widest fits, and no tin is drawn larger than life. */
export const drawingScale = (widthsMm: readonly number[], roomPx: number): number =>
  Math.min(roomPx / (Math.max(...widthsMm, 100) + 14), 1.6);

function ScaledLines({ batch, session }: { batch: ScaledBatch; session: FormulaSession }) {
  const { book, settings } = useHouseState();
  const comparison = compareFormulas(session.state().formula, batch.formula, book);
  const grams = (value: number | null) =>
    value === null ? "–" : formatGrams(value, { bare: true, weighing: settings.rounding });
  return (
    <table className="plain-table figures">
      <thead>
        <tr>
          <th scope="col">Ingredient</th>
          <th scope="col" className="figure">
            now, g
          </th>
          <th scope="col" className="figure">
            scaled, g
          </th>
        </tr>
      </thead>
      {comparison.components.map((component) => (
        <tbody key={component.name.after ?? component.name.before}>
          <tr>
            <th scope="rowgroup" colSpan={3} className="part-head">
              {component.name.after ?? component.name.before}
            </th>
          </tr>
          {component.ingredients.map((line) => (
            <tr key={line.ingredient}>
              <th scope="row">{line.name}</th>
              <td className="figure muted">
                <Aligned text={grams(line.grams.before)} />
              </td>
              <td className="figure strong">
                <Aligned text={grams(line.grams.after)} />
              </td>
            </tr>
          ))}
          <tr className="sum">
            <th scope="row">Together</th>
            <td className="figure">
              <Aligned text={grams(component.totalGrams.before)} />
            </td>
            <td className="figure">
              <Aligned text={grams(component.totalGrams.after)} />
            </td>
          </tr>
        </tbody>
      ))}
    </table>
  );
}

/** Every tin the baker owns, with what one batch means in it. A press takes it. */
function OwnTins({
  comparison,
  onPick,
}: {
  comparison: ReturnType<typeof compareTins>;
  onPick: (name: string, count: number) => void;
}) {
  const { tins } = useHouseState();
  const pxPerMm = drawingScale(
    comparison.map(({ fill }) => tinWidthMm(fill.tin)),
    130,
  );
  return (
    <ul className="own-tins" aria-label="Your tins">
      {comparison.map(({ name, fill, tinsPerBatch }) => {
        const has = tins.find(({ body }) => body.name === name)?.body.count ?? 1;
        const count = Math.max(1, Math.min(has, Math.round(tinsPerBatch)));
        return (
          <li key={name}>
            <button type="button" className="own-tin" onClick={() => onPick(name, count)}>
              <TinPicture tin={fill.tin} depthMm={fill.depthMm} pxPerMm={pxPerMm} label="" />
              <span>{name}</span>
              <span className="muted small figures">one batch fills {Number(tinsPerBatch.toFixed(1))}</span>
            </button>
          </li>
        );
      })}
    </ul>
  );
}
