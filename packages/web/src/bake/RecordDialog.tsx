import type { Formula } from "@evencrumb/core/formula";
import { resolveTin } from "@evencrumb/core/tins";
import { type FormEvent, useEffect, useState } from "react";
import type { Revision } from "../api/types.js";
import type { Kept } from "../app/house.js";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { readSmall, removeSmall, writeSmall } from "../keep/storage.js";
import { Dialog } from "../parts/Dialog.js";
import { today } from "../parts/dates.js";
import { Field, problemWords } from "../parts/Field.js";
import { useOwnedTins } from "../parts/useOwnedTins.js";
import type { BakeRecord, OwnOven } from "./documents.js";
import { recordName } from "./records.js";
import { bakedComponents, decimal, usualGrams } from "./setting.js";

interface Typed {
  formulaId: string;
  component: string;
  position: string;
  tin: string;
  setC: string;
  fan: boolean;
  bakedOn: string;
  gramsBefore: string;
  gramsAfter: string;
  skewer: string;
  out: string;
  edge: string;
  centre: string;
  probe: { minutes: string; celsius: string }[];
  notes: string;
}

const shown = (value: number | undefined) => (value === undefined ? "" : String(value));

/** What was measured in one bake: large fields for the bench, and what was typed is kept until it is done. */
export function RecordDialog({
  oven,
  kept,
  onDone,
  onPutAway,
  onClose,
}: {
  oven: Kept<OwnOven>;
  kept: Kept<BakeRecord> | null;
  onDone: (body: BakeRecord) => void;
  onPutAway: () => void;
  onClose: () => void;
}) {
  const house = useHouse();
  const { formulas } = useHouseState();
  const owned = useOwnedTins();
  const draftKey = `record.${oven.id}.${kept?.id ?? "new"}`;
  const [typed, setTyped] = useState((): Typed => {
    const draft = readSmall<Typed>(draftKey);
    if (draft !== undefined) return draft;
    const body = kept?.body;
    return {
      formulaId: body?.formulaId ?? formulas[0]?.id ?? "",
      component: body?.component ?? "",
      position: body?.position ?? oven.body.positions[0]?.name ?? "",
      tin: body?.tin ?? "",
      setC: shown(body?.setC),
      fan: body?.fan ?? oven.body.convection === "fan",
      bakedOn: body?.bakedOn ?? today(),
      gramsBefore: shown(body?.gramsBefore),
      gramsAfter: shown(body?.gramsAfter),
      skewer: shown(body?.skewerMinutes),
      out: shown(body?.outMinutes),
      edge: shown(body?.edgeMm),
      centre: shown(body?.centreMm),
      probe: (body?.probe ?? []).map(({ minutes, celsius }) => ({ minutes: String(minutes), celsius: String(celsius) })),
      notes: body?.notes ?? "",
    };
  });
  const set = (change: Partial<Typed>) => {
    const next = { ...typed, ...change };
    setTyped(next);
    writeSmall(draftKey, next);
  };
  const close = () => {
    removeSmall(draftKey);
    onClose();
  };
  const [revision, setRevision] = useState<Revision<Formula>>();
  useEffect(() => {
    let wanted = true;
    setRevision(undefined);
    const load = async (): Promise<Revision<Formula> | undefined> => {
      // The record stays with the revision that was baked, also when the formula moves on.
      if (kept !== null && kept.body.formulaId === typed.formulaId)
        return house.revision<Formula>(typed.formulaId, kept.body.revisionId);
      return (await house.document<Formula>(typed.formulaId))?.latest;
    };
    if (typed.formulaId !== "")
      void load().then((found) => {
        if (wanted) setRevision(found);
      });
    return () => {
      wanted = false;
    };
  }, [house, typed.formulaId, kept]);
  const [asked, setAsked] = useState(false);

  const components = revision === undefined ? [] : bakedComponents(revision.body);
  const component = components.find(({ name }) => name === typed.component) ?? components[0];
  const tinText = typed.tin === "" ? (component?.tins?.[0]?.tin ?? "") : typed.tin;
  const setting = typed.setC === "" ? shown(component?.bake?.ovenC) : typed.setC;
  const grams = typed.gramsBefore === "" && component !== undefined ? usualGrams(component, owned).toFixed(0) : typed.gramsBefore;

  const wrongs: Record<string, string | null> = {};
  const read = (name: string, text: string, low: number, high: number, example: string, needed = false): number | undefined => {
    if (text.trim() === "") {
      if (needed) wrongs[name] = `Needed: a number such as ${example}.`;
      return undefined;
    }
    const value = decimal(text);
    if (value >= low && value <= high) return value;
    wrongs[name] = `A number from ${low} to ${high}, such as ${example}.`;
    return undefined;
  };
  const setC = read("setC", setting, 110, 280, "170", true);
  const before = read("before", grams, 10, 20_000, "430", true);
  const after = read("after", typed.gramsAfter, 5, 20_000, "395");
  const skewer = read("skewer", typed.skewer, 2, 240, "24");
  const out = read("out", typed.out, 2, 240, "25");
  const edge = read("edge", typed.edge, 3, 300, "38");
  const centre = read("centre", typed.centre, 3, 300, "44");
  const readings = typed.probe
    .filter(({ minutes, celsius }) => minutes.trim() !== "" || celsius.trim() !== "")
    .map(({ minutes, celsius }) => ({ minutes: decimal(minutes), celsius: decimal(celsius) }));
  if (!readings.every(({ minutes, celsius }) => minutes >= 0 && minutes <= 240 && celsius >= 0 && celsius <= 130))
    wrongs.probe = "Each reading has its minute, 0 to 240, and its temperature, 0 to 130 °C.";
  if (before !== undefined && after !== undefined && after >= before)
    wrongs.after = "It cannot weigh more than the batter. Check both, without the tin.";
  const tin = resolveTin(tinText, owned);
  if (tin.value === undefined)
    wrongs.tin = tin.problems[0] === undefined ? "Say the tin, such as round 20x5 cm." : problemWords(tin.problems[0]);
  if ((after !== undefined || centre !== undefined) && out === undefined && wrongs.out === undefined)
    wrongs.out = "A weight or a height counts with the minute it came out.";
  if (skewer === undefined && readings.length === 0 && after === undefined && centre === undefined && wrongs.skewer === undefined)
    wrongs.skewer = "Write this, a temperature or a weight: something has to be measured.";
  const wrong = (name: string) => (asked ? (wrongs[name] ?? null) : null);

  const save = (event: FormEvent) => {
    event.preventDefault();
    setAsked(true);
    if (Object.keys(wrongs).length > 0 || revision === undefined || component === undefined) return;
    onDone({
      name: recordName(typed.bakedOn, revision.body.name, component.name),
      formulaId: typed.formulaId,
      revisionId: revision.id,
      formulaName: revision.body.name,
      component: component.name,
      ovenId: oven.id,
      position: typed.position,
      tin: tinText.trim(),
      setC: setC!,
      fan: typed.fan,
      bakedOn: typed.bakedOn,
      gramsBefore: before!,
      ...(after === undefined ? {} : { gramsAfter: after }),
      ...(skewer === undefined ? {} : { skewerMinutes: skewer }),
      ...(out === undefined ? {} : { outMinutes: out }),
      ...(edge === undefined ? {} : { edgeMm: edge }),
      ...(centre === undefined ? {} : { centreMm: centre }),
      ...(readings.length === 0 ? {} : { probe: readings.toSorted((a, b) => a.minutes - b.minutes) }),
      ...(typed.notes.trim() === "" ? {} : { notes: typed.notes.trim() }),
    });
    removeSmall(draftKey);
  };
  const number = (name: string, label: string, unit: string, value: string, onValue: (text: string) => void) => (
    <Field label={label} wrong={wrong(name)} className="bench-field">
      {(field) => (
        <span className="with-unit">
          <input
            {...field}
            inputMode="decimal"
            autoComplete="off"
            value={value}
            onChange={(event) => onValue(event.currentTarget.value)}
          />
          <span className="muted">{unit}</span>
        </span>
      )}
    </Field>
  );
  return (
    <Dialog title={kept === null ? `A bake in ${oven.body.name}` : kept.body.name} onClose={close} wide>
      <form onSubmit={save} className="stack bench-form">
        <div className="row">
          <Field label="Formula">
            {(field) => (
              <select
                {...field}
                value={typed.formulaId}
                onChange={(event) =>
                  set({ formulaId: event.currentTarget.value, component: "", tin: "", setC: "", gramsBefore: "" })
                }
              >
                {formulas.map(({ id, name }) => (
                  <option key={id} value={id}>
                    {name}
                  </option>
                ))}
              </select>
            )}
          </Field>
          {components.length < 2 ? null : (
            <Field label="Component">
              {(field) => (
                <select
                  {...field}
                  value={component?.name}
                  onChange={(event) => set({ component: event.currentTarget.value, tin: "", setC: "", gramsBefore: "" })}
                >
                  {components.map(({ name }) => (
                    <option key={name}>{name}</option>
                  ))}
                </select>
              )}
            </Field>
          )}
          <Field label="Place in the oven">
            {(field) => (
              <select {...field} value={typed.position} onChange={(event) => set({ position: event.currentTarget.value })}>
                {oven.body.positions.map(({ name }) => (
                  <option key={name}>{name}</option>
                ))}
              </select>
            )}
          </Field>
          <Field label="Baked on">
            {(field) => (
              <input
                {...field}
                type="date"
                required
                value={typed.bakedOn}
                onChange={(event) => set({ bakedOn: event.currentTarget.value })}
              />
            )}
          </Field>
        </div>
        <div className="row">
          <Field label="Tin" wrong={wrong("tin")}>
            {(field) => (
              <>
                <input
                  {...field}
                  list="record-tins"
                  value={tinText}
                  onChange={(event) => set({ tin: event.currentTarget.value })}
                />
                <datalist id="record-tins">
                  {owned.map(({ name }) => (
                    <option key={name} value={name} />
                  ))}
                </datalist>
              </>
            )}
          </Field>
          {number("setC", "Oven set to", "°C", setting, (text) => set({ setC: text }))}
          <label className="choice at-foot">
            <input type="checkbox" checked={typed.fan} onChange={(event) => set({ fan: event.currentTarget.checked })} />
            fan
          </label>
        </div>
        <div className="bench-fields">
          {number("before", "Batter in the tin", "g", grams, (text) => set({ gramsBefore: text }))}
          {number("skewer", "Skewer came out clean after", "min", typed.skewer, (text) => set({ skewer: text }))}
          {number("out", "Taken out after", "min", typed.out, (text) => set({ out: text }))}
          {number("after", "Weight then, without the tin", "g", typed.gramsAfter, (text) => set({ gramsAfter: text }))}
          {number("centre", "Height in the middle", "mm", typed.centre, (text) => set({ centre: text }))}
          {number("edge", "Height at the edge", "mm", typed.edge, (text) => set({ edge: text }))}
        </div>
        <fieldset className="bench-probe">
          <legend>Temperature in the middle</legend>
          {typed.probe.map((reading, index) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: a reading has no other identity than its place
            <div key={index} className="row tight-row">
              <label className="with-unit">
                <input
                  className="tiny-field"
                  inputMode="decimal"
                  aria-label={`Reading ${index + 1}, minute`}
                  value={reading.minutes}
                  onChange={(event) =>
                    set({ probe: typed.probe.with(index, { ...reading, minutes: event.currentTarget.value }) })
                  }
                />
                <span className="muted">min</span>
              </label>
              <label className="with-unit">
                <input
                  className="tiny-field"
                  inputMode="decimal"
                  aria-label={`Reading ${index + 1}, temperature`}
                  value={reading.celsius}
                  onChange={(event) =>
                    set({ probe: typed.probe.with(index, { ...reading, celsius: event.currentTarget.value }) })
                  }
                />
                <span className="muted">°C</span>
              </label>
              <button
                type="button"
                className="button quiet"
                aria-label={`Remove reading ${index + 1}`}
                onClick={() => set({ probe: typed.probe.filter((_, at) => at !== index) })}
              >
                Remove
              </button>
            </div>
          ))}
          {wrong("probe") === null ? null : <p className="wrong caution">{wrongs.probe}</p>}
          <button
            type="button"
            className="button plain"
            onClick={() => set({ probe: [...typed.probe, { minutes: "", celsius: "" }] })}
          >
            Add a reading
          </button>
        </fieldset>
        <Field label="Notes">
          {(field) => (
            <textarea {...field} rows={2} value={typed.notes} onChange={(event) => set({ notes: event.currentTarget.value })} />
          )}
        </Field>
        {asked && Object.keys(wrongs).length > 0 ? (
          <p className="caution" role="alert">
            Something is missing: look at the fields that are marked.
          </p>
        ) : null}
        <footer>
          {kept === null ? null : (
            <button
              type="button"
              className="button quiet at-start"
              onClick={() => {
                removeSmall(draftKey);
                onPutAway();
              }}
            >
              Put away
            </button>
          )}
          <button type="button" className="button plain" onClick={close}>
            Cancel
          </button>
          <button type="submit" className="button main" disabled={revision === undefined}>
            Done
          </button>
        </footer>
      </form>
    </Dialog>
  );
}
