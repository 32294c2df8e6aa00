import { planTasting, type TastingWords } from "@evencrumb/core/trials";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { bakeryKinds } from "./kinds.js";
import { readTastingDocument } from "./tasting.js";
import { CODE_HOURS, TastingCodes } from "./tastingCodes.js";
import { type Bakery, openBakery } from "./testing/bakery.js";

const words: TastingWords = {
  method: "triangle",
  products: ["standard", "with oil"],
  tasterCount: 6,
  seed: 4,
  allergens: ["wheat", "eggs", "milk"],
  mayContain: ["hazelnut & almond"],
};
const tasting = (change: Partial<TastingWords> = {}) => ({
  shape: "evencrumb.taste/1",
  name: "Can they tell?",
  kind: "can people tell",
  words: { ...words, ...change },
  answers: [],
});
const ID = "5a1d0001-0000-4000-8000-00000000aaaa";
const check = (body: unknown) => bakeryKinds().trial!.check(body);

let bakery: Bakery;
let time = Date.parse("2030-03-01T06:00:00Z");
beforeEach(async () => {
  time = Date.parse("2030-03-01T06:00:00Z");
  bakery = await openBakery({ addresses: () => ["http://192.168.1.20:4310"], now: () => new Date(time) });
});
afterEach(() => bakery.dispose());

const put = (body: unknown) => bakery.call("POST", "/api/documents", { id: ID, kind: "trial", body });
const form = (fields: Record<string, string>, path: string) =>
  bakery.app.request(path, {
    method: "POST",
    headers: { "content-type": "application/x-www-form-urlencoded" },
    body: new URLSearchParams(fields).toString(),
  });
async function issue(tasters?: number[]) {
  const { json, status } = await bakery.call("POST", `/api/tastings/${ID}/codes`, tasters === undefined ? {} : { tasters });
  expect(status).toBe(200);
  return json as { codes: { taster: number; code: string; path: string }[]; addresses: string[]; endsAt: string };
}
const latest = async () => (await bakery.call("GET", `/api/documents/${ID}`)).json.latest.body;

describe("what is kept", () => {
  it("takes a tasting and a trial, and says what is wrong with either", () => {
    expect(check(tasting())).toEqual([]);
    expect(check({ ...tasting(), words: { ...words, products: ["one"] } })[0]!.remedy).toContain("two products");
    expect(check({ ...tasting(), words: { ...words, allergens: undefined } })[0]!.path).toEqual(["words", "allergens"]);
    expect(check({ ...tasting(), answers: [{ taster: 0 }] })[0]!.path).toEqual(["answers"]);
    expect(check({ name: "Height" })[0]!.expected).toContain("evencrumb.trial/1 or evencrumb.taste/1");
    expect(
      check({ name: "Height", shape: "evencrumb.trial/1", kind: "better", promise: { summary: "" }, sheet: {} }),
    ).not.toEqual([]);
  });

  it("draws the same serving plan from the kept words", () => {
    expect(readTastingDocument(tasting()).value!.plan).toEqual(planTasting(words));
  });
});

