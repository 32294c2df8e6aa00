import fc from "fast-check";
import { expect, it } from "vitest";
import type { Formula } from "../formula/index.js";
import { createIngredientBook, type Ingredient } from "../ingredients/index.js";
import {
  addedSugarsOf,
  type Label,
  type LabelInputs,
  labelFor,
  labelHtml,
  labelSvg,
  labelText,
  layoutLabel,
  nutritionExemption,
  readLabelInputs,
  ruleOn,
  sheetGrid,
  sheetPlaces,
  usReferenceClass,
  usServing,
} from "./index.js";

const book = createIngredientBook();
const cake = (weights: Readonly<Record<string, number | null>>, more: Partial<Formula["components"][number]> = {}): Formula => ({
  name: "Cake",
  components: [
    {
      name: "Cake",
      kind: "cake",
      stages: [{ name: "Mix", uses: Object.entries(weights).map(([ingredient, grams]) => ({ ingredient, grams })) }],
      ...more,
    },
  ],
});
const SPONGE = { "plain-flour": 200, "caster-sugar": 200, "butter-unsalted": 200, "egg-whole-uk": 200, "baking-powder": 8 };
const gb: LabelInputs = {
  place: "gb",
  mode: "prepacked",
  date: "2026-11-25",
  packs: 1,
  bakeDate: "2026-11-25",
  keptAt: "room",
  keepsDays: 5,
  business: { name: "Millrace Yard", address: "1 Mill Lane" },
};
const state = (label: Label, id: string) => label.particulars.find((one) => one.id === id)!;

// Published: Annex X, point 1(c): day and month to three months, month and year to eighteen, then year; "use by" always with the day.
it.each([
  [5, "room", "en", "Best before 30 November 2026"],
  [92, "room", "en", "Best before 25 February 2027"],
  [93, "room", "en", "Best before end February 2027"],
  [540, "room", "en", "Best before end May 2028"],
  [600, "room", "en", "Best before end 2028"],
  [3, "chilled", "en", "Use by 28 November 2026"],
  [3, "chilled", "fr", "À consommer jusqu’au 28 novembre 2026"],
  [5, "room", "fr", "À consommer de préférence avant le 30 novembre 2026"],
  [93, "room", "fr", "À consommer de préférence avant fin février 2027"],
  [5, "room", "de", "Mindestens haltbar bis 30. November 2026"],
  [5, "room", "es", "Consumir preferentemente antes del 30 de noviembre de 2026"],
  [5, "room", "it", "Da consumarsi preferibilmente entro il 30 novembre 2026"],
] as const)("dates %s days at %s in %s", (keepsDays, keptAt, language, text) => {
  expect(labelFor(cake(SPONGE), book, { ...gb, place: "eu", language, keepsDays, keptAt }).durability.text).toBe(text);
});

it("asks for no date on what is eaten within a day, but on what is kept cold", () => {
  expect(labelFor(cake(SPONGE), book, { ...gb, eatenWithin24h: true }).durability).toMatchObject({ kind: "none", text: "" });
  expect(labelFor(cake(SPONGE), book, { ...gb, eatenWithin24h: true, keptAt: "chilled" }).durability.kind).toBe("use-by");
});

// Published: what each way of selling asks for (FIC Article 9, regulation 5A of the Food Information Regulations 2014, Article 14, Article 44).
it("knows what each way of selling needs", () => {
  const bare: LabelInputs = { place: "gb", mode: "prepacked", date: "2026-11-25" };
  const open = (mode: LabelInputs["mode"]) =>
    labelFor(cake(SPONGE), book, { ...bare, mode }).missing.map((one) => one.split(":")[0]);
  expect(open("prepacked")).toEqual(["Net quantity", "Date", "Name and address of the business"]);
  expect(open("distance")).toEqual(["Net quantity", "Date", "Name and address of the business"]);
  expect(open("direct-sale")).toEqual([]);
  expect(open("loose")).toEqual([]);
  const direct = labelFor(cake(SPONGE), book, { ...bare, mode: "direct-sale" });
  expect(direct.rules.some(({ id }) => id === "direct-sale")).toBe(true);
  expect(direct.nutrition).toBeUndefined();
  expect(state(direct, "nutrition")).toMatchObject({ need: "not-needed", state: "left-out" });
});

