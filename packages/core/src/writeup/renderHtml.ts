import { heldTogether } from "./plainText.js";
import { allergenSentences, factsOf, takeCare } from "./renderText.js";
import type { WriteUp, WrittenPart } from "./writeUp.js";

/**
 * The write-up as one HTML document that reads on a telephone and prints on one or two pages (A4, or Letter for US measures). It holds no script, fetches nothing,
 * and carries the recipe as schema.org data if given (`jsonLd`, from `recipeData`). Every word of the baker's is escaped.
 */
export function writeUpHtml(text: WriteUp, jsonLd?: object): string {
  return `<!doctype html>
<html lang="${text.measures === "us" ? "en-US" : "en-GB"}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escaped(text.title)}</title>
<style>${STYLE}@page { size: ${text.measures === "us" ? "letter" : "A4"}; margin: 14mm; }
</style>
${jsonLd === undefined ? "" : `<script type="application/ld+json">${jsonInHtml(jsonLd)}</script>`}
</head>
<body>
<main>
<h1>${escaped(text.title)}</h1>
${text.intro === undefined ? "" : `<p class="intro">${escaped(text.intro)}</p>`}
<p class="facts">${factsOf(text).map(escaped).join(" · ")}</p>
<p class="allergens"><strong>Allergens.</strong> ${allergenSentences(text).map(escaped).join(" ")}</p>
${text.parts.map((part) => partHtml(part, text.parts.length > 1)).join("\n")}
<div class="ends">
${listHtml("Keeping", text.storage)}
${listHtml("Take care", takeCare(text))}
</div>
</main>
</body>
</html>
`;
}

function partHtml(part: WrittenPart, named: boolean): string {
  const tins = part.tins.map((tin) => `<p class="tin">${escaped(tin)}</p>`).join("");
  const ingredients = part.ingredients.map(({ text }) => `<li>${escaped(text)}</li>`).join("");
  const steps = part.steps.map((step) => `<li>${escaped(step)}</li>`).join("");
  return `<section class="part">
${named ? `<h2>${escaped(part.name)}</h2>` : ""}
${tins}
<div class="columns">
${ingredients === "" ? "" : `<ul class="ingredients">${ingredients}</ul>`}
${steps === "" ? "" : `<ol>${steps}</ol>`}
</div>
</section>`;
}

const listHtml = (heading: string, lines: readonly string[]) =>
  lines.length === 0
    ? ""
    : `<section class="small"><h2>${heading}</h2><ul>${lines.map((line) => `<li>${escaped(line)}</li>`).join("")}</ul></section>`;

const escaped = (text: string) => heldTogether(text).replaceAll(/[&<>"'`]/g, (sign) => `&#${sign.charCodeAt(0)};`);

/** JSON inside a script element: no "<" can close it, and no line sign of older script readers is left. */
const jsonInHtml = (value: object) =>
  JSON.stringify(value).replaceAll(/[<>&\u2028\u2029]/g, (sign) => `\\u${sign.charCodeAt(0).toString(16).padStart(4, "0")}`);

const STYLE = `
:root { color-scheme: light dark; --ink: #26211b; --paper: #fffdf8; --rule: #d8cfc0; --soft: #6a6157; }
@media (prefers-color-scheme: dark) { :root { --ink: #efe8dc; --paper: #1d1a17; --rule: #4a443c; --soft: #b3a898; } }
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink); font: 1.0625rem/1.5 Georgia, "Times New Roman", serif; }
main { max-width: 50rem; margin: 0 auto; padding: 1.5rem; overflow-wrap: anywhere; }
h1 { font-size: 2rem; line-height: 1.15; margin: 0 0 .25em; font-weight: 600; }
h2 { font-size: 1.2rem; margin: 1.2em 0 .3em; border-bottom: 1px solid var(--rule); padding-bottom: .15em; break-after: avoid; }
.intro { margin: .3em 0; }
.facts, .tin { color: var(--soft); margin: .2em 0; }
.allergens { border-left: 3px solid currentColor; padding-left: .7em; margin: .8em 0; }
.columns { display: grid; grid-template-columns: minmax(14rem, 2fr) 3fr; gap: 1.5rem; }
.ingredients { list-style: none; padding: 0; margin: .4em 0; }
.ingredients li { padding: .15em 0; border-bottom: 1px dotted var(--rule); }
ol { margin: .4em 0; padding-left: 1.4em; } ol li { margin-bottom: .35em; }
li { break-inside: avoid; }
.small { font-size: .95rem; } .small ul { padding-left: 1.1em; margin: .3em 0; }
@media (max-width: 36rem) { main { padding: 1rem; } h1 { font-size: 1.6rem; } .columns { grid-template-columns: 1fr; gap: 0; } }
@media print {
  :root { color-scheme: light; --ink: #000; --paper: #fff; --rule: #999; --soft: #333; }
  body { font-size: 10.5pt; line-height: 1.35; } main { padding: 0; max-width: none; } h1 { font-size: 20pt; } h2 { font-size: 13pt; margin-top: .9em; }
  .part { break-inside: avoid; } .small { font-size: 9pt; line-height: 1.3; }
  .ends { display: grid; grid-template-columns: 1fr 1fr; gap: 1.5rem; } .ends section { break-inside: avoid; }
}
`;
