import { ALLERGENS } from "@evencrumb/core/ingredients";
import { allergenWord, type Label, MATRIX_HEADS } from "@evencrumb/core/label";
import { useState } from "react";
import type { House, Settings } from "../app/house.js";
import { readSmall, removeSmall } from "../keep/storage.js";
import { Field } from "../parts/Field.js";
import { NumberField } from "../parts/NumberField.js";
import { Choice, Group, Tick } from "./fieldParts.js";

/** Who sells: it holds for every label of the bakery. */
export function BakeryFields({ label, house, settings }: { label: Label; house: House; settings: Settings }) {
  const business = settings.business ?? { name: "", address: "" };
  const seller = settings.seller ?? {};
  const choose = (change: Partial<Settings>) => house.choose(change, 1200);
  const setSeller = <Name extends keyof typeof seller>(name: Name, value: (typeof seller)[Name] | undefined) => {
    const { [name]: _before, ...rest } = seller;
    choose({ seller: value === undefined ? rest : { ...rest, [name]: value } });
  };
  const threeWays = (value: boolean | undefined) => (value === undefined ? "unsaid" : value ? "yes" : "no");
  const isUs = label.place === "us";
  return (
    <Group title="The bakery, on all its labels">
      <Field label="Business">
        {(field) => (
          <input
            {...field}
            data-field="business"
            maxLength={200}
            value={business.name}
            onChange={(event) => choose({ business: { ...business, name: event.currentTarget.value } })}
          />
        )}
      </Field>
      <Field label="Its address">
        {(field) => (
          <input
            {...field}
            maxLength={400}
            value={business.address}
            onChange={(event) => choose({ business: { ...business, address: event.currentTarget.value } })}
          />
        )}
      </Field>
      <HeldHere settings={settings} choose={choose} />
      <fieldset className="declared stack">
        <legend>Small producers: whether nutrition is asked for</legend>
        <p className="muted small">
          {label.cautions.find((one) => one.startsWith("Nutrition declaration:")) ?? "Nutrition is asked for on this label."}
        </p>
        <div className="row">
          <NumberField
            label="Staff"
            id="staff"
            value={seller.staff}
            least={0}
            most={1_000_000}
            onValue={(staff) => setSeller("staff", staff)}
          />
          {isUs ? (
            <>
              <NumberField
                label="Sales a year, dollars"
                value={seller.yearlySalesDollars}
                least={0}
                most={1e12}
                onValue={(sales) => setSeller("yearlySalesDollars", sales)}
              />
              <NumberField
                label="of which food"
                value={seller.yearlyFoodSalesDollars}
                least={0}
                most={1e12}
                onValue={(sales) => setSeller("yearlyFoodSalesDollars", sales)}
              />
              <NumberField
                label="Units of it a year"
                value={seller.yearlyUnits}
                least={0}
                most={1e12}
                onValue={(units) => setSeller("yearlyUnits", units)}
              />
            </>
          ) : (
            <>
              <NumberField
                label={`Turnover a year, ${label.place === "gb" ? "pounds" : "euro"}`}
                value={seller.yearlyTurnover}
                least={0}
                most={1e12}
                onValue={(turnover) => setSeller("yearlyTurnover", turnover)}
              />
              <Choice
                label="Sold direct or to local shops only"
                name="is-direct"
                value={threeWays(seller.isDirectOrLocal)}
                choices={[
                  ["unsaid", "not said"],
                  ["yes", "yes"],
                  ["no", "no"],
                ]}
                onValue={(answer) => setSeller("isDirectOrLocal", answer === "unsaid" ? undefined : answer === "yes")}
              />
            </>
          )}
        </div>
        <Tick isOn={seller.makesNutritionClaim === true} onTurn={(on) => setSeller("makesNutritionClaim", on ? true : undefined)}>
          A claim about nutrition or health is made
        </Tick>
      </fieldset>
      <MayContain settings={settings} choose={choose} />
    </Group>
  );
}

/** This device may still hold another name and address from before they were shared: offered, and never laid over the bakery's. */
function HeldHere({ settings, choose }: { settings: Settings; choose: (change: Partial<Settings>) => void }) {
  const held = readSmall<NonNullable<Settings["business"]>>("label.business");
  const [isAsked, setAsked] = useState(true);
  if (!isAsked || held === undefined || settings.business === undefined) return null;
  if (held.name === settings.business.name && held.address === settings.business.address) return null;
  const settle = (take: boolean) => {
    if (take) choose({ business: held });
    removeSmall("label.business");
    setAsked(false);
  };
  return (
    <p className="caution-words" role="status">
      This device held another.{" "}
      <button type="button" className="words accent" onClick={() => settle(true)}>
        Use {held.name}, {held.address}
      </button>{" "}
      <button type="button" className="words" onClick={() => settle(false)}>
        Let it go
      </button>
    </p>
  );
}

/** What cannot be kept out of anything made here, after the baker's own assessment. */
function MayContain({ settings, choose }: { settings: Settings; choose: (change: Partial<Settings>) => void }) {
  const stated = settings.mayContain ?? [];
  const has = (allergen: string, kind?: string) => stated.some((one) => one.allergen === allergen && one.kind === kind);
  const turn = (allergen: (typeof ALLERGENS)[number], kind: string | undefined, on: boolean) => {
    const others = stated.filter((one) => !(one.allergen === allergen && one.kind === kind));
    choose({ mayContain: on ? [...others, kind === undefined ? { allergen } : { allergen, kind }] : others });
  };
  return (
    <fieldset className="declared" data-field="may-contain">
      <legend>May contain, after your own assessment of the risk</legend>
      <div className="ticks">
        {ALLERGENS.filter((allergen) => allergen !== "cereals-gluten" && allergen !== "nuts").map((allergen) => (
          <Tick key={allergen} isOn={has(allergen)} onTurn={(on) => turn(allergen, undefined, on)}>
            {MATRIX_HEADS[allergen]}
          </Tick>
        ))}
        {CEREALS.map((kind) => (
          <Tick key={kind} isOn={has("cereals-gluten", kind)} onTurn={(on) => turn("cereals-gluten", kind, on)}>
            {allergenWord({ allergen: "cereals-gluten", kind })}
          </Tick>
        ))}
        {NUTS.map((kind) => (
          <Tick key={kind} isOn={has("nuts", kind)} onTurn={(on) => turn("nuts", kind, on)}>
            {allergenWord({ allergen: "nuts", kind })}
          </Tick>
        ))}
      </div>
    </fieldset>
  );
}
const CEREALS = ["wheat", "rye", "barley", "oats"] as const;
const NUTS = ["almond", "hazelnut", "walnut", "cashew", "pecan", "brazil", "pistachio", "macadamia"] as const;
