import AxeBuilder from "@axe-core/playwright";
import type { Browser } from "playwright-core";
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

it("writes the recipe up in the reader's own measures", async () => {
  const { page, context, complaints } = await visit(browser, sheetAddress(bakery.url, DEMO.cupCakes, "writeup"));
  await page.getByLabel("In the reader's").selectOption("us");
  await page.frameLocator(".paper-frame").getByText(/cup/).first().waitFor();
  expect(complaints).toEqual([]);
  await context.close();
});

it("puts a measured water activity in place of the estimate", async () => {
  const { page, context, complaints } = await visit(browser, sheetAddress(bakery.url, DEMO.sandwich, "keep"));
  await page.getByLabel("measured water activity").first().fill("0.84");
  await page
    .getByText(/0\.84.*measured/)
    .first()
    .waitFor();
  await page.getByLabel("baked on").fill("2026-11-25");
  await page.getByText("26 Nov").first().waitFor();
  expect(complaints).toEqual([]);
  await context.close();
});

it("shows which products gain an allergen before a changed ingredient is saved", async () => {
  const { page, context, complaints } = await visit(browser, `${bakery.url}/#/ingredients`);
  await page.getByRole("button", { name: "Add one from its packet" }).click();
  const dialog = page.getByRole("dialog");
  await dialog.getByLabel("Name").fill("Test crumbs");
  for (const [field, value] of [
    ["Fat", "10"],
    ["of which saturates", "2"],
    ["Carbohydrate", "60"],
    ["of which sugars", "5"],
    ["Protein", "8"],
    ["Salt", "1"],
  ] as const)
    await dialog.getByLabel(field, { exact: true }).fill(value);
  await dialog.getByRole("button", { name: "Done" }).click();
  await page.getByRole("heading", { name: "Test crumbs" }).waitFor();
  // A formula that uses it, made through the same door as the app's own.
  const ingredient = decodeURIComponent(/#\/ingredients\/([^?]+)/.exec(page.url())?.[1] ?? "");
  const formula = {
    name: "Crumb bar",
    components: [{ name: "Bar", kind: "other", stages: [{ name: "Mix", uses: [{ ingredient, grams: 100 }] }] }],
  };
  const made = await page.evaluate(
    async (body) =>
      (await fetch("/api/documents", { method: "POST", headers: { "content-type": "application/json" }, body })).status,
    JSON.stringify({ kind: "formula", body: formula, note: "", device: "test" }),
  );
  expect(made).toBe(201);
  await page.reload();
  await page.getByRole("button", { name: "Change its figures" }).click();
  await page
    .getByRole("dialog")
    .getByLabel(/sesame/i)
    .first()
    .check();
  await page
    .getByRole("dialog")
    .getByText(/Crumb bar gains sesame/)
    .waitFor();
  expect(complaints).toEqual([]);
  await context.close();
});

it.each([
  ["the write-up", (url: string) => sheetAddress(url, DEMO.sandwich, "writeup")],
  ["the allergens of everything", (url: string) => `${url}/#/allergens`],
])("makes a page of paper that axe finds nothing in: %s", async (_name, address) => {
  const { page, context } = await visit(browser, address(bakery.url));
  const paper = await page.locator(".paper-frame").getAttribute("srcdoc");
  const alone = await context.newPage();
  await alone.setContent(paper ?? "");
  const { violations } = await new AxeBuilder({ page: alone }).analyze();
  expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ target }) => target.join(" ")).join(" | ")}`)).toEqual([]);
  expect(paper?.length).toBeGreaterThan(2000);
  await context.close();
});
