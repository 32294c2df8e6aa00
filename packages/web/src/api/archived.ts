import { OfflineError } from "./client.js";
import type { DocumentSummary } from "./types.js";

/** Formulas that were put away. They are asked for only when somebody looks for one. */
export async function listArchivedFormulas(
  fetcher: typeof fetch = (...request) => fetch(...request),
): Promise<readonly DocumentSummary[]> {
  let answer: Response;
  try {
    answer = await fetcher("/api/documents?kind=formula&archived=true");
  } catch (cause) {
    throw new OfflineError("The server cannot be reached.", { cause });
  }
  if (!answer.ok) throw new OfflineError("The server cannot be reached.");
  const { documents } = (await answer.json()) as { documents: readonly DocumentSummary[] };
  return documents.filter(({ archived }) => archived);
}
