import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Formula } from "../formula/index.js";
import { createIngredientBook, standardIngredients } from "../ingredients/index.js";
import { READER_MEASURES } from "./amounts.js";
import { importedFormula, importRecipe } from "./importRecipe.js";
import { recipeData } from "./recipeData.js";
import { writeUpHtml } from "./renderHtml.js";
import { writeUpMarkdown, writeUpText } from "./renderText.js";
import { writeUp } from "./writeUp.js";

const butter = standardIngredients().find(({ id }) => id === "butter-unsalted")!;

/** Every text that a person gives, hostile at once: names, notes, method, business. */
function hostileWriteUp(bad: string, measures: (typeof READER_MEASURES)[number]) {
  const own = { ...butter, id: "own-butter", name: bad, usName: bad };
  const formula: Formula = {
    name: bad,
    notes: bad,
    portions: 4,
    components: [
      {
        name: bad,
        kind: "cake",
        tins: [{ count: 2, tin: bad.slice(0, 100) }],
        bake: { ovenC: 170, fan: false, minutes: 20 },
        stages: [
          {
            name: bad,
            method: bad,
            targets: [{ kind: "look", words: bad }],
            uses: [{ ingredient: "own-butter", grams: 100, note: bad }],
          },
          { name: bad, uses: [{ ingredient: bad === "" ? "x" : bad, grams: null }] },
        ],
      },
      { name: `${bad} two`, kind: "filling", stages: [{ name: "Spread", uses: [{ ingredient: "own-butter", grams: 10 }] }] },
    ],
  };
  return writeUp(formula, { all: [own], get: (id) => (id === own.id ? own : undefined) }, { measures, author: bad, date: bad });
}

const NASTY = [
  "</script><script>alert(1)</script>",
  "</SCRIPT ><img src=x onerror=alert(1)>",
  '"><svg/onload=alert(1)>',
  "' onmouseover='alert(1)",
  "<!--<script>",
  "]]>&lt;b&gt;",
  "[link](javascript:alert(1)) ![x](data:text/html,1)",
  "# heading\n\n---\n| a | b |\n```js\nx\n```",
  "\u202eevil\u202c\u2066x",
  "\u0000\u0007\u001b[31m",
  "\ud800 lone",
  "a\u2028b\u2029c",
  "1. 2. - + = 3)",
  "javascript:alert(1)",
  "<style>*{display:none}</style>",
];
const texts = fc.oneof(
  fc.constantFrom(...NASTY),
  fc.string({ maxLength: 60, unit: "binary" }),
  fc
    .array(fc.constantFrom(..."<>&\"'`/=\\[]()!#*_-~|{}$\n\r\t ;:", "script", "onload", "\u2028"), { maxLength: 40 })
    .map((signs) => signs.join("")),
);

/** Tags of a document without their content: what a browser would build of it. */
const tagsOf = (html: string) => html.match(/<[^>]*>/g)!.map((tag) => tag.replace(/\s+/g, " "));

