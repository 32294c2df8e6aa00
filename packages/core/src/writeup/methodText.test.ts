import fc from "fast-check";
import { expect, it } from "vitest";
import { forReader } from "./methodText.js";

it.each([
  ["Whisk to 40 °C, then off the heat", "Whisk to 40 °C (104 °F), then off the heat"],
  ["Bake at 180C for 20 min", "Bake at 180C (356 °F) for 20 min"],
  ["Heat to 82 degrees C", "Heat to 82 degrees C (180 °F)"],
  ["cool from 57 to 21 °C", "cool from 57 to 21 °C (135 to 70 °F)"],
  ["57 °C to 21 °C within 2 hours", "57 °C to 21 °C (135 to 70 °F) within 2 hours"],
  ["keep at 32–34 °C", "keep at 32–34 °C (90 to 93 °F)"],
  ["freeze at -18 °C", "freeze at -18 °C (0 °F)"],
  ["freeze at −25 °C", "freeze at −25 °C (−13 °F)"],
  ["180 °C (350 °F) is enough", "180 °C (350 °F) is enough"],
  ["180 °C/350 °F, gas 4", "180 °C/350 °F, gas 4"],
  ["keep back 50 g of the sugar", "keep back 50 g (1¾ oz) of the sugar"],
  ["50-60 g in each cup", "50-60 g (1¾ to 2 oz) in each cup"],
  ["a pinch, 2 g", "a pinch, 2 g"],
  ["50 g (1¾ oz) in each", "50 g (1¾ oz) in each"],
  ["a 20 cm tin", "a 20 cm (8 in) tin"],
  ["roll 5 mm thick", "roll 5 mm thick"],
  ["roll 12 mm thick", "roll 12 mm (½ in) thick"],
  ["a 20 cm (8 in) tin", "a 20 cm (8 in) tin"],
  ["Vitamin C and 3 carrots", "Vitamin C and 3 carrots"],
  ["Add 2 Cups of milk", "Add 2 Cups of milk"],
  ["flour 00C1", "flour 00C1"],
])("%s", (text, read) => {
  expect(forReader(text, "us")).toBe(read);
  expect(forReader(text, "imperial")).toBe(read);
});

it("gives readers of Celsius the same for Fahrenheit, and leaves everything else", () => {
  expect(forReader("Bake at 350 °F for 20 min in an 8 in pan", "metric")).toBe(
    "Bake at 350 °F (177 °C) for 20 min in an 8 in pan",
  );
  expect(forReader("Whisk to 40 °C in a 20 cm tin", "metric")).toBe("Whisk to 40 °C in a 20 cm tin");
});

it("only ever adds brackets, adds them once, and is quick on any text (property)", () => {
  const pieces = fc.constantFrom(
    "40 °C",
    "180C",
    "57 to 21 °C",
    "20 cm",
    "350 °F",
    " then ",
    "(",
    ")",
    "- ",
    "°",
    "C",
    "9999999999",
    " to ",
  );
  const texts = fc.oneof(
    fc.string({ maxLength: 300 }),
    fc.array(pieces, { maxLength: 60 }).map((list) => list.join("")),
  );
  fc.assert(
    fc.property(texts, (text) => {
      for (const measures of ["us", "metric"] as const) {
        const read = forReader(text, measures);
        // What was added is taken out again: the words themselves are untouched.
        let at = 0;
        for (const sign of read) if (text.startsWith(sign, at)) at += sign.length;
        expect(at).toBe(text.length);
      }
    }),
  );
  const started = performance.now();
  forReader("9 °".repeat(20_000) + "1".repeat(50_000) + " to ".repeat(20_000), "us");
  expect(performance.now() - started).toBeLessThan(20_000); // none hangs
});
