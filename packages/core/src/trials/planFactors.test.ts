import fc from "fast-check";
import { expect, it } from "vitest";
import { offeredDesigns } from "./designOffers.js";
import { designQuality } from "./designQuality.js";
import { DESIGN_NAMES, makeDesign } from "./designWords.js";
import type { AmountFactor, Factor } from "./factors.js";
import { buildModel, modelRow, termsOf } from "./model.js";
import { planTrial, planTrialSteps, type Question, type TrialPlan } from "./question.js";
import { readQuestion } from "./questionWords.js";
import { trialFileOf } from "./trialFile.js";

const amount = (name: string): AmountFactor => ({ kind: "amount", name, low: -1, high: 1 });
const measured = { measure: { name: "height", unit: "mm" }, matters: 4, seed: 1, spread: { sd: 2, df: 9, source: "your own" } };

function plan(question: Question): TrialPlan {
  const result = planTrial(question);
  if (!result.ok) throw new Error(result.error.map(({ found }) => found).join());
  return result.value;
}

// Exact (Kiefer and Wolfowitz 1960): the variances at the runs have the mean p / n, so that no design is above 100 %.
it("never gives a G-efficiency above 100 %, whatever the design, its days and its loads (property)", () => {
  const factor = fc.oneof(
    fc.constantFrom("a", "b", "c").map((name): Factor => amount(name)),
    fc.constantFrom("t", "u").map((name): Factor => ({ kind: "choice", name, levels: ["x", "y"] })),
    fc.constantFrom("p", "q", "r").map((name): Factor => ({ kind: "share", name, lower: 0, upper: 1 })),
  );
  let made = 0;
  fc.assert(
    fc.property(
      fc.constantFrom(...DESIGN_NAMES),
      fc.uniqueArray(factor, { minLength: 1, maxLength: 4, selector: ({ name }) => name }),
      fc.integer({ min: 2, max: 9 }),
      fc.constantFrom("day" as const, "load" as const),
      fc.integer({ min: 1, max: 3 }),
      fc.integer({ min: 1, max: 2 }),
      (design, factors, perDay, blockBy, perLoad, repeats) => {
        const result = makeDesign({ design, factors, perDay, blockBy, perLoad, repeats, seed: 3, refine: false });
        if (!result.ok) return;
        made++;
        const { gEfficiencyPercent, dEfficiencyPercent } = result.value.quality;
        // Up to the last digits of the arithmetic.
        expect(gEfficiencyPercent).toBeLessThanOrEqual(100 + 1e-9);
        expect(gEfficiencyPercent).toBeGreaterThan(0);
        expect(dEfficiencyPercent).toBeLessThanOrEqual(100 + 1e-9);
      },
    ),
    { numRuns: 80 },
  );
  expect(made).toBeGreaterThan(15);
});

// Exact: orthogonal to its days, so that nothing is lost to them.
it.each([
  [3, 8, 1],
  [3, 4, 2],
  [4, 8, 2],
  [4, 4, 4],
])("gives an orthogonal factorial in %i factors, %i bakes a day, 100 %% on G and D", (count, perDay, days) => {
  const factors = ["a", "b", "c", "d"].slice(0, count).map(amount);
  const result = makeDesign({ design: "two-level factorial", factors, model: "linear", perDay, seed: 5 });
  if (!result.ok) throw new Error("not made");
  expect(new Set(result.value.order.map(({ day }) => day)).size).toBe(days);
  expect(result.value.quality.gEfficiencyPercent).toBeCloseTo(100, 9);
  expect(result.value.quality.dEfficiencyPercent).toBeCloseTo(100, 9);
});

