/** What the tests of card and take-along begin with. */
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from '@playwright/test';
import { demo } from './files.ts';
import { openAll } from './demo.ts';
import { expect, give } from './page.ts';

export const tab = (page: Page, name: string) => page.getByRole('button', { name, exact: true });
/** A new folder outside the repository. */
export const scratch = () => mkdtempSync(join(tmpdir(), 'boothproof-card-'));
export const titles = demo.tracks.map(({ title }) => title);

/** Markers on the first demo track, then a set of all tracks against a booth of the poorest deck. */
export async function openGig(page: Page, extra: string[] = []): Promise<void> {
  await openAll(page);
  await expect(page.getByTestId('play')).toBeEnabled();
  await page.getByRole('button', { name: 'Propose from sections' }).click();
  await expect(page.getByTestId('tag').first()).toBeVisible();
  if (extra.length) {
    await give(page, ...extra);
    await expect(page.getByTestId('tracks').getByRole('listitem')).toHaveCount(titles.length + extra.length, {
      timeout: 60_000,
    });
  }
  await tab(page, 'Gig').click();
  await page.getByRole('button', { name: 'New set' }).click();
  await page.getByRole('button', { name: 'New booth' }).click();
  await page.getByTestId('add-all').click();
  await expect(page.getByTestId('entry')).toHaveCount(titles.length + extra.length);
  await page.getByRole('button', { name: 'From markers' }).first().click();
}

export async function openCard(page: Page): Promise<void> {
  await openGig(page);
  await tab(page, 'Card').click();
  await expect(page.getByTestId('card-sheet')).toBeVisible({ timeout: 30_000 });
}
