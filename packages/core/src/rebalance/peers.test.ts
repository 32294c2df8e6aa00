import { readFileSync } from "node:fs";
import highsLoader from "highs";
import { expect, it } from "vitest";
import { type HighsLike, type OptimisationModel, solverFromHighs } from "./index.js";

type Peer = { readonly status: "optimal" | "infeasible"; readonly objective?: number };
interface Stored {
  readonly problems: readonly {
    /** [cost per unit, most, 1 where whole]; least is 0. */
    readonly variables: readonly (readonly [number, number, 0 | 1])[];
    /** [least, most, coefficient of each variable ...]. */
    readonly rows: readonly (readonly number[])[];
    readonly glpk: Peer;
    readonly cbc: Peer;
  }[];
}
const stored = JSON.parse(readFileSync(new URL("../../testing/peers/mixes.json", import.meta.url), "utf8")) as Stored;

const modelOf = ({ variables, rows }: Stored["problems"][number]): OptimisationModel => ({
  variables: variables.map(([linear, upper, whole], index) => ({
    name: `v${index}`,
    lower: 0,
    upper,
    linear,
    ...(whole === 1 ? { integer: true } : {}),
  })),
  rows: rows.map(([lower, upper, ...coefficients], index) => ({
    name: `r${index}`,
    lower: lower!,
    upper: upper!,
    terms: coefficients.map((coefficient, variable) => ({ variable, coefficient })),
  })),
});

// Peer: the same 200 mixes solved by glpk 5.0 and coinor-cbc 2.10 (Debian); how they were made: bench/rebalance-peers.ts.
it("agrees with two independent solvers on 200 random mixes, half of them with whole pieces", async () => {
  const solver = solverFromHighs((await highsLoader()) as unknown as HighsLike);
  expect(stored.problems).toHaveLength(200);
  expect(stored.problems.filter(({ variables }) => variables.some(([, , whole]) => whole === 1)).length).toBeGreaterThan(80);
  expect(stored.problems.filter(({ cbc }) => cbc.status === "infeasible").length).toBeGreaterThan(10);
  let worst = 0;
  for (const [index, problem] of stored.problems.entries()) {
    const model = modelOf(problem);
    const answer = solver.solve(model);
    expect(problem.glpk.status, `mix ${index}: the peers agree`).toBe(problem.cbc.status);
    expect(answer.status, `mix ${index}`).toBe(problem.cbc.status);
    if (answer.status !== "optimal") continue;
    for (const peer of [problem.glpk, problem.cbc]) worst = Math.max(worst, Math.abs(answer.objective / peer.objective! - 1));
    for (const { terms, lower, upper } of model.rows) {
      const at = terms.reduce((sum, { variable, coefficient }) => sum + coefficient * answer.values[variable]!, 0);
      expect(at).toBeGreaterThan(lower - 1e-5);
      expect(at).toBeLessThan(upper + 1e-5);
    }
  }
  // glpk prints nine digits and cbc eight; the solvers keep their rows to 1e-6 or 1e-7.
  expect(worst).toBeLessThan(2e-6);
});
