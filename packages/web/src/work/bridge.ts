/** What a worker can do: by name, what is asked of it, what it tells on the way, and what it answers. */
export type Jobs<Table> = {
  readonly [Name in keyof Table]: { readonly request: unknown; readonly progress: unknown; readonly answer: unknown };
};

export interface JobMessage {
  readonly id: number;
  readonly name: string;
  readonly request: unknown;
}
/** Asks a running job to end soon with what it has; a job that does not look for it goes on to its end. */
export interface FinishMessage {
  readonly id: number;
  readonly asks: "finish";
}
export type WorkMessage =
  | { readonly id: number; readonly tells: "progress"; readonly progress: unknown }
  | { readonly id: number; readonly tells: "done"; readonly answer: unknown }
  | { readonly id: number; readonly tells: "failed"; readonly why: string };

/** Being stopped is an outcome and not an error. */
export type Outcome<Answer> = { readonly ended: "done"; readonly answer: Answer } | { readonly ended: "stopped" };

export interface Running<Answer> {
  /** Rejects only where the program itself failed. */
  readonly outcome: Promise<Outcome<Answer>>;
  /** Ends it at once, without an answer. */
  stop(): void;
  /** Asks it to end soon with the best answer that it has. */
  finish(): void;
}

/** The part of a `Worker` that is used. */
export interface WorkerLike {
  postMessage(message: JobMessage | FinishMessage): void;
  terminate(): void;
  onmessage: ((event: MessageEvent<WorkMessage>) => void) | null;
  onerror: ((event: ErrorEvent) => void) | null;
}

interface Waiting {
  readonly message: JobMessage;
  readonly progress: (progress: never) => void;
  readonly settle: (outcome: Outcome<never>) => void;
  readonly fail: (error: Error) => void;
}

/**
 * Long calculations beside the page: typed by a table of jobs, with progress, and stopped at once.
 *
 * The worker is started with the first job. A running calculation cannot be asked to stop from outside, so stopping ends the
 * worker; other jobs that were waiting in it begin again in a new one.
 */
export class WorkBridge<Table extends Jobs<Table>> {
  readonly #start: () => WorkerLike;
  readonly #waiting = new Map<number, Waiting>();
  #worker: WorkerLike | undefined;
  #nextId = 1;

  constructor(start: () => WorkerLike) {
    this.#start = start;
  }

  run<Name extends keyof Table & string>(
    name: Name,
    request: Table[Name]["request"],
    onProgress: (progress: Table[Name]["progress"]) => void = () => {},
  ): Running<Table[Name]["answer"]> {
    const id = this.#nextId++;
    const message: JobMessage = { id, name, request };
    const outcome = new Promise<Outcome<Table[Name]["answer"]>>((resolve, reject) => {
      this.#waiting.set(id, { message, progress: onProgress, settle: resolve, fail: reject });
    });
    this.#open().postMessage(message);
    return { outcome, stop: () => this.#stop(id), finish: () => this.#finish(id) };
  }

  /** Ends the worker; whatever still runs is stopped. */
  close(): void {
    for (const id of [...this.#waiting.keys()]) this.#stop(id);
    this.#worker?.terminate();
    this.#worker = undefined;
  }

  #open(): WorkerLike {
    if (this.#worker !== undefined) return this.#worker;
    const worker = this.#start();
    worker.onmessage = ({ data }) => this.#hear(data);
    worker.onerror = (event) => {
      const error = new Error(event.message === "" ? "The worker could not be started." : event.message);
      const all = [...this.#waiting.values()];
      this.#waiting.clear();
      this.#worker?.terminate();
      this.#worker = undefined;
      for (const { fail } of all) fail(error);
    };
    this.#worker = worker;
    return worker;
  }

  #hear(message: WorkMessage): void {
    const job = this.#waiting.get(message.id);
    if (job === undefined) return; // stopped while its last words were on the way
    if (message.tells === "progress") job.progress(message.progress as never);
    else {
      this.#waiting.delete(message.id);
      if (message.tells === "done") job.settle({ ended: "done", answer: message.answer as never });
      else job.fail(new Error(message.why));
    }
  }

  #finish(id: number): void {
    if (this.#waiting.has(id)) this.#worker?.postMessage({ id, asks: "finish" });
  }

  #stop(id: number): void {
    const job = this.#waiting.get(id);
    if (job === undefined) return;
    this.#waiting.delete(id);
    this.#worker?.terminate();
    this.#worker = undefined;
    job.settle({ ended: "stopped" });
    for (const { message } of this.#waiting.values()) this.#open().postMessage(message);
  }
}
