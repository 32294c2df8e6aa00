import type { RunnableCommand } from "./command.js";

/** What the first help page says, and where each command is. A command is loaded when it is called, which keeps `show` quick. */
export const COMMANDS: readonly { readonly name: string; readonly summary: string; load(): Promise<RunnableCommand> }[] = [
  {
    name: "read",
    summary: "read a pasted ingredient list into a formula",
    load: async () => (await import("./commands/read.js")).readCommand,
  },
  {
    name: "show",
    summary: "show a formula in grams and percent",
    load: async () => (await import("./commands/show.js")).showCommand,
  },
  {
    name: "composition",
    summary: "what a formula contains, before and after baking",
    load: async () => (await import("./commands/composition.js")).compositionCommand,
  },
  {
    name: "scale",
    summary: "scale to tins, a weight, portions, eggs or what is left",
    load: async () => (await import("./commands/scale.js")).scaleCommand,
  },
  {
    name: "tins",
    summary: "what tins hold, and what a batch means in each",
    load: async () => (await import("./commands/tins.js")).tinsCommand,
  },
  {
    name: "bake",
    summary: "how one component bakes in one tin: time, loss, height, colour",
    load: async () => (await import("./commands/bake.js")).bakeCommand,
  },
  {
    name: "cool",
    summary: "when it can be handled, wrapped, filled",
    load: async () => (await import("./commands/cool.js")).coolCommand,
  },
  {
    name: "freeze",
    summary: "how long it freezes and thaws",
    load: async () => (await import("./commands/freeze.js")).freezeCommand,
  },
  {
    name: "calibrate",
    summary: "learn an oven from its bake records",
    load: async () => (await import("./commands/calibrate.js")).calibrateCommand,
  },
  {
    name: "compare",
    summary: "what differs between two formulas",
    load: async () => (await import("./commands/compare.js")).compareCommand,
  },
  {
    name: "rebalance",
    summary: "swap an ingredient and hold what must hold, or learn what conflicts",
    load: async () => (await import("./commands/rebalance.js")).rebalanceCommand,
  },
  {
    name: "keep",
    summary: "how it keeps: water activity, mould, what must be cold, a dated plan",
    load: async () => (await import("./commands/keep.js")).keepCommand,
  },
  {
    name: "layers",
    summary: "the finished cake: heights, weights, a slice, what covering it takes",
    load: async () => (await import("./commands/layers.js")).layersCommand,
  },
  {
    name: "sheet",
    summary: "the batch sheet for the bench: text, HTML or PDF",
    load: async () => (await import("./commands/sheet.js")).sheetCommand,
  },
  {
    name: "price",
    summary: "what a batch costs, a price by margin or mark-up, what if",
    load: async () => (await import("./commands/price.js")).priceCommand,
  },
  {
    name: "label",
    summary: "the label by the rules of a place: text, PDF, SVG, HTML",
    load: async () => (await import("./commands/label.js")).labelCommand,
  },
  {
    name: "allergens",
    summary: "the allergens of all products, and what a change adds",
    load: async () => (await import("./commands/allergens.js")).allergensCommand,
  },
  {
    name: "writeup",
    summary: "the recipe for readers: text, Markdown, HTML, PDF, recipe data",
    load: async () => (await import("./commands/writeup.js")).writeupCommand,
  },
  {
    name: "ingredients",
    summary: "search the ingredients, list them, show one with its sources",
    load: async () => (await import("./commands/ingredients.js")).ingredientsCommand,
  },
  {
    name: "check",
    summary: "whether a formula file is in order",
    load: async () => (await import("./commands/check.js")).checkCommand,
  },
  {
    name: "trial",
    summary: "plan test bakes, print the run sheet, record, read the results",
    load: async () => (await import("./commands/trial.js")).trialCommand,
  },
  {
    name: "taste",
    summary: "plan a tasting, and read its answers",
    load: async () => (await import("./commands/taste.js")).tasteCommand,
  },
  {
    name: "serve",
    summary: "start the app on this machine",
    load: async () => (await import("./commands/serve.js")).serveCommand,
  },
  {
    name: "backup",
    summary: "everything kept, in one file",
    load: async () => (await import("./commands/backup.js")).backupCommand,
  },
  {
    name: "restore",
    summary: "put back exactly what a backup holds",
    load: async () => (await import("./commands/restore.js")).restoreCommand,
  },
];