describe("nothing that a person writes can break a page or run in it", () => {
  it("HTML: the same elements whatever is written, one script of data that holds no tag (property)", () => {
    fc.assert(
      fc.property(texts, fc.constantFrom(...READER_MEASURES), (bad, measures) => {
        const text = hostileWriteUp(bad, measures);
        const data = recipeData(text);
        const html = writeUpHtml(text, data);
        const [head, json, rest] = html.split(/<script type="application\/ld\+json">|<\/script>/);
        expect(html.match(/<script/gi)).toHaveLength(1);
        expect(html.match(/<\/script/gi)).toHaveLength(1);
        // The data come back whole.
        expect(JSON.parse(json!)).toEqual(JSON.parse(JSON.stringify(data)));
        expect(json).not.toMatch(/[<>\u2028\u2029]/);
        const allowed =
          /^<(?:!doctype html|html lang="en-(?:GB|US)"|head|meta charset="utf-8"|meta name="viewport" content="width=device-width, initial-scale=1"|title|style|body|main|h1|h2|p(?: class="(?:intro|facts|allergens|tin)")?|strong|section class="(?:part|small)"|div class="(?:columns|ends)"|ul(?: class="ingredients")?|ol|li)>$|^<\/(?:html|head|title|style|body|main|h1|h2|p|strong|section|div|ul|ol|li)>$/;
        for (const tag of [...tagsOf(head!), ...tagsOf(rest!)]) expect(tag).toMatch(allowed);
        expect(html.match(/<style>/g)).toHaveLength(1);
      }),
      { numRuns: 250 },
    );
  });

  it("Markdown: one line a thing, and no mark of the baker's is left unescaped (property)", () => {
    fc.assert(
      fc.property(texts, (bad) => {
        const text = hostileWriteUp(bad, "metric");
        for (const line of writeUpMarkdown(text).trimEnd().split("\n")) {
          // Past what the write-up itself sets: heading, list sign, number.
          const words = line.replace(/^(?:#{1,2} |- |\d+\. )/, "");
          expect([line, /(?<!\\)(?:\\\\)*[`*_[\]<>#|~]/.test(words)]).toEqual([line, false]);
          expect([line, /^\s*(?:[-+=]|\d+[.)])(?:\s|$|[-=])/.test(words)]).toEqual([line, false]);
          expect(line).not.toMatch(/^(?: {4}|\t)/);
        }
      }),
      { numRuns: 200 },
    );
  });

  it("text: no control, direction or broken sign is left (property)", () => {
    fc.assert(
      fc.property(texts, (bad) => {
        const codes = [...writeUpText(hostileWriteUp(bad, "us"))].map((sign) => sign.codePointAt(0)!);
        const control = (code: number) => code !== 10 && (code < 32 || (code >= 0x7f && code < 0xa0));
        const direction = (code: number) => (code >= 0x202a && code <= 0x202e) || (code >= 0x2066 && code <= 0x2069);
        const broken = (code: number) => code >= 0xd800 && code <= 0xdfff;
        expect(codes.filter((code) => control(code) || direction(code) || broken(code))).toEqual([]);
      }),
      { numRuns: 200 },
    );
  });
});

describe("nothing that a page holds can break the reading of it", () => {
  const book = createIngredientBook();

  it("any text gives an answer (property)", () => {
    const json = fc.json({ maxDepth: 4 });
    const pages = fc.oneof(
      fc.string({ maxLength: 200 }),
      json,
      json.map((data) => `<html><script type="application/ld+json">${data}</script>`),
      fc
        .object({ maxDepth: 3 })
        .map((data) =>
          JSON.stringify({ "@type": "Recipe", recipeIngredient: Object.values(data), recipeInstructions: data, name: data }),
        ),
    );
    fc.assert(
      fc.property(pages, (page) => {
        const { value, problems } = importRecipe(page);
        expect(value === undefined).toBe(problems.length > 0);
        if (value !== undefined) expect(importedFormula(value, book).formula.name).toBe(value.name);
      }),
      { numRuns: 300 },
    );
  });

  it("reads hostile words as words", () => {
    for (const bad of NASTY) {
      const { value } = importRecipe(
        JSON.stringify({ "@type": "Recipe", name: bad, recipeIngredient: [`100 g flour ${bad}`], recipeInstructions: bad }),
      );
      const { formula } = importedFormula(value!, book);
      const html = writeUpHtml(writeUp(formula, book, { measures: "metric" }));
      expect(html.match(/<script|<img|<svg|<!--/gi)).toBeNull();
    }
  });

  it("is quick on a page made to be slow", () => {
    const pages = [
      "<script".repeat(100_000),
      `<script type="application/ld+json">${"[".repeat(200_000)}`,
      `${'<script type="application/ld+json">{"@graph":['.repeat(5000)}`,
      JSON.stringify({ "@type": "Recipe", recipeIngredient: Array.from({ length: 5000 }, () => `${"<".repeat(100)}1 g salt`) }),
    ];
    for (const page of pages) {
      const started = performance.now();
      importRecipe(page);
      expect(performance.now() - started).toBeLessThan(20_000); // none hangs
    }
  });
});
