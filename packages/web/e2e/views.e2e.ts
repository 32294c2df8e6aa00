import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import AxeBuilder from "@axe-core/playwright";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { cell, DEMO, openBrowser, ROOT, type RunningBakery, sheetAddress, startBakery, visit } from "./support.js";

// Every view at both sizes and in both lights: nothing runs over, nothing moves while it loads, axe finds nothing.
// With EVENCRUMB_PICTURES=1 the pictures of the guide are taken anew.

let browser: Browser;
let bakery: RunningBakery;
beforeAll(async () => {
  [browser, bakery] = await Promise.all([openBrowser(), startBakery()]);
});
afterAll(async () => {
  await browser?.close();
  await bakery?.dispose();
});

const LIST =
  "Carrot cake\n250 ml sunflower oil\n4 large eggs\n2 cups soft brown sugar\n1 lb carrots, grated\n1 tsp cinnamon\na knob of butter\n3 glugs of hope";

interface View {
  readonly name: string;
  readonly address: (url: string) => string;
  /** Brings the view to where it is looked at, and waits until it is there. */
  readonly ready: (page: Page) => Promise<void>;
  readonly picture?: string;
}

const VIEWS: readonly View[] = [
  {
    name: "the list of formulas",
    address: (url) => url,
    ready: (page) => page.getByRole("link", { name: /Raspberry sandwich/ }).waitFor(),
    picture: "formulas",
  },
  {
    name: "the sheet",
    address: (url) => sheetAddress(url, DEMO.sandwich),
    ready: (page) => page.locator(".margin .ratios").first().waitFor(),
    picture: "sheet",
  },
  {
    name: "the sheet compared with another revision",
    address: (url) => sheetAddress(url, DEMO.sandwich),
    ready: async (page) => {
      await page.getByRole("button", { name: /^Revision 1/ }).click();
      await page.getByRole("menuitem", { name: "Compare with this" }).click();
      await page.getByText("Compared with 1").waitFor();
    },
    picture: "compared",
  },
  {
    name: "a name being typed",
    address: (url) => sheetAddress(url, DEMO.cupCakes),
    ready: async (page) => {
      await cell(page, 0, 0, 0, "name").click();
      await page.keyboard.type("brown su");
      await page.locator(".suggestions [role=option]").first().waitFor();
    },
    picture: "search-as-you-type",
  },
  {
    name: "the menu of a line",
    address: (url) => sheetAddress(url, DEMO.sandwich),
    ready: async (page) => {
      await cell(page, 0, 0, 1, "grams").click();
      await page.getByRole("button", { name: "More for Sunflower oil" }).click();
      await page.getByRole("menuitem", { name: "Split over stages…" }).waitFor();
    },
  },
  {
    name: "method and targets",
    address: (url) => sheetAddress(url, DEMO.sandwich),
    ready: async (page) => {
      await cell(page, 0, 0, "", "note").click();
      await page.keyboard.press("Enter");
      await page.getByRole("dialog").getByText("Done when").waitFor();
    },
  },
  {
    name: "kind, tins, loss and batter",
    address: (url) => sheetAddress(url, DEMO.sandwich),
    ready: async (page) => {
      await page.getByRole("button", { name: /^Sponge: cake/ }).click();
      await page.getByRole("dialog").getByLabel("Kind").waitFor();
    },
  },
  {
    name: "a pasted list",
    address: (url) => url,
    ready: async (page) => {
      await page.getByRole("button", { name: "Paste a list" }).click();
      await page.getByLabel("The list").fill(LIST);
      await page.getByRole("button", { name: "Read it" }).click();
      await page.locator(".read-line").nth(4).waitFor();
    },
    picture: "pasted-list",
  },
  {
    name: "what it contains",
    address: (url) => sheetAddress(url, DEMO.sandwich, "contains"),
    ready: async (page) => {
      await page.getByRole("button", { name: "fat", exact: true }).click();
      await page.locator(".contributions li").first().waitFor();
    },
    picture: "contains",
  },
  {
    name: "two revisions side by side",
    address: (url) => sheetAddress(url, DEMO.sandwich, "compare"),
    ready: (page) => page.locator(".consequences").waitFor(),
    picture: "side-by-side",
  },
  {
    name: "scaling",
    address: (url) => sheetAddress(url, DEMO.sandwich, "scale", "?by=tins&value=1%20square%2023x5%20cm"),
    ready: (page) => page.locator(".scaled-tins svg").first().waitFor(),
    picture: "scale",
  },
  {
    name: "the batch sheet",
    address: (url) => sheetAddress(url, DEMO.sandwich, "batch"),
    ready: async (page) => {
      await page.getByRole("checkbox").nth(1).check();
      await page.getByText("1 of").waitFor();
    },
    picture: "batch-sheet",
  },
  {
    name: "how it keeps",
    address: (url) => sheetAddress(url, DEMO.sandwich, "keep"),
    ready: (page) => page.locator(".layers-picture").waitFor(),
    picture: "keeping",
  },
  {
    name: "the price",
    address: (url) => sheetAddress(url, DEMO.sandwich, "price"),
    ready: async (page) => {
      await page.locator(".waterfall-profit").waitFor();
      await page.getByText("90 min waiting not paid").waitFor();
    },
    picture: "price",
  },
  {
    name: "the prices",
    address: (url) => `${url}/#/prices`,
    ready: async (page) => {
      const rise = page.getByRole("region", { name: "What if it gets dearer" });
      await rise.getByLabel("Ingredient").focus();
      // Typed and not chosen by the test's own hand: what moves after a key is what the baker asked for.
      await page.keyboard.type("Unsalted");
      await page.getByText(/Unsalted butter is in/).waitFor();
    },
    picture: "prices",
  },
  {
    name: "the label",
    address: (url) => sheetAddress(url, DEMO.sandwich, "label"),
    ready: (page) => page.locator(".label-paper img").waitFor(),
    picture: "label",
  },
  {
    name: "the write-up",
    address: (url) => sheetAddress(url, DEMO.sandwich, "writeup"),
    ready: (page) => page.frameLocator(".paper-frame").getByRole("heading", { name: "Raspberry sandwich" }).waitFor(),
    picture: "write-up",
  },
  {
    name: "the allergens of everything",
    address: (url) => `${url}/#/allergens`,
    ready: (page) => page.frameLocator(".paper-frame").getByText("Lemon curd").waitFor(),
    picture: "allergens",
  },
  {
    name: "the ingredients",
    address: (url) => `${url}/#/ingredients`,
    ready: (page) => page.getByRole("link", { name: "Plain flour", exact: true }).waitFor(),
  },
  {
    name: "one ingredient",
    address: (url) => `${url}/#/ingredients/butter-unsalted`,
    ready: (page) => page.getByRole("heading", { name: "In 100 g" }).waitFor(),
    picture: "ingredient",
  },
  {
    name: "an ingredient from its packet",
    address: (url) => `${url}/#/ingredients`,
    ready: async (page) => {
      await page.getByRole("button", { name: "Add one from its packet" }).click();
      const dialog = page.getByRole("dialog");
      await dialog.getByLabel("Name").fill("Oat drink");
      await dialog.getByLabel("Fat", { exact: true }).fill("150");
      await dialog.getByText(/Expected a figure/).waitFor();
    },
  },
  {
    name: "the tins",
    address: (url) => `${url}/#/tins`,
    ready: (page) => page.getByText("Fluted ring", { exact: true }).waitFor(),
    picture: "tins",
  },
  {
    name: "a tin being added",
    address: (url) => `${url}/#/tins`,
    ready: async (page) => {
      await page.getByRole("button", { name: "Add a tin" }).click();
      await page.getByLabel("Shape and inner size").fill("ring 24x8 cm hole 7 cm");
      await page.locator(".tin-drawn svg").waitFor();
    },
  },
  {
    name: "the settings",
    address: (url) => `${url}/#/settings`,
    ready: (page) => page.getByRole("button", { name: "Remove the demo" }).waitFor(),
  },
  {
    name: "an address that is not there",
    address: (url) => `${url}/#/nowhere`,
    ready: (page) => page.getByRole("heading", { name: "There is no such page" }).waitFor(),
  },
];

