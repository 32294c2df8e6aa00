import { readFileSync } from "node:fs";
import type { Browser, Locator, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { inspect } from "./inspect.js";
import { DEMO, openBrowser, type RunningBakery, startBakery, visit } from "./support.js";

// A trial from its question to the new standard, and a tasting on phones, with the real server.
// With EVENCRUMB_PICTURES=1 the pictures of the guide are taken anew; EVENCRUMB_LOOK names a folder for all of them.

let browser: Browser;
let bakery: RunningBakery;
beforeAll(async () => {
  [browser, bakery] = await Promise.all([openBrowser(), startBakery()]);
});
afterAll(async () => {
  await browser?.close();
  await bakery?.dispose();
});

/** Heights of an invented oven: the days differ by themselves, the new cake stands 4 mm taller. */
const height = (day: number, isNew: boolean): string => {
  const dayEffect = [0, 1.5, -1, 2, 0.5, -1.5, 1, -0.5, 0, 2.5, -2, 1][day % 12]!;
  const bake = [0.6, -0.4, 0.9, -0.8, 0.2, 0.5, -0.6, 0.3, -0.2, 0.7, -0.5, 0.1][(day * 5 + (isNew ? 3 : 0)) % 12]!;
  return (40 + dayEffect + bake + (isNew ? 4 : 0)).toFixed(1);
};

const wordsOf = async (at: Locator): Promise<string> => (await at.textContent()) ?? "";

/** Runs of the open sheet with what they bake, as the page shows them. */
const runsOf = (page: Page) =>
  page.locator(".runs li").evaluateAll((items) =>
    items.map((item) => ({
      what: item.querySelector(".run-what")?.textContent ?? "",
      day: Number(/\d+/.exec(item.closest("section")?.querySelector("h2")?.textContent ?? "")?.[0]) - 1,
    })),
  );

it("goes from the question to the new standard", async () => {
  const { page, context, complaints } = await visit(browser, `${bakery.url}/#/trials`);
  await page.getByRole("link", { name: /Is the new one better/ }).click();
  await page.getByLabel("The one you make now: formula").selectOption({ label: "Raspberry sandwich" });
  await page.getByLabel("The new one: formula").selectOption({ label: "Raspberry sandwich" });
  await page.getByLabel("The new one: revision").selectOption({ index: 2 });
  await page.getByLabel("The one you make now: revision").selectOption({ index: 1 });
  await page.getByLabel("smallest difference").fill("3");
  const summary = page.locator(".plan-summary");
  await summary.filter({ hasText: "revision 2 and revision 3" }).waitFor();
  expect(await wordsOf(summary)).toMatch(/^Bake revision 2 and revision 3 on each of \d+ days/);
  const many = Number(/of (\d+) days/.exec(await wordsOf(summary))![1]);

  // A larger difference takes fewer bakes; a limit is said with what it costs.
  await page.getByLabel("smallest difference").fill("5");
  await expect.poll(async () => Number(/of (\d+) days/.exec(await wordsOf(summary))?.[1])).toBeLessThan(many);
  await page.getByLabel("At most, of each").fill("3");
  await page.getByText(/chance to notice 5 mm is only/).waitFor();
  await page.getByLabel("At most, of each").fill("");
  await page.getByText(/If no difference is seen/).waitFor();

  // What is typed is not lost by a reload.
  await page.reload();
  await summary.waitFor();
  expect(await page.getByLabel("smallest difference").inputValue()).toBe("5");

  await page.getByRole("button", { name: "Make the run sheet" }).click();
  await page.getByRole("heading", { name: "Day 1", exact: true }).waitFor();
  const runs = await runsOf(page);
  expect(runs.length).toBe(2 * (Math.max(...runs.map(({ day }) => day)) + 1));

  // Each run has its own batch sheet.
  await page.locator(".runs a").first().click();
  await page.getByRole("link", { name: "Batch sheet" }).click();
  await page.getByRole("heading", { name: /Raspberry sandwich, run 1/ }).waitFor();
  await page.getByRole("region", { name: "Allergens" }).getByText("eggs").waitFor();
  await page.getByRole("link", { name: /Run 1 of/ }).click();

  // At the bench, run after run; one is dropped.
  for (const [index, run] of runs.entries()) {
    await page.getByRole("heading", { name: new RegExp(`^Run ${index + 1} `) }).waitFor();
    const field = page.getByRole("textbox", { name: /height at the centre/ });
    await field.fill(height(run.day, run.what.includes("revision 3")));
    if (index === runs.length - 1) {
      await page.getByRole("radio", { name: "spoiled" }).check();
      await page.getByLabel("Why").fill("Dropped on the way to the rack.");
      await page.getByText("not used in the answer").waitFor();
    }
    await page.getByRole("link", { name: index === runs.length - 1 ? "What it says ›" : `Run ${index + 2} ›` }).click();
  }

  const answer = page.locator("h1.answer");
  await answer.waitFor();
  expect(await answer.textContent()).toMatch(/^Revision 3 is taller by \d(\.\d)?\smm, between/);
  const first = await page.locator("main").textContent();
  expect(first).not.toMatch(/\bp[ ,=<]/);
  expect(first).toContain("1 spoiled and left out");
  await page.getByRole("link", { name: "The working behind it" }).click();
  await page.getByText("p, if they were equal").waitFor();
  await page.getByRole("link", { name: "What it says" }).click();

  await page.getByRole("button", { name: "Make revision 3 the standard" }).click();
  await page.getByText(/Revision 3 was made the standard/).waitFor();
  await expect
    .poll(async () => {
      const answered = await fetch(`${bakery.url}/api/documents/${DEMO.sandwich}`);
      const { document, revisions } = (await answered.json()) as {
        document: { standardRevisionId: string };
        revisions: readonly { id: string; number: number }[];
      };
      return revisions.find(({ id }) => id === document.standardRevisionId)?.number;
    })
    .toBe(3);
  // The evidence is kept with the trial.
  const trials = (await (await fetch(`${bakery.url}/api/documents?kind=trial`)).json()) as {
    documents: readonly { id: string; latest: { note: string } }[];
  };
  expect(trials.documents[0]!.latest.note).toMatch(/revision 3 was made the standard: Revision 3 is taller/);

  // Out as CSV, changed in another program, and in again.
  await page.getByRole("link", { name: "The run sheet" }).click();
  await page.getByRole("button", { name: "More" }).click();
  const [file] = await Promise.all([page.waitForEvent("download"), page.getByRole("menuitem", { name: "Save as CSV" }).click()]);
  const text = readFileSync(await file.path(), "utf8");
  expect(text.split("\n")[0]).toContain("height at the centre [mm]");
  const changed = text.replace(/^1,(.*?),(\d\d\.?\d?)(,|$)/m, "1,$1,39.5$3");
  expect(changed).not.toBe(text);
  await page
    .getByLabel("A filled-in CSV")
    .setInputFiles({ name: "filled.csv", mimeType: "text/csv", buffer: Buffer.from(changed) });
  await page.locator(".runs li").first().getByText("39.5 mm").waitFor();

  expect(complaints).toEqual([]);
  await context.close();
});

it("works at the bench without a network, and lays the results of two devices over each other", async () => {
  const trials = (await (await fetch(`${bakery.url}/api/documents?kind=trial`)).json()) as {
    documents: readonly { id: string }[];
  };
  const { id } = trials.documents[0]!;
  const run = (number: number) => `${bakery.url}/#/trial/${id}/run?run=${number}`;
  const bench = await visit(browser, run(1), { width: 820, height: 1180 });
  const desk = await visit(browser, run(2));
  const benchField = bench.page.getByRole("textbox", { name: /height at the centre/ });
  const deskField = desk.page.getByRole("textbox", { name: /height at the centre/ });
  await benchField.waitFor();
  await deskField.waitFor();
  const figureFor = async (page: Page) =>
    (await wordsOf(page.locator(".run-setting"))).includes("revision 3") ? "44.1" : "39.9";
  const [first, second] = [await figureFor(bench.page), await figureFor(desk.page)];
  expect(first).not.toBe(second);
  await bench.context.setOffline(true);
  await benchField.fill(first);
  await bench.page.getByText(/kept on this device/).waitFor({ timeout: 20_000 });
  await deskField.fill(second);
  await desk.page.getByRole("link", { name: "All runs" }).click();
  await bench.context.setOffline(false);
  // Each sees both.
  await bench.page.getByRole("link", { name: "All runs" }).click();
  for (const { page } of [bench, desk]) {
    await page.locator(".runs li").nth(0).getByText(`${first} mm`).waitFor({ timeout: 30_000 });
    await page.locator(".runs li").nth(1).getByText(`${second} mm`).waitFor({ timeout: 30_000 });
  }
  await bench.context.close();
  await desk.context.close();
});

it("plans a blend beside the page, and flags what looks doubtful before it is baked", async () => {
  const { page, context, complaints } = await visit(browser, `${bakery.url}/#/trials/which-blend?formula=${DEMO.sandwich}`);
  await page.getByLabel("The cake that is changed: revision").selectOption({ index: 2 });
  await page.getByRole("checkbox", { name: "unsalted butter" }).check();
  await page.getByRole("checkbox", { name: "sunflower oil" }).check();
  await page.getByRole("checkbox", { name: "whole milk" }).check();
  await page.getByText(/^Together \d+ g in every bake/).waitFor();
  await page.locator(".plan-summary").filter({ hasText: "blends" }).waitFor({ timeout: 60_000 });
  await page.getByText(/runs look doubtful before an egg is broken/).waitFor();
  await page.getByRole("button", { name: "Make the run sheet" }).click();
  await page.getByRole("heading", { name: "Day 1", exact: true }).waitFor();
  expect(await page.locator(".run-what").first().textContent()).toMatch(/unsalted butter \d+(\.\d)? %/);
  await page.locator(".doubt").first().waitFor();
  expect(complaints).toEqual([]);
  await context.close();
});

it("keeps the best setting of a trial as the new standard, with its evidence", async () => {
  const { page, context, complaints } = await visit(browser, `${bakery.url}/#/trials/how-much?formula=${DEMO.ginger}`);
  const change = page.getByLabel(/^Change/);
  await change.selectOption({ index: 1 });
  await change.selectOption({ label: "oven" }).catch(() => change.selectOption({ index: 2 }));
  await page.locator(".plan-summary").filter({ hasText: "settings" }).waitFor();
  await page.getByRole("button", { name: "Make the run sheet" }).click();
  await page.getByRole("heading", { name: "Day 1", exact: true }).waitFor();
  // Filled in as a spreadsheet would: height grows with the first factor and falls off beyond a middle oven.
  await page.getByRole("button", { name: "More" }).click();
  const [file] = await Promise.all([page.waitForEvent("download"), page.getByRole("menuitem", { name: "Save as CSV" }).click()]);
  const lines = readFileSync(await file.path(), "utf8")
    .trim()
    .split(/\r?\n/);
  const head = lines[0]!.split(",");
  const [first, second] = [6, 7];
  const place = head.findIndex((name) => name.startsWith("height at the centre"));
  const columns = lines.slice(1).map((line) => line.split(","));
  const range = (column: number) => {
    const values = columns.map((row) => Number(row[column]));
    return [Math.min(...values), Math.max(...values)] as const;
  };
  const coded = (row: readonly string[], column: number) => {
    const [low, high] = range(column);
    return (2 * (Number(row[column]) - low)) / (high - low) - 1;
  };
  const filled = columns.map((row, index) => {
    const [x, y] = [coded(row, first), coded(row, second)];
    const noise = [0.3, -0.5, 0.6, -0.2, 0.1, -0.4, 0.5, -0.3, 0.2, -0.1][index % 10]!;
    return row.map((cell, column) => (column === place ? (42 + 3 * x - 4 * y * y + noise).toFixed(1) : cell)).join(",");
  });
  await page
    .getByLabel("A filled-in CSV")
    .setInputFiles({ name: "filled.csv", mimeType: "text/csv", buffer: Buffer.from([lines[0], ...filled].join("\n")) });
  await page.getByText(new RegExp(`${filled.length} of ${filled.length} settled`)).waitFor();
  await page.getByRole("button", { name: "What it says" }).click();
  await page.locator("h1.answer").filter({ hasText: "is moved by" }).waitFor();
  await page.getByRole("img", { name: /^Predicted height at the centre over/ }).waitFor();
  await page.getByRole("button", { name: "Keep the best setting and make it the standard" }).click();
  await page.getByText(/was made the standard/).waitFor();
  await expect
    .poll(async () => {
      const answered = await fetch(`${bakery.url}/api/documents/${DEMO.ginger}`);
      const { document, latest } = (await answered.json()) as {
        document: { standardRevisionId: string };
        latest: { id: string; note: string };
      };
      return document.standardRevisionId === latest.id ? latest.note : "";
    })
    .toMatch(/^From the trial “.*”: Height at the centre is moved by/);
  expect(complaints).toEqual([]);
  await context.close();
});

it("tastes on phones: allergens first, a kind way out, results at once", async () => {
  const { page, context, complaints } = await visit(browser, `${bakery.url}/#/trials/can-people-tell`);
  await page.getByLabel("The one you make now: formula").selectOption({ label: "Raspberry sandwich" });
  await page.getByLabel("The new one: formula").selectOption({ label: "Raspberry sandwich" });
  await page.getByLabel("Tasters").fill("6");
  await page
    .locator(".plan-summary")
    .filter({ hasText: /^6 tasters/ })
    .waitFor();
  await page.getByRole("button", { name: "Make the serving plan" }).click();
  await page.getByRole("heading", { name: "Who is served what" }).waitFor();
  await page.getByRole("button", { name: "Codes for the tasters' phones" }).click();
  await page.getByText("evencrumb serve --host 0.0.0.0").waitFor();
  const codes = page.locator(".code-list a");
  await expect.poll(() => codes.count()).toBe(6);
  const links = await codes.evaluateAll((all) => all.map((one) => one.getAttribute("href")!));

  for (const [index, link] of links.entries()) {
    const theme = index % 2 === 0 ? "light" : "dark";
    const phone = await visit(browser, bakery.url + link, { width: 390, height: 844, theme, touch: true });
    const { page: taster } = phone;
    await taster.getByRole("heading", { name: "Before you taste" }).waitFor();
    await taster.getByText(/eggs/).first().waitFor();
    expect(await taster.getByText("Which one is different").count()).toBe(0);
    await inspect(taster, "the allergens on a phone", index === 0 ? "taster-allergens" : undefined);
    if (index === 3) {
      await taster.getByRole("button", { name: "No thank you" }).click();
      await taster.getByRole("heading", { name: "That is quite all right" }).waitFor();
      await inspect(taster, "declined on a phone");
    } else {
      await taster.getByRole("link", { name: "I can eat all of this" }).click();
      await taster.getByText("Which one is different").waitFor();
      await inspect(taster, "the question on a phone");
      await taster
        .getByRole("radio")
        .nth(index % 3)
        .check();
      await taster.getByRole("button", { name: "Send my answer" }).click();
      await taster.getByRole("heading", { name: "Thank you" }).waitFor();
    }
    expect(phone.complaints).toEqual([]);
    await phone.context.close();
    // The baker's page hears of it by itself.
    const answered = index < 3 ? index + 1 : index;
    await page.getByText(new RegExp(`^${answered} of 6 answered`)).waitFor();
  }
  await page.getByText("5 of 6 answered, 1 did not taste.").waitFor();
  expect(await page.locator("h1.answer").textContent()).toMatch(/can tell them apart|shown that people can tell/);
  expect(complaints).toEqual([]);
  await context.close();
});

it("takes an answer that was given on paper", async () => {
  const { page, context } = await visit(browser, `${bakery.url}/#/trials/which-do-they-prefer`);
  await page.getByLabel("The one you make now: formula").selectOption({ label: "Raspberry sandwich" });
  await page.getByLabel("The new one: formula").selectOption({ label: "Ginger slab" });
  await page.getByLabel("Tasters").fill("4");
  await page
    .locator(".plan-summary")
    .filter({ hasText: /^4 tasters/ })
    .waitFor();
  await page.getByRole("button", { name: "Make the serving plan" }).click();
  await page.getByRole("button", { name: "write down" }).first().click();
  const dialog = page.getByRole("dialog");
  await dialog.getByRole("button", { name: "Write it down" }).click();
  await dialog.getByText(/Expected 1 of the codes/).waitFor();
  await dialog.getByRole("radio").first().check();
  await dialog.getByRole("button", { name: "Write it down" }).click();
  await page.getByText(/^1 of 4 answered/).waitFor();
  await context.close();
});

/** Views of the trials made above; the tests stand in their order. */
describe.each([
  ["light", 1280, 800],
  ["light", 820, 1180],
  ["dark", 820, 1180],
] as const)("in %s at %i × %i", (theme, width, height) => {
  const guide = theme === "light" && width === 1280;
  it("shows every view whole and readable", async () => {
    const { documents } = (await (await fetch(`${bakery.url}/api/documents?kind=trial`)).json()) as {
      documents: readonly { id: string; name: string }[];
    };
    const idOf = (question: RegExp) => documents.find(({ name }) => question.test(name))!.id;
    const { page, context, complaints } = await visit(browser, `${bakery.url}/#/trials`, { theme, width, height });
    const to = async (hash: string) => {
      await page.evaluate((address) => {
        location.hash = address;
      }, hash);
    };
    await page.getByRole("link", { name: /is the new one better/ }).waitFor();
    await inspect(page, "the trials");
    await to(`#/trials/better?formula=${DEMO.sandwich}`);
    await page.locator(".plan-summary").waitFor();
    await inspect(page, "a question", guide ? "trial-question" : undefined);
    await to(`#/trials/how-much?formula=${DEMO.ginger}`);
    const change = page.getByLabel(/^Change/);
    await change.selectOption({ index: 1 });
    await change.selectOption({ index: 2 });
    await page.locator(".plan-summary").waitFor();
    await page.getByText("How good these bakes are").click();
    await inspect(page, "how much");
    await to(`#/trials/which-blend?formula=${DEMO.sandwich}`);
    await page.getByLabel("The cake that is changed: revision").selectOption({ index: 2 });
    await page.getByRole("checkbox", { name: "unsalted butter" }).check();
    await page.getByRole("checkbox", { name: "sunflower oil" }).check();
    await page.locator(".plan-summary").waitFor({ timeout: 60_000 });
    await inspect(page, "which blend");
    await to("#/trials/can-people-tell");
    await page.getByLabel("May contain").waitFor();
    await inspect(page, "can people tell");
    const better = idOf(/is the new one better/);
    await to(`#/trial/${better}`);
    await page.getByRole("heading", { name: "Day 1", exact: true }).waitFor();
    await inspect(page, "the run sheet");
    await to(`#/trial/${better}/run?run=3`);
    await page.getByRole("heading", { name: /^Run 3/ }).waitFor();
    await inspect(page, "a run", width === 820 && theme === "light" ? "trial-run-tablet" : undefined);
    await to(`#/trial/${better}/answer`);
    await page.locator("h1.answer").waitFor();
    await inspect(page, "the answer", guide ? "trial-answer" : undefined);
    await to(`#/trial/${idOf(/how much of it/)}/answer`);
    await page.locator("h1.answer").waitFor();
    await page.getByRole("heading", { name: "The best setting" }).waitFor({ timeout: 20_000 });
    for (const summary of await page.locator("details > summary").all()) await summary.click();
    await inspect(page, "the answer of how much");
    await to(`#/trial/${idOf(/can people tell/)}`);
    await page.getByRole("heading", { name: "Who is served what" }).waitFor();
    await inspect(page, "a tasting");
    expect(complaints).toEqual([]);
    await context.close();
  });
});
