export { type BakeCase, type ProbePlace, readBakeCase, type SurfaceCondition, type VapourInput } from "./caseInput.js";
export { type CaseAnswer, type CaseOptions, solveCase } from "./solveCase.js";
