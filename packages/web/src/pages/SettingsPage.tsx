import type { EggGrade } from "@evencrumb/core/quantities";
import { useState } from "react";
import { BACKUP_URL, RefusedError } from "../api/client.js";
import type { DeviceChoices, Settings } from "../app/house.js";
import { useHouse, useHouseState, useOutboxState } from "../app/useHouse.js";
import { Dialog } from "../parts/Dialog.js";
import { Field } from "../parts/Field.js";
import { RatesSection } from "../price/RatesSection.js";

const EGGS: readonly {
  readonly label: string;
  readonly eggScheme: Settings["eggScheme"];
  readonly eggGrade: EggGrade["grade"];
}[] = [
  { label: "UK or EU, S (43 to 53 g)", eggScheme: "uk", eggGrade: "S" },
  { label: "UK or EU, M (53 to 63 g)", eggScheme: "uk", eggGrade: "M" },
  { label: "UK or EU, L (63 to 73 g)", eggScheme: "uk", eggGrade: "L" },
  { label: "UK or EU, XL (73 g and more)", eggScheme: "uk", eggGrade: "XL" },
  { label: "US medium", eggScheme: "us", eggGrade: "medium" },
  { label: "US large", eggScheme: "us", eggGrade: "large" },
  { label: "US extra large", eggScheme: "us", eggGrade: "extra-large" },
];

