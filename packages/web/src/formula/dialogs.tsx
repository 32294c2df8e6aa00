import {
  COMPONENT_KINDS,
  type ComponentChange,
  type ComponentKind,
  changeComponent,
  changeFormula,
  changeStage,
  type Formula,
  splitIngredient,
  type Target,
  type TinUse,
} from "@evencrumb/core/formula";
import { displayName } from "@evencrumb/core/ingredients";
import { formatGrams } from "@evencrumb/core/quantities";
import { type CountedTin, type NamedTin, readTinsFor } from "@evencrumb/core/tins";
import { type FormEvent, useId, useState } from "react";
import type { Settings } from "../app/house.js";
import { useKeptText } from "../keep/useKeptText.js";
import { Dialog } from "../parts/Dialog.js";
import { Field, problemWords } from "../parts/Field.js";
import type { FormulaSession } from "./session.js";

interface DialogProps {
  session: FormulaSession;
  formula: Formula;
  settings: Settings;
  owned: readonly NamedTin[];
  onClose: () => void;
}

const onSubmit = (does: () => void) => (event: FormEvent) => {
  event.preventDefault();
  does();
};

function Footer({ onClose, label }: { onClose: () => void; label: string }) {
  return (
    <footer>
      <button type="button" className="button plain" onClick={onClose}>
        Cancel
      </button>
      <button type="submit" className="button main">
        {label}
      </button>
    </footer>
  );
}

/** Name, portions and notes of the formula. */
export function FormulaDialog({ session, formula, onClose: close }: DialogProps) {
  const [name, setName] = useState(formula.name);
  const [portions, setPortions] = useState(formula.portions === undefined ? "" : String(formula.portions));
  const [notes, setNotes, forgetNotes] = useKeptText(`notes.${session.documentId}`, formula.notes ?? "");
  const onClose = () => {
    forgetNotes();
    close();
  };
  const [wrong, setWrong] = useState<{ field: string; words: string } | null>(null);
  const save = () => {
    const made = session.edit((now) =>
      changeFormula(now, {
        name: name.trim(),
        portions: portions.trim() === "" ? undefined : Number(portions),
        notes: notes.trim() === "" ? undefined : notes.trim(),
      }),
    );
    const { problem } = session.state();
    if (made) onClose();
    else if (problem !== null) setWrong({ field: String(problem.path.at(-1) ?? "name"), words: problemWords(problem) });
  };
  return (
    <Dialog title="About this formula" onClose={onClose}>
      <form onSubmit={onSubmit(save)} className="stack">
        <Field label="Name" wrong={wrong?.field === "name" ? wrong.words : null}>
          {(field) => <input {...field} value={name} onChange={(event) => setName(event.currentTarget.value)} />}
        </Field>
        <Field
          label="Portions"
          help="Into how many the finished product is cut."
          wrong={wrong?.field === "portions" ? wrong.words : null}
        >
          {(field) => (
            <input
              {...field}
              inputMode="numeric"
              className="short"
              value={portions}
              onChange={(event) => setPortions(event.currentTarget.value)}
            />
          )}
        </Field>
        <Field label="Notes">
          {(field) => <textarea {...field} rows={4} value={notes} onChange={(event) => setNotes(event.currentTarget.value)} />}
        </Field>
        <Footer onClose={onClose} label="Done" />
      </form>
    </Dialog>
  );
}

const TARGET_KINDS: readonly { readonly kind: Target["kind"]; readonly label: string; readonly unit: string }[] = [
  { kind: "look", label: "looks or feels", unit: "" },
  { kind: "time", label: "time", unit: "min" },
  { kind: "temperature", label: "temperature", unit: "°C" },
  { kind: "specific-gravity", label: "specific gravity", unit: "" },
  { kind: "volume-increase", label: "volume up by", unit: "%" },
];

interface TargetText {
  readonly key: number;
  readonly kind: Target["kind"];
  readonly text: string;
}

function textOfTarget(target: Target): string {
  switch (target.kind) {
    case "look":
      return target.words;
    case "time":
      return String(Number((target.seconds / 60).toFixed(2)));
    case "temperature":
      return String(target.celsius);
    case "specific-gravity":
      return String(target.value);
    case "volume-increase":
      return String(target.percent);
  }
}

function targetOfText({ kind, text }: TargetText): Target {
  // Not a number stays so: the edit refuses it and says what was expected.
  const number = text.trim() === "" ? Number.NaN : Number(text.replace(",", "."));
  switch (kind) {
    case "look":
      return { kind, words: text.trim() };
    case "time":
      return { kind, seconds: Math.round(number * 60) };
    case "temperature":
      return { kind, celsius: number };
    case "specific-gravity":
      return { kind, value: number };
    case "volume-increase":
      return { kind, percent: number };
  }
}

