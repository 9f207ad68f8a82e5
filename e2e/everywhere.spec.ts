/** What must hold on every screen and in every state: rules of accessibility, both lights, large type, other scripts. */
import { checkAccess } from './support/axe.ts';
import { broken, lengthen, overflow, shorten } from './support/layout.ts';
import { expect, test } from './support/page.ts';
import { STATES } from './support/states.ts';

test.describe.configure({ timeout: 300_000 });

for (const theme of ['booth', 'paper'] as const) {
  test(`no rule of accessibility is broken anywhere in the ${theme} light`, async ({ page }) => {
    for (const { name, open } of STATES) {
      await open(page);
      await page.locator('.theme select').selectOption(theme);
      await expect(page.locator('html')).toHaveAttribute('data-theme', theme);
      const { violations, passed } = await checkAccess(page);
      expect.soft(violations, name).toEqual([]);
      expect(passed, name).toBeGreaterThan(15);
    }
  });
}

// 200 % on a screen of 1440 px leaves 720 CSS pixels; 320 is what WCAG 2.2 asks for (1.4.10 Reflow).
for (const width of [720, 320]) {
  test(`at ${width} px, which is what zoom leaves, nothing runs off the side and nothing is cut`, async ({
    page,
  }) => {
    await page.setViewportSize({ width, height: 450 });
    for (const { name, open } of STATES) {
      await open(page);
      expect.soft(await overflow(page), name).toBeLessThanOrEqual(0);
      expect.soft(await broken(page), name).toEqual([]);
    }
  });
}

for (const width of [1440, 390]) {
  test(`words that are 40 % longer, from right to left, at ${width} px: no side scroll, no overlap, nothing cut`, async ({
    page,
  }) => {
    await page.setViewportSize({ width, height: 900 });
    for (const { name, open } of STATES) {
      await open(page);
      await lengthen(page);
      expect.soft(await overflow(page), name).toBeLessThanOrEqual(0);
      expect.soft(await broken(page), name).toEqual([]);
      // The next state is opened by our own words.
      await shorten(page);
    }
  });
}
