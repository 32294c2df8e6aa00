import { US_REFERENCE_AMOUNTS } from "@evencrumb/core/label";
import { Choice, type FieldsProps, Group, setInput, Tick } from "./fieldParts.js";

/** Whether nutrition stands on it, and how. */
export function NutritionFields({ label, body, change }: FieldsProps) {
  const { inputs } = body;
  const isUs = inputs.place === "us";
  // Fibre stands there unless it is taken out.
  const shown = inputs.showRows ?? ["fibre"];
  return (
    <Group title="Nutrition" isOpen={false}>
      <Choice
        label="Nutrition declaration"
        name="nutrition"
        value={inputs.nutrition ?? "when-needed"}
        choices={[
          ["when-needed", "where the rules ask for it, or do not say"],
          ["always", "always"],
          ["never", "never"],
        ]}
        onValue={(nutrition) => change(setInput("nutrition", nutrition === "when-needed" ? undefined : nutrition))}
      />
      {isUs ? (
        <Choice
          label="Kind of cake, for the serving"
          help={label.serving?.because}
          name="us-class"
          value={inputs.usClass ?? "guess"}
          choices={[
            ["guess", "as worked out"],
            ...(Object.keys(US_REFERENCE_AMOUNTS) as (keyof typeof US_REFERENCE_AMOUNTS)[]).map(
              (one) => [one, `${one.replace("-", ", ")} (${US_REFERENCE_AMOUNTS[one]} g)`] as const,
            ),
          ]}
          onValue={(one) => change(setInput("usClass", one === "guess" ? undefined : one))}
        />
      ) : (
        <>
          <fieldset className="declared">
            <legend>Voluntary lines</legend>
            <div className="ticks">
              {(["fibre", "starch", "polyols", "monounsaturates", "polyunsaturates"] as const).map((one) => (
                <Tick
                  key={one}
                  isOn={shown.includes(one)}
                  onTurn={(on) => {
                    const next = on ? [...shown, one] : shown.filter((other) => other !== one);
                    change(setInput("showRows", next));
                  }}
                >
                  {one}
                </Tick>
              ))}
            </div>
          </fieldset>
          <Tick
            name="front-of-pack"
            isOn={inputs.frontOfPack === true}
            onTurn={(on) => change(setInput("frontOfPack", on ? true : undefined))}
          >
            Bands for the front of the pack, by the published limits of the United Kingdom
          </Tick>
          {inputs.frontOfPack === true && label.frontOfPack === undefined ? (
            <p className="caution-words small">A figure is missing, and half a picture misleads: the bands are left out.</p>
          ) : null}
        </>
      )}
    </Group>
  );
}
