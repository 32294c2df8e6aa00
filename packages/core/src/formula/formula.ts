import type { Ingredient } from "../ingredients/index.js";

/** The quantities and the method of one product. Plain data: what is saved, sent and edited. */
export interface Formula {
  readonly name: string;
  readonly notes?: string;
  /** Into how many portions the finished product is cut. */
  readonly portions?: number;
  readonly components: readonly Component[];
  /** The baker's own ingredients that this formula uses, so that the file can travel. */
  readonly ingredients?: readonly Ingredient[];
}

export const COMPONENT_KINDS = ["cake", "filling", "syrup", "icing", "glaze", "topping", "other"] as const;
export type ComponentKind = (typeof COMPONENT_KINDS)[number];

/** A part made on its own: sponge, filling, syrup, topping. */
export interface Component {
  /** Unique within the formula. */
  readonly name: string;
  readonly kind: ComponentKind;
  readonly stages: readonly Stage[];
  /** What it is baked or set in. */
  readonly tins?: readonly TinUse[];
  /** Weight lost in the making, all of it water; percent of the raw weight, 0 to below 100. */
  readonly loss?: { readonly percent: number; readonly basis: "stated" | "measured" };
  /** Weight of the raw mix over the weight of the same volume of water; 0.2 to 1.5. */
  readonly specificGravity?: { readonly value: number; readonly basis: "typical" | "measured" };
  readonly bake?: { readonly ovenC: number; readonly fan: boolean; readonly minutes?: number };
}

/** `tin` is what `parseTin` of the tins folder reads ("round 20x5 cm"), or the name of a tin the baker owns. */
export interface TinUse {
  readonly count: number;
  readonly tin: string;
}

/** A step of a component that has its own ingredients and target: whisk to the ribbon, fold, boil. */
export interface Stage {
  readonly name: string;
  readonly method?: string;
  readonly targets?: readonly Target[];
  readonly uses: readonly Use[];
}

/** What tells that a stage is done. */
export type Target =
  | { readonly kind: "volume-increase"; readonly percent: number }
  | { readonly kind: "temperature"; readonly celsius: number }
  | { readonly kind: "specific-gravity"; readonly value: number }
  | { readonly kind: "time"; readonly seconds: number }
  | { readonly kind: "look"; readonly words: string };

/** One ingredient in one stage. */
export interface Use {
  /** Id of an ingredient in the book; one that the book does not know is kept and shown as unknown. */
  readonly ingredient: string;
  /** Weight [g], 0 or more; null while it is not weighed ("to taste", an empty cell). Null is never counted as zero in silence. */
  readonly grams: number | null;
  /** "sifted", "at 20 °C", "finely grated". */
  readonly note?: string;
  /** The words the line had when it was pasted. */
  readonly original?: string;
}