it("says what is missing and stops the figure that it is missing for, with the reason", () => {
  const label = labelFor(cake({ ...SPONGE, "raspberry-jam": 300, yuzu: 5, salt: null }), book, gb);
  const words = label.missing.join("\n");
  expect(words).toMatch(/List of ingredients: .*Raspberry jam.*copy them from the packet/);
  expect(words).toContain("yuzu: the book does not know it");
  expect(words).toContain("Salt: it has no weight");
  expect(words).toMatch(/Nutrition declaration: .*cannot be printed: no figure for /);
  expect(state(label, "allergens").state).toBe("missing");
});

it("prints a figure whose missing part cannot change it, and says so", () => {
  const own: Ingredient = {
    ...book.get("salt")!,
    id: "own-pinch",
    name: "Pinch",
    per100g: {
      ...book.get("salt")!.per100g,
      fat: { known: false, why: "not stated" },
      saturates: { known: false, why: "not stated" },
    },
  };
  const bookWith = createIngredientBook([own]);
  const rows = (grams: number) => labelFor(cake({ ...SPONGE, "own-pinch": grams }), bookWith, gb).nutrition!.rows;
  const fat = (grams: number) => rows(grams).find(({ id }) => id === "saturates")!.per100g;
  // Salt is all ash: whatever its fat, no weight is left for it.
  expect(fat(1)).toMatchObject({ known: true, note: expect.stringContaining("whatever it is, the printed figure is the same") });
  const blank = createIngredientBook([{ ...own, per100g: { ...own.per100g, ash: { known: false, why: "not stated" } } }]);
  const blankFat = (grams: number) =>
    labelFor(cake({ ...SPONGE, "own-pinch": grams }), blank, gb).nutrition!.rows.find(({ id }) => id === "saturates")!.per100g;
  expect(blankFat(0.2).known).toBe(true);
  expect(blankFat(60).known).toBe(false);
});

// Conserved: the parts of a figure add to it.
it("unfolds every figure to its sources", () => {
  const { rows } = labelFor(cake(SPONGE), book, gb).nutrition!;
  for (const row of rows.filter(({ id }) => ["fat", "sugars", "protein", "energyKj"].includes(id))) {
    const sum = row.sources.reduce((total, { per100g }) => total + (per100g ?? 0), 0);
    expect(row.per100g.known && sum).toBeCloseTo(row.per100g.known ? row.per100g.unrounded : Number.NaN, 6);
    for (const { source } of row.sources) expect(source.length).toBeGreaterThan(5);
  }
});

// Computed with the factors of Annex XIV: 37, 17, 17, 8 kJ and 9, 4, 4, 2 kcal for fat, carbohydrate, protein and fibre.
it("gives energy by the factors of the regulation, kJ and kcal each on their own", () => {
  const { rows } = labelFor(cake(SPONGE), book, gb).nutrition!;
  const amount = (id: string) => {
    const { per100g } = rows.find((one) => one.id === id)!;
    return per100g.known ? per100g.unrounded : Number.NaN;
  };
  const by = (fat: number, carbohydrate: number, protein: number, fibre: number) =>
    fat * amount("fat") + carbohydrate * amount("carbohydrate") + protein * amount("protein") + fibre * amount("fibre");
  // Organic acids and polyols of these foods are next to nothing; half a percent covers them.
  expect(amount("energyKj") / by(37, 17, 17, 8)).toBeCloseTo(1, 2);
  expect(amount("energyKcal") / by(9, 4, 4, 2)).toBeCloseTo(1, 2);
});

