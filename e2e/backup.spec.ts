/** Everything as one file, and back: nothing lost, conflicts asked about. */
import { readFileSync } from 'node:fs';
import type { Page } from '@playwright/test';
import { putRecords, readRecords } from './support/database.ts';
import { openAll } from './support/demo.ts';
import { expect, test } from './support/page.ts';

const tags = (page: Page) => page.getByTestId('tag');

/** Nothing is written by itself any more: a library that changes after the plan was made is rightly not restored to. */
async function openSettled(page: Page) {
  await openAll(page);
  await expect(page.getByTestId('second-opinion')).toBeVisible({ timeout: 30_000 });
}

async function saveBackup(page: Page) {
  const waiting = page.waitForEvent('download');
  await page.getByTestId('save-backup').click();
  const download = await waiting;
  return {
    name: download.suggestedFilename(),
    mimeType: 'application/json',
    buffer: readFileSync(await download.path()),
  };
}

test('a backup brings markers back into an empty browser', async ({ page, browser }) => {
  await openAll(page);
  await expect(page.getByTestId('play')).toBeEnabled();
  await page.keyboard.press('c');
  await page.keyboard.press('End');
  await page.keyboard.press('k');
  await expect(tags(page)).toHaveCount(2);
  await page.getByText('Back up and restore').click();
  const file = await saveBackup(page);

  const other = await browser.newContext();
  const fresh = await other.newPage();
  await openSettled(fresh);
  await expect(tags(fresh)).toHaveCount(0);
  await fresh.getByText('Back up and restore').click();
  await fresh.getByTestId('open-backup').setInputFiles(file);
  await fresh.getByTestId('restore').click();
  await fresh.getByTestId('anew').click();
  await expect(tags(fresh)).toHaveCount(2);
  await other.close();
});

test('what differs on both sides is asked about, and mine stays when I say so', async ({ page }) => {
  await openAll(page);
  await expect(page.getByTestId('play')).toBeEnabled();
  await page.keyboard.press('c');
  await expect(tags(page)).toHaveCount(1);
  await page.getByText('Back up and restore').click();
  const file = await saveBackup(page);
  await page.keyboard.press('Control+z');
  await page.keyboard.press('k');
  await page.keyboard.press('o');
  await expect(tags(page)).toHaveCount(2);
  await page.getByTestId('open-backup').setInputFiles(file);
  await expect(page.getByTestId('restore')).toBeDisabled();
  await page
    .getByRole('radio', { name: /Mine, of/ })
    .first()
    .check();
  await page.getByTestId('restore').click();
  await page.getByTestId('anew').click();
  await expect(tags(page)).toHaveCount(2);
});

test('sets, booths and what was trained come along; a set that differs can be kept twice', async ({
  page,
  browser,
}) => {
  await openAll(page);
  await page.getByRole('button', { name: 'Gig', exact: true }).click();
  await page.getByRole('button', { name: 'New set' }).click();
  await page.getByRole('button', { name: 'New booth' }).click();
  await page.getByRole('button', { name: 'Train', exact: true }).click();
  await page.getByRole('button', { name: 'Hands', exact: true }).click();
  await page.getByTestId('hand-start').click();
  await page.getByTestId('hand-give-up').click();
  await page.getByRole('button', { name: 'Compare', exact: true }).click();
  await page.getByText('Back up and restore').click();
  const file = await saveBackup(page);

  const other = await browser.newContext();
  const fresh = await other.newPage();
  await openSettled(fresh);
  const [set] = await readRecords<{ id: string; name: string }>(page, 'sets');
  await putRecords(fresh, 'sets', [{ ...set, name: 'Mine', boothId: null, entries: [] }]);
  await fresh.getByText('Back up and restore').click();
  await fresh.getByTestId('open-backup').setInputFiles(file);
  const asked = fresh.getByRole('group', { name: `set “${set.name}”` });
  await asked.getByRole('radio', { name: 'Both' }).check();
  await fresh.getByTestId('restore').click();
  await fresh.getByTestId('anew').click();
  await fresh.getByRole('button', { name: 'Gig', exact: true }).click();
  const names = fresh.getByTestId('choose-set').locator('option');
  await expect(names).toHaveText([/Mine|backup/, /Mine|backup/]);
  await expect(names.filter({ hasText: `${set.name} (backup)` })).toHaveCount(1);
  await expect(fresh.getByTestId('choose-booth').locator('option')).toHaveCount(1);
  await fresh.getByRole('button', { name: 'Train', exact: true }).click();
  await fresh.getByRole('button', { name: 'Progress', exact: true }).click();
  await expect(fresh.getByTestId('hand-progress')).toContainText('0 of 1 round');
  await other.close();
});

test('a damaged backup is refused with a sentence', async ({ page }) => {
  await openAll(page);
  await expect(page.getByTestId('play')).toBeEnabled();
  await page.keyboard.press('c');
  await expect(tags(page)).toHaveCount(1);
  await page.getByText('Back up and restore').click();
  const file = await saveBackup(page);
  file.buffer[file.buffer.length >> 1] ^= 1;
  await page.getByTestId('open-backup').setInputFiles(file);
  await expect(page.getByTestId('backup-news')).toContainText(file.name);
  await expect(tags(page)).toHaveCount(1);
});
