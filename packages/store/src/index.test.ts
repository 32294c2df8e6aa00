import { expect, it } from "vitest";
import * as api from "./index.js";

it("exports what was decided, and nothing by accident", () => {
  expect(Object.keys(api).sort()).toEqual([
    "BODY_BYTES_MAX",
    "BODY_DEPTH_MAX",
    "DEVICE_LENGTH_MAX",
    "EMBEDDED_FILE",
    "NOTE_LENGTH_MAX",
    "REFUSAL_CODES",
    "SCHEMA_VERSION",
    "StorageError",
    "openStore",
    "writeBackupFile",
  ]);
});