// Published: guidance of the United Kingdom and SI 559/2016 (reference L32, L33); 21 CFR 101.9(j) from memory.
it.each([
  ["gb", { staff: 9, yearlyTurnover: 1_000_000, isDirectOrLocal: true }, "exempt"],
  ["gb", { staff: 12, yearlyTurnover: 1_000_000, isDirectOrLocal: true }, "needed"],
  ["gb", { staff: 2, yearlyTurnover: 90_000, isDirectOrLocal: false }, "needed"],
  ["gb", { staff: 2, yearlyTurnover: 90_000, isDirectOrLocal: true, makesNutritionClaim: true }, "needed"],
  ["gb", {}, "not-known"],
  ["eu", { isDirectOrLocal: true }, "not-known"],
  ["us", { yearlyFoodSalesDollars: 50_000 }, "exempt"],
  ["us", { staff: 9, yearlyUnits: 9_999 }, "exempt"],
  ["us", { staff: 120, yearlyUnits: 5_000, yearlySalesDollars: 900_000 }, "needed"],
] as const)("judges a small producer in %s: %o", (place, seller, verdict) => {
  expect(nutritionExemption(place, "prepacked", seller).verdict).toBe(verdict);
});

// Published: 21 CFR 101.12(b) (reference L26: iced sponge 80 g, plain sponge 55, fruit cake of 40 % fruit 125).
it("takes the reference amount by the kind of cake", () => {
  const plain = { "plain-flour": 100, "caster-sugar": 100, "egg-whole-uk": 200 };
  expect(usReferenceClass(cake(plain), book).grams).toBe(55);
  const iced: Formula = { ...cake(plain), components: [...cake(plain).components, { name: "Icing", kind: "icing", stages: [] }] };
  expect(usReferenceClass(iced, book).grams).toBe(80);
  expect(usReferenceClass(cake(SPONGE), book).grams).toBe(80);
  expect(usReferenceClass(cake({ ...plain, sultanas: 270 }), book)).toMatchObject({ grams: 125, class: "cake-heavyweight" });
});

// Published: serving rules of 21 CFR 101.9(b) (reference: fractions of a large unit; 50 %, 67 % and 200 % of the reference amount).
it.each([
  [80, { grams: 960 }, "1/12 cake (80g)", "12"],
  [125, { grams: 1432 }, "1/12 cake (119g)", "12"],
  [80, { grams: 1010, pieces: 12 }, "1 cake (84g)", "12"],
  [80, { grams: 200, pieces: 8 }, "3 cakes (75g)", "About 2.5"],
  [55, { grams: 50 }, "1 cake (50g)", "1"],
])("cuts servings of %s g out of %o", (reference, pack, words, servings) => {
  expect(usServing(reference, pack)).toMatchObject({ words, servings });
});

// Published: 21 CFR 101.9(c)(6)(iii): sugars and syrups are added, those of fruit and milk are not.
it("tells added sugars from those of fruit and milk, and says where it is not known", () => {
  const sugar = book.get("caster-sugar")!.per100g.sugars;
  const known = addedSugarsOf(cake({ "caster-sugar": 100, banana: 100, "milk-whole": 100 }), book);
  expect(known.fromGrams).toBeCloseTo(sugar.known ? sugar.value : Number.NaN, 9);
  expect(known).toMatchObject({ toGrams: known.fromGrams, unknown: [] });
  const jam = addedSugarsOf(cake({ "caster-sugar": 100, "raspberry-jam": 100 }), book);
  expect(jam.toGrams).toBeGreaterThan(jam.fromGrams + 40);
  expect(jam.unknown).toEqual(["Raspberry jam"]);
  const said = addedSugarsOf(cake({ "raspberry-jam": 100 }), book, { "raspberry-jam": 90 });
  expect(said.fromGrams).toBeCloseTo(said.toGrams, 9);
});

