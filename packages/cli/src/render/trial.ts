import type {
  Analysis,
  AnovaRow,
  DesignQuality,
  Discrimination,
  NamedDesign,
  ResponseReading,
  RunSheet,
  TastingPlan,
  TrialPlan,
  TrialReading,
} from "@evencrumb/core/trials";
import { sayComparison, sayPrediction } from "@evencrumb/core/trials";
import { tableText, wrapped } from "./table.js";

/**
 * Answers of `trial` and `taste` as JSON in full precision, so that another statistics program can be compared with them. A figure
 * that cannot be given is null.
 */
export function exactJsonText(shape: string, answer: Readonly<Record<string, unknown>>): string {
  return JSON.stringify(
    { shape: `evencrumb.${shape}/1`, ...answer },
    (_key, value: unknown) => (typeof value === "number" && !Number.isFinite(value) ? null : value),
    2,
  );
}

const anovaRow = (row: AnovaRow) => ({
  source: row.source,
  df: row.df,
  sumOfSquares: row.sumOfSquares,
  meanSquare: row.meanSquare ?? null,
  f: row.f ?? null,
  p: row.p ?? null,
});

/** `trial read --json`: coefficients, analysis of variance, R², PRESS, residuals and predictions, response by response. */
export function readingAsJson(reading: TrialReading): Readonly<Record<string, unknown>> {
  return {
    factors: reading.factors,
    terms: reading.terms.map((term) => [...term]),
    responses: reading.responses.map((response) => ({
      name: response.name,
      unit: response.unit ?? null,
      rows: response.usedRows.map((row) => row + 1),
      ...analysisAsJson(response.analysis),
      ...(response.simplified === undefined
        ? {}
        : { simplified: { leftOut: response.simplified.steps, ...analysisAsJson(response.simplified.analysis) } }),
      ...(response.splitPlot === undefined ? {} : { splitPlot: splitPlotAsJson(response.splitPlot) }),
      predictions: response.predictions.map(({ at, prediction }) => ({ at, ...prediction })),
      comparisons: response.comparisons,
      ...(response.twoLevels === undefined ? {} : { twoLevels: response.twoLevels }),
    })),
    ...(reading.best === undefined ? {} : { best: reading.best }),
  };
}

/** Without what predictions are worked out from. */
function splitPlotAsJson(outcome: NonNullable<ResponseReading["splitPlot"]>) {
  if (outcome.kind === "not fitted") return outcome;
  const { behind: _behind, ...shown } = outcome;
  return shown;
}

function analysisAsJson(fit: Analysis): Readonly<Record<string, unknown>> {
  return {
    transform: fit.transform,
    confidence: fit.confidence,
    runCount: fit.runCount,
    mean: fit.mean,
    coding: { amounts: fit.model.coded ? "-1 to +1 over the range" : "as given", levels: fit.model.coding },
    coefficients: fit.coefficients.map(({ name, estimate, standardError, t, p, from, to }) => ({
      name,
      estimate,
      standardError: standardError ?? null,
      t: t ?? null,
      p: p ?? null,
      from: from ?? null,
      to: to ?? null,
    })),
    aliased: fit.aliased,
    residualDf: fit.residualDf,
    residualSd: fit.residualSd ?? null,
    anova: {
      model: anovaRow(fit.anova.model),
      residual: anovaRow(fit.anova.residual),
      total: anovaRow(fit.anova.total),
      groups: fit.groups.map(anovaRow),
      sequential: fit.sequential.map(anovaRow),
      partial: fit.partial.map((row) => ({ ...anovaRow(row), meaningful: row.meaningful })),
      lackOfFit: fit.lackOfFit === undefined ? null : anovaRow(fit.lackOfFit.lackOfFit),
      pureError: fit.lackOfFit === undefined ? null : anovaRow(fit.lackOfFit.pureError),
    },
    rSquared: {
      plain: fit.rSquared.plain,
      adjusted: fit.rSquared.adjusted ?? null,
      predicted: fit.rSquared.predicted ?? null,
      basis: fit.rSquared.basis,
    },
    press: fit.press ?? null,
    logDetInformation: fit.logDetInformation,
    boxCox: fit.boxCox ?? null,
    residuals: fit.residuals.map((row) => ({
      row: row.runIndex + 1,
      observed: row.observed,
      fitted: row.fitted,
      residual: row.residual,
      leverage: row.leverage,
      standardised: row.standardised ?? null,
      studentised: row.studentised ?? null,
      cooksDistance: row.cooksDistance ?? null,
    })),
  };
}

