import { consequences } from "@evencrumb/core/plan";
import { bookOf } from "../work/bookOf.js";
import { serveJobs } from "../work/serve.js";
import type { CompareJobs } from "./jobs.js";

serveJobs<CompareJobs>({
  consequences: ({ before, after, ownedTins, ingredients, price }) =>
    consequences(before, after, bookOf(ingredients), {
      bake: true,
      ownedTins,
      ...(price === undefined ? {} : { price }),
    }),
});
