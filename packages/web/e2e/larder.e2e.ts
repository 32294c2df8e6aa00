import { readFileSync } from "node:fs";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { cell, DEMO, open, openBrowser, type RunningBakery, sheetAddress, startBakery, visit } from "./support.js";

// What the baker brings: ingredients, prices, tins, a backup.

let browser: Browser;
let bakery: RunningBakery;
beforeAll(async () => {
  [browser, bakery] = await Promise.all([openBrowser(), startBakery()]);
});
afterAll(async () => {
  await browser?.close();
  await bakery?.dispose();
});

it("adds an ingredient from its packet, and a formula uses it with its allergens", async () => {
  const { page, context, complaints } = await visit(browser, `${bakery.url}/#/ingredients`);
  await page.getByRole("button", { name: "Add one from its packet" }).click();
  const dialog = page.getByRole("dialog");
  await dialog.getByLabel("Name").fill("Millrace hazelnut paste");
  await dialog.getByLabel("In a cake it is").selectOption("nut");
  // Invented figures whose energy agrees with the factors of Annex XIV of Regulation (EU) 1169/2011.
  for (const [label, value] of [
    ["Energy, kJ", "2666"],
    ["Energy, kcal", "643"],
    ["Fat", "55"],
    ["of which saturates", "4.2"],
    ["Carbohydrate", "18"],
    ["of which sugars", "16"],
    ["Fibre", "7"],
    ["Protein", "15.5"],
    ["Salt", "0.02"],
  ] as const)
    await dialog.getByLabel(label, { exact: true }).fill(value);
  await dialog.getByRole("group", { name: "Contains", exact: true }).getByLabel("hazelnut").check();
  await dialog.getByRole("button", { name: "Done" }).click();
  await page.getByRole("heading", { name: "Millrace hazelnut paste" }).waitFor();
  await page.getByText("Contains nuts (hazelnut).").waitFor();
  // What the packet does not say is not known, and not nothing.
  expect(await page.getByRole("row", { name: /^starch/ }).textContent()).toContain("not known");

  await open(page, sheetAddress(bakery.url, DEMO.cupCakes));
  await cell(page, 1, 0, 0, "name").click();
  await page.keyboard.type("millrace haz");
  await page.keyboard.press("Enter");
  await expect.poll(() => cell(page, 1, 0, 0, "name").textContent()).toBe("Millrace hazelnut paste");
  await page.getByRole("complementary").getByText("nuts (hazelnut)").waitFor();
  expect(complaints).toEqual([]);
  await context.close();
});

it("makes an ingredient from others, with their allergens, and says what cannot be", async () => {
  const { page, context } = await visit(browser, `${bakery.url}/#/ingredients`);
  await page.getByRole("button", { name: "Make one from others" }).click();
  const dialog = page.getByRole("dialog");
  await dialog.getByLabel("Name").fill("House curd");
  await dialog.getByLabel("Ingredient", { exact: true }).fill("Unsalted butter");
  await dialog.getByLabel("Grams of Unsalted butter").fill("100");
  await dialog.getByRole("button", { name: "Add a part" }).click();
  await dialog.getByLabel("Ingredient", { exact: true }).last().fill("Moonbeams");
  await dialog.getByLabel("Grams of Moonbeams").fill("10");
  await dialog.getByRole("button", { name: "Done" }).click();
  await dialog.getByRole("alert").waitFor();
  expect(await dialog.getByRole("alert").textContent()).toContain("Moonbeams");
  await dialog.getByLabel("Ingredient", { exact: true }).last().fill("Lemon juice");
  await dialog.getByText("Contains milk, from its parts.").waitFor();
  await dialog.getByRole("button", { name: "Done" }).click();
  await page.getByRole("heading", { name: "Made from" }).waitFor();
  await context.close();
});

