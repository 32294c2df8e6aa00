import { useState } from "react";
import { readSmall, removeSmall, writeSmall } from "./storage.js";

/**
 * Text of a dialogue that outlives a reload: it is written down at each keystroke.
 *
 * @param name  what the text is about; "" keeps nothing
 * @returns  the text, how it changes, and how it is forgotten once it was entered or given up
 */
export function useKeptText(name: string, initial: string): [string, (text: string) => void, () => void] {
  const [text, setText] = useState(() => readSmall<string>(`text.${name}`) ?? initial);
  return [
    text,
    (next) => {
      setText(next);
      writeSmall(`text.${name}`, next);
    },
    () => removeSmall(`text.${name}`),
  ];
}
