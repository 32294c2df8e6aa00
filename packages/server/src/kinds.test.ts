import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { bakeryKinds } from "./kinds.js";
import { formula } from "./testing/bakery.js";

const kinds = bakeryKinds();
const paths = (kind: string, body: unknown) => kinds[kind]!.check(body).map((problem) => problem.path.join("."));

it("knows the kinds of document that a bakery keeps", () => {
  expect(Object.keys(kinds)).toEqual([
    "formula",
    "ingredient",
    "tin",
    "oven",
    "bakeRecord",
    "photo",
    "trial",
    "order",
    "priceList",
    "price",
    "label",
  ]);
});

it.each([
  ["formula", formula("Sponge")],
  ["tin", { name: "Sandwich tins", tin: "round 20x5 cm", count: 4 }],
  ["tin", { name: "Ring", tin: "fluted ring 2.4 l" }],
  ["oven", { name: "Deck oven", convection: "natural", positions: [{ name: "upper deck" }] }],
  ["ingredient", { id: "own-jam", name: "Own jam", role: "fruit", per100g: { sugars: 50 } }],
])("takes a %s as the baker keeps it", (kind, body) => {
  expect(kinds[kind]!.check(body)).toEqual([]);
  expect(kinds[kind]!.nameOf(body)).toBe((body as { name: string }).name);
});

it.each([
  ["formula", { ...formula("Sponge"), components: "none" }, ["components"]],
  ["formula", [], [""]],
  ["tin", { name: "Round", tin: "a big one", count: 1.5 }, ["tin", "count"]],
  ["tin", { name: "Round" }, ["tin"]],
  ["tin", null, [""]],
  ["oven", {}, ["name", "convection", "positions"]],
  ["oven", { name: 7, convection: "natural", positions: [{ name: "deck" }] }, ["name"]],
  [
    "oven",
    { name: "Deck", convection: "steam", positions: [{}], ratedKw: 5000 },
    ["convection", "ratedKw", "positions.0.name", "positions"],
  ],
  ["oven", "Deck", [""]],
  [
    "bakeRecord",
    { name: "Friday" },
    ["formulaId", "revisionId", "formulaName", "component", "ovenId", "position", "tin", "setC", "bakedOn", "gramsBefore"],
  ],
])("says what is wrong with a %s", (kind, body, where) => {
  expect(paths(kind, body)).toEqual(where);
  for (const problem of kinds[kind]!.check(body)) {
    expect(problem.remedy).not.toBe("");
    expect(problem.expected).not.toBe("");
  }
});

it("takes no inherited name for a name", () => {
  expect(kinds.oven!.check(Object.create({ name: "ghost" }))).not.toEqual([]);
});

it("has a rule for every kind that the demo bakery uses", () => {
  const used = [
    ...readFileSync(new URL("../../../examples/demo.yaml", import.meta.url), "utf8").matchAll(/^ {4}kind: (\w+)$/gm),
  ].map((match) => match[1]!);
  expect(used.length).toBeGreaterThan(8);
  expect(used.filter((kind) => kinds[kind] === undefined)).toEqual([]);
});

it("keeps prices and labels as their own readers take them", () => {
  const price = { name: "Stall", currency: "GBP", date: "2026-11-25", cakes: 2, selling: { marginPercent: 40 } };
  expect(kinds.price!.check(price)).toEqual([]);
  expect(kinds.price!.nameOf(price)).toBe("Stall");
  expect(kinds.price!.check({ ...price, name: "" })[0]).toMatchObject({ path: ["name"] });
  expect(kinds.price!.check({ ...price, cakes: 0 })[0]).toMatchObject({ code: "out-of-range", path: ["cakes"] });
  expect(kinds.price!.check([])[0]).toMatchObject({ code: "wrong-type" });
  const label = { name: "Sandwich", place: "gb", gtin: "5012345678900" };
  expect(kinds.label!.check(label)).toEqual([]);
  expect(kinds.label!.check({ ...label, gtin: "1" })[0]).toMatchObject({ path: ["gtin"] });
  const kept = { name: "Stall", formulaId: "1", inputs: { place: "gb", mode: "loose" } };
  expect(kinds.label!.check(kept)).toEqual([]);
  expect(kinds.label!.check({ ...kept, name: "" }).map(({ path }) => path)).toEqual([["name"]]);
  expect(kinds.label!.check({ ...kept, inputs: { place: "mars" } })[0]).toMatchObject({ path: ["inputs", "place"] });
});

it("keeps a picture as a JPEG of modest size, and nothing else under its name", () => {
  const photo = {
    name: "Run 3",
    trialId: "t",
    run: 3,
    type: "image/jpeg",
    width: 640,
    height: 480,
    data: `/9j/${"A".repeat(400)}==`,
  };
  expect(kinds.photo!.check(photo)).toEqual([]);
  expect(kinds.photo!.nameOf(photo)).toBe("Run 3");
  expect(paths("photo", { ...photo, name: "" })).toEqual(["name"]);
  expect(paths("photo", { ...photo, type: "image/svg+xml", data: btoa("<svg onload=alert(1)>") })).toEqual(["type", "data"]);
  expect(kinds.photo!.check({ ...photo, data: `/9j/${"A".repeat(300_000)}` })[0]).toMatchObject({
    code: "too-large",
    path: ["data"],
  });
});
