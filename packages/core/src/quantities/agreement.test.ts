import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { gramsFrom, metresFrom, millilitresFrom } from "./convert.js";
import { eggParts } from "./eggs.js";
import { householdMillilitres } from "./householdMeasures.js";
import { celsiusFromFahrenheit, celsiusFromGasMark, fahrenheitFromGasMark, formatGasMark, GAS_MARKS } from "./temperature.js";

const page = readFileSync(new URL("../../../../docs/models/quantities.md", import.meta.url), "utf8");

// Published: the printed digits of the sources that the page names.
const CONVERSIONS: readonly (readonly [what: string, computed: number, printed: string])[] = [
  ["pound [g]", gramsFrom(1, "lb"), "453.59237"],
  ["ounce [g]", gramsFrom(1, "oz"), "28.349523125"],
  ["inch [mm]", metresFrom(1, "in") * 1000, "25.4"],
  ["US fluid ounce [mL]", millilitresFrom(1, "us-fluid-ounce"), "29.5735295625"],
  ["US cup [mL]", householdMillilitres("cup", "us"), "236.5882365"],
  ["US tablespoon [mL]", householdMillilitres("tablespoon", "us"), "14.78676478125"],
  ["US teaspoon [mL]", householdMillilitres("teaspoon", "us"), "4.92892159375"],
  ["US pint [mL]", millilitresFrom(1, "us-pint"), "473.176473"],
  ["imperial fluid ounce [mL]", millilitresFrom(1, "imperial-fluid-ounce"), "28.4130625"],
  ["imperial pint [mL]", millilitresFrom(1, "imperial-pint"), "568.26125"],
];

it("prints on the page how conversions agree with the legal definitions", () => {
  const rows = CONVERSIONS.map(([what, computed, printed]) => {
    const difference = Math.abs(computed / Number(printed) - 1);
    expect(difference).toBeLessThan(1e-14);
    return `| ${what} | ${printed} | ${Number(computed.toPrecision(15))} |`;
  });
  expect(page).toContain(["| one | printed | computed |", "| --- | --- | --- |", ...rows].join("\n"));
});

it("prints on the page the gas marks", () => {
  const rows = GAS_MARKS.map((mark) => {
    const exact = celsiusFromFahrenheit(fahrenheitFromGasMark(mark));
    return `| ${formatGasMark(mark)} | ${fahrenheitFromGasMark(mark)} | ${exact.toFixed(0)} | ${celsiusFromGasMark(mark)} |`;
  });
  expect(page).toContain(
    ["| mark | °F | °C by the rule | °C as charts print |", "| --- | --- | --- | --- |", ...rows].join("\n"),
  );
});

it("prints on the page what an egg gives", () => {
  const grades = [
    ...(["S", "M", "L", "XL"] as const).map((grade) => ({ name: `UK, EU ${grade}`, parts: eggParts({ scheme: "uk", grade }) })),
    ...(["small", "medium", "large", "extra-large", "jumbo"] as const).map((grade) => ({
      name: `US ${grade}`,
      parts: eggParts({ scheme: "us", grade }),
    })),
  ];
  const rows = grades.map(({ name, parts }) => {
    const { from, to } = parts.bands.edibleGrams;
    const whole = (value: number) => value.toFixed(0);
    return `| ${name} | ${whole(parts.inShellGrams)} | ${whole(parts.edibleGrams)} (${whole(from)} to ${whole(to)}) | ${whole(parts.whiteGrams)} | ${whole(parts.yolkGrams)} |`;
  });
  expect(page).toContain(
    ["| grade | in shell, g | without shell, g | white, g | yolk, g |", "| --- | --- | --- | --- | --- |", ...rows].join("\n"),
  );
});
