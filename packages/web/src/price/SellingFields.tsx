import { minorPerMajor } from "@evencrumb/core/price";
import type { Settings } from "../app/house.js";
import { Field } from "../parts/Field.js";
import { type PriceBody, type Selling, said } from "./body.js";
import { NameInput } from "./NameInput.js";
import { NumberField } from "./NumberField.js";

const RULES = [
  ["marginPercent", "a margin, % of the price"],
  ["markUpPercent", "a mark-up, % on the cost"],
  ["priceMinor", "the price itself"],
  ["none", "not yet"],
] as const;
type Rule = (typeof RULES)[number][0];

const ruleOf = (selling: Selling | undefined): Rule =>
  RULES.map(([rule]) => rule).find((rule) => rule !== "none" && selling?.[rule] !== undefined) ?? "none";

/** How the price is found, and what goes off it. */
export function SellingFields({
  body,
  settings,
  priceNow,
  onSelling,
  onFixed,
}: {
  body: PriceBody;
  settings: Settings;
  /** What the price is now [minor units], and its shares: a change of rule begins there. */
  priceNow: { readonly minor: number; readonly marginPercent?: number; readonly markUpPercent?: number } | undefined;
  onSelling: (selling: Selling | undefined) => void;
  onFixed: (fixed: PriceBody["fixed"]) => void;
}) {
  const { selling, currency } = body;
  const { rates } = settings;
  const per = minorPerMajor(currency);
  const rule = ruleOf(selling);
  const set = (change: Selling | Record<string, undefined>) => onSelling(said({ ...selling, ...change }));
  const choose = (next: Rule) => {
    const { marginPercent: _m, markUpPercent: _u, priceMinor: _p, ...rest } = selling ?? {};
    if (next === "none") return onSelling(undefined);
    const tenth = (value: number | undefined, otherwise: number) =>
      value === undefined ? otherwise : Math.max(0, Number(value.toFixed(1)));
    onSelling({
      ...rest,
      ...(next === "priceMinor"
        ? { priceMinor: priceNow?.minor ?? 0 }
        : next === "markUpPercent"
          ? { markUpPercent: tenth(priceNow?.markUpPercent, 60) }
          : { marginPercent: Math.min(99.9, tenth(priceNow?.marginPercent, 40)) }),
    });
  };
  return (
    <fieldset className="price-part">
      <legend>Selling</legend>
      <div className="row">
        <Field label="Priced by">
          {(field) => (
            <select {...field} value={rule} onChange={(event) => choose(event.currentTarget.value as Rule)}>
              {RULES.map(([one, words]) => (
                <option key={one} value={one}>
                  {words}
                </option>
              ))}
            </select>
          )}
        </Field>
        {rule === "none" ? null : (
          <NumberField
            key={rule}
            needed
            label={rule === "priceMinor" ? `Price of a cake, ${currency}` : rule === "marginPercent" ? "Margin, %" : "Mark-up, %"}
            value={selling?.[rule]}
            per={rule === "priceMinor" ? per : 1}
            most={rule === "marginPercent" ? 99.9 : rule === "priceMinor" ? 100_000 : 10_000}
            onValue={(value) => {
              if (value !== undefined) set({ [rule]: rule === "priceMinor" ? Math.round(value) : value });
            }}
          />
        )}
        {rule === "none" ? null : (
          <NumberField
            label="Least margin, %"
            value={selling?.leastMarginPercent}
            most={99.9}
            help="Below it you would not sell it."
            onValue={(leastMarginPercent) => set({ leastMarginPercent } as Selling)}
          />
        )}
      </div>
      {rule === "none" ? null : (
        <div className="row">
          <NumberField
            label="Fee, % of the price"
            value={selling?.feePercent}
            most={100}
            placeholder={rates?.feePercent === undefined ? "0" : String(rates.feePercent)}
            help="Card, stall, platform."
            onValue={(feePercent) => set({ feePercent } as Selling)}
          />
          <NumberField
            label={`and of each sale, ${currency}`}
            value={selling?.feeMinor}
            per={per}
            most={1000}
            placeholder="0"
            onValue={(feeMinor) => set({ feeMinor } as Selling)}
          />
          <NumberField
            label="VAT or sales tax on top, %"
            value={selling?.taxPercent}
            most={100}
            placeholder={rates?.taxPercent === undefined ? "0" : String(rates.taxPercent)}
            help="Whether any is due: see the caution."
            onValue={(taxPercent) => set({ taxPercent } as Selling)}
          />
          {rule === "priceMinor" ? null : (
            <Field label="Rounded up to">
              {(field) => (
                <select
                  {...field}
                  value={selling?.roundUpMinor ?? 1}
                  onChange={(event) => {
                    const step = Number(event.currentTarget.value);
                    set({ roundUpMinor: step > 1 ? step : undefined } as Selling);
                  }}
                >
                  {[...new Set([1, 5, 10, 50, 100, selling?.roundUpMinor ?? 1])].map((step) => (
                    <option key={step} value={step}>
                      {(step / per).toFixed(Math.round(Math.log10(per)))}
                    </option>
                  ))}
                </select>
              )}
            </Field>
          )}
        </div>
      )}
      <div className="row">
        <Field label="To be earned whatever is sold">
          {(field) => (
            <NameInput
              {...field}
              placeholder="a stall's pitch, a month's rent"
              value={body.fixed?.name ?? ""}
              onValue={(name) => onFixed({ name, costMinor: body.fixed?.costMinor ?? 0 })}
            />
          )}
        </Field>
        <NumberField
          label={`How much, ${currency}`}
          value={body.fixed?.costMinor}
          per={per}
          most={1e6}
          onValue={(costMinor) =>
            onFixed(costMinor === undefined ? undefined : { name: body.fixed?.name ?? "Fixed costs", costMinor })
          }
        />
      </div>
    </fieldset>
  );
}