it("judges a split plot as generalised least squares does", () => {
  const factors = [amount("oven"), amount("minutes")];
  const model = buildModel(factors, termsOf({ model: "interaction" }, factors), { coded: true });
  const values = [-1, 1, -1, 1].flatMap((oven) => [-1, 0, 1].map((minutes) => [oven, minutes]));
  const quality = designQuality({
    rows: values.map((row) => modelRow(model, row)),
    region: values.map((row) => modelRow(model, row)),
    names: model.columns.map(({ name }) => name),
    wholePlots: values.map((_, run) => Math.floor(run / 3)),
  });
  const of = (name: string) => quality.coefficients.find((entry) => entry.name === name)!;
  // Peer: R 4.2.2, solve(t(X) %*% solve((I + J) / 2) %*% X) for four loads of three; 1 - pf(qf(.95, 1, df), 1, df, 1 / se^2).
  expect(of("oven").standardErrorInSds).toBeCloseTo(0.4082482905, 9);
  expect(of("minutes").standardErrorInSds).toBeCloseTo(0.25, 9);
  expect(quality.dEfficiencyPercent).toBeCloseTo(81.64965809, 7);
  expect(of("oven").power).toBeCloseTo(0.2909245177, 7);
  expect(of("minutes").power).toBeCloseTo(0.9117586467, 7);
  expect([of("oven").df, of("minutes").df, quality.wholePlotDf, quality.residualDf]).toEqual([2, 6, 2, 6]);
});

it("plans a split plot: the oven is heated a few times, and cakes of one load differ in their minutes only", () => {
  const question: Question = {
    ...measured,
    matters: 6,
    kind: "how much",
    factors: [
      { kind: "amount", name: "oven", unit: "°C", low: 160, high: 180 },
      { kind: "amount", name: "minutes", unit: "min", low: 25, high: 35 },
    ],
    design: "all levels",
    perBatter: ["oven"],
    shared: "load",
    perDay: 9,
    perLoad: 3,
  };
  const made = plan(question);
  expect(made.summary).toMatch(/^Heat the oven \d+ times and bake 3 cakes together each time, on \d+ days/);
  const loads = new Map<string, Set<unknown>>();
  for (const { runIndex, day, load } of made.order) {
    const key = `${day} ${load}`;
    loads.set(key, (loads.get(key) ?? new Set()).add(made.settings[runIndex]!.oven));
  }
  for (const ovens of loads.values()) expect(ovens.size).toBe(1);
  // Exact: three temperatures, three loads a day: each once on every day is the one way in which days disturb nothing.
  for (let day = 0; day < made.dayCount; day++) {
    const today = made.order.filter((run) => run.day === day).map(({ runIndex }) => made.settings[runIndex]!.oven);
    expect(new Set(today)).toEqual(new Set([160, 170, 180]));
  }
  expect(made.quality!.wholePlotDf).toBeGreaterThanOrEqual(1);
  const file = trialFileOf(question, made, "Oven and minutes");
  expect(file.model!.wholePlots).toEqual(["load"]);
  // One batter for several bakes: they keep its number, and stay on one day.
  const batters = plan({ ...question, shared: "batter", perLoad: 1 });
  expect(batters.summary).toMatch(/^Mix \d+ batters and bake 3 cakes from each/);
  const dayOf = new Map<number, number>();
  for (const { wholePlot, day } of batters.order) {
    expect(dayOf.get(wholePlot!) ?? day).toBe(day);
    dayOf.set(wholePlot!, day);
  }
  expect(batters.cautions.join(" ")).toContain("3 times the weights of its batch sheet");
  expect(planTrial({ ...question, perDay: 2 }).ok).toBe(false);
});

it("takes each oven load out of the comparison when that is asked, and never more cakes in a load than fit", () => {
  const factors = ["a", "b", "c"].map(amount);
  const made = plan({
    ...measured,
    matters: 8,
    kind: "how much",
    factors,
    design: "two-level factorial",
    repeats: 2,
    perDay: 8,
    perLoad: 4,
    blockBy: "load",
  });
  expect(made.design!.blockBy).toBe("load");
  const sizes = new Map<string, number>();
  for (const { day, load } of made.order) sizes.set(`${day} ${load}`, (sizes.get(`${day} ${load}`) ?? 0) + 1);
  expect([...sizes.values()]).toEqual([4, 4, 4, 4]);
  // Sixteen runs, seven coefficients of an interaction model, three of loads.
  expect(made.quality!.residualDf).toBe(16 - 7 - 3);
});

it("screens five things in eight bakes and names what cannot be told apart", () => {
  const factors = ["flour", "sugar", "egg", "oven", "minutes"].map(amount);
  const made = plan({
    ...measured,
    kind: "how much",
    factors,
    design: "two-level fraction",
    runCount: 8,
    centreCount: 0,
    repeats: 1,
    perDay: 8,
  });
  expect(made.bakeCount).toBe(8);
  // Published: the best 2^(5-2) has resolution III (Box, Hunter and Hunter; NIST/SEMATECH e-Handbook 5.3.3.4.7).
  expect(made.design!.fraction!.resolution).toBe(3);
  expect(made.design!.fraction!.aliases.length).toBeGreaterThan(0);
  expect(made.cautions.join(" ")).toContain("mixed with effects of pairs");
  // Five singles and an intercept leave two runs.
  expect(made.quality!.residualDf).toBe(2);
});

