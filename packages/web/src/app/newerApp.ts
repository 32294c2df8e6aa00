import { useSyncExternalStore } from "react";

let waiting: ServiceWorker | null = null;
const listeners = new Set<() => void>();

/** Keeps the app on the device, so that it opens without a network; notices when a newer one has arrived. */
export async function keepAppOnDevice(): Promise<void> {
  // A browser that was told to forbid workers answers with nothing: the app then needs the network to open.
  const registration: ServiceWorkerRegistration | undefined = await navigator.serviceWorker.register("/sw.js");
  if (registration === undefined) return;
  const notice = (worker: ServiceWorker | null) => {
    // The first one is no newer one: there was none before.
    if (worker === null || navigator.serviceWorker.controller === null) return;
    waiting = worker;
    for (const listener of listeners) listener();
  };
  notice(registration.waiting);
  registration.addEventListener("updatefound", () => {
    const worker = registration.installing;
    worker?.addEventListener("statechange", () => {
      if (worker.state === "installed") notice(worker);
    });
  });
}

/** Opens the newer app, or null while this is the newest. Nothing typed is lost: it is all on the device. */
export function useNewerApp(): (() => void) | null {
  const worker = useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    () => waiting,
  );
  if (worker === null) return null;
  return () => {
    navigator.serviceWorker.addEventListener("controllerchange", () => location.reload());
    worker.postMessage({ type: "SKIP_WAITING" });
  };
}
