import { isGtin, type LabelDocument, type LabelPaper } from "@evencrumb/core/label";
import type { Problem } from "@evencrumb/core/quantities";
import { useKeptText } from "../keep/useKeptText.js";
import { Field } from "../parts/Field.js";
import { NumberField } from "../parts/NumberField.js";
import { Choice, type FieldsProps, Group, setInput } from "./fieldParts.js";

/** How many labels of the first sheet are gone already, and how many are wanted; for one print, and kept nowhere. */
export interface Run {
  readonly skip: number;
  /** undefined: as many as one sheet holds. */
  readonly count: number | undefined;
}

const PAGES = {
  a4: [210, 297],
  letter: [215.9, 279.4],
} as const;

/** The label's size, the sheet it comes on, and what of it is printed now. */
export function PaperFields({
  id,
  body,
  change,
  run,
  onRun,
  problems,
}: {
  readonly id: string;
  readonly body: LabelDocument;
  readonly change: FieldsProps["change"];
  readonly run: Run;
  readonly onRun: (run: Run) => void;
  readonly problems: readonly Problem[];
}) {
  const { paper } = body;
  const set = <Name extends keyof LabelPaper>(name: Name, value: LabelPaper[Name] | undefined) =>
    change((before) => {
      const { [name]: _before, ...rest } = before.paper;
      return { ...before, paper: (value === undefined ? rest : { ...rest, [name]: value }) as LabelPaper };
    });
  const isSheet = paper.rows > 1 || paper.columns > 1;
  const page = (Object.keys(PAGES) as (keyof typeof PAGES)[]).find(
    (one) => PAGES[one][0] === (paper.pageWidthMm ?? 210) && PAGES[one][1] === (paper.pageHeightMm ?? 297),
  );
  const length = (name: keyof LabelPaper, label: string, least: number, most: number, help?: string) => (
    <NumberField
      label={label}
      help={help}
      value={paper[name]}
      least={least}
      most={most}
      // Width and height are always there: nothing typed leaves them as they were.
      onValue={(value) => (value === undefined && (name === "widthMm" || name === "heightMm") ? undefined : set(name, value))}
    />
  );
  return (
    <Group title="The paper">
      <div className="row">
        {length("widthMm", "Wide, mm", 15, 600)}
        {length("heightMm", "High, mm", 15, 600)}
      </div>
      <div className="row">
        <NumberField
          label="On a page, down"
          value={paper.rows}
          least={1}
          most={50}
          isWhole
          onValue={(rows) => rows !== undefined && set("rows", rows)}
        />
        <NumberField
          label="and across"
          value={paper.columns}
          least={1}
          most={50}
          isWhole
          onValue={(columns) => columns !== undefined && set("columns", columns)}
        />
      </div>
      {isSheet ? (
        <>
          <Choice
            label="Page"
            name="page"
            value={page ?? "own"}
            choices={[
              ["a4", "A4, 210 × 297 mm"],
              ["letter", "US Letter, 215.9 × 279.4 mm"],
              ["own", "another size"],
            ]}
            onValue={(one) => {
              const [width, height] = one === "own" ? [200, 280] : PAGES[one];
              change((before) => ({ ...before, paper: { ...before.paper, pageWidthMm: width, pageHeightMm: height } }));
            }}
          />
          {page === undefined ? (
            <div className="row">
              {length("pageWidthMm", "Page wide, mm", 50, 1200)}
              {length("pageHeightMm", "Page high, mm", 50, 1200)}
            </div>
          ) : null}
          <div className="row">
            {length(
              "marginLeftMm",
              "First label from the left, mm",
              0,
              600,
              "As the sheet's maker prints it; centred when empty.",
            )}
            {length("marginTopMm", "and from the top, mm", 0, 600)}
          </div>
          <div className="row">
            {length("gapAcrossMm", "Between labels across, mm", 0, 200)}
            {length("gapDownMm", "and down, mm", 0, 200)}
          </div>
          <div className="row">
            <NumberField
              label="Taken from the first sheet"
              value={run.skip === 0 ? undefined : run.skip}
              least={0}
              most={paper.rows * paper.columns - 1}
              isWhole
              onValue={(skip) => onRun({ ...run, skip: skip ?? 0 })}
            />
            <NumberField
              label="How many labels"
              help="One sheet when empty."
              value={run.count}
              least={1}
              most={500}
              isWhole
              onValue={(count) => onRun({ ...run, count })}
            />
          </div>
        </>
      ) : null}
      {problems.length === 0 ? null : (
        <p className="wrong" role="alert">
          {problems.map(({ expected, remedy }) => `${expected}. ${remedy}`).join(" ")}
        </p>
      )}
      <BarcodeField key={id} id={id} body={body} change={change} />
    </Group>
  );
}

/** The number under the bars: the baker's own, which its last digit checks. */
function BarcodeField({ id, body, change }: { id: string; body: LabelDocument; change: FieldsProps["change"] }) {
  // What is half typed is no number yet: it stays on this device until it is one.
  const [text, setText, forget] = useKeptText(`gtin.${id}`, body.inputs.gtin ?? "");
  const digits = text.replace(/[\s-]/g, "");
  const isWhole = digits.length === 13 && isGtin(digits);
  const wrong =
    digits === "" || isWhole
      ? null
      : digits.length === 13
        ? `The last digit does not fit the twelve before it. Compare with the paper it came on.`
        : `An EAN-13 number has 13 digits, of which the last checks the others; these are ${digits.length}.`;
  return (
    <Field label="Your own number for the barcode" help="As it was issued to you; left out when empty." wrong={wrong}>
      {(field) => (
        <input
          {...field}
          data-field="gtin"
          inputMode="numeric"
          maxLength={30}
          value={text}
          onChange={(event) => {
            const typed = event.currentTarget.value;
            setText(typed);
            const next = typed.replace(/[\s-]/g, "");
            if (next.length === 13 && isGtin(next)) {
              change(setInput("gtin", next));
              forget();
            } else if (body.inputs.gtin !== undefined) change(setInput("gtin", undefined));
            if (next === "") forget();
          }}
        />
      )}
    </Field>
  );
}