it("keeps what a pack costs", async () => {
  const { page, context } = await visit(browser, `${bakery.url}/#/ingredients/caster-sugar`);
  await page.getByRole("button", { name: "Add a price" }).click();
  await page.getByLabel("Weight of the pack").fill("5 kg");
  await page.getByRole("button", { name: "Write it down" }).click();
  await page.getByText("Type a price such as 2.35 (GBP).").waitFor();
  await page.getByLabel("Price of the pack, GBP").fill("6.40");
  await page.getByRole("button", { name: "Write it down" }).click();
  await page.getByText("5 kg for £6.40").waitFor();
  await page.getByRole("cell", { name: "£1.28 a kg" }).waitFor();
  await page.reload();
  await page.getByText("5 kg for £6.40").waitFor();
  await context.close();
});

it("adds a tin, refuses what is none, and scales to it by its name", async () => {
  const { page, context } = await visit(browser, `${bakery.url}/#/tins`);
  await page.getByRole("button", { name: "Add a tin" }).click();
  const dialog = page.getByRole("dialog");
  await dialog.getByLabel("Name").fill("Heart of the shop");
  await dialog.getByLabel("Shape and inner size").fill("a heart");
  await dialog.getByText(/Expected a tin such as/).waitFor();
  await dialog.getByLabel("Shape and inner size").fill("round 15x7 cm");
  await dialog.getByLabel("Water it holds, ml").fill("1180");
  await dialog.getByRole("button", { name: "Done" }).click();
  await page.getByText("holds 1.18 l, measured").waitFor();
  await open(page, sheetAddress(bakery.url, DEMO.sandwich, "scale"));
  await page.getByRole("button", { name: /Heart of the shop/ }).click();
  await page.locator(".scaled-tins").getByText("Heart of the shop").waitFor();
  await context.close();
});

it("gives back from a backup what was there", async () => {
  const { page, context } = await visit(browser, `${bakery.url}/#/settings`);
  const [saved] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("link", { name: "Download a backup" }).click(),
  ]);
  const archive = readFileSync(await saved.path());
  await open(page, sheetAddress(bakery.url, DEMO.sandwich));
  await cell(page, 0, 0, 0, "grams").click();
  await page.keyboard.type("1");
  await page.keyboard.press("Enter");
  await page.keyboard.press("Control+s");
  await page.getByRole("dialog").getByRole("button", { name: "Keep" }).click();
  await expect.poll(() => page.locator(".kept").textContent()).toMatch(/kept \d/);
  await open(page, `${bakery.url}/#/settings`);
  await page
    .locator('input[type="file"]')
    .setInputFiles({ name: "bakery.evencrumb", mimeType: "application/gzip", buffer: archive });
  await page.getByRole("dialog").getByRole("button", { name: "Restore" }).click();
  await page.getByText("The backup is restored.").waitFor();
  await open(page, sheetAddress(bakery.url, DEMO.sandwich));
  await expect.poll(() => cell(page, 0, 0, 0, "grams").textContent()).toBe("135");
  expect(await page.locator(".knot").count()).toBe(3);
  // And a file that is none is refused in words.
  await open(page, `${bakery.url}/#/settings`);
  await page
    .locator('input[type="file"]')
    .setInputFiles({ name: "cake.gz", mimeType: "application/gzip", buffer: Buffer.from("not a backup") });
  await page.getByRole("dialog").getByRole("button", { name: "Restore" }).click();
  await expect.poll(() => page.locator(".said").textContent()).not.toMatch(/^(Restoring…|The backup is restored\.)?$/);
  await context.close();
});

it("is chosen by a first tap and opened by a second", async () => {
  const { page, context } = await visit(browser, sheetAddress(bakery.url, DEMO.ginger), {
    width: 820,
    height: 1180,
    touch: true,
  });
  const grams = cell(page, 0, 0, 0, "grams");
  await grams.tap();
  expect(await grams.locator("input").count()).toBe(0);
  await grams.tap();
  await grams.locator("input").fill("77");
  await page.keyboard.press("Enter");
  await expect.poll(() => grams.textContent()).toBe("77");
  await context.close();
});
