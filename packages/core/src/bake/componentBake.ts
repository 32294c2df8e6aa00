import { composePart } from "../composition/index.js";
import type { Component } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import type { Problem, Result } from "../quantities/index.js";
import { batterDensity, batterVolumeMl, cavityCount, type Tin, tinCapacityMl } from "../tins/index.js";
import { batterFromComposition } from "./batter.js";
import type { OvenSettings } from "./oven.js";
import type { BakeRequest } from "./predictBake.js";

/** Carbon dioxide from raising agents [g per g]: baking powder of 12 %, bicarbonate 0.524 (stoichiometry), self-raising flour 0.4 %. */
const CARBON_DIOXIDE = { powder: 0.12, bicarbonate: 0.524, selfRaising: 0.004 } as const;

export interface ComponentBakeOptions {
  readonly tin: Tin;
  readonly oven: OvenSettings;
  /** Batter in this one tin [g]; the component shared out over `tinCount` tins unless said. */
  readonly grams?: number;
  readonly tinCount?: number;
  readonly accuracy?: "coarse" | "full";
  /** Water activity of the batter by a better model than the one here (the keeping folder's). */
  readonly waterActivity?: number;
  readonly more?: Partial<Omit<BakeRequest, "batter" | "massGrams" | "tin" | "oven">>;
}

/** A component of a formula as a bake: composition, specific gravity and raising agents become plain numbers. */
export function bakeOfComponent(
  component: Component,
  book: IngredientBook,
  options: ComponentBakeOptions,
): Result<BakeRequest, readonly Problem[]> {
  const { mixed } = composePart(component, book).value;
  const density = batterDensity(component, book);
  const massGrams = options.grams ?? mixed.totalGrams / (options.tinCount ?? 1);
  let carbonDioxideGrams = 0;
  for (const use of component.stages.flatMap((stage) => stage.uses)) {
    const grams = use.grams ?? 0;
    if (/baking-powder/.test(use.ingredient)) carbonDioxideGrams += CARBON_DIOXIDE.powder * grams;
    else if (/bicarbonate|soda/.test(use.ingredient)) carbonDioxideGrams += CARBON_DIOXIDE.bicarbonate * grams;
    else if (/self-rai|self-rising/.test(use.ingredient)) carbonDioxideGrams += CARBON_DIOXIDE.selfRaising * grams;
  }
  if (!(mixed.totals.water.amount > 0) || !(massGrams > 0))
    return {
      ok: false,
      error: [
        {
          code: "no-figure",
          path: ["component", component.name],
          expected: "weights, and ingredients whose water is known",
          found: mixed.totalGrams > 0 ? "no water known in this mix" : "nothing weighed",
          remedy: "Weigh the ingredients, or choose ones from the book.",
        },
      ],
    };
  const batter = batterFromComposition(mixed, {
    carbonDioxideGrams,
    whisked: density.family === "whisked" || density.family === "angel",
    ...(options.waterActivity === undefined ? {} : { waterActivity: options.waterActivity }),
  });
  const assumed =
    density.basis === "measured"
      ? []
      : [`The batter's specific gravity is taken as ${density.specificGravity.toFixed(2)} (${density.source}).`];
  const request: BakeRequest = {
    ...options.more,
    batter: { ...batter, assumed: [...batter.assumed, ...assumed] },
    massGrams,
    specificGravity: density.specificGravity,
    tin: options.tin,
    oven: options.oven,
    accuracy: options.accuracy ?? options.more?.accuracy ?? "full",
  };
  const problems = checkBakeRequest(request);
  return problems.length > 0 ? { ok: false, error: problems } : { ok: true, value: request };
}

/** What stands in the way of predicting a bake; empty when nothing does. */
export function checkBakeRequest(request: BakeRequest): readonly Problem[] {
  const problems: Problem[] = [];
  const range = (path: string, value: number | undefined, low: number, high: number, unit: string, remedy: string) => {
    if (value !== undefined && !(value >= low && value <= high))
      problems.push({
        code: "out-of-range",
        path: path.split("."),
        expected: `${low} to ${high} ${unit}`,
        found: String(value),
        remedy,
      });
  };
  range("oven.setC", request.oven.setC, 110, 280, "°C", "Give the oven's setting in °C, or with F for Fahrenheit.");
  range("specificGravity", request.specificGravity, 0.2, 1.5, "", "Weigh a cup of batter against the same cup of water.");
  range("altitudeM", request.altitudeM, -400, 4000, "m", "Give the height above the sea in metres.");
  range("initialC", request.initialC, 0, 45, "°C", "Give the temperature of the batter.");
  range("bakeSeconds", request.bakeSeconds, 60, 4 * 3600, "s", "Give the time in the oven.");
  range("batter.water", request.batter.fractions.water, 0.05, 0.8, "of the weight", "A batter has 5 to 80 % of water.");
  const grams = request.massGrams / cavityCount(request.tin);
  range("massGrams", grams, 10, 8000, "g in each hollow", "Give the batter in the tin.");
  const volume = batterVolumeMl(request.massGrams, request.specificGravity);
  const capacity = tinCapacityMl(request.tin);
  if (volume > 1.02 * capacity)
    problems.push({
      code: "conflict",
      path: ["massGrams"],
      expected: `at most ${capacity.toFixed(0)} mL of batter`,
      found: `${volume.toFixed(0)} mL`,
      remedy: "Use a larger tin or more of them.",
    });
  const depthShare = volume / capacity;
  if (depthShare < 0.03)
    problems.push({
      code: "conflict",
      path: ["massGrams"],
      expected: "batter that covers the tin",
      found: `${(100 * depthShare).toFixed(1)} % of the tin`,
      remedy: "Use a smaller tin or more batter.",
    });
  return problems;
}

const GAS_MARKS: Readonly<Record<string, number>> = {
  "1": 140,
  "2": 150,
  "3": 160,
  "4": 180,
  "5": 190,
  "6": 200,
  "7": 220,
  "8": 230,
  "9": 240,
};

/**
 * Reads an oven setting: "170C", "160C fan", "325F", "gas 4", with ", stone" or ", tray" for what stands below.
 * Gas marks by the usual table (household tables agree within 10 °C; seen).
 */
export function parseOven(text: string): Result<OvenSettings, Problem> {
  const words = text
    .toLowerCase()
    .split(/[\s,]+/)
    .filter((word) => word !== "");
  let setC: number | undefined;
  let fan = false;
  let shelf: OvenSettings["shelf"];
  let unread = "";
  for (let i = 0; i < words.length; i++) {
    const degrees = /^(\d+(?:\.\d+)?)°?(c|f)?$/.exec(words[i]);
    if (words[i] === "fan") fan = true;
    else if (words[i] === "stone" || words[i] === "tray" || words[i] === "rack") shelf = words[i] as "stone" | "tray" | "rack";
    else if (words[i] === "gas" && GAS_MARKS[words[i + 1] ?? ""] !== undefined) setC = GAS_MARKS[words[++i]];
    else if (degrees) setC = degrees[2] === "f" ? ((Number(degrees[1]) - 32) * 5) / 9 : Number(degrees[1]);
    else unread = words[i];
  }
  if (setC === undefined || unread !== "")
    return {
      ok: false,
      error: {
        code: "wrong-type",
        path: ["oven"],
        expected: 'a setting such as "170C", "160C,fan", "350F" or "gas 4"',
        found: text,
        remedy: unread === "" ? "Give the temperature." : `Leave out "${unread}".`,
      },
    };
  return { ok: true, value: { setC, fan, ...(shelf === undefined ? {} : { shelf }) } };
}
