import { LiveDocument } from "../keep/liveDocument.js";
import type { Change } from "../keep/outbox.js";
import type { SmallStorage } from "../keep/storage.js";
import type { Trial } from "./documents.js";

/** One open trial: what another device or a taster's phone adds is laid over it. */
export class TrialSession extends LiveDocument<Trial> {
  constructor(start: {
    readonly documentId: string;
    readonly revisionId: string;
    readonly body: Trial;
    readonly outbox: { add(change: Change, delayMs?: number): void };
    readonly storage?: SmallStorage;
  }) {
    super({ kind: "trial", ...start });
  }
}
