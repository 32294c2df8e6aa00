import {
  type Formula,
  type ListLine,
  type ListReading,
  type ReadListOptions,
  readList,
  settleLine,
} from "@evencrumb/core/formula";
import { displayName, type IngredientBook, searchIngredients } from "@evencrumb/core/ingredients";
import { type EggGrade, formatGrams, type Problem, readGrams } from "@evencrumb/core/quantities";
import { importedFormula, importRecipe, isRecipeData } from "@evencrumb/core/writeup";
import { useId, useMemo, useState } from "react";
import type { Settings } from "../app/house.js";
import { useHouseState } from "../app/useHouse.js";
import { readSmall, removeSmall, writeSmall } from "../keep/storage.js";
import { Dialog } from "../parts/Dialog.js";
import { ProblemList } from "../parts/Field.js";

const EXAMPLE = `Sponge
225 g butter, soft
8 oz caster sugar
4 large eggs
1 cup self-raising flour
2 tbsp milk

Filling
½ jar raspberry jam
a pinch of salt`;

/**
 * An ingredient list as it stands in somebody's notes, read line by line. Every line says how it was understood; doubtful
 * ones are settled here, and nothing goes into the formula that the baker has not seen.
 */
export function PasteDialog({
  text: given,
  into,
  onFormula,
  onClose,
}: {
  text?: string;
  /** Name of the formula that the list goes into; a new one otherwise. */
  into?: string;
  onFormula: (formula: Formula) => void;
  onClose: () => void;
}) {
  const { book, settings } = useHouseState();
  const [text, setText] = useState(() => given ?? readSmall<string>("pasted") ?? "");
  const [reading, setReading] = useState<ListReading | null>(() =>
    given === undefined ? null : (readText(given, book, settings).reading ?? null),
  );
  const [refused, setRefused] = useState<readonly Problem[]>([]);
  const lines = reading?.lines.map((line, index) => ({ line, index })).filter(({ line }) => line.kind !== "blank") ?? [];
  const doubtful = lines.filter(({ line }) => line.status === "doubtful").length;
  const lost = lines.filter(({ line }) => line.status === "not-understood").length;
  const understood = lines.filter(({ line }) => line.status === "understood" && line.kind === "ingredient").length;

  const close = () => {
    removeSmall("pasted");
    onClose();
  };
  return (
    <Dialog
      title={into === undefined ? "Paste an ingredient list" : `Paste a list into ${into}`}
      onClose={close}
      wide={reading !== null}
    >
      {reading === null ? (
        <form
          className="stack"
          onSubmit={(event) => {
            event.preventDefault();
            const read = readText(text, book, settings);
            setRefused(read.problems);
            setReading(read.reading ?? null);
          }}
        >
          <textarea
            aria-label="The list"
            rows={14}
            placeholder={EXAMPLE}
            value={text}
            onChange={(event) => {
              setText(event.currentTarget.value);
              writeSmall("pasted", event.currentTarget.value);
            }}
          />
          <p className="muted small">
            Headings, cups and ounces, “2 large eggs”, fractions, British and US names: paste it as it is. Recipe data of a page
            (schema.org) are read too, pasted or from a file.
          </p>
          <ProblemList problems={refused} />
          <label className="field">
            <span className="label">Or a file</span>
            <input
              type="file"
              accept=".txt,.md,.json,.jsonld,.html,.htm,text/plain,text/html,application/json,application/ld+json"
              onChange={(event) => {
                const [file] = event.currentTarget.files ?? [];
                if (file === undefined) return;
                void file.text().then((read) => {
                  setText(read);
                  // A whole page may be more than this device keeps for a dialogue; the file is still there.
                  if (read.length < 200_000) writeSmall("pasted", read);
                });
              }}
            />
          </label>
          <footer>
            <button type="button" className="button plain" onClick={close}>
              Cancel
            </button>
            <button type="submit" className="button main" disabled={text.trim() === ""}>
              Read it
            </button>
          </footer>
        </form>
      ) : (
        <div className="stack">
          <p role="status">
            <strong>{understood}</strong> understood
            {doubtful > 0 ? (
              <>
                , <strong>{doubtful}</strong> to settle
              </>
            ) : null}
            {lost > 0 ? (
              <>
                , <strong>{lost}</strong> not understood
              </>
            ) : null}
            . <span className="muted">{reading.measures.why}</span>
          </p>
          <ProblemList problems={reading.problems} />
          <ol className="read-lines">
            {lines.map(({ line, index }) => (
              <ReadLine
                key={`${line.lineNumber}-${line.part ?? 0}`}
                line={line}
                settings={settings}
                onSettle={(settling) => setReading(settleLine(reading, index, settling))}
              />
            ))}
          </ol>
          <footer>
            <button type="button" className="button quiet" onClick={() => setReading(null)}>
              Back to the text
            </button>
            <button type="button" className="button plain" onClick={close}>
              Cancel
            </button>
            <button
              type="button"
              className="button main"
              onClick={() => {
                removeSmall("pasted");
                onFormula(reading.formula);
              }}
            >
              {doubtful + lost > 0
                ? `Make the formula, ${doubtful + lost} still open`
                : into === undefined
                  ? "Make the formula"
                  : "Add it"}
            </button>
          </footer>
        </div>
      )}
    </Dialog>
  );
}

/** A list as people write it, or the recipe data that pages carry; of a page nothing is run and nothing fetched. */
function readText(
  text: string,
  book: IngredientBook,
  settings: Settings,
): { readonly reading?: ListReading; readonly problems: readonly Problem[] } {
  if (!isRecipeData(text)) return { reading: readList(text, book, listOptions(settings)), problems: [] };
  const { value, problems } = importRecipe(text);
  return value === undefined ? { problems } : { reading: importedFormula(value, book, listOptions(settings)), problems: [] };
}

