import { parseFormulaFile } from "@evencrumb/core/formula";
import { describe, expect, it } from "vitest";
import { runWords, shellWords } from "./testing.js";

const ec = (line: string, options?: Parameters<typeof runWords>[1]) => runWords(shellWords(line), options);
const SANDWICH = "examples/formulas/sandwich.1.yaml";
const SWAP = `rebalance ${SANDWICH} --swap "butter-unsalted 40% sunflower-oil" --hold fat,water,total`;

interface Band {
  readonly likely: number;
  readonly from: number;
  readonly to: number;
}
interface KeepAnswer {
  readonly shape: string;
  readonly components: readonly {
    readonly name: string;
    readonly waterActivity: (Band & { readonly basis: string }) | null;
    readonly mouldFreeDays21C: number | null;
    readonly storageClass: string | null;
    readonly reasons: readonly string[];
  }[];
  readonly layers: {
    readonly hours: readonly number[];
    readonly layers: readonly { readonly waterPercent: readonly number[] }[];
  };
  readonly plan: readonly { readonly step: string; readonly date?: string }[];
  readonly cautions: readonly string[];
}
interface RebalanceAnswer {
  readonly status: string;
  readonly formula?: unknown;
  readonly changes: readonly { readonly ingredient: string; readonly afterGrams: number; readonly exactGrams: number }[];
  readonly objective: number | null;
  readonly conflicts?: readonly string[];
}

describe("keep", () => {
  it("answers in the shape that others rely on", async () => {
    const { status, json } = await ec(`keep ${SANDWICH} --bake-date 2026-11-25 --json`);
    expect(status).toBe(0);
    const answer = json<KeepAnswer>();
    expect(answer.shape).toBe("evencrumb.keep/1");
    expect(answer.components.map(({ name }) => name)).toEqual(["Sponge", "Filling", "Top"]);
    const [sponge, filling, top] = answer.components;
    expect(sponge!.waterActivity!.from).toBeLessThan(sponge!.waterActivity!.likely);
    expect(sponge!.mouldFreeDays21C).toBeGreaterThan(3);
    expect(filling!.mouldFreeDays21C).toBeNull();
    expect(filling!.storageClass).toBe("assess");
    expect(top!.waterActivity).toBeNull();
    expect(filling!.reasons.length).toBeGreaterThan(1);
    expect(answer.layers.layers).toHaveLength(4);
    expect(answer.layers.layers[0]!.waterPercent).toHaveLength(answer.layers.hours.length);
    expect(answer.plan[0]).toMatchObject({ step: "bake", date: "2026-11-25" });
    expect(answer.cautions.at(-1)).toContain("Local food law");
  });

  it("takes measurements, another place and a jar without layers", async () => {
    const measured = await ec(`keep ${SANDWICH} --measured "Sponge aw=0.83 ph=6.8" "Filling ph=6,5" --place us --json`);
    expect(measured.json<KeepAnswer>().components[0]!.waterActivity).toMatchObject({ likely: 0.83, basis: "measured" });
    expect(measured.output).toContain("41 °F");
    const curd = await ec("keep examples/formulas/lemon-curd.1.yaml --json");
    expect(curd.json<KeepAnswer>().layers).toMatchObject({ hours: [], layers: [] });
  });

  it.each([
    [`--bake-date tomorrow`, "a date such as 2026-11-25"],
    [`--measured "Sponge wet"`, "Sponge aw=0.87 ph=6.8"],
    [`--measured "Sponge aw=87"`, "a water activity of 0 to 1"],
    [`--measured "Sponge aw=0.8x"`, "Sponge aw=0.87 ph=6.8"],
    [`--measured "Custard aw=0.9"`, "one of Sponge, Filling, Top"],
    ["--place mars", "--place is gb, eu or us"],
    ["--hours 0", "--hours is a number from 1 to 1440"],
  ])("refuses %s", async (words, said) => {
    const ran = await ec(`keep ${SANDWICH} ${words}`);
    expect([ran.status, ran.output]).toEqual([2, ""]);
    expect(ran.said).toContain(said);
  });
});