describe("a tasting on phones", () => {
  it("says the allergens first, asks once, and keeps the answer under a number", async () => {
    await put(tasting());
    const { codes, addresses } = await issue();
    expect(codes.map(({ taster }) => taster)).toEqual([1, 2, 3, 4, 5, 6]);
    expect(new Set(codes.map(({ code }) => code)).size).toBe(6);
    expect(addresses).toEqual(["http://192.168.1.20:4310"]);

    const { path } = codes[1]!;
    const first = await (await bakery.app.request(path)).text();
    expect(first).toContain("wheat, eggs, milk");
    expect(first).toContain("hazelnut &#38; almond");
    expect(first).toContain("No thank you");
    expect(first).not.toContain("Which one is different");
    expect(first).not.toContain("<script");

    const question = await (await bakery.app.request(`${path}?ready=yes`)).text();
    const sheet = planTasting(words).sheets[1]!;
    for (const { code } of sheet.samples) expect(question).toContain(code);
    for (const product of words.products) expect(question).not.toContain(product);

    const missing = await form({}, path);
    expect(missing.status).toBe(422);
    expect(await missing.text()).toContain("Please choose one.");
    expect((await latest()).answers).toEqual([]);

    const sent = await form({ code: sheet.right![0]! }, path);
    expect(await sent.text()).toContain("Thank you");
    expect((await latest()).answers).toEqual([{ taster: 2, codes: [sheet.right![0]!] }]);

    // The code is used up: nothing that is sent later counts.
    expect(await (await form({ declined: "yes" }, path)).text()).toContain("Thank you");
    expect((await latest()).answers).toHaveLength(1);
  });

  it("ends kindly for one who will not taste, and counts nothing", async () => {
    await put(tasting());
    const { codes } = await issue([5]);
    expect(codes).toHaveLength(1);
    const ended = await form({ declined: "yes" }, codes[0]!.path);
    expect(await ended.text()).toContain("quite all right");
    expect((await latest()).answers).toEqual([{ taster: 5, declined: true }]);
  });

  it("loses no answer when all send at once", async () => {
    await put(tasting());
    const { codes } = await issue();
    const sheets = planTasting(words).sheets;
    await Promise.all(codes.map(({ path, taster }) => form({ code: sheets[taster - 1]!.samples[0]!.code }, path)));
    expect((await latest()).answers.map(({ taster }: { taster: number }) => taster).sort()).toEqual([1, 2, 3, 4, 5, 6]);
  });

  it("takes an order, and asks again when two stand in one place", async () => {
    await put(tasting({ method: "ranking", products: ["a", "b", "c"] }));
    const { codes } = await issue([1]);
    const [x, y, z] = planTasting({ ...words, method: "ranking", products: ["a", "b", "c"] }).sheets[0]!.samples.map(
      ({ code }) => code,
    );
    const again = await form({ [`place-${x}`]: "1", [`place-${y}`]: "1", [`place-${z}`]: "2" }, codes[0]!.path);
    expect(again.status).toBe(422);
    const shown = await again.text();
    expect(shown).toContain("a place of its own, from 1 to 3");
    // What was chosen stands as it was chosen.
    expect(shown.match(/name="place-(\d{3})" value="(\d)" required checked/g)).toEqual(
      [x, y, z].map((code, at) => `name="place-${code}" value="${[1, 1, 2][at]}" required checked`),
    );
    await form({ [`place-${x}`]: "2", [`place-${y}`]: "1", [`place-${z}`]: "3" }, codes[0]!.path);
    expect((await latest()).answers).toEqual([{ taster: 1, codes: [y, x, z] }]);
  });

  it("takes marks of liking", async () => {
    await put(tasting({ method: "liking" }));
    const { codes } = await issue([1]);
    const [x, y] = planTasting({ ...words, method: "liking" }).sheets[0]!.samples.map(({ code }) => code);
    expect((await form({ [`mark-${x}`]: "7" }, codes[0]!.path)).status).toBe(422);
    await form({ [`mark-${x}`]: "7", [`mark-${y}`]: "4" }, codes[0]!.path);
    expect((await latest()).answers[0].marks).toEqual({ [x!]: 7, [y!]: 4 });
  });

  it("takes a cake that was not tasted as no mark, and a tasting of none as none", async () => {
    await put(tasting({ method: "liking", warnings: ["raw egg"] }));
    const { codes } = await issue([1]);
    const path = codes[0]!.path;
    expect(await (await bakery.app.request(path)).text()).toContain("raw egg");
    const [x, y] = planTasting({ ...words, method: "liking" }).sheets[0]!.samples.map(({ code }) => code);
    const none = await form({ [`mark-${x}`]: "none", [`mark-${y}`]: "none" }, path);
    expect(none.status).toBe(422);
    expect(await none.text()).toContain("You tasted none of them");
    await form({ [`mark-${x}`]: "none", [`mark-${y}`]: "6" }, path);
    expect((await latest()).answers).toEqual([{ taster: 1, marks: { [y!]: 6 } }]);
  });

  it.each([
    ["duo-trio", "same as R"],
    ["2-AFC", "Which has more sweetness?"],
    ["3-AFC", "has the most sweetness?"],
    ["tetrad", "two groups of two"],
    ["paired preference", "Which do you prefer?"],
  ] as const)("asks the %s, and takes its answer", async (method, question) => {
    await put(tasting({ method, property: "sweetness" }));
    const { codes } = await issue([3]);
    const asked = await (await bakery.app.request(`${codes[0]!.path}?ready=yes`)).text();
    expect(asked).toContain(question);
    const offered = [...asked.matchAll(/name="code" value="(\w+)"/g)].map(([, code]) => code!);
    expect(offered).not.toContain("R");
    const chosen = offered.slice(0, method === "tetrad" ? 2 : 1);
    const body = new URLSearchParams(chosen.map((code) => ["code", code])).toString();
    const headers = { "content-type": "application/x-www-form-urlencoded" };
    expect((await bakery.app.request(codes[0]!.path, { method: "POST", headers, body })).status).toBe(200);
    expect((await latest()).answers).toEqual([{ taster: 3, codes: chosen }]);
  });

  it("says where phones reach it", async () => {
    expect((await bakery.call("GET", "/api/tastings/addresses")).json).toEqual({ addresses: ["http://192.168.1.20:4310"] });
  });

  it("ends codes: by a newer one, by time, and gives none for what is no tasting", async () => {
    await put(tasting());
    const old = (await issue([1])).codes[0]!;
    const fresh = (await issue([1])).codes[0]!;
    expect((await bakery.app.request(old.path)).status).toBe(404);
    expect((await bakery.app.request(fresh.path.toUpperCase().replace("TASTE", "taste").replace("-", " "))).status).not.toBe(500);
    time += CODE_HOURS * 3_600_000 + 1;
    expect((await bakery.app.request(fresh.path)).status).toBe(404);
    const none = await bakery.call("POST", "/api/tastings/5a1d0001-0000-4000-8000-00000000bbbb/codes", {});
    expect(none.status).toBe(404);
  });

  it("stops guessing, and lists no code anywhere", async () => {
    await put(tasting());
    const { codes } = await issue();
    const statuses: number[] = [];
    for (let turn = 0; turn < 12; turn++) statuses.push((await bakery.app.request(`/taste/wrong${turn}`)).status);
    expect(statuses.slice(0, 10).every((status) => status === 404)).toBe(true);
    expect(statuses.slice(10)).toEqual([429, 429]);
    time += 61_000;
    expect((await bakery.app.request(codes[0]!.path)).status).toBe(200);
    expect((await bakery.call("GET", `/api/tastings/${ID}/codes`)).status).toBe(404);
    const everything = JSON.stringify((await bakery.call("GET", `/api/documents/${ID}`)).json);
    for (const { code } of codes) expect(everything).not.toContain(code.replace("-", ""));
  });
});

it("takes a code however it is written", () => {
  const codes = new TastingCodes(() => new Date(0));
  const { code } = codes.issue(ID, 3)!;
  expect(codes.find(` ${code.slice(0, 4).toUpperCase()} - ${code.slice(4)}`, "a")).toMatchObject({ taster: 3, answered: false });
});
