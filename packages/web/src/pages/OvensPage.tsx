import type { OvenRecord } from "@evencrumb/core/bake";
import { ovenRecordOf } from "@evencrumb/core/bake";
import type { Formula } from "@evencrumb/core/formula";
import { useEffect, useMemo, useState } from "react";
import type { Kept } from "../app/house.js";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { CalibrationView } from "../bake/CalibrationView.js";
import { type BakeRecord, calibrationOf, type OwnOven, type PositionCalibration, useKeptList } from "../bake/documents.js";
import { OvenDialog } from "../bake/OvenDialog.js";
import { RecordDialog } from "../bake/RecordDialog.js";
import { settingWords } from "../bake/words.js";
import { readSmall, removeSmall, writeSmall } from "../keep/storage.js";
import { problemWords } from "../parts/Field.js";
import { useOwnedTins } from "../parts/useOwnedTins.js";
import "../style/keep.css";
import "../style/bake.css";

type Editing =
  | { readonly what: "oven"; readonly id: string | null }
  | { readonly what: "record"; readonly ovenId: string; readonly id: string | null };

/** The ovens of the bakery, what was baked in them, and what that says about them. */
export function OvensPage() {
  const ovens = useKeptList("oven");
  const records = useKeptList("bakeRecord");
  // A form that was open is open again after a reload, with what was typed into it.
  const [editing, setEditingState] = useState<Editing | null>(() => readSmall<Editing>("ovens.editing") ?? null);
  const setEditing = (next: Editing | null) => {
    setEditingState(next);
    if (next === null || next.what === "oven") removeSmall("ovens.editing");
    else writeSmall("ovens.editing", next);
  };
  const all = ovens.all;
  const editedOven = editing?.what === "oven" ? (all?.find(({ id }) => id === editing.id) ?? null) : null;
  const recordOven = editing?.what === "record" ? all?.find(({ id }) => id === editing.ovenId) : undefined;
  return (
    <div className="page">
      <header>
        <div className="stack tight">
          <h1>Ovens</h1>
          <p className="muted">
            No two ovens keep what their dial says. Write down some bakes, and the predictions learn yours, place by place.
          </p>
        </div>
        <button type="button" className="button main" onClick={() => setEditing({ what: "oven", id: null })}>
          Add an oven
        </button>
      </header>
      {all === undefined ? (
        <p className="muted">Opening…</p>
      ) : all.length === 0 ? (
        <div className="empty">
          <p>No ovens yet. Until there is one, predictions take a usual oven that keeps its setting.</p>
        </div>
      ) : (
        all.map((oven) => (
          <Oven
            key={oven.id}
            oven={oven}
            records={(records.all ?? []).filter(({ body }) => body.ovenId === oven.id)}
            onChange={() => setEditing({ what: "oven", id: oven.id })}
            onRecord={(id) => setEditing({ what: "record", ovenId: oven.id, id })}
            onUse={(calibration) =>
              ovens.change(
                oven,
                {
                  ...oven.body,
                  calibration: [
                    ...(oven.body.calibration ?? []).filter(({ position }) => position !== calibration.position),
                    calibration,
                  ],
                },
                `Calibrated ${calibration.position} from ${calibration.records} bake records.`,
              )
            }
            onForget={(position) => {
              const calibration = (oven.body.calibration ?? []).filter((one) => one.position !== position);
              ovens.change(oven, { ...oven.body, calibration }, `Back to a usual oven at ${position}.`);
            }}
          />
        ))
      )}
      {editing?.what !== "oven" || (editing.id !== null && editedOven === null) ? null : (
        <OvenDialog
          kept={editedOven}
          taken={(all ?? []).filter(({ id }) => id !== editing.id).map(({ body }) => body.name)}
          onDone={(body) => {
            if (editedOven === null) void ovens.add(body);
            else ovens.change(editedOven, body);
            setEditing(null);
          }}
          onPutAway={() => {
            if (editedOven !== null) ovens.putAway(editedOven.id);
            setEditing(null);
          }}
          onClose={() => setEditing(null)}
        />
      )}
      {editing?.what !== "record" || recordOven === undefined ? null : (
        <RecordDialog
          oven={recordOven}
          kept={records.all?.find(({ id }) => id === editing.id) ?? null}
          onDone={(body) => {
            const kept = records.all?.find(({ id }) => id === editing.id);
            if (kept === undefined) void records.add(body);
            else records.change(kept, body);
            setEditing(null);
          }}
          onPutAway={() => {
            if (editing.id !== null) records.putAway(editing.id);
            setEditing(null);
          }}
          onClose={() => setEditing(null)}
        />
      )}
    </div>
  );
}