/** Name, method and targets of one stage. */
export function StageDialog({
  session,
  formula,
  onClose: close,
  component,
  stage,
}: DialogProps & { component: number; stage: number }) {
  const now = formula.components[component]?.stages[stage];
  const [name, setName] = useState(now?.name ?? "");
  const [method, setMethod, forgetMethod] = useKeptText(`method.${session.documentId}.${component}.${stage}`, now?.method ?? "");
  const onClose = () => {
    forgetMethod();
    close();
  };
  const [targets, setTargets] = useState<readonly TargetText[]>(() =>
    (now?.targets ?? []).map((target, key) => ({ key, kind: target.kind, text: textOfTarget(target) })),
  );
  const [nextKey, setNextKey] = useState(targets.length);
  const [wrong, setWrong] = useState<string | null>(null);
  const save = () => {
    const filled = targets.filter(({ text }) => text.trim() !== "").map(targetOfText);
    const made = session.edit((before) =>
      changeStage(
        before,
        { component, stage },
        {
          name: name.trim(),
          method: method.trim() === "" ? undefined : method.trim(),
          targets: filled.length === 0 ? undefined : filled,
        },
      ),
    );
    const { problem } = session.state();
    if (made) onClose();
    else if (problem !== null) setWrong(problemWords(problem));
  };
  const change = (key: number, part: Partial<TargetText>) =>
    setTargets((all) => all.map((target) => (target.key === key ? { ...target, ...part } : target)));
  return (
    <Dialog title={`Stage: ${now?.name ?? ""}`} onClose={onClose}>
      <form onSubmit={onSubmit(save)} className="stack">
        <Field label="Name">
          {(field) => <input {...field} value={name} onChange={(event) => setName(event.currentTarget.value)} />}
        </Field>
        <Field label="Method">
          {(field) => <textarea {...field} rows={4} value={method} onChange={(event) => setMethod(event.currentTarget.value)} />}
        </Field>
        <fieldset className="targets-edit">
          <legend>Done when</legend>
          {targets.map((target) => {
            const kind = TARGET_KINDS.find((one) => one.kind === target.kind)!;
            return (
              <div key={target.key} className="target-edit">
                <select
                  aria-label="Kind of target"
                  value={target.kind}
                  onChange={(event) => change(target.key, { kind: event.currentTarget.value as Target["kind"] })}
                >
                  {TARGET_KINDS.map((one) => (
                    <option key={one.kind} value={one.kind}>
                      {one.label}
                    </option>
                  ))}
                </select>
                <input
                  aria-label={`${kind.label} ${kind.unit}`.trim()}
                  inputMode={target.kind === "look" ? "text" : "decimal"}
                  placeholder={target.kind === "look" ? "pale and fluffy" : ""}
                  value={target.text}
                  onChange={(event) => change(target.key, { text: event.currentTarget.value })}
                />
                <span className="muted unit">{kind.unit}</span>
                <button
                  type="button"
                  className="button quiet"
                  aria-label={`Remove the target ${kind.label}`}
                  onClick={() => setTargets((all) => all.filter(({ key }) => key !== target.key))}
                >
                  Remove
                </button>
              </div>
            );
          })}
          <button
            type="button"
            className="button plain"
            onClick={() => {
              setTargets((all) => [...all, { key: nextKey, kind: all.length === 0 ? "look" : "time", text: "" }]);
              setNextKey(nextKey + 1);
            }}
          >
            Add a target
          </button>
        </fieldset>
        {wrong === null ? null : (
          <p className="caution" role="alert">
            {wrong}
          </p>
        )}
        <Footer onClose={onClose} label="Done" />
      </form>
    </Dialog>
  );
}

