/** Accessibility rules that a machine can check, by axe-core, on the page as it stands. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from '@playwright/test';
import type { AxeResults, RunOptions } from 'axe-core';

const SCRIPT = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** WCAG 2.0 to 2.2, levels A and AA, and axe's own best practices. */
const OPTIONS: RunOptions = {
  runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
  resultTypes: ['violations'],
};

export interface AccessReport {
  /** Each broken rule with the elements that break it. */
  violations: string[];
  /** Rules that were applied and held: none means that nothing was checked. */
  passed: number;
}

/** Runs every rule over the whole page, or only the rules that are named. */
export async function checkAccess(page: Page, rules?: readonly string[]): Promise<AccessReport> {
  // As the debugger would: the page's own policy lets no foreign script in.
  await page.evaluate(SCRIPT);
  // WCAG 2.5.8 leaves out targets whose place is what they say: on a time axis a boundary stands where it is, and
  // looking closer sets neighbours apart.
  await page.evaluate(() =>
    (window as unknown as { axe: { configure(spec: object): void } }).axe.configure({
      rules: [{ id: 'target-size', selector: '*:not(.lane *, .anchors *)' }],
    }),
  );
  const results = await page.evaluate(
    (options) =>
      (window as unknown as { axe: { run(root: Document, options: object): Promise<AxeResults> } }).axe.run(
        document,
        options,
      ),
    rules ? { ...OPTIONS, runOnly: rules } : OPTIONS,
  );
  return {
    violations: results.violations.map(
      ({ id, help, nodes }) => `${id}: ${help}: ${nodes.map((node) => node.html.slice(0, 160)).join(' | ')}`,
    ),
    passed: results.passes.length,
  };
}
