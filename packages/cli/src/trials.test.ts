import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { runWords } from "./testing.js";

const YARN =
  "x1,x2,x3,y\n1,0,0,11\n1,0,0,12.4\n.5,.5,0,15\n.5,.5,0,14.8\n.5,.5,0,16.1\n0,1,0,8.8\n0,1,0,10\n0,.5,.5,10\n0,.5,.5,9.7\n0,.5,.5,11.8\n0,0,1,16.8\n0,0,1,16\n.5,0,.5,17.7\n.5,0,.5,16.4\n.5,0,.5,16.6\n";
const MODEL =
  '{"factors": ["x1", "x2", "x3"], "responses": ["y"], "model": "scheffe quadratic", "predict": [{"x1": 0.5, "x2": 0, "x3": 0.5}]}';
const data = { files: { "data.csv": YARN, "model.yaml": "factors: [x1, x2, x3]\nresponses: [y]\nmodel: Scheffé quadratic\n" } };

interface ReadAnswer {
  readonly shape: string;
  readonly responses: readonly {
    readonly coefficients: readonly { readonly name: string; readonly estimate: number; readonly standardError: number }[];
    readonly anova: { readonly model: { readonly f: number }; readonly lackOfFit: { readonly df: number } };
    readonly rSquared: { readonly plain: number; readonly predicted: number };
    readonly press: number;
    readonly predictions: readonly { readonly estimate: number; readonly single: { readonly from: number } }[];
  }[];
}

// Published: NIST/SEMATECH e-Handbook 5.5.4.2: 11.7, 9.4, 16.4, 19.0, 11.4, -9.6; R2 0.951356; F 35.2032; PRESS 18.295.
it("reads any CSV by the words of a model, to full precision", async () => {
  const { status, json, said } = await runWords(["trial", "read", "data.csv", "--model", MODEL, "--json"], data);
  expect([status, said]).toEqual([0, ""]);
  const answer = json<ReadAnswer>();
  expect(answer.shape).toBe("evencrumb.trial.read/1");
  const [response] = answer.responses;
  expect(response!.coefficients.map(({ estimate }) => Number(estimate.toFixed(6)))).toEqual([11.7, 9.4, 16.4, 19, 11.4, -9.6]);
  expect(response!.coefficients[0]!.standardError).toBeCloseTo(0.603692342542495, 14);
  expect(response!.rSquared.plain).toBeCloseTo(0.951355519962033, 13);
  expect(response!.anova.model.f).toBeCloseTo(35.2031707317072, 10);
  expect(response!.press).toBeCloseTo(18.295, 10);
  expect(response!.predictions[0]!.single.from).toBeCloseTo(14.6699078580223, 10);
  const text = await runWords(["trial", "read", "data.csv", "--model", "model.yaml"], data);
  expect(text.output).toContain("PRESS 18.295");
});

it("says where a model or a table is wrong, and exits with 2", async () => {
  const wrong = await runWords(["trial", "read", "data.csv", "--model", '{"factors": ["x1"], "responses": ["z"]}'], data);
  expect(wrong.status).toBe(2);
  expect(wrong.said).toContain('expected a column called "z"');
  const broken = await runWords(["trial", "read", "data.csv", "--model", '{"factors": ['], data);
  expect(broken.status).toBe(2);
  const text = await runWords(["trial", "read", "bad.csv", "--model", '{"factors": ["x1"], "responses": ["y"]}', "--json"], {
    files: { "bad.csv": "x1,y\n1,2\n2,tall\n3,4\n4,4\n" },
  });
  expect(text.said).toContain("bad.csv:3:1: expected a number, or an empty cell, found tall");
  expect(text.status).toBe(0);
  expect((await runWords(["trial", "read", "data.csv"], data)).status).toBe(2);
  expect((await runWords(["trial", "bake", "x"], data)).status).toBe(2);
});

it("keeps a trial from the question to the answer", async () => {
  const question =
    "kind: better\npairing: days\nmeasure: height at the centre\nmatters: 4\nspread: 2\nnames: [standard, new]\nseed: 5\n";
  const planned = await runWords(
    ["trial", "plan", "q.yaml", "-o", "t.json", "--title", "New sponge", "--allergens", "eggs, milk"],
    { files: { "q.yaml": question } },
  );
  expect(planned.status).toBe(0);
  expect(planned.output).toContain("Bake standard and new on each of 7 days");
  const kept = planned.written.get("t.json") as string;
  const sheet = await runWords(["trial", "sheet", "t.json"], { files: { "t.json": kept } });
  expect(sheet.output).toContain("Contains: eggs, milk.");
  const csv = await runWords(["trial", "sheet", "t.json", "--csv"], { files: { "t.json": kept } });
  const [head, ...lines] = csv.output.trim().split(/\r?\n/);
  const filled = [
    head,
    ...lines.map((line, index) => line.replace(/,,$/, `,${(line.includes("new") ? 46 : 41) + (index % 3) * 0.5},`)),
  ].join("\n");
  const recorded = await runWords(["trial", "record", "t.json", "s.csv"], { files: { "t.json": kept, "s.csv": filled } });
  expect(recorded.output.trim()).toBe("14 of 14 runs are measured.");
  const answer = await runWords(["trial", "read", "t.json"], { files: { "t.json": recorded.written.get("t.json")! } });
  expect(answer.status).toBe(0);
  expect(answer.output.split("\n")[0]).toMatch(/^New is taller by \d/);
  expect((await runWords(["trial", "read", "t.json"], { files: { "t.json": kept } })).status).toBe(1);
});

