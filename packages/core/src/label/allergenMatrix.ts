import { summariseAllergens } from "../composition/index.js";
import type { Formula } from "../formula/index.js";
import { ALLERGENS, type Allergen, type AllergenName, type IngredientBook } from "../ingredients/index.js";
import { allergenWord } from "./designations.js";
import { escapeXml, plainText } from "./plainText.js";

/** A product as the matrix takes it. */
export interface MatrixProduct {
  readonly id: string;
  readonly formula: Formula;
  /** Which revision it is: "revision 3, 2026-11-20". */
  readonly revision?: string;
}

/** contains and may-contain as stated; check: the packets have to be read for it; unknown: an ingredient is not in the book. */
export type MatrixState = "contains" | "may-contain" | "check" | "unknown" | "none";

export interface MatrixCell {
  readonly allergen: AllergenName;
  readonly state: MatrixState;
  /** Cereals and nuts by name. */
  readonly kinds: readonly string[];
  /** Ingredients that bring it, or that have to be looked at. */
  readonly from: readonly string[];
}

export interface AllergenMatrix {
  readonly date: string;
  readonly bakery?: string;
  readonly rows: readonly {
    readonly id: string;
    readonly name: string;
    readonly revision?: string;
    /** One for each of the fourteen, in the order of Annex II. */
    readonly cells: readonly MatrixCell[];
    readonly unknownIngredients: readonly string[];
  }[];
  readonly words: string;
}

/**
 * The fourteen allergens of all products, in the order of Annex II of Regulation (EU) 1169/2011.
 *
 * An ingredient that the book does not know makes every allergen that is not contained "unknown": nothing is shown as free of
 * what nobody looked up.
 *
 * @param bakeryMayContain  what the baker states for everything made there
 */
export function allergenMatrix(
  products: readonly MatrixProduct[],
  book: IngredientBook,
  options: { readonly date: string; readonly bakery?: string; readonly bakeryMayContain?: readonly Allergen[] },
): AllergenMatrix {
  return {
    date: plainText(options.date, 40),
    ...(options.bakery === undefined ? {} : { bakery: plainText(options.bakery, 200) }),
    rows: products.map(({ id, formula, revision }) => {
      const summary = summariseAllergens(idsOf(formula), book);
      const cells = ALLERGENS.map((allergen): MatrixCell => {
        const of = (list: readonly (Allergen & { readonly from?: readonly string[] })[]) =>
          list.filter((one) => one.allergen === allergen);
        const answer = (state: MatrixState, list: readonly (Allergen & { readonly from?: readonly string[] })[]): MatrixCell => ({
          allergen,
          state,
          kinds: [...new Set(list.flatMap((one) => (one.kind === undefined ? [] : [allergenWord(one)])))],
          from: [...new Set(list.flatMap((one) => (one.from ?? ["the bakery"]).map((name) => plainText(name, 200))))],
        });
        const contains = of(summary.contains);
        if (contains.length > 0) return answer("contains", contains);
        if (summary.unknownIngredients.length > 0)
          return { allergen, state: "unknown", kinds: [], from: summary.unknownIngredients.map((one) => plainText(one, 120)) };
        const check = of(summary.checkSupplier);
        if (check.length > 0) return answer("check", check);
        const may = [...of(summary.mayContain), ...of(options.bakeryMayContain ?? [])];
        return may.length > 0 ? answer("may-contain", may) : { allergen, state: "none", kinds: [], from: [] };
      });
      return {
        id,
        name: plainText(formula.name, 200),
        ...(revision === undefined ? {} : { revision: plainText(revision, 200) }),
        cells,
        unknownIngredients: summary.unknownIngredients.map((one) => plainText(one, 120)),
      };
    }),
    words:
      "Made from the ingredients as they stand in the formulas named here. A changed packet, supplier or formula makes it out of date. An empty cell says that no ingredient is known to bring the allergen, not that the product is free from it.",
  };
}

const idsOf = (formula: Formula) =>
  formula.components.flatMap(({ stages }) => stages.flatMap(({ uses }) => uses.map(({ ingredient }) => ingredient)));

/** What a change of a formula, or of an ingredient, does to the allergens of a product. */
export interface AllergenChange {
  readonly id: string;
  readonly name: string;
  readonly gained: readonly AllergenGain[];
  readonly lost: readonly Allergen[];
  /** Newly to be looked up: in a packet, or because an ingredient is not known. */
  readonly toCheck: readonly string[];
}

export interface AllergenGain extends Allergen {
  readonly from: readonly string[];
  /** It was stated as a maybe before. */
  readonly wasMaybe: boolean;
}

/** Products before and after a change: the same id on both sides is the same product; each side may have its own book. */
export interface AllergenSide {
  readonly products: readonly MatrixProduct[];
  readonly book: IngredientBook;
}

/**
 * Products whose allergens a change touches, to be shown before it is saved: those that gain one first.
 *
 * For a changed ingredient give the same products with two books; for a changed formula the same book with two products.
 */
