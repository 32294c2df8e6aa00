import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { type Component, type Formula, parseFormulaFile, type Target } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { type KeepOptions, keepFormula } from "./index.js";

const book = createIngredientBook();
const part = (
  name: string,
  kind: Component["kind"],
  uses: Readonly<Record<string, number | null>>,
  over: Partial<Component["stages"][number]> = {},
): Component => ({
  name,
  kind,
  stages: [{ name: "Mix", ...over, uses: Object.entries(uses).map(([ingredient, grams]) => ({ ingredient, grams })) }],
});
const heated: readonly Target[] = [{ kind: "temperature", celsius: 82 }];
const SPONGE: Component = {
  ...part("Sponge", "cake", { "butter-unsalted": 200, "caster-sugar": 200, "egg-whole-uk": 200, "self-raising-flour": 200 }),
  tins: [{ count: 2, tin: "round 20x5 cm" }],
  loss: { percent: 9, basis: "measured" },
};
const formulaOf = (...components: Component[]): Formula => ({ name: "Cake", components });
const keep = (components: readonly Component[], options: KeepOptions = {}) =>
  keepFormula(formulaOf(...components), book, options);

// The usual unbaked parts, each with the cautions it asks for and no others.
const PARTS = {
  mousse: part("Mousse", "filling", { "dark-chocolate-60-69": 150, "egg-whole-uk": 150, "caster-sugar": 40 }),
  pasteurised: part("Mousse", "filling", { "dark-chocolate-60-69": 150, "egg-whole-pasteurised": 150, "caster-sugar": 40 }),
  dough: part("Dough bits", "filling", { "plain-flour": 100, "butter-unsalted": 80, "caster-sugar": 80 }),
  cornflour: part("Dusted sweets", "filling", { cornflour: 50, "icing-sugar-uk": 150, "butter-unsalted": 80 }),
  cream: part("Cream", "filling", { "double-cream": 300, "icing-sugar-uk": 20 }, { name: "Whip" }),
  custard: part(
    "Custard",
    "filling",
    { "milk-whole": 400, "egg-yolk-uk": 80, "caster-sugar": 90, cornflour: 35 },
    { targets: heated },
  ),
  flouredCustard: part(
    "Custard",
    "filling",
    { "milk-whole": 400, "egg-yolk-uk": 80, "caster-sugar": 90, "plain-flour": 35 },
    { targets: heated },
  ),
  curd: part(
    "Curd",
    "filling",
    { "lemon-juice": 160, "caster-sugar": 220, "egg-whole-uk": 153, "egg-yolk-uk": 36, "butter-unsalted": 120 },
    { targets: heated },
  ),
  cheese: part("Cheese icing", "icing", { "soft-cheese-full-fat-uk": 210, "icing-sugar-uk": 130, "butter-unsalted": 70 }),
  buttercream: part(
    "Buttercream",
    "icing",
    { "butter-unsalted": 140, "icing-sugar-uk": 260, "milk-whole": 18 },
    { name: "Beat" },
  ),
  jam: part("Jam", "filling", { "raspberry-jam": 200 }),
  dusting: part("Dusting", "topping", { "icing-sugar-uk": 6 }),
} as const;

const WORDS = {
  rawEgg: /raw or lightly cooked egg/,
  rawFlour: /raw flour is not made to be eaten unbaked/,
  cool: /cooked filling\. Cool it/,
  cold: /keep cold from making to serving/,
  out: /^Out of the cold/,
  fillCold: /^Fill only when the cake is cold/,
} as const;

