/**
 * The whole of `npm test`: machine, lint and types, demo set, build, unit tests, browser tests. Every part
 * runs even when one before it failed; the last line counts the tests of all of them.
 */
import { spawnSync } from 'node:child_process';
import { mkdirSync, readFileSync, rmSync } from 'node:fs';
import { audit } from './audit.ts';
import { ensureSystem } from './system.ts';

const REPORTS = '.cache/reports';
const failures: string[] = [];
const count = { passed: 0, failed: 0, skipped: 0 };

function step(name: string, args: string[], env: Record<string, string> = {}): boolean {
  console.log(`\n== ${name}`);
  const { status } = spawnSync('npx', args, { stdio: 'inherit', env: { ...process.env, ...env } });
  if (status !== 0) failures.push(name);
  return status === 0;
}

function report(file: string): unknown {
  try {
    return JSON.parse(readFileSync(`${REPORTS}/${file}`, 'utf8'));
  } catch {
    failures.push(`${file}: no report was written`);
    return null;
  }
}

interface UnitReport {
  numPassedTests: number;
  numFailedTests: number;
  numPendingTests: number;
}
interface BrowserReport {
  stats: { expected: number; unexpected: number; flaky: number; skipped: number };
}

rmSync(REPORTS, { recursive: true, force: true });
mkdirSync(REPORTS, { recursive: true });
ensureSystem();

step('Format', ['prettier', '--check', '--log-level', 'warn', '.']);
step('Lint', ['eslint', '-c', '.config/eslint.config.js', '.']);
step('Types', ['tsc', '--noEmit']);
step('Types of components', ['svelte-check', '--tsconfig', './tsconfig.json', '--fail-on-warnings']);
console.log('\n== Known faults of shipped packages');
if (!audit()) failures.push('Known faults of shipped packages');
const demo = step('Demo set', ['tsx', 'demo/prepare.ts']);
const built = step('Build', ['vite', 'build', '--logLevel', 'warn']);

step('Unit tests', [
  'vitest',
  'run',
  '--reporter=default',
  '--reporter=json',
  `--outputFile.json=${REPORTS}/unit.json`,
]);
const unit = report('unit.json') as UnitReport | null;
if (unit) {
  count.passed += unit.numPassedTests;
  count.failed += unit.numFailedTests;
  count.skipped += unit.numPendingTests;
}

if (demo && built) {
  step('Browser tests', ['playwright', 'test', '-c', 'e2e/playwright.config.ts']);
  const browser = report('browser.json') as BrowserReport | null;
  if (browser) {
    count.passed += browser.stats.expected + browser.stats.flaky;
    count.failed += browser.stats.unexpected;
    count.skipped += browser.stats.skipped;
  }
} else {
  failures.push('Browser tests: not run, because there is no build');
}

if (failures.length) console.log(`\nNot in order: ${failures.join('; ')}`);
console.log(`\n${count.passed} passed, ${count.failed} failed, ${count.skipped} skipped`);
process.exitCode = failures.length || count.failed || !count.passed ? 1 : 0;
