import type { BoxSize, RoundSize, Tin, TinShape } from "./tin.js";
import { cavityCount } from "./tin.js";

/** Inner areas [mm²] and volume [mL] of a whole tin (all cups of a tray together), filled to a depth [mm] in each hollow. */
export interface FilledTin {
  readonly depthMm: number;
  readonly volumeMl: number;
  /** Flat part of the bottom; 0 for a ball, whose wall is all curved, and for a ring with a round bottom. */
  readonly baseAreaMm2: number;
  /** Wall that the batter touches, the tube of a ring included. */
  readonly sideAreaMm2: number;
  /** Free surface of the batter. */
  readonly topAreaMm2: number;
}

const MM3_PER_ML = 1000;

/** Inner depth [mm] of each hollow. */
export function tinDepthMm(tin: Tin): number {
  return shapeDepthMm(tin.shape);
}

/**
 * Volume to the brim [mL], all cups of a tray together: measured where the baker measured it, otherwise by geometry.
 */
export function tinCapacityMl(tin: Tin): number {
  return tin.measuredCapacityMl ?? geometricCapacityMl(tin);
}

/** Volume to the brim [mL] by the stated sizes alone. */
export function geometricCapacityMl(tin: Tin): number {
  return (cavityCount(tin) * shapeVolumeMm3(tin.shape, shapeDepthMm(tin.shape))) / MM3_PER_ML;
}

/**
 * The shape to calculate with: as stated, or, with a measured capacity, made wider or narrower in plan by the square
 * root of measured over computed, so that the geometry holds exactly what was measured. The depth is kept because it is
 * easy to measure and decides the bake; rounded corners, rolled rims and flutes are what sizes usually miss. A ball has
 * one size, so it changes by the cube root and its depth with it.
 */
export function effectiveShape(tin: Tin): TinShape {
  if (tin.measuredCapacityMl === undefined) return tin.shape;
  const ratio = tin.measuredCapacityMl / geometricCapacityMl(tin);
  const shape = tin.shape;
  if (shape.kind === "ball") return { ...shape, diameterMm: shape.diameterMm * Math.cbrt(ratio) };
  const plan = Math.sqrt(ratio);
  switch (shape.kind) {
    case "round":
    case "cup":
    case "tray-of-cups":
      return { ...shape, topDiameterMm: shape.topDiameterMm * plan, baseDiameterMm: shape.baseDiameterMm * plan };
    case "square":
    case "rectangular":
    case "loaf":
      return {
        ...shape,
        topLengthMm: shape.topLengthMm * plan,
        topWidthMm: shape.topWidthMm * plan,
        baseLengthMm: shape.baseLengthMm * plan,
        baseWidthMm: shape.baseWidthMm * plan,
      };
    case "ring":
      return { ...shape, outerDiameterMm: shape.outerDiameterMm * plan, tubeDiameterMm: shape.tubeDiameterMm * plan };
    case "fluted-ring": {
      // A round bottom widens with the plan and cannot be kept as deep: the flutes take up the difference instead.
      const smooth = shapeVolumeMm3({ ...shape, fluteShare: 0 }, shape.depthMm) / MM3_PER_ML;
      return tin.measuredCapacityMl <= smooth
        ? { ...shape, fluteShare: 1 - tin.measuredCapacityMl / smooth }
        : scaleAll(shape, Math.cbrt(tin.measuredCapacityMl / smooth));
    }
  }
}

/**
 * Volume [mL] of batter that stands at a depth, all cups of a tray together.
 *
 * @param depthMm  depth in each hollow [mm]; beyond the brim counts as the brim
 * @throws RangeError for a negative depth or not a number
 */
export function volumeAtDepth(tin: Tin, depthMm: number): number {
  if (!(depthMm >= 0)) throw new RangeError(`volumeAtDepth: ${depthMm} mm is not a depth of 0 or more`);
  const shape = effectiveShape(tin);
  return (cavityCount(tin) * shapeVolumeMm3(shape, Math.min(depthMm, shapeDepthMm(shape)))) / MM3_PER_ML;
}

