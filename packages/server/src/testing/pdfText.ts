import { inflateSync } from "node:zlib";

/**
 * What a reader copies out of a PDF as this renderer writes it: the text of each page in drawing order, by the fonts' own maps back to
 * Unicode. For tests.
 */
export function pdfText(bytes: Uint8Array): string {
  const raw = Buffer.from(bytes).toString("latin1");
  const objects = new Map<string, string>();
  for (const [, number, body] of raw.matchAll(/(?:^|\n)(\d+) 0 obj\s([\s\S]*?)\nendobj/g)) objects.set(number!, body!);
  const streamOf = (number: string | undefined) => {
    const body = number === undefined ? undefined : objects.get(number);
    const found = body === undefined ? undefined : /stream\r?\n([\s\S]*?)\r?\nendstream/.exec(body);
    if (!found) return "";
    const data = Buffer.from(found[1]!, "latin1");
    return body!.includes("/FlateDecode") ? inflateSync(data).toString("latin1") : found[1]!;
  };
  const maps = new Map<string, ReadonlyMap<string, string>>();
  for (const [number, body] of objects) {
    const map = /\/ToUnicode (\d+) 0 R/.exec(body)?.[1];
    if (map !== undefined) maps.set(number, readMap(streamOf(map)));
  }
  let text = "";
  for (const body of objects.values()) {
    if (!/\/Type \/Page\b(?!s)/.test(body)) continue;
    const resources = /\/Resources (\d+) 0 R/.exec(body)?.[1];
    const fonts = new Map(
      [...((resources && objects.get(resources)) || body).matchAll(/\/(F\d+) (\d+) 0 R/g)].map(([, name, number]) => [
        name!,
        number!,
      ]),
    );
    let map: ReadonlyMap<string, string> | undefined;
    for (const [, font, shown] of streamOf(/\/Contents (\d+) 0 R/.exec(body)?.[1]).matchAll(
      /\/(F\d+) [\d.]+ Tf|((?:\[[^\]]*\]|<[0-9a-fA-F]*>)\s*TJ?j?)/g,
    )) {
      if (font !== undefined) map = maps.get(fonts.get(font) ?? "");
      else {
        for (const [, hex] of shown!.matchAll(/<([0-9a-fA-F]*)>/g)) {
          for (const code of hex!.match(/.{4}/g) ?? []) text += map?.get(code.toLowerCase()) ?? "\ufffd";
        }
      }
    }
    text += "\n";
  }
  return text;
}

function readMap(source: string): ReadonlyMap<string, string> {
  const map = new Map<string, string>();
  const letters = (hex: string) =>
    (hex.match(/.{4}/g) ?? []).map((code) => String.fromCharCode(Number.parseInt(code, 16))).join("");
  for (const [, from, , list] of source.matchAll(/<([0-9a-f]+)>\s*<([0-9a-f]+)>\s*\[([^\]]*)\]/gi)) {
    [...list!.matchAll(/<([0-9a-f ]*)>/gi)].forEach(([, hex], at) => {
      const code = (Number.parseInt(from!, 16) + at).toString(16).padStart(4, "0");
      map.set(code, letters(hex!.replaceAll(" ", "")));
    });
  }
  for (const [, block] of source.matchAll(/beginbfchar([\s\S]*?)endbfchar/g))
    for (const [, code, hex] of block!.matchAll(/<([0-9a-f]+)>\s*<([0-9a-f]+)>/gi)) map.set(code!.toLowerCase(), letters(hex!));
  return map;
}
