import { expect, it } from "vitest";
import { tableText, wrapped } from "./table.js";

it("aligns on the decimal point and cuts trailing spaces", () => {
  const text = tableText(
    [
      { heading: "", align: "left" },
      { heading: "g", align: "decimal" },
      { heading: "note", align: "left" },
    ],
    [
      ["Flour", "1200", ""],
      ["Jalapeño", "2.5", "fine"],
      ["Salt", "0.25", ""],
    ],
  );
  expect(text.split("\n")).toEqual(["                g  note", "Flour     1200", "Jalapeño     2.5   fine", "Salt         0.25"]);
});

it("wraps at words", () => expect(wrapped("one two three four", 10, "  ")).toBe("  one two\n  three\n  four"));
