import { readFileSync } from "node:fs";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { inspect } from "./inspect.js";
import { openBrowser, type RunningBakery, startBakery, visit } from "./support.js";

// Tastings from the question to the answer, with the real server opened to the network, and tasters on small screens.
// With EVENCRUMB_PICTURES=1 the pictures of the guide are taken anew; EVENCRUMB_LOOK names a folder for all of them.

/** Twelve browsers, one after the other, on a machine that may have other work. */
const PHONES_MS = 400_000;

let browser: Browser;
let bakery: RunningBakery;
beforeAll(async () => {
  [browser, bakery] = await Promise.all([openBrowser(), startBakery({ open: true })]);
});
afterAll(async () => {
  await browser?.close();
  await bakery?.dispose();
});

interface Kept {
  readonly words: { readonly products: readonly string[] };
  readonly answers: readonly { readonly taster: number }[];
}

/** Plans a tasting in the app and leaves its page open. */
async function planned(question: string, cakes: number, tasters: number, say: (page: Page) => Promise<void> = async () => {}) {
  const visited = await visit(browser, `${bakery.url}/#/trials/${question}`);
  const { page } = visited;
  await page.locator(".cake-picker").first().waitFor();
  while ((await page.locator(".cake-picker").count()) < cakes) await page.getByRole("button", { name: "Another cake" }).click();
  // Four cakes that differ: none of them is there twice.
  const named = ["Raspberry sandwich", "Ginger slab", "Lemon loaf"];
  for (let place = 0; place < cakes; place++) {
    const select = page.locator(".cake-picker").nth(place).locator("select").first();
    const options = await select.locator("option").allTextContents();
    const others = options.filter((option) => !named.includes(option));
    const wanted = named[place] ?? others[place - named.length]!;
    await select.selectOption({ label: options.includes(wanted) ? wanted : others.at(-1)! });
  }
  await page.getByLabel("Tasters").fill(String(tasters));
  await say(page);
  await page
    .locator(".plan-summary")
    .filter({ hasText: new RegExp(`^${tasters} tasters`) })
    .waitFor();
  return visited;
}

async function served(page: Page): Promise<void> {
  await page.getByRole("button", { name: "Make the serving plan" }).click();
  await page.getByRole("heading", { name: "Who is served what" }).waitFor();
}

/** Asks for the codes and gives the links behind them, taster by taster. */
async function codesOf(page: Page): Promise<readonly string[]> {
  await page.getByRole("button", { name: "Codes for the tasters' phones" }).click();
  const codes = page.locator(".code-list a");
  await codes.first().waitFor();
  return codes.evaluateAll((all) => all.map((one) => one.getAttribute("href")!));
}

/** What the serving plan says of each taster: code and cake, in order. */
const servings = (page: Page) =>
  page.locator(".serving tbody tr").evaluateAll((rows) =>
    rows.map((row) =>
      [...row.querySelectorAll(".portion")].map((portion) => ({
        code: portion.querySelector("b")!.textContent!,
        cake: portion.textContent!.replace(/^\w+\s/, ""),
      })),
    ),
  );

/** One taster on a phone, from the allergens to the thanks. */
async function taste(link: string, theme: "light" | "dark", answer: (page: Page) => Promise<void>): Promise<void> {
  const phone = await visit(browser, bakery.url + link, { width: 390, height: 844, theme, touch: true });
  const { page } = phone;
  await page.getByRole("heading", { name: "Before you taste" }).waitFor();
  await page.getByRole("link", { name: "I can eat all of this" }).click();
  await page.getByRole("button", { name: "Send my answer" }).waitFor();
  await answer(page);
  await page.getByRole("button", { name: "Send my answer" }).click();
  await page.getByRole("heading", { name: "Thank you" }).waitFor();
  expect(phone.complaints).toEqual([]);
  await phone.context.close();
}

