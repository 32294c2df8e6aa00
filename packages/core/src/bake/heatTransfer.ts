const STEFAN_BOLTZMANN = 5.670374419e-8;
const GRAVITY = 9.80665;

/** Dry air at a film temperature [°C] and pressure [Pa]: fits to handbook values (from memory), 0 to 250 °C within 2 %. */
export function airProperties(filmC: number, pressurePa = 101_325) {
  const t = filmC + 273.15;
  const density = pressurePa / (287.05 * t);
  const viscosity = (1.458e-6 * t ** 1.5) / (t + 110.4); // Sutherland
  return {
    densityKgM3: density,
    conductivityWMK: 0.0242 + 7.2e-5 * filmC,
    kinematicViscosityM2S: viscosity / density,
    prandtl: 0.71,
    heatCapacityJKgK: 1007,
  };
}

export type FacePosture = "up" | "down" | "upright";

/**
 * Heat transfer [W/(m² K)] of still air on a surface.
 *
 * @param posture  "up": the warmer of surface and air lies below (a hot cake's top, or an oven's air below a cold base); "down": it lies
 *   above (a cold top in hot air); "upright": a wall
 * @param sizeM  area over perimeter for level faces, height for upright ones [m]
 *
 * Source: McAdams for level plates (0.54 Ra^¼, 0.15 Ra^⅓; 0.27 Ra^¼), Churchill and Chu for upright ones (textbooks, from memory).
 */
export function naturalConvection(
  posture: FacePosture,
  surfaceC: number,
  airC: number,
  sizeM: number,
  pressurePa = 101_325,
): number {
  const film = (surfaceC + airC) / 2;
  const air = airProperties(film, pressurePa);
  const difference = Math.max(Math.abs(surfaceC - airC), 0.5);
  const grashof = (GRAVITY * difference * sizeM ** 3) / ((film + 273.15) * air.kinematicViscosityM2S ** 2);
  const rayleigh = grashof * air.prandtl;
  const nusselt =
    posture === "upright"
      ? (0.825 + (0.387 * rayleigh ** (1 / 6)) / (1 + (0.492 / air.prandtl) ** (9 / 16)) ** (8 / 27)) ** 2
      : posture === "down"
        ? 0.27 * rayleigh ** 0.25
        : rayleigh < 1e7
          ? 0.54 * rayleigh ** 0.25
          : 0.15 * rayleigh ** (1 / 3);
  return (nusselt * air.conductivityWMK) / sizeM;
}

/** Radiation as a heat transfer coefficient [W/(m² K)]: exact for the two temperatures, of a small body in a large enclosure. */
export function radiation(emissivity: number, surfaceC: number, surroundingsC: number): number {
  const a = surfaceC + 273.15;
  const b = surroundingsC + 273.15;
  return emissivity * STEFAN_BOLTZMANN * (a * a + b * b) * (a + b);
}

/**
 * Vapour transfer [kg/(m² s Pa)] that belongs to a convective heat transfer [W/(m² K)], by the analogy of heat and mass:
 * h / (ρ cp Le^⅔) M / (R T), Le 0.88 (textbooks, from memory): 6.6e-8 for 10 W/(m² K) near 100 °C.
 */
export function vapourTransfer(convectiveWM2K: number, filmC: number, pressurePa = 101_325): number {
  const air = airProperties(filmC, pressurePa);
  const velocity = convectiveWM2K / (air.densityKgM3 * air.heatCapacityJKgK * 0.88 ** (2 / 3));
  return (velocity * 0.018015) / (8.314462618 * (filmC + 273.15));
}
