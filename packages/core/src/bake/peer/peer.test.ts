import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { readBakeCase } from "../caseInput.js";
import { solveCase } from "../solveCase.js";

const file = (name: string) => JSON.parse(readFileSync(new URL(name, import.meta.url), "utf8"));
const input = readBakeCase(file("sandwichCase.json"));
if (!input.ok) throw new Error(JSON.stringify(input.error));
const [rough, fine]: { coldestC: number[]; lossPercent: number[] }[] = file("scipyAnswers.json").runs;
// Both meshes are uniform and of one family, so the rest of the error is a third of their difference (order 2).
const beyond = (a: readonly number[], b: readonly number[]) => b.map((v, i) => v + (v - a[i]) / 3);
const peer = { coldestC: beyond(rough.coldestC, fine.coldestC), lossPercent: beyond(rough.lossPercent, fine.lossPercent) };
const worst = (a: readonly number[], b: readonly number[]) => Math.max(...a.map((v, i) => Math.abs(v - b[i])));

// Peer: SciPy 1.10, solve_ivp BDF, rtol 1e-5, on the same equations (see README.md).
it("full accuracy agrees with SciPy: coldest point within 0.3 °C, loss within 0.1 points", () => {
  const answer = solveCase(input.value).vapour!;
  expect(worst(answer.coldestC, peer.coldestC)).toBeLessThan(0.3);
  expect(worst(answer.lossPercent, peer.lossPercent)).toBeLessThan(0.1);
});
it("coarse accuracy stays within 0.5 °C and 0.2 points of the converged mesh", () => {
  const answer = solveCase({ ...input.value, accuracy: "coarse" }).vapour!;
  expect(worst(answer.coldestC, peer.coldestC)).toBeLessThan(0.5);
  expect(worst(answer.lossPercent, peer.lossPercent)).toBeLessThan(0.2);
});
it("heat and water balances close to 1e-8 (conserved)", () => {
  const { heat, vapour } = solveCase({ ...input.value, accuracy: "coarse" });
  expect(Math.abs(heat.enteredJ / heat.storedJ - 1)).toBeLessThan(1e-8);
  expect(Math.abs(vapour!.water.enteredKg / vapour!.water.storedKg - 1)).toBeLessThan(1e-8);
});
it("the direct and the iterative solver agree", () => {
  const cells = { across: 8, along: 1, up: 8 };
  const control = { fixedStepS: 20 };
  const short = { ...input.value, durationS: 600 };
  const direct = solveCase(short, { cells, control, solver: "direct" }).vapour!;
  const iterative = solveCase(short, { cells, control, solver: "iterative" }).vapour!;
  expect(worst(direct.coldestC, iterative.coldestC)).toBeLessThan(1e-5);
});