export function allergenChange(before: AllergenSide, after: AllergenSide): readonly AllergenChange[] {
  const old = new Map(before.products.map((product) => [product.id, summariseAllergens(idsOf(product.formula), before.book)]));
  const empty = { contains: [], mayContain: [], checkSupplier: [], unknownIngredients: [] } as const;
  return after.products
    .map(({ id, formula }): AllergenChange => {
      const was = old.get(id) ?? empty;
      const is = summariseAllergens(idsOf(formula), after.book);
      const has = (list: readonly Allergen[], one: Allergen) =>
        list.some((other) => other.allergen === one.allergen && other.kind === one.kind);
      return {
        id,
        name: plainText(formula.name, 200),
        gained: is.contains
          .filter((one) => !has(was.contains, one))
          .map((one) => ({ ...one, wasMaybe: has([...was.mayContain, ...was.checkSupplier], one) })),
        lost: was.contains
          .filter((one) => !has(is.contains, one))
          .map(({ allergen, kind }) => (kind === undefined ? { allergen } : { allergen, kind })),
        toCheck: [
          ...is.checkSupplier
            .filter((one) => !has(was.checkSupplier, one))
            .map((one) => `${allergenWord(one)}: read the packet of ${one.from.join(", ")}`),
          ...is.unknownIngredients
            .filter((one) => !was.unknownIngredients.includes(one))
            .map((one) => `${one} is not in the book`),
        ],
      };
    })
    .filter(({ gained, lost, toCheck }) => gained.length + lost.length + toCheck.length > 0)
    .toSorted((one, other) => other.gained.length - one.gained.length);
}

/** How the columns are headed. */
export const MATRIX_HEADS: Readonly<Record<AllergenName, string>> = {
  "cereals-gluten": "Gluten",
  crustaceans: "Crustaceans",
  eggs: "Egg",
  fish: "Fish",
  peanuts: "Peanuts",
  soybeans: "Soya",
  milk: "Milk",
  nuts: "Nuts",
  celery: "Celery",
  mustard: "Mustard",
  sesame: "Sesame",
  sulphites: "Sulphites",
  lupin: "Lupin",
  molluscs: "Molluscs",
};

const STATE_WORD: Readonly<Record<MatrixState, string>> = {
  contains: "contains",
  "may-contain": "may contain",
  check: "check packet",
  unknown: "not known",
  none: "",
};

/** The word of a cell with the cereals and nuts by name: "contains wheat". */
export const matrixWord = ({ state, kinds }: MatrixCell): string =>
  [STATE_WORD[state], ...(kinds.length > 0 ? [kinds.join(", ")] : [])].join(" ").trim();

/** As comma-separated text (RFC 4180), a product a line; a cell that a spreadsheet would run is kept from it. */
export function allergenMatrixCsv(matrix: AllergenMatrix): string {
  const cell = (value: string) => {
    const harmless = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
    return /[",\r\n]/.test(harmless) ? `"${harmless.replaceAll('"', '""')}"` : harmless;
  };
  const head = ["product", "revision", ...ALLERGENS.map((one) => MATRIX_HEADS[one]), "not in the book", "date"];
  const rows = matrix.rows.map((row) => [
    row.name,
    row.revision ?? "",
    ...row.cells.map(matrixWord),
    row.unknownIngredients.join("; "),
    matrix.date,
  ]);
  return `${[head, ...rows].map((line) => line.map(cell).join(",")).join("\r\n")}\r\n`;
}

/** As an HTML document that prints on A4 across. Nothing in it is fetched or run; every word from outside is escaped. */
export function allergenMatrixHtml(matrix: AllergenMatrix): string {
  const rows = matrix.rows.map(
    (row) =>
      `<tr><th scope="row">${escapeXml(row.name)}${row.revision === undefined ? "" : `<small>${escapeXml(row.revision)}</small>`}${row.unknownIngredients.length === 0 ? "" : `<small>not in the book: ${escapeXml(row.unknownIngredients.join(", "))}</small>`}</th>${row.cells
        .map(
          (cell) =>
            `<td class="${cell.state}"${cell.from.length === 0 ? "" : ` title="${escapeXml(cell.from.join(", "))}"`}>${escapeXml(matrixWord(cell))}</td>`,
        )
        .join("")}</tr>`,
  );
  return `<!doctype html>
<html lang="en-GB">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Allergens of all products</title>
<style>${MATRIX_STYLE}</style>
</head>
<body>
<main>
<h1>Allergens</h1>
<p>${[matrix.bakery, matrix.date]
    .filter((one) => one !== undefined && one !== "")
    .map((one) => escapeXml(one!))
    .join(", ")}</p>
<table>
<thead><tr><th scope="col">Product</th>${ALLERGENS.map((one) => `<th scope="col"><span>${MATRIX_HEADS[one]}</span></th>`).join("")}</tr></thead>
<tbody>
${rows.join("\n")}
</tbody>
</table>
<p class="foot">${escapeXml(matrix.words)}</p>
</main>
</body>
</html>
`;
}

const MATRIX_STYLE =
  "@page{size:A4 landscape;margin:10mm}body{font:14px/1.3 Figtree,system-ui,sans-serif;color:#111;margin:1rem}h1{font-size:1.5rem;margin:0}table{border-collapse:collapse;width:100%}th,td{border:1px solid #888;padding:.25rem .3rem;text-align:center;font-size:.78rem}thead th{vertical-align:bottom;height:6.2rem}thead th span{writing-mode:vertical-rl;transform:rotate(180deg)}thead th:first-child,tbody th{text-align:left;height:auto}small{display:block;font-weight:400;color:#444}td.contains{background:#111;color:#fff;font-weight:700;print-color-adjust:exact;-webkit-print-color-adjust:exact}td.may-contain,td.check,td.unknown{font-style:italic;background:#e4e4e4;print-color-adjust:exact;-webkit-print-color-adjust:exact}tr{break-inside:avoid}.foot{font-size:.8rem}";
