import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { cell, DEMO, openBrowser, type RunningBakery, sheetAddress, startBakery, visit } from "./support.js";

// The sheet without a pointer: everything can be reached, entered, moved, copied, and left again.

let browser: Browser;
let bakery: RunningBakery;
beforeAll(async () => {
  [browser, bakery] = await Promise.all([openBrowser(), startBakery()]);
});
afterAll(async () => {
  await browser?.close();
  await bakery?.dispose();
});

const focused = (page: Page) =>
  page.evaluate(() => document.activeElement?.getAttribute("data-cell") ?? document.activeElement?.textContent);
const press = async (page: Page, ...keys: readonly string[]) => {
  for (const key of keys) await page.keyboard.press(key);
};

it("makes a formula with nothing but keys", async () => {
  const { page, context, complaints } = await visit(browser, bakery.url);
  await page.getByRole("button", { name: "New formula" }).focus();
  await press(page, "Enter");
  await page.getByRole("grid").waitFor();
  const name = cell(page, 0, "", "", "name");
  await name.focus();
  await press(page, "F2");
  await page.keyboard.type("Shortbread");
  await press(page, "Enter", "ArrowDown");
  expect(await focused(page)).toBe("cell-0-0-0-name");
  // A name half typed, taken from the list; then its weight.
  for (const [words, grams] of [
    ["butter", "200"],
    ["caster sug", "100"],
    ["plain flo", "300 g"],
    ["yuzu kosho", "5"],
  ] as const) {
    await page.keyboard.type(words);
    await press(page, "Enter");
    await page.keyboard.type(grams);
    await press(page, "Enter");
  }
  expect(await name.textContent()).toBe("Shortbread");
  expect(await cell(page, 0, 0, 1, "name").textContent()).toBe("Caster sugar");
  expect(await cell(page, 0, 0, 2, "grams").textContent()).toBe("300");
  // What is not known is kept as it was typed, and says what to do.
  expect(await cell(page, 0, 0, 3, "name").textContent()).toContain("yuzu kosho");
  expect(await cell(page, 0, 0, 3, "name").textContent()).toContain("not among the ingredients");
  await page.getByText("Not known of: yuzu kosho").waitFor();

  // Emptied, a weight is said to be missing and is not zero.
  await cell(page, 0, 0, 3, "grams").focus();
  await press(page, "Delete");
  expect(await cell(page, 0, 0, 3, "grams").textContent()).toBe("not weighed");
  await page.getByText("without 1 line that is not weighed").waitFor();

  // Lines move, and an undo brings them back.
  await cell(page, 0, 0, 2, "name").focus();
  await press(page, "Alt+ArrowUp");
  expect(await cell(page, 0, 0, 1, "name").textContent()).toBe("Plain flour");
  expect(await focused(page)).toBe("cell-0-0-1-name");
  await press(page, "Control+z");
  expect(await cell(page, 0, 0, 1, "name").textContent()).toBe("Caster sugar");
  await cell(page, 0, 0, 3, "name").focus();
  await press(page, "Control+Delete");
  await expect.poll(() => page.locator("tr.use").count()).toBe(3);
  expect(complaints).toEqual([]);
  await context.close();
});

it("selects, copies and pastes cells, and clears them", async () => {
  const { page, context } = await visit(browser, sheetAddress(bakery.url, DEMO.ginger));
  const grams = (use: number) => cell(page, 0, 0, use, "grams");
  await grams(0).focus();
  const before = [await grams(0).textContent(), await grams(1).textContent()];
  await press(page, "Shift+ArrowDown", "Control+c");
  expect(await page.evaluate(() => navigator.clipboard.readText())).toBe(before.join("\n"));
  await page.evaluate(() => navigator.clipboard.writeText("11\n22"));
  await grams(0).focus();
  await press(page, "Control+v");
  await expect.poll(() => grams(0).textContent()).toBe("11");
  expect(await grams(1).textContent()).toBe("22");
  await press(page, "Control+z");
  expect([await grams(0).textContent(), await grams(1).textContent()]).toEqual(before);
  await press(page, "Shift+ArrowDown", "Delete");
  expect(await grams(1).textContent()).toBe("not weighed");
  await press(page, "Control+z");
  await context.close();
});

it("walks by Tab and lets go of the reader again", async () => {
  const { page, context } = await visit(browser, sheetAddress(bakery.url, DEMO.ginger));
  await cell(page, 0, 0, 0, "name").focus();
  await press(page, "Tab", "Tab");
  expect(await focused(page)).toBe("cell-0-0-0-grams");
  await press(page, "Shift+Tab");
  expect(await focused(page)).toBe("cell-0-0-0-note");
  await press(page, "Escape", "Tab");
  expect(await focused(page)).not.toMatch(/^cell-/);
  expect(await page.evaluate(() => document.querySelector(".margin")?.contains(document.activeElement))).toBe(true);
  await context.close();
});

it("splits an ingredient over stages from the menu, and keeps its total", async () => {
  const { page, context } = await visit(browser, sheetAddress(bakery.url, DEMO.sandwich));
  await cell(page, 0, 0, 2, "grams").focus();
  await press(page, "ContextMenu");
  await page.getByRole("menuitem", { name: "Split over stages…" }).waitFor();
  await press(page, "Enter");
  const dialog = page.getByRole("dialog", { name: "Split Caster sugar" });
  await dialog.getByLabel("Cream").fill("75");
  await dialog.getByLabel("Egg").fill("25");
  await dialog.getByRole("button", { name: "Split" }).click();
  await expect.poll(() => cell(page, 0, 1, 1, "name").textContent()).toBe("Caster sugar");
  const grams = await Promise.all([cell(page, 0, 0, 2, "grams").textContent(), cell(page, 0, 1, 1, "grams").textContent()]);
  // 198 g in quarters is 148.5 and 49.5: shown as a scale can weigh them, and still 198 together.
  expect(Number(grams[0]) + Number(grams[1])).toBe(198);
  await context.close();
});

it("holds the focus in a dialogue and gives it back", async () => {
  const { page, context } = await visit(browser, sheetAddress(bakery.url, DEMO.sandwich));
  const targets = cell(page, 0, 0, "", "note");
  await targets.focus();
  await press(page, "Enter");
  const dialog = page.getByRole("dialog");
  await dialog.waitFor();
  for (let step = 0; step < 14; step++) await press(page, "Tab");
  expect(
    await page.evaluate(
      () => document.activeElement === document.body || document.querySelector("dialog")?.contains(document.activeElement),
    ),
  ).toBe(true);
  await press(page, "Escape");
  await expect.poll(() => dialog.count()).toBe(0);
  expect(await focused(page)).toBe("cell-0-0--note");
  await context.close();
});

it("keeps still for those who ask for less motion", async () => {
  const { page, context } = await visit(browser, sheetAddress(bakery.url, DEMO.sandwich));
  await page.emulateMedia({ reducedMotion: "reduce" });
  await page.getByRole("button", { name: "Scale" }).waitFor();
  expect(await page.evaluate(() => getComputedStyle(document.querySelector(".button")!).transitionDuration)).toBe("0s");
  await context.close();
});
