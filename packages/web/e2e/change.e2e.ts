import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import AxeBuilder from "@axe-core/playwright";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { cell, DEMO, open, openBrowser, ROOT, type RunningBakery, sheetAddress, startBakery, visit } from "./support.js";

// A change and what follows from it: a swap that holds what must hold, a conflict in words, two revisions side by side, and
// the cake as it stands on the board. With EVENCRUMB_PICTURES=1 the picture of the guide is taken anew.

let browser: Browser;
let bakery: RunningBakery;
beforeAll(async () => {
  [browser, bakery] = await Promise.all([openBrowser(), startBakery()]);
});
afterAll(async () => {
  await browser?.close();
  await bakery?.dispose();
});

const answerOf = (page: Page) => page.getByRole("region", { name: "The answer" });
const answered = (page: Page) => page.locator('.rebalance-answer[aria-busy="false"]').waitFor();
const thenGrams = async (page: Page, name: string) =>
  Number(
    await answerOf(page)
      .getByRole("row", { name: new RegExp(`^${name}`) })
      .locator("td")
      .nth(1)
      .textContent(),
  );
const outcome = async (page: Page, words: string) => {
  const cells = answerOf(page)
    .getByRole("row", { name: new RegExp(`^${words}`) })
    .locator("td");
  return { now: Number(await cells.nth(0).textContent()), after: Number(await cells.nth(1).textContent()) };
};

async function swapButterForOil(page: Page, url: string): Promise<void> {
  await open(page, sheetAddress(url, DEMO.sandwich, "rebalance"));
  await page.getByRole("button", { name: "Unsalted butter to Sunflower oil" }).click();
  await page.getByRole("button", { name: "Put this in the sheet" }).waitFor();
  await answered(page);
}

it("swaps butter for oil with fat, water and weight held, in one edit that can be undone", async () => {
  const { page, context, complaints } = await visit(browser, sheetAddress(bakery.url, DEMO.sandwich));
  await cell(page, 0, 0, 0, "grams").waitFor();
  await swapButterForOil(page, bakery.url);
  // By hand from the composition table: 135 g of butter carry about 111 g of fat and 20 g of water.
  const oil = await thenGrams(page, "Sunflower oil");
  expect(oil).toBeGreaterThanOrEqual(184);
  expect(oil).toBeLessThanOrEqual(187);
  expect(await thenGrams(page, "Unsalted butter")).toBe(0);
  const water = await thenGrams(page, "Water");
  expect(water).toBeGreaterThanOrEqual(18);
  expect(water).toBeLessThanOrEqual(22);
  for (const [words, miss] of [
    ["keep the total weight", 0.05],
    ["keep the fat", 0.6],
    ["keep the water", 0.6],
  ] as const) {
    const { now, after } = await outcome(page, words);
    expect(Math.abs(after - now), words).toBeLessThanOrEqual(miss);
  }

  await page.getByRole("button", { name: "Put this in the sheet" }).click();
  await expect.poll(() => cell(page, 0, 0, 0, "name").textContent()).toContain("Sunflower oil");
  // Beside the weight stands how it differs, once the revision it is compared with is there.
  await expect.poll(() => cell(page, 0, 0, 0, "grams").textContent()).toBe(`${oil}+${oil - 74}`);
  await page.keyboard.press("Control+z");
  await expect.poll(() => cell(page, 0, 0, 0, "name").textContent()).toContain("Unsalted butter");
  await expect.poll(() => cell(page, 0, 0, 0, "grams").textContent()).toBe("135");
  expect(complaints).toEqual([]);
  await context.close();
});

it("says in words which demands cannot hold together, and answers again when one is dropped", async () => {
  const { page, context, complaints } = await visit(browser, sheetAddress(bakery.url, DEMO.sandwich, "rebalance"));
  await page.getByRole("checkbox", { name: "milk", exact: true }).check();
  await page.getByRole("checkbox", { name: "Keep Unsalted butter at 135 g" }).check();
  await page.getByRole("heading", { name: "These cannot all hold" }).waitFor();
  const words = await page.locator(".conflict li").allTextContents();
  expect(words.toSorted()).toEqual(["keep Unsalted butter at 135 g", "no milk"]);
  expect(await page.getByRole("button", { name: "Put this in the sheet" }).count()).toBe(0);
  // With nothing else to bring fat and water, all that is left is oil and water for butter and milk.
  await page.getByRole("checkbox", { name: "Keep Unsalted butter at 135 g" }).uncheck();
  await page.getByRole("button", { name: "add an ingredient" }).click();
  await page.getByRole("combobox", { name: "add an ingredient" }).fill("qqqq");
  await page.keyboard.press("Enter");
  expect(await page.getByRole("alert").textContent()).toContain('"qqqq" is not in your ingredients');
  await page.getByRole("combobox", { name: "add an ingredient" }).fill("water");
  await page.getByRole("option", { name: "Water", exact: true }).first().click();
  await page.getByRole("button", { name: "Put this in the sheet" }).waitFor();
  expect(await thenGrams(page, "Unsalted butter")).toBe(0);
  expect(await thenGrams(page, "Whole milk")).toBe(0);
  expect(complaints).toEqual([]);
  await context.close();
});

