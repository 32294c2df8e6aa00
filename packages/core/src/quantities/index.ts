export * from "./result.js";
export * from "./units.js";
