import type { BatchSheet, SheetAllergen, SheetComponent, SheetLine, SheetStage } from "./batchSheet.js";
import { sheetGrams } from "./batchSheet.js";
import { sheetScale } from "./sheetLayout.js";

/**
 * The batch sheet as one HTML document that prints on one A4 page (for about 25 lines) and reads on a tablet.
 * Nothing in it is fetched: no scripts, no pictures, no fonts from elsewhere. Every word of the baker's is escaped.
 */
export function batchSheetHtml(sheet: BatchSheet): string {
  const { allergens } = sheet;
  const facts = [
    sheet.batch.words,
    `${sheetGrams(sheet.totalGrams)} g in all`,
    ...(sheet.portions === undefined ? [] : [`${sheet.portions} portions`]),
    ...(sheet.revision ? [`revision ${sheet.revision.number}${sheet.revision.note ? `: ${sheet.revision.note}` : ""}`] : []),
  ];
  return `<!doctype html>
<html lang="en-GB">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escaped(sheet.title)}: batch sheet</title>
<style>${STYLE.replace("--s: 1", `--s: ${sheetScale(sheet)}`)}</style>
</head>
<body>
<main>
<header>
<h1>${escaped(sheet.title)}</h1>
<p class="day">${sheet.date ? escaped(sheet.date) : 'Date <span class="line"></span>'}<br>By <span class="line"></span></p>
<p class="facts">${facts.map(escaped).join(" · ")}</p>
</header>
<section class="allergens" aria-label="Allergens">
<p><strong>Contains:</strong> ${allergens.contains.length > 0 ? allergens.contains.map(allergenWords).join(", ") : "none of the fourteen, as far as the book knows"}</p>
${allergens.mayContain.length > 0 ? `<p><strong>May contain:</strong> ${allergens.mayContain.map(allergenWords).join(", ")}</p>` : ""}
${allergens.checkSupplier.length > 0 ? `<p><strong>Check the packet for:</strong> ${allergens.checkSupplier.map(allergenWords).join(", ")}</p>` : ""}
${allergens.unknownIngredients.length > 0 ? `<p><strong>Not known for:</strong> ${allergens.unknownIngredients.map(escaped).join(", ")}</p>` : ""}
</section>
${sheet.components.map(componentHtml).join("\n")}
<section class="end">
${sheet.cautions.length > 0 ? `<ul class="cautions">${sheet.cautions.map(({ words }) => `<li>${escaped(words)}</li>`).join("")}</ul>` : ""}
<div class="notes"><strong>Notes</strong></div>
</section>
</main>
</body>
</html>
`;
}

function allergenWords({ name, from }: SheetAllergen): string {
  return `<b>${escaped(name)}</b> <small>(${from.map(escaped).join(", ")})</small>`;
}

function componentHtml(component: SheetComponent): string {
  const tins = component.tins.map(
    (tin) =>
      `<li><b>${tin.count} × ${escaped(tin.tin)}</b>: <b>${sheetGrams(tin.gramsEach)} g</b> in each${tin.gramsPerCup === undefined ? "" : `, <b>${sheetGrams(tin.gramsPerCup)} g</b> a cup`} (${Math.round(tin.fillShare * 100)} % full, ${Math.round(tin.depthMm)} mm deep)</li>`,
  );
  const facts = [
    ...(component.bake ? [component.bake] : []),
    ...(component.finishedGrams === undefined ? [] : [`about ${sheetGrams(component.finishedGrams)} g after`]),
  ];
  return `<section class="component">
<h2>${escaped(component.name)}<span>${sheetGrams(component.totalGrams)} g</span></h2>
${tins.length + facts.length > 0 ? `<ul class="tins">${[...tins, ...facts.map((fact) => `<li>${escaped(fact)}</li>`)].join("")}</ul>` : ""}
${component.stages.map(stageHtml).join("\n")}
${component.measure.length > 0 ? `<dl class="measure">${component.measure.map(({ label, unit }) => `<div><dt>${escaped(label)}</dt><dd>${unit ? escaped(unit) : ""}</dd></div>`).join("")}</dl>` : ""}
</section>`;
}

function stageHtml(stage: SheetStage): string {
  const several = stage.lines.filter((line) => line.grams !== null).length > 1;
  return `<div class="stage">
<div class="how"><h3>${escaped(stage.name)}</h3>${stage.targets.length > 0 ? `<p class="targets">${stage.targets.map(escaped).join(" · ")}</p>` : ""}${stage.method ? `<p>${escaped(stage.method)}</p>` : ""}</div>
<table>${several ? '<thead><tr><td></td><th scope="col">grams</th><td></td><th scope="col">scale reads</th></tr></thead>' : ""}<tbody>${stage.lines.map((line) => lineHtml(line, several)).join("")}</tbody></table>
</div>`;
}

