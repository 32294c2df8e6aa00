export * from "./composition/index.js";
export * from "./formula/index.js";
export * from "./ingredients/index.js";
export * from "./quantities/index.js";
