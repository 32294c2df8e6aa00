import { describe, expect, it } from "vitest";
import { runWords, shellWords } from "../testing.js";

const ec = (line: string, options?: Parameters<typeof runWords>[1]) => runWords(shellWords(line), options);
const SANDWICH = "examples/formulas/sandwich.1.yaml";
const PRICED = `${SANDWICH} --inputs examples/price/sandwich.yaml --prices examples/prices.csv`;

describe("price", () => {
  it("gives money in minor units that add up", async () => {
    const { status, json, said } = await ec(`price ${PRICED} --json`);
    expect([status, said]).toEqual([0, ""]);
    const answer = json<{
      batchMinor: number;
      lines: { minor: number; exactMinor: number }[];
      price: { minor: number };
      missing: unknown[];
    }>();
    expect(answer).toMatchObject({
      shape: "evencrumb.price/1",
      currency: "GBP",
      missing: [],
      breakEven: { name: "Pitch for a Saturday" },
    });
    expect(answer.lines.reduce((sum, { minor }) => sum + minor, 0)).toBe(answer.batchMinor);
    expect(answer.lines.every(({ minor, exactMinor }) => Math.abs(minor - exactMinor) < 1)).toBe(true);
  });

  it("prices by margin, by mark-up or as told, and not by two of them", async () => {
    const minor = async (words: string) =>
      (await ec(`price ${PRICED} ${words} --json`)).json<{
        price: { minor: number; marginPercent: number; markUpPercent: number };
      }>().price;
    expect((await minor("--margin 60")).marginPercent).toBeCloseTo(60, 1);
    expect((await minor("--mark-up 150")).markUpPercent).toBeCloseTo(150, 1);
    expect((await minor("--price 24.00")).minor).toBe(2400);
    const both = await ec(`price ${PRICED} --margin 60 --price 24`);
    expect([both.status, both.said]).toEqual([2, expect.stringContaining("Say one of --margin and --price")]);
    expect((await ec(`price ${PRICED} --margin 100`)).said).toContain("to below 100");
    const never = await ec(`price ${PRICED} --margin 99`);
    expect([never.status, never.output]).toEqual([1, expect.stringContaining("No price reaches that margin")]);
  });

  it("answers what if, in either spelling, and says what it cannot read", async () => {
    for (const rise of ["butter-unsalted 10%", '"butter-unsalted 10%"', "butter-unsalted:10"]) {
      const { output } = await ec(`price ${PRICED} --rise ${rise}`);
      expect(output, rise).toMatch(/What if butter-unsalted costs \+10 %: a cake costs £0\.19 more/);
    }
    expect((await ec(`price ${PRICED} --rise butter`)).said).toContain('such as "butter-unsalted 10%"');
  });

  it("shows a missing price as missing, and makes the list to fill in", async () => {
    const { status, output } = await ec(`price ${SANDWICH}`);
    expect(status).toBe(0);
    expect(output).toContain("Raspberry jam: no price in GBP by 2026-05-02");
    expect(output).toContain("the cost is a lower bound");
    const list = await ec(`price ${SANDWICH} --list`);
    expect(list.output.split("\r\n")[1]).toBe("butter-unsalted,,,GBP,,2026-05-02");
    const bad = await ec(`price ${SANDWICH} --prices p.csv`, {
      files: { "p.csv": "ingredient,pack_grams,price,currency\nsalt,1000,1.00,GBP\nsugar-of-lead,1,1,GBP\n" },
    });
    expect([bad.status, bad.said]).toEqual([0, expect.stringContaining("p.csv:3:1: expected the id of an ingredient")]);
    expect((await ec(`price ${SANDWICH} --inputs i.yaml`, { files: { "i.yaml": "currency: pounds\n" } })).status).toBe(2);
  });

  it("shows what a rise does to several products at the prices they have", async () => {
    const also = "--also examples/formulas/lemon-loaf.1.yaml=examples/price/lemon-loaf.yaml";
    const { status, output } = await ec(`price ${PRICED} --rise butter-unsalted:20 ${also}`);
    expect(status).toBe(0);
    // 190 g of butter at 7.70, a fifth dearer: 29 pence more on the loaf's 9.62.
    expect(output).toMatch(/Lemon loaf +£9\.62 +£9\.91 +37\.5 % +35\.6 % +below 37\.5 %; £15\.86 would hold it/);
    const { json } = await ec(`price ${PRICED} --rise butter-unsalted:20 ${also} --json`);
    expect(json<{ across: { fallsBelow: boolean }[] }>().across.map(({ fallsBelow }) => fallsBelow)).toEqual([true, true]);
    expect((await ec(`price ${PRICED} ${also}`)).said).toContain("--also goes with one --rise");
    expect((await ec(`price ${PRICED} --rise butter-unsalted:20 --also loaf.yaml`)).said).toContain("a formula and its inputs");
  });

  it("draws the price from its parts, and says when there is none to draw", async () => {
    const { status, output } = await ec(`price ${PRICED} --format svg`);
    expect(status).toBe(0);
    expect(output).toMatch(/^<svg [^>]*role="img"/);
    expect(output).toMatch(/<desc id="words">The price from its parts: Ingredients £/);
    expect((await ec(`price ${SANDWICH} --format svg`)).status).toBe(1);
    expect((await ec(`price ${SANDWICH} --format png`)).said).toContain("text or svg");
  });

  it("compares the cost beside the other consequences", async () => {
    const { output } = await ec(
      `compare ${SANDWICH} examples/formulas/sandwich.3.yaml --consequences --inputs examples/price/sandwich.yaml --prices examples/prices.csv`,
    );
    expect(output).toMatch(/A cake costs £\d+\.\d\d less\./);
    expect(output).toMatch(/cost of one cake sold \[GBP\]/);
  });

  it("compares two revisions and shows a history", async () => {
    expect((await ec(`price ${PRICED} --compare examples/formulas/sandwich.3.yaml`)).output).toMatch(
      /Sunflower oil +£0\.00 +£0\.18 +\+£0\.18/,
    );
    const { json } = await ec(`price ${PRICED} --history butter-unsalted --json`);
    expect(json()).toMatchObject({
      shape: "evencrumb.price.history/1",
      prices: [{ perKgMinor: 670 }, { perKgMinor: 720 }, { perKgMinor: 770 }],
    });
  });
});