/** One response as text: what moves it first, the tables behind it after. */
export function responseAsText(response: ResponseReading): string {
  const fit = response.simplified?.analysis ?? response.analysis;
  const unit = response.unit === undefined ? "" : ` [${response.unit}]`;
  const coefficients = tableText(
    [
      { heading: "", align: "left" },
      { heading: "estimate", align: "decimal" },
      { heading: "error", align: "decimal" },
      { heading: "from", align: "decimal" },
      { heading: "to", align: "decimal" },
    ],
    fit.coefficients.map(({ name, estimate, standardError, from, to }) => [
      name,
      six(estimate),
      six(standardError),
      six(from),
      six(to),
    ]),
  );
  const rows = [
    ...fit.groups,
    fit.anova.residual,
    ...(fit.lackOfFit === undefined ? [] : [fit.lackOfFit.lackOfFit, fit.lackOfFit.pureError]),
    fit.anova.total,
  ];
  const anova = tableText(
    [
      { heading: "", align: "left" },
      { heading: "df", align: "decimal" },
      { heading: "sum of squares", align: "decimal" },
      { heading: "F", align: "decimal" },
      { heading: "p", align: "decimal" },
    ],
    rows.map(({ source, df, sumOfSquares, f, p }) => [source, String(df), six(sumOfSquares), six(f), six(p)]),
  );
  const { plain, adjusted, predicted, basis } = fit.rSquared;
  const lines = [
    `${response.name}${unit}: ${fit.runCount} runs`,
    "",
    coefficients,
    "",
    anova,
    "",
    `R² ${six(plain)}, adjusted ${six(adjusted)}, predicted ${six(predicted)} (${basis}); PRESS ${six(fit.press)}; spread of one run ${six(fit.residualSd)}`,
  ];
  if ((fit.lackOfFit?.lackOfFit.p ?? 1) < 0.05) {
    lines.push("The model misses something that the repeats show: try a larger one before you trust it.");
  }
  if (fit.aliased.length > 0) lines.push(`Cannot be told apart from others: ${fit.aliased.join(", ")}.`);
  if (response.simplified !== undefined && response.simplified.steps.length > 0) {
    lines.push(
      `Left out, because they could not be noticed: ${response.simplified.steps.map(({ name }) => name).join(", ")}. What stays was chosen by the same data: its intervals keep the error of the full model and still hold a little less often than they say. Predictions come from the full model.`,
    );
  }
  if (fit.boxCox !== undefined && fit.boxCox.advice !== "none")
    lines.push(`The spread grows with the value: try transform "${fit.boxCox.advice}".`);
  const { splitPlot } = response;
  if (splitPlot?.kind === "not fitted") lines.push(`Sources of variation could not be told apart: ${splitPlot.why}.`);
  if (splitPlot?.kind === "fitted") {
    lines.push("", "With what runs share as sources of variation (REML):");
    lines.push(
      tableText(
        [
          { heading: "", align: "left" },
          { heading: "estimate", align: "decimal" },
          { heading: "error", align: "decimal" },
          { heading: "df", align: "decimal" },
          { heading: "p", align: "decimal" },
        ],
        splitPlot.coefficients.map(({ name, estimate, standardError, df, p }) => [
          name,
          six(estimate),
          six(standardError),
          df.toFixed(1),
          six(p),
        ]),
      ),
    );
    for (const { name, sd, groupCount } of splitPlot.components)
      lines.push(`${name}: standard deviation ${six(sd)} (${groupCount})`);
    lines.push(`run: standard deviation ${six(Math.sqrt(splitPlot.residualVariance))}`);
  }
  for (const { factor, method, differences } of response.comparisons) {
    lines.push("", `${factor}, all comparisons together (${method}):`);
    lines.push(
      tableText(
        [
          { heading: "", align: "left" },
          { heading: "difference", align: "decimal" },
          { heading: "from", align: "decimal" },
          { heading: "to", align: "decimal" },
          { heading: "p", align: "decimal" },
        ],
        differences.map(({ first, second, estimate, from, to, p }) => [
          `${second} less ${first}`,
          six(estimate),
          six(from),
          six(to),
          six(p),
        ]),
      ),
    );
  }
  if (response.twoLevels !== undefined) {
    const { first, second, comparison, equivalence } = response.twoLevels;
    const measure = {
      name: response.name,
      unit: response.unit ?? "",
      more: `higher in ${response.name}`,
      less: `lower in ${response.name}`,
    };
    const answer = sayComparison(comparison, { first, second, measure }, equivalence);
    lines.push("", answer.sentence, answer.certainty);
  }
  for (const { at, prediction } of response.predictions) {
    lines.push(
      `At ${Object.entries(at)
        .map(([name, value]) => `${name} ${value}`)
        .join(", ")}: ${sayPrediction(prediction, response.unit ?? "")}.`,
    );
  }
  return lines.join("\n");
}

