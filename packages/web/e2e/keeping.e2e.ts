import { readFileSync } from "node:fs";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { cell, DEMO, open, openBrowser, type RunningBakery, sheetAddress, startBakery, visit } from "./support.js";

// Nothing that was typed is lost: not by a reload, not without a network, not when two devices keep at once.

let browser: Browser;
let bakery: RunningBakery;
beforeAll(async () => {
  [browser, bakery] = await Promise.all([openBrowser(), startBakery()]);
});
afterAll(async () => {
  await browser?.close();
  await bakery?.dispose();
});

it("keeps a half-typed cell and an entered one over a reload", async () => {
  const { page, context, complaints } = await visit(browser, sheetAddress(bakery.url, DEMO.ginger));
  await cell(page, 0, 0, 0, "grams").click();
  await page.keyboard.type("321");
  await page.keyboard.press("Enter");
  await expect.poll(() => cell(page, 0, 0, 0, "grams").textContent()).toBe("321");
  await page.keyboard.type("12"); // and no Enter
  await page.reload();
  await expect.poll(() => cell(page, 0, 0, 0, "grams").textContent()).toBe("321");
  expect(await cell(page, 0, 0, 1, "grams").locator("input").inputValue()).toBe("12");
  await page.keyboard.press("Escape");
  expect(complaints).toEqual([]);
  await context.close();
});

it("keeps a note that is being written over a reload", async () => {
  const { page, context } = await visit(browser, sheetAddress(bakery.url, DEMO.ginger));
  await cell(page, 0, 0, 1, "grams").click();
  await page.keyboard.type("99");
  await page.keyboard.press("Enter");
  await page.keyboard.press("Control+s");
  await page.getByRole("dialog").getByLabel("Note").fill("Less treacle, becau");
  await page.reload();
  expect(await page.getByRole("dialog").getByLabel("Note").inputValue()).toBe("Less treacle, becau");
  await page.getByRole("dialog").getByRole("button", { name: "Cancel" }).click();
  await page.reload();
  await cell(page, 0, 0, 1, "grams").waitFor();
  expect(await page.getByRole("dialog").count()).toBe(0);
  await context.close();
});

it("puts a formula away and brings it back", async () => {
  const { page, context } = await visit(browser, sheetAddress(bakery.url, DEMO.ginger));
  await page.getByRole("button", { name: "More", exact: true }).click();
  await page.getByRole("menuitem", { name: "Put away" }).click();
  await page.getByRole("link", { name: /Raspberry sandwich/ }).waitFor();
  await expect.poll(() => page.getByRole("link", { name: /Ginger slab/ }).count()).toBe(0);
  await expect.poll(() => page.locator(".kept").textContent()).toMatch(/kept \d/);
  await page.getByRole("button", { name: "Show what was put away" }).click();
  await page.getByRole("button", { name: "Bring back Ginger slab" }).click();
  await page.getByRole("link", { name: /Ginger slab/ }).waitFor();
  await context.close();
});

it("saves a formula as a file and opens it again, and refuses a broken one with its place", async () => {
  const { page, context, complaints } = await visit(browser, sheetAddress(bakery.url, DEMO.cupCakes));
  await page.getByRole("button", { name: "More", exact: true }).click();
  const [saved] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("menuitem", { name: "Save as a file" }).click(),
  ]);
  expect(saved.suggestedFilename()).toBe("Vanilla cup cakes.yaml");
  const text = readFileSync(await saved.path(), "utf8");
  await open(page, `${bakery.url}/#/`);
  const picker = page.locator('input[type="file"]');
  await picker.setInputFiles({
    name: "broken.yaml",
    mimeType: "application/yaml",
    buffer: Buffer.from(text.replace(/grams: \d+/, "grams: plenty")),
  });
  await page.getByText(/Line \d+, column \d+: Expected a weight/).waitFor();
  await page.getByRole("button", { name: "Close" }).click();
  await picker.setInputFiles({ name: "cup cakes.yaml", mimeType: "application/yaml", buffer: Buffer.from(text) });
  await page.getByText("From the file cup cakes.yaml.").waitFor();
  expect(await cell(page, 0, 0, 0, "grams").textContent()).toMatch(/^1\d\d/);
  expect(complaints).toEqual([]);
  await context.close();
});

