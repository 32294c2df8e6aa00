export * from "./composition.js";
