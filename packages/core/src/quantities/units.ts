declare const unit: unique symbol;
/** A number that carries its unit in its type. At run time it is a plain number. */
export type Quantity<Unit extends string> = number & { readonly [unit]: Unit };
export type Grams = Quantity<"g">;
export type Millilitres = Quantity<"mL">;
export type Metres = Quantity<"m">;
export type Celsius = Quantity<"°C">;
export type Kelvin = Quantity<"K">;
export type Pascals = Quantity<"Pa">;
export type Seconds = Quantity<"s">;
export type Joules = Quantity<"J">;

// Casts live in this file and nowhere else.
export const grams = (value: number) => value as Grams;
export const millilitres = (value: number) => value as Millilitres;
export const metres = (value: number) => value as Metres;
export const celsius = (value: number) => value as Celsius;
export const kelvin = (value: number) => value as Kelvin;
export const pascals = (value: number) => value as Pascals;
export const seconds = (value: number) => value as Seconds;
export const joules = (value: number) => value as Joules;

/** Kelvin from degrees Celsius (exact by definition of the Celsius scale). */
export const toKelvin = (temperature: Celsius): Kelvin => kelvin(temperature + 273.15);
/** Degrees Celsius from kelvin (exact by definition of the Celsius scale). */
export const toCelsius = (temperature: Kelvin): Celsius => celsius(temperature - 273.15);
