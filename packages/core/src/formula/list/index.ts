export type { ListChoice, ListLine, ListLineKind, ListLineStatus } from "./listLine.js";
export { type ListOutline, type ListReading, type ReadListOptions, readList } from "./readList.js";
export { type Settling, settleLine } from "./settleLine.js";
