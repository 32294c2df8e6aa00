import { execFileSync, spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import AxeBuilder from "@axe-core/playwright";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { DEMO, openBrowser, type RunningBakery, sheetAddress, startBakery, visit } from "./support.js";

let browser: Browser;
let bakery: RunningBakery;
beforeAll(async () => {
  [browser, bakery] = await Promise.all([openBrowser(), startBakery()]);
});
afterAll(async () => {
  await browser?.close();
  await bakery?.dispose();
});

const hasTools = spawnSync("pdftotext", ["-v"]).error === undefined;
const drawn = async (page: Page) => decodeURIComponent((await page.locator(".label-paper img").getAttribute("src")) ?? "");
const missing = (page: Page) => page.getByRole("region", { name: "What is missing" });
const action = (page: Page, name: string) => page.locator(`[data-action="${name}"]`);
/** What the server holds of a kind. */
const kept = (kind: string) =>
  fetch(`${bakery.url}/api/documents?kind=${kind}`)
    .then((answer) => answer.json())
    .then(({ documents }: { documents: readonly { id: string; name: string; latest: { id: string } }[] }) =>
      Promise.all(
        documents.map(async ({ id, latest }) => {
          const answer = await fetch(`${bakery.url}/api/documents/${id}/revisions/${latest.id}`);
          return { id, body: ((await answer.json()) as { body: Record<string, never> }).body };
        }),
      ),
    );
/** @returns the id of what was put on the server */
const begin = async (kind: string, body: unknown) => {
  const answer = await fetch(`${bakery.url}/api/documents`, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify({ kind, body, device: "bench" }),
  });
  return ((await answer.json()) as { document: { id: string } }).document.id;
};
async function saved(page: Page, click: () => Promise<void>): Promise<string> {
  const [download] = await Promise.all([page.waitForEvent("download"), click()]);
  return download.path();
}

it("says what a label misses, where to give it, and keeps what is given for every device", async () => {
  const { page, context, complaints } = await visit(browser, sheetAddress(bakery.url, DEMO.sandwich, "label"));
  await missing(page)
    .getByText(/business/)
    .first()
    .waitFor();
  await missing(page).getByRole("listitem").filter({ hasText: "Date" }).getByRole("button", { name: "Fill it in" }).click();
  expect(await page.evaluate(() => document.activeElement?.getAttribute("type"))).toBe("date");
  await page.getByLabel("Baked on").fill("2026-11-25");
  await page.getByLabel("Business", { exact: true }).fill("<b>Millrace</b> & Yard");
  await page.getByLabel("Its address").fill("1 Mill Lane, Exampleford");
  await page.getByLabel("Raspberry jam", { exact: true }).first().fill("sugar, raspberries, gelling agent (pectins)");
  await page.getByLabel("Portions in a pack").fill("10");
  await page.getByText("Nothing that this way of selling asks for is missing.").waitFor();
  const picture = await drawn(page);
  expect(picture).toContain("pectins");
  expect(picture).toContain("(10 portions)");
  expect(picture).not.toContain("<b>");
  // The typeface whose letters were measured travels with the drawing.
  await page.waitForFunction(() => document.querySelector<HTMLImageElement>(".label-paper img")?.src.includes("font-face"));
  await page.getByText(/^kept \d/).waitFor();
  await expect
    .poll(async () => (await kept("label"))[0]?.body, { timeout: 15_000 })
    .toMatchObject({
      formulaId: DEMO.sandwich,
      inputs: {
        place: "gb",
        bakeDate: "2026-11-25",
        portions: 10,
        packets: { "raspberry-jam": expect.stringContaining("pectins") },
      },
    });
  const other = await visit(browser, sheetAddress(bakery.url, DEMO.sandwich, "label"), { width: 820, height: 1180 });
  await other.page.waitForFunction(() => document.querySelector<HTMLImageElement>(".label-paper img")?.src.includes("pectins"));
  expect(await other.page.getByLabel("Business", { exact: true }).inputValue()).toBe("<b>Millrace</b> & Yard");
  // What one device changes stands on the other.
  await other.page.getByLabel("A sentence under the name").fill("Filled by hand");
  await page.waitForFunction(() =>
    document.querySelector<HTMLImageElement>(".label-paper img")?.src.includes("Filled%20by%20hand"),
  );
  expect([complaints, other.complaints]).toEqual([[], []]);
  await other.context.close();
  await context.close();
});