describe("cautions", () => {
  it.each([
    ["mousse", ["rawEgg", "cold", "out", "fillCold"]],
    ["pasteurised", ["cold", "out", "fillCold"]],
    ["dough", ["rawFlour"]],
    ["cornflour", []],
    ["cream", ["cold", "out", "fillCold"]],
    ["custard", ["cool", "cold", "out", "fillCold"]],
    ["flouredCustard", ["cool", "cold", "out", "fillCold"]],
    ["curd", ["cool", "cold", "out", "fillCold"]],
    ["cheese", ["cold", "out", "fillCold"]],
    ["buttercream", []],
    ["jam", []],
    ["dusting", []],
  ] as const)("shows for %s exactly what applies to it", (name, expected) => {
    const { cautions } = keep([SPONGE, PARTS[name]]);
    const shown = (Object.keys(WORDS) as (keyof typeof WORDS)[]).filter((key) =>
      cautions.some((words) => WORDS[key].test(words)),
    );
    expect(shown).toEqual(expected);
    expect(cautions.at(-1)).toBe("Estimates, not measurements. Local food law and licensed advice decide.");
    // A caution names the part it is about and no other.
    for (const key of ["rawEgg", "rawFlour", "cool", "cold"] as const)
      for (const words of cautions.filter((one) => WORDS[key].test(one)))
        expect(words.startsWith(`${PARTS[name].name}:`)).toBe(true);
  });

  it("counts egg in the cake batter as baked, and egg without a weight as there", () => {
    expect(keep([SPONGE]).cautions).toHaveLength(1);
    const pinch = part("Mousse", "filling", { "dark-chocolate-60-69": 150, "egg-whole-uk": null });
    expect(keep([pinch]).cautions.some((words) => WORDS.rawEgg.test(words))).toBe(true);
  });

  it("never says safe, legal or compliant", () => {
    for (const place of ["gb", "eu", "us"] as const) {
      const text = JSON.stringify(
        keep([SPONGE, ...Object.values(PARTS).slice(0, 1), PARTS.custard, PARTS.cheese], { place, bakeDate: "2026-11-25" }),
      );
      expect(text).not.toMatch(/\b(is safe|are safe|legal|compliant)\b/i);
    }
  });

  // Published: the figures of each place (England 2013 Regulations, Schedule 4; Regulation (EC) 852/2004; FDA Food Code 2022).
  it.each([
    ["gb", ["not above 8 °C", "at most 4 hours"]],
    ["eu", ["Regulation (EC) 852/2004", "national rules set the time"]],
    ["us", ["at or below 5 °C (41 °F)", "3-501.19(B)", "3-501.14", "within 7 days"]],
  ] as const)("gives the time and temperature rules of %s", (place, expected) => {
    const text = keep([SPONGE, PARTS.custard], { place }).cautions.join("\n");
    for (const words of expected) expect(text).toContain(words);
  });
});

describe("storage", () => {
  it.each([
    ["mousse", "chilled"],
    ["cream", "chilled"],
    ["custard", "chilled"],
    ["curd", "chilled"],
    ["cheese", "chilled"],
    ["buttercream", "room"],
    ["jam", "room"],
    ["dusting", "room"],
  ] as const)("keeps %s %s", (name, keptAt) => {
    expect(keep([SPONGE, PARTS[name]]).product.keptAt).toBe(keptAt);
  });

  // Common practice, no source: what bakers expect of each kind; a cake that keeps three months would be a defect.
  it.each([
    ["a buttery sponge", [SPONGE], 4, 6],
    ["with cream", [SPONGE, PARTS.cream], 2, 3],
    ["with buttercream", [SPONGE, PARTS.buttercream], 4, 6],
    ["with soft cheese", [SPONGE, PARTS.cheese], 3, 5],
    ["with raw egg", [SPONGE, PARTS.mousse], 1, 2],
    ["curd in its jar", [PARTS.curd], 10, 14],
  ] as const)("keeps %s for about as long as bakers do", (_, components, from, to) => {
    const { days } = keep(components).product;
    expect(days).toBeGreaterThanOrEqual(from);
    expect(days).toBeLessThanOrEqual(to);
  });

  it("says what the limit comes from, and holds US ready-to-eat food to its seven days", () => {
    expect(keep([PARTS.curd]).product.limitedBy).toContain("common practice, no source");
    expect(keep([PARTS.curd], { place: "us" }).product).toMatchObject({
      days: 6,
      limitedBy: expect.stringContaining("3-501.17"),
    });
  });

  it("puts a measured water activity and pH in place of the estimate and narrows the band", () => {
    const plain = keep([SPONGE, PARTS.curd]).components;
    const measured = keep([SPONGE, PARTS.curd], {
      measured: { Sponge: { waterActivity: 0.83 }, Curd: { ph: 3.4, waterActivity: 0.91 } },
    }).components;
    expect(plain[0]!.waterActivity!.basis).toBe("predicted");
    expect(measured[0]!.waterActivity).toMatchObject({ likely: 0.83, basis: "measured" });
    const width = ({ from, to }: { from: number; to: number }) => to - from;
    expect(width(measured[0]!.waterActivity!)).toBeLessThan(width(plain[0]!.waterActivity!));
    expect(measured[0]!.storageClass).toBe("no-time-temperature-control");
    expect(plain[1]!.storageClass).toBe("assess");
    expect(measured[1]!.storageClass).toBe("no-time-temperature-control");
    expect(measured[1]!.acidity.basis).toBe("measured");
    // A rule about eggs does not turn on a meter.
    expect(measured[1]!.keptAt).toBe("chilled");
  });

  it("tells a measurement that cannot be, and one of nothing, and goes on with the estimate", () => {
    const kept = keep([SPONGE], { measured: { Sponge: { waterActivity: 87, ph: -1 }, Icing: { ph: 5 } } });
    expect(kept.problems.map(({ code, found }) => [code, found])).toEqual([
      ["out-of-range", "87"],
      ["out-of-range", "-1"],
      ["unknown-component", "Icing"],
    ]);
    expect(kept.components[0]!.waterActivity!.basis).toBe("predicted");
  });
});

