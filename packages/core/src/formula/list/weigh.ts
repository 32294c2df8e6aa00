import type { Ingredient } from "../../ingredients/index.js";
import { FOR_THE_BENCH } from "./benchWords.js";
import { unitMillilitres } from "./measures.js";
import type { Measured, Quantity } from "./quantity.js";
import { weighCount } from "./weighCount.js";
import {
  bandOf,
  certainly,
  densityOf,
  doubtfully,
  isRange,
  middle,
  pours,
  ranged,
  type WeighContext,
  type Weighing,
  type WeightOption,
  weight,
} from "./weighing.js";
import { weighVolume } from "./weighVolume.js";

/** A kitchen's batch stays under this; a heavier line is a slip of the unit [g]. Assumption. */
const ABSURD_GRAMS = 100_000;

/**
 * Turns an amount of an ingredient into grams. Never throws; what cannot be weighed has no options.
 *
 * @param ingredient  undefined where the name is not known: then only weights can be told
 */
export function weigh(quantity: Quantity, ingredient: Ingredient | undefined, context: WeighContext): Weighing {
  const found = weighMeasured(quantity, ingredient, context);
  const doubts = quantity.doubts;
  let { options, certain } = found;
  const reasons = [...found.reasons];
  for (const doubt of doubts) {
    certain = false;
    reasons.push(doubt.why);
    const first = options[0]?.grams;
    if (first != null && Number.isFinite(doubt.otherFactor))
      options = [...options, weight(first * doubt.otherFactor, "the other way to read the number")];
  }
  const heaviest = options[0]?.grams ?? 0;
  if (heaviest > ABSURD_GRAMS) {
    certain = false;
    reasons.push(`${heaviest} g is more than a kitchen weighs out; check the unit`);
    options = [weight(heaviest / 1000, "if grams were meant where kilograms are written"), ...options];
  }
  return { options, certain, reasons, ...(found.band === undefined || !certain ? {} : { band: found.band }) };
}

function weighMeasured(quantity: Quantity, ingredient: Ingredient | undefined, context: WeighContext): Weighing {
  const { measured } = quantity;
  switch (measured.kind) {
    case "mass":
      return weighMass(measured, quantity, ingredient, context);
    case "volume":
      return weighVolume(measured, quantity, ingredient, context);
    case "count":
      return weighCount(measured, quantity, ingredient, context);
    case "vague":
      return weighVague(measured, quantity, ingredient, context);
    case "length":
      return weighLength(measured, ingredient);
    case "percent":
      return doubtfully([], "a percent, and the rest of the list is not in percent");
  }
}

function weighMass(
  measured: Measured & { kind: "mass" },
  quantity: Quantity,
  ingredient: Ingredient | undefined,
  { evidence, words }: WeighContext,
): Weighing {
  const { grams } = measured;
  if (isRange(grams)) return ranged(grams, "g");
  const asWritten = weight(grams.high, "as written");
  // Weights of tinned food are often those with the juice.
  if (/\bdrained\b/.test(words) && /^(?:tin|can|jar)$/.test(quantity.container ?? "") && !quantity.fills.includes("drained")) {
    return doubtfully(
      [asWritten, weight(grams.high * 0.6, "drained, about 60 % of the tin (from memory)")],
      "the tin's weight may be with its juice, and it is drained",
    );
  }
  // Shell share: 8.1 to 12.4 % of the egg, the middle of two sources (see eggParts).
  if (ingredient?.role === "egg" && /\bin (?:the |their |its )?shells?\b/.test(words)) {
    return doubtfully(
      [weight(grams.high * 0.8935, "without shell, 10.65 % less"), weight(grams.high, "as written, if shelled")],
      "the weight is that of eggs in their shells",
    );
  }
  // "6 x 59 g eggs": so an egg is sold in its shell
  if (
    ingredient?.role === "egg" &&
    /\b(?:4[5-9]|5\d|6\d|7[0-5])\s?g\b/.test(words) &&
    /\bx\s?\d|\beach\b/.test(words) &&
    !/yolk|white|without/.test(words)
  ) {
    return doubtfully(
      [weight(grams.high * 0.8935, "without shell, 10.65 % less"), weight(grams.high, "as written, if shelled")],
      "eggs of so many grams each are usually weighed in their shells",
    );
  }
  if (measured.fluidLikely && isThinLiquid(ingredient)) {
    const fluid = unitMillilitres("fluid-ounce", evidence)[0];
    const density = densityOf(ingredient);
    if (evidence.system !== "metric" && density !== undefined) {
      const ounces = grams.high / 28.349523125;
      // Of water and spirits both are the same within a twentieth
      if (Math.abs((ounces * fluid.ml * density) / grams.high - 1) < 0.045)
        return { options: [asWritten], certain: true, reasons: [] };
      return doubtfully(
        [asWritten, weight(ounces * fluid.ml * density, `as fluid ounces (${fluid.name})`)],
        "ounces of a liquid may be fluid ounces",
      );
    }
  }
  return { options: [asWritten], certain: true, reasons: [] };
}

const isThinLiquid = (ingredient: Ingredient | undefined) =>
  ingredient !== undefined &&
  (ingredient.role === "liquid" ||
    /^(?:milk-whole|milk-semi|milk-skimmed|buttermilk$|buttermilk-whole|heavy-cream|double-cream|single-cream|whipping-cream|half-and-half|light-cream)/.test(
      ingredient.id,
    ));

