import { ALLERGEN_CAUTION, type TasterAnswer, type TasterSheet, type TastingWords } from "@evencrumb/core/trials";

// The taster's page: plain HTML without a script, because it has to open on any phone and be read in a kitchen.

const STYLE = `
:root { color-scheme: light dark; --paper: #fbf9f4; --ink: #241f1b; --muted: #655b51; --rule: #b3a695; --accent: #7a1f4b; --on: #fffafc; --wash: #f7e9ef; --caution: #7d4600; }
@media (prefers-color-scheme: dark) { :root { --paper: #191614; --ink: #efe8dd; --muted: #b5a99b; --rule: #6d6156; --accent: #eda3c2; --on: #2b0d1b; --wash: #3a2230; --caution: #f0bd6e; } }
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink); font: 400 1.15rem/1.5 system-ui, sans-serif; }
main { max-width: 34rem; margin: 0 auto; padding: 1.5rem 1.25rem 3rem; display: grid; gap: 1.3rem; }
h1 { font: 600 1.7rem/1.2 Georgia, serif; margin: 0; }
p { margin: 0; }
.muted { color: var(--muted); font-size: 1rem; }
.contains { border: 3px solid var(--ink); border-radius: 10px; padding: 0.9rem 1.1rem; display: grid; gap: 0.5rem; }
.contains strong { font-size: 1.35rem; line-height: 1.35; overflow-wrap: anywhere; }
.wrong { color: var(--caution); font-weight: 600; border-left: 4px solid var(--caution); padding-left: 0.8rem; }
form { display: grid; gap: 1.3rem; }
button, .go { display: block; width: 100%; text-align: center; text-decoration: none; font: 600 1.2rem/1.3 system-ui, sans-serif; min-height: 3.6rem; padding: 0.9rem 1rem; border-radius: 10px; border: 2px solid var(--rule); background: none; color: var(--ink); cursor: pointer; }
button.main, .go { background: var(--accent); border-color: var(--accent); color: var(--on); }
:focus-visible { outline: 3px solid var(--accent); outline-offset: 3px; }
fieldset { border: 0; margin: 0; padding: 0; display: grid; gap: 0.6rem; min-width: 0; }
legend { padding: 0; margin-bottom: 0.6rem; font-weight: 600; }
.sample { display: flex; gap: 1rem; align-items: center; min-height: 4rem; padding: 0.4rem 1rem; border: 2px solid var(--rule); border-radius: 10px; font-size: 1.9rem; font-variant-numeric: tabular-nums; cursor: pointer; }
.sample:has(:checked) { border-color: var(--accent); background: var(--wash); }
.sample input { width: 1.6rem; height: 1.6rem; accent-color: var(--accent); flex: none; margin: 0; }
.placed { border-bottom: 1px solid var(--rule); padding-bottom: 0.5rem; }
.none { display: flex; gap: 0.7rem; align-items: center; min-height: 2.8rem; font-size: 1rem; color: var(--muted); cursor: pointer; }
.none input { width: 1.3rem; height: 1.3rem; accent-color: var(--accent); margin: 0; }
.marks { display: grid; grid-template-columns: repeat(9, minmax(0, 1fr)); gap: 0.2rem; }
.mark { display: grid; justify-items: center; gap: 0.2rem; padding: 0.6rem 0; border-radius: 8px; font-size: 1.1rem; cursor: pointer; }
.mark input { width: 1.5rem; height: 1.5rem; accent-color: var(--accent); margin: 0; }
.mark:has(:checked) { background: var(--wash); font-weight: 700; }
.ends { display: flex; justify-content: space-between; font-size: 0.95rem; color: var(--muted); }
.code { font-size: 1.9rem; font-variant-numeric: tabular-nums; }
`;

