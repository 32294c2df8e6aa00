/** What the wall is made of. */
export const TIN_MATERIALS = ["aluminium", "dark-steel", "tinplate", "silicone", "glass", "ceramic", "paper"] as const;
export type TinMaterial = (typeof TIN_MATERIALS)[number];

/** How the outside takes up radiant heat: bright metal reflects it, dull and dark surfaces take it in. */
export const TIN_FINISHES = ["bright", "dull", "dark"] as const;
export type TinFinish = (typeof TIN_FINISHES)[number];

/** A size that narrows from top to base; equal sizes mean straight walls. All inner sizes [mm]. */
export interface RoundSize {
  readonly topDiameterMm: number;
  readonly baseDiameterMm: number;
  readonly depthMm: number;
}

export interface BoxSize {
  readonly topLengthMm: number;
  readonly topWidthMm: number;
  readonly baseLengthMm: number;
  readonly baseWidthMm: number;
  readonly depthMm: number;
}

/** The hollow that batter fills, by its inner sizes [mm]. */
export type TinShape =
  | ({ readonly kind: "round" } & RoundSize)
  | ({ readonly kind: "square" } & BoxSize)
  | ({ readonly kind: "rectangular" } & BoxSize)
  | ({ readonly kind: "loaf" } & BoxSize)
  /** Straight walls around a straight tube, flat bottom. */
  | { readonly kind: "ring"; readonly outerDiameterMm: number; readonly tubeDiameterMm: number; readonly depthMm: number }
  /** As a ring, but the bottom is a half circle in section, and flutes take `fluteShare` of the smooth ring's volume away. */
  | {
      readonly kind: "fluted-ring";
      readonly outerDiameterMm: number;
      readonly tubeDiameterMm: number;
      readonly depthMm: number;
      readonly fluteShare: number;
    }
  /** A whole sphere, or its lower half. */
  | { readonly kind: "ball"; readonly diameterMm: number; readonly part: "whole" | "half" }
  | ({ readonly kind: "cup" } & RoundSize)
  | ({ readonly kind: "tray-of-cups"; readonly cupCount: number } & RoundSize);
export type TinKind = TinShape["kind"];

/** Something the description did not say and that was filled in with what is usual. */
export interface TinAssumption {
  readonly what: "depth" | "size" | "tube" | "material" | "unit";
  /** In words for the baker: "5 cm deep, as is usual (common practice, no source)". */
  readonly words: string;
}

export interface Tin {
  readonly shape: TinShape;
  readonly material: TinMaterial;
  readonly finish: TinFinish;
  /** Thickness of the wall [m]; typical for the material unless measured. */
  readonly wallThicknessMetres: number;
  /**
   * Water that it holds to the brim [mL], measured by the baker. It overrides the arithmetic: the shape is then
   * widened or narrowed in plan (its depth is kept) until the geometry agrees; see `effectiveShape`.
   */
  readonly measuredCapacityMl?: number;
  readonly assumed: readonly TinAssumption[];
}

/**
 * Usual wall thicknesses [m] and finishes. Assumption (common practice, no source): household and trade tins are made
 * of 0.5 to 1.0 mm sheet, silicone moulds of about 2 mm, glass and stoneware dishes of 5 to 7 mm.
 */
export const USUAL_WALLS: Readonly<Record<TinMaterial, { readonly thicknessMetres: number; readonly finish: TinFinish }>> = {
  aluminium: { thicknessMetres: 0.001, finish: "bright" },
  "dark-steel": { thicknessMetres: 0.0008, finish: "dark" },
  tinplate: { thicknessMetres: 0.0005, finish: "bright" },
  silicone: { thicknessMetres: 0.002, finish: "dull" },
  glass: { thicknessMetres: 0.006, finish: "dull" },
  ceramic: { thicknessMetres: 0.007, finish: "dull" },
  paper: { thicknessMetres: 0.0002, finish: "dull" },
};

/**
 * A tin of a usual material.
 *
 * @param shape  inner sizes [mm]
 * @param options  material (aluminium unless said), finish, wall thickness [m], measured capacity [mL]
 */
export function makeTin(
  shape: TinShape,
  options: {
    readonly material?: TinMaterial;
    readonly finish?: TinFinish;
    readonly wallThicknessMetres?: number;
    readonly measuredCapacityMl?: number;
    readonly assumed?: readonly TinAssumption[];
  } = {},
): Tin {
  const material = options.material ?? "aluminium";
  return {
    shape,
    material,
    finish: options.finish ?? USUAL_WALLS[material].finish,
    wallThicknessMetres: options.wallThicknessMetres ?? USUAL_WALLS[material].thicknessMetres,
    ...(options.measuredCapacityMl === undefined ? {} : { measuredCapacityMl: options.measuredCapacityMl }),
    assumed: options.assumed ?? [],
  };
}

/** How many hollows it has: the cups of a tray, otherwise one. */
export const cavityCount = (tin: Tin): number => (tin.shape.kind === "tray-of-cups" ? tin.shape.cupCount : 1);