function Oven({
  oven,
  records,
  onChange,
  onRecord,
  onUse,
  onForget,
}: {
  oven: Kept<OwnOven>;
  records: readonly Kept<BakeRecord>[];
  onChange: () => void;
  onRecord: (id: string | null) => void;
  onUse: (calibration: PositionCalibration) => void;
  onForget: (position: string) => void;
}) {
  const { body } = oven;
  const { settings } = useHouseState();
  const read = useReadRecords(records);
  const names = new Map(
    read.flatMap(({ kept, record }) => (record === undefined ? [] : [[record.name, kept.body.name] as const])),
  );
  const usable = useMemo(
    () =>
      read.flatMap(({ kept, record }): { position: string; record: OvenRecord }[] =>
        record === undefined ? [] : [{ position: kept.body.position, record }],
      ),
    [read],
  );
  return (
    <section className="oven stack" aria-label={body.name}>
      <header className="oven-head">
        <div className="stack tight">
          <h2>{body.name}</h2>
          <p className="muted">
            {body.convection === "fan" ? "with a fan" : "still air"}
            {body.ratedKw === undefined ? "" : `, ${body.ratedKw} kW`}
            {body.notes === undefined ? "" : `. ${body.notes}`}
          </p>
        </div>
        <div className="buttons">
          <button type="button" className="button plain" onClick={() => onRecord(null)}>
            Write down a bake
          </button>
          <button type="button" className="button quiet" aria-label={`Change ${body.name}`} onClick={onChange}>
            Change
          </button>
        </div>
      </header>
      <ul className="oven-places">
        {body.positions.map(({ name }) => {
          const calibration = calibrationOf(body, name);
          return (
            <li key={name}>
              <span className="place-name">{name}</span>
              <span className="muted figures">
                {calibration === undefined
                  ? "as its dial says, ± 7 °C (assumption)"
                  : `${calibration.fit.offsetK < 0 ? "−" : "+"}${Math.abs(calibration.fit.offsetK).toFixed(1)} °C, ± ${calibration.fit.offsetSpreadK.toFixed(1)} °C (estimated from ${calibration.records} bakes, ${calibration.madeOn})`}
              </span>
              {calibration === undefined ? null : (
                <button
                  type="button"
                  className="button quiet"
                  aria-label={`Forget the calibration of ${name}`}
                  onClick={() => onForget(name)}
                >
                  Forget it
                </button>
              )}
            </li>
          );
        })}
      </ul>
      {records.length === 0 ? null : (
        <table className="plain-table records">
          <caption className="hidden-words">Bakes in {body.name}</caption>
          <thead>
            <tr>
              <th scope="col">Bake</th>
              <th scope="col">place</th>
              <th scope="col" className="figure">
                set to
              </th>
              <th scope="col" className="figure">
                clean skewer
              </th>
              <th scope="col" className="figure">
                lost
              </th>
            </tr>
          </thead>
          <tbody>
            {read.map(({ kept, record, problems }) => (
              <tr key={kept.id}>
                <th scope="row">
                  <button type="button" className="words accent" onClick={() => onRecord(kept.id)}>
                    {kept.body.name}
                  </button>
                  {problems.map((words) => (
                    <span key={words} className="caution small residual-words">
                      Not used: {words}
                    </span>
                  ))}
                </th>
                <td>{kept.body.position}</td>
                <td className="figure">
                  {settingWords(kept.body.setC, settings.temperature)}
                  {kept.body.fan ? " fan" : ""}
                </td>
                <td className="figure">{kept.body.skewerMinutes === undefined ? "–" : `${kept.body.skewerMinutes} min`}</td>
                <td className="figure">
                  {record?.out?.lossPercent === undefined ? "–" : `${record.out.lossPercent.toFixed(1)} %`}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <CalibrationView oven={oven} records={usable} nameOf={(name) => names.get(name) ?? name} onUse={onUse} />
    </section>
  );
}

/** Records with the formulas they baked; one whose formula cannot be had says so. */
function useReadRecords(records: readonly Kept<BakeRecord>[]) {
  const house = useHouse();
  const { book } = useHouseState();
  const owned = useOwnedTins();
  const [formulas, setFormulas] = useState<ReadonlyMap<string, Formula | null>>(new Map());
  const wanted = records.map(({ body }) => `${body.formulaId} ${body.revisionId}`).join("\n");
  useEffect(() => {
    let here = true;
    const load = async () => {
      const pairs = [...new Set(wanted.split("\n").filter((line) => line !== ""))].map(async (line) => {
        const [formulaId, revisionId] = line.split(" ") as [string, string];
        return [revisionId, (await house.revision<Formula>(formulaId, revisionId))?.body ?? null] as const;
      });
      const found = new Map(await Promise.all(pairs));
      if (here) setFormulas(found);
    };
    void load();
    return () => {
      here = false;
    };
  }, [house, wanted]);
  const key = JSON.stringify(records);
  // biome-ignore lint/correctness/useExhaustiveDependencies: the records are a new list on each drawing and are compared by their content
  return useMemo(
    () =>
      records.map((kept) => {
        const formula = formulas.get(kept.body.revisionId);
        if (formula === undefined) return { kept, record: undefined, problems: [] };
        const { record, problems } = ovenRecordOf(kept.id, kept.body, formula ?? undefined, book, owned);
        return { kept, record, problems: problems.map(problemWords) };
      }),
    [key, formulas, book, owned],
  );
}
