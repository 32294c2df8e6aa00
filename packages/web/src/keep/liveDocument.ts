import { merge } from "./merge.js";
import type { Change } from "./outbox.js";
import { readSmall, removeSmall, type SmallStorage, writeSmall } from "./storage.js";

/** Work on a document that is on this device and not yet kept as a revision. */
interface LocalWork<Body> {
  readonly baseRevisionId: string;
  readonly base: Body;
  readonly body: Body;
}

/** How long nothing is typed before what was written is kept. */
const QUIET_MS = 2500;

/**
 * One open document without drafts of its own. What is written is on this device at once, and kept as a revision when nothing was
 * typed for a moment; what another device adds is laid over it.
 */
export class LiveDocument<Body> {
  readonly documentId: string;
  readonly #kind: string;
  readonly #outbox: { add(change: Change, delayMs?: number): void };
  readonly #storage: SmallStorage | undefined;
  readonly #listeners = new Set<() => void>();
  /** Revisions whose content is already in here: what it began from, made, or took over. */
  readonly #known = new Set<string>();
  #baseRevisionId: string;
  #base: Body;
  #body: Body;
  #timer: ReturnType<typeof setTimeout> | undefined;

  /** @param start  `kind` names the work that is left on this device */
  constructor(start: {
    readonly kind: string;
    readonly documentId: string;
    readonly revisionId: string;
    readonly body: Body;
    readonly outbox: { add(change: Change, delayMs?: number): void };
    readonly storage?: SmallStorage;
  }) {
    this.documentId = start.documentId;
    this.#kind = start.kind;
    this.#outbox = start.outbox;
    this.#storage = start.storage;
    this.#baseRevisionId = start.revisionId;
    this.#known.add(start.revisionId);
    this.#base = start.body;
    const local = readSmall<LocalWork<Body>>(this.#key, this.#storage);
    this.#body = local === undefined ? start.body : merge(local.base, start.body, local.body);
    if (local !== undefined) this.#keepSoon();
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };
  readonly body = (): Body => this.#body;

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

  edit(change: (body: Body) => Body): void {
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
  takeOver(theirs: { readonly id: string; readonly body: Body }, ancestor: Body): void {
    this.#body = merge(ancestor, theirs.body, this.#body);
    this.#known.add(theirs.id);
    this.#baseRevisionId = theirs.id;
    this.#base = theirs.body;
    if (JSON.stringify(this.#body) !== JSON.stringify(this.#base)) this.#keepSoon();
    this.#tell();
  }

  get #key(): string {
    return `${this.#kind}.${this.documentId}`;
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
