import { readFileSync } from "node:fs";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { cell, DEMO, open, openBrowser, type RunningBakery, sheetAddress, startBakery, visit } from "./support.js";

// Cost and price: counted by stage and to the penny, kept for every device, with the history of what was paid.

let browser: Browser;
let bakery: RunningBakery;
beforeAll(async () => {
  [browser, bakery] = await Promise.all([openBrowser(), startBakery()]);
});
afterAll(async () => {
  await browser?.close();
  await bakery?.dispose();
});

const pence = (text: string | null) =>
  [...(text ?? "").matchAll(/(−?)£(\d+)\.(\d\d)/g)].map(
    ([, sign, pounds, rest]) => (sign === "−" ? -1 : 1) * (100 * Number(pounds) + Number(rest)),
  );
const settled = (page: Page) => page.getByText(/^kept /).waitFor();

/** Demo formulas without a price of their own. */
const [ROLL, RING] = ["5a1d0001-0000-4000-8000-000000000002", "5a1d0001-0000-4000-8000-000000000006"];

it("counts work by stage, pays no waiting unless it is said, and accounts for every penny", async () => {
  const { page, context, complaints } = await visit(browser, sheetAddress(bakery.url, ROLL, "price"));
  await page.getByText("No labour is counted").waitFor();
  await page.getByLabel("Wage of an hour, GBP").fill("12");
  await page.getByRole("button", { name: "Begin with the usual stages" }).click();
  await page.getByLabel("Weigh and mix: hands-on minutes").fill("20");
  await page.getByLabel("Bake: waiting minutes").fill("30");
  const work = page.locator(".cost-table tbody", { hasText: "Labour" });
  // 20 minutes at 20 pence.
  await work.getByText("£4.00").first().waitFor();
  await work.getByText("30 min waiting not paid").waitFor();
  await page.getByLabel("Waiting is paid, % of it").fill("50");
  await work.getByText("£7.00").waitFor();
  await page.getByLabel("Waiting is paid, % of it").fill("");
  await work.getByText("£4.00").first().waitFor();

  await page.getByLabel("Energy of a batch").selectOption("rated");
  await page.getByLabel("A kWh, GBP").fill("0.285");
  await page.getByLabel("Oven, kW").fill("3.2");
  await page.getByLabel("Bake, min").fill("25");
  await page.getByLabel("Batches share it").fill("3");
  // 3.2 kW x (15/3 + 25 x 0.45) min / 60 = 0.867 kWh, 24.7 pence.
  await page.getByText("0.87 kWh").waitFor();
  await page.getByRole("button", { name: "Add packaging" }).click();
  await page.getByLabel("Box, GBP").fill("0.62");
  await page.getByRole("button", { name: "Add an overhead" }).click();
  await page.getByLabel("Rent and insurance, GBP").fill("1.10");
  await page.getByLabel("Fee, % of the price").fill("1.7");
  await page.getByLabel("VAT or sales tax on top, %").fill("20");
  await page.getByLabel("How much, GBP").fill("38");
  await page.getByText("(Fixed costs)").waitFor();

  // The table: lines sum to their kind, kinds to the batch. The picture: parts sum to the price.
  const sums = await page.locator(".cost-table").evaluate((table) => {
    const of = (row: Element) => row.querySelector("td")?.textContent ?? "";
    return {
      kinds: [...table.querySelectorAll("tbody")].map((body) => [...body.querySelectorAll("tr")].map(of)),
      batch: of(table.querySelector("tfoot tr")!),
    };
  });
  const kinds = sums.kinds.map((rows) => rows.flatMap((text) => pence(text)));
  for (const [kind, ...lines] of kinds) expect(lines.reduce((sum, one) => sum + one, 0)).toBe(kind);
  expect(kinds.reduce((sum, [kind]) => sum + kind!, 0)).toBe(pence(sums.batch)[0]);
  const steps = pence(await page.locator(".waterfall").getAttribute("aria-label"));
  const price = steps.at(-1)!;
  expect(steps.slice(0, -1).reduce((sum, one) => sum + one, 0)).toBe(price);
  expect(steps.length).toBe(9); // ingredients, labour, energy, packaging, overhead, fees, left over, tax, price
  const [cost, said, left] = pence(await page.locator(".price-answer").textContent());
  expect([cost, said]).toEqual([kinds.reduce((sum, [kind]) => sum + kind!, 0), price]);
  expect(left).toBe(steps.at(-3));

  // The same number as a mark-up is another price, and the sentence says both.
  await page.getByText(/^The margin is 40\.\d % of the price without tax; the mark-up is/).waitFor();
  await page.getByLabel("Priced by").selectOption("markUpPercent");
  await page.getByLabel("Mark-up, %").fill("40");
  await page.getByText(/the mark-up is 40\.\d % on the cost/).waitFor();
  await page.getByLabel("Mark-up, %").fill("forty");
  await page.getByText("A number from 0 to 10,000.").waitFor();
  // Leaving the page keeps what was typed; then it is with the server.
  await open(page, `${bakery.url}/#/prices`);
  await page.getByRole("heading", { name: "Prices", exact: true }).waitFor();
  await settled(page);
  expect(complaints).toEqual([]);
  await context.close();
});

