import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/**
 * `npm test`: every test, unit and real browser, then one plain line `N passed, N failed`. Arguments go on to vitest
 * (`npm test -- test/speech`).
 */
const root = fileURLToPath(new URL('..', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'meniscall-test-'));
const report = join(folder, 'report.json');
const vitest = fileURLToPath(new URL('../node_modules/vitest/vitest.mjs', import.meta.url));
const run = spawnSync(
  process.execPath,
  [vitest, 'run', '--reporter=default', '--reporter=json', `--outputFile.json=${report}`, ...process.argv.slice(2)],
  { cwd: root, stdio: 'inherit' },
);

let passed = 0;
let failed = 0;
try {
  const counts: unknown = JSON.parse(readFileSync(report, 'utf8'));
  if (typeof counts === 'object' && counts !== null) {
    if ('numPassedTests' in counts) passed = Number(counts.numPassedTests);
    if ('numFailedTests' in counts) failed = Number(counts.numFailedTests);
    // A file that fails to load has no failed test of its own; it counts as one.
    if (run.status !== 0 && failed === 0) failed = 1;
  }
} catch {
  failed = 1;
}
rmSync(folder, { recursive: true, force: true });
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = run.status === 0 && passed > 0 && failed === 0 ? 0 : 1;
