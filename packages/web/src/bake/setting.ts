import { type BakeRequest, bakeOfComponent } from "@evencrumb/core/bake";
import type { Component, Formula } from "@evencrumb/core/formula";
import { componentGrams } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import type { Problem } from "@evencrumb/core/quantities";
import { type NamedTin, resolveTin, type Tin, tinsOf } from "@evencrumb/core/tins";
import type { Kept } from "../app/house.js";
import { calibrationOf, type OwnOven } from "./documents.js";

/** What the baker chose on the bake page. Text where it is typed. */
export interface BakeChoices {
  readonly component: string;
  /** As `resolveTin` reads it; "" for the formula's own. */
  readonly tin: string;
  /** Batter in one tin [g]; "" for its share of the formula. */
  readonly grams: string;
  /** Document id, or "" for a usual oven. */
  readonly oven: string;
  readonly position: string;
  readonly setC: number;
  readonly fan: boolean;
  readonly lining: "none" | "paper";
  readonly cover: "none" | "foil" | "lid";
  readonly strip: boolean;
  readonly shelf: "rack" | "tray" | "stone";
  readonly altitude: string;
  readonly batterC: string;
  /** Taken out after so many minutes; "" for when it is done. */
  readonly minutes: string;
  readonly room: string;
  readonly afterwards: "rack" | "fridge" | "freezer";
}

/** A component that can go into an oven: what the formula calls a cake or a base, or names a tin or an oven for. */
export const bakedComponents = (formula: Formula): readonly Component[] => {
  const baked = formula.components.filter(
    ({ kind, tins, bake }) => kind === "cake" || (tins?.length ?? 0) > 0 || bake !== undefined,
  );
  return baked.length > 0 ? baked : formula.components.slice(0, 1);
};

/** As the formula says, in the first oven the baker owns of the kind that the formula bakes in. */
export function firstChoices(component: Component | undefined, ovens: readonly Kept<OwnOven>[]): BakeChoices {
  const fan = component?.bake?.fan ?? ovens[0]?.body.convection === "fan";
  const oven = ovens.find(({ body }) => (body.convection === "fan") === fan);
  return {
    component: component?.name ?? "",
    tin: "",
    grams: "",
    oven: oven?.id ?? "",
    position: oven?.body.positions[0]?.name ?? "",
    setC: component?.bake?.ovenC ?? 170,
    fan,
    lining: "none",
    cover: "none",
    strip: false,
    shelf: "rack",
    altitude: "",
    batterC: "",
    minutes: "",
    room: "20",
    afterwards: "rack",
  };
}

/** The batter that one of the formula's tins holds [g]; without tins, all of it. */
export function usualGrams(component: Component, owned: readonly NamedTin[]): number {
  const tins = tinsOf(component, owned).value;
  const count = tins.reduce((sum, tin) => sum + tin.count, 0);
  return componentGrams(component) / Math.max(1, count);
}

/** A straight round or square tin of which the width can be dragged; the depth stays. */
export function resizableTin({
  shape,
}: Tin): { readonly acrossCm: number; readonly textFor: (acrossCm: number) => string } | undefined {
  if (shape.kind === "round" && shape.topDiameterMm === shape.baseDiameterMm)
    return { acrossCm: shape.topDiameterMm / 10, textFor: (across) => `round ${across}x${shape.depthMm / 10} cm` };
  if (shape.kind === "square" && shape.topLengthMm === shape.baseLengthMm)
    return { acrossCm: shape.topLengthMm / 10, textFor: (across) => `square ${across}x${shape.depthMm / 10} cm` };
  return undefined;
}

const problem = (path: string, expected: string, found: string, remedy: string): Problem => ({
  code: "wrong-type",
  path: [path],
  expected,
  found,
  remedy,
});

export const decimal = (text: string): number => (text.trim() === "" ? Number.NaN : Number(text.trim().replace(",", ".")));

/** The choices as a bake that core can predict, or what stands in the way. */
export function requestOf(
  choices: BakeChoices,
  formula: Formula,
  book: IngredientBook,
  owned: readonly NamedTin[],
  ovens: readonly Kept<OwnOven>[],
): { readonly request: BakeRequest | null; readonly problems: readonly Problem[] } {
  const component = formula.components.find(({ name }) => name === choices.component);
  if (component === undefined)
    return {
      request: null,
      problems: [problem("component", "a component of this formula", choices.component, "Choose another component.")],
    };
  const tinText = choices.tin === "" ? component.tins?.[0]?.tin : choices.tin;
  if (tinText === undefined || tinText.trim() === "")
    return { request: null, problems: [problem("tin", "a tin such as round 20x5 cm", "none", "Choose or write a tin.")] };
  const tin = resolveTin(tinText, owned);
  if (tin.value === undefined) return { request: null, problems: tin.problems };
  const problems: Problem[] = [];
  const number = (text: string, name: string, low: number, high: number): number | undefined => {
    if (text.trim() === "") return undefined;
    const value = decimal(text);
    if (value >= low && value <= high) return value;
    problems.push(problem(name, `a number from ${low} to ${high}`, text, `Mend the ${name}.`));
    return undefined;
  };
  const grams = number(choices.grams, "batter in one tin", 1, 100_000) ?? usualGrams(component, owned);
  const altitude = number(choices.altitude, "height above the sea", -400, 4000);
  const batterC = number(choices.batterC, "temperature of the batter", 0, 45);
  const minutes = number(choices.minutes, "minutes in the oven", 1, 240);
  const roomC = number(choices.room, "temperature of the room", 5, 40) ?? 20;
  if (problems.length > 0) return { request: null, problems };
  const fitted = calibrationOf(ovens.find(({ id }) => id === choices.oven)?.body, choices.position)?.fit;
  const made = bakeOfComponent(component, book, {
    tin: tin.value,
    grams,
    oven: {
      setC: choices.setC,
      fan: choices.fan,
      shelf: choices.shelf,
      ...(fitted === undefined ? {} : { fitted }),
    },
    more: {
      accuracy: "full",
      lining: choices.lining,
      cover: choices.cover,
      insulatingStrip: choices.strip,
      ...(altitude === undefined ? {} : { altitudeM: altitude }),
      ...(batterC === undefined ? {} : { initialC: batterC }),
      ...(minutes === undefined ? {} : { bakeSeconds: 60 * minutes }),
      after: {
        roomC,
        ...(choices.afterwards === "fridge" ? { fridgeC: 4 } : {}),
        ...(choices.afterwards === "freezer" ? { freezer: { airC: -18, blast: false }, thawC: roomC } : {}),
      },
    },
  });
  return made.ok ? { request: made.value, problems: [] } : { request: null, problems: made.error };
}

/** Quick enough to follow the hand: nothing after the oven, on the coarse mesh. */
export function quickRequest({ after: _after, ...request }: BakeRequest): BakeRequest {
  return { ...request, accuracy: "coarse", sectionEveryS: 60 };
}
