import { expect, it } from "vitest";
import { analyseLiking } from "./liking.js";

// Peer: R 4.2.2, summary(aov(y ~ product + taster)) and TukeyHSD on these marks.
it("judges marks against what tasters disagree about", () => {
  const rows = [
    [6, 7, 5],
    [4, 6, 4],
    [8, 8, 6],
    [5, 7, 6],
    [7, 9, 5],
    [6, 6, 5],
  ];
  const found = analyseLiking(rows, ["A", "B", "C"]);
  expect(found.f).toBeCloseTo(10.28302, 5);
  expect(found.df).toEqual([2, 10]);
  expect(found.p).toBeCloseTo(0.003748, 6);
  expect(found.differences.map(({ estimate }) => Number(estimate.toFixed(6)))).toEqual([1.166667, -0.833333, -2]);
  for (const [index, p] of [0.0596457316, 0.1943351756, 0.0029123839].entries())
    expect(found.differences[index]!.p).toBeCloseTo(p, 8);
  expect(found.differences[2]!.from).toBeCloseTo(-3.21454006844, 6); // R stops its search for q at 1e-4
  expect(found.answer.sentence).toContain("C is less liked than B by 2.0 points of 9");
});

it("refuses a panel of one and marks that are all the same", () => {
  expect(() => analyseLiking([[1, 2]], ["A", "B"])).toThrow("1 tasters");
  expect(() =>
    analyseLiking(
      [
        [5, 5],
        [5, 5],
      ],
      ["A", "B"],
    ),
  ).toThrow("all marks are the same");
});
