import { allergenLines, bakeLine, factsOf } from "./renderText.js";
import type { WriteUp, WrittenPart } from "./writeUp.js";

/**
 * The write-up as one HTML document that reads on a telephone and prints on one or two A4 pages. It holds no script, fetches nothing,
 * and carries the recipe as schema.org data if given (`jsonLd`, from `recipeData`). Every word of the baker's is escaped.
 */
export function writeUpHtml(text: WriteUp, jsonLd?: object): string {
  return `<!doctype html>
<html lang="${text.measures === "us" ? "en-US" : "en-GB"}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escaped(text.title)}</title>
<style>${STYLE}</style>
${jsonLd === undefined ? "" : `<script type="application/ld+json">${JSON.stringify(jsonLd).replaceAll("<", "\\u003c")}</script>`}
</head>
<body>
<main>
<h1>${escaped(text.title)}</h1>
${text.intro === undefined ? "" : `<p class="intro">${escaped(text.intro)}</p>`}
<p class="facts">${factsOf(text).map(escaped).join(" · ")}</p>
<p class="allergens"><strong>Allergens.</strong> ${allergenLines(text).map(escaped).join(" ")}</p>
${text.parts.map((part) => partHtml(part, text.parts.length > 1)).join("\n")}
${listHtml("Keeping", text.storage)}
${listHtml("Take care", [...text.cautions, ...text.rounding.map(({ words }) => words)])}
</main>
</body>
</html>
`;
}

function partHtml(part: WrittenPart, named: boolean): string {
  const bake = part.oven === undefined ? [] : [bakeLine(part.oven)];
  return `<section class="part">
${named ? `<h2>${escaped(part.name)}</h2>` : ""}
${part.tins.map((tin) => `<p class="tin">${escaped(tin)}</p>`).join("")}
<div class="columns">
<ul class="ingredients">${part.ingredients.map(({ text }) => `<li>${escaped(text)}</li>`).join("")}</ul>
<ol>${[...part.steps, ...bake].map((step) => `<li>${escaped(step)}</li>`).join("")}</ol>
</div>
</section>`;
}

const listHtml = (heading: string, lines: readonly string[]) =>
  lines.length === 0
    ? ""
    : `<section class="small"><h2>${heading}</h2><ul>${lines.map((line) => `<li>${escaped(line)}</li>`).join("")}</ul></section>`;

const escaped = (text: string) =>
  text.replaceAll(/[&<>"']/g, (sign) => ({ "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;" })[sign]!);

const STYLE = `
:root { color-scheme: light dark; --ink: #26211b; --paper: #fffdf8; --rule: #d8cfc0; --soft: #6a6157; }
@media (prefers-color-scheme: dark) { :root { --ink: #efe8dc; --paper: #1d1a17; --rule: #4a443c; --soft: #b3a898; } }
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink); font: 1.0625rem/1.5 Georgia, "Times New Roman", serif; }
main { max-width: 46rem; margin: 0 auto; padding: 1.5rem; overflow-wrap: anywhere; }
h1 { font-size: 2rem; line-height: 1.15; margin: 0 0 .25em; font-weight: 600; }
h2 { font-size: 1.2rem; margin: 1.2em 0 .3em; border-bottom: 1px solid var(--rule); padding-bottom: .15em; }
.facts, .tin { color: var(--soft); margin: .2em 0; }
.allergens { border-left: 3px solid currentColor; padding-left: .7em; }
.columns { display: grid; grid-template-columns: minmax(13rem, 2fr) 3fr; gap: 1.5rem; }
.ingredients { list-style: none; padding: 0; margin: .4em 0; font-variant-numeric: tabular-nums; }
.ingredients li { padding: .15em 0; border-bottom: 1px dotted var(--rule); }
ol { margin: .4em 0; padding-left: 1.3em; } ol li { margin-bottom: .35em; }
.small { font-size: .95rem; } .small ul { padding-left: 1.1em; margin: .3em 0; }
.part { break-inside: avoid; }
@media (max-width: 36rem) { .columns { grid-template-columns: 1fr; gap: 0; } }
@media print { @page { size: A4; margin: 14mm; } :root { --ink: #000; --paper: #fff; --rule: #999; --soft: #333; } body { font-size: 10.5pt; line-height: 1.35; } main { padding: 0; max-width: none; } h1 { font-size: 20pt; } }
`;
