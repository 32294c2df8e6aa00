import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { dirname, join, normalize } from "node:path";
import { expect, it } from "vitest";

const isFolder = (path: string) => statSync(path).isDirectory();

it("names every folder of core in ARCHITECTURE.md, and no folder that does not exist", () => {
  const page = readFileSync("ARCHITECTURE.md", "utf8");
  const named = [...page.matchAll(/^\| `core\/([a-z]+)`/gm)].map((match) => match[1]);
  const present = readdirSync("packages/core/src").filter(
    (name) => isFolder(`packages/core/src/${name}`) && readdirSync(`packages/core/src/${name}`).length > 0,
  );
  expect(named.toSorted()).toEqual(present.toSorted());
});

it("has no dead link between its documents", () => {
  const pages = ["README.md", "ARCHITECTURE.md", "CHANGELOG.md", ...listPages("docs"), ...listPages("examples")];
  const dead = pages.flatMap((page) =>
    [...readFileSync(page, "utf8").matchAll(/\]\((?!https?:|#|mailto:)([^)#\s]+)/g)]
      .map((match) => normalize(join(dirname(page), match[1]!)))
      .filter((target) => !existsSync(target))
      .map((target) => `${page} links to ${target}`),
  );
  expect(dead).toEqual([]);
});

function listPages(folder: string): string[] {
  if (!existsSync(folder)) return [];
  return readdirSync(folder, { recursive: true, encoding: "utf8" })
    .filter((path) => path.endsWith(".md"))
    .map((path) => join(folder, path));
}
