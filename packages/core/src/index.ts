// The whole library, a namespace a folder. Programs that load in a browser import "@evencrumb/core/<folder>" instead.
export * as bake from "./bake/index.js";
export * as composition from "./composition/index.js";
export * as formula from "./formula/index.js";
export * as ingredients from "./ingredients/index.js";
export * as keeping from "./keeping/index.js";
export * as label from "./label/index.js";
export * as plan from "./plan/index.js";
export * as price from "./price/index.js";
export * as quantities from "./quantities/index.js";
export * as rebalance from "./rebalance/index.js";
export * as tins from "./tins/index.js";
export * as trials from "./trials/index.js";
export * as writeup from "./writeup/index.js";
