/** No letter or digit that is taken for another one. */
const ALPHABET = "23456789abcdefghjkmnpqrstuvwxyz";
const LENGTH = 8;
/** A tasting is over within a day's work; a code that was left on a table is worth nothing the next morning. */
export const CODE_HOURS = 12;
const CODES_MAX = 5000;
/** Wrong codes that one address, and all together, may try in a minute before nothing is looked up. */
const WRONG_PER_ADDRESS = 10;
const WRONG_IN_ALL = 100;
const MINUTE_MS = 60_000;

export interface IssuedCode {
  readonly trialId: string;
  readonly taster: number;
  /** [ms since 1970] */
  readonly endsAtMs: number;
  readonly answered: boolean;
}

/**
 * The one-time codes of the tasters: held in memory only, never listed, forgotten when the server stops.
 * With 31^8 codes and a hundred tries a minute, guessing one of a thousand takes longer than a tasting by far.
 */
export class TastingCodes {
  readonly #now: () => Date;
  readonly #codes = new Map<string, IssuedCode>();
  readonly #wrong = new Map<string, { count: number; sinceMs: number }>();

  constructor(now: () => Date) {
    this.#now = now;
  }

  /** A code for one taster; an earlier one of the same taster ends. undefined when there are too many already. */
  issue(trialId: string, taster: number): { readonly code: string; readonly endsAtMs: number } | undefined {
    this.#forgetEnded();
    for (const [code, issued] of this.#codes)
      if (issued.trialId === trialId && issued.taster === taster) this.#codes.delete(code);
    if (this.#codes.size >= CODES_MAX) return undefined;
    let code = drawCode();
    while (this.#codes.has(code)) code = drawCode();
    const endsAtMs = this.#now().getTime() + CODE_HOURS * 3_600_000;
    this.#codes.set(code, { trialId, taster, endsAtMs, answered: false });
    return { code, endsAtMs };
  }

  /** What a code stands for. "too often": this address tried too many that are none. */
  find(written: string, address: string): IssuedCode | "unknown" | "too often" {
    if (this.#triedTooOften(address) || this.#triedTooOften("")) return "too often";
    this.#forgetEnded();
    const found = this.#codes.get(tidyCode(written));
    if (found !== undefined) return found;
    this.#countWrong(address, WRONG_PER_ADDRESS);
    this.#countWrong("", WRONG_IN_ALL);
    return "unknown";
  }

  /** Whoever has the code may answer once. */
  markAnswered(written: string): void {
    const code = tidyCode(written);
    const found = this.#codes.get(code);
    if (found !== undefined) this.#codes.set(code, { ...found, answered: true });
  }

  #forgetEnded(): void {
    const now = this.#now().getTime();
    for (const [code, { endsAtMs }] of this.#codes) if (endsAtMs <= now) this.#codes.delete(code);
    for (const [address, { sinceMs }] of this.#wrong) if (now - sinceMs >= MINUTE_MS) this.#wrong.delete(address);
  }

  #triedTooOften(address: string): boolean {
    const wrong = this.#wrong.get(address);
    const most = address === "" ? WRONG_IN_ALL : WRONG_PER_ADDRESS;
    return wrong !== undefined && wrong.count >= most && this.#now().getTime() - wrong.sinceMs < MINUTE_MS;
  }

  #countWrong(address: string, most: number): void {
    const now = this.#now().getTime();
    const wrong = this.#wrong.get(address);
    if (wrong === undefined || now - wrong.sinceMs >= MINUTE_MS) this.#wrong.set(address, { count: 1, sinceMs: now });
    else this.#wrong.set(address, { count: Math.min(most, wrong.count + 1), sinceMs: wrong.sinceMs });
  }
}

/** As a person reads it out: "abcd-efgh". */
export const shownCode = (code: string): string => `${code.slice(0, 4)}-${code.slice(4)}`;

const tidyCode = (written: string): string => written.toLowerCase().replace(/[^a-z0-9]/g, "");

function drawCode(): string {
  let code = "";
  while (code.length < LENGTH) {
    const [byte] = crypto.getRandomValues(new Uint8Array(1));
    // Bytes beyond a whole number of alphabets are drawn again, so that every letter is equally likely.
    if (byte! < 256 - (256 % ALPHABET.length)) code += ALPHABET[byte! % ALPHABET.length];
  }
  return code;
}
