import type { Formula } from "@evencrumb/core/formula";
import { type AllergenName, displayName, formatAllergen } from "@evencrumb/core/ingredients";
import { SWAPS } from "@evencrumb/core/rebalance";
import { useMemo } from "react";
import { addresses, go } from "../app/route.js";
import { useHouseState } from "../app/useHouse.js";
import { eggOf } from "../formula/scaling.js";
import { readSmall, writeSmall } from "../keep/storage.js";
import { useKept } from "../keep/useKept.js";
import { AnswerPanel } from "../rebalance/AnswerPanel.js";
import {
  type Asked,
  firstAsked,
  HOLDS,
  type HoldName,
  ingredientsOf,
  isBent,
  LIMITS,
  type LimitName,
  readAsked,
  takeSwap,
} from "../rebalance/asked.js";
import { rebalanceWork } from "../rebalance/jobs.js";
import { Chip, IngredientPicker } from "../rebalance/parts.js";
import { ingredientsFor } from "../work/bookOf.js";
import { useJob } from "../work/useJob.js";
import "../style/rebalance.css";
import { type OpenFormula, useSessionState } from "./FormulaPage.js";

/** Swap one thing for another, or ask for less of it, and hold what must hold: the answer follows as it is asked. */
export function RebalancePage({ open }: { open: OpenFormula }) {
  const { session, detail } = open;
  const { id } = detail.document;
  const { formula, baseRevisionId } = useSessionState(session);
  const { settings } = useHouseState();
  const { book } = session;
  const [kept, setAsked] = useKept<Asked>(`rebalance.${id}`, firstAsked(formula));
  const asked = useMemo(() => fitting(kept, formula), [kept, formula]);
  const change = (part: Partial<Asked>) => setAsked({ ...asked, ...part });
  const component = formula.components.find(({ name }) => name === asked.component);
  const ids = useMemo(() => (component === undefined ? [] : ingredientsOf(component)), [component]);
  const names = settings.names;
  const nameOf = (one: string) => {
    const ingredient = book.get(one);
    return ingredient === undefined ? one : displayName(ingredient, names);
  };
  const weighed = ids.filter((one) => gramsIn(formula, asked.component, one) > 0);
  const offered = SWAPS.filter((swap) => weighed.includes(swap.from) && swap.to.every((to) => book.get(to) !== undefined));
  const taken = offered.find(
    (swap) => asked.swap !== null && swap.from === asked.swap.from && swap.to.join() === asked.swap.to.join(),
  );
  const eggs = weighed.filter((one) => /^egg-whole/.test(one) && !one.includes("dried"));
  const allergens = useMemo(() => {
    const all = [...ids, ...asked.without].flatMap((one) => book.get(one)?.contains.map(({ allergen }) => allergen) ?? []);
    return [...new Set<AllergenName>([...all, ...asked.without])];
  }, [ids, book, asked.without]);

  const read = useMemo(() => readAsked(asked, formula, eggs), [asked, formula, eggs]);
  const question = useMemo(() => {
    if (!read.ok) return null;
    const extra = [...(asked.swap?.to ?? []), ...asked.mayAdd];
    const content = {
      request: read.request,
      limits: read.limits,
      weighing: settings.rounding,
      ingredients: ingredientsFor(book, [formula], extra),
    };
    return { key: JSON.stringify([asked, formula, settings.rounding]), ...content };
  }, [read, asked, formula, book, settings.rounding]);
  const job = useJob(rebalanceWork, "rebalance", question, 120);

  const put = (next: Formula) => session.edit(() => ({ ok: true, value: next }));
  return (
    <div className="page">
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.formula(id)}>
            ‹ {formula.name}
          </a>
          <h1>Swap and rebalance</h1>
        </div>
        {formula.components.length > 1 ? (
          <label className="pick">
            in
            <select
              value={asked.component}
              onChange={(event) => setAsked({ ...firstAsked(formula), hold: asked.hold, component: event.currentTarget.value })}
            >
              {formula.components.map(({ name }) => (
                <option key={name}>{name}</option>
              ))}
            </select>
          </label>
        ) : null}
      </header>
      <div className="rebalance-sides">
        <div className="rebalance-ask">
          <section aria-label="What is swapped" className="stack">
            <h2>Swap</h2>
            {offered.length === 0 ? null : (
              <ul className="offered">
                {[...new Set(offered.map(({ from }) => from))].map((from) => (
                  <li key={from}>
                    <span className="offered-from">{nameOf(from)} →</span>
                    <span className="offers">
                      {offered
                        .filter((swap) => swap.from === from)
                        .map((swap) => (
                          <button
                            key={swap.to.join()}
                            type="button"
                            className="offer"
                            aria-label={`${nameOf(from)} to ${swap.to.map(nameOf).join(" and ")}`}
                            aria-pressed={swap === taken}
                            onClick={() =>
                              setAsked(swap === taken ? { ...asked, swap: null, mayAdd: [] } : takeSwap(asked, swap))
                            }
                          >
                            {swap.to.map(nameOf).join(" and ")}
                          </button>
                        ))}
                    </span>
                  </li>
                ))}
              </ul>
            )}
            <div className="swap-line">
              <label className="hidden-words" htmlFor="swap-percent">
                How much of it, in per cent
              </label>
              <input
                id="swap-percent"
                className="swap-percent"
                inputMode="decimal"
                value={asked.swap?.percent ?? ""}
                placeholder="100"
                disabled={asked.swap === null}
                onChange={(event) =>
                  asked.swap === null ? undefined : change({ swap: { ...asked.swap, percent: event.currentTarget.value } })
                }
              />
              <span className="muted">% of</span>
              <select
                aria-label="What is replaced"
                value={asked.swap?.from ?? ""}
                onChange={(event) => {
                  const from = event.currentTarget.value;
                  change(
                    from === ""
                      ? { swap: null, mayAdd: [] }
                      : { swap: { from, percent: asked.swap?.percent ?? "100", to: [] }, mayAdd: [] },
                  );
                }}
              >
                <option value="">nothing</option>
                {weighed.map((one) => (
                  <option key={one} value={one}>
                    {nameOf(one)}
                  </option>
                ))}
              </select>
              {asked.swap === null ? null : (
                <>
                  <span className="muted">by</span>
                  <IngredientPicker
                    label="What takes its place"
                    add={asked.swap.to.length === 0 ? "choose what takes its place" : "and…"}
                    ids={asked.swap.to}
                    onIds={(to) => (asked.swap === null ? undefined : change({ swap: { ...asked.swap, to } }))}
                    book={book}
                    names={names}
                  />
                </>
              )}
            </div>
            {taken === undefined ? null : <p className="muted">{taken.words}</p>}
          </section>
          <section aria-label="What must hold" className="stack">
            <h2>Held as it is</h2>
            <div className="chips">
              {(Object.keys(HOLDS) as HoldName[]).map((name) => (
                <Chip key={name} checked={asked.hold.includes(name)} onChange={() => change({ hold: toggled(asked.hold, name) })}>
                  {HOLDS[name].words}
                </Chip>
              ))}
            </div>
          </section>
          <section aria-label="Limits" className="stack">
            <h2>Limits</h2>
            {asked.limits.map((limit, index) => {
              const set = (part: Partial<typeof limit>) =>
                change({ limits: asked.limits.map((one, at) => (at === index ? { ...one, ...part } : one)) });
              const { words, unit } = LIMITS[limit.of];
              return (
                // biome-ignore lint/suspicious/noArrayIndexKey: a limit has no name but its place
                <fieldset key={index} className="limit bare-set" aria-label={`Limit of ${words}`}>
                  <select
                    aria-label="What is limited"
                    value={limit.of}
                    onChange={(event) => set({ of: event.currentTarget.value as LimitName })}
                  >
                    {(Object.keys(LIMITS) as LimitName[]).map((name) => (
                      <option key={name} value={name}>
                        {LIMITS[name].words}
                      </option>
                    ))}
                  </select>
                  <select
                    aria-label="At most or at least"
                    value={limit.side}
                    onChange={(event) => set({ side: event.currentTarget.value as typeof limit.side })}
                  >
                    <option value="most">at most</option>
                    <option value="least">at least</option>
                  </select>
                  <input
                    className="limit-figure"
                    aria-label={`The figure${unit === "" ? "" : ` in ${unit}`}`}
                    inputMode="decimal"
                    value={limit.value}
                    onChange={(event) => set({ value: event.currentTarget.value })}
                  />
                  <span className="muted">{unit}</span>
                  {isBent(limit.of) ? null : (
                    <select
                      aria-label="In 100 g or in the batch"
                      value={limit.per}
                      onChange={(event) => set({ per: event.currentTarget.value as typeof limit.per })}
                    >
                      <option value="100g">in 100 g</option>
                      <option value="batch">in the batch</option>
                    </select>
                  )}
                  <button
                    type="button"
                    className="picked-out"
                    aria-label={`Take out the limit of ${words}`}
                    onClick={() => change({ limits: asked.limits.filter((_, at) => at !== index) })}
                  >
                    ×
                  </button>
                </fieldset>
              );
            })}
            <button
              type="button"
              className="words accent at-start"
              onClick={() => change({ limits: [...asked.limits, { of: "sugars", side: "most", value: "", per: "100g" }] })}
            >
              add a limit
            </button>
          </section>
          {allergens.length === 0 ? null : (
            <section aria-label="Left out" className="stack">
              <h2>Without</h2>
              <div className="chips">
                {allergens.map((allergen) => (
                  <Chip
                    key={allergen}
                    checked={asked.without.includes(allergen)}
                    onChange={() => change({ without: toggled(asked.without, allergen) })}
                  >
                    {formatAllergen({ allergen })}
                  </Chip>
                ))}
              </div>
            </section>
          )}
          <section aria-label="How" className="stack">
            <h2>By what means</h2>
            <div className="means">
              <span className="means-head">May be added</span>
              <IngredientPicker
                label="May be added"
                add="add an ingredient"
                ids={asked.mayAdd}
                onIds={(mayAdd) => change({ mayAdd })}
                book={book}
                names={names}
              />
              {eggs.length === 0 ? null : (
                <>
                  <span className="means-head">Eggs</span>
                  <div className="picked">
                    <Chip
                      checked={asked.wholeEggs !== null}
                      onChange={() =>
                        change({ wholeEggs: asked.wholeEggs === null ? String(Math.round(eggOf(settings).wholeGrams)) : null })
                      }
                    >
                      whole ones only
                    </Chip>
                    {asked.wholeEggs === null ? null : (
                      <label className="pick">
                        of
                        <input
                          className="limit-figure"
                          inputMode="decimal"
                          value={asked.wholeEggs}
                          onChange={(event) => change({ wholeEggs: event.currentTarget.value })}
                        />
                        g each
                      </label>
                    )}
                  </div>
                </>
              )}
              <span className="means-head">Look for</span>
              <label className="pick">
                <span className="hidden-words">Look for the</span>
                <select value={asked.aim} onChange={(event) => change({ aim: event.currentTarget.value as Asked["aim"] })}>
                  <option value="nearest">the nearest to what it is now</option>
                  <option value="cheapest">the cheapest, by your prices</option>
                </select>
              </label>
            </div>
          </section>
        </div>
        <AnswerPanel
          lines={ids.map((one) => ({ id: one, name: nameOf(one), grams: gramsIn(formula, asked.component, one) }))}
          nameOf={nameOf}
          component={asked.component}
          kept={asked.keep}
          onKeep={(one) => change({ keep: toggled(asked.keep, one) })}
          words={read.ok ? [] : read.words}
          isAsked={read.ok}
          job={job}
          questionKey={question?.key ?? null}
          onPut={(next) => {
            if (put(next)) go(addresses.formula(id, "sheet", { with: baseRevisionId }));
          }}
          onKeepRevision={(next, note) => {
            if (!put(next)) return;
            // The sheet opens its own dialogue, with what was done already written down.
            if (readSmall<string>(`text.note.${id}`) === undefined) writeSmall(`text.note.${id}`, note);
            writeSmall(`dialog.${id}`, { about: "keep" });
            go(addresses.formula(id));
          }}
        />
      </div>
    </div>
  );
}

const toggled = <One,>(all: readonly One[], one: One): readonly One[] =>
  all.includes(one) ? all.filter((other) => other !== one) : [...all, one];

const gramsIn = (formula: Formula, component: string, ingredient: string): number =>
  formula.components
    .filter(({ name }) => name === component)
    .flatMap(({ stages }) => stages.flatMap(({ uses }) => uses))
    .reduce((sum, use) => sum + (use.ingredient === ingredient ? (use.grams ?? 0) : 0), 0);

/** What was asked before may name what the formula no longer has. */
function fitting(asked: Asked, formula: Formula): Asked {
  const component = formula.components.find(({ name }) => name === asked.component);
  if (component === undefined) return firstAsked(formula);
  const ids = ingredientsOf(component);
  const swap = asked.swap !== null && gramsIn(formula, asked.component, asked.swap.from) > 0 ? asked.swap : null;
  return {
    ...asked,
    swap,
    ...(swap === asked.swap ? {} : { mayAdd: [] }),
    keep: asked.keep.filter((id) => ids.includes(id)),
  };
}