it("unfolds every figure to its sources, and says where a missing one is given", async () => {
  const { page, context, complaints } = await visit(browser, sheetAddress(bakery.url, DEMO.ginger, "label"));
  const figures = page.getByRole("region", { name: "Where each figure comes from" });
  const fat = figures.locator('[data-row="fat"]');
  await fat.locator("summary").click();
  const rows = fat.locator("tbody tr");
  await rows.first().waitFor();
  const parts = (await rows.locator("td:nth-child(2)").allTextContents()).map(Number);
  const [, printed] = /Fat ([\d.]+) g in 100 g/.exec((await fat.locator("summary").textContent()) ?? "")!;
  // Exact: the parts are the figure, to its rounding.
  expect(Math.abs(parts.reduce((sum, one) => sum + one, 0) - Number(printed))).toBeLessThanOrEqual(0.55);
  expect(await rows.first().locator("td:nth-child(3)").textContent()).toMatch(/USDA|CoFID/);
  // What an analysis states of the finished cake stands before what is worked out.
  await page.getByLabel("By the rules of").selectOption("us");
  const iron = figures.locator('[data-row="ironMg"]');
  await iron.locator("summary").waitFor();
  await page.getByText("Figures you had analysed", { exact: true }).click();
  await page.getByLabel("Iron, mg").fill("40");
  await iron
    .locator("summary")
    .getByText(/\d\d(\.\d)?mg/)
    .waitFor();
  expect(complaints).toEqual([]);
  await context.close();
});

it("asks how much of a bought ingredient's sugars was added, and a US panel is no draft any more", async () => {
  const sandwich = (await kept("formula")).find(({ id }) => id === DEMO.sandwich)!.body;
  const formulaId = await begin("formula", { ...sandwich, name: "Sandwich for the States" });
  const packets = { "raspberry-jam": "sugar, raspberries, gelling agent (pectins)" };
  await begin("label", {
    name: "United States",
    formulaId,
    inputs: { place: "us", mode: "prepacked", packs: 1, bakeDate: "2026-11-25", nutrition: "always", packets },
    paper: { widthMm: 100, heightMm: 70, rows: 1, columns: 1 },
  });
  const { page, context, complaints } = await visit(browser, sheetAddress(bakery.url, formulaId, "label"));
  await page.getByLabel("Business", { exact: true }).fill("<b>Millrace</b> & Yard");
  await page.getByLabel("Its address").fill("1 Mill Lane, Exampleford");
  const entry = missing(page).getByRole("listitem").filter({ hasText: "Includes Added Sugars cannot be printed" });
  await entry.getByRole("button", { name: "Say what was added" }).click();
  // The jam holds most of the sugars in question: it is asked first, and an essence that changes no printed figure stops nothing.
  const jam = page.getByLabel("Raspberry jam: of its sugars, added, %");
  expect(await jam.evaluate((field) => field === document.activeElement)).toBe(true);
  expect(await drawn(page)).toMatch(/DRAFT/);
  await jam.fill("120");
  await page.getByText("A number from 0 to 100, or nothing.").waitFor();
  await jam.fill("80");
  await page.getByText("Nothing that this way of selling asks for is missing.").waitFor();
  // By hand: 222 g of sugars and syrups and 80 % of the jam's 115 g are 314 g in the batch; a sixteenth of it holds 20 g.
  expect((await drawn(page)).replace(/<[^>]*>/g, " ")).toMatch(/Includes\s+20g\s+Added\s+Sugars/);
  expect(await drawn(page)).not.toMatch(/DRAFT/);
  await expect
    .poll(async () => (await kept("label")).find(({ body }) => body.formulaId === formulaId)?.body, { timeout: 15_000 })
    .toMatchObject({ inputs: { place: "us", addedPercentOfSugars: { "raspberry-jam": 80 } } });
  // Taken out again, the line stands open again, and its own row in the figures leads there too.
  await jam.fill("");
  await page.locator('[data-row="addedSugars"] summary').click();
  await page.getByRole("button", { name: "Say how much of its sugars was added" }).click();
  expect(await jam.evaluate((field) => field === document.activeElement)).toBe(true);
  expect(complaints).toEqual([]);
  await context.close();
});

