/** "25 Nov, 10:42" of this year, "25 Nov 2024" of another. `now` is an argument so that a picture is the same each time. */
export function shortDate(iso: string, now: Date = new Date()): string {
  const date = new Date(iso);
  if (Number.isNaN(date.getTime())) return "";
  const day = date.toLocaleDateString("en-GB", { day: "numeric", month: "short" });
  if (date.getFullYear() !== now.getFullYear()) return `${day} ${date.getFullYear()}`;
  return `${day}, ${date.toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" })}`;
}

/** The day on this device as ISO 8601, "2026-11-25". */
export function today(now: Date = new Date()): string {
  return `${now.getFullYear()}-${String(now.getMonth() + 1).padStart(2, "0")}-${String(now.getDate()).padStart(2, "0")}`;
}
