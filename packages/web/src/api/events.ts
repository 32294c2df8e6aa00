import type { ServerEvent } from "./types.js";

/**
 * What others do, as it happens. The browser reconnects by itself; `onConnection` tells when the line opens and breaks.
 *
 * @returns a function that stops listening
 */
export function listenToServer(onEvent: (event: ServerEvent) => void, onConnection: (open: boolean) => void): () => void {
  const source = new EventSource("/api/events");
  source.addEventListener("open", () => onConnection(true));
  source.addEventListener("error", () => onConnection(false));
  source.addEventListener("message", (message) => {
    const event = readEvent(message.data);
    if (event !== undefined) onEvent(event);
  });
  return () => source.close();
}

function readEvent(data: unknown): ServerEvent | undefined {
  try {
    const event: unknown = JSON.parse(String(data));
    return typeof event === "object" && event !== null && "type" in event ? (event as ServerEvent) : undefined;
  } catch {
    return undefined; // a comment or a heartbeat
  }
}