/**
 * Depth [mm] at which a volume stands in a tin, the same in all cups of a tray.
 *
 * @param volumeMl  volume [mL], 0 or more
 * @returns  depth [mm]; the depth of the tin when the volume does not fit
 * @throws RangeError for a negative volume or not a number
 */
export function fillDepth(tin: Tin, volumeMl: number): number {
  if (!(volumeMl >= 0)) throw new RangeError(`fillDepth: ${volumeMl} mL is not a volume of 0 or more`);
  const shape = effectiveShape(tin);
  const target = (volumeMl * MM3_PER_ML) / cavityCount(tin);
  const depthMm = shapeDepthMm(shape);
  if (target === 0) return 0;
  if (target >= shapeVolumeMm3(shape, depthMm)) return depthMm;
  // Newton on V(z) = target, whose derivative is the free surface, kept within a bracket that halves when Newton leaves it.
  let low = 0;
  let high = depthMm;
  let z = (depthMm * target) / shapeVolumeMm3(shape, depthMm);
  for (let step = 0; step < 100; step++) {
    const error = shapeVolumeMm3(shape, z) - target;
    if (error > 0) high = z;
    else low = z;
    const area = shapeAreaMm2(shape, z);
    const next = z - error / area;
    const inside = next > low && next < high;
    const moved = inside ? next : (low + high) / 2;
    if (Math.abs(moved - z) <= 1e-12 * depthMm) return moved;
    z = moved;
  }
  return z;
}

/** Depth, volume and areas of a tin filled to a depth [mm]; to the brim when no depth is given. */
export function filledTin(tin: Tin, depthMm: number = shapeDepthMm(effectiveShape(tin))): FilledTin {
  const shape = effectiveShape(tin);
  const z = Math.min(Math.max(depthMm, 0), shapeDepthMm(shape));
  const count = cavityCount(tin);
  return {
    depthMm: z,
    volumeMl: volumeAtDepth(tin, z),
    baseAreaMm2: count * shapeBaseMm2(shape),
    sideAreaMm2: count * shapeSideMm2(shape, z),
    topAreaMm2: count * shapeAreaMm2(shape, z),
  };
}

function shapeDepthMm(shape: TinShape): number {
  if (shape.kind !== "ball") return shape.depthMm;
  return shape.part === "whole" ? shape.diameterMm : shape.diameterMm / 2;
}

const lerp = (base: number, top: number, share: number) => base + (top - base) * share;
const isRound = (shape: TinShape): shape is Extract<TinShape, RoundSize> =>
  shape.kind === "round" || shape.kind === "cup" || shape.kind === "tray-of-cups";

/** Volume [mm³] of one hollow up to a depth within it. */
function shapeVolumeMm3(shape: TinShape, z: number): number {
  if (isRound(shape)) {
    // Frustum of a cone.
    const base = shape.baseDiameterMm;
    const top = lerp(base, shape.topDiameterMm, z / shape.depthMm);
    return (Math.PI * z * (base * base + base * top + top * top)) / 12;
  }
  switch (shape.kind) {
    case "square":
    case "rectangular":
    case "loaf": {
      // The prismoidal formula is exact here: the section is a product of two lengths linear in height.
      const at = (height: number) => boxLength(shape, height) * boxWidth(shape, height);
      return (z * (at(0) + 4 * at(z / 2) + at(z))) / 6;
    }
    case "ring": {
      const [outer, inner] = [shape.outerDiameterMm / 2, shape.tubeDiameterMm / 2];
      return Math.PI * (outer * outer - inner * inner) * z;
    }
    case "fluted-ring": {
      const { bottomRadius, meanRadius, width } = ringSection(shape);
      const rounded = Math.min(z, bottomRadius);
      // Pappus: the section is symmetric about the mean radius, so its centroid travels 2π times that radius.
      const section = circularSegment(bottomRadius, rounded) + width * (z - rounded);
      return (1 - shape.fluteShare) * 2 * Math.PI * meanRadius * section;
    }
    case "ball":
      // Spherical cap of height z (Archimedes).
      return (Math.PI * z * z * (3 * (shape.diameterMm / 2) - z)) / 3;
  }
}