it("lays out a design by its name", async () => {
  const words =
    "kind: design\ndesign: two-level fraction\nmodel: linear\nmeasure: volume\nfactors:\n  - { name: sugar, low: 180, high: 240 }\n  - { name: egg, low: 150, high: 210 }\n  - { name: minutes, low: 25, high: 35 }\n  - { name: oven, low: 160, high: 180 }\ngenerators: { oven: [sugar, egg, minutes] }\n";
  const made = await runWords(["trial", "plan", "d.yaml", "-o", "t.json"], { files: { "d.yaml": words } });
  expect(made.output).toContain("Cannot be told apart: sugar × egg = minutes × oven.");
  expect(made.output).toContain("D 100 %");
  const kept = JSON.parse(made.written.get("t.json") as string) as { shape: string; sheet: { runs: unknown[] } };
  expect([kept.shape, kept.sheet.runs.length]).toEqual(["evencrumb.trial/1", 8]);
  const wrong = await runWords(["trial", "plan", "d.yaml"], {
    files: { "d.yaml": words.replace("two-level fraction", "Box-Behnken") },
  });
  expect([wrong.status, wrong.said]).toEqual([0, ""]);
  const none = await runWords(["trial", "plan", "d.yaml"], { files: { "d.yaml": "kind: design\ndesign: cube\nfactors: []\n" } });
  expect(none.status).toBe(2);
  expect(none.said).toContain("expected two-level factorial");
});

it("writes the complete formula of one run", async () => {
  const question =
    '{"kind": "how much", "factors": [{"name": "sugar", "low": 180, "high": 240, "unit": "g"}], "measure": "volume", "matters": 150}';
  const planned = await runWords(["trial", "plan", "q.json", "-o", "t.json"], { files: { "q.json": question } });
  const formula = "examples/formulas/sandwich.1.yaml";
  const shown = JSON.parse((await runWords(["show", formula, "--json"])).output) as {
    components: { name: string; totalGrams: number; stages: { uses: { ingredient: string }[] }[] }[];
  };
  const component = shown.components[0]!;
  const ingredient = component.stages
    .flatMap(({ uses }) => uses)
    .map((use) => use.ingredient)
    .find((id) => id.includes("sugar"))!;
  const files = {
    "t.json": planned.written.get("t.json")!,
    "b.json": JSON.stringify([{ factor: "sugar", kind: "ingredient", component: component.name, ingredient }]),
  };
  const run = await runWords(["trial", "sheet", "t.json", "--run", "1", "--formula", formula, "--bindings", "b.json"], { files });
  expect(run.said).toContain("Held:");
  expect(run.status).toBe(0);
  const baked = (await runWords(["show", "-", "--json"], { input: run.output })).json<typeof shown>().components[0]!.totalGrams;
  // Held to what the scale can weigh: 1 g above 10 g.
  expect(Math.abs(baked - component.totalGrams)).toBeLessThan(1);
});

it("names the runs that the models doubt, and holds fat and total while oil takes the place of butter", async () => {
  const formula = "examples/formulas/sandwich.1.yaml";
  const files = {
    "q.yaml": [
      "kind: how much",
      "measure: volume",
      "matters: 150",
      "design: all levels",
      "repeats: 1",
      "factors:",
      "  - { name: oil for butter, low: 0, high: 100, unit: '%' }",
      "  - { name: oven, low: 140, high: 190, unit: °C }",
    ].join("\n"),
    "b.yaml": [
      "- { factor: oil for butter, kind: replace, component: Sponge, ingredient: butter-unsalted, by: rapeseed-oil }",
      "- { factor: oven, kind: oven, component: Sponge }",
    ].join("\n"),
  };
  const words = ["--formula", formula, "--bindings", "b.yaml", "--hold", "fat,total"];
  const planned = await runWords(["trial", "plan", "q.yaml", "-o", "t.json", ...words], { files });
  expect(planned.status).toBe(0);
  expect(planned.said).toContain("Held in every bake: the fat of Sponge; the total weight of Sponge");
  // Twenty-four minutes at 140 °C are too short for a cake that takes them at 170 °C.
  expect(planned.output).toMatch(/Doubtful, run \d+: .*24 min look too short for Sponge/);
  const kept = JSON.parse(String(planned.written.get("t.json"))) as {
    sheet: { runs: { number: number; setting: Record<string, number> }[] };
  };
  const all = kept.sheet.runs.find(({ setting }) => setting["oil for butter"] === 100)!.number;
  const run = await runWords(["trial", "sheet", "t.json", "--run", String(all), ...words], {
    files: { ...files, "t.json": planned.written.get("t.json")! },
  });
  expect(run.output).not.toContain("butter-unsalted");
  expect(run.output).toMatch(/rapeseed-oil.*185/);
});

