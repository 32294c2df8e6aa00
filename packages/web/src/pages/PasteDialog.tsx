export function PasteDialog(_: Record<string, unknown>) { return null; }
