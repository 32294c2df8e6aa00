/** Lines and lists that were written before the reader had seen them, each with the answer of a careful baker. */
export interface FreshRound {
  /** How the reader met it before anything was mended, in lines: [all, right or rightly asked, asked needlessly, silently wrong]. */
  readonly firstPass: readonly [all: number, good: number, needless: number, silent: number];
  /** Single lines, read below a few lines of that country: [country, line, wanted]. */
  readonly lines: readonly (readonly ["uk" | "us" | "bare", string, string])[];
  /** Whole lists: name, then [line, wanted]. */
  readonly lists: readonly { readonly name: string; readonly lines: readonly (readonly [string, string])[] }[];
}
