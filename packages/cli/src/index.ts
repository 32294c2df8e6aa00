export { type ExitStatus, FileProblem, type Io, processIo } from "./io.js";
export { run, VERSION } from "./run.js";
