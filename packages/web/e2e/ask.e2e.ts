import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { inspect } from "./inspect.js";
import { DEMO, openBrowser, type RunningBakery, startBakery, visit } from "./support.js";

// Planning a trial in the app as a baker does: a blend of three sugars, a swap with the fat held, a split plot, and a screening in eight
// bakes. EVENCRUMB_LOOK names a folder for pictures of every step.

let browser: Browser;
let bakery: RunningBakery;
beforeAll(async () => {
  [browser, bakery] = await Promise.all([openBrowser(), startBakery()]);
});
afterAll(async () => {
  await browser?.close();
  await bakery?.dispose();
});

const openAll = async (page: Page) => {
  for (const details of await page.locator("details:not([open]) > summary").all())
    if (await details.isVisible()) await details.click();
};

const summary = (page: Page, words: RegExp) => page.locator(".plan-summary").filter({ hasText: words });

/** Weights of every run's batch sheet by ingredient, as the trial keeps or makes them. */
async function batchWeights(page: Page, runCount: number): Promise<readonly Readonly<Record<string, number>>[]> {
  const all: Record<string, number>[] = [];
  const sheet = await page.evaluate(() => location.hash.replace(/\?.*/, ""));
  for (let run = 1; run <= runCount; run++) {
    await page.evaluate((to) => {
      location.hash = to;
    }, `${sheet}/batch?run=${run}`);
    await page.getByRole("heading", { name: new RegExp(`, run ${run}$`) }).waitFor();
    const lines = await page
      .locator("main li, main tr, main label")
      .evaluateAll((items) => items.map((item) => (item.textContent ?? "").replace(/\s+/g, " ").trim()));
    const weights: Record<string, number> = {};
    for (const line of lines) {
      const [, name, grams] = /^([A-Za-z -]+?)(?:, .*?)? ?([\d.]+)\s?g$/.exec(line) ?? [];
      if (name !== undefined) weights[name.trim().toLowerCase()] ??= Number(grams);
    }
    all.push(weights);
    if (run === 1 && process.env.EVENCRUMB_LOOK !== undefined) await inspect(page, "batch sheet");
  }
  await page.evaluate((to) => {
    location.hash = to;
  }, sheet);
  return all;
}

it("plans which blend of three sugars, by a design of its own choice, and predicts the bakes", async () => {
  const { page, context, complaints } = await visit(browser, `${bakery.url}/#/trials/which-blend?formula=${DEMO.ginger}`);
  const boxes = page.getByRole("group", { name: "What makes it up" });
  await boxes.getByRole("checkbox", { name: /brown sugar/ }).check();
  await boxes.getByRole("checkbox", { name: /golden syrup/ }).check();
  await boxes.getByRole("checkbox", { name: /treacle/ }).check();
  await summary(page, /blends/).waitFor({ timeout: 60_000 });
  await inspect(page, "blend of three sugars");
  await page.getByText("Choose another design").click();
  await page.getByRole("radio", { name: /predict best on the whole/ }).check();
  await page.getByText("How many, and what they are read by").click();
  await page.getByLabel("Bakes", { exact: true }).fill("11");
  await summary(page, /^Bake 11 blends/).waitFor({ timeout: 60_000 });
  await page.getByText("How good these bakes are").click();
  await page.getByText("I-optimal, by exchange", { exact: true }).waitFor();
  await page.getByRole("img", { name: /^Variance of a predicted mean/ }).waitFor();
  await page.getByText(/bakes were predicted beside the standard|runs look doubtful/).waitFor({ timeout: 120_000 });
  await inspect(page, "blend chosen design");
  // Crossed with the oven.
  await page.getByLabel("Change", { exact: true }).selectOption({ label: "oven" });
  await page.getByLabel("Bakes", { exact: true }).fill("");
  await summary(page, /blends/).waitFor({ timeout: 120_000 });
  await page.getByRole("button", { name: "Make the run sheet" }).click();
  await page.getByRole("heading", { name: "Day 1", exact: true }).waitFor();
  expect(await page.locator(".run-what").first().textContent()).toMatch(/sugar \d+(\.\d)? %, .*oven \d+ °C/);
  expect(complaints).toEqual([]);
  await context.close();
});

it("stops a long search and keeps the best plan it found", async () => {
  const { page, context, complaints } = await visit(browser, `${bakery.url}/#/trials/which-blend?formula=${DEMO.ginger}`);
  const boxes = page.getByRole("group", { name: "What makes it up" });
  for (const name of [/brown sugar/, /golden syrup/, /treacle/, /unsalted butter/, /whole milk/, /whole egg/, /plain flour/])
    await boxes.getByRole("checkbox", { name }).check();
  await page.getByText("Choose another design").click();
  await page.getByRole("radio", { name: /predict best on the whole/ }).check();
  await page.getByText("How many, and what they are read by").click();
  await page.getByLabel("Read by").selectOption("scheffe quadratic");
  await page.getByLabel("Bakes", { exact: true }).fill("45");
  await page.getByRole("button", { name: "Stop, and take the best so far" }).click({ timeout: 60_000 });
  await page.getByText(/this is the best plan found until then/).waitFor({ timeout: 60_000 });
  await summary(page, /^Bake 45 blends/).waitFor();
  await page.getByRole("button", { name: "Look longer" }).waitFor();
  expect(complaints).toEqual([]);
  await context.close();
});

