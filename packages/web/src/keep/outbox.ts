import { type Client, OfflineError, RefusedError } from "../api/client.js";
import type { DocumentKind, RevisionSummary } from "../api/types.js";
import { readSmall, type SmallStorage, writeSmall } from "./storage.js";

/**
 * What is still to be told to the server, in order. Ids are made here, so that sending the same thing twice (the answer
 * was lost on the way) is the same thing once.
 */
export type Change =
  | {
      readonly does: "create";
      readonly documentId: string;
      readonly revisionId: string;
      readonly kind: DocumentKind;
      readonly body: unknown;
      readonly note: string;
      /** [ms since 1970] */
      readonly madeAt: number;
    }
  | {
      readonly does: "keep";
      readonly documentId: string;
      readonly revisionId: string;
      readonly parentId: string;
      /** The other device's revision that this one takes in or passes over: the two lines of work are one again. */
      readonly settlesId?: string;
      readonly body: unknown;
      readonly note: string;
      /** [ms since 1970] */
      readonly madeAt: number;
    }
  | { readonly does: "draft"; readonly documentId: string; readonly baseRevisionId: string; readonly body: unknown }
  | { readonly does: "drop-draft"; readonly documentId: string }
  | { readonly does: "standard"; readonly documentId: string; readonly revisionId: string }
  | { readonly does: "archive"; readonly documentId: string }
  | { readonly does: "settings"; readonly documentId: "settings"; readonly body: Record<string, unknown> };

export interface OutboxState {
  readonly waiting: number;
  readonly reachable: boolean;
  /** When the last change arrived [ms since 1970], if any did since the page opened. */
  readonly sentAt: number | null;
  /** What the server would not take, and why. It stays on this device until the baker says otherwise. */
  readonly refused: readonly { readonly change: Change; readonly why: string }[];
}

/** Two devices kept a revision on the same parent; both are there. */
export interface Alongside {
  readonly documentId: string;
  readonly mine: RevisionSummary;
  readonly theirs: readonly RevisionSummary[];
}

export class Outbox {
  readonly #client: Client;
  readonly #device: () => string;
  readonly #storage: SmallStorage;
  readonly #listeners = new Set<() => void>();
  #queue: Change[];
  #refused: { change: Change; why: string }[];
  #reachable = true;
  #sentAt: number | null = null;
  #state: OutboxState;
  #sending: Promise<void> | undefined;
  #timer: ReturnType<typeof setTimeout> | undefined;
  onAlongside: (alongside: Alongside) => void = () => {};
  onSent: (change: Change, revision?: RevisionSummary) => void = () => {};

  constructor(client: Client, device: () => string, storage: SmallStorage = localStorage) {
    this.#client = client;
    this.#device = device;
    this.#storage = storage;
    this.#queue = readSmall<Change[]>("outbox", storage) ?? [];
    this.#refused = readSmall<{ change: Change; why: string }[]>("refused", storage) ?? [];
    this.#state = this.#makeState();
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };

  readonly state = (): OutboxState => this.#state;

  waiting(): readonly Change[] {
    return this.#queue;
  }

  waitingFor(documentId: string): readonly Change[] {
    return this.#queue.filter((change) => change.documentId === documentId);
  }

  /** Keeps the change on this device at once; sends it when it can, after `delayMs`. */
  add(change: Change, delayMs = 0): void {
    // A later draft or setting replaces an earlier one that has not gone out; a kept revision makes drafts before it moot.
    const replaces = (earlier: Change): boolean =>
      earlier.documentId === change.documentId &&
      (change.does === "draft" || change.does === "drop-draft" || change.does === "keep"
        ? earlier.does === "draft" || earlier.does === "drop-draft"
        : earlier.does === change.does && (change.does === "settings" || change.does === "standard"));
    this.#queue = [...this.#queue.filter((earlier) => !replaces(earlier)), change];
    this.#changed();
    this.#schedule(delayMs);
  }

  /** Tries now, unless it is trying already. */
  async send(): Promise<void> {
    clearTimeout(this.#timer);
    this.#sending ??= this.#sendAll().finally(() => {
      this.#sending = undefined;
    });
    return this.#sending;
  }

  heardFromServer(reachable: boolean): void {
    if (reachable !== this.#reachable) {
      this.#reachable = reachable;
      this.#changed();
    }
    if (reachable && this.#queue.length > 0) void this.send();
  }

  forgetRefused(): void {
    this.#refused = [];
    this.#changed();
  }

  async #sendAll(): Promise<void> {
    while (this.#queue.length > 0) {
      const change = this.#queue[0]!;
      try {
        await this.#sendOne(change);
        this.#reachable = true;
        this.#sentAt = Date.now();
      } catch (error) {
        if (error instanceof OfflineError) {
          this.#reachable = false;
          this.#changed();
          this.#schedule(5000);
          return;
        }
        if (!(error instanceof RefusedError)) throw error;
        this.#reachable = true;
        this.#refused = [...this.#refused, { change, why: error.message }];
      }
      // The change itself is taken out, not the first place: a newer draft may have replaced it while it was on the way.
      this.#queue = this.#queue.filter((waiting) => waiting !== change);
      this.#changed();
    }
  }

  async #sendOne(change: Change): Promise<void> {
    const device = this.#device();
    switch (change.does) {
      case "create":
        await this.#client.createDocument({
          id: change.documentId,
          revisionId: change.revisionId,
          kind: change.kind,
          body: change.body,
          note: change.note,
          device,
        });
        break;
      case "keep": {
        const { revision, alongside } = await this.#client.keepRevision(change.documentId, {
          id: change.revisionId,
          parentId: change.parentId,
          ...(change.settlesId === undefined ? {} : { settlesId: change.settlesId }),
          body: change.body,
          note: change.note,
          device,
        });
        if (alongside.length > 0) this.onAlongside({ documentId: change.documentId, mine: revision, theirs: alongside });
        this.onSent(change, revision);
        return;
      }
      case "draft":
        await this.#client.putDraft(change.documentId, { device, baseRevisionId: change.baseRevisionId, body: change.body });
        break;
      case "drop-draft":
        await this.#client.deleteDraft(change.documentId, device);
        break;
      case "standard":
        await this.#client.setStandard(change.documentId, change.revisionId);
        break;
      case "archive":
        await this.#client.archive(change.documentId);
        break;
      case "settings":
        await this.#client.putSettings(change.body);
        break;
    }
    this.onSent(change);
  }

  #schedule(delayMs: number): void {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.send(), delayMs);
  }

  #changed(): void {
    writeSmall("outbox", this.#queue, this.#storage);
    writeSmall("refused", this.#refused, this.#storage);
    this.#state = this.#makeState();
    for (const listener of this.#listeners) listener();
  }

  #makeState(): OutboxState {
    return { waiting: this.#queue.length, reachable: this.#reachable, sentAt: this.#sentAt, refused: this.#refused };
  }
}
