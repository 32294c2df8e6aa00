import { useState } from "react";
import { readSmall, writeSmall } from "./storage.js";

/** A small value that this device remembers under a key. */
export function useKept<Value>(key: string, first: Value): readonly [Value, (next: Value) => void] {
  const [value, setValue] = useState<Value>(() => {
    const kept = readSmall<Value>(key);
    // What an earlier version kept may lack what came since.
    return kept === undefined ? first : typeof first === "object" && first !== null ? { ...first, ...kept } : kept;
  });
  return [
    value,
    (next) => {
      setValue(next);
      writeSmall(key, next);
    },
  ];
}