it("asks for the water of dried milk where the formula has it, outside the United States", async () => {
  const uses = [
    ["plain-flour", 220],
    ["milk-powder-skimmed", 20],
    ["water", 180],
    ["caster-sugar", 100],
  ].map(([ingredient, grams]) => ({ ingredient, grams }));
  const formulaId = await begin("formula", {
    name: "Milk bread",
    components: [{ name: "Dough", kind: "cake", stages: [{ name: "Mix", uses }] }],
  });
  const { page, context, complaints } = await visit(browser, sheetAddress(bakery.url, formulaId, "label"));
  const water = page.getByLabel(/^Milk powder.* made up with water, g$|^Skimmed milk powder.* made up with water, g$/);
  await water.fill("180");
  await page.waitForFunction(() =>
    decodeURIComponent(document.querySelector<HTMLImageElement>(".label-paper img")?.src ?? "").includes("reconstituted"),
  );
  await expect
    .poll(async () => (await kept("label")).find(({ body }) => body.formulaId === formulaId)?.body, { timeout: 15_000 })
    .toMatchObject({ inputs: { reconstitutedWithGrams: { "milk-powder-skimmed": 180 } } });
  await page.getByLabel("By the rules of").selectOption("us");
  await water.waitFor({ state: "detached" });
  expect(complaints).toEqual([]);
  await context.close();
});

it("checks the letters, says what to do where it does not fit, and sets sheets", async () => {
  const { page, context, complaints } = await visit(browser, sheetAddress(bakery.url, DEMO.cupCakes, "label"));
  await page
    .getByText(/x-height/)
    .first()
    .waitFor();
  await page.getByLabel("Wide, mm", { exact: true }).fill("40");
  await page.getByLabel("High, mm", { exact: true }).fill("25");
  await page.getByText(/At the least letters \(1\.2 mm x-height\) it needs 40 × \d+ mm, not 40 × 25/).waitFor();
  await page.getByLabel("Largest surface of the pack, cm²").fill("60");
  await page.getByText(/At the least letters \(0\.9 mm x-height\)/).waitFor();
  await page.getByLabel("Wide, mm", { exact: true }).fill("99");
  await page.getByLabel("High, mm", { exact: true }).fill("67");
  await page.getByLabel("On a page, down").fill("4");
  await page.getByLabel("and across").fill("3");
  await page.getByText("3 labels of 99 mm take 297 mm across, and the page has 210.").waitFor();
  expect(await action(page, "print").isDisabled()).toBe(true);
  await page.getByLabel("and across").fill("2");
  await page.getByLabel("Taken from the first sheet").fill("3");
  await page.getByLabel("How many labels").fill("9");
  await page.getByRole("img", { name: "A page of 4 down and 2 across; 3 taken, 5 to print on the first." }).waitFor();
  await action(page, "print").click();
  const paper = page.frameLocator("iframe[title='Labels to print']");
  await paper.locator("section").nth(1).waitFor({ state: "attached" });
  expect(await paper.locator("section").count()).toBe(2);
  expect(await paper.locator("img").count()).toBe(9);
  // The fourth place: second column, second row of 99 x 67 mm labels, centred on A4.
  expect(await paper.locator("img").first().getAttribute("style")).toContain("left:105mm;top:81.5mm;width:99mm;height:67mm");
  if (hasTools) {
    const file = await saved(page, () => action(page, "pdf").click());
    expect(execFileSync("pdfinfo", [file], { encoding: "utf8" })).toMatch(/Pages:\s+2[\s\S]*595\.2\d* x 841\.8\d* pts \(A4\)/);
    expect(execFileSync("pdftotext", [file, "-"], { encoding: "utf8" }).match(/^Ingredients:/gm)).toHaveLength(9);
  }
  expect(complaints).toEqual([]);
  await context.close();
});

