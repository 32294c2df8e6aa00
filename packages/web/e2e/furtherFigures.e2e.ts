import AxeBuilder from "@axe-core/playwright";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { openBrowser, type RunningBakery, startBakery, visit } from "./support.js";

// Figures that only a US label asks for: read from the larder, stated by a supplier.

let browser: Browser;
let bakery: RunningBakery;
beforeAll(async () => {
  [browser, bakery] = await Promise.all([openBrowser(), startBakery()]);
});
afterAll(async () => {
  await browser?.close();
  await bakery?.dispose();
});

const ingredient = (id: string) => `${bakery.url}/#/ingredients/${id}`;
const table = (page: Page) => page.getByRole("table", { name: "What a US label asks for besides, in 100 g" });
const rowOf = (page: Page, name: string) => table(page).getByRole("row", { name: new RegExp(`^${name}`) });

// Published: USDA SR28 01123, a whole egg holds 372 mg cholesterol and 2 µg vitamin D in 100 g.
it("shows what the table says, each with its source", async () => {
  const { page, context, complaints } = await visit(browser, ingredient("egg-whole"));
  expect(await rowOf(page, "cholesterol").textContent()).toContain("372 mg");
  expect(await rowOf(page, "vitamin D").textContent()).toContain("2 µg");
  expect(await rowOf(page, "trans fat").textContent()).toContain("derived: fat x");
  expect(complaints).toEqual([]);
  await context.close();
});

it("takes what a supplier states of an ingredient that the table leaves open, tells what cannot be, and gives it back", async () => {
  const { page, context, complaints } = await visit(browser, ingredient("groundnut-oil"));
  expect(await rowOf(page, "trans fat").textContent()).toContain("not known");
  const change = async (value: string) => {
    await page.getByRole("button", { name: "Put in what its supplier states" }).click();
    await page.getByRole("dialog").getByLabel("Trans fat, g").fill(value);
    await page.getByRole("dialog").getByRole("button", { name: "Done" }).click();
  };
  await change("140");
  await page.getByRole("dialog").getByText("Expected no more trans fat than the fat, 100 g per 100 g").waitFor();
  await page.getByRole("dialog").getByLabel("Trans fat, g").fill("0,4");
  await page.getByRole("dialog").getByRole("button", { name: "Done" }).click();
  await expect.poll(() => rowOf(page, "trans fat").textContent()).toContain("0.4 g");
  await page.reload();
  await expect.poll(() => rowOf(page, "trans fat").textContent()).toContain("stated by the supplier");
  await change("");
  await expect.poll(() => rowOf(page, "trans fat").textContent()).toContain("not known");
  expect(complaints).toEqual([]);
  await context.close();
});

it.each([
  [820, 1180, "dark"],
  [1280, 800, "light"],
] as const)("stands at %i x %i, %s, by the keyboard, with nothing running over", async (width, height, theme) => {
  const { page, context } = await visit(browser, ingredient("groundnut-oil"), { width, height, theme });
  const check = async (name: string) => {
    const { violations } = await new AxeBuilder({ page }).analyze();
    expect(violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`)).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
    if (process.env.EVENCRUMB_LOOK !== undefined)
      await page.screenshot({
        path: `${process.env.EVENCRUMB_LOOK}/further-${name}-${width}-${theme}.png`,
        fullPage: name === "page",
      });
  };
  await table(page).waitFor();
  await check("page");
  await page.getByRole("button", { name: "Put in what its supplier states" }).focus();
  await page.keyboard.press("Enter");
  await page.getByRole("dialog").getByLabel("Cholesterol, mg").waitFor();
  await page.getByRole("dialog").getByLabel("Cholesterol, mg").fill("-2");
  await check("dialog");
  await page.keyboard.press("Escape");
  await expect.poll(() => page.getByRole("dialog").count()).toBe(0);
  await context.close();
});