it(
  "tells of a triangle on twelve phones, opened by their QR codes",
  async () => {
    const { page, context, complaints } = await planned("can-people-tell", 2, 12);
    await page.getByText(/chance to notice is only 63 %/).waitFor(); // reference: 12 tasters, half notice, power 0.63
    await inspect(page, "taste ask triangle");
    await served(page);
    await inspect(page, "taste triangle before");
    const sheets = await servings(page);
    const links = await codesOf(page);
    expect(links).toHaveLength(12);

    // The QR code holds the address on the network, with the code in it; one is shown after the other.
    await page.getByRole("button", { name: "Show the QR code of taster 1", exact: true }).click();
    const pattern = page.getByRole("img", { name: "QR code for the phone of taster 1" });
    expect(await pattern.getAttribute("data-text")).toMatch(new RegExp(`^http://[\\d.]+:\\d+${links[0]}$`));
    await inspect(page, "taste code", "taste-code");
    await page.getByRole("button", { name: "Next taster" }).click();
    await page.getByRole("img", { name: "QR code for the phone of taster 2" }).waitFor();
    await page.getByRole("button", { name: "All codes" }).click();
    await inspect(page, "taste codes");

    // Nine of eleven find the odd one; the last does not taste.
    for (const [index, link] of links.slice(0, 11).entries()) {
      const sheet = sheets[index]!;
      const odd = sheet.findIndex(({ cake }) => sheet.filter((other) => other.cake === cake).length === 1);
      const chosen = sheet[index < 9 ? odd : (odd + 1) % 3]!.code;
      await taste(link, index % 2 === 0 ? "light" : "dark", async (phone) => {
        if (index < 2) await inspect(phone, "phone triangle");
        await phone.getByRole("radio", { name: chosen }).check();
      });
      await page.getByText(new RegExp(`^${index + 1} of 12 answered`)).waitFor();
    }
    expect(await page.locator(".code-list li").count()).toBe(1);
    const last = await visit(browser, bakery.url + links[11]!, { width: 390, height: 844, touch: true });
    await last.page.getByRole("button", { name: "No thank you" }).click();
    await last.page.getByRole("heading", { name: "That is quite all right" }).waitFor();
    await last.context.close();
    await page.getByText("11 of 12 answered, 1 did not taste.").waitFor();
    await page.getByText("Everyone who had a code has answered.").waitFor();
    // Exact: 9 of 11 by guessing one in three has p 0.0014: one in 700.
    expect(await page.locator("h1.answer").textContent()).toMatch(/^People can tell them apart: 9 of 11 answered right/);
    await page.getByText(/One such result in 700 would come by chance by guessing alone/).waitFor();
    expect(await page.locator("main").innerText()).not.toMatch(/\bp[ ,=<]/);
    await inspect(page, "taste triangle answer", "taste-answer");
    expect(complaints).toEqual([]);
    await context.close();
  },
  PHONES_MS,
);

it(
  "takes marks of liking from phones, with a cake left out, and reads them taster by taster",
  async () => {
    const { page, context, complaints } = await planned("how-well-is-it-liked", 2, 12);
    await page.getByText(/If two cakes differ by 1 point on average/).waitFor();
    await inspect(page, "taste ask liking");
    await served(page);
    const sheets = await servings(page);
    const links = await codesOf(page);
    const [, second] = [...new Set(sheets[0]!.map(({ cake }) => cake))].sort().reverse();
    for (const [index, link] of links.entries()) {
      await taste(link, index % 2 === 0 ? "light" : "dark", async (phone) => {
        for (const { code, cake } of sheets[index]!) {
          const mark = 4 + (index % 4) + (cake === second ? [1, 2, 1, 0, 2, 1][index % 6]! : 0);
          const group = phone.getByRole("group", { name: code });
          if (index === 11 && cake === second) await group.getByLabel("I did not taste this one").check();
          else await group.getByRole("radio", { name: String(mark), exact: true }).check();
        }
        if (index < 2) await inspect(phone, "phone liking", index === 0 ? "taster-liking" : undefined);
      });
    }
    await page.getByText("12 of 12 answered.").waitFor();
    const answer = await page.locator("h1.answer").textContent();
    expect(answer).toMatch(/is (better|less) liked by \d\.\d+\spoints of 9, between/);
    await page.getByText("The figures behind it").click();
    await page.getByText("Student's t, paired by taster").waitFor();
    await page.getByText("Tasters with a single mark, left out").waitFor();
    await inspect(page, "taste liking answer");

    // Out as CSV; one answer mended by hand; the file taken in again brings the old one back.
    await page.getByRole("button", { name: "More" }).click();
    const [file] = await Promise.all([
      page.waitForEvent("download"),
      page.getByRole("menuitem", { name: "Save the answers as CSV" }).click(),
    ]);
    const text = readFileSync(await file.path(), "utf8");
    expect(text.split(/\r?\n/)[0]).toMatch(/^taster,answer,declined,/);
    const first = page.locator(".serving tbody tr").first();
    const before = await first.locator(".given").textContent();
    await page.getByRole("button", { name: "Change what taster 1 answered", exact: true }).click();
    const dialog = page.getByRole("dialog");
    await dialog.getByRole("textbox").first().fill("12");
    await dialog.getByRole("button", { name: "Write it down" }).click();
    await dialog.getByText(/Expected a mark from 1 to 9/).waitFor();
    await inspect(page, "taste mend");
    await dialog.getByRole("textbox").first().fill("9");
    await dialog.getByRole("button", { name: "Write it down" }).click();
    await expect.poll(() => first.locator(".given").textContent()).toContain(": 9");
    await page
      .getByLabel("Answers as CSV")
      .setInputFiles({ name: "answers.csv", mimeType: "text/csv", buffer: Buffer.from(`${text.trimEnd()}\n99,123=4,,,\n`) });
    await expect.poll(() => first.locator(".given").textContent()).toBe(before);
    await page.getByText(/Expected a taster from 1 to 12/).waitFor();
    // An answer can be taken out again.
    await page.getByRole("button", { name: "Change what taster 2 answered", exact: true }).click();
    await page.getByRole("dialog").getByRole("button", { name: "Take it out" }).click();
    await page.getByText(/^11 of 12 answered/).waitFor();
    expect(complaints).toEqual([]);
    await context.close();
  },
  PHONES_MS,
);

