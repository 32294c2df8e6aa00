import { unitMillilitres } from "./measures.js";
import type { Paired } from "./pairedAmount.js";
import type { Quantity } from "./quantity.js";
import { weigh } from "./weigh.js";
import { isDry, roundGrams, type WeighContext, type Weighing } from "./weighing.js";

export const isWeighed = (quantity: Quantity) => quantity.measured.kind === "mass" || quantity.measured.kind === "volume";

/** The weight of an amount that the line says in several ways; where they disagree, it is doubtful. */
export function weighPaired(paired: Paired, ingredient: Parameters<typeof weigh>[1], context: WeighContext): Weighing {
  const { first } = paired;
  // "2 1/4 tsp (1 packet) yeast": the packet is sold by weight, and the spoon is not sure
  if (ingredient?.id === "yeast-dried") {
    const packet = [first, ...paired.others].find(
      ({ measured }) => measured.kind === "count" && (measured.thing === "packet" || measured.thing === "sachet"),
    );
    if (
      packet !== undefined &&
      packet.measured.kind === "count" &&
      ![first, ...paired.others].some((one) => one.measured.kind === "mass")
    )
      return weigh(packet, ingredient, context);
  }
  // "100 g shelled pistachios (200 g in their shells)", "300 g pumpkin, peeled weight (about 500 g whole)": as bought is not counted
  const ready =
    first.fills.includes("peeled") || /\b(?:shelled|peeled weight|prepared weight|trimmed weight)\b/.test(context.words);
  const others = ready && isWeighed(first) ? paired.others.filter((one) => !isAsBought(one, first)) : paired.others;
  if (others.length === 0) return weigh(first, ingredient, context);
  const all = [first, ...others];
  const weighed = all.filter(isWeighed);
  if (weighed.length === 0) return weigh(first, ingredient, context);
  // Grams before millilitres, and either before ounces and cups; a weight beside a number of things is their weight.
  const order = (quantity: Quantity) => {
    const { measured } = quantity;
    if (measured.kind === "mass") return measured.ounces ? 2 : 0;
    if (measured.kind === "volume") return /^(?:ml|cl|dl|litre)$/.test(measured.parts[0].unit) ? 1 : 3;
    return 4;
  };
  const sorted = [...all].sort((a, b) => order(a) - order(b));
  // "5 ml (1 tsp) baking powder": a dry thing is weighed by the spoon
  const spoon = sorted[0].measured.kind === "volume" ? all.find((one) => order(one) === 3) : undefined;
  const best = spoon !== undefined && ingredient !== undefined && isDry(ingredient) ? spoon : sorted[0];
  const count = first.measured.kind === "count" ? first.measured : undefined;
  if (count !== undefined && best !== first) return weighCounted(first, best, ingredient, context);
  // "8 oz (1 cup) milk": the cup says that the ounces are fluid ones.
  if (best.measured.kind === "mass" && best.measured.fluidLikely) {
    const ounces = best.measured.grams.high / 28.349523125;
    const cup = all.find((one) => one.measured.kind === "volume");
    if (cup !== undefined && cup.measured.kind === "volume") {
      const ml = cup.measured.parts.reduce(
        (sum, part) => sum + part.amount.high * unitMillilitres(part.unit, context.evidence)[0].ml,
        0,
      );
      const fluid = ml / unitMillilitres("fluid-ounce", context.evidence)[0].ml;
      const weighed = weigh(best, ingredient, context);
      if (!weighed.certain && Math.abs(fluid / ounces - 1) < 0.06) return weigh(cup, ingredient, context);
    }
  }
  const base = weigh(
    {
      ...best,
      container: best.container ?? first.container ?? (first.measured.kind === "count" ? first.measured.thing : undefined),
    } as Quantity,
    ingredient,
    context,
  );
  const grams = base.options[0]?.grams;
  if (grams == null) return weigh(first, ingredient, context);
  // "1 kg pears (700 g after peeling)": what is left goes into the bowl
  const prepared = all.find((one) => one !== best && one.measured.kind === "mass" && one.fills.includes("peeled"));
  if (prepared !== undefined && best.measured.kind === "mass") {
    const left = weigh(prepared, ingredient, context);
    if ((left.options[0]?.grams ?? grams) < grams)
      return {
        options: [...left.options, ...base.options],
        certain: false,
        reasons: ["the line gives the weight before and after peeling; the second is taken"],
      };
  }
  for (const other of all) {
    if (other === best) continue;
    const { measured } = other;
    if (measured.kind === "mass" && best.measured.kind === "mass") {
      if (best.measured.ounces === measured.ounces || measured.ounces !== undefined) {
        const [metric, ounces] = best.measured.ounces
          ? [measured.grams.high, best.measured.grams.high]
          : [best.measured.grams.high, measured.grams.high];
        const perOunce = metric / (ounces / 28.349523125);
        // Printed pairs round an ounce to 25, 28 or 30 g (common practice, no source).
        if ((perOunce < 24.4 || perOunce > 31.2) && Math.abs(metric - ounces) > 5)
          return disagree(base, other, ingredient, context);
      }
      continue;
    }
    const second = weigh(other, ingredient, context);
    const theirs = second.options.map((option) => option.grams).filter((one): one is number => one !== null);
    if (theirs.length === 0) continue;
    const bothVolumes = measured.kind === "volume" && best.measured.kind === "volume";
    const sharePercent = bothVolumes ? 11 : ingredient === undefined ? 100 : measured.kind === "volume" ? 45 : 15;
    if (
      !theirs.some((one) => Math.abs(one / grams - 1) * 100 <= sharePercent || Math.abs(one - grams) <= Math.min(3, grams * 0.2))
    )
      return disagree(base, other, ingredient, context);
  }
  return base;
}

