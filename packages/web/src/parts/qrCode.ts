import qrcode from "qrcode-generator";

/** Dark (true) and light modules, row by row, without the quiet zone of four modules that belongs around them. */
export type QrCode = readonly (readonly boolean[])[];

/** The most bytes that are put into one code: version 10 at level M (table 7 of ISO/IEC 18004), which a phone reads off a tablet's screen. */
const BYTES_MOST = 213;

/**
 * The QR code of an address, in bytes, at error correction M, in the smallest version that holds it.
 *
 * @throws RangeError when the text is longer than 213 bytes
 */
export function qrCode(text: string): QrCode {
  const bytes = new TextEncoder().encode(text);
  if (bytes.length > BYTES_MOST) throw new RangeError(`qrCode: ${bytes.length} bytes; at most ${BYTES_MOST}`);
  const code = qrcode(0, "M");
  // The library takes one byte a character: the bytes of UTF-8 are handed to it as such.
  code.addData(String.fromCharCode(...bytes), "Byte");
  code.make();
  const sides = [...Array(code.getModuleCount()).keys()];
  return sides.map((row) => sides.map((column) => code.isDark(row, column)));
}

/** The dark modules as the path of a drawing, with the quiet zone of four around them. */
export const qrPath = (modules: QrCode): string =>
  modules.flatMap((row, y) => row.flatMap((dark, x) => (dark ? [`M${x + 4} ${y + 4}h1v1h-1z`] : []))).join("");
