import {
  isGtin,
  LABEL_LANGUAGES,
  type LabelInputs,
  type LabelLanguage,
  type LabelPlace,
  labelFor,
  labelSvg,
  labelText,
  layoutLabel,
  SALE_MODES,
  type SaleMode,
  type SheetGrid,
  sheetGrid,
  sheetPlaces,
} from "@evencrumb/core/label";
import { useDeferredValue, useMemo } from "react";
import { addresses } from "../app/route.js";
import { useHouseState } from "../app/useHouse.js";
import { useKept } from "../keep/useKept.js";
import { today } from "../parts/dates.js";
import { download } from "../parts/download.js";
import { printPage } from "../parts/printPage.js";
import { useLabelFont } from "../parts/useLabelFont.js";
import "../style/papers.css";
import { type OpenFormula, useSessionState } from "./FormulaPage.js";

const PLACE_WORDS: Readonly<Record<LabelPlace, string>> = { gb: "Great Britain", eu: "European Union", us: "United States" };
const MODE_WORDS: Readonly<Record<SaleMode, string>> = {
  prepacked: "packed before sale",
  "direct-sale": "packed where it is sold",
  loose: "loose",
  distance: "at a distance",
};

/** What the baker says of one product's label; kept on this device. */
interface LabelWords {
  readonly mode: SaleMode;
  readonly language: LabelLanguage;
  readonly description: string;
  readonly bakeDate: string;
  readonly packs: string;
  readonly gtin: string;
  readonly widthMm: string;
  readonly heightMm: string;
  readonly down: string;
  readonly across: string;
  readonly declared: readonly string[];
  /** Lists of ingredients as packets print them, by ingredient. */
  readonly packets: Readonly<Record<string, string>>;
}
const FIRST: LabelWords = {
  mode: "prepacked",
  language: "en",
  description: "",
  bakeDate: "",
  packs: "1",
  gtin: "",
  widthMm: "100",
  heightMm: "70",
  down: "1",
  across: "1",
  declared: [],
  packets: {},
};