function weighVague(
  measured: Measured & { kind: "vague" },
  quantity: Quantity,
  ingredient: Ingredient | undefined,
  context: WeighContext,
): Weighing {
  const { thing, amount } = measured;
  const density = densityOf(ingredient);
  const unweighed: WeightOption = { grams: null, why: "used and not weighed" };
  // "A knob of butter for the tin": it goes into no batter
  if (FOR_THE_BENCH.test(context.words))
    return { options: [unweighed], certain: true, reasons: ["no amount is given; it is kept without a weight"] };
  const byMl = (...millilitres: number[]) =>
    density === undefined ? [] : millilitres.map((ml) => weight(amount.high * ml * density, `${ml} ml (from memory)`));
  switch (thing) {
    case "pinch":
    case "smidgen": {
      const big = quantity.size === "large" || quantity.fills.includes("generous") || quantity.fills.includes("good") ? 1.5 : 1;
      const half = thing === "smidgen" ? 0.5 : 1;
      const dash = ingredient?.householdWeights.find((one) => one.measure === "dash");
      const grams = dash !== undefined ? dash.grams : density === undefined ? undefined : (5 / 16) * density;
      if (grams === undefined || ingredient?.role === "sugar" || ingredient?.role === "flour")
        return doubtfully(
          grams === undefined ? [unweighed] : [weight(amount.high * grams * big * half, "a sixteenth of a teaspoon")],
          "a pinch is hardly a weight",
        );
      const total = amount.high * grams * big * half;
      return certainly(
        total,
        dash === undefined
          ? "a sixteenth of a teaspoon (common practice, no source)"
          : `a dash of ${dash.grams} g, ${dash.source}`,
        bandOf(total, 50),
        ["a pinch is about a sixteenth of a teaspoon"],
      );
    }
    case "drop":
      return density === undefined
        ? doubtfully([unweighed], "a drop is hardly a weight")
        : certainly(
            amount.high * 0.05 * density,
            "a twentieth of a millilitre a drop (common practice, no source)",
            bandOf(amount.high * 0.05 * density, 50),
          );
    case "some":
    case "a little":
    case "a few":
    case "a few drop":
    case "a few pinch":
    case "sprinkle":
    case "drizzle":
    case "grating":
      return { options: [unweighed], certain: true, reasons: ["no amount is given; it is kept without a weight"] };
    case "knob":
    case "thumb":
      return doubtfully(
        [...[15, 25, 10].map((grams) => weight(amount.high * grams, `${grams} g (from memory)`)), unweighed],
        `a ${thing} is no weight`,
      );
    case "handful":
      return doubtfully(
        [...[30, 50, 20].map((grams) => weight(amount.high * grams, `${grams} g (from memory)`)), unweighed],
        "a handful is no weight",
      );
    case "splash":
    case "glug":
    case "dollop":
      return doubtfully([...byMl(15, 30, 5), unweighed], `a ${thing} is no weight`);
    case "dash":
      if (ingredient !== undefined && !pours(ingredient) && density !== undefined) {
        const weighed = ingredient.householdWeights.find((one) => one.measure === "dash");
        const grams = amount.high * (weighed?.grams ?? 0.6 * density);
        const how = weighed === undefined ? "an eighth of a teaspoon (common practice, no source)" : weighed.source;
        return certainly(grams, how, bandOf(grams, 50), ["a dash of a powder is about an eighth of a teaspoon"]);
      }
      return doubtfully([...byMl(2.5, 0.6, 5), unweighed], "a dash is no weight");
    case "squeeze":
      return doubtfully([...byMl(5, 10), unweighed], "a squeeze is no weight");
    case "spoon":
      return doubtfully(byMl(15, 5, 10), "the list does not say which spoon");
    case "capful":
      return doubtfully(byMl(5, 2.5), "a capful is no weight");
    case "mug":
      return doubtfully(byMl(250, 300, 200), "a mug has no fixed size");
    case "glass":
      return doubtfully(byMl(200, 250, 150), "a glass has no fixed size");
    // Old cookery books' cups: a teacup is a gill, a breakfast cup two, a wineglass half of one (imperial; from memory).
    case "teacup":
      return doubtfully(byMl(142, 180, 115), "a teacup has no fixed size");
    case "breakfast cup":
    case "tumbler":
      return doubtfully(byMl(284, 230, 250), `a ${thing} has no fixed size`);
    case "coffee cup":
      return doubtfully(byMl(71, 142, 100), "a coffee cup has no fixed size");
    case "wineglass":
      return doubtfully(byMl(71, 100, 142), "a wineglass has no fixed size");
    case "walnut-sized piece":
      return doubtfully(
        [28, 15, 20].map((grams) => weight(amount.high * grams, `${grams} g (from memory)`)),
        "a piece the size of a walnut is no weight",
      );
    case "egg-sized piece":
      return doubtfully(
        [57, 50, 40].map((grams) => weight(amount.high * grams, `${grams} g (from memory)`)),
        "a piece the size of an egg is no weight",
      );
    case "hazelnut-sized piece":
      return doubtfully(
        [5, 8, 3].map((grams) => weight(amount.high * grams, `${grams} g (from memory)`)),
        "a piece the size of a nut is no weight",
      );
    case "part":
      return doubtfully([], "parts need a whole: give one of them in grams");
    default:
      return doubtfully([unweighed], `"${thing}" is no weight`);
  }
}

function weighLength(measured: Measured & { kind: "length" }, ingredient: Ingredient | undefined): Weighing {
  if (ingredient === undefined) return doubtfully([], "a length of something that is not in the book");
  const inches = middle(measured.amount) / (measured.unit === "cm" ? 2.54 : measured.unit === "mm" ? 25.4 : 1);
  if (ingredient.id !== "ginger-root") return doubtfully([], `a length of ${ingredient.name.toLowerCase()} cannot be weighed`);
  return doubtfully(
    [weight(inches * 15, "15 g an inch of root, 6 g a centimetre (from memory)"), weight(inches * 8, "a thin piece")],
    "a piece of root has no fixed weight",
  );
}