/** How the bakery reads and weighs; what is kept of it, and the demo. */
export function SettingsPage() {
  const house = useHouse();
  const { settings, device, formulas } = useHouseState();
  const { reachable } = useOutboxState();
  const [said, setSaid] = useState<string | null>(null);
  const [archive, setArchive] = useState<File | null>(null);
  const hasDemo = formulas.some(({ demo }) => demo);
  const egg = EGGS.findIndex(({ eggScheme, eggGrade }) => eggScheme === settings.eggScheme && eggGrade === settings.eggGrade);

  const attempt = (doing: string, work: () => Promise<unknown>, done: string) => {
    setSaid(doing);
    work().then(
      () => {
        setSaid(done);
        void house.refresh();
      },
      (error: unknown) => {
        if (!(error instanceof Error)) throw error;
        const problem = error instanceof RefusedError ? error.details.problems?.[0] : undefined;
        setSaid(problem === undefined ? error.message : `${error.message} ${problem.remedy}`);
      },
    );
  };

  return (
    <div className="page narrow settings">
      <header>
        <h1>Settings</h1>
      </header>
      <section aria-labelledby="set-bakery" className="stack">
        <h2 id="set-bakery">The bakery</h2>
        <div className="row">
          <Field label="Names of ingredients">
            {(field) => (
              <select
                {...field}
                value={settings.names}
                onChange={(event) => house.choose({ names: event.currentTarget.value as Settings["names"] })}
              >
                <option value="british">British: caster sugar</option>
                <option value="us">US: superfine sugar</option>
              </select>
            )}
          </Field>
          <Field label="Sizes of tins">
            {(field) => (
              <select
                {...field}
                value={settings.units}
                onChange={(event) => house.choose({ units: event.currentTarget.value as Settings["units"] })}
              >
                <option value="metric">centimetres</option>
                <option value="imperial">inches, imperial measures</option>
                <option value="us">inches, US measures</option>
              </select>
            )}
          </Field>
          <Field label="Temperatures">
            {(field) => (
              <select
                {...field}
                value={settings.temperature}
                onChange={(event) => house.choose({ temperature: event.currentTarget.value as Settings["temperature"] })}
              >
                <option value="celsius">°C</option>
                <option value="fahrenheit">°F</option>
                <option value="gas-mark">gas mark</option>
              </select>
            )}
          </Field>
        </div>
        <div className="row">
          <Field label="Whole grams from" help="Below it, the fine scale weighs tenths.">
            {(field) => (
              <select
                {...field}
                value={settings.rounding.fineBelow}
                onChange={(event) =>
                  house.choose({ rounding: { ...settings.rounding, fineBelow: Number(event.currentTarget.value) } })
                }
              >
                {[...new Set([0, 5, 10, 20, 50, 100, settings.rounding.fineBelow])]
                  .toSorted((a, b) => a - b)
                  .map((grams) => (
                    <option key={grams} value={grams}>
                      {grams === 0 ? "always" : `${grams} g`}
                    </option>
                  ))}
              </select>
            )}
          </Field>
          <Field label="The scale shows steps of">
            {(field) => (
              <select
                {...field}
                value={settings.rounding.step}
                onChange={(event) =>
                  house.choose({ rounding: { ...settings.rounding, step: Number(event.currentTarget.value) } })
                }
              >
                {[...new Set([0.1, 0.5, 1, 2, 5, settings.rounding.step])]
                  .toSorted((a, b) => a - b)
                  .map((grams) => (
                    <option key={grams} value={grams}>
                      {grams} g
                    </option>
                  ))}
              </select>
            )}
          </Field>
          <Field label="Eggs you buy">
            {(field) => (
              <select {...field} value={egg} onChange={(event) => house.choose(eggChoice(Number(event.currentTarget.value)))}>
                {EGGS.map(({ label }, index) => (
                  <option key={label} value={index}>
                    {label}
                  </option>
                ))}
                {egg < 0 ? <option value={-1}>{settings.eggGrade}</option> : null}
              </select>
            )}
          </Field>
          <Field label="Money">
            {(field) => (
              <select
                {...field}
                value={settings.currency}
                onChange={(event) => house.choose({ currency: event.currentTarget.value })}
              >
                {[...new Set(["GBP", "EUR", "USD", settings.currency])].map((currency) => (
                  <option key={currency}>{currency}</option>
                ))}
              </select>
            )}
          </Field>
        </div>
      </section>

      <RatesSection />

      <section aria-labelledby="set-device" className="stack">
        <h2 id="set-device">This device</h2>
        <div className="row">
          <Field label="Name" help="Others see it beside what you keep.">
            {(field) => (
              <DeviceName {...field} key={device.name} name={device.name} onName={(name) => house.chooseForDevice({ name })} />
            )}
          </Field>
          <Field label="Light">
            {(field) => (
              <select
                {...field}
                value={device.theme}
                onChange={(event) => house.chooseForDevice({ theme: event.currentTarget.value as DeviceChoices["theme"] })}
              >
                <option value="auto">as the device has it</option>
                <option value="light">light</option>
                <option value="dark">dark</option>
              </select>
            )}
          </Field>
        </div>
      </section>

      <section aria-labelledby="set-copy" className="stack">
        <h2 id="set-copy">Backup</h2>
        <p>Everything the bakery keeps, in one file. Restoring gives back exactly what was there.</p>
        <div className="buttons">
          <a className="button plain" href={BACKUP_URL} download aria-disabled={!reachable}>
            Download a backup
          </a>
          <label className="button plain file">
            Restore from a file…
            <input
              type="file"
              className="hidden-words"
              accept=".evencrumb,.gz"
              onChange={(event) => {
                setArchive(event.currentTarget.files?.[0] ?? null);
                event.currentTarget.value = "";
              }}
            />
          </label>
        </div>
      </section>

      <section aria-labelledby="set-demo" className="stack">
        <h2 id="set-demo">The demo bakery</h2>
        <p>
          An invented bakehouse with formulas, tins and ovens to try things on. What you have worked on stays when it is removed.
        </p>
        <div className="buttons">
          {hasDemo ? (
            <button
              type="button"
              className="button plain"
              onClick={() => attempt("Removing the demo…", () => house.client.removeDemo(), "The demo is removed.")}
            >
              Remove the demo
            </button>
          ) : (
            <button
              type="button"
              className="button plain"
              onClick={() => attempt("Putting the demo back…", () => house.client.addDemo(), "The demo is back.")}
            >
              Put the demo back
            </button>
          )}
        </div>
      </section>
      <p role="status" className="said">
        {said}
      </p>
      {archive === null ? null : (
        <Dialog title="Restore this backup?" onClose={() => setArchive(null)}>
          <p>
            Everything that is here now is replaced by what <strong>{archive.name}</strong> holds. A backup of what is here is
            made first, beside the bakery's data.
          </p>
          <footer>
            <button type="button" className="button plain" onClick={() => setArchive(null)}>
              Cancel
            </button>
            <button
              type="button"
              className="button main"
              onClick={() => {
                const file = archive;
                setArchive(null);
                attempt("Restoring…", () => house.client.restoreBackup(file), "The backup is restored.");
              }}
            >
              Restore
            </button>
          </footer>
        </Dialog>
      )}
    </div>
  );
}

function eggChoice(index: number): Partial<Settings> {
  const chosen = EGGS[index];
  return chosen === undefined ? {} : { eggScheme: chosen.eggScheme, eggGrade: chosen.eggGrade };
}

function DeviceName({ name, onName, ...field }: { name: string; onName: (name: string) => void; id: string }) {
  const [text, setText] = useState(name);
  return (
    <input
      {...field}
      value={text}
      maxLength={60}
      onChange={(event) => setText(event.currentTarget.value)}
      onBlur={() => (text.trim() === "" ? setText(name) : onName(text.trim()))}
    />
  );
}