it("keeps a price for every device, also what two of them typed apart", async () => {
  const address = sheetAddress(bakery.url, DEMO.ginger, "price");
  const [one, other] = await Promise.all([visit(browser, address), visit(browser, address)]);
  await one.page.getByLabel("Cakes in a batch").fill("24");
  await settled(one.page);
  await other.page.waitForFunction(
    () => document.querySelector<HTMLInputElement>(".price-part input")?.value === "24",
    undefined,
    {
      timeout: 15_000,
    },
  );
  // Without a network it is typed all the same, and nothing of the other's is lost.
  await other.context.setOffline(true);
  await other.page.getByLabel("Wage of an hour, GBP").fill("13.10");
  await one.page.getByLabel("Portions of a cake").fill("3");
  await one.page.waitForTimeout(4000);
  await settled(one.page);
  await other.context.setOffline(false);
  await other.page.evaluate(() => window.dispatchEvent(new Event("online")));
  for (const { page } of [one, other]) {
    await page.waitForFunction(
      () => {
        const value = (label: string) =>
          [...document.querySelectorAll("label")]
            .find(({ textContent }) => textContent === label)
            ?.parentElement?.querySelector("input")?.value;
        return (
          value("Portions of a cake") === "3" && value("Wage of an hour, GBP") === "13.10" && value("Cakes in a batch") === "24"
        );
      },
      undefined,
      { timeout: 30_000 },
    );
    expect(await page.getByText("There are other figures").count()).toBe(0);
  }
  expect([...one.complaints, ...other.complaints]).toEqual([]);
  await Promise.all([one.context.close(), other.context.close()]);
});

it("takes over what a device held before prices were shared, and loses none of it", async () => {
  const { page, context, complaints } = await visit(browser, `${bakery.url}/#/tins`);
  await page.evaluate(
    (ids) => {
      const words = {
        cakes: "12",
        portions: "1",
        perHour: "14.50",
        minutes: "25",
        kwh: "0,8",
        perKwh: "0.285",
        packaging: "0.05",
        overheadPercent: "4",
        rule: "mark-up",
        ruleValue: "70",
        feePercent: "0",
        taxPercent: "0",
        fixed: "",
      };
      for (const id of ids) localStorage.setItem(`evencrumb.price.${id}`, JSON.stringify(words));
      const entry = {
        ingredient: "muscovado-sugar-of-old",
        pack: { grams: 500, priceMinor: 210, currency: "GBP", date: "2026-01-05" },
      };
      localStorage.setItem("evencrumb.prices", JSON.stringify({ entries: [entry, { ...entry, ingredient: "salt" }] }));
    },
    [RING, DEMO.cupCakes],
  );
  await page.reload();
  await page.waitForFunction(() => !Object.keys(localStorage).some((key) => /^evencrumb\.prices?(\.|$)/.test(key)));
  await settled(page);
  // Another device sees it.
  const other = await visit(browser, sheetAddress(bakery.url, RING, "price"));
  await other.page.getByLabel("Work: hands-on minutes").waitFor();
  const value = (label: string) => other.page.getByLabel(label, { exact: true }).inputValue();
  expect([
    await value("Cakes in a batch"),
    await value("Wage of an hour, GBP"),
    await value("Work: hands-on minutes"),
    await value("kWh"),
    await value("Packaging, GBP"),
    await value("Overhead, percent"),
    await value("Mark-up, %"),
  ]).toEqual(["12", "14.50", "25", "0.8", "0.05", "4", "70"]);
  // Where there was a price already, a person says which holds.
  await open(other.page, sheetAddress(bakery.url, DEMO.cupCakes, "price"));
  const notice = other.page.getByRole("region", { name: "Other figures for this price" });
  await notice.getByText(/They differ in .*work, oven, packaging/).waitFor();
  expect(await value("Price of a cake, GBP")).toBe("2.80");
  await notice.getByRole("button", { name: "Take those" }).click();
  await other.page.getByLabel("Mark-up, %").waitFor();
  expect([await value("Mark-up, %"), await value("Work: hands-on minutes")]).toEqual(["70", "25"]);
  await notice.waitFor({ state: "detached" });
  await open(other.page, `${bakery.url}/#/ingredients/salt`);
  await other.page.getByText("500 g for £2.10").waitFor();
  expect([...complaints, ...other.complaints]).toEqual([]);
  await Promise.all([context.close(), other.context.close()]);
});

