import { expect, it } from "vitest";
import { planTasting, type TasterAnswer, type TastingMethod } from "./serving.js";
import { readAnswers, writeAnswers } from "./tastingSheet.js";

const plan = (method: TastingMethod, products: readonly string[]) =>
  planTasting({ method, products, tasterCount: 6, seed: 11, allergens: [], property: "sweetness" });

it.each<[TastingMethod, readonly string[]]>([
  ["triangle", ["butter", "oil"]],
  ["duo-trio", ["butter", "oil"]],
  ["2-AFC", ["butter", "oil"]],
  ["3-AFC", ["butter", "oil"]],
  ["tetrad", ["butter", "oil"]],
  ["paired preference", ["butter", "oil"]],
  ["ranking", ["plain", "lemon, sharp", "rye"]],
  ["liking", ["plain", "lemon, sharp", "rye"]],
])("brings %s answers back as they went out", (method, products) => {
  const tasting = plan(method, products);
  const answers = tasting.sheets.slice(0, 5).map(({ taster, samples, right }): TasterAnswer => {
    const codes = samples.filter(({ role }) => role === "sample").map(({ code }) => code);
    if (taster === 2) return { taster, declined: true };
    if (method === "liking")
      return { taster, marks: Object.fromEntries(codes.slice(taster === 3 ? 1 : 0).map((code, at) => [code, at + 4])) };
    return { taster, codes: method === "ranking" ? codes.reverse() : (right ?? codes.slice(0, 1)) };
  });
  const text = writeAnswers(tasting, answers);
  expect(readAnswers(tasting, text)).toEqual({ value: answers, problems: [] });
  const [head, first] = text.split(/\r?\n/);
  expect(head).toContain(method === "paired preference" ? "chosen" : products.length === 3 ? '"lemon, sharp"' : "right");
  expect(first!.split(",").length).toBeGreaterThan(3);
});

it("takes places and marks by cake, and names the lines that do not fit", () => {
  const ranking = plan("ranking", ["A", "B", "C"]);
  const read = readAnswers(ranking, "taster,A,B,C\n1,2,1,3\n2,1,1,3\n3,,,\n9,1,2,3\n1,1,2,3\n");
  const productOf = (code: string) => ranking.sheets[0]!.samples.find((sample) => sample.code === code)!.product;
  expect(read.value.map(({ taster, codes }) => [taster, codes!.map(productOf)])).toEqual([[1, [1, 0, 2]]]);
  expect(read.problems.map(({ position, found }) => [position!.line, found])).toEqual([
    [3, expect.stringMatching(/^\d{3}$/)],
    [5, "9"],
    [6, "a second one"],
  ]);
  const liking = plan("liking", ["A", "B"]);
  expect(readAnswers(liking, "taster,A,B\n1,7,4\n2,11,4\n").problems[0]!.expected).toContain("a mark from 1 to 9");
});
