import { minorPerMajor } from "@evencrumb/core/price";
import type { Settings } from "../app/house.js";
import { Field } from "../parts/Field.js";
import { type Energy, type PriceBody, said } from "./body.js";
import { NumberField } from "./NumberField.js";
import type { Forecast } from "./useForecast.js";

const WAYS = [
  ["none", "not counted"],
  ["rated", "by the oven's rating"],
  ["predicted", "predicted for this bake"],
  ["measured", "read from a meter"],
  ["stated", "as I know it"],
] as const;
type Way = (typeof WAYS)[number][0];

const wayOf = (energy: Energy | undefined): Way => (energy === undefined ? "none" : "ratedKw" in energy ? "rated" : energy.basis);

/** What the oven takes: from its plate and the minutes, from the predicted bake, or from a meter. */
export function EnergyFields({
  body,
  settings,
  forecast,
  onEnergy,
}: {
  body: PriceBody;
  settings: Settings;
  forecast: Forecast | null;
  onEnergy: (energy: Energy | undefined) => void;
}) {
  const { energy } = body;
  const per = minorPerMajor(body.currency);
  const tariff = energy?.perKwhMinor;
  const kwh = forecast === null ? undefined : Number(forecast.kwh.toFixed(2));
  const choose = (way: Way) => {
    if (way === "none") return onEnergy(undefined);
    if (way === "rated")
      return onEnergy(
        said({
          ratedKw: forecast?.oven?.ratedKw ?? 3,
          warmUpMinutes: 15,
          bakeMinutes: forecast?.minutes ?? 30,
          perKwhMinor: tariff,
        } as Energy),
      );
    const before = energy !== undefined && "kwh" in energy ? energy.kwh : (kwh ?? 1);
    onEnergy(said({ kwh: way === "predicted" ? (kwh ?? before) : before, basis: way, perKwhMinor: tariff } as Energy));
  };
  const set = (change: object) => {
    if (energy !== undefined) onEnergy(said({ ...energy, ...change } as Energy));
  };
  return (
    <fieldset className="price-part">
      <legend>Oven</legend>
      <div className="row">
        <Field label="Energy of a batch">
          {(field) => (
            <select {...field} value={wayOf(energy)} onChange={(event) => choose(event.currentTarget.value as Way)}>
              {WAYS.map(([way, words]) => (
                <option key={way} value={way}>
                  {words}
                </option>
              ))}
            </select>
          )}
        </Field>
        {energy === undefined ? null : (
          <NumberField
            label={`A kWh, ${body.currency}`}
            value={tariff}
            per={per}
            most={100}
            placeholder={settings.rates?.perKwhMinor === undefined ? undefined : (settings.rates.perKwhMinor / per).toFixed(3)}
            {...(settings.rates?.perKwhMinor === undefined ? {} : { help: "Empty: the bakery's own." })}
            onValue={(perKwhMinor) => set({ perKwhMinor })}
          />
        )}
        {energy !== undefined && "kwh" in energy ? (
          <NumberField needed label="kWh" value={energy.kwh} most={10_000} onValue={(value) => set({ kwh: value ?? 0 })} />
        ) : null}
      </div>
      {energy !== undefined && "ratedKw" in energy ? (
        <div className="row">
          <NumberField
            needed
            label="Oven, kW"
            value={energy.ratedKw}
            least={0.05}
            most={500}
            onValue={(ratedKw) => set({ ratedKw: ratedKw ?? 3 })}
          />
          <NumberField
            needed
            label="Warming up, min"
            value={energy.warmUpMinutes}
            most={1000}
            onValue={(warmUpMinutes) => set({ warmUpMinutes: warmUpMinutes ?? 0 })}
          />
          <NumberField
            label="Batches share it"
            value={energy.batches}
            least={1}
            most={1000}
            placeholder="1"
            onValue={(batches) => set({ batches })}
          />
          <NumberField
            needed
            label="Bake, min"
            value={energy.bakeMinutes}
            most={10_000}
            onValue={(bakeMinutes) => set({ bakeMinutes: bakeMinutes ?? 0 })}
          />
        </div>
      ) : null}
      {energy === undefined ? null : <ForecastWords energy={energy} forecast={forecast} kwh={kwh} set={set} />}
    </fieldset>
  );
}

function ForecastWords({
  energy,
  forecast,
  kwh,
  set,
}: {
  energy: Energy;
  forecast: Forecast | null;
  kwh: number | undefined;
  set: (change: object) => void;
}) {
  if (forecast === null)
    return (
      <p className="muted small forecast">
        No bake is predicted: the formula names no tin or no oven temperature, or it is being worked out.
      </p>
    );
  const { component, tins, minutes } = forecast;
  if ("ratedKw" in energy)
    return (
      <p className="muted small forecast">
        Full power while it warms up, 45 % of it while it bakes (30 to 60 is usual, from memory; a meter knows).{" "}
        {energy.bakeMinutes === minutes ? (
          `${minutes} minutes is what is predicted for ${component}.`
        ) : (
          <button type="button" className="button quiet" onClick={() => set({ bakeMinutes: minutes })}>
            Take the {minutes} minutes predicted for {component}
          </button>
        )}
      </p>
    );
  return (
    <p className="muted small forecast">
      {component}, {tins === 1 ? "one tin" : `${tins} tins together`}: about {kwh} kWh (predicted for a usual oven of a home's
      size; a meter knows).{" "}
      {energy.kwh === kwh ? null : (
        <button type="button" className="button quiet" onClick={() => set({ kwh, basis: "predicted" })}>
          Take {kwh} kWh
        </button>
      )}
    </p>
  );
}
