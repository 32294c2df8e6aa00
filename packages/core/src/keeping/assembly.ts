import { type Amounts, amountsIn, composeFormula } from "../composition/index.js";
import type { Component, Formula } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import type { Band, Problem, Reading } from "../quantities/index.js";
import { batterDensity, batterFamily, cavityCount, filledTin, type NamedTin, type TinFill, tinFilling } from "../tins/index.js";

/** What a layer is in the assembled cake. */
export type LayerRole = "crumb" | "filling" | "top" | "coating";

export interface AssembledLayer {
  /** Name of its component. */
  readonly name: string;
  /** Where the component stands in the formula. */
  readonly componentIndex: number;
  readonly role: LayerRole;
  /** In one cake, with the syrup that crumb took up [g]. */
  readonly grams: number;
  readonly volumeMl: Band;
  readonly thicknessMm: Band;
  readonly densityGPerMl: number;
  /** Where the density comes from, in words. */
  readonly densityBasis: string;
}

/** One finished cake as it stands on the board. */
export interface AssembledCake {
  /** How many cakes the batch makes: one stack, or as many as there are tins or cups. */
  readonly pieces: number;
  /** Top surface and outline of one cake. */
  readonly topAreaCm2: number;
  readonly outlineCm: number;
  /** Base to top; a coating comes last. */
  readonly layers: readonly AssembledLayer[];
  readonly heightMm: Band;
  readonly grams: number;
  /** Of the whole batch by its portions; undefined when the formula says no portions. */
  readonly slice: { readonly portions: number; readonly grams: number; readonly amounts: Amounts } | undefined;
  /** Of one whole cake; undefined while nothing is weighed. */
  readonly amounts: Amounts | undefined;
  readonly assumptions: readonly string[];
}

export interface AssembleOptions {
  readonly owned?: readonly NamedTin[];
  /** Baked height of one layer [mm], measured; without it, it is worked out from the batter. */
  readonly crumbHeightMm?: number;
  /** "top": icing goes on top. "top-and-sides": it goes round as well. */
  readonly cover?: "top" | "top-and-sides";
  /** Into how many layers one cake is cut, where one tin is to be filled; 2 when left out. */
  readonly cutInto?: number;
}

/** Baked volume over batter volume: 1.5 to 2 (one general work on food science, seen); fruit does not rise (assumption). */
const RISE: Band = { likely: 1.75, from: 1.5, to: 2 };
const FRUITED_RISE: Band = { likely: 1.25, from: 1.1, to: 1.4 };
/** Below this a single baked layer is not cut; it is filled on top, or rolled. */
const CUT_FROM_MM = 35;

/** A stage that is put on by itself and not mixed in: jam under the cream. */
const LAID_ON = /^(spread|layer|lay)\b/i;

/**
 * The formula with fillings taken apart whose stages lie one over the other: each stage a filling of its own, what is spread
 * first nearest to the base.
 *
 * @returns  `origin`: where each component stood in the formula as given
 */
export function laidApart(formula: Formula): { readonly formula: Formula; readonly origin: readonly number[] } {
  const origin: number[] = [];
  const components = formula.components.flatMap((component, index) => {
    const stages = component.stages.filter(({ uses }) => uses.some(({ grams }) => (grams ?? 0) > 0));
    const laid = stages.filter(({ name }) => LAID_ON.test(name));
    if (component.kind !== "filling" || laid.length === 0 || stages.length < 2 || component.specificGravity !== undefined) {
      origin.push(index);
      return [component];
    }
    const mixed = stages.filter((stage) => !laid.includes(stage));
    const groups = [...laid.map((stage) => [stage]), ...(mixed.length > 0 ? [mixed] : [])];
    return groups.map((group): Component => {
      origin.push(index);
      return { ...component, name: `${component.name}: ${group[0]!.name}`, stages: group };
    });
  });
  return { formula: { ...formula, components }, origin };
}

