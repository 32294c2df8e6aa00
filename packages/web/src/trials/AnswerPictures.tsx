import {
  type Analysis,
  centreOf,
  contourInWords,
  contourMap,
  effectInWords,
  effectLines,
  type Factor,
  interactionInWords,
  interactionLines,
  marginInWords,
  marginPicture,
  meansInWords,
  noticedPairs,
  pairsInWords,
  type ShareFactor,
  type TrialAnswer,
  ternaryInWords,
  ternaryMap,
} from "@evencrumb/core/trials";
import { useMemo } from "react";
import type { BakingTrial } from "./documents.js";
import { ContourPicture } from "./pictures/ContourPicture.js";
import { EffectsPicture } from "./pictures/EffectsPicture.js";
import { InteractionPicture } from "./pictures/InteractionPicture.js";
import { MarginPicture } from "./pictures/MarginPicture.js";
import { MeansPicture } from "./pictures/MeansPicture.js";
import { PairedPicture } from "./pictures/PairedPicture.js";
import { Shown } from "./pictures/scale.js";
import { TernaryPicture } from "./pictures/TernaryPicture.js";

/** The pictures that show an answer: pairs and the margin, means, or maps and lines of what was changed. */
export function AnswerPictures({ trial, result, best }: { trial: BakingTrial; result: TrialAnswer; best?: readonly number[] }) {
  const response = result.reading?.responses[0];
  if (trial.kind === "better") return <ComparisonPictures trial={trial} result={result} />;
  // Where batters could not be told apart nothing is drawn: it would look surer than it is.
  if (response?.analysis.residualSd === undefined || response.splitPlot?.kind === "not fitted") return null;
  const { analysis } = response;
  if (trial.kind === "which of several") return <SeveralPicture trial={trial} analysis={analysis} />;
  return <SurfacePictures trial={trial} analysis={analysis} {...(best === undefined ? {} : { best })} />;
}

function ComparisonPictures({ trial, result }: { trial: BakingTrial; result: TrialAnswer }) {
  const measure = trial.sheet.measures[0]!;
  const names = [trial.cakes[0]?.name ?? "A", trial.cakes[1]?.name ?? "B"] as const;
  const { pairs, comparison, equivalence, aim } = result;
  const margin =
    comparison?.kind === "compared" && equivalence !== undefined ? marginPicture(comparison.difference, equivalence) : undefined;
  const showsMargin = margin !== undefined && (aim !== "better" || result.answer.verdict === "same");
  return (
    <>
      {showsMargin ? (
        <Shown
          title={`How far ${names[1]} stands from ${names[0]}, beside what does not matter`}
          words={marginInWords(margin, measure.unit)}
          note="The dot is the difference that was seen, the bar where it may truly lie: nine times in ten, so that either end is passed once in twenty."
        >
          {(told) => (
            <MarginPicture
              {...told}
              margin={margin}
              unit={measure.unit}
              less={measure.less ?? "less"}
              more={measure.more ?? "more"}
            />
          )}
        </Shown>
      ) : null}
      {pairs === undefined || pairs.length === 0 ? null : (
        <Shown
          title={`${capital(measure.name)} of ${names[0]} and ${names[1]}, pair by pair`}
          words={pairsInWords({ names, pairs }, measure.unit)}
          note={`A line for each ${trial.pairing === "shelves" ? "oven load" : "day"}: ${measure.name}, ${measure.unit}.`}
        >
          {(told) => <PairedPicture {...told} names={names} pairs={pairs} unit={measure.unit} />}
        </Shown>
      )}
    </>
  );
}

function SeveralPicture({ trial, analysis }: { trial: BakingTrial; analysis: Analysis }) {
  const measure = trial.sheet.measures[0]!;
  const [line] = effectLines(analysis);
  const groups = (line?.points ?? []).flatMap(({ at, estimate, from, to }) =>
    from === undefined || to === undefined ? [] : [{ name: String(at), mean: estimate, from, to }],
  );
  return (
    <Shown
      title={`Mean ${measure.name} of each cake`}
      words={meansInWords(groups, measure.unit)}
      note="The bar is where the mean may lie. Bars that overlap may still belong to cakes that differ: the sentence above compares them rightly."
    >
      {(told) => <MeansPicture {...told} groups={groups} unit={measure.unit} />}
    </Shown>
  );
}

const isShare = (factor: Factor): factor is ShareFactor => factor.kind === "share";

