import type { Formula, Stage } from "@evencrumb/core/formula";
import { type BatchSheet, batchSheet, batchSheetHtml, type SheetComponent, type SheetStage } from "@evencrumb/core/plan";
import { formatGrams, formatPercent } from "@evencrumb/core/quantities";
import { useEffect, useMemo, useRef, useState } from "react";
import { OfflineError } from "../api/client.js";
import { ActionButton } from "../app/ActionButton.js";
import { defineActions } from "../app/action.js";
import type { House } from "../app/house.js";
import { addresses } from "../app/route.js";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { type BenchState, EMPTY_BENCH, readBench, toggled, writeBench } from "../formula/benchState.js";
import { scaleAs, scaleQuery, scaleRequestFrom } from "../formula/scaling.js";
import { download } from "../parts/download.js";
import { printPage } from "../parts/printPage.js";
import { useOwnedTins } from "../parts/useOwnedTins.js";
import { temperatureScale } from "../sheet/Sheet.js";
import { type OpenFormula, useSessionState } from "./FormulaPage.js";

interface BatchContext {
  readonly house: House;
  readonly sheet: BatchSheet;
  readonly bench: BenchState;
  readonly setBench: (change: Partial<BenchState>) => void;
  readonly say: (words: string | null) => void;
}

export const batchActions = defineActions<BatchContext>()({
  print: { label: "Print", applies: () => true, does: ({ sheet }) => printPage(batchSheetHtml(sheet), "Batch sheet to print") },
  pdf: {
    label: "Save as PDF",
    applies: () => true,
    does: ({ house, sheet, say }) => {
      say("Making the PDF…");
      house.client.printBatchSheet(sheet).then(
        (pdf) => {
          say(null);
          download(`${sheet.title}, batch sheet.pdf`, pdf, "application/pdf");
        },
        (error: unknown) => {
          if (!(error instanceof Error)) throw error;
          say(
            error instanceof OfflineError
              ? "The PDF is made by the server, which cannot be reached. Print works without it."
              : error.message,
          );
        },
      );
    },
  },
  startAgain: {
    label: "Clear for a new batch",
    applies: ({ bench }) => bench.changedAt > 0,
    does: ({ setBench }) => setBench({ ...EMPTY_BENCH, changedAt: 0 }),
  },
});

