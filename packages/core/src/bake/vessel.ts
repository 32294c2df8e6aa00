import { cavityCount, effectiveShape, fillDepth, filledTin, type Tin, type TinFinish, type TinMaterial } from "../tins/index.js";
import type { BakeShape } from "./mesh.js";

/** The body of batter in one hollow of a tin, as the solver sees it, and the wall around it. Plain numbers. */
export interface Vessel {
  readonly shape: BakeShape;
  /** Plan size at the base and at the top of the batter over the mean: leaning walls. */
  readonly baseScale: number;
  readonly topScale: number;
  readonly hollowCount: number;
  readonly tinDepthM: number;
  /** Share of the oven's heat that reaches the side walls: the cups of a tray shade one another (assumption). */
  readonly sideShare: number;
  readonly wall: Wall;
  readonly assumed: readonly string[];
}

export interface Wall {
  readonly emissivity: number;
  /** Thickness over conductivity [m² K/W]. */
  readonly resistanceM2KW: number;
  /** Heat capacity of the wall [J/(m² K)]. */
  readonly heatJM2K: number;
}

/** Handbook values (from memory): conductivity [W/(m K)], heat capacity by volume [J/(m³ K)]. */
const MATERIALS: Readonly<Record<TinMaterial, readonly [number, number]>> = {
  aluminium: [200, 2.43e6],
  "dark-steel": [50, 3.6e6],
  tinplate: [50, 3.6e6],
  silicone: [0.25, 1.4e6],
  glass: [1.05, 2.1e6],
  ceramic: [1.3, 2.0e6],
  paper: [0.1, 0.9e6],
};

/** From memory: bright aluminium 0.04 to 0.10 when new, more after some baking; dark enamel 0.8 to 0.9. */
const EMISSIVITIES: Readonly<Record<TinFinish, number>> = { bright: 0.15, dull: 0.55, dark: 0.88 };
/** Not metal: what their surface is, whatever its finish is called (handbooks, from memory). */
const OWN_EMISSIVITY: Partial<Record<TinMaterial, number>> = { glass: 0.9, ceramic: 0.9, silicone: 0.9, paper: 0.9 };

export function tinWall(tin: Tin): Wall {
  const [conductivity, capacity] = MATERIALS[tin.material];
  return {
    emissivity: OWN_EMISSIVITY[tin.material] ?? EMISSIVITIES[tin.finish],
    resistanceM2KW: tin.wallThicknessMetres / conductivity,
    heatJM2K: tin.wallThicknessMetres * capacity,
  };
}

/**
 * The batter in each hollow.
 *
 * @param batterMl  volume of all the batter [mL]; what does not fit is left out, which the caller should have warned about
 */
export function vesselOf(tin: Tin, batterMl: number): Vessel {
  const shape = effectiveShape(tin);
  const count = cavityCount(tin);
  const depthMm = fillDepth(tin, batterMl);
  const filled = filledTin(tin, depthMm);
  const heightM = depthMm / 1000;
  const share = depthMm / filledTin(tin).depthMm;
  const between = (base: number, top: number, at: number) => base + (top - base) * at;
  const common = { hollowCount: count, tinDepthM: filledTin(tin).depthMm / 1000, sideShare: 1, wall: tinWall(tin) };
  switch (shape.kind) {
    case "round":
    case "cup":
    case "tray-of-cups": {
      const top = between(shape.baseDiameterMm, shape.topDiameterMm, share);
      // The radius that keeps the volume; the layers lean about it.
      const radiusM = Math.sqrt(filled.volumeMl / count / 1e6 / heightM / Math.PI);
      const mean = 2000 * radiusM;
      return {
        ...common,
        sideShare: shape.kind === "tray-of-cups" && shape.cupCount > 1 ? 0.6 : 1,
        shape: { kind: "cylinder", radiusM, heightM },
        baseScale: shape.baseDiameterMm / mean,
        topScale: top / mean,
        assumed: [],
      };
    }
    case "square":
    case "rectangular":
    case "loaf": {
      const length = between(shape.baseLengthMm, between(shape.baseLengthMm, shape.topLengthMm, share), 0.5) / 1000;
      const widthAt = filled.volumeMl / 1e6 / heightM / length;
      const topArea = between(shape.baseLengthMm, shape.topLengthMm, share) * between(shape.baseWidthMm, shape.topWidthMm, share);
      const scale = (areaMm2: number) => Math.sqrt(areaMm2 / 1e6 / (length * widthAt));
      return {
        ...common,
        shape: { kind: "box", lengthM: length, widthM: widthAt, heightM },
        baseScale: scale(shape.baseLengthMm * shape.baseWidthMm),
        topScale: scale(topArea),
        assumed: [],
      };
    }
    case "ring":
    case "fluted-ring": {
      const [inner, outer] = [shape.tubeDiameterMm / 2000, shape.outerDiameterMm / 2000];
      const area = Math.PI * (outer * outer - inner * inner);
      return {
        ...common,
        shape: { kind: "ring", innerRadiusM: inner, outerRadiusM: outer, heightM: filled.volumeMl / 1e6 / area },
        baseScale: 1,
        topScale: 1,
        assumed: shape.kind === "ring" ? [] : ["A fluted ring is baked as a smooth ring of the same volume with a flat bottom."],
      };
    }
    case "ball": {
      // The same free surface and volume; a ball's curved wall is taken as a base and a side.
      const radiusM = Math.sqrt(Math.max(filled.topAreaMm2, 0.3 * Math.PI * (shape.diameterMm / 2) ** 2) / 1e6 / Math.PI);
      return {
        ...common,
        shape: { kind: "cylinder", radiusM, heightM: filled.volumeMl / 1e6 / (Math.PI * radiusM ** 2) },
        baseScale: 1,
        topScale: 1,
        assumed: ["A ball tin is baked as an upright cylinder of the same volume and free surface: a rough picture."],
      };
    }
  }
}
