import type { Reporter, TestModule } from "vitest/node";

/** Ends a run with one plain line: 'N passed, N failed, N skipped'. */
export default class ClosingLine implements Reporter {
  onTestRunEnd(modules: readonly TestModule[], errors: readonly unknown[]): void {
    const count = { passed: 0, failed: errors.length, skipped: 0 };
    for (const module of modules) {
      // A file that could not be loaded, or a suite's failing hook, has no failing test of its own.
      let seen = 0;
      for (const test of module.children.allTests()) {
        const { state } = test.result();
        if (state === "pending") count.skipped++;
        else count[state]++;
        if (state === "failed") seen++;
      }
      if (module.state() === "failed" && seen === 0) count.failed++;
    }
    const skipped = count.skipped > 0 ? `, ${count.skipped} skipped` : "";
    console.log(`${count.passed} passed, ${count.failed} failed${skipped}`);
  }
}
