import { writeSync } from "node:fs";
import { openStore } from "../openStore.js";
import { TEST_KINDS } from "./backEnds.js";

// Saves as fast as it can, and acknowledges each save on standard output only after the store has. Somebody kills it.
// Starts when it is told a folder on standard input, so that the killer need not wait for the program to load.

process.stdin.once("data", async (line: Buffer) => {
  const folder = line.toString().trim();
  const store = await openStore({ folder }, { kinds: TEST_KINDS, now: () => new Date(), newId: () => crypto.randomUUID() });
  // writeSync, because a queued line would die with the process after the save was acknowledged to us, and prove less.
  const acknowledge = (fact: object) => writeSync(1, `${JSON.stringify(fact)}\n`);
  const known = await store.listDocuments();
  let document = known[0]?.id;
  let parentId = known[0]?.latest.id;
  for (let count = 0; ; count += 1) {
    const body = { name: `Sponge ${process.pid}`, count, notes: "x".repeat(200 + ((count * 7919) % 20_000)) };
    if (document === undefined || parentId === undefined || count % 40 === 39) {
      const created = await store.createDocument({ kind: "formula", body });
      if (!created.ok) throw new Error(created.error.detail);
      ({ document, parentId } = { document: created.value.document.id, parentId: created.value.revision.id });
      acknowledge({ document, revision: parentId, hash: created.value.revision.contentHash });
    } else {
      const saved = await store.saveRevision({ documentId: document, parentId, body, device: "killed" });
      if (!saved.ok) throw new Error(saved.error.detail);
      parentId = saved.value.revision.id;
      acknowledge({ document, revision: parentId, hash: saved.value.revision.contentHash });
    }
    if (count % 5 === 4) {
      const draft = await store.saveDraft({
        documentId: document,
        device: "killed",
        baseRevisionId: parentId,
        body: { draft: count, pid: process.pid },
      });
      if (draft.ok) acknowledge({ document, draft: count, pid: process.pid });
      await store.writeSettings({ count, pid: process.pid });
      acknowledge({ settings: count, pid: process.pid });
    }
  }
});