it("takes a number that is none back to the baker, with what to do, and keeps the words", async () => {
  const { page, context } = await visit(browser, sheetAddress(bakery.url, DEMO.ginger));
  const grams = cell(page, 0, 0, 1, "grams");
  await grams.click();
  await page.keyboard.type("25O");
  await page.keyboard.press("Enter");
  await page.getByRole("alert").waitFor();
  expect(await page.getByRole("alert").textContent()).toMatch(/zero/i);
  expect(await grams.locator("input").inputValue()).toBe("25O");
  await page.keyboard.press("Escape");
  await context.close();
});

it("works at the bench with the network gone and the server stopped, and sends what was changed afterwards", async () => {
  const { page, context, complaints } = await visit(browser, bakery.url, { serviceWorker: true, width: 820, height: 1180 });
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null, undefined, { timeout: 20_000 });
  await open(page, sheetAddress(bakery.url, DEMO.cupCakes));
  await cell(page, 0, 0, 0, "grams").waitFor();
  await page.waitForTimeout(300);

  await bakery.stop();
  await context.setOffline(true);
  await page.reload();
  await cell(page, 0, 0, 0, "grams").waitFor();
  await cell(page, 0, 0, 0, "grams").click();
  await page.keyboard.type("155");
  await page.keyboard.press("Enter");
  await page.getByText(/kept on this device, 1 change to send/).waitFor();

  await page.getByRole("button", { name: "Batch sheet" }).click();
  await page.getByRole("checkbox").first().check();
  await page.getByLabel("What happened").fill("The oven ran cool.");
  await page.reload();
  await page.getByText("1 of").waitFor();
  expect(await page.getByRole("checkbox").first().isChecked()).toBe(true);
  expect(await page.getByLabel("What happened").inputValue()).toBe("The oven ran cool.");
  expect(await page.locator(".batch-grams").first().textContent()).toBe("155 g");

  await bakery.start();
  await context.setOffline(false);
  await expect.poll(async () => page.locator(".kept").textContent(), { timeout: 20_000 }).toMatch(/^kept \d/);
  const answer = await fetch(`${bakery.url}/api/documents/${DEMO.cupCakes}`);
  const { drafts } = (await answer.json()) as { drafts: readonly unknown[] };
  expect(drafts).toHaveLength(1);
  expect(complaints).toEqual([]);
  await context.close();
});

it("keeps both when two devices keep the same formula, and tells the second", async () => {
  const first = await visit(browser, sheetAddress(bakery.url, DEMO.sandwich));
  const second = await visit(browser, sheetAddress(bakery.url, DEMO.sandwich));
  const change = async (page: typeof first.page, grams: string, note: string) => {
    await cell(page, 0, 0, 2, "grams").click();
    await page.keyboard.type(grams);
    await page.keyboard.press("Enter");
    await page.keyboard.press("Control+s");
    await page.getByRole("dialog").getByLabel("Note").fill(note);
  };
  // The second has typed its note before it hears of the first.
  await change(second.page, "190", "Sweet enough.");
  await change(first.page, "210", "Sweeter.");
  await first.page.getByRole("dialog").getByRole("button", { name: "Keep" }).click();
  await first.page.getByRole("button", { name: /^Revision 4/ }).waitFor();
  await second.page.getByRole("dialog").getByRole("button", { name: "Keep" }).click();
  await second.page.getByRole("button", { name: /^Revision 5/ }).waitFor();
  const notice = second.page.getByRole("alert");
  await notice.waitFor();
  expect(await notice.textContent()).toMatch(/revision 4.*kept beside it as 5/s);
  expect(await cell(second.page, 0, 0, 2, "grams").textContent()).toBe("190");
  await notice.getByRole("button", { name: "Show the difference" }).click();
  await second.page.getByText(/Caster sugar: 210 g to 190 g/).waitFor();
  // The first hears of it without a reload.
  await first.page.getByRole("button", { name: /^Revision 5/ }).waitFor();
  expect([...first.complaints, ...second.complaints]).toEqual([]);
  await first.context.close();
  await second.context.close();
});

it("removes the demo with one click, but not what was worked on", async () => {
  const { page, context } = await visit(browser, `${bakery.url}/#/settings`);
  await page.getByRole("button", { name: "Remove the demo" }).click();
  await page.getByText("The demo is removed.").waitFor();
  await open(page, `${bakery.url}/#/`);
  await page.getByRole("link", { name: /Raspberry sandwich/ }).waitFor();
  await expect.poll(() => page.locator(".formula-list li").count()).toBeLessThan(10);
  await context.close();
});
