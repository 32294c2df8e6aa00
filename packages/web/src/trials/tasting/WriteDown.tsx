import { countAnswers, type TasterAnswer, type TasterSheet, type TastingPlan } from "@evencrumb/core/trials";
import { useState } from "react";
import { Dialog } from "../../parts/Dialog.js";

/** An answer that was given on paper or aloud, or one that was written down wrongly. */
export function WriteDown({
  plan,
  sheet,
  answer,
  onClose,
  onAnswer,
}: {
  plan: TastingPlan;
  sheet: TasterSheet;
  /** What stands there now. */
  answer: TasterAnswer | undefined;
  onClose: () => void;
  /** undefined takes the answer out. */
  onAnswer: (answer: TasterAnswer | undefined) => void;
}) {
  const { method } = plan.words;
  const { taster } = sheet;
  const samples = sheet.samples.filter(({ role }) => role === "sample");
  const [codes, setCodes] = useState<readonly string[]>(answer?.codes ?? []);
  const [marks, setMarks] = useState<Readonly<Record<string, string>>>(
    Object.fromEntries(Object.entries(answer?.marks ?? {}).map(([code, mark]) => [code, String(mark)])),
  );
  const [wrong, setWrong] = useState<string | null>(null);
  const single = method !== "ranking" && method !== "tetrad" && method !== "liking";
  const finish = (given: TasterAnswer) => {
    const [misfit] = countAnswers(plan, [given]).unusable;
    if (misfit === undefined) onAnswer(given);
    else setWrong(`Expected ${misfit.expected}; found ${misfit.found === "{}" ? "nothing" : misfit.found}.`);
  };
  const given = (): TasterAnswer =>
    method === "liking"
      ? {
          taster,
          marks: Object.fromEntries(
            Object.entries(marks)
              .filter(([, mark]) => mark.trim() !== "")
              .map(([code, mark]) => [code, Number(mark)]),
          ),
        }
      : { taster, codes };
  return (
    <Dialog title={`Taster ${taster}`} onClose={onClose}>
      <form
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          finish(given());
        }}
      >
        <p>{sheet.instruction}</p>
        {method === "liking" ? (
          <>
            <div className="row">
              {samples.map(({ code }) => (
                <label key={code} className="field">
                  <span className="label figures">{code}</span>
                  <input
                    className="short"
                    inputMode="numeric"
                    value={marks[code] ?? ""}
                    onChange={(event) => setMarks({ ...marks, [code]: event.currentTarget.value })}
                  />
                </label>
              ))}
            </div>
            <p className="muted small">Leave the mark of a cake empty that was not tasted.</p>
          </>
        ) : (
          <fieldset className="ask-choices">
            <legend>{method === "ranking" ? "Tick in order of liking, the best first" : "The answer"}</legend>
            {samples.map(({ code }) => (
              <label key={code} className="choice figures">
                <input
                  type={single ? "radio" : "checkbox"}
                  name="answer"
                  checked={codes.includes(code)}
                  onChange={() =>
                    setCodes(single ? [code] : codes.includes(code) ? codes.filter((one) => one !== code) : [...codes, code])
                  }
                />
                <span>
                  {code}
                  {method === "ranking" && codes.includes(code) ? `, place ${codes.indexOf(code) + 1}` : ""}
                </span>
              </label>
            ))}
          </fieldset>
        )}
        {wrong === null ? null : (
          <p className="wrong" role="alert">
            {wrong}
          </p>
        )}
        <footer className="buttons">
          <button type="button" className="button plain at-start" onClick={() => onAnswer({ taster, declined: true })}>
            Did not taste
          </button>
          {answer === undefined ? null : (
            <button type="button" className="button plain" onClick={() => onAnswer(undefined)}>
              Take it out
            </button>
          )}
          <button type="button" className="button plain" onClick={onClose}>
            Cancel
          </button>
          <button type="submit" className="button main">
            Write it down
          </button>
        </footer>
      </form>
    </Dialog>
  );
}
