import {
  displayName,
  FURTHER_NUTRIENTS,
  FURTHER_WORDS,
  formatAllergen,
  furtherFigure,
  type Ingredient,
  type Nutrient,
  searchIngredients,
} from "@evencrumb/core/ingredients";
import { type Figure, formatGrams } from "@evencrumb/core/quantities";
import { lazy, Suspense, useMemo, useState } from "react";
import { addresses, go } from "../app/route.js";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { Bar, BarNames } from "../margin/ContainsReading.js";
import { IngredientPrices } from "../price/IngredientPrices.js";

const PacketDialog = lazy(() => import("./IngredientDialogs.js").then((all) => ({ default: all.PacketDialog })));
const CompoundDialog = lazy(() => import("./IngredientDialogs.js").then((all) => ({ default: all.CompoundDialog })));
const FurtherDialog = lazy(() => import("./FurtherDialog.js").then((all) => ({ default: all.FurtherDialog })));
const OwnFactsDialog = lazy(() => import("./IngredientDialogs.js").then((all) => ({ default: all.OwnFactsDialog })));

type Open = { readonly about: "packet" | "compound"; readonly name: string } | null;

/** All ingredients by shelf, or those that a few letters mean. */
export function IngredientsPage({ id, query }: { id: string | undefined; query: URLSearchParams }) {
  const { book, settings, ownIngredients } = useHouseState();
  const [wanted, setWanted] = useState(query.get("find") ?? "");
  const [dialog, setDialog] = useState<Open>(null);
  const found = useMemo(
    () => (wanted.trim() === "" ? null : searchIngredients(book, wanted, { names: settings.names, limit: 40 })),
    [book, wanted, settings.names],
  );
  const shelves = useMemo(() => {
    const byGroup = new Map<string, Ingredient[]>();
    for (const ingredient of book.all) {
      const group = ingredient.basis === "own" || ingredient.basis === "compound" ? "own" : ingredient.group;
      byGroup.set(group, [...(byGroup.get(group) ?? []), ingredient]);
    }
    const own = byGroup.get("own") ?? [];
    byGroup.delete("own");
    return [...(own.length > 0 ? ([["own", own]] as const) : []), ...byGroup];
  }, [book]);
  if (id !== undefined) return <IngredientPage id={id} />;
  const ownIds = new Set(ownIngredients.map(({ body }) => body.id));
  const link = (ingredient: Ingredient) => (
    <a href={addresses.ingredients(ingredient.id)}>
      {displayName(ingredient, settings.names)}
      {ownIds.has(ingredient.id) ? <span className="muted small"> yours</span> : null}
    </a>
  );
  return (
    <div className="page">
      <header>
        <div className="stack tight">
          <h1>Ingredients</h1>
          <p className="muted">{book.all.length} known here, each figure with its source.</p>
        </div>
        <div className="buttons">
          <button type="button" className="button plain" onClick={() => setDialog({ about: "compound", name: wanted })}>
            Make one from others
          </button>
          <button type="button" className="button main" onClick={() => setDialog({ about: "packet", name: wanted })}>
            Add one from its packet
          </button>
        </div>
      </header>
      <input
        type="search"
        className="search"
        aria-label="Find an ingredient by any name"
        placeholder="Find by any name, British or US"
        value={wanted}
        onChange={(event) => setWanted(event.currentTarget.value)}
      />
      {found === null ? (
        <div className="shelves">
          {shelves.map(([group, ingredients]) => (
            <section key={group} className="shelf" aria-label={shelfName(group)}>
              <h2>{shelfName(group)}</h2>
              <ul>
                {ingredients.map((ingredient) => (
                  <li key={ingredient.id}>{link(ingredient)}</li>
                ))}
              </ul>
            </section>
          ))}
        </div>
      ) : found.length === 0 ? (
        <div className="empty">
          <p>Nothing here is called “{wanted}”. Add it from its packet, and every formula can use it.</p>
        </div>
      ) : (
        <ul className="found">
          {found.map(({ ingredient, matchedName }) => (
            <li key={ingredient.id}>
              {link(ingredient)}
              {matchedName === displayName(ingredient, settings.names) ? null : <span className="muted"> {matchedName}</span>}
            </li>
          ))}
        </ul>
      )}
      <Suspense fallback={null}>
        {dialog?.about === "packet" ? (
          <PacketDialog
            name={dialog.name}
            kept={null}
            onClose={() => setDialog(null)}
            onDone={(made) => go(addresses.ingredients(made))}
          />
        ) : null}
        {dialog?.about === "compound" ? (
          <CompoundDialog
            name={dialog.name}
            kept={null}
            onClose={() => setDialog(null)}
            onDone={(made) => go(addresses.ingredients(made))}
          />
        ) : null}
      </Suspense>
    </div>
  );
}

const SHELVES: Readonly<Record<string, string>> = {
  own: "Yours",
  "flours-starches": "Flours and starches",
  "sugars-syrups": "Sugars and syrups",
  "plant-drinks": "Plant drinks",
  "fats-oils": "Fats and oils",
  "chocolate-cocoa": "Chocolate and cocoa",
  "dried-fruit-preserves": "Dried fruit and preserves",
  "nuts-seeds": "Nuts and seeds",
  "raising-agents": "Raising agents",
  "flavourings-spices": "Flavourings and spices",
};

