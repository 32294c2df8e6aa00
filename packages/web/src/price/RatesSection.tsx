import { minorPerMajor, type PriceDefaults, taxCaution } from "@evencrumb/core/price";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { said } from "./body.js";
import { NumberField } from "./NumberField.js";

type Rates = Omit<PriceDefaults, "date">;

/** What the bakery takes for granted in every price; a product may say its own. */
export function RatesSection() {
  const house = useHouse();
  const { settings } = useHouseState();
  const { currency } = settings;
  const rates: Rates = settings.rates ?? {};
  const per = minorPerMajor(currency);
  const set = (change: { readonly [Name in keyof Rates]?: number | undefined }) =>
    house.choose({ rates: said({ ...rates, ...change }) as Rates });
  return (
    <section aria-labelledby="set-prices" className="stack">
      <h2 id="set-prices">Prices</h2>
      <p className="muted">They count in every product that does not say its own.</p>
      <div className="row">
        <NumberField
          label={`Wage of an hour, ${currency}`}
          value={rates.perHourMinor}
          per={per}
          most={1000}
          onValue={(perHourMinor) => set({ perHourMinor })}
        />
        <NumberField
          label="On top of the wage, %"
          value={rates.onCostPercent}
          most={200}
          help="Insurance, pension, holidays."
          onValue={(onCostPercent) => set({ onCostPercent })}
        />
        <NumberField
          label={`A kWh, ${currency}`}
          value={rates.perKwhMinor}
          per={per}
          most={100}
          onValue={(perKwhMinor) => set({ perKwhMinor })}
        />
      </div>
      <div className="row">
        <NumberField
          label="Card or stall fee, %"
          value={rates.feePercent}
          most={100}
          onValue={(feePercent) => set({ feePercent })}
        />
        <NumberField
          label="VAT or sales tax on top, %"
          value={rates.taxPercent}
          most={100}
          onValue={(taxPercent) => set({ taxPercent })}
        />
      </div>
      <p className="caution">{taxCaution(currency)}</p>
    </section>
  );
}
