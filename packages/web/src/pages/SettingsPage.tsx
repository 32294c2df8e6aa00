export function SettingsPage(_: Record<string, unknown>) { return null; }