it("says of a price list what is wrong in which row and column, keeps the rest, and gives it back", async () => {
  const { page, context, complaints } = await visit(browser, `${bakery.url}/#/prices`);
  const text = [
    "ingredient,pack_grams,price,currency,supplier,date",
    'Plain flour,1500,1.10,GBP,"Corner, & shop",2026-11-20',
    "moon dust,1,1,GBP,,",
    "salt,a bag,0.90,GBP,,",
    "cornflour,500,,GBP,,2026-13-01",
  ].join("\r\n");
  await page.locator("input[type=file]").setInputFiles({ name: "odd.csv", mimeType: "text/csv", buffer: Buffer.from(text) });
  await page.getByText("odd.csv: 1 price added; what is wrong in it is listed below, and the other rows stand.").waitFor();
  const rows = await page.locator(".faults tbody tr").allTextContents();
  expect(rows).toHaveLength(4);
  expect(rows[0]).toMatch(/^3ingredientmoon dustthe id of an ingredient, or its nameLook its id up/);
  expect(rows[1]).toMatch(/^4pack_gramsa bag/);
  expect(rows[2]).toMatch(/^5pricenothinga price such as 7\.20/);
  expect(rows[3]).toMatch(/^5date2026-13-01/);
  // The same list again adds nothing.
  await page.locator("input[type=file]").setInputFiles({ name: "odd.csv", mimeType: "text/csv", buffer: Buffer.from(text) });
  await page.getByText("odd.csv: 0 prices added, 1 that was here already").waitFor();
  const [saved] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Save all prices" }).click(),
  ]);
  const given = readFileSync((await saved.path())!, "utf8");
  expect(given).toContain('plain-flour,1500,1.10,GBP,"Corner, & shop",2026-11-20\r\n');
  expect(complaints).toEqual([]);
  await context.close();
});

it("keeps every price with its day, and says what a rise does to what is made here", async () => {
  const { page, context, complaints } = await visit(browser, `${bakery.url}/#/ingredients/butter-unsalted`);
  const prices = page.getByRole("region", { name: "Packs and prices" });
  await prices.getByRole("row", { name: /5 kg for £38\.50/ }).waitFor();
  expect(await prices.locator("tbody tr").count()).toBe(3);
  await prices.getByLabel("Which price held on").fill("2026-08-01");
  await prices.getByText("£7.20 a kg, seen on 2026-07-06").waitFor();
  await prices.getByLabel("Which price held on").fill("2026-01-01");
  await prices.getByText("None was known by then.").waitFor();
  await prices.getByRole("button", { name: "Add a price" }).click();
  await prices.getByRole("button", { name: "Write it down" }).click();
  await prices.getByText("Type a price such as 2.35 (GBP).").waitFor();
  await prices.getByLabel("Price of the pack, GBP").fill("44.00");
  await prices.getByLabel("Seen on", { exact: true }).fill("2026-11-20");
  await prices.getByRole("button", { name: "Write it down" }).click();
  await prices.getByRole("row", { name: /2026-11-20 5 kg for £44\.00 £8\.80 a kg \+14\.3 %/ }).waitFor();
  // The old ones stay.
  expect(await prices.locator("tbody tr").count()).toBe(4);

  await open(page, `${bakery.url}/#/prices`);
  await page.getByRole("row", { name: /Unsalted butter £8\.80 \+14\.3 %/ }).waitFor();
  const rise = page.getByRole("region", { name: "What if it gets dearer" });
  await rise.getByLabel("Ingredient").selectOption({ label: "Unsalted butter" });
  await rise.getByText(/Unsalted butter is in \d+ products\./).waitFor();
  // The sandwich is priced by a margin of 35 %: it falls below, and the price that holds it is named.
  const row = rise.getByRole("row", { name: /^Raspberry sandwich/ });
  await row.getByText(/below 35\.0 %; £\d+\.\d\d would hold it/).waitFor();
  const was = (await row.textContent())!;
  const before = pence(was);
  await rise.getByRole("slider").focus();
  for (let press = 0; press < 10; press++) await page.keyboard.press("ArrowRight");
  await rise.getByText("20 % dearer").waitFor();
  await page.waitForFunction((text) => !document.querySelector(".effect-table")?.textContent?.includes(text), was);
  const after = pence(await row.textContent());
  expect(after[0]).toBe(before[0]); // it costs what it costs now
  // Twice the rise, twice the difference, to the penny of the rounding.
  expect(Math.abs(after[1]! - after[0]! - 2 * (before[1]! - before[0]!))).toBeLessThanOrEqual(2);
  expect(complaints).toEqual([]);
  await context.close();
});