it("tells a barcode's check digit, and never keeps half a number", async () => {
  const { page, context, complaints } = await visit(browser, sheetAddress(bakery.url, DEMO.ginger, "label"));
  const field = page.getByLabel("Your own number for the barcode");
  await field.fill("501234567890");
  await page.getByText("13 digits, of which the last checks the others; these are 12.").waitFor();
  await field.fill("5012345678901");
  await page.getByText("The last digit does not fit the twelve before it.").waitFor();
  await field.fill("501234 567890 0"); // published: GS1 UK's own example
  await page.waitForFunction(
    () => (document.querySelector<HTMLImageElement>(".label-paper img")?.src.match(/rect/g) ?? []).length > 30,
  );
  expect(await page.getByText("does not fit the twelve").count()).toBe(0);
  expect(complaints).toEqual([]);
  await context.close();
});

it("prints the label as it is shown, at true size, and says what can be done without the server", async () => {
  const { page, context, complaints } = await visit(browser, sheetAddress(bakery.url, DEMO.sandwich, "label"));
  await page
    .getByText(/x-height/)
    .first()
    .waitFor();
  if (hasTools) {
    const file = await saved(page, () => action(page, "pdf").click());
    const [, width, height] = /Page size:\s+([\d.]+) x ([\d.]+) pts/.exec(execFileSync("pdfinfo", [file], { encoding: "utf8" }))!;
    expect([Number(width) / (72 / 25.4), Number(height) / (72 / 25.4)].map((mm) => Math.round(mm * 10) / 10)).toEqual([100, 70]);
    expect(execFileSync("pdftotext", [file, "-"], { encoding: "utf8" })).toContain("pectins");
  }
  const svg = readFileSync(await saved(page, () => action(page, "drawing").click()), "utf8");
  expect(svg).toMatch(/^<svg [^>]*width="100mm" height="70mm"/);
  const html = readFileSync(await saved(page, () => action(page, "page").click()), "utf8");
  expect(html).toContain("&lt;b&gt;Millrace&lt;/b&gt;");
  await context.setOffline(true);
  await page.getByLabel("Instructions for use").fill("Take out half an hour before serving.");
  await action(page, "pdf").click();
  await page.getByText(/The PDF is made by the server, which cannot be reached\. Print makes the same label/).waitFor();
  await context.setOffline(false);
  await expect
    .poll(async () => (await kept("label")).find(({ body }) => body.formulaId === DEMO.sandwich)?.body, { timeout: 20_000 })
    .toMatchObject({ inputs: { instructions: "Take out half an hour before serving." } });
  expect(complaints.filter((one) => !/Failed to fetch|ERR_INTERNET/.test(one))).toEqual([]);
  await context.close();
});

it("makes a label in French from the baker's names, beside the British one", async () => {
  const { page, context, complaints } = await visit(browser, sheetAddress(bakery.url, DEMO.sandwich, "label"));
  await page.getByRole("button", { name: "Another label of this cake" }).click();
  await page.getByLabel("Label for").waitFor();
  await page.getByLabel("This label is called").fill("France");
  await page.getByLabel("By the rules of").selectOption("eu");
  await page.getByLabel("Language of the fixed words").selectOption("fr");
  await page.locator('[data-field="names"]').getByLabel("Double cream").fill("crème épaisse (lait)");
  await page.waitForFunction(() =>
    decodeURIComponent(document.querySelector<HTMLImageElement>(".label-paper img")?.src ?? "").includes("Ingrédients"),
  );
  expect(await drawn(page)).toMatch(/À consommer jusqu’au/);
  await missing(page)
    .getByText(/Not named in the language of the label/)
    .first()
    .waitFor();
  await page.getByText(/^kept \d/).waitFor();
  await expect
    .poll(async () => (await kept("label")).filter(({ body }) => body.formulaId === DEMO.sandwich).length, { timeout: 15_000 })
    .toBe(2);
  await page.getByLabel("Label for").selectOption({ label: "Great Britain" });
  await page.waitForFunction(() =>
    decodeURIComponent(document.querySelector<HTMLImageElement>(".label-paper img")?.src ?? "").includes("Ingredients:"),
  );
  expect(complaints).toEqual([]);
  await context.close();
});

