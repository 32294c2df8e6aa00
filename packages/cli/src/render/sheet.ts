import { type BatchSheet, type SheetAllergen, sheetGrams } from "@evencrumb/core/plan";
import { tableText, wrapped } from "./table.js";

/** The batch sheet as text for a terminal or a plain printer. */
export function sheetAsText(sheet: BatchSheet): string {
  const allergens = (list: readonly SheetAllergen[]) => list.map(({ name, from }) => `${name} (${from.join(", ")})`).join(", ");
  const { contains, mayContain, checkSupplier, unknownIngredients } = sheet.allergens;
  const rows = sheet.components.flatMap((component) =>
    component.stages.flatMap((stage) =>
      stage.lines.map((line) => [
        "[ ]",
        line.grams === null ? "to taste" : sheetGrams(line.grams),
        `${line.name}${line.note ? `, ${line.note}` : ""}`,
        line.scaleReadsGrams === null ? "" : sheetGrams(line.scaleReadsGrams),
      ]),
    ),
  );
  const [heading = "", ...lines] = tableText(
    [
      { heading: "", align: "left" },
      { heading: "g", align: "decimal" },
      { heading: "", align: "left" },
      { heading: "scale reads", align: "decimal" },
    ],
    rows,
    "    ",
  ).split("\n");
  let next = 0;
  const body = sheet.components.flatMap((component) => [
    "",
    `${component.name.toUpperCase()}  ${sheetGrams(component.totalGrams)} g`,
    ...component.tins.map(
      (tin) =>
        `  ${tin.count} × ${tin.tin}: ${sheetGrams(tin.gramsEach)} g in each${tin.gramsPerCup === undefined ? "" : `, ${sheetGrams(tin.gramsPerCup)} g a cup`} (${Math.round(tin.fillShare * 100)} % full, ${Math.round(tin.depthMm)} mm deep)`,
    ),
    ...(component.bake ? [`  ${component.bake}`] : []),
    ...(component.finishedGrams === undefined ? [] : [`  about ${sheetGrams(component.finishedGrams)} g after`]),
    ...component.stages.flatMap((stage) => [
      `  ${stage.name}${stage.targets.length > 0 ? `: ${stage.targets.join(" · ")}` : ""}`,
      ...(stage.method ? [wrapped(stage.method, 90, "    ")] : []),
      ...stage.lines.map(() => lines[next++]!),
    ]),
    ...(component.measure.length > 0
      ? [`  ${component.measure.map(({ label, unit }) => `${label} ______${unit ? ` ${unit}` : ""}`).join("   ")}`]
      : []),
  ]);
  return [
    sheet.title,
    [
      sheet.batch.words,
      `${sheetGrams(sheet.totalGrams)} g in all`,
      ...(sheet.portions === undefined ? [] : [`${sheet.portions} portions`]),
      sheet.date ?? "date ____________",
    ].join(" · "),
    "",
    wrapped(`CONTAINS: ${allergens(contains) || "none of the fourteen, as far as the book knows"}`),
    ...(mayContain.length > 0 ? [wrapped(`MAY CONTAIN: ${allergens(mayContain)}`)] : []),
    ...(checkSupplier.length > 0 ? [wrapped(`CHECK THE PACKET FOR: ${allergens(checkSupplier)}`)] : []),
    ...(unknownIngredients.length > 0 ? [wrapped(`NOT KNOWN FOR: ${unknownIngredients.join(", ")}`)] : []),
    "",
    heading,
    ...body.slice(1),
    "",
    ...sheet.cautions.map(({ words }) => wrapped(`! ${words}`)),
    "",
    "Notes:",
  ].join("\n");
}