it("says whose added sugars are to be asked, given or not, down to the parts of what was made from others", () => {
  const jam = { ingredient: "raspberry-jam", name: "Raspberry jam" };
  const weights = { "caster-sugar": 100, banana: 100, "raspberry-jam": 100 };
  expect(addedSugarsOf(cake(weights), book).toAsk).toEqual([jam]);
  expect(addedSugarsOf(cake(weights), book, { "raspberry-jam": 90 })).toMatchObject({ unknown: [], toAsk: [jam] });
  expect(addedSugarsOf(cake({ ...weights, "raspberry-jam": 0 }), book).toAsk).toEqual([]);
  // The one that most depends on comes first, wherever it stands in the formula.
  const both = addedSugarsOf(cake({ "vanilla-extract": 4, "raspberry-jam": 170 }), book);
  expect(both.toAsk.map(({ ingredient }) => ingredient)).toEqual(["raspberry-jam", "vanilla-extract"]);
  const parts = [
    { ingredient: "raspberry-jam", grams: 50 },
    { ingredient: "double-cream", grams: 50 },
  ];
  const filling: Ingredient = { ...book.get("raspberry-jam")!, id: "filling", name: "Filling", parts };
  const own = createIngredientBook([filling]);
  expect(addedSugarsOf(cake({ filling: 100 }), own).toAsk).toEqual([jam]);
  expect(addedSugarsOf(cake({ filling: 100 }), own, { filling: 50 }).toAsk).toEqual([{ ingredient: "filling", name: "Filling" }]);
  // No sugars at all: nothing to ask.
  const sugarless = {
    ...filling,
    parts: [],
    per100g: { ...filling.per100g, sugars: { known: true, value: 0 } },
  } as unknown as Ingredient;
  expect(addedSugarsOf(cake({ filling: 100 }), createIngredientBook([sugarless]))).toMatchObject({ unknown: [], toAsk: [] });
});

it("writes a net weight in grams, kilograms, and ounces with pounds (21 CFR 101.7, from memory)", () => {
  const net = (netGrams: number, place: "gb" | "us") =>
    labelFor(cake(SPONGE), book, { ...gb, place, netGrams }).netQuantity!.text;
  expect([net(450, "gb"), net(1250, "gb")]).toEqual(["Net weight 450 g", "Net weight 1.25 kg"]);
  expect([net(450, "us"), net(680, "us")]).toEqual(["NET WT 15.8 OZ (450g)", "NET WT 23.9 OZ (1 LB 7.9 OZ) 680g"]);
  // Computed weights are rounded down: a label does not promise more than there is.
  expect(labelFor(cake(SPONGE), book, { ...gb, packs: 3 }).netQuantity!.text).toBe("Net weight 265 g");
});

it("takes each rule as it holds on the day", () => {
  expect(ruleOn("flour", "2026-12-12").words).not.toContain("folic");
  expect(ruleOn("flour", "2026-12-13").words).toContain("folic acid");
  expect(ruleOn("us-allergens", "2022-06-01").words).not.toContain("nine");
  expect(() => ruleOn("none", "2026-01-01")).toThrow("no rule");
  const { rules } = labelFor(cake(SPONGE), book, gb);
  for (const one of rules) expect([one.checkedOn, one.from <= gb.date]).toEqual(["2026-11", true]);
  for (const place of ["gb", "eu", "us"] as const) {
    const label = labelFor(cake(SPONGE), book, { ...gb, place });
    for (const one of label.rules) expect(one.places, one.id).toContain(place);
    expect(JSON.stringify(label).toLowerCase()).not.toMatch(/compliant|is legal|is safe/);
  }
});

it("reads what a label needs, and says where it cannot", () => {
  const { value, problems } = readLabelInputs(
    { place: "gb", mayContain: ["nuts: walnut", "milk"], gtin: "5012345678900" },
    { date: "2026-11-25" },
  );
  expect(problems).toEqual([]);
  expect(value).toEqual({
    place: "gb",
    mode: "prepacked",
    date: "2026-11-25",
    gtin: "5012345678900",
    mayContain: [{ allergen: "nuts", kind: "walnut" }, { allergen: "milk" }],
  });
  const bad = readLabelInputs(
    { place: "mars", gtin: "5012345678901", bakeDate: "2026-02-30", packs: 0, seller: { staff: "two" }, colour: 1 },
    { date: "2026-11-25" },
  );
  expect(bad.problems.map(({ path }) => path.join("."))).toEqual([
    "colour",
    "gtin",
    "packs",
    "bakeDate",
    "seller.staff",
    "place",
  ]);
  expect(bad.value).toBeUndefined();
  expect(readLabelInputs("nothing").problems[0]).toMatchObject({ code: "wrong-type" });
});