it(
  "ranks four with an order that was expected, and says so when two share a place",
  async () => {
    const { page, context, complaints } = await planned("which-is-liked-best", 4, 12, async (asked) => {
      await asked.getByRole("checkbox", { name: /I expect an order/ }).check();
      await asked
        .getByRole("button", { name: /^Move .* up$/ })
        .last()
        .click();
    });
    await page.locator(".expected-order").scrollIntoViewIfNeeded();
    await inspect(page, "taste ask ranking", "taste-question");
    const expected = await page.locator(".expected-order li > span:first-child").allTextContents();
    expect(expected).toHaveLength(4);
    await served(page);
    const sheets = await servings(page);
    const links = await codesOf(page);
    for (const [index, link] of links.entries()) {
      // Each taster follows the order but for one neighbouring pair.
      const order = [...expected];
      const swap = index % 3;
      [order[swap], order[swap + 1]] = [order[swap + 1]!, order[swap]!];
      await taste(link, index % 2 === 0 ? "light" : "dark", async (phone) => {
        for (const { code, cake } of sheets[index]!)
          await phone
            .getByRole("group", { name: code })
            .getByRole("radio", { name: String(order.indexOf(cake) + 1), exact: true })
            .check();
        if (index > 0) return;
        await inspect(phone, "phone ranking");
        const [one, two] = sheets[0]!;
        const right = String(order.indexOf(one!.cake) + 1);
        await phone
          .getByRole("group", { name: one!.code })
          .getByRole("radio", { name: String(order.indexOf(two!.cake) + 1), exact: true })
          .check();
        await phone.getByRole("button", { name: "Send my answer" }).click();
        await phone.getByText(/Please give every one a place of its own/).waitFor();
        await inspect(phone, "phone ranking mended");
        await phone.getByRole("group", { name: one!.code }).getByRole("radio", { name: right, exact: true }).check();
      });
    }
    await page.getByText("12 of 12 answered.").waitFor();
    expect(await page.locator("h1.answer").textContent()).toBe(
      `The tasters follow the order you expected: ${expected.join(", then ")}.`,
    );
    await page.getByText("The figures behind it").click();
    await page.getByText("Page's test of the expected order").waitFor();
    await inspect(page, "taste ranking answer");
    const winner = page.getByRole("button", { name: `Make ${expected[0]} the standard` });
    await winner.waitFor();
    expect(complaints).toEqual([]);
    await context.close();
  },
  PHONES_MS,
);

it("asks which has more of a property, and takes the answers by hand", async () => {
  const { page, context, complaints } = await planned("which-has-more", 2, 6, (asked) =>
    asked.getByLabel("More of what").fill("sweetness"),
  );
  await inspect(page, "taste ask more");
  await served(page);
  for (const taster of [1, 2, 3, 4, 5, 6]) {
    await page.getByRole("button", { name: `Write down what taster ${taster} answered`, exact: true }).click();
    const dialog = page.getByRole("dialog");
    await dialog.getByText("Which has more sweetness?").waitFor();
    const sheet = (await servings(page))[taster - 1]!;
    const cake = [...new Set((await servings(page)).flat().map((one) => one.cake))].sort()[0]!;
    await dialog.getByRole("radio", { name: sheet.find((one) => one.cake === cake)!.code }).check();
    await dialog.getByRole("button", { name: "Write it down" }).click();
  }
  await page.getByText("6 of 6 answered.").waitFor();
  // Exact: six of six for one, two-sided, p 2/64: about one in thirty.
  expect(await page.locator("h1.answer").textContent()).toMatch(/has more sweetness: 6 of 6 picked it/);
  await page.getByText(/One such result in thirty/).waitFor();
  expect(await page.getByRole("button", { name: /the standard$/ }).count()).toBe(0);
  await inspect(page, "taste more answer");
  expect(complaints).toEqual([]);
  await context.close();
});