/** A shelf that a newer larder brings is still named after itself. */
function shelfName(group: string): string {
  const known = SHELVES[group];
  if (known !== undefined) return known;
  const words = group.replaceAll("-", ", ");
  return words.charAt(0).toUpperCase() + words.slice(1);
}

const FIGURES: readonly {
  readonly nutrient: Nutrient;
  readonly label: string;
  readonly unit?: string;
  readonly within?: true;
}[] = [
  { nutrient: "energyKj", label: "energy", unit: "kJ" },
  { nutrient: "energyKcal", label: "energy", unit: "kcal" },
  { nutrient: "water", label: "water" },
  { nutrient: "fat", label: "fat" },
  { nutrient: "saturates", label: "saturates", within: true },
  { nutrient: "monounsaturates", label: "monounsaturates", within: true },
  { nutrient: "polyunsaturates", label: "polyunsaturates", within: true },
  { nutrient: "carbohydrate", label: "carbohydrate with fibre" },
  { nutrient: "sugars", label: "sugars", within: true },
  { nutrient: "sucrose", label: "sucrose", within: true },
  { nutrient: "glucose", label: "glucose", within: true },
  { nutrient: "fructose", label: "fructose", within: true },
  { nutrient: "lactose", label: "lactose", within: true },
  { nutrient: "maltose", label: "maltose", within: true },
  { nutrient: "galactose", label: "galactose", within: true },
  { nutrient: "starch", label: "starch", within: true },
  { nutrient: "fibre", label: "fibre", within: true },
  { nutrient: "protein", label: "protein" },
  { nutrient: "ash", label: "ash" },
  { nutrient: "sodium", label: "sodium" },
  { nutrient: "alcohol", label: "alcohol" },
  { nutrient: "polyols", label: "polyols" },
  { nutrient: "organicAcids", label: "organic acids" },
];

const BASIS_WORDS: Readonly<Record<Ingredient["basis"], string>> = {
  dataset: "From a published table",
  computed: "Computed from named parts",
  memory: "From memory: no table was found",
  own: "Yours, from its packet",
  compound: "Yours, made from others",
};

function FigureRow({
  label,
  unit,
  within,
  figure,
  sourceAbove,
}: {
  label: string;
  unit: string;
  within?: boolean | undefined;
  figure: Figure;
  /** Source of the whole ingredient, which is not said again in every row. */
  sourceAbove: string;
}) {
  return (
    <tr>
      <th scope="row" className={within ? "within" : undefined}>
        {label}
      </th>
      <td className="figure">
        {figure.known ? `${Number(figure.value.toFixed(3))} ${unit}` : <span className="missing-figure">not known</span>}
      </td>
      <td className="muted small source">
        {figure.known ? (figure.source === sourceAbove ? "as above" : figure.source) : figure.why}
      </td>
    </tr>
  );
}