describe("label", () => {
  const LABEL = `label ${SANDWICH} --inputs examples/label/sandwich.yaml --date 2026-11-25`;

  it("gives everything as JSON, with the rules and how each particular stands", async () => {
    const { status, json } = await ec(`${LABEL} --format json --sources`);
    expect(status).toBe(0);
    const answer = json<{ particulars: { id: string; state: string }[]; rules: { checkedOn: string }[] }>();
    expect(answer).toMatchObject({
      shape: "evencrumb.label/1",
      place: "gb",
      missing: [],
      durability: { kind: "use-by", date: "2026-11-28" },
    });
    expect(answer.particulars).toHaveLength(12);
    expect(answer.rules.every(({ checkedOn }) => checkedOn === "2026-11")).toBe(true);
  });

  it("says what is missing, with status 1, and what it cannot use, with 2", async () => {
    const bare = await ec(`label ${SANDWICH} --place gb --mode prepacked`);
    expect(bare.status).toBe(1);
    expect(bare.said).toMatch(/Missing: Name and address of the business/);
    expect((await ec(`label ${SANDWICH} --place gb --mode direct-sale`)).said).not.toContain("business");
    expect((await ec(`label ${SANDWICH}`)).said).toContain("Say where it is sold");
    expect((await ec(`label ${SANDWICH} --place mars`)).status).toBe(2);
    expect((await ec(`${LABEL} --format docx`)).said).toContain("text, pdf, svg, html or json");
    expect((await ec(`${LABEL} --format svg --size huge`)).said).toContain("such as 90x60mm");
    expect((await ec(`${LABEL} --format pdf --size 99x67mm --sheet 9x9`)).said).toContain(
      "take 891 mm across, and the page has 210",
    );
  });

  it("draws SVG with its typeface and a PDF at true size", async () => {
    const svg = await ec(`${LABEL} --format svg --size 100x75mm`);
    expect(svg.status).toBe(0);
    expect(svg.output).toMatch(/^<svg [^>]*width="100mm" height="75mm" viewBox="0 0 100 75"/);
    expect(svg.output.match(/@font-face/g)).toHaveLength(4);
    const pdf = await ec(`${LABEL} --size 100x75mm -o label.pdf`);
    expect(pdf.said).toMatch(/Letters: x-height 1\.\d\d mm; the rule asks for 1\.20 mm/);
    const bytes = pdf.written.get("label.pdf") as Uint8Array;
    expect(Buffer.from(bytes).toString("latin1")).toMatch(/\/MediaBox \[0 0 283\.46\d* 212\.59\d*\]/);
  });

  it("declares a quantity asked for on the command line", async () => {
    expect(
      (await ec(`${LABEL} --quantity-of raspberry-jam,double-cream --format html`)).output.replaceAll("\u00a0", " "),
    ).toMatch(/double cream \(<strong>milk<\/strong>\) \(19 %\).*raspberry jam \(13 %\)/s);
  });
});

describe("allergens", () => {
  it("writes the table for the wall, and what a change adds", async () => {
    const csv = await ec(`allergens ${SANDWICH} examples/formulas/hazelnut-torte.1.yaml --format csv`);
    expect(
      csv.output
        .split("\r\n")
        .slice(0, 3)
        .map((line) => line.split(",").slice(0, 3)),
    ).toEqual([
      ["product", "revision", "Gluten"],
      ["Raspberry sandwich", "sandwich.1.yaml", "contains wheat"],
      ["Hazelnut coffee torte", "hazelnut-torte.1.yaml", "contains wheat"],
    ]);
    expect((await ec(`allergens ${SANDWICH} --bakery "Millrace & Yard" --format html`)).output).toContain(
      "Millrace &amp; Yard, 2026-05-02",
    );
    const gains = await ec(`allergens ${SANDWICH} examples/formulas/hazelnut-torte.1.yaml --change`);
    expect([gains.status, gains.output]).toEqual([1, expect.stringContaining("Gains nuts (hazelnut), from Hazelnuts.")]);
    const same = await ec(`allergens ${SANDWICH} ${SANDWICH} --change`);
    expect([same.status, same.output]).toEqual([0, "No allergen more and none less.\n"]);
    expect((await ec(`allergens ${SANDWICH} --change`)).status).toBe(2);
    const pdf = await ec(`allergens ${SANDWICH} -o a.pdf`);
    expect(
      Buffer.from(pdf.written.get("a.pdf") as Uint8Array)
        .subarray(0, 5)
        .toString(),
    ).toBe("%PDF-");
  });
});
