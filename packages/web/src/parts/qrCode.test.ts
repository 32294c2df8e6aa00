import { expect, it } from "vitest";
import peer from "./fixtures/qrCodes.json" with { type: "json" };
import { qrCode } from "./qrCode.js";

const packed = (row: readonly boolean[]): string => {
  let text = "";
  for (let at = 0; at < row.length; at += 4)
    text += Number.parseInt([0, 1, 2, 3].map((bit) => (row[at + bit] ? "1" : "0")).join(""), 2).toString(16);
  return text;
};

// Peer: the npm package qrcode 1.5.4, modules of four addresses, versions 3 to 10.
it.each(peer)("draws the modules that another library draws for $text", ({ text, rows }) => {
  expect(qrCode(text).map(packed)).toEqual(rows);
});

it("grows with the text by four modules a version, and refuses what does not fit", () => {
  expect([1, 14, 15, 26, 27, 42, 62, 84, 106, 122, 152, 180, 213].map((length) => qrCode("x".repeat(length)).length)).toEqual([
    21, 21, 25, 25, 29, 29, 33, 37, 41, 45, 49, 53, 57,
  ]); // capacities of level M in bytes: table 7 of ISO/IEC 18004
  expect(() => qrCode("x".repeat(214))).toThrow("214 bytes; at most 213");
});
