/** A piece of text that stands out or not. */
export interface TextRun {
  readonly text: string;
  readonly emphasised: boolean;
}

/** Marks around what stands out, inside words of our own. Private letters: `plainText` takes them out of everything from outside. */
export const [OPEN, CLOSE] = ["\uE000", "\uE001"] as const;

/** Our own tables write `[wheat] flour`. */
export const marked = (words: string): string => words.replaceAll("[", OPEN).replaceAll("]", CLOSE);

/** Splits words at the marks around what has to stand out. */
export function runsOf(words: string): readonly TextRun[] {
  return words.split(/(\uE000[^\uE001]*\uE001)/).flatMap((piece): TextRun[] => {
    if (piece === "") return [];
    const isMarked = piece.startsWith(OPEN) && piece.endsWith(CLOSE);
    return [{ text: isMarked ? piece.slice(1, -1) : piece.replace(/[\uE000\uE001]/g, ""), emphasised: isMarked }];
  });
}

export const wordsOf = (runs: readonly TextRun[]): string => runs.map(({ text }) => text).join("");

/** The first letter large, whether it stands out or not. */
export const capitalised = (runs: readonly TextRun[]): readonly TextRun[] =>
  runs.map((run, index) => (index === 0 ? { ...run, text: run.text.charAt(0).toUpperCase() + run.text.slice(1) } : run));

/** Neighbours that stand out alike become one. */
export function joinRuns(runs: readonly TextRun[]): readonly TextRun[] {
  const all: TextRun[] = [];
  for (const run of runs) {
    const last = all.at(-1);
    if (last !== undefined && last.emphasised === run.emphasised)
      all[all.length - 1] = { text: last.text + run.text, emphasised: run.emphasised };
    else if (run.text !== "") all.push(run);
  }
  return all;
}