const six = (value: number | undefined): string =>
  value === undefined || !Number.isFinite(value) ? "-" : String(Number(value.toPrecision(6)));

export function planAsText(plan: TrialPlan): string {
  const lines = [wrapped(plan.summary, 96), wrapped(plan.certainty, 96), wrapped(plan.ifNothingIsSeen, 96)];
  for (const caution of plan.cautions) lines.push(wrapped(`Mind: ${caution}`, 96));
  if (plan.design !== undefined && plan.quality !== undefined)
    lines.push("", plan.design.field, wrapped(qualityText(plan.quality), 96), ...fractionText(plan.design.fraction));
  if (plan.order.length > 0) lines.push("", orderText(plan.order, plan.settings));
  if (plan.tasting !== undefined) lines.push("", tastingAsText(plan.tasting));
  return lines.join("\n");
}

export function designAsText(name: string, design: NamedDesign): string {
  const { quality, fraction } = design;
  const lines = [
    `${name}: ${design.settings.length} runs for ${quality.termCount} terms (${design.model.name})`,
    qualityText(quality),
    ...fractionText(fraction),
  ];
  if (quality.aliased.length > 0) lines.push(`The model's ${quality.aliased.join(", ")} cannot be told apart from others.`);
  lines.push("", orderText(design.order, design.settings));
  return lines.join("\n");
}

/** A split plot has no G: its bakes do not all count alike. */
function qualityText(quality: DesignQuality): string {
  const g = Number.isFinite(quality.gEfficiencyPercent) ? `, G ${six(quality.gEfficiencyPercent)} %` : "";
  return `D ${six(quality.dEfficiencyPercent)} %${g}; variance of a predicted mean ${six(quality.averageVariance)} on average, ${six(quality.largestVariance)} at most`;
}

function fractionText(fraction: NamedDesign["fraction"]): readonly string[] {
  if (fraction === undefined) return [];
  return [
    `Resolution ${fraction.resolution === Number.POSITIVE_INFINITY ? "full" : fraction.resolution}.`,
    ...fraction.generators.map(({ factor, product }) => `${factor} is set by ${product.join(" × ")}.`),
    ...fraction.aliases.map((group) => `Cannot be told apart: ${group.join(" = ")}.`),
  ];
}

