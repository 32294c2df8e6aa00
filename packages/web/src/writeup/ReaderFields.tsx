import { READER_MEASURES, type ReaderMeasures } from "@evencrumb/core/writeup";
import { Field } from "../parts/Field.js";
import { EGGS, type ReaderBatch, type ReaderChoices } from "./options.js";

const MEASURE_WORDS: Readonly<Record<ReaderMeasures, string>> = {
  metric: "grams",
  imperial: "ounces and pounds",
  us: "US cups and spoons",
};
const BATCH_WORDS: Readonly<Record<ReaderBatch["by"], string>> = {
  formula: "as the formula is",
  tins: "for these tins",
  portions: "for so many portions",
  factor: "so many times",
};

/** For whom it is written: their measures, names, eggs, tins. */
export function ReaderFields({
  choices,
  choose,
  batch,
  onBatch,
  firstBatch,
  wrong,
}: {
  choices: ReaderChoices;
  choose: (change: Partial<ReaderChoices>) => void;
  batch: ReaderBatch;
  onBatch: (batch: ReaderBatch) => void;
  /** What stands in the field when a way of scaling is chosen. */
  firstBatch: Readonly<Record<ReaderBatch["by"], string>>;
  wrong: string | null;
}) {
  return (
    <>
      <div className="row">
        <Field label="In the reader's">
          {(field) => (
            <select
              {...field}
              value={choices.measures}
              onChange={(event) => choose({ measures: event.currentTarget.value as ReaderMeasures })}
            >
              {READER_MEASURES.map((one) => (
                <option key={one} value={one}>
                  {MEASURE_WORDS[one]}
                </option>
              ))}
            </select>
          )}
        </Field>
        <Field label="Names">
          {(field) => (
            <select
              {...field}
              value={choices.names}
              onChange={(event) => choose({ names: event.currentTarget.value as ReaderChoices["names"] })}
            >
              <option value="">those of the measures</option>
              <option value="british">British</option>
              <option value="us">US</option>
            </select>
          )}
        </Field>
        <Field label="Eggs">
          {(field) => (
            <select {...field} value={choices.egg} onChange={(event) => choose({ egg: event.currentTarget.value })}>
              {EGGS.map(([key, words]) => (
                <option key={key} value={key}>
                  {words}
                </option>
              ))}
            </select>
          )}
        </Field>
        <Field label="Bake time">
          {(field) => (
            <select
              {...field}
              value={choices.time}
              onChange={(event) => choose({ time: event.currentTarget.value as ReaderChoices["time"] })}
            >
              <option value="predicted">predicted, with its band</option>
              <option value="own">the formula's own minutes</option>
            </select>
          )}
        </Field>
      </div>
      <div className="row">
        <Field label="How much">
          {(field) => (
            <select
              {...field}
              value={batch.by}
              onChange={(event) => {
                const by = event.currentTarget.value as ReaderBatch["by"];
                onBatch({ by, value: firstBatch[by] });
              }}
            >
              {(Object.keys(BATCH_WORDS) as ReaderBatch["by"][]).map((one) => (
                <option key={one} value={one}>
                  {BATCH_WORDS[one]}
                </option>
              ))}
            </select>
          )}
        </Field>
        {batch.by === "formula" ? null : (
          <Field
            label={{ tins: "Tins", portions: "Portions", factor: "Times" }[batch.by]}
            help={batch.by === "tins" ? "Such as 1 round 23x7 cm, or two 8 inch round tins." : undefined}
            wrong={wrong}
            className={batch.by === "tins" ? "grow" : ""}
          >
            {(field) => (
              <input
                {...field}
                className={batch.by === "tins" ? "" : "short"}
                inputMode={batch.by === "tins" ? "text" : "decimal"}
                value={batch.value}
                onChange={(event) => onBatch({ ...batch, value: event.currentTarget.value })}
              />
            )}
          </Field>
        )}
        <Field label="Written by">
          {(field) => (
            <input
              {...field}
              value={choices.author}
              maxLength={120}
              onChange={(event) => choose({ author: event.currentTarget.value })}
            />
          )}
        </Field>
        <Field label="Dated">
          {(field) => (
            <input
              {...field}
              type="date"
              value={choices.date}
              onChange={(event) => choose({ date: event.currentTarget.value })}
            />
          )}
        </Field>
      </div>
    </>
  );
}
