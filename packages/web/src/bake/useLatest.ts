import { useEffect, useRef, useState } from "react";
import type { Jobs, WorkBridge } from "../work/bridge.js";

/**
 * The answer to the newest question. While one is worked on, only the newest of those that follow is remembered, so that
 * dragging never makes a queue; nothing is stopped, because starting a worker again takes longer than a coarse bake.
 *
 * @param request  null while there is nothing to ask; compared as JSON
 * @returns the last answer, and whether it is the answer to `request`; null before the first
 */
export function useLatest<Table extends Jobs<Table>, Name extends keyof Table & string>(
  bridge: WorkBridge<Table>,
  name: Name,
  request: Table[Name]["request"] | null,
): { readonly answer: Table[Name]["answer"]; readonly settled: boolean } | null {
  const key = JSON.stringify(request);
  const [last, setLast] = useState<{ readonly key: string; readonly answer: Table[Name]["answer"] } | null>(null);
  const asked = useRef({ key, request });
  asked.current = { key, request };
  const state = useRef({ busy: false, mounted: true, worked: "" });
  useEffect(() => {
    const now = state.current;
    now.mounted = true;
    return () => {
      now.mounted = false;
    };
  }, []);
  useEffect(() => {
    const now = state.current;
    const work = () => {
      const question = asked.current;
      if (now.busy || !now.mounted || question.request === null || question.key === now.worked) return;
      now.busy = true;
      now.worked = question.key;
      bridge.run(name, question.request).outcome.then(
        (outcome) => {
          now.busy = false;
          if (!now.mounted) return;
          if (outcome.ended === "done") setLast({ key: question.key, answer: outcome.answer });
          work();
        },
        (error: unknown) => {
          now.busy = false;
          if (now.mounted)
            setLast(() => {
              throw error; // our own mistake: the page's own words for one
            });
        },
      );
    };
    if (key !== "null") work();
  }, [bridge, name, key]);
  return last === null || request === null ? null : { answer: last.answer, settled: last.key === key };
}
