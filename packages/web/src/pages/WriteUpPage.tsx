import { composeFormula } from "@evencrumb/core/composition";
import {
  READER_MEASURES,
  type ReaderMeasures,
  recipeData,
  writeUp,
  writeUpHtml,
  writeUpMarkdown,
  writeUpText,
} from "@evencrumb/core/writeup";
import { useDeferredValue, useMemo, useRef, useState } from "react";
import { addresses } from "../app/route.js";
import { useHouseState } from "../app/useHouse.js";
import { readSmall, writeSmall } from "../keep/storage.js";
import { download } from "../parts/download.js";
import { useOwnedTins } from "../parts/useOwnedTins.js";
import "../style/papers.css";
import { type OpenFormula, useSessionState } from "./FormulaPage.js";

const MEASURE_WORDS: Readonly<Record<ReaderMeasures, string>> = {
  metric: "grams",
  imperial: "ounces and pounds",
  us: "US cups and spoons",
};

/** The recipe as readers get it, as it will print, while it is written. */
export function WriteUpPage({ open }: { open: OpenFormula }) {
  const { id } = open.detail.document;
  const { formula: typed } = useSessionState(open.session);
  const formula = useDeferredValue(typed);
  const { book } = useHouseState();
  const owned = useOwnedTins();
  const [measures, setMeasures] = useState<ReaderMeasures>(readSmall<ReaderMeasures>("writeup.measures") ?? "metric");
  const [author, setAuthor] = useState(readSmall<string>("writeup.author") ?? "");
  const page = useRef<HTMLIFrameElement>(null);
  const text = useMemo(
    () => writeUp(formula, book, { measures, owned, ...(author.trim() === "" ? {} : { author: author.trim() }) }),
    [formula, book, measures, owned, author],
  );
  const data = useMemo(() => recipeData(text, composeFormula(formula, book).product.finished), [text, formula, book]);
  const html = useMemo(() => writeUpHtml(text, data), [text, data]);
  const name = formula.name === "" ? "recipe" : formula.name;
  return (
    <div className="page">
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.formula(id)}>
            ‹ {formula.name}
          </a>
          <h1>Write-up</h1>
        </div>
        <div className="buttons">
          <button type="button" className="button main" onClick={() => page.current?.contentWindow?.print()}>
            Print
          </button>
          <button type="button" className="button" onClick={() => download(`${name}.html`, html, "text/html")}>
            Save the page
          </button>
        </div>
      </header>
      <div className="row">
        <label className="field">
          <span className="label">In the reader's</span>
          <select
            value={measures}
            onChange={(event) => {
              const next = event.currentTarget.value as ReaderMeasures;
              setMeasures(next);
              writeSmall("writeup.measures", next);
            }}
          >
            {READER_MEASURES.map((one) => (
              <option key={one} value={one}>
                {MEASURE_WORDS[one]}
              </option>
            ))}
          </select>
        </label>
        <label className="field">
          <span className="label">Written by</span>
          <input
            value={author}
            maxLength={120}
            onChange={(event) => {
              setAuthor(event.currentTarget.value);
              writeSmall("writeup.author", event.currentTarget.value);
            }}
          />
        </label>
      </div>
      <p className={text.rounding.length > 0 ? "caution-words" : "muted"}>{text.roundingSummary}</p>
      <div className="row">
        <button type="button" className="words accent" onClick={() => download(`${name}.txt`, writeUpText(text), "text/plain")}>
          plain text
        </button>
        <button
          type="button"
          className="words accent"
          onClick={() => download(`${name}.md`, writeUpMarkdown(text), "text/markdown")}
        >
          Markdown
        </button>
        <button
          type="button"
          className="words accent"
          onClick={() => download(`${name}.jsonld`, JSON.stringify(data, null, 2), "application/ld+json")}
        >
          recipe data (schema.org)
        </button>
      </div>
      <iframe
        ref={page}
        className="paper-frame"
        title={`${name}, as readers get it`}
        srcDoc={html}
        sandbox="allow-same-origin allow-modals"
      />
    </div>
  );
}