/** Kind, tins, loss, specific gravity and oven of one component. */
export function ComponentDialog({ session, formula, owned, onClose, component }: DialogProps & { component: number }) {
  const now = formula.components[component];
  const [kind, setKind] = useState<ComponentKind>(now?.kind ?? "other");
  const [tins, setTins] = useState((now?.tins ?? []).map(({ count, tin }) => `${count} × ${tin}`).join(", "));
  const [loss, setLoss] = useState(now?.loss === undefined ? "" : String(now.loss.percent));
  const [lossBasis, setLossBasis] = useState(now?.loss?.basis ?? "stated");
  const [gravity, setGravity] = useState(now?.specificGravity === undefined ? "" : String(now.specificGravity.value));
  const [gravityBasis, setGravityBasis] = useState(now?.specificGravity?.basis ?? "measured");
  const [oven, setOven] = useState(now?.bake === undefined ? "" : String(now.bake.ovenC));
  const [fan, setFan] = useState(now?.bake?.fan ?? false);
  const [minutes, setMinutes] = useState(now?.bake?.minutes === undefined ? "" : String(now.bake.minutes));
  const [wrong, setWrong] = useState<{ field: string; words: string } | null>(null);
  const listId = useId();
  const read = tins.trim() === "" ? null : readTinUses(tins, owned);

  const save = () => {
    const number = (text: string) => (text.trim() === "" ? Number.NaN : Number(text.replace(",", ".")));
    if (read !== null && read.problems.length > 0 && read.uses.length === 0) {
      setWrong({ field: "tins", words: read.problems.join(" ") });
      return;
    }
    const change: ComponentChange = {
      kind,
      tins: read === null || read.uses.length === 0 ? undefined : read.uses,
      loss: loss.trim() === "" ? undefined : { percent: number(loss), basis: lossBasis },
      specificGravity: gravity.trim() === "" ? undefined : { value: number(gravity), basis: gravityBasis },
      bake:
        oven.trim() === ""
          ? undefined
          : { ovenC: number(oven), fan, ...(minutes.trim() === "" ? {} : { minutes: number(minutes) }) },
    };
    const made = session.edit((before) => changeComponent(before, component, change));
    const { problem } = session.state();
    if (made) onClose();
    else if (problem !== null) {
      const field = problem.path.find((part) => ["tins", "loss", "specificGravity", "bake"].includes(String(part)));
      setWrong({ field: String(field ?? ""), words: problemWords(problem) });
    }
  };
  const wrongAt = (field: string) => (wrong?.field === field ? wrong.words : null);
  return (
    <Dialog title={now?.name ?? "Component"} onClose={onClose}>
      <form onSubmit={onSubmit(save)} className="stack">
        <Field label="Kind">
          {(field) => (
            <select
              {...field}
              className="short"
              value={kind}
              onChange={(event) => setKind(event.currentTarget.value as ComponentKind)}
            >
              {COMPONENT_KINDS.map((one) => (
                <option key={one}>{one}</option>
              ))}
            </select>
          )}
        </Field>
        <Field
          label="Tins"
          help={
            read === null
              ? "Such as 2 round 20x5 cm, or the name of a tin you own. Several are parted by commas."
              : read.problems.length > 0
                ? read.problems.join(" ")
                : read.words
          }
          wrong={wrongAt("tins")}
        >
          {(field) => (
            <>
              <input {...field} list={listId} value={tins} onChange={(event) => setTins(event.currentTarget.value)} />
              <datalist id={listId}>
                {owned.map(({ name }) => (
                  <option key={name} value={name} />
                ))}
              </datalist>
            </>
          )}
        </Field>
        <div className="row">
          <Field
            label="Lost in the making, %"
            help="Weighed before and after; all of it counts as water."
            wrong={wrongAt("loss")}
          >
            {(field) => (
              <input
                {...field}
                inputMode="decimal"
                className="short"
                value={loss}
                onChange={(event) => setLoss(event.currentTarget.value)}
              />
            )}
          </Field>
          <Field label="It was">
            {(field) => (
              <select
                {...field}
                value={lossBasis}
                onChange={(event) => setLossBasis(event.currentTarget.value as typeof lossBasis)}
              >
                <option value="stated">stated</option>
                <option value="measured">measured</option>
              </select>
            )}
          </Field>
        </div>
        <div className="row">
          <Field
            label="Specific gravity of the batter"
            help="Weight of a cup of it over the weight of the same cup of water."
            wrong={wrongAt("specificGravity")}
          >
            {(field) => (
              <input
                {...field}
                inputMode="decimal"
                className="short"
                value={gravity}
                onChange={(event) => setGravity(event.currentTarget.value)}
              />
            )}
          </Field>
          <Field label="It is">
            {(field) => (
              <select
                {...field}
                value={gravityBasis}
                onChange={(event) => setGravityBasis(event.currentTarget.value as typeof gravityBasis)}
              >
                <option value="typical">typical</option>
                <option value="measured">measured</option>
              </select>
            )}
          </Field>
        </div>
        <div className="row">
          <Field label="Oven, °C" wrong={wrongAt("bake")}>
            {(field) => (
              <input
                {...field}
                inputMode="decimal"
                className="short"
                value={oven}
                onChange={(event) => setOven(event.currentTarget.value)}
              />
            )}
          </Field>
          <Field label="Minutes">
            {(field) => (
              <input
                {...field}
                inputMode="decimal"
                className="short"
                value={minutes}
                onChange={(event) => setMinutes(event.currentTarget.value)}
              />
            )}
          </Field>
          <label className="choice at-foot">
            <input type="checkbox" checked={fan} onChange={(event) => setFan(event.currentTarget.checked)} />
            with the fan
          </label>
        </div>
        <Footer onClose={onClose} label="Done" />
      </form>
    </Dialog>
  );
}

