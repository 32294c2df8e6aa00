import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import AxeBuilder from "@axe-core/playwright";
import type { Page } from "playwright-core";
import { expect } from "vitest";
import { ROOT } from "./support.js";

/** Nothing runs over, axe finds nothing; taken as a picture where one is wanted. */
export async function inspect(page: Page, name: string, picture?: string): Promise<void> {
  await page.evaluate(() => document.fonts.ready);
  const { width, theme } = await page.evaluate(() => ({
    width: window.innerWidth,
    theme: document.documentElement.dataset.theme ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light"),
  }));
  if (process.env.EVENCRUMB_LOOK !== undefined) {
    mkdirSync(process.env.EVENCRUMB_LOOK, { recursive: true });
    const file = `${name.replaceAll(" ", "-")}-${width}-${theme}.png`;
    writeFileSync(join(process.env.EVENCRUMB_LOOK, file), await page.screenshot({ fullPage: true }));
  }
  const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  expect(over, `${name}: pixels that run over the edge`).toBeLessThanOrEqual(0);
  const { violations } = await new AxeBuilder({ page }).analyze();
  expect(violations.map(({ id, nodes }) => `${name}: ${id}: ${nodes.map(({ target }) => target.join(" ")).join(" | ")}`)).toEqual(
    [],
  );
  if (picture !== undefined && process.env.EVENCRUMB_PICTURES === "1") {
    const folder = join(ROOT, "docs", "guide", "pictures");
    mkdirSync(folder, { recursive: true });
    writeFileSync(join(folder, `${picture}.png`), await page.screenshot());
  }
}