it("prints the plan, a form for each taster and the cards, with the allergens on every form", async () => {
  const { page, context } = await planned("which-do-they-prefer", 2, 4);
  await served(page);
  await page.evaluate(() => {
    // A frame of the page prints itself; the test looks at what it would print.
    const append = document.body.append.bind(document.body);
    document.body.append = (...all) => {
      for (const one of all) if (one instanceof HTMLIFrameElement) (window as { printed?: string }).printed = one.srcdoc;
      append(...all.filter((one) => !(one instanceof HTMLIFrameElement)));
    };
  });
  const printed = () => page.evaluate(() => (window as { printed?: string }).printed ?? "");
  await page.getByRole("button", { name: "More" }).click();
  await page.getByRole("menuitem", { name: "Print the serving plan" }).click();
  expect(await printed()).toContain("For the one who serves");
  await page.getByRole("button", { name: "More" }).click();
  await page.getByRole("menuitem", { name: "Print a form for each taster" }).click();
  const forms = await printed();
  expect(forms.match(/Contains <strong>/g)).toHaveLength(4);
  for (const { cake } of (await servings(page)).flat()) expect(forms).not.toContain(cake);
  const paper = await visit(browser, "about:blank", { width: 794, height: 1123 });
  await paper.page.setContent(forms);
  await inspect(paper.page, "paper forms");
  await codesOf(page);
  await page.getByRole("button", { name: "Print cards" }).click();
  const cards = await printed();
  expect(cards.match(/QR code of taster/g)).toHaveLength(4);
  await paper.page.setContent(cards);
  await inspect(paper.page, "paper cards");
  await paper.context.close();
  await context.close();
});

it("says what to start it with when phones cannot reach it", async () => {
  const closed = await startBakery();
  try {
    const { page, context } = await visit(browser, `${closed.url}/#/trials/which-do-they-prefer`);
    await page.getByLabel("The new one: formula").selectOption({ index: 1 });
    await page.getByLabel("Tasters").fill("4");
    await page
      .locator(".plan-summary")
      .filter({ hasText: /^4 tasters/ })
      .waitFor();
    await served(page);
    await page.getByText(`evencrumb serve --host 0.0.0.0 --port ${new URL(closed.url).port}`).waitFor();
    await inspect(page, "taste loopback");
    await context.close();
  } finally {
    await closed.dispose();
  }
});

/** Tastings made above; the tests stand in their order. */
describe.each([["dark", 820, 1180]] as const)("in %s at %i × %i", (theme, width, height) => {
  it("shows every tasting whole and readable", async () => {
    const { documents } = (await (await fetch(`${bakery.url}/api/documents?kind=trial`)).json()) as {
      documents: readonly { id: string; name: string }[];
    };
    const { page, context, complaints } = await visit(browser, `${bakery.url}/#/trials`, { theme, width, height });
    for (const { id, name } of documents) {
      const kept = (await (await fetch(`${bakery.url}/api/documents/${id}`)).json()) as { latest: { body: Kept } };
      await page.evaluate((address) => {
        location.hash = address;
      }, `#/trial/${id}`);
      await page.getByText(new RegExp(`^${kept.latest.body.answers.filter((one) => !("declined" in one)).length} of`)).waitFor();
      await inspect(page, `taste ${name.replace(/^.*: /, "").replace("?", "")}`);
    }
    for (const question of ["which-is-liked-best", "how-well-is-it-liked", "which-has-more", "can-people-tell"]) {
      await page.evaluate((address) => {
        location.hash = address;
      }, `#/trials/${question}`);
      await page.getByLabel("Also told to them").waitFor();
      await page.locator(".plan-summary, .ask-missing").first().waitFor();
      await inspect(page, `taste asking ${question}`);
    }
    expect(complaints).toEqual([]);
    await context.close();
  });
});
