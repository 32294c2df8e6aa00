import { performance } from "node:perf_hooks";
import { readList } from "@evencrumb/core/formula";
import { createIngredientBook } from "@evencrumb/core/ingredients";

// Sixty lines as a British home baker writes them.
const lines = [
  "225g unsalted butter, softened",
  "225 g caster sugar",
  "4 large eggs, beaten",
  "225g/8oz self-raising flour",
  "1 tsp baking powder",
  "2 tbsp milk",
  "zest of 2 limes",
  "½ tsp vanilla extract",
  "1 x 400 g tin coconut milk",
  "a pinch of salt",
];
const text = Array.from({ length: 6 }, () => lines.join("\n")).join("\n");
const book = createIngredientBook();
for (let turn = 0; turn < 20; turn += 1) readList(text, book);
const times = Array.from({ length: 31 }, () => {
  const from = performance.now();
  readList(text, book);
  return performance.now() - from;
}).toSorted((one, other) => one - other);
console.log(
  `reading a list of 60 lines: median ${times[15]!.toFixed(1)} ms, slowest ${times.at(-1)!.toFixed(1)} ms of 31 (aim: under 20 ms)`,
);
