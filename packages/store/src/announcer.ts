import type { StoreChange } from "./store.js";

/** Tells every listener of a change. A listener that throws does not keep the others, or the save, from going on. */
export function announcer() {
  const listeners = new Set<(change: StoreChange) => void>();
  return {
    announce(change: StoreChange): void {
      for (const listener of [...listeners]) {
        try {
          listener(change);
        } catch (error) {
          // The save is done; what a listener makes of it is its own affair, but it must not vanish.
          queueMicrotask(() => {
            throw error;
          });
        }
      }
    },
    subscribe(listener: (change: StoreChange) => void): () => void {
      listeners.add(listener);
      return () => void listeners.delete(listener);
    },
  };
}