describe("rebalance", () => {
  it("answers in the shape that others rely on", async () => {
    const { status, json, said } = await ec(`${SWAP} --json`);
    expect(status).toBe(0);
    const answer = json<RebalanceAnswer>();
    expect(answer).toMatchObject({ status: "optimal", shape: "evencrumb.rebalance/1" });
    const after = Object.fromEntries(answer.changes.map(({ ingredient, afterGrams }) => [ingredient, afterGrams]));
    // By hand: 90 g of butter hold 73.98 g of fat and 13.4 g of water.
    expect(after).toMatchObject({ "butter-unsalted": 135, "sunflower-oil": 74, water: 13 });
    expect(typeof answer.objective).toBe("number");
    expect(answer.formula).toBeDefined();
    expect(said).toContain("May be added: water");
  });

  it("writes the new formula with the old one's comments, as a file that reads", async () => {
    const { status, written, said } = await ec(`${SWAP} -o new.yaml`);
    expect(status).toBe(0);
    expect(said).toContain("Written to new.yaml.");
    const { value, problems } = parseFormulaFile(String(written.get("new.yaml")));
    expect(problems).toEqual([]);
    expect(value!.components[0]!.stages[0]!.uses).toContainEqual({ ingredient: "sunflower-oil", grams: 74 });
  });

  it("answers a conflict with status 1 and the smallest set of demands", async () => {
    const line = `rebalance ${SANDWICH} --swap "butter-unsalted 40% sunflower-oil" --without milk`;
    const { status, json } = await ec(`${line} --json`);
    expect(status).toBe(1);
    expect(json<RebalanceAnswer>()).toMatchObject({
      status: "conflict",
      changes: [],
      objective: null,
      conflicts: ["replace 40 % of Unsalted butter", "no milk"],
    });
    expect((await ec(line)).output).toMatch(/^These cannot all hold: /);
  });

  it("reads names, pieces, bent limits and limits in 100 g", async () => {
    const eggs = await ec(`rebalance ${SANDWICH} --hold total --at-most "sugars 20%" --pieces "egg-whole-uk 51" --json`);
    const egg = eggs.json<RebalanceAnswer>().changes.find(({ ingredient }) => ingredient === "egg-whole-uk")!;
    expect(egg.afterGrams % 51).toBe(0);
    const wet = await ec(`rebalance ${SANDWICH} --hold total --at-least "water-activity 0.88"`);
    expect(wet.status).toBe(0);
    expect(wet.output).toContain("water activity at least 0.88");
    const named = await ec(
      `rebalance ${SANDWICH} --swap "Unsalted butter 50% Sunflower oil" --hold fat --keep salt,caster-sugar --json`,
    );
    expect(named.status).toBe(0);
    expect(named.json<RebalanceAnswer>().changes.some(({ ingredient }) => ingredient === "caster-sugar")).toBe(false);
    const still = await ec(`rebalance ${SANDWICH} --hold total`);
    expect(still.output).toContain("Sponge: nothing has to change.");
  });

  it.each([
    ["", "Say what to change"],
    [`--swap "butter 40 sunflower-oil"`, "Put a percent sign"],
    [`--swap "marble 40% sunflower-oil"`, "the id or the name of an ingredient"],
    [`--swap "butter-unsalted 140% sunflower-oil"`, "at most 100"],
    ["--hold bananas-of-gold", "the id or the name of an ingredient"],
    ["--without sadness", "one of the fourteen allergens"],
    [`--at-most "bananas 5"`, "Write what, a number, and % or g"],
    [`--at-most "water-activity 85"`, "water-activity 0.85"],
    ["--hold total --pieces eggs", "egg-whole-uk 51"],
    ["--hold total --component Custard", '--component is one of: "Sponge", "Filling", "Top"'],
    ["--hold total --cheapest", "no prices"],
  ])("refuses %s", async (words, said) => {
    const ran = await ec(`rebalance ${SANDWICH} ${words}`);
    expect([ran.status, ran.output]).toEqual([2, ""]);
    expect(ran.said).toContain(said);
  });
});

describe("layers", () => {
  it("answers in the shape that others rely on", async () => {
    const { status, json } = await ec(`layers ${SANDWICH} --filling-mm 8 --json`);
    expect(status).toBe(0);
    expect(json()).toMatchObject({
      shape: "evencrumb.layers/1",
      pieces: 1,
      layers: [
        { role: "crumb" },
        { role: "filling", name: "Filling: Spread" },
        { role: "filling" },
        { role: "crumb" },
        { role: "top" },
      ],
      slice: { portions: 10 },
      needs: [{ what: "filling", thicknessMm: 8 }, { what: "top" }, { what: "sides" }, { what: "syrup" }],
      moisture: { layers: [{ name: "Sponge" }, { name: "Filling: Spread" }, { name: "Filling: Whip" }, { name: "Sponge" }] },
    });
  });

  it.each([
    [`layers ${SANDWICH} --cover cellar`, "--cover is top or top-and-sides"],
    [`layers ${SANDWICH} --height tall`, "--height is a number from 1 to 500"],
    ["layers examples/formulas/lemon-curd.1.yaml", "Say in which tin the cake is baked"],
  ])("%s is refused", async (line, said) => {
    const ran = await ec(line);
    expect([ran.status, ran.output]).toEqual([2, ""]);
    expect(ran.said).toContain(said);
  });
});

describe("compare --consequences", () => {
  it("adds what follows to the shape of compare", async () => {
    const { status, json } = await ec(`compare ${SANDWICH} examples/formulas/sandwich.2.yaml --consequences --json`);
    expect(status).toBe(0);
    const answer = json<{
      readonly same: boolean;
      readonly sentences: readonly string[];
      readonly consequences: readonly { readonly topic: string; readonly what: string; readonly exceeds: boolean }[];
    }>();
    expect(answer.same).toBe(false);
    expect(answer.sentences[0]).toContain("because caster sugar is 100 % sugar (22 g less)");
    expect(new Set(answer.consequences.map(({ topic }) => topic)).size).toBeGreaterThan(6);
    expect(answer.consequences.find(({ what }) => what === "time until done")).toBeDefined();
    const plain = await ec(`compare ${SANDWICH} examples/formulas/sandwich.2.yaml --json`);
    expect(plain.output).not.toContain('"consequences"');
  });

  it("says in words what changes, and what does not", async () => {
    const { output } = await ec(`compare ${SANDWICH} examples/formulas/sandwich.2.yaml --consequences`);
    for (const heading of ["Changed", "Held", "What it does"]) expect(output).toContain(heading);
    expect(output).toContain("more figures did not change by more than their doubt");
    const same = await ec(`compare ${SANDWICH} ${SANDWICH} --consequences`);
    expect(same.output).toBe("Raspberry sandwich: no difference.\n");
  });
});
