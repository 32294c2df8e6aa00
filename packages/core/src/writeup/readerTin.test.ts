import fc from "fast-check";
import { expect, it } from "vitest";
import { parseTins } from "../tins/index.js";
import { inchWords, readerTin } from "./readerTin.js";

// Common practice, no source: what is stamped on tins of these sizes.
it.each([
  ["2 round 20x5 cm", "20 x 5 cm (8 x 2 in) round tin, 2 of them", "8 x 2 in (20 x 5 cm) round pan, 2 of them"],
  ["round 23x7 cm", "23 x 7 cm (9 x 2¾ in) round tin", "9 x 2¾ in (23 x 7 cm) round pan"],
  ["square 23x5 cm", "23 x 5 cm (9 x 2 in) square tin", "9 x 2 in (23 x 5 cm) square pan"],
  ["rectangle 33x23x5 cm", "33 x 23 x 5 cm (13 x 9 x 2 in) rectangular tin", "13 x 9 x 2 in (33 x 23 x 5 cm) rectangular pan"],
  [
    "rectangle 33x23x2 cm",
    "33 x 23 x 2 cm (13 x 9 x ¾ in) shallow rectangular tin",
    "13 x 9 x ¾ in (33 x 23 x 2 cm) shallow rectangular pan",
  ],
  [
    "loaf 900 g",
    "900 g (2 lb) loaf tin, 22 x 11.5 x 6.5 cm (8½ x 4½ x 2½ in) at the top",
    "8½ x 4½ x 2½ in (22 x 11.5 x 6.5 cm) loaf pan (a British 2 lb loaf tin)",
  ],
  ["loaf 21x11x6 cm", "21 x 11 x 6 cm (8½ x 4¼ x 2¼ in) loaf tin", "8½ x 4¼ x 2¼ in (21 x 11 x 6 cm) loaf pan"],
  ["ring 24x8 cm", "24 x 8 cm (9½ x 3¼ in) ring tin", "9½ x 3¼ in (24 x 8 cm) tube pan"],
  [
    "fluted ring 2.4 l",
    "2.4 litre fluted ring tin, 24 cm (9½ in) across",
    "10-cup (2.4 litre) fluted tube pan, 9½ in (24 cm) across",
  ],
  [
    "12-hole muffin tray",
    "12-hole muffin tray, holes 7 x 3.5 cm (2¾ x 1½ in)",
    "12-cup muffin pan, cups 2¾ x 1½ in (7 x 3.5 cm)",
  ],
  ["half ball 16 cm", "16 cm (6¼ in) half-ball tin", "6¼ in (16 cm) half-ball pan"],
  ["silicone round 18x5 cm", "18 x 5 cm (7 x 2 in) round tin, silicone", "7 x 2 in (18 x 5 cm) round pan, silicone"],
])("%s", (text, metric, us) => {
  const [tin] = parseTins(text).value;
  expect(readerTin(tin!, "metric")).toBe(metric);
  expect(readerTin(tin!, "us")).toBe(us);
});

it("says inches in halves where that is within 3 %, else in quarters (property)", () => {
  const values = { "": 0, "¼": 0.25, "½": 0.5, "¾": 0.75 } as const;
  fc.assert(
    fc.property(fc.double({ min: 0.5, max: 40, noNaN: true }), (exact) => {
      const [, whole, part] = /^(\d*)([¼½¾]?)$/.exec(inchWords(exact))!;
      const said = Number(whole || 0) + values[part as keyof typeof values];
      expect(Math.abs(said - exact) <= 0.125 + 1e-9 || Math.abs(said / exact - 1) <= 0.03 + 1e-9).toBe(true);
    }),
  );
});