/** Said first, before anything is asked. */
export function allergenPage(words: TastingWords, path: string): string {
  const contains =
    words.allergens.length === 0
      ? "None of the allergens that have to be named, as far as the baker knows."
      : words.allergens.join(", ");
  const may = words.mayContain ?? [];
  const warnings = words.warnings ?? [];
  return page(
    "Before you taste",
    `<h1>Before you taste</h1>
<section class="contains" aria-label="Allergens">
<p>These cakes contain</p>
<p><strong>${plain(contains)}</strong></p>
${may.length === 0 ? "" : `<p>They may also contain</p><p><strong>${plain(may.join(", "))}</strong></p>`}
${warnings.length === 0 ? "" : `<p>Also to know</p><p><strong>${plain(warnings.join("; "))}</strong></p>`}
</section>
<p>${plain(ALLERGEN_CAUTION)}</p>
<form method="post" action="${path}"><input type="hidden" name="declined" value="yes"><button type="submit">No thank you</button></form>
<a class="go" href="${path}?ready=yes">I can eat all of this</a>
<p class="muted">No name is asked for, and no reason. Your answer is kept under a number only.</p>`,
  );
}

/** The one question, with what was already chosen when something was missing. */
export function questionPage(
  words: TastingWords,
  sheet: TasterSheet,
  path: string,
  wrong?: { readonly why: string; readonly form: Form },
): string {
  const allergens = words.allergens.length === 0 ? "" : `<p class="muted">Contains ${plain(words.allergens.join(", "))}.</p>`;
  return page(
    "Your tasting",
    `<h1>${plain(sheet.instruction)}</h1>
<p class="muted">Rinse with water before each sample. Taster ${sheet.taster}.</p>
${wrong === undefined ? "" : `<p class="wrong" role="alert">${plain(wrong.why)}</p>`}
<form method="post" action="${path}">
${fields(words, sheet, wrong?.form ?? {})}
<button type="submit" class="main">Send my answer</button>
</form>
<form method="post" action="${path}"><input type="hidden" name="declined" value="yes"><button type="submit">No thank you, I stop here</button></form>
${allergens}`,
  );
}

function fields(words: TastingWords, sheet: TasterSheet, chosen: Form): string {
  const samples = sheet.samples.filter(({ role }) => role === "sample");
  switch (words.method) {
    case "liking":
      return samples
        .map(({ code }) => {
          const mark = (value: number) =>
            `<label class="mark"><input type="radio" name="mark-${code}" value="${value}" required${chosen[`mark-${code}`] === String(value) ? " checked" : ""}>${value}</label>`;
          return `<fieldset><legend class="code">${code}</legend><div class="marks">${[1, 2, 3, 4, 5, 6, 7, 8, 9].map(mark).join("")}</div><div class="ends"><span>dislike extremely</span><span>neither</span><span>like extremely</span></div><label class="none"><input type="radio" name="mark-${code}" value="none"${chosen[`mark-${code}`] === "none" ? " checked" : ""}>I did not taste this one</label></fieldset>`;
        })
        .join("\n");
    case "ranking":
      return `<p>1 is the place of the one you like best. Each place once.</p>${samples
        .map(({ code }) => {
          const place = (_: unknown, index: number) =>
            `<label class="mark"><input type="radio" name="place-${code}" value="${index + 1}" required${chosen[`place-${code}`] === String(index + 1) ? " checked" : ""}>${index + 1}</label>`;
          return `<fieldset class="placed"><legend class="code">${code}</legend><div class="marks" style="grid-template-columns:repeat(${Math.min(9, samples.length)},minmax(0,1fr))">${samples.map(place).join("")}</div></fieldset>`;
        })
        .join("")}`;
    default: {
      const two = words.method === "tetrad";
      return `<fieldset><legend>${two ? "Choose two that are alike" : "Choose one"}</legend>${samples
        .map(
          ({ code }) =>
            `<label class="sample"><input type="${two ? "checkbox" : "radio"}" name="code" value="${code}"${two ? "" : " required"}${[chosen.code ?? []].flat().includes(code) ? " checked" : ""}>${code}</label>`,
        )
        .join("")}</fieldset>`;
    }
  }
}

export const thanksPage = (): string =>
  page("Thank you", "<h1>Thank you</h1><p>Your answer is with the baker. You can close this page.</p>");