/** The label at true size while it is written, with what is missing beside it. */
export function LabelPage({ open }: { open: OpenFormula }) {
  const { id } = open.detail.document;
  const { formula: typed } = useSessionState(open.session);
  const formula = useDeferredValue(typed);
  const { book } = useHouseState();
  const [place, setPlace] = useKept<LabelPlace>("label.place", "gb");
  const [business, setBusiness] = useKept("label.business", { name: "", address: "" });
  const [words, setWords] = useKept<LabelWords>(`label.${id}`, FIRST);
  const set = (change: Partial<LabelWords>) => setWords({ ...words, ...change });
  const ingredients = useMemo(
    () => [
      ...new Set(
        formula.components.flatMap(({ stages }) => stages.flatMap(({ uses }) => uses.map(({ ingredient }) => ingredient))),
      ),
    ],
    [formula],
  );
  const fontCss = useLabelFont();
  const label = useMemo(() => {
    const packs = Number(words.packs);
    const inputs: LabelInputs = {
      place,
      mode: words.mode,
      language: words.language,
      date: today(),
      declareQuantityOf: words.declared,
      packets: Object.fromEntries(Object.entries(words.packets).filter(([, list]) => list.trim() !== "")),
      ...(words.description.trim() === "" ? {} : { description: words.description.trim() }),
      ...(business.name.trim() === "" || business.address.trim() === "" ? {} : { business }),
      ...(words.bakeDate === "" ? {} : { bakeDate: words.bakeDate }),
      ...(packs >= 1 && packs <= 10_000 ? { packs } : {}),
      ...(isGtin(words.gtin) ? { gtin: words.gtin } : {}),
    };
    return labelFor(formula, book, inputs);
  }, [formula, book, place, business, words]);
  // A packet stays asked for once it was typed, so that its words can be mended.
  const asked = ingredients.filter(
    (ingredient) =>
      words.packets[ingredient] !== undefined ||
      label.checks.some((check) => check.kind === "packet" && check.ingredient === ingredient),
  );
  const [width, height] = [Number(words.widthMm), Number(words.heightMm)];
  const sized = width >= 15 && width <= 600 && height >= 15 && height <= 600;
  const layout = useMemo(
    () => (sized ? layoutLabel(label, { widthMm: width, heightMm: height }) : undefined),
    [label, sized, width, height],
  );
  const svg = useMemo(
    () => (layout === undefined ? undefined : labelSvg(layout, { title: label.name, fontCss })),
    [layout, label, fontCss],
  );
  const sheet = useMemo(
    () => (layout === undefined ? undefined : sheetOf(words, layout.widthMm, layout.heightMm)),
    [words, layout],
  );
  return (
    <div className="page">
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.formula(id)}>
            ‹ {formula.name}
          </a>
          <h1>Label</h1>
        </div>
        <div className="buttons">
          <button
            type="button"
            className="button main"
            disabled={svg === undefined || sheet === undefined || "problem" in sheet}
            onClick={() =>
              svg !== undefined &&
              sheet !== undefined &&
              "grid" in sheet &&
              printPage(sheetHtml(svg, sheet.grid), "Labels to print")
            }
          >
            Print
          </button>
          <button
            type="button"
            className="button"
            disabled={svg === undefined}
            onClick={() => svg !== undefined && download(`${formula.name} label.svg`, svg, "image/svg+xml")}
          >
            Save the drawing
          </button>
          <button
            type="button"
            className="button"
            onClick={() => download(`${formula.name} label.txt`, labelText(label).join("\n"), "text/plain")}
          >
            Save the words
          </button>
        </div>
      </header>
      <div className="label-view">
        <div className="label-paper">
          {svg === undefined ? (
            <p className="caution-words">A label is from 15 to 600 mm wide and high.</p>
          ) : (
            // A picture and not markup of the page: nothing in it can run.
            <img src={`data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`} alt={labelText(label).join(" ")} />
          )}
          {layout === undefined ? null : (
            <p className="muted small">
              Letters: x-height {layout.xHeightMm.toFixed(2)} mm; the rule asks for {layout.leastXHeightMm.toFixed(2)} mm.{" "}
              {layout.problems.join(" ")}
            </p>
          )}
          {label.missing.length === 0 ? null : (
            <section aria-label="What is missing">
              <h2>Still missing</h2>
              <ul className="sentences">
                {label.missing.map((one) => (
                  <li key={one}>{one}</li>
                ))}
              </ul>
            </section>
          )}
          {label.checks.length === 0 ? null : (
            <section aria-label="What to check">
              <h2>Look at the packets</h2>
              <ul className="sentences small">
                {label.checks.map((check) => (
                  <li key={`${check.ingredient} ${check.words}`}>{check.words}</li>
                ))}
              </ul>
            </section>
          )}
          <details className="assumed">
            <summary>Rules that were applied, and cautions</summary>
            <ul className="sentences small muted">
              {[...label.cautions, ...label.rules.map((rule) => `${rule.words} (${rule.source})`)].map((one) => (
                <li key={one}>{one}</li>
              ))}
            </ul>
          </details>
        </div>
        <div className="stack label-words">
          <label className="field">
            <span className="label">By the rules of</span>
            <select value={place} onChange={(event) => setPlace(event.currentTarget.value as LabelPlace)}>
              {(Object.keys(PLACE_WORDS) as LabelPlace[]).map((one) => (
                <option key={one} value={one}>
                  {PLACE_WORDS[one]}
                </option>
              ))}
            </select>
          </label>
          <label className="field">
            <span className="label">Sold</span>
            <select value={words.mode} onChange={(event) => set({ mode: event.currentTarget.value as SaleMode })}>
              {SALE_MODES.map((one) => (
                <option key={one} value={one}>
                  {MODE_WORDS[one]}
                </option>
              ))}
            </select>
          </label>
          <label className="field">
            <span className="label">Language of the fixed words</span>
            <select value={words.language} onChange={(event) => set({ language: event.currentTarget.value as LabelLanguage })}>
              {LABEL_LANGUAGES.map((one) => (
                <option key={one} value={one}>
                  {{ en: "English", fr: "French", de: "German", es: "Spanish", it: "Italian" }[one]}
                </option>
              ))}
            </select>
          </label>
          <label className="field">
            <span className="label">A sentence under the name</span>
            <input
              value={words.description}
              maxLength={200}
              onChange={(event) => set({ description: event.currentTarget.value })}
            />
          </label>
          <label className="field">
            <span className="label">Business</span>
            <input
              value={business.name}
              maxLength={120}
              onChange={(event) => setBusiness({ ...business, name: event.currentTarget.value })}
            />
          </label>
          <label className="field">
            <span className="label">Its address</span>
            <input
              value={business.address}
              maxLength={200}
              onChange={(event) => setBusiness({ ...business, address: event.currentTarget.value })}
            />
          </label>
          <div className="row">
            <label className="field">
              <span className="label">Baked on</span>
              <input type="date" value={words.bakeDate} onChange={(event) => set({ bakeDate: event.currentTarget.value })} />
            </label>
            <label className="field">
              <span className="label">Packs in a batch</span>
              <input
                className="short"
                inputMode="numeric"
                value={words.packs}
                onChange={(event) => set({ packs: event.currentTarget.value })}
              />
            </label>
          </div>
          <div className="row">
            <label className="field">
              <span className="label">Wide, mm</span>
              <input
                className="short"
                inputMode="decimal"
                value={words.widthMm}
                onChange={(event) => set({ widthMm: event.currentTarget.value })}
              />
            </label>
            <label className="field">
              <span className="label">High, mm</span>
              <input
                className="short"
                inputMode="decimal"
                value={words.heightMm}
                onChange={(event) => set({ heightMm: event.currentTarget.value })}
              />
            </label>
          </div>
          <div className="row">
            <label className="field">
              <span className="label">On a page, down</span>
              <input
                className="short"
                inputMode="numeric"
                value={words.down}
                onChange={(event) => set({ down: event.currentTarget.value })}
              />
            </label>
            <label className="field">
              <span className="label">and across</span>
              <input
                className="short"
                inputMode="numeric"
                value={words.across}
                onChange={(event) => set({ across: event.currentTarget.value })}
              />
            </label>
          </div>
          {sheet !== undefined && "problem" in sheet ? <p className="wrong">{sheet.problem}</p> : null}
          <label className="field">
            <span className="label">Your own number for the barcode</span>
            <input
              inputMode="numeric"
              value={words.gtin}
              aria-invalid={words.gtin !== "" && !isGtin(words.gtin)}
              onChange={(event) => set({ gtin: event.currentTarget.value.replace(/\s/g, "") })}
            />
            {words.gtin !== "" && !isGtin(words.gtin) ? (
              <span className="wrong">13 digits, of which the last checks the others. Compare with the paper it came on.</span>
            ) : null}
          </label>
          {asked.length === 0 ? null : (
            <fieldset className="declared stack">
              <legend>Lists as the packets print them</legend>
              {asked.map((ingredient) => (
                <label key={ingredient} className="field">
                  <span className="label">{book.get(ingredient)?.name ?? ingredient}</span>
                  <textarea
                    rows={2}
                    maxLength={1000}
                    value={words.packets[ingredient] ?? ""}
                    onChange={(event) => set({ packets: { ...words.packets, [ingredient]: event.currentTarget.value } })}
                  />
                </label>
              ))}
            </fieldset>
          )}
          <fieldset className="declared">
            <legend>Declare the quantity of what the name or a picture promises</legend>
            {ingredients.map((ingredient) => (
              <label key={ingredient} className="choice">
                <input
                  type="checkbox"
                  checked={words.declared.includes(ingredient)}
                  onChange={(event) =>
                    set({
                      declared: event.currentTarget.checked
                        ? [...words.declared, ingredient]
                        : words.declared.filter((one) => one !== ingredient),
                    })
                  }
                />
                {book.get(ingredient)?.name ?? ingredient}
              </label>
            ))}
          </fieldset>
        </div>
      </div>
    </div>
  );
}

