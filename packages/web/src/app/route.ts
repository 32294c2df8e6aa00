import { useSyncExternalStore } from "react";

/** The address after the #: it works the same with and without a network, and from any host. */
export type Route =
  | { readonly page: "formulas" }
  | { readonly page: "formula"; readonly id: string; readonly view: FormulaView; readonly query: URLSearchParams }
  | { readonly page: "ingredients"; readonly id?: string; readonly query: URLSearchParams }
  | { readonly page: "trials" }
  | { readonly page: "ask"; readonly kind: string; readonly query: URLSearchParams }
  | { readonly page: "trial"; readonly id: string; readonly view: TrialView; readonly query: URLSearchParams }
  | { readonly page: "allergens" }
  | { readonly page: "prices" }
  | { readonly page: "tins" }
  | { readonly page: "ovens" }
  | { readonly page: "settings" }
  | { readonly page: "missing"; readonly address: string };

/** A formula's sheet, and the pages that open from it and come back to it. */
export const FORMULA_VIEWS = [
  "sheet",
  "contains",
  "compare",
  "scale",
  "batch",
  "revision",
  "keep",
  "rebalance",
  "writeup",
  "label",
  "price",
  "bake",
] as const;
export type FormulaView = (typeof FORMULA_VIEWS)[number];

/** A trial's sheet, one run of it at the bench, the batch sheet of that run, what the results say, and the working behind it. */
export const TRIAL_VIEWS = ["sheet", "run", "batch", "answer", "working"] as const;
export type TrialView = (typeof TRIAL_VIEWS)[number];

export function readRoute(hash: string): Route {
  const [path = "", search = ""] = hash.replace(/^#\/?/, "").split("?");
  const query = new URLSearchParams(search);
  const [first, ...rest] = path
    .split("/")
    .filter((part) => part !== "")
    .map(decoded);
  const missing = { page: "missing", address: hash } as const;
  switch (first) {
    case undefined:
      return { page: "formulas" };
    case "formula": {
      const [id, view = "sheet"] = rest;
      const known = FORMULA_VIEWS.find((candidate) => candidate === view);
      return id === undefined || known === undefined ? missing : { page: "formula", id, view: known, query };
    }
    case "ingredients":
      return rest[0] === undefined ? { page: "ingredients", query } : { page: "ingredients", id: rest[0], query };
    case "trials":
      return rest[0] === undefined ? { page: "trials" } : { page: "ask", kind: rest[0].replaceAll("-", " "), query };
    case "trial": {
      const [id, view = "sheet"] = rest;
      const known = TRIAL_VIEWS.find((candidate) => candidate === view);
      return id === undefined || known === undefined ? missing : { page: "trial", id, view: known, query };
    }
    case "allergens":
      return { page: "allergens" };
    case "prices":
      return { page: "prices" };
    case "tins":
      return { page: "tins" };
    case "ovens":
      return { page: "ovens" };
    case "settings":
      return { page: "settings" };
    default:
      return missing;
  }
}

/** An address that somebody broke leads to the page that says so. */
function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

export const addresses = {
  formulas: () => "#/",
  formula: (id: string, view: FormulaView = "sheet", query: Record<string, string> = {}) => {
    const search = new URLSearchParams(query).toString();
    return `#/formula/${encodeURIComponent(id)}${view === "sheet" ? "" : `/${view}`}${search === "" ? "" : `?${search}`}`;
  },
  ingredients: (id?: string) => (id === undefined ? "#/ingredients" : `#/ingredients/${encodeURIComponent(id)}`),
  trials: () => "#/trials",
  /** A question that is being put: "better", "which blend". */
  ask: (kind: string, query: Record<string, string> = {}) => {
    const search = new URLSearchParams(query).toString();
    return `#/trials/${kind.replaceAll(" ", "-")}${search === "" ? "" : `?${search}`}`;
  },
  trial: (id: string, view: TrialView = "sheet", run?: number) =>
    `#/trial/${encodeURIComponent(id)}${view === "sheet" ? "" : `/${view}`}${run === undefined ? "" : `?run=${run}`}`,
  allergens: () => "#/allergens",
  prices: () => "#/prices",
  tins: () => "#/tins",
  ovens: () => "#/ovens",
  settings: () => "#/settings",
};

export function go(address: string, replace = false): void {
  if (replace) history.replaceState(null, "", address);
  else history.pushState(null, "", address);
  window.dispatchEvent(new HashChangeEvent("hashchange"));
}

export function useRoute(): Route {
  const hash = useSyncExternalStore(
    (listener) => {
      window.addEventListener("hashchange", listener);
      window.addEventListener("popstate", listener);
      return () => {
        window.removeEventListener("hashchange", listener);
        window.removeEventListener("popstate", listener);
      };
    },
    () => location.hash,
  );
  return readRoute(hash);
}
