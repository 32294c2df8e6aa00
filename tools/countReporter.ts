import type { Reporter, TestModule } from "vitest/node";

/** Closes a run with one plain line, "N passed, N failed, N skipped", that any script can read. */
export default class CountReporter implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    const count = { passed: 0, failed: 0, skipped: 0, pending: 0 };
    for (const module of modules) {
      // A file that could not be loaded holds no tests, and is a failure all the same.
      if (module.state() === "failed" && module.children.size === 0) count.failed += 1;
      for (const test of module.children.allTests()) count[test.result().state] += 1;
    }
    console.log(`${count.passed} passed, ${count.failed} failed, ${count.skipped} skipped`);
  }
}
