/**
 * The answer as JSON. Each command's shape is its own and versioned like a file format: `shape` names it, and a field that is
 * there stays; new ones may come. Numbers are rounded to a millionth, so that 0.1 + 0.2 reads as 0.3.
 */
export function jsonText(shape: string, answer: Readonly<Record<string, unknown>>): string {
  return JSON.stringify(
    { shape: `evencrumb.${shape}/1`, ...answer },
    (_key, value: unknown) => (typeof value === "number" ? tidy(value) : value),
    2,
  );
}

function tidy(value: number): number | null {
  if (!Number.isFinite(value)) return null;
  return Number.isInteger(value) ? value : Math.round(value * 1e6) / 1e6;
}
