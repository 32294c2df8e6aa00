import { expect, it } from "vitest";
import { readerBakeTime, readerOven } from "./readerOven.js";

// °F by the exact rule (NIST SP 811); steps of 25 °F, fan and gas: common practice, no source.
it.each([
  [180, false, "180 °C, fan 160 °C, gas mark 4 (350 °F)", "350 °F (356 °F exactly, 180 °C), convection 325 °F"],
  [165, false, "165 °C, fan 145 °C, gas mark 3 (325 °F)", "325 °F (329 °F exactly, 165 °C), convection 300 °F"],
  [
    170,
    false,
    "170 °C, fan 150 °C, gas mark 3 (340 °F)",
    "340 °F (338 °F exactly, 170 °C; or 350 °F where the oven knows only steps of 25, and look sooner), convection 325 °F",
  ],
  [150, false, "150 °C, fan 130 °C, gas mark 2 (300 °F)", "300 °F (302 °F exactly, 150 °C), convection 275 °F"],
  [160, true, "180 °C, fan 160 °C, gas mark 4 (350 °F)", "350 °F (356 °F exactly, 180 °C), convection 325 °F"],
  [90, false, "90 °C, fan 70 °C (200 °F)", "200 °F (194 °F exactly, 90 °C), convection 175 °F"],
])("an oven at %d °C (fan: %s)", (ovenC, fan, british, us) => {
  expect(readerOven({ ovenC, fan }, "metric")).toBe(british);
  expect(readerOven({ ovenC, fan }, "imperial")).toBe(british);
  expect(readerOven({ ovenC, fan }, "us")).toBe(us);
});

it("gives the predicted band before the formula's own minutes", () => {
  expect(readerBakeTime({ likely: 2880, from: 2700, to: 3120 }, 40)).toBe("45 to 52 min (predicted)");
  expect(readerBakeTime({ likely: 5400, from: 4800, to: 6000 }, undefined)).toBe("1 h 20 min to 1 h 40 min (predicted)");
  expect(readerBakeTime(undefined, 150)).toBe("about 2 h 30 min");
  expect(readerBakeTime(undefined, undefined)).toBeUndefined();
});