/** One label on a page of its own size, or a grid of them on A4; or why they do not fit. */
function sheetOf(words: LabelWords, labelWidthMm: number, labelHeightMm: number): { grid: SheetGrid } | { problem: string } {
  const [rows, columns] = [Number(words.down), Number(words.across)];
  const whole = (count: number) => Number.isInteger(count) && count >= 1 && count <= 50;
  if (!whole(rows) || !whole(columns)) return { problem: "Say with whole numbers how many stand on a page." };
  const alone = rows === 1 && columns === 1;
  if (!alone && (columns * labelWidthMm > 210 || rows * labelHeightMm > 297))
    return {
      problem: `${columns} across and ${rows} down take ${columns * labelWidthMm} x ${rows * labelHeightMm} mm; a page of A4 has 210 x 297.`,
    };
  return {
    grid: sheetGrid({
      rows,
      columns,
      labelWidthMm,
      labelHeightMm,
      ...(alone ? { pageWidthMm: labelWidthMm, pageHeightMm: labelHeightMm } : {}),
    }),
  };
}

/** The sheet as a page to print at true size. The drawing is a picture in it, so that nothing of it can run. */
function sheetHtml(svg: string, grid: SheetGrid): string {
  const picture = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`;
  const places = sheetPlaces(grid)
    .map(
      ({ xMm, yMm }) =>
        `<img alt="" src="${picture}" style="position:absolute;left:${xMm}mm;top:${yMm}mm;width:${grid.labelWidthMm}mm;height:${grid.labelHeightMm}mm">`,
    )
    .join("");
  return `<!doctype html><meta charset="utf-8"><title>Labels</title><style>@page{size:${grid.pageWidthMm}mm ${grid.pageHeightMm}mm;margin:0}body{margin:0}</style>${places}`;
}
