import { composeFormula } from "@evencrumb/core/composition";
import { recipeData, writeUp, writeUpHtml, writeUpMarkdown, writeUpText } from "@evencrumb/core/writeup";
import { useDeferredValue, useMemo, useState } from "react";
import { ActionButton } from "../app/ActionButton.js";
import { addresses } from "../app/route.js";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { useKept } from "../keep/useKept.js";
import { useOwnedTins } from "../parts/useOwnedTins.js";
import { batchFor, eggOf, FIRST_CHOICES, type ReaderBatch, type ReaderChoices } from "../writeup/options.js";
import { ReaderFields } from "../writeup/ReaderFields.js";
import { usePredictedTimes } from "../writeup/usePredictedTimes.js";
import { SHAPE_WORDS, SHAPES, type Shape, writeUpActions } from "../writeup/writeUpActions.js";
import "../style/papers.css";
import { type OpenFormula, useSessionState } from "./FormulaPage.js";

/** The recipe as readers get it, as it will print, while it is written: in their measures, for their tins. */
export function WriteUpPage({ open }: { open: OpenFormula }) {
  const { id } = open.detail.document;
  const { formula: typed } = useSessionState(open.session);
  const kept = useDeferredValue(typed);
  const house = useHouse();
  const { book, settings } = useHouseState();
  const owned = useOwnedTins();
  const [choices, setChoices] = useKept<ReaderChoices>("writeup.reader", FIRST_CHOICES);
  const [batch, setBatch] = useKept<ReaderBatch>(`writeup-batch.${id}`, { by: "formula", value: "" });
  const [shape, setShape] = useState<Shape>("page");
  const [said, say] = useState<string | null>(null);
  const scaled = useMemo(() => batchFor(batch, kept, book, owned), [batch, kept, book, owned]);
  const { formula, factor, cautions } = scaled.ok ? scaled.value : { formula: kept, factor: 1, cautions: [] };
  const predicted = usePredictedTimes(formula, book, owned, choices.time === "predicted");
  const text = useMemo(() => {
    const egg = eggOf(choices.egg);
    const author = choices.author.trim() === "" ? settings.business?.name.trim() : choices.author.trim();
    return writeUp(formula, book, {
      measures: choices.measures,
      owned,
      factor,
      cautions,
      bakeSeconds: predicted.bakeSeconds,
      ...(choices.names === "" ? {} : { names: choices.names }),
      ...(egg === undefined ? {} : { egg }),
      ...(author === undefined || author === "" ? {} : { author }),
      ...(choices.date === "" ? {} : { date: choices.date }),
    });
  }, [formula, book, owned, factor, cautions, predicted.bakeSeconds, choices, settings.business]);
  const data = useMemo(() => recipeData(text, composeFormula(formula, book).product.finished), [text, formula, book]);
  const html = useMemo(() => writeUpHtml(text, data), [text, data]);
  const shown = useMemo(
    () =>
      shape === "page"
        ? html
        : shape === "text"
          ? writeUpText(text)
          : shape === "markdown"
            ? writeUpMarkdown(text)
            : JSON.stringify(data, null, 2),
    [shape, html, text, data],
  );
  const name = kept.name === "" ? "recipe" : kept.name;
  const context = { house, name, text, html, shape, shown, say };
  const firstBatch = {
    formula: "",
    tins: kept.components.flatMap(({ tins }) => tins ?? []).map(({ count, tin }) => `${count} ${tin}`)[0] ?? "",
    portions: String(kept.portions ?? 12),
    factor: "2",
  };
  return (
    <div className="page">
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.formula(id)}>
            ‹ {kept.name}
          </a>
          <h1>Write-up</h1>
        </div>
        <div className="buttons">
          <ActionButton action={writeUpActions.copy} context={context} />
          <ActionButton action={writeUpActions.save} context={context} />
          <ActionButton action={writeUpActions.pdf} context={context} />
          <ActionButton action={writeUpActions.print} context={context} kind="main" />
        </div>
      </header>
      {said === null ? null : (
        <p className="caution-words" role="status">
          {said}
        </p>
      )}
      <ReaderFields
        choices={choices}
        choose={(change) => setChoices({ ...choices, ...change })}
        batch={batch}
        onBatch={setBatch}
        firstBatch={firstBatch}
        wrong={scaled.ok ? null : `Expected ${scaled.error.expected}. ${scaled.error.remedy}`}
      />
      <p className={text.rounding.length > 0 ? "caution-words" : "muted"} role="status">
        {text.roundingSummary}
        {text.rounding.length > 0 ? ` ${text.rounding.map(({ words }) => words).join(" ")}` : ""}
      </p>
      {choices.time !== "predicted" ? null : (
        <p className="muted small" role="status">
          {predicted.isWorking
            ? "Predicting how long it bakes…"
            : predicted.without.length > 0
              ? `No bake time can be predicted for ${predicted.without.join(", ")}: the formula's own minutes stand there.`
              : Object.keys(predicted.bakeSeconds).length > 0
                ? "Bake times are predicted for a usual oven, not measured: the skewer decides."
                : ""}
        </p>
      )}
      <fieldset className="segments">
        <legend className="hidden-words">Shown as</legend>
        {SHAPES.map((one) => (
          <label key={one} className="segment">
            <input type="radio" name="shape" checked={shape === one} onChange={() => setShape(one)} />
            <span>{SHAPE_WORDS[one].name}</span>
          </label>
        ))}
      </fieldset>
      {shape === "page" ? (
        <iframe
          className="paper-frame"
          title={`${name}, as readers get it`}
          srcDoc={html}
          sandbox="allow-same-origin allow-modals"
        />
      ) : (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: it scrolls, and the keyboard has to reach that
        <pre className="paper-text" tabIndex={0}>
          {shown}
        </pre>
      )}
    </div>
  );
}
