import type { ModelRow, ModelVariable, OptimisationModel, OptimisationSolver } from "./model.js";
import { type Optimum, polishQuadratic } from "./polish.js";
import { perGramOf } from "./requirements.js";
import { scaleOf, type Unknown } from "./unknowns.js";

export type Aim = "nearest" | "cheapest";
/** Weight of one piece by unknown; undefined where any weight will do. */
export type PieceGrams = readonly (number | undefined)[];

export type Solved =
  | ({ readonly status: "optimal" } & Optimum)
  | { readonly status: "infeasible" }
  | { readonly status: "failed"; readonly words: string };

/**
 * The exact optimum: weights [g] in the order of the unknowns.
 *
 * "nearest" is a convex quadratic model, proved by its conditions; whole pieces are found by branching on them, each branch a
 * model of the same kind. "cheapest" is linear, and with whole pieces mixed-integer, which the solver takes as it is.
 */
export function optimumOf(
  aim: Aim,
  unknowns: readonly Unknown[],
  rows: readonly ModelRow[],
  solver: OptimisationSolver,
  pieces: PieceGrams,
): Solved {
  if (aim === "cheapest") return cheapest(unknowns, rows, solver, pieces);
  return nearest(modelOf(aim, unknowns, rows), solver, pieces);
}

/** Whether any weights keep all rows; the cost does not matter. */
export function isFeasible(
  unknowns: readonly Unknown[],
  rows: readonly ModelRow[],
  solver: OptimisationSolver,
  pieces: PieceGrams,
): boolean {
  const free = modelOf("nearest", unknowns, rows);
  if (hasNoRoom(free)) return false;
  const variables = free.variables.map((variable) => ({ ...variable, linear: 0, quadratic: 0 }));
  return solver.solve(inPieces({ ...free, variables }, pieces)).status === "optimal";
}

/** Rows with a single term become limits of that variable: solvers are quicker and surer with fewer rows. */
export function modelOf(aim: Aim, unknowns: readonly Unknown[], rows: readonly ModelRow[]): OptimisationModel {
  const limits = unknowns.map(({ lower, upper }) => ({ lower, upper }));
  const left: ModelRow[] = [];
  for (const row of rows) {
    const terms = row.terms.filter(({ coefficient }) => coefficient !== 0);
    if (terms.length !== 1) {
      left.push({ ...row, terms });
      continue;
    }
    const { variable, coefficient } = terms[0]!;
    const ends = [row.lower / coefficient, row.upper / coefficient].sort((one, other) => one - other);
    const limit = limits[variable]!;
    limit.lower = Math.max(limit.lower, ends[0]!);
    limit.upper = Math.min(limit.upper, ends[1]!);
    // Two equations that say the same leave a hair between them, which a solver refuses to read.
    if (limit.lower > limit.upper && limit.lower - limit.upper <= 1e-9 * (1 + Math.abs(limit.upper))) limit.lower = limit.upper;
  }
  const variables = unknowns.map((one, index): ModelVariable => {
    const { id, reference, weight, ingredient } = one;
    if (aim === "cheapest") return { name: id, ...limits[index]!, linear: perGramOf({ kind: "cost" }, ingredient) ?? 0 };
    const quadratic = weight / scaleOf(one, unknowns) ** 2;
    return { name: id, ...limits[index]!, linear: -2 * quadratic * reference, quadratic };
  });
  return { variables, rows: left };
}

function cheapest(
  unknowns: readonly Unknown[],
  rows: readonly ModelRow[],
  solver: OptimisationSolver,
  pieces: PieceGrams,
): Solved {
  const model = modelOf("cheapest", unknowns, rows);
  if (hasNoRoom(model)) return { status: "infeasible" };
  const answer = solver.solve(inPieces(model, pieces));
  if (answer.status !== "optimal") return answer;
  // The solver's own vertex is the proof of a linear model; it is compared with two other solvers in the tests.
  return { ...answer, values: answer.values.map((value, index) => countedOut(value, pieces[index])), residual: 0 };
}

/** The same model counted in pieces where there are any. */
function inPieces({ variables, rows }: OptimisationModel, pieces: PieceGrams): OptimisationModel {
  if (pieces.every((piece) => piece === undefined)) return { variables, rows };
  return {
    variables: variables.map((variable, index) => {
      const piece = pieces[index];
      if (piece === undefined) return variable;
      const { lower, upper, linear, quadratic = 0 } = variable;
      return {
        ...variable,
        lower: lower / piece,
        upper: upper / piece,
        linear: linear * piece,
        quadratic: quadratic * piece * piece,
        integer: true,
      };
    }),
    rows: rows.map((row) => ({
      ...row,
      terms: row.terms.map(({ variable, coefficient }) => ({ variable, coefficient: coefficient * (pieces[variable] ?? 1) })),
    })),
  };
}

const hasNoRoom = ({ variables }: OptimisationModel) => variables.some(({ lower, upper }) => lower > upper);
/** Branches before giving up: four kinds of pieces need some dozens. */
const BRANCHES_MOST = 400;

function nearest(root: OptimisationModel, solver: OptimisationSolver, pieces: PieceGrams): Solved {
  let best: Solved = { status: "infeasible" };
  const open: OptimisationModel[] = [root];
  for (let branch = 0; open.length > 0; branch += 1) {
    if (branch > BRANCHES_MOST) return { status: "failed", words: "too many combinations of whole pieces" };
    const model = open.pop()!;
    if (hasNoRoom(model)) continue;
    const rough = solver.solve(model);
    if (rough.status === "failed") return rough;
    if (rough.status === "infeasible") continue;
    const relaxed = polishQuadratic(model, rough.values);
    if (best.status === "optimal" && relaxed.objective >= best.objective - 1e-12) continue;
    const broken = mostBroken(relaxed.values, pieces);
    if (broken === undefined) {
      // Whole counts come back a hair away from whole.
      const whole = relaxed.values.map((value, index) => wholePieces(value, pieces[index]));
      best = { status: "optimal", ...relaxed, values: whole };
      continue;
    }
    const piece = pieces[broken]!;
    const below = Math.floor(relaxed.values[broken]! / piece) * piece;
    const cut = (limits: { lower?: number; upper?: number }): OptimisationModel => ({
      ...model,
      variables: model.variables.map((variable, index) => (index === broken ? { ...variable, ...limits } : variable)),
    });
    const down = cut({ upper: Math.min(below, model.variables[broken]!.upper) });
    const up = cut({ lower: Math.max(below + piece, model.variables[broken]!.lower) });
    // The nearer side is looked at first, so that a good answer shuts most branches.
    if (relaxed.values[broken]! - below < piece / 2) open.push(up, down);
    else open.push(down, up);
  }
  return best;
}

const countedOut = (count: number, piece: number | undefined) =>
  piece === undefined ? count : Number((Math.round(count) * piece).toFixed(6));
const wholePieces = (grams: number, piece: number | undefined) =>
  piece === undefined ? grams : countedOut(grams / piece, piece);

/** The piece count that is furthest from whole. */
function mostBroken(values: readonly number[], pieces: PieceGrams): number | undefined {
  let [worst, far] = [undefined as number | undefined, 1e-7];
  for (const [index, piece] of pieces.entries()) {
    if (piece === undefined) continue;
    const count = values[index]! / piece;
    const away = Math.abs(count - Math.round(count));
    if (away > far) [worst, far] = [index, away];
  }
  return worst;
}