it("offers the designs that fit, the recommended one first, and can make every one of them", () => {
  const three = ["a", "b", "c"].map(amount);
  const tin: Factor = { kind: "choice", name: "tin", levels: ["dark", "light"] };
  const shares = ["p", "q", "r"].map((name): Factor => ({ kind: "share", name, lower: 0, upper: 1 }));
  const bounded = shares.map((share): Factor => (share.kind === "share" ? { ...share, lower: 0.1, upper: 0.6 } : share));
  for (const factors of [
    [amount("a")],
    three.slice(0, 2),
    three,
    [...three, amount("d"), amount("e")],
    [...three, tin],
    [tin],
    shares,
    bounded,
    [...shares, amount("a")],
  ]) {
    const offers = offeredDesigns(factors);
    if (factors.length > 1 || factors[0]!.kind === "amount") expect(offers[0]!.recommended).toBe(true);
    for (const { design, bakeCount } of offers) {
      const shareFactors = factors.filter((factor) => factor.kind === "share");
      const others = factors.filter((factor) => factor.kind !== "share");
      const base = { ...measured, matters: 40, perDay: 90, design } as const;
      const made =
        shareFactors.length > 0
          ? plan({ ...base, kind: "which blend", shares: shareFactors, process: others, repeats: 1 })
          : plan({ ...base, kind: "how much", factors: others, ...(design === offers[0]!.design ? {} : { repeats: 1 }) });
      if (bakeCount !== undefined && design !== offers[0]!.design) expect([design, made.bakeCount]).toEqual([design, bakeCount]);
      expect(made.design!.name).toBe(design);
    }
  }
  expect(offeredDesigns(bounded).map(({ design }) => design)).not.toContain("simplex lattice");
  // Published: central composite in 2 factors, Box-Behnken in 3 (NIST/SEMATECH e-Handbook 5.3.3.6).
  expect(offeredDesigns(three).map(({ design }) => design)).toEqual(expect.arrayContaining(["Box-Behnken", "central composite"]));
});

it("keeps the best plan found so far when the search is stopped", () => {
  const steps = planTrialSteps({
    ...measured,
    kind: "which blend",
    shares: ["p", "q", "r", "s"].map((name) => ({ kind: "share", name, lower: 0, upper: 0.6 })),
    design: "D-optimal",
    runCount: 14,
  });
  expect(steps.next().done).toBe(false);
  const stopped = steps.next("stop");
  if (!stopped.done || !stopped.value.ok) throw new Error("not stopped");
  expect(stopped.value.value.bakeCount).toBe(14);
  expect(stopped.value.value.design!.stopped).toBe(true);
  expect(stopped.value.value.cautions.join(" ")).toContain("best plan found until then");
  expect(stopped.value.value.quality!.aliased).toEqual([]);
});

it("plans to show that the new one is no worse, and keeps the aim and the wishes with the trial", () => {
  const base = { ...measured, kind: "better", pairing: "days" } as const;
  const noWorse = plan({ ...base, aim: "no worse", names: ["butter", "oil"] });
  expect(noWorse.certainty).toContain("oil is not worse by 4 mm");
  expect(noWorse.ifNothingIsSeen).toContain("it is then not known");
  const { value, problems } = readQuestion({
    kind: "better",
    pairing: "days",
    aim: "no worse",
    measure: "volume",
    matters: 30,
    also: ["firmness"],
    goals: [{ response: "firmness", direction: "smaller", high: 6 }],
  });
  expect(problems).toEqual([]);
  const file = trialFileOf(value!, plan(value!), "Oil");
  expect(file).toMatchObject({ aim: "no worse", goals: [{ response: "firmness", direction: "smaller", high: 6 }] });
  expect(file.sheet.measures.map(({ name }) => name)).toEqual(["volume", "firmness"]);
  expect(
    readQuestion({ kind: "better", pairing: "days", measure: "volume", matters: 3, goals: [{ response: "taste" }] }).problems[0]!
      .expected,
  ).toContain("volume");
});
