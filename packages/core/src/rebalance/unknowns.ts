import type { Component } from "../formula/index.js";
import type { Ingredient, IngredientBook, Role } from "../ingredients/index.js";
import type { Problem } from "../quantities/index.js";
import { costPerGram } from "./demands.js";
import type { RebalanceRequest } from "./rebalance.js";

/** One ingredient of the component, over all its stages, whose weight may or may not move. */
export interface Unknown {
  readonly id: string;
  readonly name: string;
  /** Undefined when the book does not know it: it weighs, and its weight stays. */
  readonly ingredient: Ingredient | undefined;
  readonly before: number;
  /** Limits that no demand sets: never below nothing, and for the cheapest mix no more than half away. */
  readonly lower: number;
  readonly upper: number;
  /** Weight it should stay near to, and what a change of it costs. */
  readonly reference: number;
  readonly weight: number;
  readonly isNewcomer: boolean;
}

/**
 * Newcomers are meant to change and cost little beside what was to stay: what takes another's place so little that all of its
 * weight is worth a per cent of the others', so that several share the place evenly; what only carries, nothing to speak of.
 */
const SWAPPED_IN_WEIGHT = 1e-4;
const CARRIED_WEIGHT = 1e-6;

/**
 * A gum, salt or raising agent that comes in new is no filler: of a kilogram of mix at most this share is what bakers use
 * (common practice, no source).
 */
const LITTLE: Readonly<Partial<Record<Role, number>>> = { thickener: 0.003, salt: 0.005, raising: 0.015 };

/** Times the mix: no answer that anybody wants comes near it, and the quadratic solver gives up on weights without any end. */
const NEVER_MORE = 50;

export type ReadRequest =
  | {
      readonly ok: true;
      readonly component: Component;
      readonly unknowns: readonly Unknown[];
      /** Weight of the swapped ingredient that stays. */
      readonly swapRest: number | undefined;
      readonly cautions: readonly string[];
    }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/** Every ingredient of the component and every newcomer, with its limits; or what the request gets wrong. */
export function unknownsOf(request: RebalanceRequest, book: IngredientBook): ReadRequest {
  const index = request.formula.components.findIndex(({ name }) => name === request.component);
  const component = request.formula.components[index];
  if (component === undefined) return { ok: false, problems: [noComponent(request)] };
  const weights = new Map<string, number>();
  for (const { uses } of component.stages)
    for (const use of uses) weights.set(use.ingredient, (weights.get(use.ingredient) ?? 0) + (use.grams ?? 0));
  const present = new Set([...weights].flatMap(([id, grams]) => (grams > 0 ? [id] : [])));
  const { swap } = request;
  const problems: Problem[] = [...swapProblems(request, present), ...piecesProblems(request)];
  const newcomers = [...(swap?.to ?? []), ...(request.mayAdd ?? [])];
  for (const id of newcomers) {
    if (!weights.has(id)) weights.set(id, 0);
    if (book.get(id) === undefined) problems.push(unknownNewcomer(id));
  }
  const total = [...weights.values()].reduce((sum, grams) => sum + grams, 0);
  const removed = swap === undefined ? 0 : ((weights.get(swap.from) ?? 0) * swap.percent) / 100;
  const isCheapest = request.aim === "cheapest";
  const cautions: string[] = [];
  if (isCheapest) problems.push(...priceProblems([...weights.keys()], newcomers, present, book));

  const unknowns: Unknown[] = [];
  for (const [id, before] of weights) {
    const ingredient = book.get(id);
    const name = ingredient?.name ?? id;
    const isNewcomer = newcomers.includes(id);
    const isFrom = swap?.from === id;
    const isTo = swap?.to.includes(id) ?? false;
    const start = isFrom ? before - removed : before;
    const unpriced =
      isCheapest && !isNewcomer && before > 0 && (ingredient === undefined || costPerGram(ingredient) === undefined);
    if (unpriced) cautions.push(`${name} has no price: its weight stays.`);
    // What is not weighed ("to taste") and what the book does not know is no filler for the solver.
    const isStill = (!isNewcomer && before === 0) || ingredient === undefined || (unpriced && !isFrom);
    const half = isCheapest && !isNewcomer && !isFrom;
    unknowns.push({
      id,
      name,
      ingredient,
      before,
      // What takes another's place and is in the mix already can only be added to.
      lower: isStill ? start : isTo ? before : half ? before * 0.5 : 0,
      upper: isStill ? start : half ? before * 1.5 : before > 0 ? NEVER_MORE * total : mostOf(ingredient, total),
      reference: isFrom ? start : isTo ? before + removed / swap!.to.length : before,
      weight: isTo ? SWAPPED_IN_WEIGHT : isNewcomer ? CARRIED_WEIGHT : 1,
      isNewcomer,
    });
  }
  if (problems.length > 0) return { ok: false, problems };
  return {
    ok: true,
    component,
    unknowns,
    swapRest: swap === undefined ? undefined : weights.get(swap.from)! - removed,
    cautions,
  };
}

