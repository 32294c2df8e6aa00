/**
 * Small things that must outlive a crash between two keystrokes: written at once, read at once. The larger copies of
 * what the server said are in `cache.ts`.
 */
const PREFIX = "evencrumb.";

export interface SmallStorage {
  getItem(key: string): string | null;
  setItem(key: string, value: string): void;
  removeItem(key: string): void;
  key(index: number): string | null;
  readonly length: number;
}

export function readSmall<T>(name: string, storage: SmallStorage = localStorage): T | undefined {
  const text = storage.getItem(PREFIX + name);
  if (text === null) return undefined;
  try {
    return JSON.parse(text) as T;
  } catch {
    return undefined; // written by hand or cut short; as good as absent
  }
}

export function writeSmall(name: string, value: unknown, storage: SmallStorage = localStorage): void {
  storage.setItem(PREFIX + name, JSON.stringify(value));
}

export function removeSmall(name: string, storage: SmallStorage = localStorage): void {
  storage.removeItem(PREFIX + name);
}

/** Names under a prefix: `smallNames("draft.")`. */
export function smallNames(prefix: string, storage: SmallStorage = localStorage): string[] {
  const names: string[] = [];
  for (let index = 0; index < storage.length; index++) {
    const key = storage.key(index);
    if (key?.startsWith(PREFIX + prefix)) names.push(key.slice(PREFIX.length));
  }
  return names;
}
