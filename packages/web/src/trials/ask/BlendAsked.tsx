import { useEffect } from "react";
import { useHouseState } from "../../app/useHouse.js";
import { Field } from "../../parts/Field.js";
import { blendNow, nameOf } from "../asking.js";
import { plain } from "../settingWords.js";
import type { AskedProps } from "./fields.js";
import { RangeFields } from "./RangeFields.js";

/** What makes up the blend, and how much of it each may be. */
export function BlendAsked({ form, set, known }: AskedProps) {
  const { book, settings } = useHouseState();
  const formula = known[0]?.formula;
  const component = formula?.components.find(({ name }) => name === form.component) ?? formula?.components[0];
  useEffect(() => {
    if (component !== undefined && form.component !== component.name) set({ component: component.name, shares: [] });
  });
  if (formula === undefined || component === undefined) return null;
  const ingredients = [
    ...new Set(
      component.stages.flatMap(({ uses }) =>
        uses.filter(({ grams }) => grams !== null && grams > 0).map((use) => use.ingredient),
      ),
    ),
  ];
  const chosen = form.shares.map(({ ingredient }) => ingredient);
  const now = blendNow(formula, component.name, chosen);
  const toggle = (ingredient: string, wanted: boolean) => {
    const next = wanted ? [...chosen, ingredient] : chosen.filter((one) => one !== ingredient);
    const { shares } = blendNow(formula, component.name, next);
    set({
      shares: next.map((one, place) => ({
        ingredient: one,
        lower: String(Math.max(0, Math.round(shares[place]! * 20 - 4) * 5)),
        upper: String(Math.min(100, Math.round(shares[place]! * 20 + 4) * 5)),
      })),
    });
  };
  return (
    <section className="ask-part">
      <h2>The blend</h2>
      {formula.components.length > 1 ? (
        <Field label="In which component">
          {(props) => (
            <select
              {...props}
              value={component.name}
              onChange={(event) => set({ component: event.currentTarget.value, shares: [] })}
            >
              {formula.components.map(({ name }) => (
                <option key={name}>{name}</option>
              ))}
            </select>
          )}
        </Field>
      ) : null}
      <fieldset className="ask-choices columns">
        <legend>What makes it up</legend>
        {ingredients.map((ingredient) => (
          <label key={ingredient} className="choice">
            <input
              type="checkbox"
              checked={chosen.includes(ingredient)}
              onChange={(event) => toggle(ingredient, event.currentTarget.checked)}
            />
            <span>{nameOf(ingredient, book, settings.names)}</span>
          </label>
        ))}
      </fieldset>
      {form.shares.length === 0 ? null : (
        <>
          <p className="muted small figures">Together {plain(now.grams, 0)} g in every bake; only the shares move.</p>
          {form.shares.map((share, place) => {
            const name = nameOf(share.ingredient, book, settings.names);
            const change = (part: Partial<typeof share>) =>
              set({ shares: form.shares.map((other) => (other === share ? { ...share, ...part } : other)) });
            return (
              <fieldset key={share.ingredient} className="factor-edit">
                <legend>
                  {name}
                  <span className="muted figures">, now {plain(now.shares[place]! * 100, 0)} %</span>
                </legend>
                <RangeFields
                  low={share.lower}
                  high={share.upper}
                  unit="%"
                  onLow={(lower) => change({ lower })}
                  onHigh={(upper) => change({ upper })}
                />
              </fieldset>
            );
          })}
        </>
      )}
    </section>
  );
}
