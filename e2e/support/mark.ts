/** What the tests of “Mark” share. */
import type { Locator, Page } from '@playwright/test';
import { expect, openApp } from './page.ts';

/** Opens a demo track, the first one by default, in “Mark” and waits until it can be edited. */
export async function openMark(page: Page, title?: string): Promise<void> {
  await openApp(page);
  if (title) {
    await page
      .getByTestId('tracks')
      .getByRole('button', { name: new RegExp(`^${title}`) })
      .click();
    await expect(page.getByRole('heading', { level: 1, name: title })).toBeVisible();
  }
  await page.getByRole('button', { name: 'Mark', exact: true }).click();
  await expect(page.getByRole('heading', { name: 'Beat grid' })).toBeVisible();
  await expect(page.getByRole('button', { name: 'Lock the grid' })).toBeEnabled();
  await expect(page.getByTestId('play')).toBeEnabled();
}

/** The parts of “Mark” that tests work with. */
export function mark(page: Page) {
  return {
    anchors: page.getByTestId('anchor'),
    boundaries: page.getByTestId('boundary'),
    closeUp: page.getByTestId('close-up-canvas'),
    undo: page.getByTestId('grid-panel').getByRole('button', { name: 'Undo' }),
    /** Milliseconds from the grid's line to the steepest rise of the sound, as the close-up tells it. */
    async rise(): Promise<number> {
      const told = page.getByTestId('close-up').getByText(/^The steepest rise of the sound lies/);
      const sentence = (await told.textContent()) ?? '';
      if (sentence.includes('on the line')) return 0;
      const [, ms, side] = /lies ([\d.]+) ms (after|before) the line/.exec(sentence) ?? [];
      return side === 'after' ? Number(ms) : -Number(ms);
    },
  };
}

/** Reads the first `m:ss.d…` of a text, s. */
export function seconds(text: string): number {
  const found = /(\d+):(\d\d(?:\.\d+)?)/.exec(text);
  if (!found) throw new Error(`“${text}” tells no time.`);
  return Number(found[1]) * 60 + Number(found[2]);
}

/** Length of the track, s, as the playhead's slider has it. */
export async function trackLength(page: Page): Promise<number> {
  return Number(await page.getByTestId('place').getAttribute('aria-valuemax'));
}

/** Presses Tab until `target` has the focus. */
export async function tabTo(page: Page, target: Locator): Promise<void> {
  await expect(target).toBeVisible();
  for (let press = 0; press < 150; press++) {
    if (await target.evaluate((element) => element === document.activeElement)) return;
    await page.keyboard.press('Tab');
  }
  throw new Error('Tab does not come to it.');
}
