import { readFileSync } from "node:fs";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { inspect } from "./inspect.js";
import { DEMO, openBrowser, type RunningBakery, startBakery, visit } from "./support.js";

// What is written down at the bench: several figures, weights, a picture, spoiled and missed runs, with and without a network.

let browser: Browser;
let bakery: RunningBakery;
beforeAll(async () => {
  [browser, bakery] = await Promise.all([openBrowser(), startBakery()]);
});
afterAll(async () => {
  await browser?.close();
  await bakery?.dispose();
});

const PHOTOS = async () =>
  (
    (await (await fetch(`${bakery.url}/api/documents?kind=photo`)).json()) as {
      documents: readonly { id: string; name: string }[];
    }
  ).documents;

it("records figures, a loss from weights, more measures and pictures, also without a network", async () => {
  const { page, context, complaints } = await visit(browser, `${bakery.url}/#/trials/better?formula=${DEMO.sandwich}`, {
    width: 820,
    height: 1180,
  });
  await page.getByLabel("The new one: revision").selectOption({ index: 2 });
  await page.getByLabel("The one you make now: revision").selectOption({ index: 1 });
  await page.locator(".plan-summary").waitFor();
  await page.getByRole("button", { name: "Make the run sheet" }).click();
  await page.getByRole("heading", { name: "Day 1", exact: true }).waitFor();
  await page.locator(".runs a").first().click();
  await page.getByRole("heading", { name: /^Run 1/ }).waitFor();

  for (const measure of ["height at the edge", "weight before", "weight after", "weight loss", "liking"]) {
    await page.getByLabel("Also measure, in every run").selectOption(measure);
    await page.getByRole("textbox", { name: new RegExp(`^${measure}`) }).waitFor();
  }
  await page.getByRole("textbox", { name: /^height at the centre/ }).fill("44");
  // Exact: the mean of 38, 39.5, 40 and 38.5 is 39.
  await page.getByRole("textbox", { name: /^height at the edge/ }).fill("38 39,5 40 38.5");
  await page.getByText("The mean of 4 is recorded: 39 mm").waitFor();
  await page.getByRole("textbox", { name: /^weight before/ }).fill("520");
  await page.getByRole("textbox", { name: /^weight after/ }).fill("468");
  // Exact: 52 of 520 g.
  await expect.poll(() => page.getByRole("textbox", { name: /^weight loss/ }).inputValue()).toBe("10");
  await page.getByRole("textbox", { name: /^liking/ }).fill("7 6 8 quite");
  await page.getByText(/is no number/).waitFor();
  await page.getByRole("textbox", { name: /^liking/ }).fill("7 6 8");

  // A picture without a network: it is there at once, and on the server when the network is back.
  const picture = { name: "slice.png", mimeType: "image/png", buffer: await page.screenshot() };
  await context.setOffline(true);
  await page
    .getByLabel("A picture of this run")
    .setInputFiles({ name: "list.txt", mimeType: "text/plain", buffer: Buffer.from("no") });
  await page.getByText("This is no picture that the browser can read").waitFor();
  await page.getByLabel("A picture of this run").setInputFiles(picture);
  await page.getByRole("img", { name: "Picture 1 of run 1" }).waitFor();
  await inspect(page, "record run");
  await page.getByRole("link", { name: "All runs" }).click();
  await page.getByText("1 picture").waitFor();
  await inspect(page, "record sheet");
  await page.locator(".runs a").first().click();
  await page.getByRole("img", { name: "Picture 1 of run 1" }).waitFor();
  expect(await PHOTOS()).toEqual([]);
  await context.setOffline(false);
  await expect.poll(async () => (await PHOTOS()).length, { timeout: 30_000 }).toBe(1);
  const { id } = (await PHOTOS())[0]!;
  const kept = (await (await fetch(`${bakery.url}/api/documents/${id}`)).json()) as {
    latest: { body: { data: string; width: number; height: number } };
  };
  const { data, width, height } = kept.latest.body;
  expect(Math.max(width, height)).toBeLessThanOrEqual(1280);
  expect((data.length * 3) / 4).toBeLessThanOrEqual(110_000);

  // A second device sees it; taken off, it is off everywhere.
  const desk = await visit(browser, page.url());
  await desk.page.getByRole("img", { name: "Picture 1 of run 1" }).waitFor({ timeout: 30_000 });
  await inspect(desk.page, "record run desk");
  await desk.page.getByRole("button", { name: "Take picture 1 off this run" }).click();
  await expect.poll(() => page.getByRole("img", { name: "Picture 1 of run 1" }).count(), { timeout: 30_000 }).toBe(0);
  await desk.context.close();

  // Spoiled and missed runs, with why.
  await page.getByRole("link", { name: "Run 2 ›" }).click();
  await page.getByRole("heading", { name: /^Run 2/ }).waitFor();
  await page.getByRole("radio", { name: "spoiled" }).check();
  await page.getByLabel("Why").fill("Oven door left open.");
  await page.getByRole("link", { name: "Run 3 ›" }).click();
  await page.getByRole("heading", { name: /^Run 3/ }).waitFor();
  await page.getByRole("radio", { name: "not baked" }).check();
  await page.getByRole("link", { name: "All runs" }).click();
  await page.getByText("Oven door left open.").waitFor();
  await page.getByText(/^3 of \d+ settled; next is run 4/).waitFor();

  // The same, in the CSV.
  await page.getByRole("button", { name: "More" }).click();
  const [file] = await Promise.all([page.waitForEvent("download"), page.getByRole("menuitem", { name: "Save as CSV" }).click()]);
  const [head, first, second, third] = readFileSync(await file.path(), "utf8").split(/\r?\n/);
  for (const column of ["height at the edge [mm]", "weight before [g]", "weight loss [%]", "liking [points of 9]"])
    expect(head).toContain(column);
  expect(first).toMatch(/,44,39,520,468,10,7,/);
  expect(second).toContain(",spoiled,");
  expect(second).toContain("Oven door left open.");
  expect(third).toContain(",missed,");
  expect(complaints).toEqual([]);
  await context.close();
}, 300_000);

it.each([
  ["light", 1280, 800],
  ["dark", 820, 1180],
] as const)("shows a recorded run whole in %s at %i × %i", async (theme, width, height) => {
  const { documents } = (await (await fetch(`${bakery.url}/api/documents?kind=trial`)).json()) as {
    documents: readonly { id: string }[];
  };
  const { page, context } = await visit(browser, `${bakery.url}/#/trial/${documents[0]!.id}/run?run=1`, { theme, width, height });
  await page.getByRole("textbox", { name: /^weight loss/ }).waitFor();
  await inspect(page, "recorded run");
  await context.close();
});
