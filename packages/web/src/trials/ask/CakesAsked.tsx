import type { Question } from "@evencrumb/core/trials";
import { useId } from "react";
import { useHouseState } from "../../app/useHouse.js";
import type { Form } from "../asking.js";
import { severalCakes } from "../tasting/asking.js";
import type { OpenCake } from "../useCakes.js";
import type { AskedProps } from "./fields.js";

/** Which cakes the question is about: formulas, each in one of its revisions. */
export function CakesAsked({ kind, form, set, cakes }: AskedProps & { kind: Question["kind"] }) {
  const many = kind === "which of several" || severalCakes(kind);
  const one = kind === "how much" || kind === "which blend";
  const labels = one ? ["The cake that is changed"] : many ? [] : ["The one you make now", "The new one"];
  const pick = (place: number, change: Partial<Form["cakes"][number]>) =>
    set({
      cakes: form.cakes.map((cake, index) => (index === place ? { ...cake, ...change } : cake)),
      ...(one ? { factors: [], shares: [], component: "", hard: [] } : {}),
    });
  return (
    <section className="ask-part">
      <h2>{one ? "The cake" : "The cakes"}</h2>
      {form.cakes.map((picked, place) => (
        <CakePicker
          // biome-ignore lint/suspicious/noArrayIndexKey: a cake has no other identity than its place
          key={place}
          label={labels[place] ?? `Cake ${place + 1}`}
          formulaId={picked.formulaId}
          cake={cakes[place] ?? null}
          onPick={(change) => pick(place, change)}
          {...(many && form.cakes.length > 2
            ? { onRemove: () => set({ cakes: form.cakes.filter((_, index) => index !== place) }) }
            : {})}
        />
      ))}
      {many && form.cakes.length < 12 ? (
        <button
          type="button"
          className="button plain at-start"
          onClick={() => set({ cakes: [...form.cakes, form.cakes.at(-1)!] })}
        >
          Another cake
        </button>
      ) : null}
    </section>
  );
}

function CakePicker({
  label,
  formulaId,
  cake,
  onPick,
  onRemove,
}: {
  label: string;
  formulaId: string;
  cake: OpenCake | null;
  onPick: (change: { readonly formulaId?: string; readonly revisionId?: string }) => void;
  onRemove?: () => void;
}) {
  const { formulas } = useHouseState();
  const id = useId();
  const shown = cake?.formulaId === formulaId ? cake : null;
  return (
    <fieldset className="cake-picker">
      <legend>{label}</legend>
      <select
        aria-label={`${label}: formula`}
        value={formulaId}
        onChange={(event) => onPick({ formulaId: event.currentTarget.value, revisionId: "" })}
      >
        {formulas
          .toSorted((a, b) => a.name.localeCompare(b.name))
          .map((formula) => (
            <option key={formula.id} value={formula.id}>
              {formula.name}
            </option>
          ))}
      </select>
      <select
        id={id}
        aria-label={`${label}: revision`}
        value={shown?.revisionId ?? ""}
        onChange={(event) => onPick({ revisionId: event.currentTarget.value })}
      >
        {shown === null ? <option value="">opening…</option> : null}
        {(shown?.revisions ?? []).map((revision) => (
          <option key={revision.id} value={revision.id}>
            {revision.number}
            {revision.id === shown?.standardRevisionId ? ", the standard" : ""}
            {revision.note === "" ? "" : `: ${revision.note}`}
          </option>
        ))}
      </select>
      {onRemove === undefined ? null : (
        <button type="button" className="button quiet" onClick={onRemove}>
          Leave out
        </button>
      )}
    </fieldset>
  );
}
