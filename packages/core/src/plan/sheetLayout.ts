import type { BatchSheet, SheetComponent, SheetStage } from "./batchSheet.js";

/** Height of an A4 page less its margins of 11 mm [mm]. */
const PAGE_MM = 275;
/** Room kept for notes by hand [mm]. */
const NOTES_MM = 19;
const [SMALLEST, LARGEST] = [0.66, 1.12];

/**
 * How large a batch sheet can be set so that it fills one A4 page: a factor on all sizes, 1 for about fifteen lines.
 * An estimate from counted lines of type, on the safe side (the print on every formula of the demo bakery is one page, by the test of the PDF);
 * below 0.66 (8 pt) a sheet is left to run on to a second page, because smaller cannot be read at arm's length.
 */
export function sheetScale(sheet: BatchSheet): number {
  for (let percent = Math.round(LARGEST * 100); percent > SMALLEST * 100; percent--) {
    const scale = percent / 100;
    if (scale * contentMm(sheet, scale) <= PAGE_MM - NOTES_MM) return scale;
  }
  return SMALLEST;
}

/** Height of everything above the notes, at scale 1 but with as many characters in a line as the scale lets in [mm]. */
function contentMm(sheet: BatchSheet, scale: number): number {
  const lines = (characters: number, perLine: number) => Math.max(1, Math.ceil((characters * scale) / perLine));
  const { contains, mayContain, checkSupplier, unknownIngredients } = sheet.allergens;
  const allergens = [contains, mayContain, checkSupplier].map((list) =>
    list.length === 0
      ? 0
      : lines(
          list.reduce((sum, { name, from }) => sum + name.length + from.join(", ").length + 4, 20),
          92,
        ),
  );
  const allergenLines = Math.max(1, allergens[0]!) + allergens[1]! + allergens[2]! + (unknownIngredients.length > 0 ? 1 : 0);
  const head = 24 + 7 + 5.6 * allergenLines;
  const cautions = sheet.cautions.reduce((sum, { words }) => sum + 4.6 * lines(words.length, 100), 4);
  return head + cautions + sheet.components.reduce((sum, component) => sum + componentMm(component), 0);

  function componentMm(component: SheetComponent): number {
    const facts =
      component.tins.length > 0 || component.bake ? 5.8 * (Math.max(1, component.tins.length) + (component.bake ? 1 : 0)) : 0;
    return (
      10.5 + facts + (component.measure.length > 0 ? 12 : 0) + component.stages.reduce((sum, stage) => sum + stageMm(stage), 0)
    );
  }

  function stageMm(stage: SheetStage): number {
    const targets = stage.targets.length > 0 ? 4.7 * lines(stage.targets.join(" · ").length, 36) : 0;
    const method = stage.method ? 4.3 * lines(stage.method.length, 38) : 0;
    return Math.max(5.6 + targets + method, 2.4 + 6.45 * stage.lines.length) + 2.4;
  }
}
