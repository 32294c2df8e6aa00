import {
  createIngredientBook,
  displayName,
  FURTHER_NUTRIENTS,
  FURTHER_WORDS,
  furtherFigure,
  type Ingredient,
  type NameStyle,
  NUTRIENTS,
  searchIngredients,
} from "@evencrumb/core/ingredients";
import { defineCommand } from "../command.js";
import { jsonText } from "../render/json.js";
import { tableText, wrapped } from "../render/table.js";

export const ingredientsCommand = defineCommand<{ readonly show?: string; readonly names?: string; readonly limit?: string }>({
  name: "ingredients",
  summary:
    "Search the ingredients by any name, with typing mistakes; without words list them all; --show gives all figures of one with their sources.",
  arguments: [["[words...]", "name or part of a name, British or US"]],
  options: [
    ["--show <id>", "everything known of one ingredient"],
    ["--names <whose>", "names to show: british or us", "british"],
    ["--limit <count>", "how many matches at most", "8"],
  ],
  examples: [
    "evencrumb ingredients self rasing flour",
    "evencrumb ingredients --show double-cream",
    "evencrumb ingredients --json",
  ],
  run({ args, show, names: whose, limit, json }, io) {
    if (whose !== "british" && whose !== "us") {
      io.say(`--names is british or us, not "${whose}".`);
      return 2;
    }
    const count = Number(limit);
    if (!(Number.isInteger(count) && count >= 1 && count <= 1000)) {
      io.say(`--limit is a whole number from 1 to 1000, not "${limit}".`);
      return 2;
    }
    const names: NameStyle = whose;
    const book = createIngredientBook();
    if (show !== undefined) {
      const one = book.get(show);
      if (!one) {
        const near = searchIngredients(book, show.replaceAll("-", " "), { limit: 3 }).map(({ ingredient }) => ingredient.id);
        io.say(`No ingredient has the id "${show}".${near.length > 0 ? ` Near it: ${near.join(", ")}.` : ""}`);
        if (json) io.print(jsonText("ingredient", { ingredient: null, near }));
        return 1;
      }
      io.print(
        json ? jsonText("ingredient", { ingredient: { ...one, furtherPer100g: furtherOf(one) } }) : ingredientAsText(one, names),
      );
      return 0;
    }
    const words = args.join(" ").trim();
    if (words === "") {
      const list = [...book.all].sort(
        (a, b) => a.group.localeCompare(b.group, "en") || displayName(a, names).localeCompare(displayName(b, names), "en"),
      );
      io.print(json ? jsonText("ingredients", { ingredients: list.map((one) => brief(one)) }) : listAsText(list, names));
      return 0;
    }
    const matches = searchIngredients(book, words, { limit: count, names });
    if (json)
      io.print(
        jsonText("ingredients", {
          search: words,
          ingredients: matches.map(({ ingredient, matchedName, score, exact }) => ({
            ...brief(ingredient),
            matchedName,
            score,
            exact,
          })),
        }),
      );
    else if (matches.length > 0)
      io.print(
        listAsText(
          matches.map(({ ingredient }) => ingredient),
          names,
        ),
      );
    if (matches.length === 0) io.say(`Nothing is called like "${words}".`);
    return matches.length > 0 ? 0 : 1;
  },
});

/** All six, those that nobody gives with the reason. */
const furtherOf = (one: Ingredient) =>
  Object.fromEntries(FURTHER_NUTRIENTS.map((nutrient) => [nutrient, furtherFigure(one, nutrient)]));

const allergensOf = (one: Ingredient) => [...new Set(one.contains.map(({ allergen, kind }) => kind ?? allergen))].join(", ");

function brief(one: Ingredient): Readonly<Record<string, unknown>> {
  return {
    id: one.id,
    name: one.name,
    ...(one.usName ? { usName: one.usName } : {}),
    group: one.group,
    role: one.role,
    contains: one.contains,
    basis: one.basis,
    source: one.source,
  };
}

function listAsText(list: readonly Ingredient[], names: NameStyle): string {
  return tableText(
    [
      { heading: "id", align: "left" },
      { heading: "name", align: "left" },
      { heading: "role", align: "left" },
      { heading: "contains", align: "left" },
    ],
    list.map((one) => [one.id, displayName(one, names), one.role, allergensOf(one)]),
  );
}

function ingredientAsText(one: Ingredient, names: NameStyle): string {
  const others = [...(names === "us" ? [one.name] : one.usName ? [one.usName] : []), ...one.otherNames];
  const figures = NUTRIENTS.map((nutrient) => {
    const figure = one.per100g[nutrient];
    const unit = nutrient === "energyKj" ? " kJ" : nutrient === "energyKcal" ? " kcal" : " g";
    return [
      `  ${nutrient}${unit}`,
      figure.known ? String(Math.round(figure.value * 1000) / 1000) : "-",
      figure.known ? figure.source : figure.why,
    ];
  });
  const further = FURTHER_NUTRIENTS.map((nutrient) => {
    const figure = furtherFigure(one, nutrient);
    const { name, unit } = FURTHER_WORDS[nutrient];
    return [`  ${name} ${unit}`, figure.known ? String(figure.value) : "-", figure.known ? figure.source : figure.why];
  });
  return [
    `${displayName(one, names)} (${one.id})`,
    ...(others.length > 0 ? [wrapped(`Also: ${others.join(", ")}`)] : []),
    `Group ${one.group}, role ${one.role}; ${one.basis}`,
    wrapped(`Source: ${one.source}`),
    `Contains: ${allergensOf(one) || "none of the fourteen"}`,
    ...(one.mayContain.length > 0
      ? [`May contain: ${one.mayContain.map(({ allergen, kind }) => kind ?? allergen).join(", ")}`]
      : []),
    ...(one.checkSupplier.length > 0
      ? [`Check the packet for: ${one.checkSupplier.map(({ allergen, kind }) => kind ?? allergen).join(", ")}`]
      : []),
    one.densityGPerMl.known
      ? `Density ${one.densityGPerMl.value} g/mL (${one.densityGPerMl.source})`
      : `Density not known: ${one.densityGPerMl.why}`,
    ...one.householdWeights.map(({ amount, measure, grams, source }) => `${amount} ${measure}: ${grams} g (${source})`),
    ...(one.notes ? [wrapped(one.notes)] : []),
    "per 100 g",
    tableText(
      [
        { heading: "", align: "left" },
        { heading: "", align: "decimal" },
        { heading: "", align: "left" },
      ],
      [...figures, ["what a US panel asks for besides", "", ""], ...further],
    ),
  ].join("\n");
}