describe("water", () => {
  it("soaks syrup into the cake, and does not keep the syrup by itself", () => {
    const syrup = part("Syrup", "syrup", { water: 120, "granulated-sugar": 60 });
    const [dry] = keep([SPONGE]).components;
    const [wet, alone] = keep([SPONGE, syrup]).components;
    expect(wet!.waterActivity!.likely).toBeGreaterThan(dry!.waterActivity!.likely + 0.01);
    expect(wet!.assumptions.join()).toContain("Syrup is counted as soaked into it");
    expect(alone!.keptAt).toBe("room");
  });

  it("takes the wettest of layers that lie one over the other, not their mixture", () => {
    const cream = { name: "Whip", uses: [{ ingredient: "double-cream", grams: 240 }] };
    const jam = { name: "Spread", uses: [{ ingredient: "raspberry-jam", grams: 170 }] };
    const [laid] = keep([{ name: "Filling", kind: "filling", stages: [cream, jam] }]).components;
    const [alone] = keep([{ name: "Filling", kind: "filling", stages: [cream] }]).components;
    const [mixed] = keep([{ name: "Filling", kind: "filling", stages: [cream, { ...jam, name: "Fold in" }] }]).components;
    expect(laid!.waterActivity!.likely).toBeCloseTo(alone!.waterActivity!.likely, 12);
    expect(laid!.waterActivity!.likely).toBeGreaterThan(mixed!.waterActivity!.likely + 0.02);
    expect(laid!.assumptions.join()).toContain("the figures are of the wettest, Filling: Whip");
  });

  it("says when a boiled syrup can grain, and when other sugars keep it clear", () => {
    const boil = { name: "Boil" };
    const grain = keep([part("Syrup", "syrup", { water: 40, "granulated-sugar": 100 }, boil)]).components[0]!;
    expect(grain.graining).toMatchObject({ risk: "possible" });
    const clear = keep([part("Syrup", "syrup", { water: 40, "granulated-sugar": 90, "glucose-syrup": 50 }, boil)]).components[0]!;
    expect(clear.graining!.risk).toBe("unlikely");
    // Icing is meant to be full of crystals.
    expect(keep([PARTS.buttercream]).components[0]!.graining).toBeUndefined();
  });

  it("gives a preserve its soluble solids, and says when they are below a jam's", () => {
    const boiled = (percent: number): Component => ({
      ...part("Raspberry jam", "filling", { raspberries: 500, "granulated-sugar": 450 }, { name: "Boil" }),
      loss: { percent, basis: "stated" },
    });
    const thin = keep([boiled(2)]);
    expect(thin.components[0]!.preserve!.solubleSolidsPercent).toBeLessThan(60);
    expect(thin.cautions.join()).toContain("2001/113/EC");
    const set = keep([boiled(28)]);
    expect(set.components[0]!.preserve!.solubleSolidsPercent).toBeGreaterThan(62);
    expect(set.cautions.join()).not.toContain("2001/113/EC");
  });

  it("knows the fat of what is whipped", () => {
    expect(keep([PARTS.cream]).components[0]!.whipping).toMatchObject({ place: "rich" });
    const thin = part("Cream", "filling", { "single-cream": 300 }, { name: "Whip" });
    expect(keep([thin]).components[0]!.whipping).toMatchObject({ place: "too-lean" });
  });
});

