import type { FormulaComposition } from "@evencrumb/core/composition";
import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import type { NamedTin } from "@evencrumb/core/tins";
import { lazy, type ReactNode, Suspense, useDeferredValue } from "react";
import type { Settings } from "../app/house.js";
import { addresses } from "../app/route.js";
import type { Derived } from "../formula/session.js";
import { AllergensReading } from "./AllergensReading.js";
import { ContainsReading } from "./ContainsReading.js";
import { RatiosReading } from "./RatiosReading.js";
import { TinsReading } from "./TinsReading.js";

// What takes longer to work out comes after the sheet is there, and follows the typing when it can.
const BakesReading = lazy(() => import("./BakesReading.js").then((all) => ({ default: all.BakesReading })));
const KeepsReading = lazy(() => import("./KeepsReading.js").then((all) => ({ default: all.KeepsReading })));
const CostReading = lazy(() => import("./CostReading.js").then((all) => ({ default: all.CostReading })));

export interface Compared {
  readonly formula: Formula;
  readonly composition: FormulaComposition;
}

/** What the sheet means, in the order of the work. Each reading opens into its own page. */
export function Margin({
  id,
  formula,
  derived,
  compared,
  book,
  owned,
  settings,
}: {
  id: string;
  formula: Formula;
  derived: Derived;
  compared: Compared | null;
  book: IngredientBook;
  owned: readonly NamedTin[];
  settings: Settings;
}) {
  const { composition } = derived;
  const [settled, settledCompared] = [useDeferredValue(formula), useDeferredValue(compared?.formula ?? null)];
  return (
    <aside className="margin" aria-label="What it means">
      <Reading title="What it contains" address={addresses.formula(id, "contains")}>
        <ContainsReading composition={composition} compared={compared?.composition ?? null} />
      </Reading>
      <Reading title="In the tins" address={addresses.formula(id, "scale")}>
        <TinsReading formula={formula} compared={compared?.formula ?? null} book={book} owned={owned} settings={settings} />
      </Reading>
      <Reading title="Ratios" address={addresses.formula(id, "contains")}>
        <RatiosReading formula={formula} compared={compared?.formula ?? null} book={book} />
      </Reading>
      <Reading title="How it bakes" address={addresses.formula(id, "bake")}>
        <Suspense fallback={<p className="muted bakes-reading">Working it out…</p>}>
          <BakesReading formula={settled} compared={settledCompared} book={book} owned={owned} />
        </Suspense>
      </Reading>
      <Reading title="How it keeps" address={addresses.formula(id, "keep")}>
        <Suspense fallback={<p className="muted">Working it out…</p>}>
          <KeepsReading formula={settled} compared={settledCompared} book={book} />
        </Suspense>
      </Reading>
      <Reading title="What it costs" address={addresses.formula(id, "price")}>
        <Suspense fallback={<p className="muted cost-reading">Working it out…</p>}>
          <CostReading id={id} formula={settled} compared={settledCompared} book={book} />
        </Suspense>
      </Reading>
      <Reading title="Allergens" address={addresses.formula(id, "contains")}>
        <AllergensReading allergens={composition.product.allergens} compared={compared?.composition.product.allergens ?? null} />
      </Reading>
    </aside>
  );
}

function Reading({ title, address, children }: { title: string; address: string; children: ReactNode }) {
  return (
    <section className="reading">
      <h2>
        <a href={address}>{title}</a>
      </h2>
      {children}
    </section>
  );
}
