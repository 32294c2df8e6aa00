import { FURTHER_NUTRIENTS, FURTHER_WORDS, type FurtherStatement } from "@evencrumb/core/ingredients";
import type { Problem } from "@evencrumb/core/quantities";
import { Field, problemWords } from "../parts/Field.js";

/** Figures as they are typed; what is empty is not stated. */
export type FurtherTexts = Readonly<Record<string, string>>;

export const furtherTexts = (stated: FurtherStatement): FurtherTexts =>
  Object.fromEntries(Object.entries(stated).map(([nutrient, value]) => [nutrient, String(value)]));

export const furtherFromTexts = (texts: FurtherTexts): FurtherStatement =>
  Object.fromEntries(
    FURTHER_NUTRIENTS.flatMap((nutrient) => {
      const text = (texts[nutrient] ?? "").trim();
      return text === "" ? [] : [[nutrient, Number(text.replace(",", "."))]];
    }),
  );

/** The further nutrients of 100 g to fill in. */
export function FurtherFields({
  legend,
  texts,
  problems,
  onChange,
}: {
  legend: string;
  texts: FurtherTexts;
  problems: readonly Problem[];
  onChange: (texts: FurtherTexts) => void;
}) {
  return (
    <fieldset className="packet">
      <legend>{legend}</legend>
      {FURTHER_NUTRIENTS.map((nutrient) => {
        const { name, unit } = FURTHER_WORDS[nutrient];
        const problem = problems.find(({ path }) => path.at(-1) === nutrient);
        return (
          <Field
            key={nutrient}
            label={`${name[0]!.toUpperCase()}${name.slice(1)}, ${unit}`}
            wrong={problem === undefined ? null : problemWords(problem)}
          >
            {(field) => (
              <input
                {...field}
                inputMode="decimal"
                value={texts[nutrient] ?? ""}
                onChange={(event) => onChange({ ...texts, [nutrient]: event.currentTarget.value })}
              />
            )}
          </Field>
        );
      })}
    </fieldset>
  );
}
