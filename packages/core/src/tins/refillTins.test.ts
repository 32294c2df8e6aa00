import { expect, it } from "vitest";
import { type Component, scaleFormula } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { refillTins } from "./refillTins.js";

const book = createIngredientBook();
const sponge: Component = {
  name: "Sponge",
  kind: "cake",
  tins: [{ count: 2, tin: "round 20x5 cm" }],
  specificGravity: { value: 0.8, basis: "measured" },
  bake: { ovenC: 170, fan: false, minutes: 24 },
  stages: [{ name: "Mix", uses: [{ ingredient: "plain-flour", grams: 900 }] }],
};
const refilled = (factor: number, before = sponge) =>
  refillTins(before, scaleFormula({ name: "x", components: [before] }, factor).components[0]!, book);

it("takes more of the same tins where whole ones keep the depth, and the bake time with it", () => {
  for (const [factor, count] of [
    [2, 4],
    [1.5, 3],
    [0.5, 1],
    [1.504, 3],
  ] as const) {
    const { component, filling, cautions } = refilled(factor);
    expect(component.tins).toEqual([{ count, tin: "round 20x5 cm" }]);
    expect(component.bake?.minutes).toBe(24);
    expect(filling!.tins[0]!.depthMm).toBeCloseTo(17.9, 0);
    expect(cautions.map(({ code }) => code)).toEqual(["more-tins"]);
    expect(cautions[0]!.words).toBe(`To stay as deep as before: ${count} × round 20x5 cm.`);
  }
});
it("keeps the tins where they would not be whole, says how many it would take, and takes out a time that does not hold", () => {
  const { component, filling, cautions } = refilled(1.3);
  expect(component.tins).toEqual(sponge.tins);
  expect(component.bake).toEqual({ ovenC: 170, fan: false });
  expect(filling!.tins[0]!.depthMm).toBeCloseTo(17.9 * 1.3, 0);
  expect(cautions.map(({ code }) => code)).toEqual(["other-depth", "bake-time"]);
  expect(cautions[0]!.words).toBe("To stay as deep as before it would take 2.6 × round 20x5 cm.");
  expect(cautions[1]!.words).toMatch(/^round 20x5 cm: 23 mm of batter instead of 18 mm\. The old 24 min does not hold/);
});
it("says nothing of a change that nobody would notice", () => {
  const { component, cautions } = refilled(1.05);
  expect([component.tins, component.bake?.minutes, cautions]).toEqual([sponge.tins, 24, []]);
});
it("leaves a component without tins, or without weight, as it is", () => {
  const { tins: _none, ...open } = sponge;
  expect(refilled(2, open)).toMatchObject({ component: { name: "Sponge" }, cautions: [] });
  const empty: Component = { ...sponge, stages: [] };
  expect(refillTins(empty, empty, book)).toEqual({ component: empty, cautions: [] });
});