/** Colours do not hang on the width, so the tablet in the dark is looked at only where it is used in the dark. */
const AT_NIGHT = new Set(["the sheet", "the batch sheet"]);

describe.each([
  ["light", 1280, 800],
  ["light", 820, 1180],
  ["dark", 1280, 800],
  ["dark", 820, 1180],
] as const)("in %s at %i × %i", (theme, width, height) => {
  const views = theme === "dark" && width < 900 ? VIEWS.filter(({ name }) => AT_NIGHT.has(name)) : VIEWS;
  it.each(views.map((view) => [view.name, view] as const))("shows %s", async (_name, view) => {
    const { page, context, complaints } = await visit(browser, "about:blank", { theme, width, height });
    await page.addInitScript(() => {
      const shifts: number[] = [];
      Object.assign(window, { shifts });
      new PerformanceObserver((list) => {
        // What the reader's own hand moved is no shift.
        for (const entry of list.getEntries() as (PerformanceEntry & { value: number; hadRecentInput: boolean })[])
          if (!entry.hadRecentInput) shifts.push(entry.value);
      }).observe({ type: "layout-shift", buffered: true });
    });
    await page.goto(view.address(bakery.url));
    await view.ready(page);
    await page.evaluate(() => document.fonts.ready);

    const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    expect(over, "pixels that run over the edge").toBeLessThanOrEqual(0);
    const shifted = await page.evaluate(() =>
      (window as unknown as { shifts: number[] }).shifts.reduce((sum, shift) => sum + shift, 0),
    );
    expect(shifted, "cumulative layout shift").toBeLessThan(0.02);

    // A page of paper is shown in a frame where nothing may run, axe neither: the papers themselves are checked in papers.e2e.ts.
    const { violations } = await new AxeBuilder({ page }).exclude(".paper-frame").analyze();
    expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ target }) => target.join(" ")).join(" | ")}`)).toEqual([]);
    expect(complaints).toEqual([]);

    if (view.picture !== undefined && process.env.EVENCRUMB_PICTURES === "1") {
      const folder = join(ROOT, "docs", "guide", "pictures");
      mkdirSync(folder, { recursive: true });
      const name = [
        view.picture,
        ...(width < 900 ? ["tablet"] : view.picture === "sheet" ? ["laptop"] : []),
        ...(theme === "dark" ? ["dark"] : []),
      ].join("-");
      if (PICTURES.has(name)) writeFileSync(join(folder, `${name}.png`), await page.screenshot());
      // All of them, to be looked at: EVENCRUMB_LOOK names a folder.
    }
    if (process.env.EVENCRUMB_LOOK !== undefined) {
      mkdirSync(process.env.EVENCRUMB_LOOK, { recursive: true });
      const file = `${view.name.replaceAll(" ", "-")}-${width}-${theme}.png`;
      writeFileSync(join(process.env.EVENCRUMB_LOOK, file), await page.screenshot());
    }
    await context.close();
  });
});

/** What the guide shows; a picture in both lights and sizes only where it tells something. */
const PICTURES = new Set([
  "formulas",
  "sheet-laptop",
  "sheet-tablet-dark",
  "compared",
  "search-as-you-type",
  "pasted-list",
  "contains",
  "side-by-side",
  "scale",
  "batch-sheet-tablet",
  "ingredient",
  "tins",
  "price",
  "prices",
]);
