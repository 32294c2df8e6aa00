import { changeFormula, type Formula, setGrams } from "@evencrumb/core/formula";
import { createIngredientBook } from "@evencrumb/core/ingredients";
import { describe, expect, it } from "vitest";
import { memoryStorage } from "../keep/memoryStorage.js";
import type { Change } from "../keep/outbox.js";
import { FormulaSession } from "./session.js";

const BASE: Formula = {
  name: "Plain",
  components: [{ name: "Cake", kind: "cake", stages: [{ name: "Mix", uses: [{ ingredient: "plain-flour", grams: 100 }] }] }],
};
const place = { component: 0, stage: 0, use: 0 };

function open(storage = memoryStorage(), draft?: Formula) {
  const sent: Change[] = [];
  const session = new FormulaSession({
    documentId: "a",
    baseRevisionId: "r1",
    base: BASE,
    draft,
    book: createIngredientBook(),
    outbox: { add: (change) => sent.push(change) },
    storage,
  });
  return { session, sent, storage };
}

const gramsIn = (session: FormulaSession) => session.state().formula.components[0]!.stages[0]!.uses[0]!.grams;

describe("an open formula", () => {
  it("undoes and does again, with what was calculated from it", () => {
    const { session } = open();
    expect(session.edit((formula) => setGrams(formula, place, 250))).toBe(true);
    expect(session.state().derived.percentages.totalGrams).toBe(250);
    session.undo();
    expect(gramsIn(session)).toBe(100);
    expect(session.state().derived.percentages.totalGrams).toBe(100);
    session.redo();
    expect(gramsIn(session)).toBe(250);
    expect(session.state()).toMatchObject({ canUndo: true, canRedo: false, changed: true });
  });

  it("undoes several steps of one edit in one go, and makes none of them when one is refused", () => {
    const { session } = open();
    session.edit(
      (formula) => setGrams(formula, place, 250),
      (formula) => changeFormula(formula, { name: "Richer" }),
    );
    session.undo();
    expect(session.state().formula).toEqual(BASE);
    const refused = session.edit(
      (formula) => setGrams(formula, place, 300),
      (formula) => setGrams(formula, place, -1),
    );
    expect(refused).toBe(false);
    expect(session.state().formula).toEqual(BASE);
    expect(session.state().problem?.code).toBe("out-of-range");
  });

  it("keeps every change on the device at once, and finds it after a reload", () => {
    const { session, sent, storage } = open();
    session.edit((formula) => setGrams(formula, place, 123));
    session.type({ place: { ...place, column: "grams" }, text: "45" });
    expect(sent).toMatchObject([{ does: "draft", baseRevisionId: "r1" }]);
    const { session: again } = open(storage);
    expect(gramsIn(again)).toBe(123);
    expect(again.state()).toMatchObject({ changed: true, typing: { text: "45" } });
  });

  it("takes the server's draft of this device where there is none here", () => {
    const { session } = open(memoryStorage(), { ...BASE, name: "From the server" });
    expect(session.state()).toMatchObject({ formula: { name: "From the server" }, changed: true });
  });

  it("keeps a revision on the one it started from, and starts the next from that", () => {
    const { session, sent, storage } = open();
    session.edit((formula) => setGrams(formula, place, 200));
    const revisionId = session.keep("Doubled.");
    expect(sent.at(-1)).toMatchObject({ does: "keep", parentId: "r1", revisionId, note: "Doubled." });
    expect(session.state()).toMatchObject({ changed: false, baseRevisionId: revisionId });
    expect(storage.getItem("evencrumb.draft.a")).toBeNull();
    session.edit((formula) => setGrams(formula, place, 210));
    expect(sent.at(-1)).toMatchObject({ does: "draft", baseRevisionId: revisionId });
  });

  it("is unchanged again when an undo leads back to the revision", () => {
    const { session, sent } = open();
    session.edit((formula) => setGrams(formula, place, 200));
    session.undo();
    expect(session.state().changed).toBe(false);
    expect(sent.at(-1)).toMatchObject({ does: "drop-draft" });
  });

  it("leaves unsaved work one undo away when it starts from another revision", () => {
    const { session } = open();
    session.edit((formula) => setGrams(formula, place, 200));
    session.startFrom("r7", { ...BASE, name: "Theirs" });
    expect(session.state()).toMatchObject({ formula: { name: "Theirs" }, baseRevisionId: "r7", changed: false, canUndo: true });
    session.undo();
    expect(gramsIn(session)).toBe(200);
  });
});
