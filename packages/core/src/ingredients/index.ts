export * from "./ingredient.js";
