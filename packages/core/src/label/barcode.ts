/**
 * Check digit of a GTIN: weights 3, 1, 3, 1 from the right of the body; what is missing to the next ten.
 *
 * @param body  7, 11, 12 or 13 digits
 * @returns  undefined when the body is not such digits
 *
 * Source: GS1 General Specifications, section 7.9.1.
 */
export function gtinCheckDigit(body: string): number | undefined {
  if (!/^(\d{7}|\d{11,13})$/.test(body)) return undefined;
  const sum = [...body].toReversed().reduce((total, digit, index) => total + Number(digit) * (index % 2 === 0 ? 3 : 1), 0);
  return (10 - (sum % 10)) % 10;
}

/** Whether a whole GTIN (8, 12, 13 or 14 digits) ends in its check digit. */
export function isGtin(text: string): boolean {
  return gtinCheckDigit(text.slice(0, -1)) === Number(text.slice(-1)) && /^\d+$/.test(text);
}

/** Left-hand codes with odd parity (A), even parity (B) and right-hand codes (C): ISO/IEC 15420, tables 1 and 2. */
const CODES_A = ["0001101", "0011001", "0010011", "0111101", "0100011", "0110001", "0101111", "0111011", "0110111", "0001011"];
const invert = (code: string) => [...code].map((bit) => (bit === "1" ? "0" : "1")).join("");
const mirror = (code: string) => [...code].toReversed().join("");
/** Which of the six left digits have even parity, by the leading digit. */
const PARITY = ["AAAAAA", "AABABB", "AABBAB", "AABBBA", "ABAABB", "ABBAAB", "ABBBAA", "ABABAB", "ABABBA", "ABBABA"];

/**
 * The 95 modules of an EAN-13 symbol, "1" for a bar.
 *
 * @param gtin  13 digits with a right check digit
 * @returns  undefined when it is no such number
 *
 * Source: ISO/IEC 15420 (EAN/UPC symbology).
 */
export function ean13Modules(gtin: string): string | undefined {
  if (gtin.length !== 13 || !isGtin(gtin)) return undefined;
  const parity = PARITY[Number(gtin[0])]!;
  const right = CODES_A.map(invert);
  const left = [...gtin.slice(1, 7)].map((digit, index) =>
    parity[index] === "A" ? CODES_A[Number(digit)]! : mirror(right[Number(digit)]!),
  );
  const end = [...gtin.slice(7)].map((digit) => right[Number(digit)]!);
  return `101${left.join("")}01010${end.join("")}101`;
}