/** "2 × round 20x5 cm, Loaf tins" as tins of a component, with what was understood in words. */
export function readTinUses(
  text: string,
  owned: readonly NamedTin[],
): {
  readonly uses: readonly TinUse[];
  readonly tins: readonly CountedTin[];
  readonly problems: readonly string[];
  readonly words: string;
} {
  const read = readTinsFor(text, owned);
  return {
    uses: read.value.map(({ count, text: tin }) => ({ count, tin })),
    tins: read.value,
    problems: read.problems.map((problem) => `${problem.found}: ${problem.remedy}`),
    words: read.value
      .map(({ count, text: tin, tin: { assumed } }) => {
        const filledIn = assumed.filter(({ what }) => what !== "material").map(({ words }) => words);
        return `${count} × ${tin}${filledIn.length > 0 ? ` (${filledIn.join(", ")})` : ""}`;
      })
      .join(", "),
  };
}

/** How one ingredient is shared between the stages of its component; its total stays. */
export function SplitDialog({
  session,
  formula,
  settings,
  onClose,
  component,
  ingredient,
}: DialogProps & { component: number; ingredient: string }) {
  const part = formula.components[component]!;
  const gramsIn = part.stages.map((stage) =>
    stage.uses.reduce((sum, use) => (use.ingredient === ingredient ? sum + (use.grams ?? 0) : sum), 0),
  );
  const total = gramsIn.reduce((sum, grams) => sum + grams, 0);
  const [shares, setShares] = useState(() =>
    gramsIn.map((grams) => (total > 0 ? String(Number(((grams / total) * 100).toFixed(1))) : "0")),
  );
  const [wrong, setWrong] = useState<string | null>(null);
  const known = session.book.get(ingredient);
  const name = known === undefined ? ingredient : displayName(known, settings.names);
  const numbers = shares.map((text) => Number(text.replace(",", ".") || "0"));
  const sum = numbers.reduce((all, share) => all + share, 0);
  const save = () => {
    const wanted = numbers.map((percent, stage) => ({ stage, share: percent / 100 })).filter(({ share }) => share !== 0);
    if (session.edit((now) => splitIngredient(now, { component, ingredient }, wanted))) onClose();
    else setWrong(session.state().problem === null ? null : problemWords(session.state().problem!));
  };
  return (
    <Dialog title={`Split ${name}`} onClose={onClose}>
      <form onSubmit={onSubmit(save)} className="stack">
        <p className="muted">
          {formatGrams(total, { weighing: settings.rounding })} in {part.name}. The total stays as it is.
        </p>
        <div className="split">
          {part.stages.map((stage, index) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: a stage has no other identity than its place
            <Field key={index} label={stage.name} className="beside">
              {(field) => (
                <span className="with-unit">
                  <input
                    {...field}
                    inputMode="decimal"
                    className="short"
                    value={shares[index]}
                    onChange={(event) => setShares(shares.with(index, event.currentTarget.value))}
                  />
                  <span className="muted">
                    %
                    {Number.isFinite(numbers[index])
                      ? `, ${formatGrams((total * numbers[index]!) / 100, { weighing: settings.rounding })}`
                      : ""}
                  </span>
                </span>
              )}
            </Field>
          ))}
        </div>
        <p className={Math.abs(sum - 100) < 0.1 ? "muted" : "caution"}>
          Together {Number.isFinite(sum) ? Number(sum.toFixed(1)) : "–"} %
        </p>
        {wrong === null ? null : (
          <p className="caution" role="alert">
            {wrong}
          </p>
        )}
        <Footer onClose={onClose} label="Split" />
      </form>
    </Dialog>
  );
}

/** A note says what was changed and why: it is what is read a year later. */
export function KeepDialog({
  documentId,
  number,
  sentences,
  onKeep,
  onClose: close,
}: {
  documentId: string;
  number: number;
  sentences: readonly string[];
  onKeep: (note: string) => void;
  onClose: () => void;
}) {
  const [note, setNote, forgetNote] = useKeptText(`note.${documentId}`, "");
  const onClose = () => {
    forgetNote();
    close();
  };
  return (
    <Dialog title={`Keep as revision ${number}`} onClose={onClose}>
      <form
        onSubmit={onSubmit(() => {
          forgetNote();
          onKeep(note.trim());
        })}
        className="stack"
      >
        {sentences.length === 0 ? null : (
          <ul className="sentences">
            {sentences.map((sentence) => (
              <li key={sentence}>{sentence}</li>
            ))}
          </ul>
        )}
        <Field label="Note" help="What you changed and why, for the day you look back.">
          {(field) => <textarea {...field} rows={3} value={note} onChange={(event) => setNote(event.currentTarget.value)} />}
        </Field>
        <Footer onClose={onClose} label="Keep" />
      </form>
    </Dialog>
  );
}
