import type { Problem, Reading } from "@evencrumb/core/quantities";
import {
  countAnswers,
  DISCRIMINATION_METHODS,
  planTasting,
  readTrialFile,
  type TasterAnswer,
  type TastingMethod,
  type TastingPlan,
  type TastingWords,
  TRIAL_SHAPE,
} from "@evencrumb/core/trials";

/** Name and version of the form of a kept tasting. */
export const TASTING_SHAPE = "evencrumb.taste/1";

/** What the server needs of a kept tasting; the rest of the document belongs to the app and is left as it is. */
export interface TastingDocument {
  readonly shape: typeof TASTING_SHAPE;
  readonly name: string;
  readonly words: TastingWords;
  readonly answers: readonly TasterAnswer[];
}

const METHODS: readonly TastingMethod[] = [...DISCRIMINATION_METHODS, "paired preference", "ranking", "liking"];

/** What is wrong with a trial or a tasting as it is kept; empty when nothing is. */
export function trialProblems(body: unknown): readonly Problem[] {
  if (isRecord(body) && body.shape === TASTING_SHAPE) return readTastingDocument(body).problems;
  const { problems } = readTrialFile(body);
  if (!isRecord(body) || body.shape === TRIAL_SHAPE) return problems;
  return problems.map((problem) =>
    problem.path[0] === "shape" ? { ...problem, expected: `${TRIAL_SHAPE} or ${TASTING_SHAPE}` } : problem,
  );
}

/** Reads a kept tasting; everything the taster's page leans on is checked. Who is served what is drawn again from the seed. */
export function readTastingDocument(body: unknown): Reading<(TastingDocument & { readonly plan: TastingPlan }) | undefined> {
  const problems: Problem[] = [];
  const say = (path: Problem["path"], expected: string, found: unknown, remedy: string) => {
    problems.push({ code: "wrong-type", path, expected, found: (JSON.stringify(found) ?? "nothing").slice(0, 120), remedy });
  };
  if (!isRecord(body) || body.shape !== TASTING_SHAPE) {
    say(["shape"], TASTING_SHAPE, isRecord(body) ? body.shape : body, "Open the plan of a tasting.");
    return { value: undefined, problems };
  }
  const { words, answers, name } = body;
  if (typeof name !== "string" || name.trim() === "") say(["name"], "a name", name, "Give the tasting a name.");
  if (!Array.isArray(answers) || !answers.every(isAnswer))
    say(["answers"], "a list of answers, each of one taster", answers, "Leave the answers as they came in.");
  if (!isRecord(words)) {
    say(["words"], "what is served, and how", words, "Plan the tasting again.");
    return { value: undefined, problems };
  }
  const { method, products, tasterCount, seed, allergens, mayContain, warnings, property } = words;
  if (!METHODS.includes(method as TastingMethod)) say(["words", "method"], METHODS.join(", "), method, "Choose one of these.");
  if (!isWords(products, 26)) say(["words", "products"], "names of the cakes", products, "Name what is served.");
  if (!isWhole(tasterCount, 1, 2000))
    say(["words", "tasterCount"], "a whole number from 1 to 2000", tasterCount, "Say how many taste.");
  if (!isWhole(seed, 0, 0xffffffff)) say(["words", "seed"], "a whole number", seed, "Plan the tasting again.");
  if (!isWords(allergens, 100))
    say(
      ["words", "allergens"],
      "the allergens of all cakes; an empty list when there are none",
      allergens,
      "Tasters are told first.",
    );
  if (mayContain !== undefined && !isWords(mayContain, 100))
    say(["words", "mayContain"], "what may be contained, as a list", mayContain, "List it, or leave it out.");
  if (warnings !== undefined && !isWords(warnings, 100))
    say(["words", "warnings"], "what else tasters are told, as a list", warnings, "List it, or leave it out.");
  if (property !== undefined && typeof property !== "string")
    say(["words", "property"], "what is asked for, in words", property, "Say it, or leave it out.");
  if (problems.length > 0) return { value: undefined, problems };
  try {
    return { value: { ...(body as unknown as TastingDocument), plan: planTasting(words as unknown as TastingWords) }, problems };
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    say(["words", "products"], "as many cakes as the kind of test takes", products, error.message);
    return { value: undefined, problems };
  }
}

/** What is wrong with one answer, or undefined when it fits the taster's sheet. */
export function misfit(plan: TastingPlan, answer: TasterAnswer): string | undefined {
  const [first] = countAnswers(plan, [answer]).unusable;
  return first === undefined ? undefined : `Please give ${first.expected}.`;
}

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === "object" && value !== null && !Array.isArray(value);
const isWhole = (value: unknown, low: number, high: number): value is number =>
  Number.isInteger(value) && (value as number) >= low && (value as number) <= high;
const isWords = (value: unknown, most: number): value is readonly string[] =>
  Array.isArray(value) && value.length <= most && value.every((word) => typeof word === "string" && word.length <= 200);

function isAnswer(value: unknown): value is TasterAnswer {
  if (!isRecord(value) || !isWhole(value.taster, 1, 2000)) return false;
  const { declined, codes, marks } = value;
  return (
    (declined === undefined || typeof declined === "boolean") &&
    (codes === undefined || isWords(codes, 26)) &&
    (marks === undefined || (isRecord(marks) && Object.values(marks).every((mark) => typeof mark === "number")))
  );
}
