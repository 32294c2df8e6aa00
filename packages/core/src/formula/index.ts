export * from "./formula.js";
