import { Field } from "../parts/Field.js";
import { NumberField } from "../parts/NumberField.js";
import { Choice, type FieldsProps, Group, setInput, Tick } from "./fieldParts.js";

/** What a pack weighs and how it is cut up. */
export function PackFields({ label, body, change }: FieldsProps) {
  const { inputs } = body;
  const net = label.netQuantity;
  return (
    <Group title="The pack">
      <div className="row">
        <NumberField
          label="Packs in a batch"
          id="packs"
          value={inputs.packs}
          least={1}
          most={10_000}
          onValue={(packs) => change(setInput("packs", packs))}
        />
        <NumberField
          label="Net weight, g"
          help={net === undefined ? "As weighed." : net.basis === "computed" ? `Without it: ${net.text}` : "As you weighed it."}
          id="net-grams"
          value={inputs.netGrams}
          least={0.1}
          most={1_000_000}
          onValue={(grams) => change(setInput("netGrams", grams))}
        />
      </div>
      <div className="row">
        {inputs.place === "us" ? (
          <NumberField
            label="Pieces in a pack"
            help="Cup cakes, slices; empty for a whole cake."
            id="pieces"
            value={inputs.pieces}
            least={1}
            most={10_000}
            isWhole
            onValue={(pieces) => change(setInput("pieces", pieces))}
          />
        ) : (
          <>
            <NumberField
              label="Portions in a pack"
              help={label.portionGrams === undefined ? "For the column per portion." : `${Math.round(label.portionGrams)} g each`}
              id="portions"
              value={inputs.portions}
              least={1}
              most={1000}
              isWhole
              onValue={(portions) => change(setInput("portions", portions))}
            />
            <NumberField
              label="A portion weighs, g"
              help="Only where it is not the pack over its portions."
              id="portion-grams"
              value={inputs.portionGrams}
              least={0.1}
              most={10_000}
              onValue={(grams) => change(setInput("portionGrams", grams))}
            />
          </>
        )}
        <NumberField
          label="Largest surface of the pack, cm²"
          help="Under 80, letters may be smaller; under 25, no nutrition is asked for."
          id="surface"
          value={inputs.surfaceCm2}
          least={0.1}
          most={1_000_000}
          onValue={(surface) => change(setInput("surfaceCm2", surface))}
        />
      </div>
    </Group>
  );
}

/** The date: from the keeping plan, or as the baker tested it. */
export function DateFields({ label, body, change }: FieldsProps) {
  const { inputs } = body;
  const { durability } = label;
  return (
    <Group title="The date">
      <p className="muted small">
        {durability.text === "" ? "No date on the label" : durability.text} ({durability.because}).
      </p>
      <div className="row">
        <Field label="Baked on">
          {(field) => (
            <input
              {...field}
              type="date"
              data-field="bake-date"
              value={inputs.bakeDate ?? ""}
              onChange={(event) =>
                change(setInput("bakeDate", event.currentTarget.value === "" ? undefined : event.currentTarget.value))
              }
            />
          )}
        </Field>
        <NumberField
          label="Good for days"
          help="As you tested it; the keeping plan's estimate when empty."
          id="keeps-days"
          value={inputs.keepsDays}
          least={0}
          most={3650}
          isWhole
          onValue={(days) => change(setInput("keepsDays", days))}
        />
        <Choice
          label="Kept"
          name="kept-at"
          value={inputs.keptAt ?? "plan"}
          choices={[
            ["plan", "as the keeping plan says"],
            ["room", "at room temperature"],
            ["chilled", "cold"],
          ]}
          onValue={(at) => change(setInput("keptAt", at === "plan" ? undefined : at))}
        />
      </div>
      <Tick isOn={inputs.eatenWithin24h === true} onTurn={(on) => change(setInput("eatenWithin24h", on ? true : undefined))}>
        Normally eaten within 24 hours of making
      </Tick>
      {inputs.keptAt === "room" && label.durability.kind === "best-before" ? (
        <p className="caution-words small">
          Kept at room temperature by your own word. What the keeping plan says of it stands on its page; local food law decides.
        </p>
      ) : null}
    </Group>
  );
}
