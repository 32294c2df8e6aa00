import type { GoalWords, Measure } from "@evencrumb/core/trials";
import { useState } from "react";
import { typedNumber } from "./asking.js";
import type { BakingTrial } from "./documents.js";
import { plain } from "./settingWords.js";

/** One wish as it is typed. */
interface TypedWish {
  readonly want: GoalWords["direction"] | "";
  readonly target: string;
  readonly low: string;
  readonly high: string;
  readonly importance: string;
}

const shown = (value: number | undefined): string => (value === undefined ? "" : plain(value, 3));

function typedWish(goal: GoalWords | undefined): TypedWish {
  return {
    want: goal?.direction ?? "",
    target: shown(goal?.target),
    low: shown(goal?.low),
    high: shown(goal?.high),
    importance: shown(goal?.importance ?? 1),
  };
}

function goalOf(response: string, { want, target, low, high, importance }: TypedWish): GoalWords | undefined {
  if (want === "") return undefined;
  const number = (key: "target" | "low" | "high", text: string) => {
    const value = typedNumber(text);
    return value === undefined ? {} : { [key]: value };
  };
  const weight = typedNumber(importance);
  return {
    response,
    direction: want,
    ...number("target", target),
    ...(want === "smaller" ? {} : number("low", low)),
    ...(want === "larger" ? {} : number("high", high)),
    ...(weight === undefined || weight === 1 ? {} : { importance: weight }),
  };
}

/** What is wanted of each measure: more, less or a value; what is not acceptable; and what counts most. */
export function Wishes({
  trial,
  measures,
  onGoals,
}: {
  trial: BakingTrial;
  measures: readonly Measure[];
  onGoals: (goals: readonly GoalWords[]) => void;
}) {
  const [typed, setTyped] = useState<Readonly<Record<string, TypedWish>>>(() => {
    const given = trial.goals ?? [];
    return Object.fromEntries(
      measures.map((measure, index) => {
        const goal = given.find(({ response }) => response === measure.name);
        const usual: GoalWords | undefined =
          given.length === 0 && index === 0 && measure.better !== undefined
            ? { response: measure.name, direction: measure.better }
            : undefined;
        return [measure.name, typedWish(goal ?? usual)];
      }),
    );
  });
  const change = (name: string, wish: TypedWish) => {
    const next = { ...typed, [name]: wish };
    setTyped(next);
    onGoals(measures.flatMap((measure) => goalOf(measure.name, next[measure.name]!) ?? []));
  };
  return (
    <details className="more wishes" open={(trial.goals ?? []).length > 0}>
      <summary>What you want of it</summary>
      <p className="muted">
        Wishes for several measures are met together as well as they can be. A limit that you leave out decides nothing.
      </p>
      {measures.map((measure) => (
        <WishRow
          key={measure.name}
          measure={measure}
          wish={typed[measure.name] ?? typedWish(undefined)}
          several={measures.length > 1}
          onWish={(wish) => change(measure.name, wish)}
        />
      ))}
    </details>
  );
}

function WishRow({
  measure: { name, unit },
  wish,
  several,
  onWish,
}: {
  measure: Measure;
  wish: TypedWish;
  several: boolean;
  onWish: (wish: TypedWish) => void;
}) {
  const { want } = wish;
  const field = (key: "target" | "low" | "high", label: string) => (
    <label className="wish-field">
      <span className="label">{label}</span>
      <span className="with-unit">
        <input
          className="short"
          inputMode="decimal"
          value={wish[key]}
          aria-invalid={wish[key].trim() !== "" && typedNumber(wish[key]) === undefined}
          onChange={(event) => onWish({ ...wish, [key]: event.currentTarget.value })}
        />
        <span className="muted">{unit}</span>
      </span>
    </label>
  );
  return (
    <fieldset className="wish">
      <legend>{name}</legend>
      <label className="wish-field">
        <span className="label">Wanted</span>
        <select value={want} onChange={(event) => onWish({ ...wish, want: event.currentTarget.value as TypedWish["want"] })}>
          <option value="">nothing in particular</option>
          <option value="larger">more</option>
          <option value="smaller">less</option>
          <option value="target">a value</option>
        </select>
      </label>
      {want === "" ? null : (
        <>
          {field("target", want === "target" ? "The value" : "Good enough from")}
          {want === "smaller" ? null : field("low", "Not acceptable at or below")}
          {want === "larger" ? null : field("high", "Not acceptable at or above")}
          {several ? (
            <label className="wish-field">
              <span className="label">It counts</span>
              <select value={wish.importance} onChange={(event) => onWish({ ...wish, importance: event.currentTarget.value })}>
                {[
                  ["0.5", "half as much"],
                  ["1", "as much as others"],
                  ["2", "twice as much"],
                  ["3", "three times as much"],
                ].map(([value, words]) => (
                  <option key={value} value={value}>
                    {words}
                  </option>
                ))}
                {["0.5", "1", "2", "3"].includes(wish.importance) ? null : (
                  <option value={wish.importance}>{wish.importance} times as much</option>
                )}
              </select>
            </label>
          ) : null}
        </>
      )}
    </fieldset>
  );
}