/** Runs in the order of baking; the batter only where bakes share one. */
function orderText(order: TrialPlan["order"], settings: TrialPlan["settings"]): string {
  const names = Object.keys(settings[0] ?? {});
  const batters = order.some(({ wholePlot }) => wholePlot !== undefined);
  const rows = order.map((run, index) => [
    String(index + 1),
    String(run.day + 1),
    String(run.load + 1),
    ...(batters ? [String((run.wholePlot ?? 0) + 1)] : []),
    ...names.map((name) => shownSetting(settings[run.runIndex]![name])),
  ]);
  return tableText(
    ["run", "day", "load", ...(batters ? ["batter"] : []), ...names].map((heading) => ({ heading, align: "left" as const })),
    rows,
  );
}

const shownSetting = (value: number | string | undefined): string =>
  typeof value === "number" ? String(Number(value.toPrecision(5))) : (value ?? "");

export function sheetAsText(sheet: RunSheet): string {
  const names = sheet.factors.map(({ name }) => name);
  const measures = sheet.measures.map(({ name, unit }) => `${name} [${unit}]`);
  const rows = sheet.runs.map((run) => [
    String(run.number),
    String(run.day + 1),
    String(run.load + 1),
    String(run.position + 1),
    ...names.map((name) => shownSetting(run.setting[name])),
    ...sheet.measures.map(({ name }) =>
      run.measured[name] === null || run.measured[name] === undefined ? "______" : String(run.measured[name]),
    ),
    run.state === "planned" ? "" : run.state,
    run.notes,
  ]);
  const headings = ["run", "day", "load", "place", ...names, ...measures, "", ""];
  const lines = [sheet.title];
  if (sheet.allergens.length > 0) lines.push(`Contains: ${sheet.allergens.join(", ")}.`);
  lines.push(
    `Order drawn with seed ${sheet.seed}. Bake in this order, write down everything that goes wrong.`,
    "",
    tableText(
      headings.map((heading) => ({ heading, align: "left" as const })),
      rows,
    ),
  );
  for (const { name, how } of sheet.measures) if (how !== undefined) lines.push(`${name}: ${how}`);
  return lines.join("\n");
}

/** The serving plan: allergens first, then each taster's samples. */
export function tastingAsText(plan: TastingPlan): string {
  const { allergens, mayContain, warnings, products, method } = plan.words;
  const lines = [
    allergens.length > 0
      ? `Contains: ${allergens.join(", ")}.`
      : "No allergens were stated. Check the labels of everything that went in before anybody tastes.",
    ...(mayContain !== undefined && mayContain.length > 0 ? [`May contain: ${mayContain.join(", ")}.`] : []),
    ...(warnings !== undefined && warnings.length > 0 ? [`Also tell them: ${warnings.join("; ")}.`] : []),
    "Show this to every taster before anything else. Whoever avoids any of it does not taste.",
    "",
    `${method}; portions: ${products.map((name, index) => `${plan.portions[index]} of ${name}`).join(", ")}.`,
  ];
  const rows = plan.sheets.map(({ taster, samples }) => [
    String(taster),
    samples.map(({ code }) => code).join("  "),
    samples.map(({ product }) => products[product]!).join(", "),
  ]);
  lines.push(
    tableText(
      [
        { heading: "taster", align: "left" },
        { heading: "codes, left to right", align: "left" },
        { heading: "for the kitchen only", align: "left" },
      ],
      rows,
    ),
  );
  return lines.join("\n");
}

export function discriminationAsText(result: Discrimination): string {
  const share = (value: number) => `${(100 * value).toFixed(1)} %`;
  const { shareRight, shareTelling, dPrime } = result;
  return [
    `right answers ${share(shareRight.estimate)} (${share(shareRight.from)} to ${share(shareRight.to)}), people who notice ${share(shareTelling.estimate)} (${share(shareTelling.from)} to ${share(shareTelling.to)})`,
    `d' ${six(dPrime.estimate)} (${six(dPrime.from)} to ${dPrime.to === Number.POSITIVE_INFINITY ? "no limit" : six(dPrime.to)}); exact p by guessing ${six(result.p)}`,
  ].join("\n");
}
