import { defineConfig } from "vitest/config";

// Sources are read directly: no build is needed to run a unit test.
// "import" is left out: vitest would hand it to Node for every package, and pg cannot be loaded so.
const conditions = ["evencrumb-source", "module", "node"];

export default defineConfig({
  test: {
    reporters: ["default", "./tools/countReporter.ts"],
    projects: [
      {
        resolve: { conditions },
        ssr: { resolve: { conditions, externalConditions: conditions } },
        test: {
          name: "unit",
          include: ["packages/*/src/**/*.test.{ts,tsx}", "tools/**/*.test.ts"],
          environment: "node",
          testTimeout: 30_000,
        },
      },
      {
        resolve: { conditions },
        ssr: { resolve: { conditions, externalConditions: conditions } },
        test: {
          name: "browser",
          include: ["packages/web/e2e/**/*.e2e.ts"],
          environment: "node",
          testTimeout: 120_000,
          hookTimeout: 120_000,
          fileParallelism: false,
        },
      },
    ],
  },
});
