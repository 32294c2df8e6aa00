import { expect, it } from "vitest";
import { coverageRows, holds } from "../../../../bench/trials-coverage.js";

// The same simulations as in docs/models/trials.md with fewer rounds; four standard errors of a simulated share are allowed.
it("holds what every interval and test promises, by simulation", () => {
  const rows = coverageRows(80);
  expect(
    rows.filter((row) => !holds(row)).map(({ what, how, hits, rounds }) => `${what} (${how}): ${hits} of ${rounds}`),
  ).toEqual([]);
  // What is wrong is seen to be wrong: tins of one batter taken for independent cakes.
  const wrong = rows.find(({ how }) => how === "what would be wrong")!;
  expect(wrong.hits / wrong.rounds).toBeLessThan(0.85);
}, 240_000);
