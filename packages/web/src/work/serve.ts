import type { FinishMessage, JobMessage, Jobs, WorkMessage } from "./bridge.js";

/** What a long job may ask for on its way. */
export interface Breath {
  /**
   * Lets messages in, and says whether the page asked to end soon with what there is. Cheap: it waits for nothing else, and only
   * when some time has passed since the last breath.
   */
  finishing(): Promise<boolean>;
}

const BREATH_MS = 40;

/** The other side of a `WorkBridge`: one function a job. */
export function serveJobs<Table extends Jobs<Table>>(
  jobs: {
    readonly [Name in keyof Table]: (
      request: Table[Name]["request"],
      tell: (progress: Table[Name]["progress"]) => void,
      breath: Breath,
    ) => Table[Name]["answer"] | Promise<Table[Name]["answer"]>;
  },
  scope: {
    onmessage: ((event: MessageEvent<JobMessage | FinishMessage>) => void) | null;
    postMessage(message: WorkMessage): void;
  } = self as never,
): void {
  const finishing = new Set<number>();
  scope.onmessage = ({ data }) => {
    if ("asks" in data) {
      finishing.add(data.id);
      return;
    }
    const { id, name, request } = data;
    let breathed = Date.now();
    const breath: Breath = {
      async finishing() {
        if (Date.now() - breathed > BREATH_MS) {
          await new Promise((resolve) => setTimeout(resolve, 0));
          breathed = Date.now();
        }
        return finishing.has(id);
      },
    };
    const job = jobs[name as keyof Table];
    const work = async () => {
      if (job === undefined) throw new Error(`There is no job called "${name}".`);
      return job(request, (progress) => scope.postMessage({ id, tells: "progress", progress }), breath);
    };
    work()
      .finally(() => finishing.delete(id))
      .then(
        (answer) => scope.postMessage({ id, tells: "done", answer }),
        (error: unknown) =>
          scope.postMessage({ id, tells: "failed", why: error instanceof Error ? error.message : String(error) }),
      );
  };
}