// Published: Article 13(2) and (3): x-height 1.2 mm, or 0.9 mm where the largest surface of the pack is under 80 cm2.
it("never sets smaller letters than the rule, and says what size it needs", () => {
  const label = labelFor(cake(SPONGE), book, gb);
  const roomy = layoutLabel(label, { widthMm: 150, heightMm: 100 });
  expect(roomy).toMatchObject({ fits: true, xHeightMm: 1.75 });
  const tight = layoutLabel(label, { widthMm: 60, heightMm: 20 });
  expect(tight).toMatchObject({ fits: false, xHeightMm: 1.2, leastXHeightMm: 1.2 });
  expect(tight.heightMm).toBeGreaterThan(20);
  expect(tight.problems[0]).toContain(`60 × ${tight.heightMm} mm`);
  const small = layoutLabel({ ...label, surfaceCm2: 70 }, { widthMm: 60, heightMm: 20 });
  expect(small.leastXHeightMm).toBe(0.9);
  expect(small.heightMm).toBeLessThan(tight.heightMm);
  expect(() => layoutLabel(label, { widthMm: 5, heightMm: 20 })).toThrow("15 to 600");
});

it("keeps everything inside the label (property)", () => {
  const names = fc.string({ unit: "grapheme", maxLength: 60 });
  fc.assert(
    fc.property(
      names,
      names,
      fc.integer({ min: 40, max: 200 }),
      fc.integer({ min: 40, max: 200 }),
      (name, business, widthMm, heightMm) => {
        const label = labelFor(cake(SPONGE), book, {
          ...gb,
          name,
          business: { name: business, address: business },
          gtin: "5012345678900",
        });
        const layout = layoutLabel(label, { widthMm, heightMm });
        for (const item of layout.items) {
          expect(item.xMm).toBeGreaterThanOrEqual(-1e-6);
          const [right, bottom] =
            item.kind === "box" ? [item.xMm + item.widthMm, item.yMm + item.heightMm] : [item.xMm, item.baselineMm];
          expect(right).toBeLessThanOrEqual(layout.widthMm + 1e-6);
          expect(bottom).toBeLessThanOrEqual(layout.heightMm + 1e-6);
        }
      },
    ),
    { seed: 20261125, numRuns: 60 },
  );
});