/**
 * Heights, weights and content of the finished cake, from the formula and its tins.
 *
 * All tins of the first cake that names some are stacked into one cake when there is a filling and they are alike; otherwise each
 * tin, and each cup, is a cake of its own. Fillings are shared out over the joints, icings go on top or round, syrup into the crumb.
 *
 * @returns  undefined when no cake has a tin that can be read; the problems say why
 */
export function assembleCake(
  given: Formula,
  book: IngredientBook,
  options: AssembleOptions = {},
): Reading<AssembledCake | undefined> {
  const { formula, origin } = laidApart(given);
  const composed = composeFormula(formula, book);
  const finishedGrams = composed.components.map((part) => part.finished.totalGrams);
  const problems: Problem[] = [];
  const index = formula.components.findIndex(({ kind, tins = [] }) => kind === "cake" && tins.length > 0);
  const cake = formula.components[index];
  if (cake === undefined) return { value: undefined, problems: [noTin(given)] };
  const filling = tinFilling(cake, book, options.owned);
  problems.push(...filling.problems.map((problem) => ({ ...problem, path: ["components", origin[index]!, ...problem.path] })));
  const tin = filling.value?.tins[0];
  if (filling.value === undefined || tin === undefined || !(finishedGrams[index]! > 0)) {
    return { value: undefined, problems: problems.length > 0 ? problems : [noTin(given)] };
  }
  const assumptions: string[] = [];
  const plan = planOf(formula, cake, filling.value.tins, tin, options);
  const crumb = crumbOf(
    cake,
    book,
    tin,
    finishedGrams[index]! / plan.crumbCount,
    filling.value.batterMl / plan.crumbCount,
    options,
  );
  assumptions.push(...crumb.assumptions);
  const { topAreaMm2, outlineMm } = footprint(tin, crumb.thicknessMm.likely);
  const perPiece = (grams: number) => grams / plan.pieces;

  const syrupGrams = formula.components.reduce((sum, { kind }, at) => sum + (kind === "syrup" ? finishedGrams[at]! : 0), 0);
  const cutCount = plan.cutInto > 1 && crumb.thicknessMm.likely >= CUT_FROM_MM ? plan.cutInto : 1;
  if (plan.cutInto > 1 && cutCount > 1) assumptions.push(`The one cake is cut into ${cutCount} layers.`);
  const layersInPiece = (plan.crumbCount / plan.pieces) * cutCount;
  const crumbLayer: AssembledLayer = {
    name: cake.name,
    componentIndex: index,
    role: "crumb",
    grams: (finishedGrams[index]! / plan.crumbCount + syrupGrams / plan.crumbCount) / cutCount,
    volumeMl: scaled(crumb.volumeMl, 1 / cutCount),
    thicknessMm: scaled(crumb.thicknessMm, 1 / cutCount),
    densityGPerMl: crumb.densityGPerMl,
    densityBasis: crumb.densityBasis,
  };

  const joints = Math.max(1, layersInPiece - 1);
  const between: AssembledLayer[] = [];
  const above: AssembledLayer[] = [];
  const around: AssembledLayer[] = [];
  const crumbHeight = crumbLayer.thicknessMm.likely * layersInPiece;
  formula.components.forEach((component, at) => {
    if (at === index || component.kind === "syrup" || component.kind === "cake" || !(finishedGrams[at]! > 0)) return;
    const density = spreadDensity(component, book);
    const isFilling = component.kind === "filling";
    const isCoating = component.kind === "icing" && options.cover === "top-and-sides";
    const grams = perPiece(finishedGrams[at]!) / (isFilling ? joints : 1);
    const ml = grams / density.gPerMl;
    const areaMm2 = topAreaMm2 + (isCoating ? outlineMm * crumbHeight : 0);
    const layer: AssembledLayer = {
      name: component.name,
      componentIndex: at,
      role: isFilling ? "filling" : isCoating ? "coating" : "top",
      grams,
      volumeMl: around10(ml),
      thicknessMm: around10((ml * 1000) / areaMm2),
      densityGPerMl: density.gPerMl,
      densityBasis: density.basis,
    };
    (isFilling ? between : isCoating ? around : above).push(layer);
  });
  const others = formula.components.filter((one, at) => one.kind === "cake" && at !== index);
  if (others.length > 0)
    assumptions.push(`${others.map(({ name }) => name).join(", ")}: only the first cake with a tin is stacked here.`);

  const stack: AssembledLayer[] = [crumbLayer];
  for (let layer = 1; layer < layersInPiece; layer += 1) stack.push(...between, crumbLayer);
  if (layersInPiece === 1) stack.push(...between);
  const layers = [...stack, ...above, ...around].map((layer) => ({ ...layer, componentIndex: origin[layer.componentIndex]! }));
  const product = composed.product.finished;
  const grams = perPiece(product.totalGrams);
  return {
    value: {
      pieces: plan.pieces,
      topAreaCm2: topAreaMm2 / 100,
      outlineCm: outlineMm / 10,
      layers,
      heightMm: layers.reduce((sum, { thicknessMm }) => added(sum, thicknessMm), { likely: 0, from: 0, to: 0 }),
      grams,
      slice:
        formula.portions === undefined
          ? undefined
          : {
              portions: formula.portions,
              grams: product.totalGrams / formula.portions,
              amounts: amountsIn(product, product.totalGrams / formula.portions)!,
            },
      amounts: amountsIn(product, grams) ?? undefined,
      assumptions: [...assumptions, ...plan.assumptions],
    },
    problems,
  };
}