function lineHtml(line: SheetLine, several: boolean): string {
  const weight =
    line.grams === null ? '<td class="grams open">to taste</td>' : `<td class="grams">${decimalHtml(line.grams)}</td>`;
  const reads = several && line.scaleReadsGrams !== null ? decimalHtml(line.scaleReadsGrams) : "";
  return `<tr><td class="tick"><i></i></td>${weight}<td class="name">${line.bringsAllergen ? `<b>${escaped(line.name)}</b>` : escaped(line.name)}${line.note ? ` <small>${escaped(line.note)}</small>` : ""}</td><td class="reads">${reads}</td></tr>`;
}

/** Aligned on the decimal point: the decimals keep their place where there are none. */
function decimalHtml(grams: number): string {
  const [whole, decimals] = sheetGrams(grams).split(".") as [string, string?];
  return `${whole}<span class="decimals">${decimals === undefined ? "" : `.${decimals}`}</span>`;
}

/** Text that HTML shows as it is. */
function escaped(text: string): string {
  return text.replace(/[&<>"']/g, (sign) => `&#${sign.charCodeAt(0)};`);
}

const STYLE = `
@page { size: A4; margin: 11mm; }
:root { --s: 1; --u: calc(var(--s) * 1mm); color: #111; background: #fff; }
* { box-sizing: border-box; margin: 0; padding: 0; }
body { font: calc(var(--s) * 12pt)/1.28 Figtree, "Segoe UI", system-ui, "DejaVu Sans", sans-serif; font-variant-numeric: tabular-nums; }
main { max-width: 188mm; margin: 0 auto; display: flex; flex-direction: column; }
header { display: grid; grid-template-columns: 1fr auto; column-gap: calc(8 * var(--u)); border-bottom: 0.6mm solid #111; padding-bottom: calc(1.4 * var(--u)); }
h1 { font: 600 calc(var(--s) * 25pt)/1.1 "Brygada 1918", Georgia, serif; }
.day { text-align: right; white-space: nowrap; font-size: 0.95em; line-height: 1.55; }
.line { display: inline-block; width: 34mm; border-bottom: 0.2mm solid #111; }
.facts { grid-column: 1 / -1; }
.allergens { border: 0.7mm solid #111; padding: calc(1.2 * var(--u)) calc(2 * var(--u)); margin: calc(2 * var(--u)) 0 0; }
small { font-size: 0.8em; color: #444; }
.component { break-inside: auto; margin-top: calc(2.4 * var(--u)); }
h2 { font: 600 calc(var(--s) * 16pt)/1.2 "Brygada 1918", Georgia, serif; display: flex; justify-content: space-between; border-bottom: 0.3mm solid #111; break-after: avoid; }
h2 span { font-family: Figtree, "Segoe UI", system-ui, sans-serif; font-size: 0.84em; }
.tins { list-style: none; display: flex; flex-wrap: wrap; column-gap: calc(6 * var(--u)); padding: calc(0.6 * var(--u)) 0; }
.stage { display: grid; grid-template-columns: 33% 1fr; column-gap: calc(4 * var(--u)); border-bottom: 0.15mm solid #999; padding: calc(0.7 * var(--u)) 0; break-inside: avoid; }
h3 { font-size: 1.02em; line-height: 1.25; }
.how p { font-size: 0.83em; line-height: 1.22; }
.how .targets { font-weight: 700; font-size: 0.9em; }
table { width: 100%; border-collapse: collapse; align-self: start; }
thead { font-size: 0.62em; color: #555; line-height: 1; }
th { font-weight: 400; text-align: right; }
td { padding: calc(0.35 * var(--u)) 0; vertical-align: baseline; line-height: 1.2; }
.tick { width: calc(7 * var(--u)); }
.tick i { display: inline-block; width: calc(4 * var(--u)); height: calc(4 * var(--u)); border: 0.35mm solid #111; vertical-align: -0.12em; }
.grams { width: calc(22 * var(--u)); text-align: right; font-weight: 700; font-size: 1.2em; white-space: nowrap; }
.grams.open { font-weight: 400; font-size: 0.85em; }
.name { padding-left: calc(3.5 * var(--u)); }
.reads { width: calc(21 * var(--u)); text-align: right; color: #555; font-size: 0.86em; white-space: nowrap; }
.decimals { display: inline-block; width: 1.15em; text-align: left; }
.measure { display: flex; gap: calc(2 * var(--u)); padding-top: calc(1 * var(--u)); break-inside: avoid; }
.measure div { flex: 1; border-bottom: 0.2mm solid #111; height: calc(10 * var(--u)); display: flex; flex-direction: column; justify-content: space-between; }
dt { font-size: 0.62em; line-height: 1.1; }
dd { font-size: 0.72em; text-align: right; line-height: 1.1; }
.end { margin-top: calc(2.6 * var(--u)); break-inside: avoid; }
.cautions { padding-left: 1.1em; font-size: 0.8em; line-height: 1.24; }
.notes { min-height: 15mm; margin-top: calc(1.6 * var(--u)); border: 0.2mm solid #999; padding: 1mm 2mm; font-size: 0.8em; }
@media screen { body { padding: 5mm; background: #fff; } }
`;
