export function TinsPage(_: Record<string, unknown>) { return null; }