describe("edges", () => {
  it("keeps dry sugar without a water activity, an empty component and unknown things without a figure", () => {
    const [dusting] = keep([PARTS.dusting]).components;
    expect(dusting).toMatchObject({
      waterActivity: undefined,
      keptAt: "room",
      mouldFreeDays21C: { known: false, why: "no-water" },
    });
    const [empty] = keep([part("Empty", "filling", {})]).components;
    expect(empty).toMatchObject({ waterActivity: undefined, mouldFreeDays21C: { why: "no-figure" } });
    const [unknown] = keep([part("Odd", "filling", { nowhere: 100 })]).components;
    expect(unknown).toMatchObject({ waterActivity: undefined, mouldFreeDays21C: { why: "no-figure" } });
    expect(keep([part("Open", "filling", { "double-cream": null })]).components[0]!.keptAt).toBe("chilled");
    expect(keepFormula({ name: "Nothing", components: [] }, book)).toMatchObject({ components: [], problems: [] });
  });

  it.each(["", "tomorrow", "2026-02-30", "2026-13-01", "99999-01-01", "2026-11-25T10:00:00Z", "0000-00-00", "x".repeat(10_000)])(
    "tells that %s is no date, and plans without one",
    (bakeDate) => {
      const kept = keep([SPONGE], { bakeDate });
      expect(kept.problems).toMatchObject([{ path: ["bakeDate"], expected: "a date such as 2026-11-25" }]);
      expect(kept.problems[0]!.found.length).toBeLessThanOrEqual(40);
      expect(kept.plan.every(({ date }) => date === undefined)).toBe(true);
    },
  );
});

describe("plan", () => {
  it("dates the fresh and the frozen way, across the end of a year and of summer time", () => {
    const { plan, product } = keep([SPONGE, PARTS.cream], { bakeDate: "2026-12-30" });
    const on = (step: string, path: string) => plan.find((one) => one.step === step && one.path === path)!;
    expect(on("bake", "both").date).toBe("2026-12-30");
    expect(on("fill", "fresh").date).toBe("2026-12-31");
    expect(on("use-by", "fresh").date).toBe("2027-01-03");
    expect(product.days).toBe(3);
    expect(on("freeze", "frozen").date).toBe("2026-12-30");
    expect(on("thaw", "frozen").date).toBe("2027-03-30");
    expect(on("use-by", "frozen").day - on("thaw", "frozen").day).toBe(4);
    const spring = keep([SPONGE], { bakeDate: "2026-03-28" }).plan;
    expect(spring.find(({ step }) => step === "use-by")!.date).toBe("2026-04-02");
    expect(plan.map(({ step }) => step)).toEqual([
      "bake",
      "cool",
      "wrap",
      "fill",
      "serve",
      "use-by",
      "freeze",
      "thaw",
      "fill",
      "serve",
      "use-by",
    ]);
  });

  it("freezes the cake without its cream, and a fruit cake for longer", () => {
    const { freezer } = keep([SPONGE, PARTS.cream]).product;
    expect(freezer.whole.days).toBeUndefined();
    expect(freezer.plain!.days).toEqual({ likely: 90, from: 60, to: 120 });
    expect(keep([SPONGE, PARTS.buttercream]).product.freezer.whole.days!.likely).toBe(60);
    const fruit = part("Fruit cake", "cake", {
      sultanas: 400,
      raisins: 200,
      "butter-unsalted": 170,
      "dark-brown-sugar": 170,
      "egg-whole-uk": 170,
      "plain-flour": 200,
    });
    expect(keep([fruit]).product.freezer.whole.days!.likely).toBe(360);
  });
});

it("keeps every formula of the demo bakery in a way a baker would nod at", () => {
  const folder = "examples/formulas";
  const kept = Object.fromEntries(
    readdirSync(folder).map((file) => {
      const formula = parseFormulaFile(readFileSync(`${folder}/${file}`, "utf8")).value!;
      const { product } = keepFormula(formula, createIngredientBook(formula.ingredients ?? []));
      return [file.replace(".yaml", ""), [product.keptAt, product.days]];
    }),
  );
  expect(kept).toEqual({
    "almond-ring.1": ["room", 4],
    "courgette-oil-cake.1": ["chilled", 4],
    "cup-cakes.1": ["room", 5],
    "cup-cakes.2": ["room", 5],
    "ginger-slab.1": ["room", 5],
    "ginger-slab.2": ["room", 5],
    "hazelnut-torte.1": ["chilled", 3],
    "lemon-curd.1": ["chilled", 14],
    "lemon-loaf.1": ["room", 5],
    "sandwich.1": ["chilled", 3],
    "sandwich.2": ["chilled", 3],
    "sandwich.3": ["chilled", 3],
    "tea-fruit-cake.1": ["room", 11],
    "whisked-roll.1": ["chilled", 2],
  });
});
