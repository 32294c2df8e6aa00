export function IngredientsPage(_: Record<string, unknown>) { return null; }
