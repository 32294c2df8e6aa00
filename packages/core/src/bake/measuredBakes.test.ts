import { readFileSync, writeFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { MEASURED_BAKES, measuredBakesTable } from "./measuredBakes.js";

const PAGE = new URL("../../../../docs/models/bake.md", import.meta.url);
const [OPEN, CLOSE] = ["<!-- measured -->\n", "\n<!-- /measured -->"];

// Pinned: the page shows what the model says today. `EVENCRUMB_PRINT=1` prints a new table into it.
it("the model page holds the table of measured bakes that the model gives", () => {
  const page = readFileSync(PAGE, "utf8");
  const from = page.indexOf(OPEN) + OPEN.length;
  const to = page.indexOf(CLOSE);
  const table = measuredBakesTable();
  if (process.env.EVENCRUMB_PRINT === "1") writeFileSync(PAGE, page.slice(0, from) + table + page.slice(to));
  else expect(page.slice(from, to)).toBe(table);
});

describe("measured bakes (published; see the page)", () => {
  const text = (name: string) => MEASURED_BAKES.find((b) => b.name.startsWith(name))!.predict();
  it("X1: the light shallow sponge is quickest", () => {
    const [a, b, c] = text("X1").match(/\d+/g)!.slice(1).map(Number);
    expect(a).toBeLessThan(b);
    expect(a).toBeLessThan(c);
  });
  it("X2: time × (oven − 98 °C) stays constant, as measured within 8 %", () => {
    const products = MEASURED_BAKES.filter((b) => b.name.startsWith("X2")).map((b) => {
      const oven = Number(/(\d+) °C/.exec(b.name)![1]);
      return Number(/done (\d+)/.exec(b.predict())![1]) * (oven - 98);
    });
    const mean = products.reduce((sum, p) => sum + p, 0) / products.length;
    for (const p of products) expect(Math.abs(p / mean - 1)).toBeLessThan(0.08);
  });
  it("X3 and X5: more than five log reductions", () => {
    expect(text("X3")).toContain("12 or more by 17 min");
    expect(text("X5")).toContain("12 or more log");
  });
  it("X4: the measured loss lies within the predicted band", () => {
    const [, from, to] = /\((\d+\.\d) to (\d+\.\d)\)/.exec(text("X4"))!.map(Number);
    expect(from).toBeLessThan(9.8);
    expect(to).toBeGreaterThan(9.8);
  });
  it("X5: the inside stays within 2 °C of the measured 99 °C", () => {
    expect(Math.abs(Number(/middle (\d+)/.exec(text("X5"))![1]) - 99)).toBeLessThanOrEqual(2);
  });
});
