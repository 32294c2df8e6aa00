import { expect, it } from "vitest";
import { overallDesirability } from "./desirability.js";
import fixtures from "./fixtures/trials.json" with { type: "json" };
import { goalsFromWords, usualGoal } from "./goals.js";
import { USUAL_MEASURES } from "./sheet.js";

const measures = USUAL_MEASURES.filter(({ name }) => name === "height at the centre" || name === "firmness");
const seen = (name: string) => (name === "firmness" ? [2, 3, 4] : [40, 44, 48]);

it("takes limits that were left out from what was seen, and never calls a bake unacceptable that the baker did not", () => {
  const { value, problems } = goalsFromWords(
    [
      { response: "height at the centre", direction: "larger" },
      { response: "firmness", direction: "smaller", high: 3.5, importance: 2 },
    ],
    seen,
    measures,
  );
  expect(problems).toEqual([]);
  expect(value).toEqual([
    { response: "height at the centre", direction: "larger", low: 32, target: 48 },
    { response: "firmness", direction: "smaller", high: 3.5, target: 1.5, importance: 2 },
  ]);
  // The worst height that was seen is still acceptable.
  expect(overallDesirability(value, [40, 2])).toBeGreaterThan(0);
});

it("lets a goal that stands alone go as far as it can", () => {
  const { value } = goalsFromWords([{ response: "height at the centre", direction: "larger" }], seen, measures);
  expect(overallDesirability(value, [49])).toBeGreaterThan(overallDesirability(value, [48]));
});

it("says what is wrong with a wish", () => {
  const wrong = (wish: Parameters<typeof goalsFromWords>[0][number]) =>
    goalsFromWords([wish], seen, measures).problems.map(({ path, expected }) => `${path.join(".")}: ${expected}`);
  expect(wrong({ response: "firmness", direction: "target" })).toEqual(["goals.0.target: the firmness that is wanted, in N"]);
  expect(wrong({ response: "firmness", direction: "target", target: 3, low: 3.2 })[0]).toContain(
    "between what is not acceptable",
  );
  expect(wrong({ response: "height at the centre", direction: "larger", low: 45, target: 44 })[0]).toContain(
    "below what is good enough",
  );
  expect(wrong({ response: "firmness", direction: "smaller", importance: 0 })[0]).toContain("above 0");
  expect(goalsFromWords([{ response: "volume", direction: "larger" }], () => [], measures).problems[0]!.expected).toContain(
    "measured",
  );
  expect(usualGoal(measures[0]!)).toEqual({ response: measures[0]!.name, direction: "larger" });
});

// Published: D 0.0620 at the centre, with goals of R's desirability package (fixture names the source).
it("leaves limits that were given in full as they are", () => {
  const set = fixtures.cases.reaction_desirability;
  const { value } = goalsFromWords(
    [
      { response: "conversion", direction: "larger", low: 80, target: 97 },
      { response: "activity", direction: "target", low: 55, target: 57.5, high: 60 },
    ],
    () => [70, 99],
    [],
  );
  expect(overallDesirability(value, [set.at_centre.conversion, set.at_centre.activity])).toBeCloseTo(set.at_centre.D, 10);
});
