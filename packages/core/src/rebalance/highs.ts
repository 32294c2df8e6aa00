import { nearestByProjections } from "./dykstra.js";
import { type OptimisationModel, type OptimisationSolver, objectiveOf, type SolverAnswer } from "./model.js";

/** The part of the HiGHS WebAssembly module that is used; the loaded module fits it. */
export interface HighsLike {
  solve(
    problem: string,
    options?: Record<string, unknown>,
  ): {
    readonly Status: string;
    readonly Columns: Readonly<Record<string, { readonly Primal?: number; readonly Index: number }>>;
  };
}

/** Lets a loaded HiGHS module solve our models, through the LP text format that it reads. */
export function solverFromHighs(highs: HighsLike): OptimisationSolver {
  // The first solve of each kind is slow because the module compiles as it goes; better now than at the baker's first question.
  for (const kind of WARMING) highs.solve(kind, OPTIONS);
  return {
    solve(model): SolverAnswer {
      // Fixed variables go into the rows as constants: HiGHS's quadratic solver can circle for ever around a variable without room.
      const reduced = withoutFixed(evened(model));
      if (reduced.model.rows.some(({ terms, lower, upper }) => terms.length === 0 && (lower > ROW_SLACK || upper < -ROW_SLACK)))
        return { status: "infeasible" };
      if (reduced.model.variables.length === 0) {
        const values = unevened(model, reduced.whole([]));
        return { status: "optimal", values, objective: objectiveOf(model, values) };
      }
      let answer: ReturnType<HighsLike["solve"]>;
      try {
        answer = highs.solve(lpText(reduced.model), OPTIONS);
      } catch (error) {
        // The quadratic solver gives up on some small models that have an answer; whether they have is a linear question.
        return withoutQuadratic(highs, model, error);
      }
      const { Status, Columns } = answer;
      if (Status === "Infeasible") return { status: "infeasible" };
      if (Status !== "Optimal") return { status: "failed", words: `the solver stopped with "${Status}"` };
      const values = unevened(model, reduced.whole(reduced.model.variables.map((_, index) => Columns[`x${index}`]?.Primal ?? 0)));
      return { status: "optimal", values, objective: objectiveOf(model, values) };
    },
  };
}

function withoutQuadratic(highs: HighsLike, model: OptimisationModel, error: unknown): SolverAnswer {
  const words = `the solver broke off: ${error instanceof Error ? error.message : String(error)}`;
  if (!model.variables.every(({ quadratic = 0 }) => quadratic > 0)) return { status: "failed", words };
  const plain = { ...model, variables: model.variables.map((variable) => ({ ...variable, linear: 0, quadratic: 0 })) };
  try {
    const { Status } = highs.solve(lpText(plain), OPTIONS);
    if (Status === "Infeasible") return { status: "infeasible" };
    if (Status !== "Optimal") return { status: "failed", words };
  } catch {
    // It broke off at the simpler question too: the words for the first one stand.
    return { status: "failed", words };
  }
  const values = nearestByProjections(model);
  return { status: "optimal", values, objective: objectiveOf(model, values) };
}

/** No rebalancing of a cake needs longer; what does is said to have failed. */
const SECONDS_MOST = 5;
const OPTIONS = { output_flag: false, time_limit: SECONDS_MOST, mip_rel_gap: 0, mip_abs_gap: 1e-9 };
const SMALL = "Subject To\n r0: x0 + 2 x1 >= 3\nBounds\n 0 <= x0 <= 4\n 0 <= x1 <= 4\n";
const WARMING = [
  `Minimize\n cost: x0 + [ 2 x0 ^2 + 2 x1 ^2 ] / 2\n${SMALL}End\n`,
  `Minimize\n cost: x0 + x1\n${SMALL}End\n`,
  `Minimize\n cost: x0 + x1\n${SMALL}General\n x1\nEnd\n`,
];
const ROW_SLACK = 1e-7;

/** Unit in which a variable is handed over: with a quadratic cost, the one in which its curvature is 1. */
const unitOf = ({ quadratic = 0, integer }: OptimisationModel["variables"][number]) =>
  quadratic > 0 && !integer ? 1 / Math.sqrt(quadratic) : 1;