export const declinedPage = (): string =>
  page(
    "That is quite all right",
    "<h1>That is quite all right</h1><p>Nothing else is asked of you, and nobody will ask why. Thank you for reading what is in it. You can close this page.</p>",
  );

export const unknownCodePage = (): string =>
  page(
    "This code is not known",
    "<h1>This code is not known</h1><p>It may have been mistyped, or its time is over. Ask the baker for a new one.</p>",
  );

export const tooOftenPage = (): string =>
  page("One moment", "<h1>One moment</h1><p>Too many codes were tried from here. Wait a minute, then type yours once more.</p>");

/** Where a code is typed that was read out or written on a card. */
export const codePage = (): string =>
  page(
    "Your code",
    `<h1>Your code for the tasting</h1>
<form method="get" action="/taste"><label for="code">It has eight letters and digits</label>
<input id="code" name="code" required autocomplete="off" autocapitalize="none" spellcheck="false" style="font-size:1.6rem;padding:.7rem;border-radius:8px;border:2px solid var(--rule);background:var(--paper);color:var(--ink);width:100%">
<button type="submit" class="main">Go on</button></form>`,
  );

type Form = Readonly<Record<string, string | readonly string[] | undefined>>;

/** Why a form cannot be taken yet, in words for the one who filled it in; undefined when it can. */
export function whatIsMissing(form: Form, words: TastingWords, sheet: TasterSheet): string | undefined {
  if (form.declined === "yes") return undefined;
  const codes = sheet.samples.filter(({ role }) => role === "sample").map(({ code }) => code);
  switch (words.method) {
    case "liking": {
      const open = codes.filter((code) => form[`mark-${code}`] === undefined);
      if (open.length > 0) return `Please give ${open.join(" and ")} a mark too, or say that you did not taste it.`;
      return codes.every((code) => form[`mark-${code}`] === "none")
        ? "You tasted none of them: stop here with “No thank you” below, and nothing else is asked."
        : undefined;
    }
    case "ranking": {
      const places = codes.map((code) => form[`place-${code}`]);
      return new Set(places).size === codes.length && !places.includes(undefined)
        ? undefined
        : `Please give every one a place of its own, from 1 to ${codes.length}: two have the same place, or one has none.`;
    }
    case "tetrad":
      return [form.code ?? []].flat().length === 2 ? undefined : "Please choose the two that are alike.";
    default:
      return [form.code ?? []].flat().length === 1 ? undefined : "Please choose one.";
  }
}

/** What a form sent, as an answer; whether it fits the sheet is judged elsewhere. */
export function answerFrom(form: Form, words: TastingWords, sheet: TasterSheet): TasterAnswer {
  const { taster } = sheet;
  const samples = sheet.samples.filter(({ role }) => role === "sample");
  if (form.declined === "yes") return { taster, declined: true };
  if (words.method === "liking") {
    const marks = samples.flatMap(({ code }) => {
      const mark = Number(form[`mark-${code}`]);
      return Number.isInteger(mark) ? [[code, mark] as const] : [];
    });
    return { taster, marks: Object.fromEntries(marks) };
  }
  if (words.method === "ranking") {
    const placed = samples.map(({ code }) => ({ code, place: Number(form[`place-${code}`]) }));
    const places = samples.map((_, index) => placed.filter(({ place }) => place === index + 1));
    // Two on one place is no order; said by what is missing, since ties are not asked for.
    return { taster, codes: places.flatMap((at) => (at.length === 1 ? [at[0]!.code] : [])) };
  }
  const sent = form.code;
  return { taster, codes: sent === undefined ? [] : typeof sent === "string" ? [sent] : [...sent] };
}

function page(title: string, content: string): string {
  // The referrer is allowed to this server itself: without it a browser hides where a form comes from, and it would be refused.
  return `<!doctype html>
<html lang="en-GB"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><meta name="referrer" content="same-origin"><meta name="robots" content="noindex"><title>${plain(title)}</title><style>${STYLE}</style></head>
<body><main>${content}</main></body></html>`;
}

const plain = (text: string): string => text.replace(/[&<>"']/g, (letter) => `&#${letter.charCodeAt(0)};`);