it("plans a tasting with its allergens and reads the answers", async () => {
  const words = [
    "taste",
    "plan",
    "--method",
    "triangle",
    "--products",
    "standard,with oil",
    "--tasters",
    "12",
    "--allergens",
    "eggs,milk",
    "-o",
    "p.json",
  ];
  const planned = await runWords(words);
  expect(planned.output.split("\n")[0]).toBe("Contains: eggs, milk.");
  const kept = JSON.parse(planned.written.get("p.json") as string) as { sheets: { taster: number; right: string[] }[] };
  const answers = `taster,answer,declined\n${kept.sheets.map(({ taster, right }) => `${taster},${taster === 12 ? "" : right[0]},${taster === 12 ? "yes" : ""}`).join("\n")}\n`;
  const read = await runWords(["taste", "read", "p.json", "a.csv", "--json"], {
    files: { "p.json": planned.written.get("p.json")!, "a.csv": answers },
  });
  expect(read.json<{ correct: number; tasterCount: number; declined: number }>()).toMatchObject({
    correct: 11,
    tasterCount: 11,
    declined: 1,
  });
  expect((await runWords(["taste", "plan", "--method", "triangle", "--products", "a,b", "--tasters", "6"])).said).toContain(
    "--allergens",
  );
});

// Exact: 15 of 30 in a triangle, p 0.0435 (ISO 4120 by the binomial); Published: Conover (1999), p 372.
it("reads counts and tables of ranks", async () => {
  const counted = await runWords(["taste", "read", "--method", "triangle", "--correct", "15", "--tasters", "30", "--json"]);
  expect(counted.json<{ p: number }>().p).toBeCloseTo(0.043482275727919385, 14);
  const grass = JSON.parse(readFileSync(new URL("../../core/src/trials/fixtures/trials.json", import.meta.url), "utf8")) as {
    cases: { friedman_grass: { ranks: number[][] } };
  };
  const csv = `a,b,c,d\n${grass.cases.friedman_grass.ranks.map((row) => row.join()).join("\n")}\n`;
  const ranked = await runWords(["taste", "read", "ranks.csv", "--method", "ranking", "--json"], { files: { "ranks.csv": csv } });
  expect(ranked.json<{ friedman: number; f: number }>()).toMatchObject({
    friedman: expect.closeTo(8.09734513274336, 10),
    f: expect.closeTo(3.19219790675547, 10),
  });
  expect(ranked.status).toBe(0);
  const marks = await runWords(["taste", "read", "marks.csv", "--method", "liking"], {
    files: { "marks.csv": "A,B\n6,8\n5,7\n7,8\n4,7\n" },
  });
  expect(marks.output).toContain("B is better liked by 2.0 points of 9, between");
});

