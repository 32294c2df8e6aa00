/**
 * Exact transient conduction in a plane wall, an infinite cylinder and their products, for the checks of the solver.
 *
 * Source: Carslaw and Jaeger, Conduction of Heat in Solids (2nd ed. 1959), ch. III and VII; product solutions as in any textbook on
 * heat transfer. Temperatures are shares: (T - air) / (start - air).
 */

/** Bessel function of the first kind, order 0 or 1, for x >= 0: its integral by the trapezium rule, which converges geometrically. */
export function besselJ(order: 0 | 1, x: number): number {
  // J_n(x) = (1/π) ∫ cos(nτ - x sin τ) dτ over 0..π; periodic, so equal steps are exact to rounding once they outnumber x.
  const steps = Math.ceil(x) + 40;
  let sum = 0;
  for (let i = 0; i < 2 * steps; i++) {
    const tau = (Math.PI * i) / steps;
    sum += Math.cos(order * tau - x * Math.sin(tau));
  }
  return sum / (2 * steps);
}

function bisect(f: (x: number) => number, low: number, high: number): number {
  let [a, b] = [low, high];
  const sign = Math.sign(f(a));
  for (let i = 0; i < 200 && b - a > 1e-15 * b; i++) {
    const middle = (a + b) / 2;
    if (Math.sign(f(middle)) === sign) a = middle;
    else b = middle;
  }
  return (a + b) / 2;
}

/**
 * Plane wall of half thickness 1.
 *
 * @param biot  h L / k; Infinity for a surface held at air temperature
 * @param fourier  α t / L²
 * @param place  0 middle to 1 surface
 * @param terms  of the series
 */
export function wallShare(biot: number, fourier: number, place: number, terms = 200): number {
  let sum = 0;
  for (let n = 0; n < terms; n++) {
    const z =
      biot === Number.POSITIVE_INFINITY
        ? (n + 0.5) * Math.PI
        : bisect((x) => x * Math.sin(x) - biot * Math.cos(x), n * Math.PI + 1e-14, (n + 0.5) * Math.PI);
    const c = (4 * Math.sin(z)) / (2 * z + Math.sin(2 * z));
    sum += c * Math.exp(-z * z * fourier) * Math.cos(z * place);
    if (z * z * fourier > 700) break;
  }
  return sum;
}

const rootsOfJ0: number[] = [];
const rootsOfJ1: number[] = [0];
function rootJ0(n: number): number {
  while (rootsOfJ0.length <= n) {
    const guess = (rootsOfJ0.length + 0.75) * Math.PI;
    rootsOfJ0.push(bisect((x) => besselJ(0, x), guess - 0.6, guess + 0.6));
  }
  return rootsOfJ0[n];
}
function rootJ1(n: number): number {
  while (rootsOfJ1.length <= n) {
    const guess = (rootsOfJ1.length + 0.25) * Math.PI;
    rootsOfJ1.push(bisect((x) => besselJ(1, x), guess - 0.6, guess + 0.6));
  }
  return rootsOfJ1[n];
}

const cylinderRoots = new Map<number, number[]>();
function cylinderRoot(biot: number, n: number): number {
  const roots = cylinderRoots.get(biot) ?? [];
  cylinderRoots.set(biot, roots);
  while (roots.length <= n) {
    const i = roots.length;
    roots.push(bisect((x) => x * besselJ(1, x) - biot * besselJ(0, x), rootJ1(i) + 1e-12, rootJ0(i)));
  }
  return roots[n];
}

/** Infinite cylinder of radius 1; arguments as for the wall, with the radius as length. */
export function cylinderShare(biot: number, fourier: number, place: number, terms = 200): number {
  let sum = 0;
  for (let n = 0; n < terms; n++) {
    const z = biot === Number.POSITIVE_INFINITY ? rootJ0(n) : cylinderRoot(biot, n);
    if (z * z * fourier > 700) break;
    const [j0, j1] = [besselJ(0, z), besselJ(1, z)];
    sum += ((2 * j1) / (z * (j0 * j0 + j1 * j1))) * Math.exp(-z * z * fourier) * besselJ(0, z * place);
  }
  return sum;
}
