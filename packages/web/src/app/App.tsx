import { Component, lazy, type ReactNode, Suspense, useEffect, useLayoutEffect } from "react";
import { FormulaPage } from "../pages/FormulaPage.js";
import { FormulasPage } from "../pages/FormulasPage.js";
import { KeptWords } from "./KeptWords.js";
import { addresses, type Route, useRoute } from "./route.js";
import { useHouseState } from "./useHouse.js";

// The list and the sheet come at once; what is opened now and then comes when it is opened.
const IngredientsPage = lazy(() => import("../pages/IngredientsPage.js").then((all) => ({ default: all.IngredientsPage })));
const TrialsPage = lazy(() => import("../pages/TrialsPage.js").then((all) => ({ default: all.TrialsPage })));
const AskPage = lazy(() => import("../pages/AskPage.js").then((all) => ({ default: all.AskPage })));
const TrialPage = lazy(() => import("../pages/TrialPage.js").then((all) => ({ default: all.TrialPage })));
const AllergensPage = lazy(() => import("../pages/AllergensPage.js").then((all) => ({ default: all.AllergensPage })));
const PricesPage = lazy(() => import("../pages/PricesPage.js").then((all) => ({ default: all.PricesPage })));
const TinsPage = lazy(() => import("../pages/TinsPage.js").then((all) => ({ default: all.TinsPage })));
const OvensPage = lazy(() => import("../pages/OvensPage.js").then((all) => ({ default: all.OvensPage })));
const SettingsPage = lazy(() => import("../pages/SettingsPage.js").then((all) => ({ default: all.SettingsPage })));

const PLACES = [
  { page: "formulas", label: "Formulas", address: addresses.formulas() },
  { page: "trials", label: "Trials", address: addresses.trials() },
  { page: "ingredients", label: "Ingredients", address: addresses.ingredients() },
  { page: "prices", label: "Prices", address: addresses.prices() },
  { page: "tins", label: "Tins", address: addresses.tins() },
  { page: "ovens", label: "Ovens", address: addresses.ovens() },
  { page: "settings", label: "Settings", address: addresses.settings() },
] as const;

export function App() {
  const route = useRoute();
  const { device } = useHouseState();
  useTheme(device.theme);
  const here =
    route.page === "formula" || route.page === "allergens"
      ? "formulas"
      : route.page === "ask" || route.page === "trial"
        ? "trials"
        : route.page;
  // Another page starts at its top; the views of one formula keep their own place.
  const pageKey =
    route.page === "formula"
      ? `${route.id} ${route.view}`
      : route.page === "trial"
        ? `${route.id} ${route.view} ${route.query.get("run") ?? ""}`
        : route.page === "ask"
          ? `ask ${route.kind}`
          : route.page;
  useEffect(() => {
    if (pageKey !== "") window.scrollTo(0, 0);
  }, [pageKey]);
  return (
    <>
      <button type="button" className="skip" onClick={() => document.getElementById("main")?.focus()}>
        To the content
      </button>
      <header className="top">
        <a className="house" href={addresses.formulas()}>
          Evencrumb
        </a>
        <nav aria-label="Places">
          {PLACES.map(({ page, label, address }) => (
            <a key={page} href={address} aria-current={here === page ? "page" : undefined}>
              {label}
            </a>
          ))}
        </nav>
        <KeptWords />
      </header>
      <main id="main" tabIndex={-1}>
        {/* The views of one formula share its session, and with it what can be undone: it stays when the view changes. */}
        <Mishap key={route.page === "formula" || route.page === "trial" ? route.id : pageKey} page={pageKey}>
          <Suspense fallback={<p className="page muted">Opening…</p>}>
            <Page route={route} />
          </Suspense>
        </Mishap>
      </main>
    </>
  );
}

function Page({ route }: { route: Route }) {
  switch (route.page) {
    case "formulas":
      return <FormulasPage />;
    case "formula":
      return <FormulaPage key={route.id} id={route.id} view={route.view} query={route.query} />;
    case "trials":
      return <TrialsPage />;
    case "ask":
      return <AskPage key={route.kind} kind={route.kind} query={route.query} />;
    case "trial":
      return <TrialPage key={route.id} id={route.id} view={route.view} query={route.query} />;
    case "ingredients":
      return <IngredientsPage id={route.id} query={route.query} />;
    case "allergens":
      return <AllergensPage />;
    case "prices":
      return <PricesPage />;
    case "tins":
      return <TinsPage />;
    case "ovens":
      return <OvensPage />;
    case "settings":
      return <SettingsPage />;
    case "missing":
      return (
        <div className="page">
          <h1>There is no such page</h1>
          <p>
            Nothing is kept under this address. <a href={addresses.formulas()}>Go to the formulas.</a>
          </p>
        </div>
      );
  }
}

function useTheme(theme: "auto" | "light" | "dark"): void {
  useLayoutEffect(() => {
    const dark = matchMedia("(prefers-color-scheme: dark)");
    const show = () => {
      document.documentElement.dataset.theme = theme === "auto" ? (dark.matches ? "dark" : "light") : theme;
    };
    show();
    dark.addEventListener("change", show);
    return () => dark.removeEventListener("change", show);
  }, [theme]);
}

/** Our own mistake: said in words, with what was typed still kept on the device. */
class Mishap extends Component<{ page: string; children: ReactNode }, { error: Error | null }> {
  override state: { error: Error | null } = { error: null };
  static getDerivedStateFromError(error: Error) {
    return { error };
  }
  override componentDidUpdate({ page }: { page: string }) {
    if (page !== this.props.page && this.state.error !== null) this.setState({ error: null });
  }
  override render() {
    if (this.state.error === null) return this.props.children;
    return (
      <div className="page">
        <h1>Something went wrong here</h1>
        <p>What you typed is kept on this device. The mistake is in the program and not in your work.</p>
        <p className="muted">{this.state.error.message}</p>
        <div className="buttons">
          <button type="button" className="button main" onClick={() => location.reload()}>
            Open again
          </button>
        </div>
      </div>
    );
  }
}