it("plans the bakes that are to confirm the best setting, and reads them", async () => {
  const factors = [{ kind: "amount", name: "sugar", unit: "g", low: 160, high: 220 }];
  const measured = [38.2, 37.6, 40.4, 41.0, 43.1, 42.5];
  const runs = [160, 160, 190, 190, 220, 220].map((sugar, index) => ({
    ...{ runIndex: index, number: index + 1, day: 0, load: index, position: 0, setting: { sugar }, state: "baked", notes: "" },
    measured: { "height at the centre": measured[index] },
  }));
  const measures = [{ name: "height at the centre", unit: "mm", better: "larger" }];
  const trial = {
    ...{ shape: "evencrumb.trial/1", kind: "how much", title: "Sugar" },
    promise: { summary: "", certainty: "", ifNothingIsSeen: "", cautions: [] },
    sheet: { title: "Sugar", seed: 4, factors, measures, allergens: ["eggs"], runs },
    model: { factors, responses: [{ name: "height at the centre", unit: "mm" }], terms: [["sugar"]] },
  };
  const files = { "t.json": JSON.stringify(trial) };
  const read = await runWords(["trial", "read", "t.json", "--json"], { files });
  expect(read.json<{ best: { setting: { sugar: number } } }>().best.setting.sugar).toBeCloseTo(220, 4);
  const planned = await runWords(["trial", "confirm", "t.json", "-o", "c.json", "--count", "1"], { files });
  expect(planned.status).toBe(0);
  expect(planned.output).toContain("Bake the best setting and run 3 of the trial once each on one day");
  expect(planned.output).toContain("Contains: eggs.");
  const kept = { "c.json": planned.written.get("c.json")! };
  expect((await runWords(["trial", "read", "c.json"], { files: kept })).status).toBe(1);
  const csv = (await runWords(["trial", "sheet", "c.json", "--csv"], { files: kept })).output;
  const filled = csv
    .trim()
    .split(/\r?\n/)
    .map((line, index) => (index === 0 ? line : line.replace(/,,$/, line.includes("best") ? ",43.4," : ",40.6,")))
    .join("\n");
  const recorded = await runWords(["trial", "record", "c.json", "f.csv"], { files: { ...kept, "f.csv": filled } });
  expect(recorded.status).toBe(0);
  const answer = await runWords(["trial", "read", "c.json"], { files: { "c.json": recorded.written.get("c.json")! } });
  expect(answer.status).toBe(0);
  expect(answer.output).toContain("The best setting came out as predicted");
  expect(answer.output).toContain("Make it the standard");
  expect((await runWords(["trial", "confirm", "t.json", "--count", "9"], { files })).status).toBe(2);
});

// Exact: binomial; 2-AFC both ways, 11 of 12 is significant (p 0.0063); Page, perfect agreement of 5 over 3 gives L 5 * 14 = 70.
it("keeps with the plan what a tasting looks for, and reads it so", async () => {
  const plan = (...words: string[]) => runWords(["taste", "plan", "--allergens", "eggs", "-o", "p.json", ...words]);
  const read = async (planned: Awaited<ReturnType<typeof plan>>, answers: string) =>
    runWords(["taste", "read", "p.json", "a.csv", "--json"], {
      files: { "p.json": planned.written.get("p.json")!, "a.csv": answers },
    });
  const sheetsOf = (planned: Awaited<ReturnType<typeof plan>>) =>
    (
      JSON.parse(planned.written.get("p.json") as string) as {
        sheets: { taster: number; samples: { code: string; product: number }[] }[];
      }
    ).sheets;

  const more = await plan("--method", "2-AFC", "--either", "--property", "sweetness", "--products", "old,new", "--tasters", "12");
  const picked = sheetsOf(more).map(
    ({ taster, samples }) => `${taster},${samples.find(({ product }) => product === (taster > 1 ? 0 : 1))!.code}`,
  );
  const both = (await read(more, `taster,answer\n${picked.join("\n")}\n`)).json<{
    asked: string;
    forB: number;
    answer: { sentence: string };
  }>();
  expect(both).toMatchObject({ asked: "more", forB: 1 });
  expect(both.answer.sentence).toMatch(/^Old has more sweetness: 11 of 12 picked it/);

  const ranked = await plan(
    "--method",
    "ranking",
    "--products",
    "a,b,c",
    "--expected",
    "c,a,b",
    "--tasters",
    "5",
    "--warnings",
    "raw egg",
  );
  expect(ranked.output).toContain("Also tell them: raw egg.");
  const page = (await read(ranked, `taster,a,b,c\n${[1, 2, 3, 4, 5].map((taster) => `${taster},2,3,1`).join("\n")}\n`)).json<{
    page: { l: number };
  }>();
  expect(page.page.l).toBe(70);

  const alike = await plan("--method", "triangle", "--products", "a,b", "--tasters", "60", "--likeness", "30");
  const wrong = sheetsOf(alike).map(({ taster, samples }) => {
    const twice = samples.find(({ product }) => samples.filter((other) => other.product === product).length === 2)!;
    return `${taster},${twice.code}`;
  });
  expect((await read(alike, `taster,answer\n${wrong.join("\n")}\n`)).json<{ answer: { verdict: string } }>().answer.verdict).toBe(
    "same",
  );

  for (const [words, said] of [
    [["--method", "triangle", "--products", "a,b", "--either"], "--either"],
    [["--method", "ranking", "--products", "a,b,c", "--expected", "a,b"], "--expected"],
    [["--method", "ranking", "--products", "a,b,c", "--matters", "1"], "--matters"],
    [["--method", "liking", "--products", "a,b", "--likeness", "30"], "--likeness"],
  ] as const) {
    const refused = await plan("--tasters", "6", ...words);
    expect(refused.status).toBe(2);
    expect(refused.said).toContain(said);
  }
});