it("swaps butter for oil at three levels with fat and total held, and every run weighs what it should", async () => {
  const { page, context, complaints } = await visit(browser, `${bakery.url}/#/trials/how-much?formula=${DEMO.sandwich}`);
  await page.getByLabel("The cake that is changed: revision").selectOption({ index: 0 });
  await page.getByLabel("Change", { exact: true }).selectOption({ label: "part of the unsalted butter in Sponge replaced" });
  await page.getByText("Choose what takes the place of unsalted butter.").waitFor();
  await page.getByLabel("What takes the place of unsalted butter").selectOption({ label: "rapeseed oil" });
  await page.getByLabel("smallest difference").fill("6");
  await page.getByRole("radio", { name: /fat, water or sweetness/ }).check();
  await page.getByText(/Held in every bake: the total weight of Sponge; the fat of Sponge/).waitFor({ timeout: 60_000 });
  await page.getByText(/bakes were predicted beside the standard|runs look doubtful/).waitFor({ timeout: 120_000 });
  await openAll(page);
  await inspect(page, "swap with fat held");
  const bakes = Number(/Bake (\d+)/.exec((await page.locator(".plan-summary").textContent()) ?? "")![1]);
  await page.getByRole("button", { name: "Make the run sheet" }).click();
  await page.getByRole("heading", { name: "Day 1", exact: true }).waitFor();
  await inspect(page, "swap run sheet");
  const settings = await page.locator(".run-what").allTextContents();
  expect(new Set(settings.map((words) => /butter ([\d.]+) %/.exec(words)?.[1])).size).toBe(3);
  const weights = await batchWeights(page, Math.min(bakes, 7));
  for (const run of weights) {
    // Butter is about 82 % fat: less oil than the butter it stands for, and water beside it (the book's own figures).
    const butter = run["unsalted butter"] ?? 0;
    const oil = run["rapeseed oil"] ?? 0;
    expect(butter + oil).toBeGreaterThan(100);
    expect(Math.abs(0.822 * butter + oil - 0.822 * Math.max(...weights.map((one) => one["unsalted butter"] ?? 0)))).toBeLessThan(
      2.5,
    );
  }
  expect(complaints).toEqual([]);
  await context.close();
});

it("plans oven and minutes as a split plot: the oven is heated a few times, the minutes change from cake to cake", async () => {
  const { page, context, complaints } = await visit(browser, `${bakery.url}/#/trials/how-much?formula=${DEMO.ginger}`);
  const change = page.getByLabel(/^Change/);
  await change.selectOption({ label: "oven" });
  await change.selectOption({ label: "minutes in the oven" });
  await page.getByLabel("In the oven together").fill("3");
  await page.getByLabel("On one day").fill("9");
  await page.getByText("Choose another design").click();
  await page.getByRole("radio", { name: /Low, middle and high of each/ }).check();
  await page.getByText("One batter or one oven setting for several bakes").click();
  await page.getByRole("checkbox", { name: "oven", exact: true }).check();
  await page.getByRole("radio", { name: "one oven load, in the oven together" }).check();
  await summary(page, /^Heat the oven \d+ times and bake 3 cakes together each time/).waitFor();
  await page.getByText("How good these bakes are").click();
  await page.getByText(/split plot, a load is a whole plot/).waitFor();
  await inspect(page, "split plot");
  await page.getByRole("button", { name: "Make the run sheet" }).click();
  await page.getByRole("heading", { name: "Day 1", exact: true }).waitFor();
  await inspect(page, "split plot run sheet");
  // Exact: one oven temperature in each load of three.
  const lines = await page
    .locator(".runs li")
    .evaluateAll((items) =>
      items.map(
        (item) => `${item.closest("section")?.getAttribute("aria-label")} ${item.querySelector(".run-what")?.textContent}`,
      ),
    );
  const loads = new Map<string, Set<string>>();
  for (const line of lines) {
    const [, day, oven, load] = /(Day \d+) .*oven (\d+) °C.*load (\d+)/.exec(line) ?? [];
    loads.set(`${day} ${load}`, (loads.get(`${day} ${load}`) ?? new Set()).add(oven!));
  }
  expect(loads.size).toBeGreaterThanOrEqual(6);
  for (const ovens of loads.values()) expect(ovens.size).toBe(1);
  expect(complaints).toEqual([]);
  await context.close();
});

