import type { Change } from "../keep/outbox.js";
import { readSmall, removeSmall, type SmallStorage, writeSmall } from "../keep/storage.js";
import { merge, type Trial } from "./documents.js";

/** Work on a trial that is on this device and not yet kept as a revision. */
interface LocalWork {
  readonly baseRevisionId: string;
  readonly base: Trial;
  readonly body: Trial;
}

/** How long the bench is quiet before what was written is kept. */
const QUIET_MS = 2500;

/**
 * One open trial. What is written is on this device at once, and kept as a revision when the bench is quiet; what another
 * device or a taster's phone adds is laid over it.
 */
export class TrialSession {
  readonly documentId: string;
  readonly #outbox: { add(change: Change, delayMs?: number): void };
  readonly #storage: SmallStorage | undefined;
  readonly #listeners = new Set<() => void>();
  /** Revisions whose content is already in here: what it began from, made, or took over. */
  readonly #known = new Set<string>();
  #baseRevisionId: string;
  #base: Trial;
  #body: Trial;
  #timer: ReturnType<typeof setTimeout> | undefined;

  constructor(start: {
    readonly documentId: string;
    readonly revisionId: string;
    readonly body: Trial;
    readonly outbox: { add(change: Change, delayMs?: number): void };
    readonly storage?: SmallStorage;
  }) {
    this.documentId = start.documentId;
    this.#outbox = start.outbox;
    this.#storage = start.storage;
    this.#baseRevisionId = start.revisionId;
    this.#known.add(start.revisionId);
    this.#base = start.body;
    const local = readSmall<LocalWork>(this.#key, this.#storage);
    this.#body = local === undefined ? start.body : merge(local.base, start.body, local.body);
    if (local !== undefined) this.#keepSoon();
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };
  readonly body = (): Trial => this.#body;

  /** Whether what a revision holds is already in here. */
  knows(revisionId: string): boolean {
    return this.#known.has(revisionId);
  }

  /** What a known revision was made from is in here as well. Wanted because a session may begin in the middle of a line. */
  knowLine(revisions: readonly { readonly id: string; readonly parentId: string | null }[]): void {
    const parents = new Map(revisions.map(({ id, parentId }) => [id, parentId]));
    for (const known of [...this.#known])
      for (let at = parents.get(known) ?? null; at !== null && !this.#known.has(at); at = parents.get(at) ?? null)
        this.#known.add(at);
  }

  edit(change: (body: Trial) => Trial): void {
    const next = change(this.#body);
    if (next === this.#body) return;
    this.#body = next;
    this.#keepSoon();
    this.#tell();
  }

  /** Keeps what was written as a revision now. */
  keep(note = ""): void {
    clearTimeout(this.#timer);
    removeSmall(this.#key, this.#storage);
    if (this.#body === this.#base || JSON.stringify(this.#body) === JSON.stringify(this.#base)) return;
    const revisionId = crypto.randomUUID();
    this.#outbox.add({
      does: "keep",
      documentId: this.documentId,
      revisionId,
      parentId: this.#baseRevisionId,
      body: this.#body,
      note,
      madeAt: Date.now(),
    });
    this.#known.add(revisionId);
    this.#baseRevisionId = revisionId;
    this.#base = this.#body;
  }

  /**
   * Lays over it what others did.
   *
   * @param ancestor  the newest revision of their line that is already in here: any other one would take changes back
   */
  takeOver(theirs: { readonly id: string; readonly body: Trial }, ancestor: Trial): void {
    this.#body = merge(ancestor, theirs.body, this.#body);
    this.#known.add(theirs.id);
    this.#baseRevisionId = theirs.id;
    this.#base = theirs.body;
    if (JSON.stringify(this.#body) !== JSON.stringify(this.#base)) this.#keepSoon();
    this.#tell();
  }

  get #key(): string {
    return `trial.${this.documentId}`;
  }

  #keepSoon(): void {
    writeSmall(this.#key, { baseRevisionId: this.#baseRevisionId, base: this.#base, body: this.#body }, this.#storage);
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.keep(), QUIET_MS);
  }

  #tell(): void {
    for (const listener of this.#listeners) listener();
  }
}
