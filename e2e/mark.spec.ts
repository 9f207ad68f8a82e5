/** Correcting the grid and the sections: what is done can be undone, and is there after a reload. */
import type { Page } from '@playwright/test';
import { expect, openApp, test } from './support/page.ts';

async function openMark(page: Page) {
  await openApp(page);
  await page.getByRole('button', { name: 'Mark', exact: true }).click();
  await expect(page.getByRole('heading', { name: 'Beat grid' })).toBeVisible();
}

test('a corrected tempo shows in Compare, can be undone, and stays after a reload', async ({ page }) => {
  await openMark(page);
  await expect(page.getByRole('button', { name: 'Undo' })).toBeDisabled();
  await page.getByText('×2', { exact: true }).click();
  await expect(page.getByTestId('tempo')).toHaveText('248.000 bpm');
  await page.getByRole('button', { name: 'Undo' }).click();
  await expect(page.getByTestId('tempo')).toHaveText('124.000 bpm');
  await page.getByText('½', { exact: true }).click();
  await expect(page.getByTestId('tempo')).toHaveText('62.000 bpm');
  await page.waitForTimeout(1500);
  await page.reload();
  await page.getByRole('button', { name: 'Compare', exact: true }).click();
  await expect(page.getByTestId('tempo')).toHaveText('62.000 bpm');
});

test('a section is renamed, and the name can be undone', async ({ page }) => {
  await openMark(page);
  const name = page.getByLabel('Name', { exact: true });
  const section = page.getByRole('button', { name: /^doors open/ });
  await expect(name).toHaveValue('intro');
  await name.fill('doors open');
  await page.getByRole('button', { name: 'Rename' }).click();
  await expect(section).toHaveCount(1);
  await page.getByRole('button', { name: 'Undo' }).click();
  await expect(section).toHaveCount(0);
  await expect(name).toHaveValue('intro');
});

test('the metronome can be switched on and off while playing', async ({ page }) => {
  await openMark(page);
  const click = page.getByRole('button', { name: 'Click on every beat' });
  await click.click();
  await expect(click).toHaveAttribute('aria-pressed', 'true');
  await page.getByTestId('play').click();
  await expect(page.getByTestId('clock')).not.toHaveText('0:00.0');
  await click.click();
  await expect(click).toHaveAttribute('aria-pressed', 'false');
});
