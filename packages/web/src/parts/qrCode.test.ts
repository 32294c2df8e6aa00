import jsQR from "jsqr";
import { expect, it } from "vitest";
import { qrCode, qrPath } from "./qrCode.js";

/** The code as a camera sees it on a screen: four pixels a module, four modules of white around it. */
function pictured(text: string): { readonly data: Uint8ClampedArray; readonly side: number } {
  const modules = qrCode(text);
  const side = 4 * (modules.length + 8);
  const data = new Uint8ClampedArray(4 * side * side).fill(255);
  modules.forEach((row, y) => {
    row.forEach((dark, x) => {
      if (!dark) return;
      for (let py = 4 * (y + 4); py < 4 * (y + 5); py++)
        for (let px = 4 * (x + 4); px < 4 * (x + 5); px++) data.fill(0, 4 * (py * side + px), 4 * (py * side + px) + 3);
    });
  });
  return { data, side };
}

// Peer: the npm package jsqr 1.4.0 reads them.
it.each([
  "http://192.168.1.20:4310/taste/KXQM-7RTD",
  "http://bakery.local:4310/taste/ABCD-EFGH",
  "http://[2001:db8::1]:65535/taste/ZZZZ-9999",
  "a",
  "x".repeat(213),
  "Möhre über Straße",
])("is read back by another library: %s", (text) => {
  const { data, side } = pictured(text);
  expect(jsQR(data, side, side)?.data).toBe(text);
});

it("grows with the text by four modules a version, and refuses what does not fit", () => {
  expect([1, 14, 15, 26, 27, 42, 62, 84, 106, 122, 152, 180, 213].map((length) => qrCode("x".repeat(length)).length)).toEqual([
    21, 21, 25, 25, 29, 29, 33, 37, 41, 45, 49, 53, 57,
  ]); // capacities of level M in bytes: table 7 of ISO/IEC 18004
  expect(() => qrCode("x".repeat(214))).toThrow("214 bytes; at most 213");
});

it("is drawn with its quiet zone", () => {
  expect(qrPath(qrCode("a"))).toMatch(/^M4 4h1v1h-1z/);
});
