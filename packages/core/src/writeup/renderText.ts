import type { WriteUp } from "./writeUp.js";

/** The write-up as Markdown (CommonMark); the baker's words cannot turn into markup. */
export function writeUpMarkdown(text: WriteUp): string {
  const many = text.parts.length > 1;
  const lines: string[] = [`# ${md(text.title)}`, ""];
  if (text.intro !== undefined) lines.push(md(text.intro), "");
  lines.push(md(factsOf(text).join(" · ")), "");
  for (const part of text.parts) {
    if (many) lines.push(`## ${md(part.name)}`, "");
    for (const tin of part.tins) lines.push(md(capital(tin)), "");
    lines.push(...part.ingredients.map((line) => `- ${md(line.text)}`), "");
    lines.push(...part.steps.map((step, index) => `${index + 1}. ${md(step)}`), "");
  }
  for (const [heading, list] of endings(text)) {
    if (list.length > 0) lines.push(`## ${heading}`, "", ...list.map((line) => `- ${md(line)}`), "");
  }
  return `${lines.join("\n").trimEnd()}\n`;
}

/** The write-up as plain text: for a message, or the description under a film. */
export function writeUpText(text: WriteUp): string {
  const many = text.parts.length > 1;
  const lines: string[] = [text.title.toUpperCase(), ""];
  if (text.intro !== undefined) lines.push(text.intro, "");
  lines.push(factsOf(text).join(" · "), "");
  for (const part of text.parts) {
    if (many) lines.push(`${part.name.toUpperCase()}`);
    for (const tin of part.tins) lines.push(capital(tin));
    lines.push(...part.ingredients.map((line) => `• ${line.text}`), "");
    lines.push(...part.steps.map((step, index) => `${index + 1}. ${step}`), "");
  }
  for (const [heading, list] of endings(text)) {
    if (list.length > 0) lines.push(heading.toUpperCase(), ...list.map((line) => `• ${line}`), "");
  }
  return `${lines.join("\n").trimEnd()}\n`;
}

const endings = (text: WriteUp) =>
  [
    ["Keeping", text.storage],
    ["Allergens", allergenSentences(text)],
    ["Take care", takeCare(text)],
  ] as const;

/** "Makes 10 portions", who, when, and whose spoons. */
export function factsOf(text: WriteUp): readonly string[] {
  return [
    ...(text.portions === undefined ? [] : [`Makes ${text.portions} ${text.portions === 1 ? "portion" : "portions"}`]),
    ...(text.author === undefined ? [] : [text.author]),
    ...(text.date === undefined ? [] : [text.date]),
    {
      metric: "Level spoons: 1 tbsp = 15 ml, 1 tsp = 5 ml",
      imperial: "British ounces and fluid ounces; level spoons: 1 tbsp = 15 ml, 1 tsp = 5 ml",
      us: "Level US cups and spoons; flour spooned in, not packed",
    }[text.measures],
    ...(text.eggs === undefined ? [] : [text.eggs]),
  ];
}

/** What it contains, by the words of the lists that the law has. */
export function allergenSentences({ allergens, measures }: WriteUp): readonly string[] {
  const none = measures === "us" ? "None of the major allergens" : "None of the fourteen that have to be named";
  return [
    allergens.contains.length > 0
      ? `Contains ${allergens.contains.join(", ")}.`
      : `${none}, as far as the ingredients are known.`,
    ...(allergens.mayContain.length > 0 ? [`May contain ${allergens.mayContain.join(", ")}.`] : []),
    ...(allergens.check.length > 0 ? [`Read the packets for ${allergens.check.join(", ")}.`] : []),
  ];
}

/** Cautions, and where the reader's measures move the cake. */
export const takeCare = (text: WriteUp): readonly string[] => [...text.cautions, ...text.rounding.map(({ words }) => words)];

const capital = (words: string) => words.charAt(0).toUpperCase() + words.slice(1);

/** Escapes what CommonMark (and the tables and strike-throughs of its common dialects) read as markup. Texts are single lines already. */
const md = (text: string) =>
  text
    .replaceAll(/[\\`*_{}[\]<>#|~&!$]/g, (mark) => `\\${mark}`)
    .replace(/^(\s*)([-+=]|\d{1,9}[.)])/, (_whole, space: string, mark: string) =>
      /\d/.test(mark) ? `${space}${mark.slice(0, -1)}\\${mark.slice(-1)}` : `${space}\\${mark}`,
    );
