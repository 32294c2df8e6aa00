export {
  GRAMS_IN,
  gramsFrom,
  gramsOfMillilitres,
  gramsTo,
  type LengthUnit,
  type MassUnit,
  METRES_IN,
  MILLILITRES_IN,
  metresFrom,
  metresTo,
  millilitresFrom,
  millilitresOfGrams,
  millilitresTo,
  type VolumeUnit,
} from "./convert.js";
export {
  type EggGrade,
  type EggParts,
  type EggScheme,
  EU_EGG_LIMITS,
  type EuEggGrade,
  eggParts,
  type UsEggGrade,
} from "./eggs.js";
export { FieldReader, quoted } from "./fieldReader.js";
export {
  formatEnergy,
  formatGrams,
  formatLength,
  formatMillilitres,
  formatMinutes,
  formatPercent,
  formatTemperature,
  type GramsFormat,
  type TemperatureScale,
} from "./format.js";
export {
  formatFraction,
  type HouseholdAmount,
  type HouseholdMeasure,
  type HouseholdPart,
  householdAmount,
  householdMillilitres,
  householdSource,
  type MeasureSystem,
} from "./householdMeasures.js";
export { MOST_GRAMS, type ParseQuantityOptions, parseQuantity, readGrams, type TypedQuantity } from "./parseQuantity.js";
export type { Band, Figure, Problem, ProblemCode, Reading, Result, TextPosition } from "./result.js";
export { DEFAULT_WEIGHING, type RoundedParts, roundParts, roundWeighable, type WeighingSettings } from "./rounding.js";
export {
  celsiusFromFahrenheit,
  celsiusFromGasMark,
  conventionalFromFan,
  FAN_OFFSET_C,
  fahrenheitFromCelsius,
  fahrenheitFromGasMark,
  fanFromConventional,
  formatGasMark,
  GAS_MARKS,
  type GasMark,
  gasMarkFromCelsius,
} from "./temperature.js";
export {
  type Celsius,
  celsius,
  type Grams,
  grams,
  type Joules,
  joules,
  type Kelvin,
  kelvin,
  type Metres,
  type Millilitres,
  metres,
  millilitres,
  type Pascals,
  pascals,
  type Quantity,
  type Seconds,
  seconds,
  toCelsius,
  toKelvin,
} from "./units.js";
