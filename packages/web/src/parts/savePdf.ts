import { OfflineError, RefusedError } from "../api/client.js";
import { download } from "./download.js";

/**
 * Asks for a PDF, saves it, and says how it stands.
 *
 * @param otherwise  what can still be done while the server cannot be reached
 */
export function savePdf(name: string, print: () => Promise<Blob>, say: (words: string | null) => void, otherwise: string): void {
  say("Making the PDF…");
  print().then(
    (pdf) => {
      say(null);
      download(name, pdf, "application/pdf");
    },
    (error: unknown) => {
      if (error instanceof OfflineError) return say(`The PDF is made by the server, which cannot be reached. ${otherwise}`);
      if (!(error instanceof Error)) throw error;
      const problem = error instanceof RefusedError ? error.details.problems?.[0] : undefined;
      say(problem === undefined ? error.message : `${error.message} Expected ${problem.expected}. ${problem.remedy}`);
    },
  );
}
