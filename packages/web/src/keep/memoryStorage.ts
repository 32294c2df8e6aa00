import type { SmallStorage } from "./storage.js";

/** A storage that lives as long as its owner: for tests. */
export function memoryStorage(): SmallStorage {
  const items = new Map<string, string>();
  return {
    getItem: (key) => items.get(key) ?? null,
    setItem: (key, value) => void items.set(key, value),
    removeItem: (key) => void items.delete(key),
    key: (index) => [...items.keys()][index] ?? null,
    get length() {
      return items.size;
    },
  };
}
