import { useEffect, useRef, useState } from "react";
import type { Jobs, WorkBridge } from "./bridge.js";

export type JobState<Answer, Progress> =
  | { readonly state: "idle" }
  | {
      readonly state: "working";
      readonly progress: Progress | null;
      /** Ends it at once, without an answer. */
      readonly stop: () => void;
      /** Asks for the best answer so far. */
      readonly finish: () => void;
    }
  | {
      readonly state: "ready";
      readonly answer: Answer;
      /** False from the moment the request changed until its own answer is there: to be looked at, and not to be used. */
      readonly fresh: boolean;
      readonly again: () => void;
    }
  | { readonly state: "stopped"; readonly again: () => void };

/**
 * Runs one job whenever its request changes, a moment after the last change; an older run is stopped.
 *
 * @param request  null while there is nothing to ask; compared as JSON
 */
export function useJob<Table extends Jobs<Table>, Name extends keyof Table & string>(
  bridge: WorkBridge<Table>,
  name: Name,
  request: Table[Name]["request"] | null,
  quietMs = 250,
): JobState<Table[Name]["answer"], Table[Name]["progress"]> {
  const [state, setState] = useState<JobState<Table[Name]["answer"], Table[Name]["progress"]>>({ state: "idle" });
  const [turn, setTurn] = useState(0);
  const [answeredKey, setAnsweredKey] = useState("");
  const key = JSON.stringify(request);
  const asked = useRef(request);
  asked.current = request;
  useEffect(() => {
    const now = asked.current;
    if (now === null || key === "null") return setState({ state: "idle" });
    let running: { stop(): void } | undefined;
    let wanted = true;
    const timer = setTimeout(
      () => {
        const job = bridge.run(name, now, (progress) => {
          if (wanted) setState({ state: "working", progress, stop: job.stop, finish: job.finish });
        });
        running = job;
        setState({ state: "working", progress: null, stop: job.stop, finish: job.finish });
        job.outcome.then(
          (outcome) => {
            if (!wanted) return;
            const again = () => setTurn((last) => last + 1);
            if (outcome.ended === "done") {
              setAnsweredKey(key);
              setState({ state: "ready", answer: outcome.answer, fresh: true, again });
            } else setState({ state: "stopped", again });
          },
          (error: unknown) =>
            setState(() => {
              throw error; // our own mistake: the page's own words for one
            }),
        );
      },
      turn === 0 ? quietMs : 0,
    );
    return () => {
      wanted = false;
      clearTimeout(timer);
      running?.stop();
    };
  }, [bridge, name, key, turn, quietMs]);
  return state.state === "ready" && answeredKey !== key ? { ...state, fresh: false } : state;
}