it("keeps a limit on what is no straight sum, and whole eggs", async () => {
  const { page, context, complaints } = await visit(browser, sheetAddress(bakery.url, DEMO.sandwich, "rebalance"));
  for (const held of ["total weight", "fat", "water"]) {
    const box = page.getByRole("checkbox", { name: held, exact: true });
    if (held !== "total weight") await box.uncheck();
  }
  await page.getByRole("button", { name: "add a limit" }).click();
  await page.getByLabel("What is limited").selectOption({ label: "water activity" });
  await page.getByLabel("The figure").fill("0,85");
  await page.getByRole("button", { name: "Put this in the sheet" }).waitFor();
  await answered(page);
  const { now, after } = await outcome(page, "water activity at most 0.85");
  expect(now).toBeGreaterThan(0.85);
  expect(after).toBeLessThanOrEqual(0.85);
  await page.getByRole("checkbox", { name: "whole ones only" }).check();
  const each = Number(await page.locator(".means .limit-figure").inputValue());
  await expect.poll(async () => (await thenGrams(page, "Whole egg")) % each).toBe(0);
  await page.getByLabel("The figure").fill("a lot");
  await page.getByText("water activity: type a number from 0 to 1.").waitFor();
  expect(complaints).toEqual([]);
  await context.close();
});

it("keeps the answer as a revision, with what was done already written down", async () => {
  // A bakery of its own: a kept revision would be the next test's formula.
  const own = await startBakery();
  const { page, context, complaints } = await visit(browser, sheetAddress(own.url, DEMO.sandwich));
  await cell(page, 0, 0, 0, "grams").waitFor();
  await swapButterForOil(page, own.url);
  await page.getByRole("button", { name: "Keep as a revision" }).click();
  const dialog = page.getByRole("dialog");
  expect(await dialog.getByLabel("Note").inputValue()).toMatch(/Unsalted butter 135 to 0 g.*keep the fat as it is/);
  await dialog.getByRole("button", { name: "Keep", exact: true }).click();
  await page.getByRole("button", { name: /^Revision 4/ }).waitFor();
  expect(complaints).toEqual([]);
  await context.close();
  await own.dispose();
});

it("says what a change does before it is baked", async () => {
  const { page, context, complaints } = await visit(browser, sheetAddress(bakery.url, DEMO.sandwich, "compare"));
  const section = page.getByRole("region", { name: "What it does" });
  await section.locator(".consequence-table").first().waitFor();
  const sentences = (await section.locator(".sentences.large li").allTextContents()).join("\n");
  expect(sentences).toMatch(/softer when cold/);
  expect(sentences).toMatch(/in the batter, because/);
  const solid = section.getByRole("row", { name: /^solid fat in 100 g at 5 °C/ }).first();
  const [before, after] = (await solid.locator("td").allTextContents()).map(Number);
  expect(after).toBeLessThan(before!);
  expect(await solid.textContent()).toMatch(/beyond ± /);
  expect(await solid.getByRole("img").count()).toBe(1);
  // Every figure that is not beyond its doubt is under the fold, and none of them among the others.
  await section.getByText(/more figures moved by less/).click();
  const words = await section.locator("tbody tr:has(td)").allTextContents();
  expect(words.filter((row) => row.includes("within ±")).length).toBeGreaterThan(5);
  expect(complaints).toEqual([]);
  await context.close();
});

