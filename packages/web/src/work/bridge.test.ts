import { expect, it } from "vitest";
import { type FinishMessage, type JobMessage, WorkBridge, type WorkerLike, type WorkMessage } from "./bridge.js";
import { serveJobs } from "./serve.js";

interface Table {
  readonly count: { readonly request: number; readonly progress: number; readonly answer: string };
  readonly search: { readonly request: number; readonly progress: number; readonly answer: number };
}

/** A worker in this thread: messages arrive a turn later, as they do from a real one. */
function makeWorkers() {
  const ended: boolean[] = [];
  const release: (() => void)[] = [];
  const start = (): WorkerLike => {
    const place = ended.push(false) - 1;
    const page: WorkerLike = { postMessage: () => {}, terminate: () => (ended[place] = true), onmessage: null, onerror: null };
    const scope: {
      onmessage: ((event: MessageEvent<JobMessage | FinishMessage>) => void) | null;
      postMessage(message: WorkMessage): void;
    } = {
      onmessage: null,
      postMessage: (data) => {
        if (!ended[place]) page.onmessage?.({ data } as MessageEvent<WorkMessage>);
      },
    };
    serveJobs<Table>(
      {
        async count(to, tell) {
          for (let at = 1; at <= to; at++) {
            tell(at);
            if (to > 10) await new Promise<void>((resolve) => release.push(resolve));
          }
          if (to < 0) throw new Error("cannot count backwards");
          return `counted to ${to}`;
        },
        async search(most, tell, breath) {
          let best = 0;
          while (best < most && !(await breath.finishing())) {
            best++;
            if (best % 1000 === 0) tell(best);
          }
          return best;
        },
      },
      scope,
    );
    page.postMessage = (data) => queueMicrotask(() => scope.onmessage?.({ data } as MessageEvent<JobMessage | FinishMessage>));
    return page;
  };
  return { start, ended };
}

it("answers, and tells how far it is", async () => {
  const { start } = makeWorkers();
  const bridge = new WorkBridge<Table>(start);
  const heard: number[] = [];
  expect(await bridge.run("count", 3, (at) => heard.push(at)).outcome).toEqual({ ended: "done", answer: "counted to 3" });
  expect(heard).toEqual([1, 2, 3]);
});

it("stops one job at once and begins the others again", async () => {
  const { start, ended } = makeWorkers();
  const bridge = new WorkBridge<Table>(start);
  const long = bridge.run("count", 99);
  const short = bridge.run("count", 2);
  long.stop();
  expect(await long.outcome).toEqual({ ended: "stopped" });
  expect(await short.outcome).toEqual({ ended: "done", answer: "counted to 2" });
  expect(ended).toEqual([true, false]);
  bridge.close();
  expect(ended).toEqual([true, true]);
});

it("hands on what went wrong as an error", async () => {
  const bridge = new WorkBridge<Table>(makeWorkers().start);
  await expect(bridge.run("count", -1).outcome).rejects.toThrow("backwards");
});

it("asks a search to end soon, and takes the best that it has", async () => {
  const bridge = new WorkBridge<Table>(makeWorkers().start);
  let asked = false;
  const job = bridge.run("search", Number.MAX_SAFE_INTEGER, () => {
    if (!asked) job.finish();
    asked = true;
  });
  const outcome = await job.outcome;
  expect(outcome.ended === "done" && outcome.answer).toBeGreaterThanOrEqual(1000);
});
