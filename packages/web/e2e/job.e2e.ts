import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { cell, openBrowser, type RunningBakery, startBakery, visit } from "./support.js";

// The main job from end to end, with the real server: a pasted list becomes a formula, a percent, a revision, a batch.

let browser: Browser;
let bakery: RunningBakery;
beforeAll(async () => {
  [browser, bakery] = await Promise.all([openBrowser(), startBakery({ demo: false })]);
});
afterAll(async () => {
  await browser?.close();
  await bakery?.dispose();
});

const LIST = `Lemon sponge
225 g butter, soft
8 oz caster sugar
4 large eggs
225g self-raising flour, sifted
a handful of moonbeams

Syrup
juice of 1 lemon
60 g icing sugar`;

it("takes a pasted list to a batch sheet", async () => {
  const { page, complaints } = await visit(browser, bakery.url);
  await page.getByText("There are no formulas yet").waitFor();

  // Paste and settle.
  await page.getByRole("button", { name: "Paste a list" }).click();
  await page.getByLabel("The list").fill(LIST);
  await page.getByRole("button", { name: "Read it" }).click();
  const moonbeams = page.locator(".read-line", { hasText: "moonbeams" });
  await moonbeams.waitFor();
  expect(await moonbeams.getAttribute("data-status")).not.toBe("understood");
  await moonbeams.getByRole("button", { name: "Leave out" }).click();
  for (let left = 10; left > 0; left--) {
    const open = page.locator('.read-line[data-status="doubtful"], .read-line[data-status="not-understood"]').first();
    if ((await open.count()) === 0) break;
    const choices = open.getByRole("radio");
    if ((await choices.count()) > 0) await choices.first().click();
    else await open.getByRole("button", { name: "Leave out" }).click();
  }
  await page.getByRole("button", { name: "Make the formula" }).click();

  // The sheet: grams by keyboard, undo, percent.
  const butter = cell(page, 0, 0, 0, "grams");
  await butter.waitFor();
  expect(await butter.textContent()).toBe("225");
  await butter.click();
  await page.keyboard.type("250");
  await page.keyboard.press("Enter");
  await expect.poll(() => butter.textContent()).toBe("250");
  expect(await page.evaluate(() => document.activeElement?.getAttribute("data-cell"))).toBe("cell-0-0-1-grams");
  await page.keyboard.press("Control+z");
  await expect.poll(() => butter.textContent()).toBe("225");
  await page.keyboard.press("Control+y");
  await expect.poll(() => butter.textContent()).toBe("250");

  await cell(page, 0, 0, 0, "percent").click();
  await page.keyboard.type("25");
  await page.keyboard.press("Enter");
  await expect.poll(() => cell(page, 0, 0, 0, "percent").textContent()).toBe("25.0");

  // A revision with a note, and the comparison with the first.
  await page.keyboard.press("Control+s");
  const keeping = page.getByRole("dialog");
  await keeping.getByLabel("Note").fill("A little more butter.");
  await keeping.getByRole("button", { name: "Keep" }).click();
  await page.getByRole("button", { name: /^Revision 2/ }).waitFor();
  await page.locator(".knot").first().click();
  await page.getByRole("menuitem", { name: "Compare with this" }).click();
  await page.getByText("Compared with 1").waitFor();
  expect(await cell(page, 0, 0, 0, "grams").textContent()).toMatch(/\+\d/);
  expect(await page.locator(".bar-figures .difference").count()).toBeGreaterThan(3);

  await page.locator(".knot").first().click();
  await page.getByRole("menuitem", { name: "Side by side with the sheet" }).click();
  await page.getByRole("heading", { name: "Side by side" }).waitFor();
  await page.getByText(/butter: 225 g to/).waitFor();
  await page.goBack();

  // To the tins, and to the bench.
  await page.getByRole("button", { name: "Scale" }).click();
  await page.getByLabel("Tins", { exact: true }).last().fill("2 round 18x7 cm");
  await page.getByText("2 × round 18x7 cm").first().waitFor();
  const factor = Number(await page.locator(".factor strong").textContent());
  expect(factor).toBeGreaterThan(0.2);
  expect(await page.locator(".scaled-tins svg").count()).toBe(1);
  await page.getByRole("button", { name: "Batch sheet for this" }).click();
  await page.getByRole("region", { name: "Allergens" }).getByText("eggs").waitFor();
  await page.getByRole("checkbox").first().check();
  await page.getByText("1 of").waitFor();
  await page.reload();
  await page.getByText("1 of").waitFor();
  expect(await page.getByRole("checkbox").first().isChecked()).toBe(true);

  // The PDF comes from the server.
  const [file] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save as PDF" }).click()]);
  expect(file.suggestedFilename()).toMatch(/batch sheet\.pdf$/);

  expect(complaints).toEqual([]);
});