const mostOf = ({ role }: Ingredient, totalGrams: number): number => {
  const share = LITTLE[role];
  return (share ?? NEVER_MORE) * totalGrams;
};

/** A change counts relative to the weight itself, but a gram of salt is not as dear as a gram of vanilla would make it. */
export function scaleOf({ reference }: Unknown, unknowns: readonly Unknown[]): number {
  const total = unknowns.reduce((sum, { before }) => sum + before, 0);
  return Math.max(reference, total * 0.01, 1);
}

const noComponent = ({ formula, component }: RebalanceRequest): Problem => ({
  code: "unknown-component",
  path: ["component"],
  expected: `one of ${formula.components.map(({ name }) => name).join(", ")}`,
  found: component,
  remedy: "Name a component of this formula.",
});

function swapProblems({ swap }: RebalanceRequest, present: ReadonlySet<string>): readonly Problem[] {
  if (swap === undefined) return [];
  const problems: Problem[] = [];
  if (!present.has(swap.from)) {
    problems.push({
      code: "unknown-ingredient",
      path: ["swap", "from"],
      expected: `an ingredient of this component with a weight: ${[...present].join(", ")}`,
      found: swap.from,
      remedy: "Swap something that the component holds.",
    });
  }
  if (!(swap.percent > 0 && swap.percent <= 100)) {
    problems.push({
      code: "out-of-range",
      path: ["swap", "percent"],
      expected: "more than 0 and at most 100",
      found: String(swap.percent),
      remedy: "Say how many percent of it are replaced.",
    });
  }
  if (swap.to.length === 0 || swap.to.includes(swap.from)) {
    problems.push({
      code: "conflict",
      path: ["swap", "to"],
      expected: "one or more other ingredients to take its place",
      found: swap.to.join(", "),
      remedy: "Name what takes its place.",
    });
  }
  return problems;
}

const piecesProblems = ({ pieces = [] }: RebalanceRequest): readonly Problem[] =>
  pieces.flatMap(({ ingredient, gramsEach }, index) =>
    gramsEach > 0 && Number.isFinite(gramsEach)
      ? []
      : [
          {
            code: "out-of-range" as const,
            path: ["pieces", index, "gramsEach"],
            expected: "a weight above 0 g for one piece",
            found: String(gramsEach),
            remedy: `Say what one ${ingredient} weighs.`,
          },
        ],
  );

const unknownNewcomer = (id: string): Problem => ({
  code: "unknown-ingredient",
  path: ["mayAdd"],
  expected: "an ingredient of the book",
  found: id,
  remedy: "Add it to your ingredients, or name another.",
});

/** A price that is missing is not nothing: a newcomer without one would look free. */
function priceProblems(
  ids: readonly string[],
  newcomers: readonly string[],
  present: ReadonlySet<string>,
  book: IngredientBook,
): readonly Problem[] {
  const currencies = new Set(
    ids
      .flatMap((id) => (present.has(id) || newcomers.includes(id) ? (book.get(id)?.packs ?? []) : []))
      .map((pack) => pack.currency),
  );
  const unpriced = newcomers.filter((id) => {
    const ingredient = book.get(id);
    return ingredient !== undefined && costPerGram(ingredient) === undefined;
  });
  const priced = [...present].some((id) => (book.get(id)?.packs ?? []).length > 0);
  return [
    ...(currencies.size > 1
      ? [
          {
            code: "conflict" as const,
            path: ["aim"],
            expected: "prices in one currency",
            found: [...currencies].join(", "),
            remedy: "Give the packs of this formula prices in one currency.",
          },
        ]
      : []),
    ...(unpriced.length > 0 || !priced
      ? [
          {
            code: "no-figure" as const,
            path: ["aim"],
            expected: "a price for what may be added, and for something that may change",
            found: unpriced.length > 0 ? `none for ${unpriced.join(", ")}` : "no prices",
            remedy: "Give the ingredient a pack with its price.",
          },
        ]
      : []),
  ];
}
