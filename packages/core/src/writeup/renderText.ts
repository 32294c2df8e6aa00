import type { WriteUp } from "./writeUp.js";

/** The write-up as Markdown (CommonMark); the baker's words cannot turn into markup. */
export function writeUpMarkdown(text: WriteUp): string {
  const many = text.parts.length > 1;
  const lines: string[] = [`# ${md(text.title)}`, ""];
  if (text.intro !== undefined) lines.push(md(text.intro), "");
  lines.push(md(factsOf(text).join(" · ")), "");
  for (const part of text.parts) {
    if (many) lines.push(`## ${md(part.name)}`, "");
    for (const tin of part.tins) lines.push(`Tin: ${md(tin)}`, "");
    lines.push(...part.ingredients.map((line) => `- ${md(line.text)}`), "");
    lines.push(...part.steps.map((step, index) => `${index + 1}. ${md(step)}`));
    if (part.oven !== undefined) lines.push(`${part.steps.length + 1}. ${md(bakeLine(part.oven))}`);
    lines.push("");
  }
  lines.push(
    ...section("Keeping", text.storage),
    ...section("Allergens", allergenLines(text)),
    ...section("Take care", [...text.cautions, ...text.rounding.map(({ words }) => words)]),
  );
  return `${lines.join("\n").trimEnd()}\n`;
}

/** The write-up as plain text: for a message, or the description under a film. */
export function writeUpText(text: WriteUp): string {
  const many = text.parts.length > 1;
  const lines: string[] = [text.title.toUpperCase(), ""];
  if (text.intro !== undefined) lines.push(text.intro, "");
  lines.push(factsOf(text).join(" · "), "");
  for (const part of text.parts) {
    if (many) lines.push(`${part.name}:`);
    for (const tin of part.tins) lines.push(`Tin: ${tin}`);
    lines.push(...part.ingredients.map((line) => `• ${line.text}`), "");
    lines.push(...part.steps.map((step, index) => `${index + 1}. ${step}`));
    if (part.oven !== undefined) lines.push(`${part.steps.length + 1}. ${bakeLine(part.oven)}`);
    lines.push("");
  }
  for (const [heading, list] of [
    ["Keeping", text.storage],
    ["Allergens", allergenLines(text)],
    ["Take care", [...text.cautions, ...text.rounding.map(({ words }) => words)]],
  ] as const) {
    if (list.length > 0) lines.push(`${heading}:`, ...list.map((line) => `• ${line}`), "");
  }
  return `${lines
    .map((line) => line.replaceAll(/[\u0000-\u0008\u000b-\u001f]/g, " "))
    .join("\n")
    .trimEnd()}\n`;
}

export function factsOf(text: WriteUp): readonly string[] {
  return [
    ...(text.portions === undefined ? [] : [`Makes ${text.portions} portions`]),
    ...(text.author === undefined ? [] : [text.author]),
    ...(text.date === undefined ? [] : [text.date]),
    {
      metric: "Level metric spoons: 5 and 15 ml",
      imperial: "Ounces and level metric spoons",
      us: "Level US cups and spoons; flour spooned, not packed",
    }[text.measures],
  ];
}

export const bakeLine = (oven: { readonly words: string; readonly minutes?: string }) =>
  `Bake at ${oven.words}${oven.minutes === undefined ? "" : `, ${oven.minutes}`}.`;

export function allergenLines({ allergens }: WriteUp): readonly string[] {
  return [
    allergens.contains.length > 0
      ? `Contains ${allergens.contains.join(", ")}.`
      : "None of the fourteen, as far as the ingredients are known.",
    ...(allergens.mayContain.length > 0 ? [`May contain ${allergens.mayContain.join(", ")}.`] : []),
    ...(allergens.check.length > 0 ? [`Read the packets for ${allergens.check.join(", ")}.`] : []),
  ];
}

const section = (heading: string, list: readonly string[]) =>
  list.length === 0 ? [] : [`## ${heading}`, "", ...list.map((line) => `- ${md(line)}`), ""];

/** Escapes what CommonMark reads as markup, and folds line ends. */
const md = (text: string) =>
  text
    .replaceAll(/[\r\n]+/g, " ")
    .replaceAll(/[\\`*_[\]<>#|~]/g, (mark) => `\\${mark}`)
    .replace(/^(\s*)([-+]|\d+[.)])/, "$1\\$2");
