import { Field } from "../parts/Field.js";
import type { Labels } from "./useLabels.js";

/** Which of a cake's labels is open; another, and putting one away. */
export function LabelChoice({ labels }: { labels: Labels }) {
  const { all = [], id, body } = labels;
  if (id === undefined) return null;
  return (
    <div className="row label-choice">
      {all.length < 2 ? null : (
        <Field label="Label for">
          {(field) => (
            <select {...field} value={id} onChange={(event) => labels.choose(event.currentTarget.value)}>
              {all.map((one) => (
                <option key={one.id} value={one.id}>
                  {one.id === id ? body.name : one.name}
                </option>
              ))}
            </select>
          )}
        </Field>
      )}
      <Field label="This label is called">
        {(field) => (
          <input
            {...field}
            maxLength={200}
            value={body.name}
            onChange={(event) => {
              const name = event.currentTarget.value;
              if (name.trim() !== "") labels.change((before) => ({ ...before, name }));
            }}
          />
        )}
      </Field>
      <div className="buttons at-foot">
        <button type="button" className="button" onClick={labels.another}>
          Another label of this cake
        </button>
        {all.length < 2 ? null : (
          <button type="button" className="button" onClick={labels.putAway}>
            Put this one away
          </button>
        )}
      </div>
    </div>
  );
}
