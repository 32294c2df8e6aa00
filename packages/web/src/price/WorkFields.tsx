import { minorPerMajor } from "@evencrumb/core/price";
import type { Settings } from "../app/house.js";
import { type PriceBody, type StageOfWork, said } from "./body.js";
import { NameInput } from "./NameInput.js";
import { NumberField } from "./NumberField.js";
import { without } from "./rows.js";

/** What most cakes go through; minutes are the baker's own. */
const USUAL_STAGES = ["Weigh and mix", "Bake", "Cool", "Fill and finish", "Wash up"] as const;

type Labour = NonNullable<PriceBody["labour"]>;

/** The work by stage: hands-on and waiting told apart, and what an hour of it costs. */
export function WorkFields({
  body,
  settings,
  onLabour,
}: {
  body: PriceBody;
  settings: Settings;
  onLabour: (labour: Labour | undefined) => void;
}) {
  const per = minorPerMajor(body.currency);
  const { rates } = settings;
  const labour: Labour = body.labour ?? { stages: [] };
  const set = (change: Partial<Labour>) => {
    const next = said({ ...labour, ...change });
    onLabour(next.stages.length === 0 && Object.keys(next).length === 1 ? undefined : next);
  };
  const stage = (index: number, change: Partial<StageOfWork>) =>
    set({ stages: labour.stages.map((one, at) => (at === index ? said({ ...one, ...change }) : one)) });
  const house = (minor: number | undefined) => (minor === undefined ? undefined : (minor / per).toFixed(2));
  return (
    <fieldset className="price-part">
      <legend>Work</legend>
      <div className="row">
        <NumberField
          label={`Wage of an hour, ${body.currency}`}
          value={labour.perHourMinor}
          per={per}
          most={1000}
          placeholder={house(rates?.perHourMinor)}
          {...(rates?.perHourMinor === undefined ? {} : { help: "Empty: the bakery's own." })}
          onValue={(perHourMinor) => set({ perHourMinor } as Partial<Labour>)}
        />
        <NumberField
          label="On top of the wage, %"
          value={labour.onCostPercent}
          most={200}
          placeholder={rates?.onCostPercent === undefined ? "0" : String(rates.onCostPercent)}
          onValue={(onCostPercent) => set({ onCostPercent } as Partial<Labour>)}
        />
        <NumberField
          label="Waiting is paid, % of it"
          value={labour.waitingPercent}
          most={100}
          placeholder="0"
          onValue={(waitingPercent) => set({ waitingPercent } as Partial<Labour>)}
        />
      </div>
      {labour.stages.length === 0 ? null : (
        <table className="plain-table figures stage-table">
          <thead>
            <tr>
              <th scope="col">Stage</th>
              <th scope="col">hands-on, min</th>
              <th scope="col">waiting, min</th>
              <th scope="col">
                <span className="hidden-words">Take out</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {labour.stages.map((one, index) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: a stage has no identity but its place
              <tr key={index}>
                <td>
                  <NameInput
                    aria-label={`Name of stage ${index + 1}`}
                    value={one.name}
                    onValue={(name) => stage(index, { name })}
                  />
                </td>
                <td>
                  <NumberField
                    isBare
                    needed
                    label={`${one.name}: hands-on minutes`}
                    value={one.handsOnMinutes}
                    most={10_000}
                    onValue={(handsOnMinutes) => stage(index, { handsOnMinutes: handsOnMinutes ?? 0 })}
                  />
                </td>
                <td>
                  <NumberField
                    isBare
                    label={`${one.name}: waiting minutes`}
                    value={one.waitingMinutes}
                    most={100_000}
                    placeholder="0"
                    onValue={(waitingMinutes) => stage(index, { waitingMinutes } as Partial<StageOfWork>)}
                  />
                </td>
                <td>
                  <button
                    type="button"
                    className="button quiet"
                    aria-label={`Take out ${one.name}`}
                    onClick={() => set({ stages: without(labour.stages, index) })}
                  >
                    ×
                  </button>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <div className="buttons">
        {labour.stages.length === 0 ? (
          <button
            type="button"
            className="button plain"
            onClick={() => set({ stages: USUAL_STAGES.map((name) => ({ name, handsOnMinutes: 0 })) })}
          >
            Begin with the usual stages
          </button>
        ) : null}
        <button
          type="button"
          className="button plain"
          onClick={() => set({ stages: [...labour.stages, { name: `Stage ${labour.stages.length + 1}`, handsOnMinutes: 0 }] })}
        >
          Add a stage
        </button>
      </div>
    </fieldset>
  );
}
