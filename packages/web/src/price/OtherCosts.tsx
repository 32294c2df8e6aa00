import { minorPerMajor } from "@evencrumb/core/price";
import type { Overhead, Packaging, PriceBody } from "./body.js";
import { NameInput } from "./NameInput.js";
import { NumberField } from "./NumberField.js";
import { changed, without } from "./rows.js";

const PER: readonly Packaging["per"][] = ["cake", "portion", "batch"];

/** Boxes, boards and labels; each for a cake, a portion or the batch. */
export function PackagingFields({
  body,
  onPackaging,
}: {
  body: PriceBody;
  onPackaging: (packaging: readonly Packaging[] | undefined) => void;
}) {
  const all = body.packaging ?? [];
  const per = minorPerMajor(body.currency);
  const set = (next: readonly Packaging[]) => onPackaging(next.length === 0 ? undefined : next);
  return (
    <fieldset className="price-part">
      <legend>Packaging</legend>
      {all.map((one, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: a box has no identity but its place
        <div key={index} className="price-line">
          <NameInput
            aria-label={`Packaging ${index + 1}`}
            value={one.name}
            onValue={(name) => set(changed(all, index, { ...one, name }))}
          />
          <NumberField
            isBare
            needed
            label={`${one.name}, ${body.currency}`}
            value={one.minor}
            per={per}
            most={100_000}
            onValue={(minor) => set(changed(all, index, { ...one, minor: minor ?? 0 }))}
          />
          <select
            aria-label={`${one.name} is for a`}
            value={one.per}
            onChange={(event) => set(changed(all, index, { ...one, per: event.currentTarget.value as Packaging["per"] }))}
          >
            {PER.map((unit) => (
              <option key={unit} value={unit}>
                a {unit}
              </option>
            ))}
          </select>
          <button
            type="button"
            className="button quiet"
            aria-label={`Take out ${one.name}`}
            onClick={() => set(without(all, index))}
          >
            ×
          </button>
        </div>
      ))}
      <div className="buttons">
        <button
          type="button"
          className="button plain"
          onClick={() => set([...all, { name: all.length === 0 ? "Box" : `Packaging ${all.length + 1}`, minor: 0, per: "cake" }])}
        >
          Add packaging
        </button>
      </div>
    </fieldset>
  );
}

/** Rent, insurance, cleaning: an amount for each batch, or a share of ingredients and work. */
export function OverheadFields({
  body,
  onOverhead,
}: {
  body: PriceBody;
  onOverhead: (overhead: readonly Overhead[] | undefined) => void;
}) {
  const all = body.overhead ?? [];
  const per = minorPerMajor(body.currency);
  const set = (next: readonly Overhead[]) => onOverhead(next.length === 0 ? undefined : next);
  return (
    <fieldset className="price-part">
      <legend>Overhead</legend>
      {all.map((one, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: an overhead has no identity but its place
        <div key={index} className="price-line">
          <NameInput
            aria-label={`Overhead ${index + 1}`}
            value={one.name}
            onValue={(name) => set(changed(all, index, { ...one, name }))}
          />
          {"percent" in one ? (
            <NumberField
              isBare
              needed
              label={`${one.name}, percent`}
              value={one.percent}
              most={1000}
              onValue={(percent) => set(changed(all, index, { ...one, percent: percent ?? 0 }))}
            />
          ) : (
            <NumberField
              isBare
              needed
              label={`${one.name}, ${body.currency}`}
              value={one.minorPerBatch}
              per={per}
              most={100_000}
              onValue={(minorPerBatch) => set(changed(all, index, { ...one, minorPerBatch: minorPerBatch ?? 0 }))}
            />
          )}
          <select
            aria-label={`${one.name} is`}
            value={"percent" in one ? "percent" : "batch"}
            onChange={(event) =>
              set(
                changed(
                  all,
                  index,
                  event.currentTarget.value === "percent" ? { name: one.name, percent: 0 } : { name: one.name, minorPerBatch: 0 },
                ),
              )
            }
          >
            <option value="batch">a batch</option>
            <option value="percent">% of ingredients and work</option>
          </select>
          <button
            type="button"
            className="button quiet"
            aria-label={`Take out ${one.name}`}
            onClick={() => set(without(all, index))}
          >
            ×
          </button>
        </div>
      ))}
      <div className="buttons">
        <button
          type="button"
          className="button plain"
          onClick={() =>
            set([...all, { name: all.length === 0 ? "Rent and insurance" : `Overhead ${all.length + 1}`, minorPerBatch: 0 }])
          }
        >
          Add an overhead
        </button>
      </div>
    </fieldset>
  );
}
