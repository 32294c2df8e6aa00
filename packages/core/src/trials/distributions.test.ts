import fc from "fast-check";
import { expect, it } from "vitest";
import * as distributions from "./distributions.js";
import peer from "./fixtures/distributions.json" with { type: "json" };

// R's table here is printed to 15 digits. Where R itself is the coarser side, the reason is beside the number; the value is the
// largest error allowed, relative above 1 and in absolute terms below.
const TOLERANCE: Record<string, number> = {
  fQuantile: 1e-11, // R's qf(0.05, 1, 210) differs from the square of its own qt(0.525, 210) by 6e-12; ours does not
  noncentralTUpper: 1e-12, // the documented error bound of R's series
  noncentralFUpper: 1e-9, // the same
  studentisedRangeUpper: 1e-9, // R's ptukey(5, 2, 100) differs from twice its own pt by 1.2e-10; ours by 2e-14
  studentisedRangeQuantile: 1e-5, // R stops its search at 1e-4
};

const functions = new Map<string, unknown>(Object.entries(distributions));

// Peer: R 4.2.2, see bench/trials-peer.R.
it.each([...new Set(peer.rows.map(({ name }) => name))])("%s agrees with R", (name) => {
  const f = functions.get(name) as (...values: number[]) => number | readonly [number, number];
  for (const { args, value } of peer.rows.filter((row) => row.name === name)) {
    const given = f(...(args as number[]));
    const found = typeof given === "number" ? given : given[0];
    const tolerance = TOLERANCE[name] ?? 5e-14;
    expect([
      args,
      Math.abs(found - value) <= tolerance * (name in TOLERANCE ? Math.max(1, Math.abs(value)) : Math.abs(value)),
    ]).toEqual([args, true]);
  }
});

it("comes back to the probability it started from (property)", () => {
  const p = fc.double({ min: 1e-6, max: 1 - 1e-6, noNaN: true });
  const df = fc.double({ min: 0.6, max: 500, noNaN: true });
  const near = (a: number, b: number) => Math.abs(a - b) < 1e-11 * Math.max(b, 1 - b, 1e-3);
  fc.assert(fc.property(p, df, (q, v) => near(1 - distributions.tUpper(distributions.tQuantile(q, v), v), q)));
  fc.assert(fc.property(p, df, df, (q, v, w) => near(1 - distributions.fUpper(distributions.fQuantile(q, v, w), v, w), q)));
  fc.assert(fc.property(p, df, (q, v) => near(1 - distributions.chiSquareUpper(distributions.chiSquareQuantile(q, v), v), q)));
  fc.assert(fc.property(p, (q) => near(distributions.normalLower(distributions.normalQuantile(q)), q)));
});

// Exact: two means are compared by Student's t, and one comparison with a control too.
it("agrees with Student's t where only two are compared", () => {
  for (const df of [3, 10, 40]) {
    const t = distributions.tQuantile(0.975, df);
    expect(distributions.studentisedRangeUpper(t * Math.SQRT2, 2, df)).toBeCloseTo(0.05, 11);
    expect(distributions.dunnettUpper(t, [Math.SQRT1_2], df)).toBeCloseTo(0.05, 11);
  }
});

it("refuses what has no meaning and says what was given", () => {
  expect(() => distributions.tQuantile(1.2, 5)).toThrow("1.2 is not between 0 and 1");
  expect(() => distributions.tUpper(1, 0)).toThrow("0 degrees of freedom");
});