it("moves what a device held before labels were shared, and loses none of it", async () => {
  const { page, context, complaints } = await visit(browser, `${bakery.url}/#/settings`);
  const lemon = "5a1d0001-0000-4000-8000-000000000002";
  await page.evaluate((id) => {
    const words = {
      mode: "distance",
      language: "en",
      description: "Held here",
      bakeDate: "2026-11-20",
      packs: "2",
      gtin: "50123",
      widthMm: "90",
      heightMm: "60",
      down: "1",
      across: "1",
      declared: [],
      packets: {},
    };
    localStorage.setItem(`evencrumb.label.${id}`, JSON.stringify(words));
    localStorage.setItem("evencrumb.label.place", '"eu"');
    localStorage.setItem("evencrumb.label.business", '{"name":"Another name","address":"2 Mill Lane"}');
  }, lemon);
  await page.goto(sheetAddress(bakery.url, lemon, "label"));
  await page.reload();
  await page.waitForFunction(() =>
    decodeURIComponent(document.querySelector<HTMLImageElement>(".label-paper img")?.src ?? "").includes("Held here"),
  );
  expect(await page.getByLabel("Your own number for the barcode").inputValue()).toBe("50123");
  expect(await page.getByLabel("By the rules of").inputValue()).toBe("eu");
  await expect
    .poll(async () => (await kept("label")).find(({ body }) => body.formulaId === lemon)?.body, { timeout: 15_000 })
    .toMatchObject({
      inputs: { mode: "distance", description: "Held here", packs: 2, bakeDate: "2026-11-20" },
      paper: { widthMm: 90, heightMm: 60 },
    });
  expect(await page.evaluate((id) => localStorage.getItem(`evencrumb.label.${id}`), lemon)).toBeNull();
  // The bakery has said who it is: this device's other name is offered, and not laid over it.
  await page.getByRole("button", { name: "Use Another name, 2 Mill Lane" }).click();
  await expect.poll(() => page.getByLabel("Business", { exact: true }).inputValue()).toBe("Another name");
  expect(complaints).toEqual([]);
  await context.close();
});

