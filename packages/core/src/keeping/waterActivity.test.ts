import { expect, it } from "vitest";
import { celsius } from "../quantities/index.js";
import {
  norrish,
  saltOsmoticCoefficient,
  saltWaterActivity,
  solutionActivity,
  sucroseSolubility,
  type WaterPhase,
  waterActivity,
} from "./index.js";

const MOL_SUCROSE = 0.3423; // grams per gram of water at 1 mol/kg

// Published: osmotic coefficients of sucrose at 25 °C, Robinson and Stokes, Electrolyte Solutions, 2nd ed., appendix 8.6 (from memory);
// aw = exp(-0.0180153 m phi). Norrish's own accuracy for sucrose is the tolerance.
it.each([
  [0.5, 1.041],
  [1, 1.088],
  [2, 1.189],
  [3, 1.288],
  [4, 1.375],
  [5, 1.45],
  [6, 1.511],
])("agrees with measured sucrose at %s mol/kg within 0.001", (molality, osmotic) => {
  expect(Math.abs(norrish("sucrose", molality * MOL_SUCROSE) - Math.exp(-0.0180153 * molality * osmotic))).toBeLessThan(0.001);
});

// Published: glycerol at 25 °C. Raoult's limit for one mole in 55.5 moles of water is 0.982 (textbook).
it("approaches Raoult's law when dilute", () => {
  for (const solute of ["glycerol", "glucose", "fructose", "sorbitol"] as const) {
    const gramsPerGram = 0.001;
    const moles = gramsPerGram / { glycerol: 92.09, glucose: 180.16, fructose: 180.16, sorbitol: 182.17 }[solute];
    expect(norrish(solute, gramsPerGram)).toBeCloseTo(1 / 18.0153 / (1 / 18.0153 + moles), 6);
  }
});

// Published: phi of NaCl at 6 mol/kg is 1.271, aw 0.760 (Robinson and Stokes 1965, as quoted in an instrument maker's manual).
it("agrees with measured salt at 6 mol/kg", () => {
  expect(Math.abs(saltOsmoticCoefficient(6) - 1.271)).toBeLessThan(0.003);
  expect(Math.abs(saltWaterActivity(6 * 0.058443) - 0.76)).toBeLessThan(0.001);
});

// Published: percent by weight of NaCl at which aw is 0.90 and 0.85, common table of food microbiology (from memory): 14.2 and 19.1.
it.each([
  [0.9, 14.2],
  [0.85, 19.1],
])("finds aw %s at %s %% salt", (activity, percent) => {
  expect(Math.abs(saltWaterActivity(percent / (100 - percent)) - activity)).toBeLessThan(0.001);
});

// Published: sugar-technology table of sucrose solubility, % by weight; the equation is known to differ by up to 0.3 points.
it.each([
  [0, 64.44],
  [20, 66.74],
  [40, 70.22],
  [60, 74.32],
  [80, 78.74],
  [100, 82.89],
])("dissolves sucrose at %s °C as the table says", (temperature, percent) => {
  const gramsPerGram = sucroseSolubility(celsius(temperature));
  expect(Math.abs((100 * gramsPerGram) / (1 + gramsPerGram) - percent)).toBeLessThan(0.31);
});

// Exact: Ross's product by hand, 150 g sucrose and 50 g glucose in 100 g water: 0.8953 x 0.9475.
it("multiplies the parts (Ross)", () => {
  const phase: WaterPhase = { waterGrams: 100, sugarGrams: { sucrose: 150, glucose: 50 }, saltGrams: 0, sorbingGrams: 0 };
  expect(Math.abs(solutionActivity(phase, 100, celsius(25)) - 0.8483)).toBeLessThan(5e-4);
});

it("counts dissolved sugar only, and says what stays undissolved", () => {
  const phase: WaterPhase = { waterGrams: 100, sugarGrams: { sucrose: 400 }, saltGrams: 0, sorbingGrams: 0 };
  const answer = waterActivity(phase, celsius(25))!;
  // Saturated sucrose at 25 °C: 0.843 to 0.85 (from memory).
  expect(answer.activity.likely).toBeGreaterThan(0.843);
  expect(answer.activity.likely).toBeLessThan(0.85);
  expect(answer.undissolvedSucroseGrams).toBeCloseTo(400 - 100 * sucroseSolubility(celsius(25)), 6);
});

// From memory: unfilled sponge 0.82 to 0.90. A sandwich sponge of equal weights after 9 % loss, worked by hand.
it("puts an equal-weights sponge where published sponges lie", () => {
  const sponge: WaterPhase = { waterGrams: 181, sugarGrams: { sucrose: 221, lactose: 1.5 }, saltGrams: 4, sorbingGrams: 215 };
  const { activity } = waterActivity(sponge)!;
  expect(activity.likely).toBeGreaterThan(0.82);
  expect(activity.likely).toBeLessThan(0.9);
  expect(activity.to - activity.from).toBeGreaterThanOrEqual(0.04);
});

it("falls with sugar, salt and starch, and rises with water (property)", () => {
  const base: WaterPhase = { waterGrams: 30, sugarGrams: { sucrose: 25 }, saltGrams: 0.5, sorbingGrams: 30 };
  const at = (phase: WaterPhase) => waterActivity(phase)!.activity.likely;
  expect(at({ ...base, sugarGrams: { sucrose: 30 } })).toBeLessThan(at(base));
  expect(at({ ...base, saltGrams: 1 })).toBeLessThan(at(base));
  expect(at({ ...base, sorbingGrams: 40 })).toBeLessThan(at(base));
  expect(at({ ...base, waterGrams: 40 })).toBeGreaterThan(at(base));
});
