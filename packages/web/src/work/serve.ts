import type { JobMessage, Jobs, WorkMessage } from "./bridge.js";

/** The other side of a `WorkBridge`: one function a job. */
export function serveJobs<Table extends Jobs<Table>>(
  jobs: {
    readonly [Name in keyof Table]: (
      request: Table[Name]["request"],
      tell: (progress: Table[Name]["progress"]) => void,
    ) => Table[Name]["answer"] | Promise<Table[Name]["answer"]>;
  },
  scope: {
    onmessage: ((event: MessageEvent<JobMessage>) => void) | null;
    postMessage(message: WorkMessage): void;
  } = self as never,
): void {
  scope.onmessage = ({ data: { id, name, request } }) => {
    const job = jobs[name as keyof Table];
    const work = async () => {
      if (job === undefined) throw new Error(`There is no job called "${name}".`);
      return job(request, (progress) => scope.postMessage({ id, tells: "progress", progress }));
    };
    work().then(
      (answer) => scope.postMessage({ id, tells: "done", answer }),
      (error: unknown) => scope.postMessage({ id, tells: "failed", why: error instanceof Error ? error.message : String(error) }),
    );
  };
}