/** A heavier weight that is said to be that of the whole, unpeeled thing. */
function isAsBought(one: Quantity, first: Quantity): boolean {
  return (
    one.measured.kind === "mass" &&
    first.measured.kind === "mass" &&
    one.fills.includes("unpeeled") &&
    one.measured.grams.high > first.measured.grams.high
  );
}

function disagree(base: Weighing, other: Quantity, ingredient: Parameters<typeof weigh>[1], context: WeighContext): Weighing {
  const second = weigh(other, ingredient, context);
  return {
    options: [...base.options, ...second.options],
    certain: false,
    reasons: [...base.reasons, "the line gives two amounts that do not agree"],
  };
}

/** "2 tins (400 g each)", "3 bananas (about 300 g)", "2 sticks (226 g)". */
function weighCounted(first: Quantity, best: Quantity, ingredient: Parameters<typeof weigh>[1], context: WeighContext): Weighing {
  // "3 bananas, mashed (1 1/2 cups)": what fills the cups has been prepared
  const filled = best.measured.kind === "volume" ? { ...context, headWords: context.words } : context;
  const base = weigh(best, ingredient, filled);
  const grams = base.options[0]?.grams;
  if (grams == null || first.measured.kind !== "count") return base;
  const number = first.measured.amount.high;
  const times = (factor: number, why: string) => ({
    options: base.options.map((option) => ({
      grams: option.grams === null ? null : roundGrams(option.grams * factor),
      why,
    })),
    certain: base.certain,
    reasons: base.reasons,
  });
  if (best.each) return times(number, `${number} of the weight given for each`);
  if (best.fills.includes("total") || number === 1) return peelCheck(base, first, best, ingredient);
  const alone = weigh(first, ingredient, context).options[0]?.grams;
  if (alone != null && alone > 0) {
    const asTotal = Math.abs(Math.log(grams / alone));
    const asEach = Math.abs(Math.log((grams * number) / alone));
    if (asTotal < 0.45 && asTotal < asEach) return peelCheck(base, first, best, ingredient);
    if (asEach < 0.45 && asEach < asTotal)
      return { ...times(number, "read as the weight of each"), certain: false, reasons: ["the weight is read as that of each"] };
  }
  const total = { ...base.options[0], why: "the weight of all together" };
  const each = { grams: roundGrams(grams * number), why: "the weight of each" };
  const container = first.measured.thing !== undefined && first.measured.thing !== "stick";
  return {
    options: container ? [each, total] : [total, each],
    certain: false,
    reasons: ["is the weight in the bracket that of one, or of all?"],
  };
}

/** Fruit weighed with its peel weighs less in the bowl. */
function peelCheck(base: Weighing, first: Quantity, best: Quantity, ingredient: Parameters<typeof weigh>[1]): Weighing {
  if (
    first.measured.kind === "count" &&
    first.measured.thing === undefined &&
    best.measured.kind === "mass" &&
    ingredient !== undefined &&
    /^(?:banana|orange|mango|pineapple|passion-fruit|butternut-squash|pumpkin|lemon-flesh|apple|cooking-apple|pear)$/.test(
      ingredient.id,
    ) &&
    !best.fills.includes("peeled")
  ) {
    return {
      ...base,
      certain: false,
      reasons: [...base.reasons, "the weight may be with peel and core"],
      options: [
        ...base.options,
        ...base.options.map((option) => ({
          grams: option.grams === null ? null : roundGrams(option.grams * 0.7),
          why: "if weighed with peel and core, about 30 % less (from memory)",
        })),
      ],
    };
  }
  return base;
}
