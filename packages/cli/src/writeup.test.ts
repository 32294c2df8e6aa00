import { expect, it } from "vitest";
import { runWords, shellWords } from "./testing.js";

const ec = (line: string, options?: Parameters<typeof runWords>[1]) => runWords(shellWords(line), options);
const SANDWICH = "examples/formulas/sandwich.1.yaml";

it("prints the recipe in the reader's measures and says what the rounding does", async () => {
  const metric = await ec(`writeup ${SANDWICH}`);
  expect(metric.status).toBe(0);
  expect(metric.output).toContain("225 g self-raising flour, sifted");
  expect(metric.output).toContain("20 x 5 cm (8 x 2 in) round tin, 2 of them");
  expect(metric.said).toMatch(/^Measured so, no ratio of the cake moves by more than \d\.\d %/);
  const us = await ec(`writeup ${SANDWICH} --measures us`);
  expect(us.output).toContain("2 sticks (1 cup, 225 g) unsalted butter");
  expect(us.output).toContain("self-rising flour");
  expect(us.output).not.toContain("caster sugar");
  const imperial = await ec(`writeup ${SANDWICH} --measures imperial --names us`);
  expect(imperial.output).toContain("8 oz unsalted butter");
  expect(imperial.output).toContain("self-rising flour");
});

it("scales to tins or portions first", async () => {
  const two = await ec(`writeup ${SANDWICH} --to-portions 20`);
  expect(two.output).toContain("Makes 20 portions");
  expect(two.output).toContain("450 g self-raising flour");
  const tin = await ec(`writeup ${SANDWICH} --to-tins "1 round 23x7 cm"`);
  expect(tin.output).toContain("23 x 7 cm (9 x 2¾ in) round tin");
  const { factor, parts } = (await ec(`writeup ${SANDWICH} --to-portions 20 --json`)).json<{
    factor: number;
    parts: readonly { ingredients: readonly { formulaGrams: number }[] }[];
  }>();
  expect(factor).toBe(2);
  expect(parts[0]!.ingredients[0]!.formulaGrams).toBe(450);
});

it("takes the format from the file's name, and a page it writes can be read again", async () => {
  const page = await ec(`writeup ${SANDWICH} -o cake.html --author "Millrace Yard"`);
  expect(page.said).toContain("Write-up in cake.html");
  const html = page.written.get("cake.html") as string;
  expect(html).toContain('<script type="application/ld+json">');
  const again = await ec("read cake.html --json", { files: { "cake.html": html } });
  expect(again.status).toBe(0);
  const { formula, lines } = again.json<{
    formula: {
      name: string;
      portions: number;
      components: readonly { stages: readonly { method?: string; uses: readonly { ingredient: string; grams: number }[] }[] }[];
    };
    lines: readonly { status: string }[];
  }>();
  expect([formula.name, formula.portions]).toEqual(["Raspberry sandwich", 10]);
  expect(lines.every(({ status }) => status === "understood")).toBe(true);
  const uses = formula.components.flatMap(({ stages }) => stages.flatMap((stage) => stage.uses));
  expect(uses.find(({ ingredient }) => ingredient === "self-raising-flour")?.grams).toBe(225);
  expect(formula.components[0]!.stages.at(-1)!.method).toContain("Bake at 170 °C");
  expect((await ec(`writeup ${SANDWICH} -o cake.md`)).written.get("cake.md")).toMatch(/^# Raspberry sandwich\n/);
  const pdf = (await ec(`writeup ${SANDWICH} -o cake.pdf`)).written.get("cake.pdf") as Uint8Array;
  expect(Buffer.from(pdf.slice(0, 7)).toString()).toBe("%PDF-1.");
  const data = JSON.parse((await ec(`writeup ${SANDWICH} --format jsonld`)).output) as Record<string, unknown>;
  expect(data["@type"]).toBe("Recipe");
});

it("says what is wrong with what was asked", async () => {
  for (const [line, words] of [
    [`writeup ${SANDWICH} --measures spanish`, "--measures is metric, imperial, us"],
    [`writeup ${SANDWICH} --names french`, "--names is british or us"],
    [`writeup ${SANDWICH} --format docx`, "--format is text, markdown"],
    [`writeup ${SANDWICH} --date yesterday`, "2026-05-02"],
    [`writeup ${SANDWICH} --to-tins "1 shoe box"`, "shoe box"],
    ["read page.html", "a Recipe with recipeIngredient"],
    ["read broken.json", "JSON"],
  ] as const) {
    const files = {
      "page.html": '<p>no data</p><script type="application/ld+json">{"@type":"Thing"}</script>',
      "broken.json": '{"@type":',
    };
    const { status, output, said } = await ec(line, { files });
    expect([line, status, output]).toEqual([line, 2, ""]);
    expect(said).toContain(words);
  }
  const toScreen = await ec(`writeup ${SANDWICH} --format pdf`, { outputIsTerminal: true });
  expect([toScreen.status, toScreen.said]).toEqual([2, expect.stringContaining("not for the screen")]);
});