function IngredientPage({ id }: { id: string }) {
  const house = useHouse();
  const { book, settings, ownIngredients, ready } = useHouseState();
  const [dialog, setDialog] = useState<"packet" | "compound" | "facts" | "further" | null>(null);
  const ingredient = book.get(id);
  const kept = ownIngredients.find(({ body }) => body.id === id) ?? null;
  if (ingredient === undefined) {
    return (
      <div className="page">
        <h1>{ready ? "This ingredient is not here" : "Opening…"}</h1>
        <p>
          <a href={addresses.ingredients()}>All ingredients</a>
        </p>
      </div>
    );
  }
  const { per100g, densityGPerMl } = ingredient;
  const amount = (nutrient: Nutrient) => {
    const figure = per100g[nutrient];
    return figure.known ? figure.value : 0;
  };
  const parts = (["water", "fat", "sugars", "starch", "protein"] as const).map((name) => ({
    name: name as string,
    percent: amount(name),
  }));
  const rest = 100 - parts.reduce((sum, { percent }) => sum + percent, 0);
  const bar = [...parts, { name: "other", percent: Math.max(0, rest) }];
  const names = [ingredient.usName, ...ingredient.otherNames].filter((name) => name !== undefined && name !== ingredient.name);
  const done = () => setDialog(null);
  return (
    <div className="page narrow">
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.ingredients()}>
            ‹ Ingredients
          </a>
          <h1>{displayName(ingredient, settings.names)}</h1>
          <p className="muted">{[...new Set(names)].join(" · ")}</p>
        </div>
        <div className="buttons">
          {kept === null || kept.body.basis === "dataset" ? null : (
            <button
              type="button"
              className="button plain"
              onClick={() => setDialog(kept.body.parts === undefined ? "packet" : "compound")}
            >
              Change its figures
            </button>
          )}
          <button type="button" className="button plain" onClick={() => setDialog("facts")}>
            May contain
          </button>
        </div>
      </header>
      <p>
        {BASIS_WORDS[ingredient.basis]}. <span className="muted">{ingredient.source}</span>
      </p>
      {ingredient.notes === undefined ? null : <p>{ingredient.notes}</p>}
      <div>
        <Bar parts={bar} label="What is known of 100 g" />
        <BarNames parts={bar} />
      </div>
      <div className="two-columns">
        <section className="stack">
          <div>
            <h2>In 100 g</h2>
            <table className="plain-table figures">
              <thead>
                <tr>
                  <th scope="col">Of it</th>
                  <th scope="col" className="figure">
                    amount
                  </th>
                  <th scope="col">source</th>
                </tr>
              </thead>
              <tbody>
                {FIGURES.map(({ nutrient, label, unit = "g", within }) => (
                  <FigureRow
                    key={nutrient}
                    label={label}
                    unit={unit}
                    within={within}
                    figure={per100g[nutrient]}
                    sourceAbove={ingredient.source}
                  />
                ))}
              </tbody>
            </table>
          </div>
          <div>
            <h2>For a US label besides</h2>
            <table className="plain-table figures" aria-label="What a US label asks for besides, in 100 g">
              <thead>
                <tr>
                  <th scope="col">In 100 g</th>
                  <th scope="col" className="figure">
                    amount
                  </th>
                  <th scope="col">source</th>
                </tr>
              </thead>
              <tbody>
                {FURTHER_NUTRIENTS.map((nutrient) => (
                  <FigureRow
                    key={nutrient}
                    label={FURTHER_WORDS[nutrient].name}
                    unit={FURTHER_WORDS[nutrient].unit}
                    figure={furtherFigure(ingredient, nutrient)}
                    sourceAbove={ingredient.source}
                  />
                ))}
              </tbody>
            </table>
          </div>
          {ingredient.basis === "compound" ? null : (
            <div>
              <button type="button" className="button plain" onClick={() => setDialog("further")}>
                Put in what its supplier states
              </button>
            </div>
          )}
        </section>
        <section className="stack">
          <div>
            <h2>Allergens</h2>
            <p>
              {ingredient.contains.length === 0
                ? "None of the fourteen by nature."
                : `Contains ${ingredient.contains.map(formatAllergen).join(", ")}.`}
            </p>
            {ingredient.mayContain.length === 0 ? null : (
              <p>May contain, as you stated: {ingredient.mayContain.map(formatAllergen).join(", ")}.</p>
            )}
            {ingredient.checkSupplier.length === 0 ? null : (
              <p className="muted">
                Often in the bought product; read its packet for {ingredient.checkSupplier.map(formatAllergen).join(", ")}.
              </p>
            )}
          </div>
          <div>
            <h2>By measure</h2>
            <p>
              {densityGPerMl.known ? (
                <>
                  <span className="figures">{Number(densityGPerMl.value.toFixed(3))} g/ml</span>{" "}
                  <span className="muted small">{densityGPerMl.source}</span>
                </>
              ) : (
                <span className="muted">Density not known: {densityGPerMl.why}.</span>
              )}
            </p>
            <ul className="plain-list">
              {ingredient.householdWeights.map((measure) => (
                <li key={`${measure.amount} ${measure.measure}`}>
                  {measure.amount} {measure.measure}:{" "}
                  <span className="figures">{formatGrams(measure.grams, { weighing: settings.rounding })}</span>{" "}
                  <span className="muted small">{measure.source === ingredient.source ? "" : measure.source}</span>
                </li>
              ))}
            </ul>
          </div>
          {ingredient.parts === undefined ? null : (
            <div>
              <h2>Made from</h2>
              <ul className="plain-list">
                {ingredient.parts.map((part) => (
                  <li key={part.ingredient}>
                    <a href={addresses.ingredients(part.ingredient)}>{book.get(part.ingredient)?.name ?? part.ingredient}</a>{" "}
                    <span className="figures">{formatGrams(part.grams, { weighing: settings.rounding })}</span>
                  </li>
                ))}
              </ul>
              {ingredient.partsLossPercent === undefined ? null : (
                <p className="muted">loses {ingredient.partsLossPercent} % of water while it is made</p>
              )}
            </div>
          )}
          <IngredientPrices ingredient={ingredient} />
          {kept === null ? null : (
            <div>
              <button
                type="button"
                className="button quiet"
                onClick={() => {
                  house.archive("ingredient", kept.id);
                  go(addresses.ingredients());
                }}
              >
                {kept.body.basis === "own" || kept.body.basis === "compound" ? "Put it away" : "Forget my statements"}
              </button>
            </div>
          )}
        </section>
      </div>
      <Suspense fallback={null}>
        {dialog === "packet" ? <PacketDialog name={ingredient.name} kept={kept} onClose={done} onDone={done} /> : null}
        {dialog === "compound" ? <CompoundDialog name={ingredient.name} kept={kept} onClose={done} onDone={done} /> : null}
        {dialog === "further" ? <FurtherDialog ingredient={ingredient} kept={kept} onClose={done} /> : null}
        {dialog === "facts" ? <OwnFactsDialog ingredient={ingredient} kept={kept} onClose={done} /> : null}
      </Suspense>
    </div>
  );
}
