import { type FormEvent, useState } from "react";
import type { Kept } from "../app/house.js";
import { Dialog } from "../parts/Dialog.js";
import { Field } from "../parts/Field.js";
import type { OwnOven } from "./documents.js";
import { decimal } from "./setting.js";

/** An oven's name, kind and places. */
export function OvenDialog({
  kept,
  taken,
  onDone,
  onPutAway,
  onClose,
}: {
  kept: Kept<OwnOven> | null;
  /** Names of the other ovens. */
  taken: readonly string[];
  onDone: (body: OwnOven) => void;
  onPutAway: () => void;
  onClose: () => void;
}) {
  const body = kept?.body;
  const [name, setName] = useState(body?.name ?? "");
  const [convection, setConvection] = useState(body?.convection ?? "natural");
  const [rated, setRated] = useState(body?.ratedKw === undefined ? "" : String(body.ratedKw));
  const [places, setPlaces] = useState((body?.positions ?? [{ name: "middle shelf" }]).map((place) => place.name).join("\n"));
  const [notes, setNotes] = useState(body?.notes ?? "");
  const [asked, setAsked] = useState(false);
  const names = places
    .split("\n")
    .map((line) => line.trim())
    .filter((line) => line !== "");
  const wrongName =
    name.trim() === ""
      ? "Give it the name you call it by."
      : taken.some((other) => other.trim().toLowerCase() === name.trim().toLowerCase())
        ? "Another oven has this name."
        : null;
  const kw = rated.trim() === "" ? undefined : decimal(rated);
  const wrongRated =
    kw === undefined || (kw >= 0.3 && kw <= 100) ? null : "A number of kilowatts such as 2.8, from the plate on the oven.";
  const wrongPlaces =
    names.length === 0
      ? "Name one place at least, such as middle shelf."
      : new Set(names).size < names.length
        ? "Two places have the same name."
        : null;
  const lost = (body?.calibration ?? []).filter(({ position }) => !names.includes(position));
  const save = (event: FormEvent) => {
    event.preventDefault();
    setAsked(true);
    if (wrongName !== null || wrongRated !== null || wrongPlaces !== null) return;
    const calibration = (body?.calibration ?? []).filter(({ position }) => names.includes(position));
    onDone({
      name: name.trim(),
      convection,
      ...(kw === undefined ? {} : { ratedKw: kw }),
      positions: names.map((place) => ({ name: place })),
      ...(notes.trim() === "" ? {} : { notes: notes.trim() }),
      ...(calibration.length === 0 ? {} : { calibration }),
    });
  };
  return (
    <Dialog title={kept === null ? "Add an oven" : kept.body.name} onClose={onClose}>
      <form onSubmit={save} className="stack">
        <Field label="Name" help="Such as Kitchen range." wrong={asked ? wrongName : null}>
          {(field) => <input {...field} value={name} onChange={(event) => setName(event.currentTarget.value)} />}
        </Field>
        <div className="row">
          <Field label="It bakes with">
            {(field) => (
              <select
                {...field}
                value={convection}
                onChange={(event) => setConvection(event.currentTarget.value as OwnOven["convection"])}
              >
                <option value="natural">still air, top and bottom heat</option>
                <option value="fan">a fan</option>
              </select>
            )}
          </Field>
          <Field label="Rated, kW" help="From its plate; may stay empty." wrong={wrongRated}>
            {(field) => (
              <input
                {...field}
                className="short"
                inputMode="decimal"
                value={rated}
                onChange={(event) => setRated(event.currentTarget.value)}
              />
            )}
          </Field>
        </div>
        <Field
          label="Places in it, one a line"
          help={
            lost.length === 0
              ? "Shelves or decks, from the top. Each is calibrated by itself."
              : `The calibration of ${lost.map(({ position }) => position).join(", ")} goes with the name.`
          }
          wrong={asked ? wrongPlaces : null}
        >
          {(field) => <textarea {...field} rows={4} value={places} onChange={(event) => setPlaces(event.currentTarget.value)} />}
        </Field>
        <Field label="Notes">
          {(field) => <textarea {...field} rows={2} value={notes} onChange={(event) => setNotes(event.currentTarget.value)} />}
        </Field>
        <footer>
          {kept === null ? null : (
            <button type="button" className="button quiet at-start" onClick={onPutAway}>
              Put away
            </button>
          )}
          <button type="button" className="button plain" onClick={onClose}>
            Cancel
          </button>
          <button type="submit" className="button main">
            Done
          </button>
        </footer>
      </form>
    </Dialog>
  );
}