it.each([
  [1280, 800, "light"],
  [820, 1180, "dark"],
] as const)("fits %i × %i, %s, and axe finds nothing", async (width, height, theme) => {
  const { page, context } = await visit(browser, sheetAddress(bakery.url, DEMO.sandwich, "label"), { width, height, theme });
  await page
    .getByText(/x-height/)
    .first()
    .waitFor();
  await page.locator(".figures-from details").first().locator("summary").click();
  await page.getByText("Nutrition", { exact: true }).click();
  for (const place of ["gb", "us"] as const) {
    await page.getByLabel("By the rules of").selectOption(place);
    if (place === "us") {
      await page.getByText("Figures you had analysed", { exact: true }).click();
      await page.getByLabel("Raspberry jam: of its sugars, added, %").waitFor();
    }
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
    const { violations } = await new AxeBuilder({ page }).analyze();
    expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ target }) => target.join(" ")).join(" | ")}`)).toEqual([]);
  }
  await context.close();
});

it("writes a recipe up for the tins and measures a reader has, with a predicted time", async () => {
  const { page, context, complaints } = await visit(browser, sheetAddress(bakery.url, DEMO.sandwich, "writeup"));
  const paper = page.frameLocator(".paper-frame");
  await paper
    .getByText(/\d+ to \d+\smin\s\(predicted\)/)
    .first()
    .waitFor();
  await page.getByText("Bake times are predicted for a usual oven, not measured: the skewer decides.").waitFor();
  await page.getByLabel("How much").selectOption("tins");
  await page.getByLabel("Tins", { exact: true }).fill("1 round 25x7 cm");
  await paper
    .getByText(/25\sx\s7\scm\s\(10\sx\s/)
    .first()
    .waitFor();
  await page.getByLabel("In the reader's").selectOption("us");
  await page.getByLabel("Eggs", { exact: true }).selectOption("us medium");
  await paper.getByText(/Eggs: medium, US grades/).waitFor();
  await paper
    .getByText(/°F.*°C/)
    .first()
    .waitFor();
  await page.getByText(/up to 5 % is taken as the same cake/).waitFor();
  await page.getByLabel("Tins", { exact: true }).fill("three of something");
  await page.getByText(/^Expected /).waitFor();
  await page.getByLabel("How much").selectOption("portions");
  await page.getByLabel("Portions", { exact: true }).fill("24");
  await paper.getByText(/Makes\s24\sportions/).waitFor();
  await page.getByLabel("Written by").fill("</script><script>alert(1)</script>");
  if (hasTools) {
    const file = await saved(page, () => action(page, "pdf").click());
    const words = execFileSync("pdftotext", [file, "-"], { encoding: "utf8" });
    expect(words).toMatch(/Makes\s24\sportions/);
    expect(execFileSync("pdfinfo", [file], { encoding: "utf8" })).toMatch(/JavaScript:\s+no/);
  }
  await page.getByRole("radio", { name: "Plain text" }).check();
  await page
    .locator(".paper-text")
    .getByText(/Makes\s24\sportions/)
    .waitFor();
  await page.getByRole("radio", { name: "Recipe data (schema.org)" }).check();
  const data = JSON.parse((await page.locator(".paper-text").textContent()) ?? "") as Record<string, unknown>;
  expect(data).toMatchObject({ "@type": "Recipe", recipeYield: "24 portions" });
  // What one writes another reads: the data go into a new formula through the door of pasted lists.
  const file = await saved(page, () => action(page, "save").click());
  await page.goto(`${bakery.url}/#/`);
  await page.getByRole("button", { name: /paste/i }).first().click();
  const dialog = page.getByRole("dialog");
  await dialog.locator("input[type=file]").setInputFiles({
    name: "recipe.jsonld",
    mimeType: "application/ld+json",
    buffer: readFileSync(file),
  });
  await dialog.getByRole("button", { name: "Read it" }).click();
  await dialog.getByText(/\d+ understood/).waitFor();
  await dialog.getByRole("button", { name: "Back to the text" }).click();
  await dialog.getByLabel("The list").fill('{"@type": "Recipe", "name": "nothing in it"}');
  await dialog.getByRole("button", { name: "Read it" }).click();
  await dialog.getByText(/recipeIngredient/).waitFor();
  expect(complaints).toEqual([]);
  await context.close();
});

it("prints the allergens of everything with their date and revisions", async () => {
  const { page, context, complaints } = await visit(browser, `${bakery.url}/#/allergens`);
  await page
    .frameLocator(".paper-frame")
    .getByText(/revision \d/)
    .first()
    .waitFor();
  if (hasTools) {
    const file = await saved(page, () => action(page, "pdf").click());
    const words = execFileSync("pdftotext", ["-layout", file, "-"], { encoding: "utf8" });
    expect(words).toMatch(/\d{4}-\d{2}-\d{2}/);
    expect(words).toMatch(/revision \d+, \d{4}-\d{2}-\d{2}/);
    expect(words).toContain("Molluscs");
  }
  expect(complaints).toEqual([]);
  await context.close();
});

it.each([
  ["writeup", 820, 1180, "dark"],
  ["writeup", 1280, 800, "light"],
] as const)("fits a tablet and a laptop: %s at %i × %i", async (view, width, height, theme) => {
  const { page, context } = await visit(browser, sheetAddress(bakery.url, DEMO.ginger, view), { width, height, theme });
  await page.locator(".paper-frame").waitFor();
  await page.getByRole("radio", { name: "Markdown" }).check();
  await page.locator(".paper-text").waitFor();
  expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
  const { violations } = await new AxeBuilder({ page }).analyze();
  expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ target }) => target.join(" ")).join(" | ")}`)).toEqual([]);
  await context.close();
});
