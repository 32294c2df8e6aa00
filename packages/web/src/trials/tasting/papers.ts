import { ALLERGEN_CAUTION, type TastingPlan } from "@evencrumb/core/trials";
import type { TastingCodes } from "../../api/types.js";
import { qrCode, qrPath } from "../../parts/qrCode.js";

// What is printed for a tasting: the plan for the one who serves, a form for each taster, and cards with codes.

const STYLE = `
@page { margin: 14mm; }
* { box-sizing: border-box; }
body { margin: 0; color: #000; background: #fff; font: 400 11.5pt/1.4 Georgia, serif; }
h1 { font-size: 17pt; margin: 0 0 2mm; } h2 { font-size: 13pt; margin: 5mm 0 2mm; }
p { margin: 0 0 2mm; }
table { border-collapse: collapse; width: 100%; } th, td { text-align: left; border-bottom: 0.3mm solid #999; padding: 1.6mm 2mm; vertical-align: top; }
thead { display: table-header-group; } tr { break-inside: avoid; }
b.code { font: 700 13pt ui-monospace, monospace; }
.told { border: 0.7mm solid #000; border-radius: 2mm; padding: 2.5mm 3.5mm; margin: 0 0 4mm; } .told strong { font-size: 13.5pt; }
.form { break-inside: avoid; border-bottom: 0.3mm dashed #777; padding: 0 0 6mm; margin: 0 0 7mm; }
.box { display: inline-block; width: 5.5mm; height: 5.5mm; border: 0.4mm solid #000; vertical-align: -1mm; margin-right: 2mm; }
.line { display: inline-block; width: 16mm; border-bottom: 0.4mm solid #000; }
.samples { display: flex; flex-wrap: wrap; gap: 3mm 12mm; margin: 3mm 0; }
.scale { letter-spacing: 0.35em; }
.cards { display: grid; grid-template-columns: repeat(3, 1fr); gap: 0; } .card { border: 0.3mm dashed #777; padding: 4mm; text-align: center; break-inside: avoid; }
.card svg { width: 38mm; height: 38mm; display: block; margin: 0 auto 1mm; } .card b { font: 700 15pt ui-monospace, monospace; display: block; }
.small { font-size: 9.5pt; }
`;

/** Who is served what, for the one who serves. */
export function servingPaper(name: string, plan: TastingPlan): string {
  const { products, method, tasterCount } = plan.words;
  const rows = plan.sheets.map(
    ({ taster, samples }) =>
      `<tr><th scope="row">${taster}</th>${samples.map(({ code, product }) => `<td><b class="code">${code}</b> ${plain(products[product]!)}</td>`).join("")}<td><span class="box"></span></td></tr>`,
  );
  const places = plan.sheets[0]!.samples.map((_, place) => `<th scope="col">place ${place + 1}</th>`).join("");
  return page(
    `Serving plan: ${name}`,
    `<main><h1>${plain(name)}</h1><p>For the one who serves. Keep it from the tasters. ${tasterCount} tasters, ${plain(method)}.</p>
${told(plan)}
<p>${products.map((product, index) => `${plan.portions[index]} portions of <b>${plain(product)}</b>`).join(", ")}. Same size, same warmth, same plates; write the code on each. Serve from left to right, with water between.</p>
<table><thead><tr><th scope="col">taster</th>${places}<th scope="col">served</th></tr></thead><tbody>${rows.join("")}</tbody></table></main>`,
  );
}

/** One form for each taster, with the allergens above the question. A browser prints its title on the paper: it names no cake. */
export function tasterForms(plan: TastingPlan): string {
  const forms = plan.sheets.map(({ taster, instruction, samples }) => {
    const asked = samples.filter(({ role }) => role === "sample").map(({ code }) => `<b class="code">${code}</b>`);
    return `<section class="form">${told(plan)}<p class="small">${plain(ALLERGEN_CAUTION)} <span class="box"></span>I do not taste.</p>
<h2>Taster ${taster}</h2><p>${plain(instruction)} Rinse with water before each.</p><div class="samples">${asked.map((code) => fieldOf(plan, code)).join("")}</div></section>`;
  });
  return page("Forms for the tasters", `<main><h1>Your tasting</h1>${forms.join("")}</main>`);
}

function fieldOf({ words }: TastingPlan, code: string): string {
  switch (words.method) {
    case "liking":
      return `<span>${code} <span class="scale">1 2 3 4 5 6 7 8 9</span></span>`;
    case "ranking":
      return `<span>${code} place <span class="line"></span></span>`;
    default:
      return `<span><span class="box"></span>${code}</span>`;
  }
}

/** Cards to cut: the QR code, the address and the code of each taster. */
export function codeCards(codes: TastingCodes, address: string): string {
  const cards = codes.codes.map(({ taster, code, path }) => {
    const modules = qrCode(address + path);
    const size = modules.length + 8;
    return `<div class="card"><svg viewBox="0 0 ${size} ${size}" shape-rendering="crispEdges" role="img" aria-label="QR code of taster ${taster}"><path d="${qrPath(modules)}"/></svg>taster ${taster}<b>${code}</b><span class="small">${plain(address.replace(/^http:\/\//, ""))}/taste</span></div>`;
  });
  return page("Codes for the tasters", `<main><h1>Codes for the tasters</h1><div class="cards">${cards.join("")}</div></main>`);
}

function told({ words }: TastingPlan): string {
  const { allergens, mayContain = [], warnings = [] } = words;
  const contains =
    allergens.length === 0 ? "none of the allergens that have to be named, as far as the baker knows" : allergens.join(", ");
  return `<div class="told"><p>Contains <strong>${plain(contains)}</strong></p>${mayContain.length === 0 ? "" : `<p>May contain <strong>${plain(mayContain.join(", "))}</strong></p>`}${warnings.length === 0 ? "" : `<p><strong>${plain(warnings.join("; "))}</strong></p>`}</div>`;
}

const page = (title: string, content: string): string =>
  `<!doctype html><html lang="en-GB"><head><meta charset="utf-8"><title>${plain(title)}</title><style>${STYLE}</style></head><body>${content}</body></html>`;

const plain = (text: string): string => text.replace(/[&<>"']/g, (letter) => `&#${letter.charCodeAt(0)};`);
