/**
 * What must hold on every screen and in every state: rules of accessibility, both lights, large type, narrow windows,
 * longer words, the other direction of writing, nothing that moves by itself. For each width one walk through the
 * usual states, one through those that are seldom met and one through work on its way: coming to a state takes longer
 * than looking at it.
 */
import type { Page } from '@playwright/test';
import { checkAccess } from './support/axe.ts';
import { broken, lengthen, moving, overflow, shorten } from './support/layout.ts';
import { expect, test } from './support/page.ts';
import { HELD_STATES } from './support/states-held.ts';
import { SELDOM_STATES } from './support/states-seldom.ts';
import { STATES } from './support/states.ts';

const WALKS = [
  ['every usual state', STATES],
  ['every seldom state', SELDOM_STATES],
  ['every state of work on its way', HELD_STATES],
] as const;

test.describe.configure({ timeout: 300_000 });

/** All rules in one light; in the other those about colour, which alone can differ. */
async function accessible(page: Page, name: string): Promise<void> {
  // All of it in view: what sticks to an edge covers nothing then.
  const height = await page.evaluate(() => document.documentElement.scrollHeight);
  await page.setViewportSize({ width: page.viewportSize()!.width, height: height + 200 });
  for (const [theme, rules, least] of [
    ['paper', ['color-contrast'], 1],
    ['booth', undefined, 16],
  ] as const) {
    await page.locator('.theme select').selectOption(theme);
    await expect(page.locator('html')).toHaveAttribute('data-theme', theme);
    const { violations, passed } = await checkAccess(page, rules);
    expect.soft(violations, `${name}, ${theme}`).toEqual([]);
    expect(passed, name).toBeGreaterThanOrEqual(least);
  }
}

async function fits(page: Page, name: string): Promise<void> {
  expect.soft(await overflow(page), name).toBeLessThanOrEqual(0);
  expect.soft(await broken(page), name).toEqual([]);
}

// 200 % zoom on a screen of 1440 px leaves 720 CSS pixels; 320 is what WCAG 2.2 asks for (1.4.10 Reflow).
const SCREENS = [
  { width: 1440, height: 900, zoomed: [720] },
  { width: 390, height: 844, zoomed: [320] },
];

for (const [walk, states] of WALKS)
  for (const { width, height, zoomed } of SCREENS) {
    test(`${walk} at ${width} px, zoomed to ${zoomed[0]}: open to all, nothing cut, also with long words from right to left`, async ({
      page,
    }) => {
      await page.emulateMedia({ reducedMotion: 'reduce' });
      await page.setViewportSize({ width, height });
      for (const { name, open } of states) {
        await open(page);
        expect.soft(await moving(page), name).toEqual([]);
        await accessible(page, name);
        await page.setViewportSize({ width, height });
        await fits(page, name);
        await lengthen(page);
        await fits(page, `${name}, words 40 % longer`);
        // The next state is opened by our own words.
        await shorten(page);
        for (const narrow of zoomed) {
          await page.setViewportSize({ width: narrow, height: 450 });
          await fits(page, `${name}, ${narrow} px`);
        }
        await page.setViewportSize({ width, height });
      }
    });
  }
