import { formatMillilitres } from "@evencrumb/core/quantities";
import { formatTin, geometricCapacityMl, parseTin, tinCapacityMl, tinDepthMm } from "@evencrumb/core/tins";
import { type FormEvent, useState } from "react";
import type { Kept, OwnTin } from "../app/house.js";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { Dialog } from "../parts/Dialog.js";
import { Field, problemWords } from "../parts/Field.js";
import { TinPicture, tinWidthMm } from "../parts/TinPicture.js";
import { drawingScale } from "./ScalePage.js";

/** The tins the baker owns, drawn to one scale. */
export function TinsPage() {
  const { tins, settings } = useHouseState();
  const [editing, setEditing] = useState<Kept<OwnTin> | "new" | null>(null);
  const read = tins.map((kept) => ({ kept, tin: parseTin(kept.body.tin).value }));
  const pxPerMm = drawingScale(
    read.flatMap(({ tin }) => (tin === undefined ? [] : [tinWidthMm(tin)])),
    250,
  );
  const units = settings.units === "metric" ? "cm" : "in";
  return (
    <div className="page">
      <header>
        <div className="stack tight">
          <h1>Tins</h1>
          <p className="muted">What you own, all drawn to one scale. A formula may call a tin by its name.</p>
        </div>
        <button type="button" className="button main" onClick={() => setEditing("new")}>
          Add a tin
        </button>
      </header>
      {tins.length === 0 ? (
        <div className="empty">
          <p>No tins yet. Add the ones on your shelf, and every formula can be scaled to them.</p>
        </div>
      ) : (
        <ul className="tin-shelf">
          {read.map(({ kept, tin }) => (
            <li key={kept.id}>
              <button type="button" className="own-tin" onClick={() => setEditing(kept)} aria-label={`Change ${kept.body.name}`}>
                {tin === undefined ? null : <TinPicture tin={tin} depthMm={0} pxPerMm={pxPerMm} label="" />}
                <span className="tin-name">{kept.body.name}</span>
                <span className="muted small figures">
                  {kept.body.count} ×{" "}
                  {tin === undefined || units === "cm" ? withoutMeasure(kept.body.tin) : formatTin(tin, { units })}
                </span>
                {tin === undefined ? (
                  <span className="caution">cannot be read: open it and write its size again</span>
                ) : (
                  <span className="muted small figures">
                    holds {formatMillilitres(tinCapacityMl(tin))}
                    {tin.measuredCapacityMl === undefined ? "" : ", measured"}
                  </span>
                )}
              </button>
            </li>
          ))}
        </ul>
      )}
      {editing === null ? null : <TinDialog kept={editing === "new" ? null : editing} onClose={() => setEditing(null)} />}
    </div>
  );
}

function TinDialog({ kept, onClose }: { kept: Kept<OwnTin> | null; onClose: () => void }) {
  const house = useHouse();
  const { tins } = useHouseState();
  const [name, setName] = useState(kept?.body.name ?? "");
  const [text, setText] = useState(withoutMeasure(kept?.body.tin ?? ""));
  const [water, setWater] = useState(() => {
    const measured = kept === null ? undefined : parseTin(kept.body.tin).value?.measuredCapacityMl;
    return measured === undefined ? "" : String(Math.round(measured));
  });
  const [count, setCount] = useState(String(kept?.body.count ?? 1));
  const [asked, setAsked] = useState(false);
  const whole = water.trim() === "" ? text : `${text}, holds ${water.trim()} ml`;
  const { value: tin, problems } = parseTin(whole);
  const nameTaken = tins.some(
    (other) => other.id !== kept?.id && other.body.name.trim().toLowerCase() === name.trim().toLowerCase(),
  );
  const wrongName = name.trim() === "" ? "Give it the name you call it by." : nameTaken ? "Another tin has this name." : null;
  const number = Number(count);
  const wrongCount = Number.isInteger(number) && number >= 1 ? null : "Type how many you own, such as 2.";
  const save = (event: FormEvent) => {
    event.preventDefault();
    setAsked(true);
    if (wrongName !== null || wrongCount !== null || tin === undefined) return;
    const body: OwnTin = { name: name.trim(), tin: whole.trim(), count: number };
    if (kept === null) void house.create("tin", body);
    else house.replace("tin", kept, body);
    onClose();
  };
  return (
    <Dialog title={kept === null ? "Add a tin" : kept.body.name} onClose={onClose}>
      <form onSubmit={save} className="stack">
        <Field label="Name" help="Such as Deep round." wrong={asked ? wrongName : null}>
          {(field) => <input {...field} value={name} onChange={(event) => setName(event.currentTarget.value)} />}
        </Field>
        <Field
          label="Shape and inner size"
          help={
            tin === undefined
              ? "Such as round 20x5 cm, 9x13 in, loaf 900 g, fluted ring 2.4 l, tray of 12 cups 7/5x3.5 cm."
              : [`${formatTin(tin)}`, ...tin.assumed.map(({ words }) => words)].join("; ")
          }
          wrong={
            text.trim() !== "" && problems[0] !== undefined
              ? problemWords(problems[0])
              : asked && tin === undefined
                ? "Write the shape and the size."
                : null
          }
        >
          {(field) => <input {...field} value={text} onChange={(event) => setText(event.currentTarget.value)} />}
        </Field>
        <div className="tin-drawn">
          {tin === undefined ? (
            <p className="muted">It is drawn here as you type.</p>
          ) : (
            <>
              <TinPicture
                tin={tin}
                depthMm={0}
                pxPerMm={drawingScale([tinWidthMm(tin)], 360)}
                label={`${formatTin(tin)} cut through the middle`}
              />
              <p className="muted figures">
                {Math.round(tinWidthMm(tin))} mm across, {Math.round(tinDepthMm(tin))} mm deep,{" "}
                {formatMillilitres(geometricCapacityMl(tin))} by its size
              </p>
            </>
          )}
        </div>
        <div className="row">
          <Field label="Water it holds, ml" help="Weigh it full and empty: 1 g of water is 1 ml. Leave empty if not measured.">
            {(field) => (
              <input
                {...field}
                inputMode="numeric"
                className="short"
                value={water}
                onChange={(event) => setWater(event.currentTarget.value)}
              />
            )}
          </Field>
          <Field label="How many you own" wrong={asked ? wrongCount : null}>
            {(field) => (
              <input
                {...field}
                inputMode="numeric"
                className="short"
                value={count}
                onChange={(event) => setCount(event.currentTarget.value)}
              />
            )}
          </Field>
        </div>
        <footer>
          {kept === null ? null : (
            <button
              type="button"
              className="button quiet at-start"
              onClick={() => {
                house.archive("tin", kept.id);
                onClose();
              }}
            >
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

/** The measured capacity has a field of its own. */
const withoutMeasure = (tin: string): string => tin.replace(/[,;]?\s*holds\s+[\d.,]+\s*(?:ml|l|litres?)\b/i, "");