// A hostile name must neither break the document nor run anything: outside our own tags there is no raw < or &.
it("never lets words from outside break HTML or SVG, nor run (property)", () => {
  const hostile = fc.oneof(
    fc.string({ unit: "binary", maxLength: 40 }),
    fc.constantFrom(
      "<script>alert(1)</script>",
      '"><img src=x onerror=alert(1)>',
      "]]></svg><script>",
      "&lt;b&gt;",
      "\u0000\u0008\u202Egnp",
      "\uD800",
      "</style><script>",
      "javascript:alert(1)",
      "\uE000wheat\uE001",
    ),
  );
  fc.assert(
    fc.property(hostile, hostile, (one, other) => {
      const own: Ingredient = {
        ...book.get("plain-flour")!,
        id: "own-x",
        name: one,
        basis: "own",
        labelName: other,
        packetList: one,
      };
      const label = labelFor(cake({ ...SPONGE, "own-x": 50, [one]: 5 }), createIngredientBook([own]), {
        ...gb,
        name: one,
        description: other,
        storage: one,
        instructions: other,
        business: { name: one, address: other },
        gtin: other,
      });
      const svg = labelSvg(layoutLabel(label, { widthMm: 100, heightMm: 70 }), { title: one, fontCss: other });
      for (const text of [svg, labelHtml(label)]) {
        // Every tag that is there is one of ours.
        const tags = new Set([...text.matchAll(/<\/?([a-z!][a-z0-9]*)/gi)].map(([, tag]) => tag!.toLowerCase()));
        for (const tag of tags) expect(OURS.has(tag), tag).toBe(true);
        expect(text).not.toMatch(/[^\P{Cc}\n]|[\uFFFE\uFFFF]/u);
        expect(text).not.toMatch(/&(?!amp;|lt;|gt;|quot;|#39;)/);
        expect(text).not.toMatch(/\p{Cs}/u);
      }
      expect(labelText(label).join("").includes("\u202E")).toBe(false);
    }),
    { seed: 20261125, numRuns: 300 },
  );
});
const OURS = new Set(
  "svg title style rect text !doctype html head meta body main h1 h2 p strong table caption thead tbody tr th td abbr aside ul li".split(
    " ",
  ),
);

it("places labels on a sheet, and says where they do not fit", () => {
  const grid = sheetGrid({ rows: 4, columns: 2, labelWidthMm: 99, labelHeightMm: 67 });
  expect([grid.marginLeftMm, grid.marginTopMm]).toEqual([6, 14.5]);
  expect(sheetPlaces(grid)).toHaveLength(8);
  expect(sheetPlaces(grid, 3)[0]).toEqual({ xMm: 105, yMm: 81.5 });
  expect(() => sheetGrid({ rows: 5, columns: 2, labelWidthMm: 99, labelHeightMm: 67 })).toThrow(
    "take 335 mm down, and the page has 297",
  );
});

it("leaves out a date that nobody asked for and nobody gave, and leaves room for one that is needed", () => {
  const { bakeDate: _, ...undated } = gb;
  expect(labelFor(cake(SPONGE), book, undated).durability.text).toBe("Best before ________");
  for (const mode of ["direct-sale", "loose", "distance"] as const)
    expect(labelFor(cake(SPONGE), book, { ...undated, mode }).durability.text, mode).toBe("");
});

it("draws what there is of a formula that is just begun", () => {
  for (const place of ["gb", "eu", "us"] as const) {
    const label = labelFor({ name: "", components: [] }, book, { place, mode: "prepacked", date: "2026-11-25", packs: 1 });
    expect(label.missing.join(" ")).toMatch(/Name of the food.*List of ingredients: nothing is weighed yet/);
    expect(layoutLabel(label, { widthMm: 60, heightMm: 40 }).fits).toBe(true);
    expect(labelHtml(label)).toContain("Missing before this can be used");
  }
});

// Published: Article 33(4) (from memory): a portion's column goes with the weight of the portion and the number in the pack.
it("works a portion out from the pack and says how many there are", () => {
  const label = labelFor(cake(SPONGE), book, { ...gb, netGrams: 800, portions: 8 });
  expect(label.portionGrams).toBe(100);
  expect(label.netQuantity?.text).toBe("Net weight 800 g (8 portions)");
  expect(labelFor(cake(SPONGE), book, { ...gb, netGrams: 800, portions: 8, portionGrams: 90 }).portionGrams).toBe(90);
  expect(labelFor(cake(SPONGE), book, { ...gb, netGrams: 100, portions: 1 }).netQuantity?.text).toBe("Net weight 100 g");
  expect(labelFor(cake(SPONGE), book, { ...gb, language: "de", netGrams: 800, portions: 8 }).netQuantity?.text).toBe(
    "Nettogewicht 800 g (8 Portionen)",
  );
  for (const portions of [0, 2.5, Number.NaN])
    expect(() => labelFor(cake(SPONGE), book, { ...gb, portions })).toThrow("whole number");
});

it("writes decimals with a comma where the language does, and names the bands in it, none smaller than the rule's letters", () => {
  const inputs = {
    ...gb,
    place: "eu",
    language: "fr",
    netGrams: 1285,
    portions: 10,
    frontOfPack: true,
    nutrition: "always",
  } as const;
  const label = labelFor(cake(SPONGE), book, inputs);
  expect(label.netQuantity?.text).toBe("Poids net 1,285 kg (10 portions)");
  const words = layoutLabel(label, { widthMm: 110, heightMm: 120 }).items.flatMap((item) =>
    item.kind === "text" ? [item.text] : [],
  );
  expect(words.join(" ")).not.toMatch(/\d\.\d/);
  expect(words.join(" ")).toMatch(/\d,\d/);
  expect(words).toContain("ÉLEVÉ");
  for (const [widthMm, heightMm] of [
    [110, 120],
    [70, 120],
    [45, 200],
  ] as const) {
    const layout = layoutLabel(label, { widthMm, heightMm, hidesDraftMark: true });
    const sizes = layout.items.flatMap((item) => (item.kind === "text" ? [item.sizeMm] : []));
    expect(Math.min(...sizes) / 2).toBeGreaterThanOrEqual(layout.leastXHeightMm - 1e-9); // x-height is half the letter size
  }
});
