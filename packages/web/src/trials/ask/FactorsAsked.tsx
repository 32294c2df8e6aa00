import { useHouseState } from "../../app/useHouse.js";
import { Field } from "../../parts/Field.js";
import type { Form, PickedFactor } from "../asking.js";
import { type FactorChoice, firstRange, nameOf, replacements } from "../factorChoices.js";
import { plain } from "../settingWords.js";
import type { AskedProps } from "./fields.js";
import { RangeFields } from "./RangeFields.js";

const GROUPS: readonly (readonly [FactorChoice["group"], string])[] = [
  ["amounts", "Amounts"],
  ["swaps", "Swaps"],
  ["oven and tin", "Oven and tin"],
  ["method", "Method"],
];
const MOST = 8;

/** What is changed on purpose, and how far: amounts, swaps, targets of the method, the oven, the tin. */
export function FactorsAsked({ form, set, choices, beside = false }: AskedProps & { beside?: boolean }) {
  const free = choices.filter(
    ({ key, group }) =>
      !form.factors.some((factor) => factor.key === key) && (!beside || group === "oven and tin" || group === "method"),
  );
  const change = (key: string, part: Partial<PickedFactor>) =>
    set({ factors: form.factors.map((factor) => (factor.key === key ? { ...factor, ...part } : factor)) });
  const first = form.factors.length === 0;
  return (
    <section className="ask-part">
      <h2>{beside ? "What is changed beside the blend" : "What is changed, and how far"}</h2>
      {beside && first ? <p className="muted">Nothing, unless you choose an oven, a time, a tin or a target.</p> : null}
      {form.factors.map((factor) => {
        const choice = choices.find(({ key }) => key === factor.key);
        if (choice === undefined) return null;
        return (
          <FactorEdit
            key={factor.key}
            factor={factor}
            choice={choice}
            onChange={(part) => change(factor.key, part)}
            onRemove={() => set({ factors: form.factors.filter(({ key }) => key !== factor.key) })}
          />
        );
      })}
      {form.factors.length < MOST ? (
        <Field label={first ? "Change" : "Change as well"}>
          {(props) => (
            <select
              {...props}
              value=""
              onChange={(event) => {
                const choice = choices.find(({ key }) => key === event.currentTarget.value);
                if (choice !== undefined) set({ factors: [...form.factors, firstOf(choice)] });
              }}
            >
              <option value="">
                {beside ? "choose a time, a temperature, a tin…" : "choose an amount, a swap, a time, a tin…"}
              </option>
              {GROUPS.map(([group, words]) => {
                const mine = free.filter((choice) => choice.group === group);
                return mine.length === 0 ? null : (
                  <optgroup key={group} label={words}>
                    {mine.map(({ key, label }) => (
                      <option key={key} value={key}>
                        {label}
                      </option>
                    ))}
                  </optgroup>
                );
              })}
            </select>
          )}
        </Field>
      ) : null}
    </section>
  );
}

function firstOf(choice: FactorChoice): Form["factors"][number] {
  return {
    key: choice.key,
    ...firstRange(choice),
    ...(choice.tins === undefined ? {} : { levels: [choice.tins.now, ""] }),
    ...(choice.swap?.how === "whole" ? { levels: [""] } : {}),
    ...(choice.swap?.how === "part" ? { by: "" } : {}),
  };
}

function FactorEdit({
  factor,
  choice,
  onChange,
  onRemove,
}: {
  factor: PickedFactor;
  choice: FactorChoice;
  onChange: (part: Partial<PickedFactor>) => void;
  onRemove: () => void;
}) {
  return (
    <fieldset className="factor-edit">
      <legend>
        {choice.label}
        {choice.now === null ? null : (
          <span className="muted figures">
            , now {plain(choice.now, 2)} {choice.unit}
          </span>
        )}
      </legend>
      {choice.swap === undefined ? null : <SwapEdit factor={factor} choice={choice} onChange={onChange} />}
      {choice.tins !== undefined ? (
        (factor.levels ?? []).map((level, place) => (
          <input
            // biome-ignore lint/suspicious/noArrayIndexKey: a tin has no other identity than its place
            key={place}
            aria-label={`${choice.label} ${place + 1}`}
            value={level}
            placeholder="2 round 18x7 cm"
            onChange={(event) =>
              onChange({
                levels: (factor.levels ?? []).map((other, index) => (index === place ? event.currentTarget.value : other)),
              })
            }
          />
        ))
      ) : choice.swap?.how === "whole" ? null : (
        <RangeFields
          low={factor.low}
          high={factor.high}
          unit={choice.unit}
          onLow={(low) => onChange({ low })}
          onHigh={(high) => onChange({ high })}
        />
      )}
      <button type="button" className="button quiet" aria-label={`Leave out ${choice.label}`} onClick={onRemove}>
        Leave out
      </button>
    </fieldset>
  );
}

/** What takes the place of an ingredient: one for a part of it, one or more for the whole of it. */
function SwapEdit({
  factor,
  choice,
  onChange,
}: {
  factor: PickedFactor;
  choice: FactorChoice;
  onChange: (part: Partial<PickedFactor>) => void;
}) {
  const { book, settings } = useHouseState();
  const { ingredient, how } = choice.swap!;
  const others = replacements(ingredient, book);
  const picker = (label: string, value: string, onValue: (id: string) => void, key: number) => (
    <select key={key} aria-label={label} value={value} onChange={(event) => onValue(event.currentTarget.value)}>
      <option value="">choose by what…</option>
      {others.map(({ id }) => (
        <option key={id} value={id}>
          {nameOf(id, book, settings.names)}
        </option>
      ))}
    </select>
  );
  const now = nameOf(ingredient, book, settings.names);
  if (how === "part") return picker(`What takes the place of ${now}`, factor.by ?? "", (by) => onChange({ by }), 0);
  const levels = factor.levels ?? [""];
  return (
    <>
      <span className="muted">{now}, or</span>
      {levels.map((level, place) =>
        picker(
          `In place of ${now}, ${place + 1}`,
          level,
          (id) => onChange({ levels: levels.map((other, index) => (index === place ? id : other)) }),
          place,
        ),
      )}
      {levels.length < 4 && levels.every((level) => level !== "") ? (
        <button type="button" className="button quiet" onClick={() => onChange({ levels: [...levels, ""] })}>
          And another
        </button>
      ) : null}
    </>
  );
}
