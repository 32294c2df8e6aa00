export {
  type Analysis,
  type AnalysisInput,
  type AnalysisRun,
  type AnovaRow,
  analyse,
  BLOCK,
  type Coefficient,
  type LackOfFit,
  type Prediction,
  predictAt,
  type ResidualRow,
  type RSquared,
  settingValues,
  type TermTest,
} from "./analyse.js";
export { answerTrial, bestOfTrial, type TrialAnswer, type TrialBest, wishesOf } from "./answerTrial.js";
export { type BestPoint, bestPoint, highest, type SearchOptions, type SearchSpace, toAllowed } from "./bestPoint.js";
export {
  type Binding,
  formulaOfRun,
  type Hold,
  type Judge,
  type RunFormula,
  type RunFormulaOptions,
  type Settle,
} from "./binding.js";
export { axialBlends, type Blend, fromPseudoComponents, simplexCentroid, simplexLattice } from "./blendDesigns.js";
export {
  type BlendRegion,
  type BlendRule,
  candidateBlends,
  impliedLimits,
  isAllowed,
  type RegionPoints,
  regionPoints,
} from "./blendRegion.js";
export {
  bakesForDifference,
  type Comparison,
  compareGroups,
  comparePaired,
  compareSwapped,
  compareWelch,
  type Difference,
  dunnett,
  type Equivalence,
  type GroupDifference,
  type GroupMeans,
  noticeableDifference,
  powerOfComparison,
  type SampleSize,
  testEquivalence,
  tukey,
} from "./compare.js";
export {
  type ConfirmationOf,
  type ConfirmationReading,
  type ConfirmedMeasure,
  confirmationSheet,
  type Expectation,
  expectBakes,
  MOST_CONFIRMATIONS,
  readConfirmation,
  settingBeside,
} from "./confirmation.js";
export { compareLevels, contrast } from "./contrasts.js";
export { CSV_LIMITS, readCsv, type Table, writeCsv } from "./csv.js";
export { type DesignOffer, offeredDesigns, usualModel } from "./designOffers.js";
export type { FractionWords, SearchProgress } from "./designPoints.js";
export { type DesignQuality, designQuality, predictionVariance, type QualityQuestion } from "./designQuality.js";
export { type BlendSearch, type RefineAim, type RefinedDesign, refineDesign, regionOf, searchBlends } from "./designRefine.js";
export {
  assignBlocks,
  type BlockedDesign,
  type Criterion,
  type DesignSearch,
  type FoundDesign,
  findDesign,
  searchDesign,
} from "./designSearch.js";
export { DESIGN_NAMES, type DesignName, type DesignWords, makeDesign, type NamedDesign } from "./designWords.js";
export { checkGoal, desirability, type Goal, overallDesirability, shortfall } from "./desirability.js";
export {
  analyseDiscrimination,
  analysePreference,
  DISCRIMINATION_METHODS,
  type Discrimination,
  type DiscriminationMethod,
  dPrimeOf,
  exactShareInterval,
  guessingChance,
  maximumCorrectForSimilarity,
  minimumAgreeing,
  minimumCorrect,
  type Preference,
  powerOfDiscrimination,
  powerOfSimilarity,
  shareRight,
  shareRightSlope,
  type TasterCount,
  tastersForDiscrimination,
  tastersForPreference,
  tastersForScores,
} from "./discrimination.js";
export {
  betaQuantile,
  binomialAtLeast,
  binomialAtMost,
  chiSquareQuantile,
  chiSquareUpper,
  dunnettQuantile,
  dunnettUpper,
  fQuantile,
  fUpper,
  noncentralFUpper,
  noncentralTUpper,
  normalDensity,
  normalLower,
  normalQuantile,
  normalUpper,
  studentisedRangeQuantile,
  studentisedRangeUpper,
  tQuantile,
  tTwoSided,
  tUpper,
} from "./distributions.js";
export { farRuns, noticedPairs, type Standing, sayEffects, standings, standingWords } from "./effectWords.js";
export {
  COMPARISON_AIMS,
  type ComparisonAim,
  harmlessLimits,
  type MarginPicture,
  marginPicture,
  sayEquivalence,
} from "./equivalenceWords.js";
export {
  aliasGroups,
  bestFraction,
  type CodedDesign,
  crossed,
  type Fraction,
  fractionalFactorial,
  twoLevelFactorial,
  type Word,
  wordNames,
} from "./factorial.js";
export {
  type AmountFactor,
  type Cell,
  type ChoiceFactor,
  checkFactors,
  type DataRow,
  type Factor,
  fromCoded,
  type Setting,
  type ShareFactor,
  toCoded,
} from "./factors.js";
export { type BakeJudging, formulaDoubts, type JudgedBakes, judgeBakes } from "./formulaDoubts.js";
export { type GoalWords, goalsFromWords, usualGoal } from "./goals.js";
export { analyseLiking, type Liking, type MarkRows, whyNoLiking } from "./liking.js";
export { mixedContrast, predictMixed } from "./mixed.js";
export {
  buildModel,
  type Column,
  type LevelCoding,
  MODEL_NAMES,
  type Model,
  type ModelName,
  type ModelOptions,
  type ModelWords,
  modelColumns,
  modelRow,
  PROCESS_MODEL_NAMES,
  type ProcessModelName,
  type Term,
  termsOf,
} from "./model.js";
export {
  contourInWords,
  effectInWords,
  interactionInWords,
  marginInWords,
  meansInWords,
  pairsInWords,
  residualsInWords,
  ternaryInWords,
} from "./pictureWords.js";
export {
  type ContourMap,
  centreOf,
  contourMap,
  type EffectLine,
  effectLines,
  type InteractionLines,
  interactionLines,
  type PairedDots,
  type ResidualPicture,
  residualPicture,
  type TernaryMap,
  ternaryMap,
  ternaryPlace,
} from "./plots.js";
export {
  type DesignPick,
  type PlannedDesign,
  planTrial,
  planTrialSteps,
  type Question,
  type TrialPlan,
} from "./question.js";
export { type DesignRequest, readDesignWords, readQuestion } from "./questionWords.js";
export { createRandom, type Random } from "./random.js";
export { pageTest, type Ranking, rankingTest, ranksOfScores } from "./ranking.js";
export { type ResponseReading, readTrial, type TrialReading } from "./readTrial.js";
export { dayCounts, type OrderOptions, type PlacedRun, runOrder, splitPlotRuns } from "./runOrder.js";
export { bakesForSameness, powerOfSameness, type SamenessQuestion } from "./sameness.js";
export {
  ALLERGEN_CAUTION,
  countAnswers,
  planTasting,
  type Sample,
  type TasterAnswer,
  type TasterSheet,
  type TastingCount,
  type TastingMethod,
  type TastingPlan,
  type TastingReadingWords,
  type TastingWords,
  williamsOrders,
} from "./serving.js";
export { type SettleWords, settleByRebalancing, settledComponents, settledWords } from "./settle.js";
export {
  addMeasure,
  type Measure,
  meanOfFigures,
  newRunSheet,
  type RunSheet,
  type RunState,
  readRunSheet,
  recordRun,
  type SheetRun,
  type Spread,
  sheetRows,
  spreadOfRepeats,
  USUAL_MEASURES,
  writeRunSheet,
} from "./sheet.js";
export { mayGo, type Simplified, type SimplifyStep, simplify } from "./simplify.js";
export {
  fitSplitPlot,
  type Grouping,
  type SplitPlotCoefficient,
  type SplitPlotFit,
  type SplitPlotInput,
  type SplitPlotOutcome,
  type SplitPlotTerm,
} from "./splitPlot.js";
export { settableAs, settingOfFormula } from "./standardSetting.js";
export { type StationaryPoint, stationaryPoint } from "./surface.js";
export { boxBehnken, type CompositeOptions, centralComposite, type SurfaceRun } from "./surfaceDesigns.js";
export { answerTasting, type TastingAnswer, type TastingResult } from "./tastingAnswer.js";
export {
  type LikingQuestion,
  likingNoticed,
  powerOfLiking,
  powerOfPreference,
  powerOfRanking,
  type RankingQuestion,
  rankingNoticed,
  tastersForLiking,
  tastersForRanking,
  tastersForSimilarity,
} from "./tastingPower.js";
export type { TastingQuestion } from "./tastingQuestion.js";
export { answerWords, readAnswers, writeAnswers } from "./tastingSheet.js";
export { sayMean } from "./tastingWords.js";
export { termName } from "./terms.js";
export { type BoxCox, boxCox, TRANSFORMS, type Transform, transformed, untransformed } from "./transform.js";
export {
  evidenceNote,
  readTrialFile,
  TRIAL_SHAPE,
  type TrialFile,
  trialFileOf,
  trialFileOfDesign,
} from "./trialFile.js";
export {
  type FactorWords,
  factorsFromData,
  type ResponseWords,
  readTrialModel,
  type TrialModel,
  termsFromWords,
} from "./trialModel.js";
export {
  type Answer,
  chanceWords,
  figure,
  type PairWords,
  sayBest,
  sayComparison,
  sayDiscrimination,
  sayGroups,
  sayPrediction,
  sayPreference,
  sayRanking,
} from "./words.js";
export { SIMPLIFY_ABOVE, type TrialWorking, workingOfTrial } from "./working.js";
