import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { COMMANDS } from "./commandList.js";
import { runWords, shellWords } from "./testing.js";

const guide = readFileSync(new URL("../../../docs/guide/command-line.md", import.meta.url), "utf8");
const readme = readFileSync(new URL("../../../README.md", import.meta.url), "utf8");
const examples = [...`${guide}\n${readme}`.matchAll(/```console\n\$ evencrumb ([^\n]+)\n([\s\S]*?)```/g)].map(
  ([, line, output]) => [line!, output!] as const,
);

it.each(examples)("the guide and the README show what evencrumb %s prints", async (line, printed) => {
  const { status, output } = await runWords(shellWords(line));
  expect(status).toBe(0);
  expect(output.replace(/ +$/gm, "")).toBe(printed);
});

it("the guide names every command", () => {
  expect(examples.length).toBeGreaterThan(7);
  for (const { name } of COMMANDS) expect(guide).toContain(`evencrumb ${name}`);
  for (const { name } of COMMANDS) expect(guide, `shape of ${name}`).toContain(`\`${name}/1\``);
});