interface Plan {
  readonly pieces: number;
  /** Baked pieces in the whole batch, before any cutting. */
  readonly crumbCount: number;
  readonly cutInto: number;
  readonly assumptions: readonly string[];
}

function planOf(
  formula: Formula,
  cake: Component,
  tins: readonly TinFill[],
  tin: TinFill,
  { cutInto = 2 }: AssembleOptions,
): Plan {
  const crumbCount = tins.reduce((sum, one) => sum + one.count * cavityCount(one.tin), 0);
  const hasFilling = formula.components.some(({ kind }) => kind === "filling");
  const isCup = tin.tin.shape.kind === "cup" || tin.tin.shape.kind === "tray-of-cups" || tin.tin.shape.kind === "loaf";
  const isStack = hasFilling && tins.length === 1 && !isCup && crumbCount > 1;
  if (isStack)
    return { pieces: 1, crumbCount, cutInto: 1, assumptions: [`All ${crumbCount} layers of ${cake.name} make one cake.`] };
  return {
    pieces: crumbCount,
    crumbCount,
    cutInto: hasFilling && !isCup ? cutInto : 1,
    assumptions: tins.length > 1 ? ["The tins differ; sizes are those of the first."] : [],
  };
}

function crumbOf(
  cake: Component,
  book: IngredientBook,
  tin: TinFill,
  grams: number,
  batterMl: number,
  { crumbHeightMm }: AssembleOptions,
) {
  const fruited = batterFamily(cake, book) === "fruited";
  const rise = fruited ? FRUITED_RISE : RISE;
  if (crumbHeightMm !== undefined && crumbHeightMm > 0) {
    const { topAreaMm2 } = footprint(tin, crumbHeightMm);
    const ml = (topAreaMm2 * crumbHeightMm) / 1000;
    return {
      volumeMl: { likely: ml, from: ml * 0.97, to: ml * 1.03 },
      thicknessMm: { likely: crumbHeightMm, from: crumbHeightMm * 0.97, to: crumbHeightMm * 1.03 },
      densityGPerMl: grams / ml,
      densityBasis: "measured height",
      assumptions: [],
    };
  }
  const volumeMl = { likely: batterMl * rise.likely, from: batterMl * rise.from, to: batterMl * rise.to };
  const height = (ml: number) => (ml * 1000) / footprint(tin, tin.depthMm).topAreaMm2;
  const density = batterDensity(cake, book);
  return {
    volumeMl,
    thicknessMm: { likely: height(volumeMl.likely), from: height(volumeMl.from), to: height(volumeMl.to) },
    densityGPerMl: grams / volumeMl.likely,
    densityBasis: `batter at ${density.specificGravity} (${density.source}), risen ${rise.from} to ${rise.to} times`,
    assumptions: [
      fruited
        ? `A fruited batter rises little: ${rise.from} to ${rise.to} times its volume (assumption).`
        : `Baked crumb takes ${rise.from} to ${rise.to} times the volume of the batter (one general work on food science); measure the height to be surer.`,
    ],
  };
}

