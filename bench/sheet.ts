import { spawnSync } from "node:child_process";

// The app is measured in a real browser by its own test, which prints what the Performance API saw. Needs `npm run build` first.
const { status } = spawnSync(
  "npx",
  ["vitest", "run", "--project", "browser", "packages/web/e2e/speed.e2e.ts", "--disable-console-intercept"],
  {
    stdio: "inherit",
  },
);
process.exitCode = status ?? 1;