/** The same model in even units and with rows of size 1; weights of 2 g beside 200 g make a quadratic solver stumble. */
function evened(model: OptimisationModel): OptimisationModel {
  if (!model.variables.some(({ quadratic = 0 }) => quadratic > 0)) return model;
  const units = model.variables.map(unitOf);
  return {
    variables: model.variables.map((variable, index) => ({
      ...variable,
      lower: variable.lower / units[index]!,
      upper: variable.upper / units[index]!,
      linear: variable.linear * units[index]!,
      quadratic: (variable.quadratic ?? 0) * units[index]! ** 2,
    })),
    rows: model.rows.map((row) => {
      const terms = row.terms.map(({ variable, coefficient }) => ({ variable, coefficient: coefficient * units[variable]! }));
      // A row without terms has no size and keeps its limits: nothing is at least 50 g.
      const size = Math.max(0, ...terms.map(({ coefficient }) => Math.abs(coefficient))) || 1;
      return {
        ...row,
        lower: row.lower / size,
        upper: row.upper / size,
        terms: terms.map(({ variable, coefficient }) => ({ variable, coefficient: coefficient / size })),
      };
    }),
  };
}

const unevened = (model: OptimisationModel, values: readonly number[]) =>
  model.variables.some(({ quadratic = 0 }) => quadratic > 0)
    ? values.map((value, index) => value * unitOf(model.variables[index]!))
    : [...values];

function withoutFixed(model: OptimisationModel): { model: OptimisationModel; whole(values: readonly number[]): number[] } {
  const free = model.variables.flatMap(({ lower, upper }, index) => (lower === upper ? [] : [index]));
  const place = new Map(free.map((index, at) => [index, at]));
  return {
    model: {
      variables: free.map((index) => model.variables[index]!),
      rows: model.rows.map((row) => {
        const fixed = row.terms.reduce(
          (sum, { variable, coefficient }) => sum + (place.has(variable) ? 0 : coefficient * model.variables[variable]!.lower),
          0,
        );
        return {
          ...row,
          lower: row.lower - fixed,
          upper: row.upper - fixed,
          terms: row.terms.flatMap(({ variable, coefficient }) =>
            place.has(variable) && coefficient !== 0 ? [{ variable: place.get(variable)!, coefficient }] : [],
          ),
        };
      }),
    },
    whole: (values) => model.variables.map(({ lower }, index) => (place.has(index) ? values[place.get(index)!]! : lower)),
  };
}

/** The model in the LP text format. Names are numbered, so that no name of the baker's can disturb the text. */
export function lpText(model: OptimisationModel): string {
  const lines: string[] = ["Minimize"];
  const linear = model.variables.map(({ linear: cost }, index) => term(cost, index)).join("");
  const squares = model.variables
    .map(({ quadratic = 0 }, index) => (quadratic === 0 ? "" : `${signed(2 * quadratic)} x${index} ^2`))
    .join(" ");
  lines.push(` cost:${linear || " 0 x0"}${squares.trim() === "" ? "" : ` + [ ${squares} ] / 2`}`);
  lines.push("Subject To");
  model.rows.forEach(({ terms, lower, upper }, index) => {
    if (terms.length === 0) return;
    const sum = terms.map(({ variable, coefficient }) => term(coefficient, variable)).join("") || " 0 x0";
    if (lower === upper) lines.push(` r${index}:${sum} = ${lower}`);
    else {
      if (Number.isFinite(lower)) lines.push(` r${index}l:${sum} >= ${lower}`);
      if (Number.isFinite(upper)) lines.push(` r${index}u:${sum} <= ${upper}`);
    }
  });
  lines.push("Bounds");
  model.variables.forEach(({ lower, upper }, index) => {
    lines.push(` ${Number.isFinite(lower) ? lower : "-inf"} <= x${index} <= ${Number.isFinite(upper) ? upper : "+inf"}`);
  });
  const integers = model.variables.flatMap(({ integer }, index) => (integer ? [`x${index}`] : []));
  if (integers.length > 0) lines.push("General", ` ${integers.join(" ")}`);
  lines.push("End", "");
  return lines.join("\n");
}

const signed = (value: number) => `${value < 0 ? "-" : "+"} ${Math.abs(value)}`;
const term = (coefficient: number, variable: number) => (coefficient === 0 ? "" : ` ${signed(coefficient)} x${variable}`);