/** Top surface [mm2] and outline [mm] of one cake from one hollow of a tin, at a height in it. */
export function footprint(tin: TinFill, heightMm: number): { readonly topAreaMm2: number; readonly outlineMm: number } {
  const count = cavityCount(tin.tin);
  const filled = filledTin(tin.tin, Math.max(1, heightMm));
  return {
    topAreaMm2: filled.topAreaMm2 / count,
    outlineMm: filled.sideAreaMm2 / count / Math.max(1e-9, filled.depthMm),
  };
}

/** Air that beating gives: fluid cream doubles (overrun about 100 %), buttercream about 0.85 g/mL; both from memory. */
const WHIPPED_CREAM = 0.5;
const BEATEN_BUTTERCREAM = 0.85;
/** Density where nothing says: jam and icing 1.3, anything else 1.05 (assumptions). */
const SUGARY = 1.3;
const PLAIN = 1.05;

/** Weight of a millilitre of a filling or icing as it is spread, stage by stage. */
export function spreadDensity(component: Component, book: IngredientBook): { readonly gPerMl: number; readonly basis: string } {
  if (component.specificGravity !== undefined) {
    return {
      gPerMl: component.specificGravity.value,
      basis: component.specificGravity.basis === "measured" ? "measured" : "typical, as the formula says",
    };
  }
  let [grams, ml] = [0, 0];
  const words = new Set<string>();
  for (const { name, method = "", targets = [], uses } of component.stages) {
    const weight = uses.reduce((sum, use) => sum + (use.grams ?? 0), 0);
    if (!(weight > 0)) continue;
    const of = (is: (id: string, role: string) => boolean) =>
      uses.reduce((sum, use) => sum + (is(use.ingredient, book.get(use.ingredient)?.role ?? "") ? (use.grams ?? 0) : 0), 0) /
      weight;
    const still = of((_, role) => role === "sugar" || role === "fruit") > 0.5 ? SUGARY : PLAIN;
    const growth = targets.find(({ kind }) => kind === "volume-increase");
    const isBeaten = /whip|whisk|beat/i.test(`${name} ${method}`);
    let density = still;
    if (growth?.kind === "volume-increase") {
      density = PLAIN / (1 + growth.percent / 100);
      words.add(`grows by ${growth.percent} %, as the formula says`);
    } else if (isBeaten && of((id) => /(double|whipping|heavy)-cream/.test(id)) > 0.5) {
      density = WHIPPED_CREAM;
      words.add("whipped cream about 0.5 g/mL (from memory)");
    } else if (isBeaten && of((_, role) => role === "fat") > 0.2) {
      density = BEATEN_BUTTERCREAM;
      words.add("beaten buttercream about 0.85 g/mL (from memory)");
    } else words.add(`about ${still} g/mL (assumption)`);
    grams += weight;
    ml += weight / density;
  }
  return ml > 0 ? { gPerMl: grams / ml, basis: [...words].join("; ") } : { gPerMl: PLAIN, basis: "about 1.05 g/mL (assumption)" };
}

/** What a covering of a given thickness takes, and what the formula has for it. */
export interface CoverNeed {
  readonly what: "filling" | "top" | "sides" | "syrup";
  readonly areaCm2: number;
  readonly thicknessMm: number;
  readonly volumeMl: number;
  /** For the whole batch [g]. */
  readonly grams: number;
  /** What the formula makes of it [g]; 0 when it has no such component. */
  readonly hasGrams: number;
  readonly words: string;
}

export interface CoverOptions extends AssembleOptions {
  /** Usual thicknesses [mm], common practice, no source: filling 6, top 5, sides 4. */
  readonly fillingMm?: number;
  readonly topMm?: number;
  readonly sidesMm?: number;
  /** Syrup by 100 g of crumb; 12 is usual, 8 to 20 are seen (common practice, no source). */
  readonly syrupPer100g?: number;
}