it("says that nothing is priced where nothing is", async () => {
  const bare = await startBakery({ demo: false });
  const { page, context, complaints } = await visit(browser, `${bare.url}/#/prices`);
  await page.getByText("None yet.").waitFor();
  await page
    .locator("input[type=file]")
    .setInputFiles({ name: "a.csv", mimeType: "text/csv", buffer: Buffer.from("butter;1;2\n") });
  await page.getByText("Save the list with commas between the columns.").waitFor();
  expect(complaints).toEqual([]);
  await context.close();
  await bare.dispose();
});

it("shows the cost beside the sheet, what a change of it does, and two revisions side by side", async () => {
  const { page, context, complaints } = await visit(browser, `${bakery.url}/#/ingredients/butter-unsalted`);
  const [perKg] = pence(await page.locator(".held").textContent());
  await open(page, sheetAddress(bakery.url, DEMO.sandwich));
  const reading = page.locator(".cost-reading");
  await reading.getByText("a cake").waitFor();
  const [before] = pence(await reading.locator("p.figures").textContent());
  await page.getByRole("button", { name: /^Revision 3/ }).click();
  await page.getByRole("menuitem", { name: "Compare with this" }).click();
  await reading.getByText("same").first().waitFor();
  await cell(page, 0, 0, 0, "grams").click();
  await page.keyboard.type("235");
  await page.keyboard.press("Enter");
  // 100 g of butter more, 4 % of it in small things, and 95 of 100 cakes carry it.
  const more = Math.round(((perKg! / 10) * 1.04) / 0.95);
  await reading
    .getByText(`+£${(more / 100).toFixed(2)}`)
    .first()
    .waitFor();
  const [after] = pence(await reading.locator("p.figures").textContent());
  expect(Math.abs(after! - before! - more)).toBeLessThanOrEqual(1); // both are rounded to the penny
  await page.keyboard.press("Control+z");
  await open(page, sheetAddress(bakery.url, DEMO.sandwich, "compare"));
  const costs = page.getByRole("region", { name: "What it costs" });
  // 225 g of butter become 135 g.
  const butter = pence(await costs.getByRole("row", { name: /^Unsalted butter/ }).textContent());
  expect(butter.slice(0, 2)).toEqual([Math.round(0.225 * perKg!), Math.round(0.135 * perKg!)]);
  await costs.getByRole("row", { name: /^Sunflower oil £0\.00 £0\.18 \+£0\.18/ }).waitFor();
  const [was, is, change] = pence(await costs.getByRole("row", { name: /^A batch/ }).textContent());
  expect(is! - was!).toBe(change);
  const does = page.getByRole("region", { name: "What it does" });
  await does.getByText(/^A cake costs £\d+\.\d\d less\.$/).waitFor({ timeout: 60_000 });
  await does.getByRole("row", { name: /^cost of one cake sold/ }).waitFor();
  expect(complaints).toEqual([]);
  await context.close();
});