/** What is followed at the bench: large, to be ticked with a floury knuckle, and working without a network. */
export function BatchPage({
  open,
  query,
  from,
}: {
  open: OpenFormula;
  query: URLSearchParams;
  /** Where it was opened from, when that is not the formula. */
  from?: { readonly href: string; readonly words: string };
}) {
  const { session, detail } = open;
  const { id } = detail.document;
  const house = useHouse();
  const { formula, baseRevisionId, changed } = useSessionState(session);
  const { book, settings } = useHouseState();
  const owned = useOwnedTins();
  const request = useMemo(() => scaleRequestFrom(query), [query]);
  const scaled = useMemo(
    () => (request === null ? null : scaleAs(request, formula, book, owned, settings)),
    [request, formula, book, owned, settings],
  );
  const batch = scaled?.ok ? scaled.value : null;
  const revision = detail.revisions.find((one) => one.id === baseRevisionId);
  const shownFormula: Formula = batch?.formula ?? formula;
  const sheet = useMemo(
    () =>
      batchSheet(shownFormula, {
        book,
        owned,
        settings: {
          weighing: settings.rounding,
          names: settings.names,
          temperature: temperatureScale(settings),
          tinUnits: settings.units === "metric" ? "cm" : "in",
        },
        ...(batch === null ? {} : { factor: batch.factor, batch: batch.words, cautions: batch.cautions }),
        ...(revision === undefined || changed ? {} : { revision: { number: revision.number, note: revision.note } }),
      }),
    [shownFormula, book, owned, settings, batch, revision, changed],
  );
  const key = `${id}.${request === null ? "" : new URLSearchParams(scaleQuery(request)).toString()}`;
  const [bench, setBenchState] = useState(() => readBench(key));
  const setBench = (change: Partial<BenchState>) => {
    setBenchState((now) => {
      const next = { ...now, changedAt: Date.now(), ...change };
      writeBench(key, next);
      return next;
    });
  };
  const [said, say] = useState<string | null>(null);
  const context: BatchContext = { house, sheet, bench, setBench, say };
  useAwakeScreen();

  const lineCount = sheet.components.reduce(
    (sum, component) => sum + component.stages.reduce((all, { lines }) => all + lines.length, 0),
    0,
  );

  if (scaled !== null && !scaled.ok) {
    return (
      <div className="page">
        <h1>This batch cannot be made</h1>
        <p>
          Expected {scaled.error.expected}; found {scaled.error.found}. {scaled.error.remedy}
        </p>
        <a href={addresses.formula(id, "scale")}>Scale it again</a>
      </div>
    );
  }
  return (
    <div className="page batch">
      <header>
        <div className="stack tight">
          <a
            className="back"
            href={from?.href ?? (request === null ? addresses.formula(id) : addresses.formula(id, "scale", scaleQuery(request)))}
          >
            ‹ {from?.words ?? (request === null ? formula.name : "Scale")}
          </a>
          <h1>{sheet.title}</h1>
          <p className="figures">
            {[
              sheet.batch.words,
              formatGrams(sheet.totalGrams, { weighing: settings.rounding }),
              sheet.portions === undefined ? null : `${sheet.portions} portions`,
              changed
                ? "with changes that are not kept as a revision"
                : revision === undefined
                  ? null
                  : `revision ${revision.number}`,
            ]
              .filter((part) => part !== null)
              .join(" · ")}
          </p>
        </div>
        <div className="buttons">
          <ActionButton action={batchActions.startAgain} context={context} kind="quiet" />
          <ActionButton action={batchActions.pdf} context={context} />
          <ActionButton action={batchActions.print} context={context} />
        </div>
      </header>
      {said === null ? null : (
        <p className="caution" role="status">
          {said}
        </p>
      )}
      <section className="batch-allergens" aria-label="Allergens">
        <p>
          <strong>Contains</strong>{" "}
          {sheet.allergens.contains.length === 0
            ? "none of the fourteen by the ingredients known here"
            : sheet.allergens.contains.map(({ name, from }, index) => (
                <span key={name}>
                  {index === 0 ? "" : ", "}
                  <b>{name}</b> <span className="muted small">({from.join(", ")})</span>
                </span>
              ))}
        </p>
        {sheet.allergens.mayContain.length === 0 ? null : (
          <p>
            <strong>May contain</strong> {sheet.allergens.mayContain.map(({ name }) => name).join(", ")}
          </p>
        )}
        {sheet.allergens.checkSupplier.length === 0 ? null : (
          <p className="small">
            <span className="muted">Read the packets for</span>{" "}
            {sheet.allergens.checkSupplier.map(({ name, from }) => `${name} (${from.join(", ")})`).join(", ")}
          </p>
        )}
        {sheet.allergens.unknownIngredients.length === 0 ? null : (
          <p className="caution">Not known of: {sheet.allergens.unknownIngredients.join(", ")}</p>
        )}
      </section>
      {sheet.components.map((component, c) => (
        <BatchComponent
          // biome-ignore lint/suspicious/noArrayIndexKey: a component has no other identity than its place
          key={c}
          component={component}
          stagesOf={shownFormula.components[c]?.stages ?? []}
          index={c}
          bench={bench}
          setBench={setBench}
        />
      ))}
      <section className="stack">
        {sheet.cautions.length === 0 ? null : (
          <>
            <h2>Cautions</h2>
            <ul className="batch-cautions">
              {sheet.cautions.map((caution) => (
                <li key={caution.code + caution.words}>{caution.words}</li>
              ))}
            </ul>
          </>
        )}
        <h2 id="batch-notes">What happened</h2>
        <textarea
          aria-labelledby="batch-notes"
          rows={5}
          placeholder="Anything that was not as it is written"
          value={bench.notes}
          onChange={(event) => setBench({ notes: event.currentTarget.value })}
        />
      </section>
      <p className="batch-progress figures" role="status">
        {bench.ticked.length} of {lineCount} weighed
      </p>
    </div>
  );
}

function BatchComponent({
  component,
  stagesOf,
  index,
  bench,
  setBench,
}: {
  component: SheetComponent;
  stagesOf: readonly Stage[];
  index: number;
  bench: BenchState;
  setBench: (change: Partial<BenchState>) => void;
}) {
  const { settings } = useHouseState();
  const grams = (value: number) => formatGrams(value, { weighing: settings.rounding });
  return (
    <section className="batch-component" aria-label={component.name}>
      <div className="batch-head">
        <h2>{component.name}</h2>
        <p className="figures">
          {[
            grams(component.totalGrams),
            ...component.tins.map(
              (tin) =>
                `${tin.count} × ${tin.tin}, ${grams(tin.gramsPerCup ?? tin.gramsEach)} in each${tin.gramsPerCup === undefined ? "" : " cup"} (${formatPercent(tin.fillShare * 100, 0)} full, ${Math.round(tin.depthMm)} mm)`,
            ),
            component.bake ?? null,
          ]
            .filter((part) => part !== null)
            .join(" · ")}
        </p>
      </div>
      {component.stages.map((stage, s) => (
        <BatchStage
          // biome-ignore lint/suspicious/noArrayIndexKey: a stage has no other identity than its place
          key={s}
          stage={stage}
          timeSeconds={timeOf(stagesOf[s])}
          place={`${index}-${s}`}
          bench={bench}
          setBench={setBench}
        />
      ))}
      {component.measure.length === 0 ? null : (
        <div className="batch-fields">
          {component.measure.map(({ label, unit }) => {
            const key = `${index}-${label}`;
            return (
              <label key={label}>
                <span>
                  {label}
                  {unit === undefined ? "" : `, ${unit}`}
                </span>
                <input
                  inputMode={unit === undefined && label !== "Specific gravity" ? "text" : "decimal"}
                  value={bench.written[key] ?? ""}
                  onChange={(event) => setBench({ written: { ...bench.written, [key]: event.currentTarget.value } })}
                />
              </label>
            );
          })}
        </div>
      )}
    </section>
  );
}