it("screens five things in eight bakes, and says what cannot be told apart", async () => {
  const { page, context, complaints } = await visit(browser, `${bakery.url}/#/trials/how-much?formula=${DEMO.sandwich}`);
  await page.getByLabel("The cake that is changed: revision").selectOption({ index: 0 });
  const change = page.getByLabel(/^Change/);
  for (const label of [
    "caster sugar in Sponge",
    "whole egg in Sponge",
    "whole milk in Sponge",
    "oven in Sponge",
    "minutes in the oven in Sponge",
  ])
    await change.selectOption({ label });
  await page.getByText("How many, and what they are read by").click();
  await page.getByLabel("Bakes", { exact: true }).fill("8");
  await page.getByLabel("Bakes of the centre").fill("0");
  await page.getByLabel("The whole plan, times over").fill("1");
  await page.getByLabel("On one day").fill("8");
  await page.getByLabel("smallest difference").fill("8");
  await summary(page, /^Bake 8 settings on 1 day/).waitFor();
  await page.getByText("How good these bakes are").click();
  await page.getByText("What cannot be told apart (aliases)").waitFor();
  await page.getByText(/resolution III/).waitFor();
  // Exact: an orthogonal two-level design on one day.
  await page
    .locator("dt:has-text('G-efficiency') + dd")
    .filter({ hasText: /^100 %$/ })
    .waitFor();
  await inspect(page, "five in eight");
  await page.getByRole("button", { name: "Make the run sheet" }).click();
  await page.getByRole("heading", { name: "Day 1", exact: true }).waitFor();
  expect(await page.locator(".runs li").count()).toBe(8);
  expect(complaints).toEqual([]);
  await context.close();
});

it("asks whether the new one is no worse, and says how many bakes that takes", async () => {
  const { page, context, complaints } = await visit(browser, `${bakery.url}/#/trials/better?formula=${DEMO.sandwich}`);
  await page.getByRole("radio", { name: /no worse, within so much/ }).check();
  await page.getByLabel("So much would be too different").fill("4");
  await page.getByText(/is not worse by 4 mm in height at the centre/).waitFor();
  await page.getByText(/it is then not known/).waitFor();
  await page.getByRole("radio", { name: /as good as the same/ }).check();
  await page.getByText(/they differ by less than 4 mm/).waitFor();
  await inspect(page, "no worse");
  expect(complaints).toEqual([]);
  await context.close();
});

it("says what it wants of several measures, by the keyboard alone", async () => {
  const { page, context, complaints } = await visit(browser, `${bakery.url}/#/trials/how-much?formula=${DEMO.ginger}`);
  await page.getByLabel(/^Change/).selectOption({ label: "oven" });
  await summary(page, /settings/).waitFor();
  await page.getByText("Write down other measures as well").focus();
  await page.keyboard.press("Enter");
  await page.getByRole("checkbox", { name: /^firmness/ }).focus();
  await page.keyboard.press("Space");
  await page.getByLabel("Wanted of firmness").selectOption({ label: "less" });
  await page.getByRole("group", { name: "Wanted of firmness" }).getByLabel("not above").fill("6");
  await summary(page, /settings/).waitFor();
  await page.getByText("Choose another design").focus();
  await page.keyboard.press("Enter");
  await inspect(page, "wishes");
  await page.getByRole("button", { name: "Make the run sheet" }).click();
  await page.getByRole("heading", { name: "Day 1", exact: true }).waitFor();
  const trials = (await (await fetch(`${bakery.url}/api/documents?kind=trial`)).json()) as {
    documents: readonly { id: string }[];
  };
  const goals = await Promise.all(
    trials.documents.map(async ({ id }) => {
      const { latest } = (await (await fetch(`${bakery.url}/api/documents/${id}`)).json()) as {
        latest: { body: { goals?: unknown } };
      };
      return latest.body.goals;
    }),
  );
  expect(goals).toContainEqual([{ response: "firmness", direction: "smaller", high: 6 }]);
  expect(complaints).toEqual([]);
  await context.close();
});

describe.each([["dark", 820, 1180]] as const)("in %s at %i × %i", (theme, width, height) => {
  it("shows a plan whole and readable, all of it opened", async () => {
    const { page, context, complaints } = await visit(browser, `${bakery.url}/#/trials/how-much?formula=${DEMO.sandwich}`, {
      theme,
      width,
      height,
    });
    await page.getByLabel("The cake that is changed: revision").selectOption({ index: 0 });
    const change = page.getByLabel(/^Change/);
    for (const label of [
      "caster sugar in Sponge",
      "whole milk in Sponge",
      "another in place of unsalted butter in Sponge",
      "oven in Sponge",
    ])
      await change.selectOption({ label });
    await page.getByLabel("In place of unsalted butter, 1").selectOption({ index: 2 });
    await page.getByLabel("In the oven together").fill("2");
    await summary(page, /settings/).waitFor({ timeout: 60_000 });
    await page.getByText(/bakes were predicted beside the standard|runs look doubtful/).waitFor({ timeout: 120_000 });
    await openAll(page);
    await inspect(page, "all opened");
    expect(complaints).toEqual([]);
    await context.close();
  });
});
