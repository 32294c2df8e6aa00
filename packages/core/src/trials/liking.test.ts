import { expect, it } from "vitest";
import { analyseLiking, whyNoLiking } from "./liking.js";

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

// Peer: R 4.2.2, anova(lm(y ~ taster + product)): 15 marks of 6 tasters, three cakes left out here and there.
it("judges marks with gaps, taster by taster", () => {
  const rows = [
    [6, 7, 5],
    [4, 6, null],
    [8, null, 6],
    [null, 7, 6],
    [7, 9, 5],
    [6, 6, 5],
    [9, null, null],
  ];
  const found = analyseLiking(rows, ["A", "B", "C"]);
  expect(found).toMatchObject({ paired: true, tasterCount: 6, leftOut: 1, df: [2, 7] });
  expect(found.f).toBeCloseTo(9.70968, 5);
  expect(found.p).toBeCloseTo(0.0095745, 6);
  expect(found.differences[0]!.estimate).toBeCloseTo(1, 9);
  expect(found.differences[1]!.estimate).toBeCloseTo(-1.222222222222, 9);
});

// Peer: R 4.2.2, t.test(c(6, 7, 5, 6), c(8, 7, 9, 8, 6)) and anova(lm(...)) of three groups.
it("does not pair what different people tasted", () => {
  const apart = [...[6, 7, 5, 6].map((mark) => [mark, null]), ...[8, 7, 9, 8, 6].map((mark) => [null, mark])];
  const found = analyseLiking(apart, ["A", "B"]);
  expect(found.paired).toBe(false);
  if (found.comparison?.kind !== "compared") throw new Error("not compared");
  expect(found.comparison.difference.t).toBeCloseTo(2.449489743, 8);
  expect(found.comparison.difference.df).toBeCloseTo(6.959082543, 8);
  expect(found.comparison.difference.p).toBeCloseTo(0.0443385798, 8);
  expect(found.comparison.difference.to).toBeCloseTo(3.1464090085316, 8);
  expect(found.answer.next.join(" ")).toContain("Let the same people taste both");
  const three = [6, 7, 5, 8, 4, 6, 7, 8, 9].map((mark, at) =>
    [0, 1, 2].map((product) => (product === Math.floor(at / 3) ? mark : null)),
  );
  expect(analyseLiking(three, ["A", "B", "C"]).f).toBeCloseTo(2, 10);
});

it("rules out a difference that matters, and says so", () => {
  const rows = Array.from({ length: 40 }, (_, taster) => [5 + (taster % 3), 5 + (taster % 3) + [0, 1, 0, -1][taster % 4]!]);
  const found = analyseLiking(rows, ["A", "B"], 0.95, { matters: 1 });
  expect(found.answer.verdict).toBe("same");
  expect(found.answer.sentence).toBe("B and A are within 1 point of each other.");
});

it("says which cakes nobody links", () => {
  const rows = [
    [5, 6, null, null],
    [4, 7, null, null],
    [null, null, 5, 6],
    [null, null, 7, 6],
  ];
  expect(whyNoLiking(rows, ["A", "B", "C", "D"])).toContain("no taster links");
  expect(
    whyNoLiking(
      [
        [5, null],
        [6, null],
      ],
      ["A", "B"],
    ),
  ).toBe("fewer than two marks of B");
});