it("draws the assembled cake to scale and answers a wanted thickness", async () => {
  const { page, context, complaints } = await visit(browser, sheetAddress(bakery.url, DEMO.sandwich, "keep"));
  const section = page.getByRole("region", { name: "The assembled cake" });
  const picture = section.locator(".stack-picture");
  await picture.waitFor();
  const heights = await picture
    .locator("rect.crumb")
    .evaluateAll((all) => all.map((one) => Number(one.getAttribute("height")) / Number(one.getAttribute("width"))));
  expect(heights).toHaveLength(2);
  const words = (await picture.getAttribute("aria-label")) ?? "";
  const [, mm] = /Sponge (\d+) mm/.exec(words) ?? [];
  // Two tins of 20 cm: what is drawn high and wide stands in the proportion of the figures.
  for (const share of heights) expect(Math.abs(share * 200 - Number(mm))).toBeLessThan(1.5);
  const needs = () =>
    section
      .getByRole("row", { name: /^Filling/ })
      .locator("td")
      .nth(1)
      .textContent();
  const usual = Number(await needs());
  await section.getByLabel("Filling, millimetres").fill("12");
  await expect.poll(async () => Math.abs(Number(await needs()) - 2 * usual)).toBeLessThanOrEqual(1);
  expect(complaints).toEqual([]);
  await context.close();
});

it("rebalances without a network once it has been used", async () => {
  const own = await startBakery();
  const { page, context } = await visit(browser, own.url, { serviceWorker: true });
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null, undefined, { timeout: 20_000 });
  await open(page, sheetAddress(own.url, DEMO.sandwich));
  await cell(page, 0, 0, 0, "grams").waitFor();
  await swapButterForOil(page, own.url);
  await own.stop();
  await context.setOffline(true);
  await page.reload();
  await page.getByRole("button", { name: "Put this in the sheet" }).waitFor();
  expect(await thenGrams(page, "Unsalted butter")).toBe(0);
  await context.close();
  await own.dispose();
});

describe.each([
  ["light", 1280, 860],
  ["dark", 820, 1180],
] as const)("in %s at %i × %i", (theme, width, height) => {
  const looks = [
    {
      name: "an answer",
      picture: "swap-and-rebalance",
      ready: (page: Page) => swapButterForOil(page, bakery.url),
    },
    {
      name: "a conflict and a name being typed",
      ready: async (page: Page) => {
        await open(page, sheetAddress(bakery.url, DEMO.sandwich, "rebalance"));
        await page.getByRole("checkbox", { name: "milk", exact: true }).check();
        await page.getByRole("checkbox", { name: "Keep Unsalted butter at 135 g" }).check();
        await page.locator(".conflict").waitFor();
        await page.getByRole("button", { name: "add an ingredient" }).click();
        await page.getByRole("combobox", { name: "add an ingredient" }).fill("syr");
        await page.locator(".suggestions [role=option]").first().waitFor();
      },
    },
    {
      name: "what a change does",
      ready: async (page: Page) => {
        await open(page, sheetAddress(bakery.url, DEMO.sandwich, "compare"));
        await page.locator(".consequence-table").first().waitFor();
        await page.getByText(/more figures moved by less/).click();
      },
    },
    {
      name: "the assembled cake",
      ready: async (page: Page) => {
        await open(page, sheetAddress(bakery.url, DEMO.sandwich, "keep"));
        await page.locator(".stack-picture").waitFor();
        await page.getByLabel("one baked layer, measured").fill("5000");
        await page.getByText("A number from 3 to 200.").waitFor();
      },
    },
  ];
  it.each(looks.map((look) => [look.name, look] as const))("shows %s", async (name, look) => {
    const { page, context, complaints } = await visit(browser, sheetAddress(bakery.url, DEMO.cupCakes), { theme, width, height });
    await cell(page, 0, 0, 0, "grams").waitFor();
    await look.ready(page);
    await page.evaluate(() => document.fonts.ready);
    const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    expect(over, "pixels that run over the edge").toBeLessThanOrEqual(0);
    const { violations } = await new AxeBuilder({ page }).analyze();
    expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ target }) => target.join(" ")).join(" | ")}`)).toEqual([]);
    expect(complaints).toEqual([]);
    if (process.env.EVENCRUMB_PICTURES === "1" && "picture" in look && theme === "light" && width > 900) {
      const folder = join(ROOT, "docs", "guide", "pictures");
      mkdirSync(folder, { recursive: true });
      writeFileSync(join(folder, `${look.picture}.png`), await page.screenshot());
    }
    if (process.env.EVENCRUMB_LOOK !== undefined) {
      mkdirSync(process.env.EVENCRUMB_LOOK, { recursive: true });
      const file = `${name.replaceAll(" ", "-")}-${width}-${theme}.png`;
      writeFileSync(join(process.env.EVENCRUMB_LOOK, file), await page.screenshot({ fullPage: true }));
    }
    await context.close();
  });
});