/** Whose cups are meant is left to the list where the baker measures in grams. */
const listOptions = (settings: Settings): ReadListOptions => ({
  eggGrade: { scheme: settings.eggScheme, grade: settings.eggGrade } as EggGrade,
  ...(settings.units === "metric" ? {} : { measures: settings.units }),
});

const STATUS_WORDS = { understood: "understood", doubtful: "which?", "not-understood": "not understood" } as const;

function ReadLine({
  line,
  settings,
  onSettle,
}: {
  line: ListLine;
  settings: Settings;
  onSettle: (settling: Parameters<typeof settleLine>[2]) => void;
}) {
  const { book } = useHouseState();
  const [byHand, setByHand] = useState(false);
  const choiceName = useId();
  if (line.kind === "heading") {
    return (
      <li className="read-line heading">
        <span className="original">{line.text.trim()}</span>
        <span className="muted">heading</span>
      </li>
    );
  }
  const known = line.ingredient === undefined ? undefined : book.get(line.ingredient);
  const name = known === undefined ? line.ingredient : displayName(known, settings.names);
  const weight =
    line.leftOut === true
      ? "left out"
      : line.grams === undefined || line.grams === null
        ? "not weighed"
        : formatGrams(line.grams, { weighing: settings.rounding });
  const open = line.status !== "understood" || byHand;
  return (
    <li className="read-line" data-status={line.status}>
      <span className="original">{line.text.trim()}</span>
      {line.kind !== "ingredient" && !open ? (
        <span className="muted">{line.kind === "method" ? "kept as method" : "kept as a note"}</span>
      ) : (
        <div className="meaning">
          {line.status === "understood" ? (
            <p>
              <strong>{name}</strong> <span className="figures">{weight}</span>
              {line.note === undefined ? null : <span className="muted">, {line.note}</span>}
            </p>
          ) : (
            <p className="status">{STATUS_WORDS[line.status]}</p>
          )}
          {line.reasons.length > 0 ? (
            <p className="muted small">{line.reasons.map((reason) => reason.replace(/\.$/, "")).join("; ")}</p>
          ) : null}
          {open && (line.choices?.length ?? 0) > 0 ? (
            <fieldset className="line-choices">
              <legend className="hidden-words">What “{line.text.trim()}” is</legend>
              {line.choices?.map((choice, at) => (
                <label key={`${choice.ingredient}-${choice.grams}-${choice.why}`} className="choice">
                  <input type="radio" name={choiceName} onChange={() => onSettle({ choice: at })} />
                  <span>
                    <strong>{choice.name}</strong>{" "}
                    <span className="figures">
                      {choice.grams === null ? "not weighed" : formatGrams(choice.grams, { weighing: settings.rounding })}
                    </span>{" "}
                    <span className="muted small">{choice.why}</span>
                  </span>
                </label>
              ))}
            </fieldset>
          ) : null}
          {open ? <ByHand line={line} onSettle={onSettle} onDone={() => setByHand(false)} /> : null}
        </div>
      )}
      {open ? null : (
        <button
          type="button"
          className="button quiet small"
          onClick={() => setByHand(true)}
          aria-label={`Change how “${line.text.trim()}” is read`}
        >
          Change
        </button>
      )}
    </li>
  );
}

/** Ingredient and weight as the baker says them; or out of the formula, with the words still in the list. */
function ByHand({
  line,
  onSettle,
  onDone,
}: {
  line: ListLine;
  onSettle: (settling: Parameters<typeof settleLine>[2]) => void;
  onDone: () => void;
}) {
  const { book, settings } = useHouseState();
  const given = line.ingredient === undefined ? undefined : book.get(line.ingredient);
  const [name, setName] = useState(given === undefined ? (line.ingredient ?? "") : displayName(given, settings.names));
  const [grams, setGrams] = useState(
    line.grams === undefined || line.grams === null ? "" : String(Number(line.grams.toFixed(2))),
  );
  const [wrong, setWrong] = useState<string | null>(null);
  const listId = useId();
  const matches = useMemo(() => searchIngredients(book, name, { names: settings.names, limit: 8 }), [book, name, settings.names]);
  const settle = () => {
    const [best] = matches;
    if (name.trim() === "") return setWrong("Say which ingredient it is.");
    const read = grams.trim() === "" ? null : readGrams(grams);
    if (read !== null && !read.ok) return setWrong(read.error.remedy);
    onSettle({
      ingredient: best?.exact ? best.ingredient.id : name.trim(),
      grams: read === null || !read.ok || read.value === 0 ? null : read.value,
    });
    onDone();
  };
  return (
    <div className="by-hand">
      <input
        aria-label={`Ingredient for “${line.text.trim()}”`}
        list={listId}
        placeholder="Ingredient"
        value={name}
        onChange={(event) => setName(event.currentTarget.value)}
      />
      <datalist id={listId}>
        {matches.map(({ ingredient }) => (
          <option key={ingredient.id} value={displayName(ingredient, settings.names)} />
        ))}
      </datalist>
      <input
        aria-label={`Weight for “${line.text.trim()}”`}
        className="short"
        inputMode="decimal"
        placeholder="grams"
        value={grams}
        onChange={(event) => setGrams(event.currentTarget.value)}
      />
      <button type="button" className="button plain" onClick={settle}>
        Take this
      </button>
      <button type="button" className="button quiet" onClick={() => onSettle({ leaveOut: true })}>
        Leave out
      </button>
      {wrong === null ? null : (
        <span className="caution" role="alert">
          {wrong}
        </span>
      )}
    </div>
  );
}