const timeOf = (stage: Stage | undefined): number | null => {
  const target = stage?.targets?.find((one) => one.kind === "time");
  return target?.kind === "time" ? target.seconds : null;
};

function BatchStage({
  stage,
  timeSeconds,
  place,
  bench,
  setBench,
}: {
  stage: SheetStage;
  timeSeconds: number | null;
  place: string;
  bench: BenchState;
  setBench: (change: Partial<BenchState>) => void;
}) {
  const { settings } = useHouseState();
  return (
    <div className="batch-stage">
      <div className="batch-stage-head">
        <h3>{stage.name}</h3>
        {stage.targets.length === 0 ? null : <span className="muted">{stage.targets.join(" · ")}</span>}
        {timeSeconds === null ? null : (
          <Timer
            name={stage.name}
            seconds={timeSeconds}
            endsAt={bench.timers[place] ?? null}
            onChange={(endsAt) => {
              const { [place]: _stopped, ...others } = bench.timers;
              setBench({ timers: endsAt === null ? others : { ...others, [place]: endsAt } });
            }}
          />
        )}
      </div>
      <ul className="batch-lines">
        {stage.lines.map((line, l) => {
          const key = `${place}-${l}`;
          const done = bench.ticked.includes(key);
          return (
            <li key={key} data-done={done || undefined}>
              <label>
                <input type="checkbox" checked={done} onChange={() => setBench({ ticked: toggled(bench.ticked, key) })} />
                <span className="batch-name">
                  {line.name}
                  {line.note === undefined ? null : <span className="muted">, {line.note}</span>}
                </span>
                <span className="batch-grams figures">
                  {line.grams === null ? "to taste" : formatGrams(line.grams, { weighing: settings.rounding })}
                </span>
              </label>
            </li>
          );
        })}
      </ul>
      {stage.method === undefined ? null : <p className="batch-method">{stage.method}</p>}
    </div>
  );
}

/** Runs down to the moment it ends, and not by counting: a reload or a sleeping tablet loses nothing. */
function Timer({
  name,
  seconds,
  endsAt,
  onChange,
}: {
  name: string;
  seconds: number;
  endsAt: number | null;
  onChange: (endsAt: number | null) => void;
}) {
  const [now, setNow] = useState(() => Date.now());
  const rung = useRef(false);
  const left = endsAt === null ? seconds : Math.max(0, Math.ceil((endsAt - now) / 1000));
  useEffect(() => {
    if (endsAt === null) return;
    rung.current = endsAt <= Date.now();
    const tick = setInterval(() => {
      const time = Date.now();
      setNow(time);
      if (time >= endsAt && !rung.current) {
        rung.current = true;
        ring();
      }
    }, 250);
    return () => clearInterval(tick);
  }, [endsAt]);
  const words = `${Math.floor(left / 60)}:${String(left % 60).padStart(2, "0")}`;
  const over = endsAt !== null && left === 0;
  return (
    <span className="timer" data-over={over || undefined}>
      <span className="figures" role="timer" aria-label={`${name}: ${words} left`}>
        {over ? "time is up" : words}
      </span>
      <button
        type="button"
        className="button plain"
        aria-label={endsAt === null ? `Start the timer for ${name}` : `Stop the timer for ${name}`}
        onClick={() => {
          const start = Date.now();
          setNow(start);
          onChange(endsAt === null ? start + seconds * 1000 : null);
        }}
      >
        {endsAt === null ? "Start" : over ? "Done" : "Stop"}
      </button>
    </span>
  );
}

function ring(): void {
  navigator.vibrate?.([300, 150, 300]);
  const audio = new AudioContext();
  const volume = audio.createGain();
  volume.gain.value = 0.25;
  volume.connect(audio.destination);
  for (const [at, pitch] of [
    [0, 880],
    [0.35, 660],
    [0.7, 880],
  ] as const) {
    const tone = audio.createOscillator();
    tone.frequency.value = pitch;
    tone.connect(volume);
    tone.start(audio.currentTime + at);
    tone.stop(audio.currentTime + at + 0.25);
  }
  setTimeout(() => void audio.close(), 1500);
}

/** The screen stays on while the sheet is followed, where the device allows it. */
function useAwakeScreen(): void {
  useEffect(() => {
    let lock: WakeLockSentinel | undefined;
    let wanted = true;
    const ask = () => {
      if (document.visibilityState !== "visible" || !("wakeLock" in navigator)) return;
      navigator.wakeLock.request("screen").then(
        (got) => {
          if (wanted) lock = got;
          else void got.release();
        },
        () => {}, // a low battery refuses; the sheet works all the same
      );
    };
    ask();
    document.addEventListener("visibilitychange", ask);
    return () => {
      wanted = false;
      document.removeEventListener("visibilitychange", ask);
      void lock?.release();
    };
  }, []);
}