function SurfacePictures({ trial, analysis, best }: { trial: BakingTrial; analysis: Analysis; best?: readonly number[] }) {
  const measure = trial.sheet.measures[0]!;
  const { factors } = trial.sheet;
  const amounts = factors.filter(({ kind }) => kind === "amount").map(({ name }) => name);
  const shares = factors.filter(isShare);
  const held = useMemo(() => best ?? centreOf(factors), [best, factors]);
  const [x, y] = amounts;
  const stands = best === undefined ? "in the middle" : "at its best";
  return (
    <>
      {shares.length >= 3 ? <BlendMap trial={trial} analysis={analysis} held={held} stands={stands} best={best} /> : null}
      {x !== undefined && y !== undefined ? (
        <AmountMap
          analysis={analysis}
          names={[x, y]}
          held={held}
          best={best}
          factors={factors}
          measure={measure}
          rest={factors.length > 2 ? `; the rest stands ${stands}` : ""}
        />
      ) : null}
      {noticedPairs(analysis)
        .slice(0, 2)
        .map(([first, by]) => (
          <Interaction key={`${first} ${by}`} analysis={analysis} x={first} by={by} measure={measure} />
        ))}
      <Effects trial={trial} analysis={analysis} />
    </>
  );
}

type Named = BakingTrial["sheet"]["measures"][number];

function BlendMap({
  trial,
  analysis,
  held,
  stands,
  best,
}: {
  trial: BakingTrial;
  analysis: Analysis;
  held: readonly number[];
  stands: string;
  best: readonly number[] | undefined;
}) {
  const measure = trial.sheet.measures[0]!;
  const { factors } = trial.sheet;
  const { rules } = trial;
  const shares = useMemo(() => factors.filter(isShare), [factors]);
  const map = useMemo(() => {
    const [a, b, c] = shares.map(({ name }) => name) as [string, string, string];
    const region = { lower: shares.map(({ lower }) => lower), upper: shares.map(({ upper }) => upper), rules: rules ?? [] };
    return ternaryMap(analysis, [a, b, c], held, region, 44);
  }, [analysis, held, shares, rules]);
  const at = best === undefined ? undefined : factors.flatMap((factor, index) => (isShare(factor) ? [best[index]!] : []));
  return (
    <Shown
      title={`Predicted ${measure.name} over the blend`}
      words={ternaryInWords(map, measure.unit)}
      note={`The share of an ingredient is largest at its corner and least along the side across from it. Rings are bakes${at === undefined ? "" : ", the cross is the best"}, grey was not explored${shares.length > 3 ? `; the other shares stand ${stands}` : ""}.`}
    >
      {(told) => <TernaryPicture {...told} map={map} unit={measure.unit} best={at?.slice(0, 3)} />}
    </Shown>
  );
}

function AmountMap({
  analysis,
  names: [x, y],
  held,
  best,
  factors,
  measure,
  rest,
}: {
  analysis: Analysis;
  names: readonly [string, string];
  held: readonly number[];
  best: readonly number[] | undefined;
  factors: readonly Factor[];
  measure: Named;
  rest: string;
}) {
  const map = useMemo(() => contourMap(analysis, x, y, held, 48), [analysis, x, y, held]);
  const place = (name: string) => factors.findIndex((factor) => factor.name === name);
  return (
    <Shown
      title={`Predicted ${measure.name} over ${x} and ${y}`}
      words={contourInWords(map, measure.unit)}
      note={`Rings are bakes${best === undefined ? "" : ", the cross is the best"}${rest}.`}
    >
      {(told) => (
        <ContourPicture
          {...told}
          map={map}
          unit={measure.unit}
          best={best === undefined ? undefined : { x: best[place(x)]!, y: best[place(y)]! }}
        />
      )}
    </Shown>
  );
}

export function Interaction({ analysis, x, by, measure }: { analysis: Analysis; x: string; by: string; measure: Named }) {
  const lines = useMemo(() => interactionLines(analysis, x, by), [analysis, x, by]);
  return (
    <Shown title={`How ${x} works depends on ${by}`} words={interactionInWords(lines, measure.unit)}>
      {(told) => <InteractionPicture {...told} lines={lines} unit={measure.unit} />}
    </Shown>
  );
}

function Effects({ trial, analysis }: { trial: BakingTrial; analysis: Analysis }) {
  const measure = trial.sheet.measures[0]!;
  const lines = useMemo(() => effectLines(analysis), [analysis]);
  const baked = lines.map(({ factor }) => ({
    factor,
    points: trial.sheet.runs.flatMap((run) => {
      const value = run.measured[measure.name];
      const at = run.setting[factor];
      return run.state === "baked" && typeof value === "number" && at !== undefined ? [{ at, value }] : [];
    }),
  }));
  const blend = lines.some(({ unit }) => unit === "share");
  return (
    <Shown
      title={`How ${measure.name} moves with each thing that was changed`}
      words={lines.map((line) => effectInWords(line, measure.unit)).join(" ")}
      note={`${capital(measure.name)}, ${measure.unit}: the line is the mean with the others ${blend ? "in proportion" : "in the middle"}, the dark band where the mean may lie, the light band where one bake would; rings are all bakes, whatever the others were.`}
    >
      {(told) => <EffectsPicture {...told} lines={lines} baked={baked} unit={measure.unit} />}
    </Shown>
  );
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
