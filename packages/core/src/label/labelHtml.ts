import type { Label } from "./labelFor.js";
import { decimalsOf, labelWords } from "./languages.js";
import type { NutritionCell } from "./nutritionLines.js";
import { escapeXml } from "./plainText.js";

/**
 * What a label says as an HTML document: for a shop's page (distance selling asks for it before the purchase) and to read it
 * over. Nothing in it is fetched or run; every word from outside is escaped.
 */
export function labelHtml(label: Label): string {
  const words = labelWords(label.language);
  const isUs = label.place === "us";
  const paragraph = (text: string | undefined, strong = false) =>
    text === undefined || text === "" ? "" : `<p>${strong ? "<strong>" : ""}${escapeXml(text)}${strong ? "</strong>" : ""}</p>`;
  const list =
    label.mode === "loose" || label.list.items.length === 0
      ? ""
      : `<p>${label.list.runs.map(({ text, emphasised }) => (emphasised ? `<strong>${escapeXml(text)}</strong>` : escapeXml(text))).join("")}</p>`;
  const cell = (value: NutritionCell | undefined, unit: string) =>
    value === undefined
      ? ""
      : `<td>${value.known ? escapeXml(`${isUs ? value.declared.text : decimalsOf(value.declared.text, label.language)}${unit}`) : `<abbr title="${escapeXml(value.why)}">–</abbr>`}</td>`;
  const { nutrition } = label;
  const rows = nutrition?.rows.map((row) => {
    const unit = row.id === "energyKj" ? " kJ" : row.id === "energyKcal" ? " kcal" : "";
    return `<tr${row.indented ? ' class="within"' : ""}><th scope="row">${escapeXml(row.name)}</th>${isUs ? "" : cell(row.per100g, unit)}${cell(row.perPortion, unit)}${isUs ? `<td>${row.percent === undefined ? "" : `${row.percent}%`}</td>` : ""}</tr>`;
  });
  const portion = nutrition?.portionGrams === undefined ? "" : ` (${Math.round(nutrition.portionGrams)} g)`;
  const table =
    rows === undefined
      ? ""
      : `<table><caption>${isUs ? "Nutrition Facts" : escapeXml(words.nutrition)}${label.serving === undefined ? "" : `: ${escapeXml(`${label.serving.servings} servings, serving size ${label.serving.words}`)}`}</caption><thead><tr><td></td>${isUs ? '<th scope="col">per serving</th><th scope="col">% Daily Value</th>' : `<th scope="col">${escapeXml(words.per100g)}</th>${portion === "" ? "" : `<th scope="col">${escapeXml(words.perPortion)}${portion}</th>`}`}</tr></thead><tbody>${rows.join("")}</tbody></table>`;
  const missing =
    label.missing.length === 0
      ? ""
      : `<aside><h2>Missing before this can be used</h2><ul>${label.missing.map((one) => `<li>${escapeXml(one)}</li>`).join("")}</ul></aside>`;
  return `<!doctype html>
<html lang="${isUs ? "en-US" : label.language === "en" ? "en-GB" : label.language}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escapeXml(label.name)}</title>
<style>${STYLE}</style>
</head>
<body>
<main>
<h1>${escapeXml(label.name)}</h1>
${[
  paragraph(label.description),
  list,
  paragraph(label.list.contains, true),
  paragraph(label.list.mayContain),
  paragraph(label.alcohol === undefined ? undefined : `${label.alcohol}.`),
  paragraph(label.durability.text, true),
  paragraph([label.storage, label.instructions].filter((one) => one !== undefined).join(" ")),
  paragraph(label.netQuantity?.text, true),
  table,
  paragraph(label.business === undefined ? undefined : `${label.business.name}, ${label.business.address}`),
]
  .filter((one) => one !== "")
  .join("\n")}
</main>
${missing}
</body>
</html>
`;
}

const STYLE =
  "body{font:16px/1.4 Figtree,system-ui,sans-serif;color:#111;max-width:42rem;margin:2rem auto;padding:0 1rem}h1{font-size:1.5rem;margin:0 0 .5rem}p{margin:.4rem 0}table{border-collapse:collapse;margin:.8rem 0}caption{text-align:left;font-weight:700}th,td{padding:.15rem .6rem;border-bottom:1px solid #bbb;text-align:right;font-variant-numeric:tabular-nums}tbody th{text-align:left;font-weight:400}.within th{padding-left:1.6rem}aside{margin-top:2rem;border:2px solid #111;padding:.2rem 1rem}aside h2{font-size:1rem}@media print{aside{display:none}}";