/** How much filling, icing and syrup cakes of this size need, for the whole batch. */
export function coverNeeds(formula: Formula, book: IngredientBook, options: CoverOptions = {}): Reading<readonly CoverNeed[]> {
  const { value: cake, problems } = assembleCake(formula, book, options);
  if (cake === undefined) return { value: [], problems };
  const { fillingMm = 6, topMm = 5, sidesMm = 4, syrupPer100g = 12 } = options;
  const crumbs = cake.layers.filter(({ role }) => role === "crumb");
  const joints = Math.max(0, crumbs.length - 1);
  const crumbGrams = crumbs.reduce((sum, { grams }) => sum + grams, 0);
  const heightCm = crumbs.reduce((sum, { thicknessMm }) => sum + thicknessMm.likely, 0) / 10 + (joints * fillingMm) / 10;
  const made = (kinds: readonly Component["kind"][]) => {
    const all = formula.components.filter(({ kind }) => kinds.includes(kind));
    const grams = composeFormula({ ...formula, components: all }, book).product.finished.totalGrams;
    return { grams, density: all[0] === undefined ? PLAIN : spreadDensity(all[0], book).gPerMl };
  };
  const [filling, icing, syrup] = [made(["filling"]), made(["icing", "glaze", "topping"]), made(["syrup"])];
  const need = (what: CoverNeed["what"], areaCm2: number, mm: number, density: number, hasGrams: number): CoverNeed => {
    const volumeMl = areaCm2 * (mm / 10) * cake.pieces;
    const grams = volumeMl * density;
    const has = hasGrams > 0 ? `; the formula makes ${hasGrams.toFixed(0)} g` : "";
    const words = `${WORDS[what]}: ${mm} mm over ${(areaCm2 * cake.pieces).toFixed(0)} cm² is ${volumeMl.toFixed(0)} ml, about ${grams.toFixed(0)} g${has}.`;
    return { what, areaCm2: areaCm2 * cake.pieces, thicknessMm: mm, volumeMl, grams, hasGrams, words };
  };
  const syrupGrams = (crumbGrams * cake.pieces * syrupPer100g) / 100;
  return {
    value: [
      ...(joints > 0 ? [need("filling", cake.topAreaCm2 * joints, fillingMm, filling.density, filling.grams)] : []),
      need("top", cake.topAreaCm2, topMm, icing.density, icing.grams),
      need("sides", cake.outlineCm * heightCm, sidesMm, icing.density, icing.grams),
      {
        what: "syrup",
        areaCm2: 0,
        thicknessMm: 0,
        volumeMl: syrupGrams / SUGARY,
        grams: syrupGrams,
        hasGrams: syrup.grams,
        words: `Syrup: ${syrupPer100g} g for 100 g of crumb is ${syrupGrams.toFixed(0)} g${syrup.grams > 0 ? `; the formula makes ${syrup.grams.toFixed(0)} g` : ""}.`,
      },
    ],
    problems,
  };
}

const WORDS = { filling: "Filling", top: "Top", sides: "Sides", syrup: "Syrup" } as const;

const scaled = ({ likely, from, to }: Band, factor: number): Band => ({
  likely: likely * factor,
  from: from * factor,
  to: to * factor,
});
const added = (one: Band, other: Band): Band => ({
  likely: one.likely + other.likely,
  from: one.from + other.from,
  to: one.to + other.to,
});
/** A density that is not measured is known to about a tenth. */
const around10 = (value: number): Band => ({ likely: value, from: value * 0.9, to: value * 1.1 });

const noTin = (formula: Formula): Problem => ({
  code: "unknown-tin",
  path: ["components"],
  expected: "a cake with a weight and a tin such as round 20x5 cm",
  found: formula.components.map(({ name, kind }) => `${name} (${kind})`).join(", "),
  remedy: "Say in which tin the cake is baked.",
});