/** Area [mm²] of the free surface at a depth: the derivative of the volume. */
function shapeAreaMm2(shape: TinShape, z: number): number {
  if (isRound(shape)) {
    const diameter = lerp(shape.baseDiameterMm, shape.topDiameterMm, z / shape.depthMm);
    return (Math.PI * diameter * diameter) / 4;
  }
  switch (shape.kind) {
    case "square":
    case "rectangular":
    case "loaf":
      return boxLength(shape, z) * boxWidth(shape, z);
    case "ring": {
      const [outer, inner] = [shape.outerDiameterMm / 2, shape.tubeDiameterMm / 2];
      return Math.PI * (outer * outer - inner * inner);
    }
    case "fluted-ring": {
      const { bottomRadius, meanRadius, width } = ringSection(shape);
      const chord = z >= bottomRadius ? width : 2 * Math.sqrt(z * (2 * bottomRadius - z));
      return (1 - shape.fluteShare) * 2 * Math.PI * meanRadius * chord;
    }
    case "ball":
      return Math.PI * z * (shape.diameterMm - z);
  }
}

function shapeBaseMm2(shape: TinShape): number {
  return shape.kind === "ball" || shape.kind === "fluted-ring" ? 0 : shapeAreaMm2(shape, 0);
}

/** Area [mm²] of the wall from the bottom to a depth. */
function shapeSideMm2(shape: TinShape, z: number): number {
  if (isRound(shape)) {
    const base = shape.baseDiameterMm / 2;
    const top = lerp(base, shape.topDiameterMm / 2, z / shape.depthMm);
    return Math.PI * (base + top) * Math.hypot(z, top - base);
  }
  switch (shape.kind) {
    case "square":
    case "rectangular":
    case "loaf": {
      const [length0, width0, lengthZ, widthZ] = [
        boxLength(shape, 0),
        boxWidth(shape, 0),
        boxLength(shape, z),
        boxWidth(shape, z),
      ];
      const longWalls = (length0 + lengthZ) * Math.hypot(z, (widthZ - width0) / 2);
      const shortWalls = (width0 + widthZ) * Math.hypot(z, (lengthZ - length0) / 2);
      return longWalls + shortWalls;
    }
    case "ring":
      return Math.PI * (shape.outerDiameterMm + shape.tubeDiameterMm) * z;
    case "fluted-ring": {
      // Pappus for the surface of the smooth ring; the flutes' extra skin is left out (not known without measuring it).
      const { bottomRadius, meanRadius } = ringSection(shape);
      const rounded = Math.min(z, bottomRadius);
      const arc = 2 * bottomRadius * Math.acos(1 - rounded / bottomRadius);
      return 2 * Math.PI * meanRadius * (arc + 2 * (z - rounded));
    }
    case "ball":
      return Math.PI * shape.diameterMm * z;
  }
}

const boxLength = (shape: BoxSize, z: number) => lerp(shape.baseLengthMm, shape.topLengthMm, z / shape.depthMm);
const boxWidth = (shape: BoxSize, z: number) => lerp(shape.baseWidthMm, shape.topWidthMm, z / shape.depthMm);

function ringSection(shape: Extract<TinShape, { kind: "fluted-ring" }>) {
  const width = (shape.outerDiameterMm - shape.tubeDiameterMm) / 2;
  return { width, bottomRadius: width / 2, meanRadius: (shape.outerDiameterMm + shape.tubeDiameterMm) / 4 };
}

/** Area [mm²] of the part of a circle below a chord at height `h` above its lowest point, 0 <= h <= radius. */
function circularSegment(radius: number, h: number): number {
  return radius * radius * Math.acos(1 - h / radius) - (radius - h) * Math.sqrt(h * (2 * radius - h));
}

function scaleAll(shape: Extract<TinShape, { kind: "fluted-ring" }>, factor: number): TinShape {
  return {
    ...shape,
    fluteShare: 0,
    outerDiameterMm: shape.outerDiameterMm * factor,
    tubeDiameterMm: shape.tubeDiameterMm * factor,
    depthMm: shape.depthMm * factor,
  };
}
