/** Deck profiles as data: shown with their provenance, duplicated, edited, loaded from a file. */
import { readFileSync } from 'node:fs';
import { written } from './support/files.ts';
import { expect, openApp, test } from './support/page.ts';

test('a deck is duplicated, edited, and stands on the ladder as its own', async ({ page }) => {
  await openApp(page);
  await page.getByRole('button', { name: 'Decks' }).click();
  await page.getByRole('button', { name: 'Duplicate: Overview only' }).click();
  const name = page.locator('#field-name');
  await name.fill('Basement deck');
  await page.locator('#field-overview-columns').fill('60');
  await page
    .getByRole('button', { name: /^Save( changes| this deck)?$/ })
    .first()
    .click();
  await expect(page.getByRole('heading', { name: 'Basement deck' })).toBeVisible();
  await page.getByRole('button', { name: 'Compare' }).click();
  await page.getByTestId('add-deck').selectOption({ label: 'Basement deck' });
  await expect(page.getByTestId('rung')).toHaveCount(5);
  await expect(page.getByTestId('lost').filter({ hasText: '60 columns' })).toHaveCount(1);
  await page.waitForTimeout(1200);
  await page.reload();
  await expect(page.getByTestId('rung')).toHaveCount(5);
});

test('a profile file is loaded, and a wrong one gets clear sentences', async ({ page }) => {
  await openApp(page);
  await page.getByRole('button', { name: 'Decks' }).click();
  const source = JSON.parse(readFileSync('profiles/touch-strip.json', 'utf8'));
  const good = { ...source, id: 'attic-deck', name: 'Attic deck' };
  const bad = structuredClone(good);
  bad.facts.hotCues.slots.value = 'three';
  const field = page.locator('input[type="file"]').first();
  await field.setInputFiles(written('attic-deck.json', JSON.stringify(good)));
  await expect(page.getByRole('heading', { name: 'Attic deck' })).toBeVisible();
  await field.setInputFiles(written('wrong-deck.json', JSON.stringify(bad)));
  await expect(page.getByText(/wrong-deck\.json.*three/s).first()).toBeVisible();
  // What is no profile at all is told in one sentence, and where it belongs.
  const backup = '{"format":"boothproof-backup","version":2,"writtenAt":1}\n';
  await field.setInputFiles([written('night.json', backup), written('list.json', '{}')]);
  await expect(page.getByTestId('load-problems').locator('li')).toHaveText([
    'night.json: is a backup, no deck profile: restore it under “Back up and restore”.',
    /^list\.json: is no deck profile: .*\.$/,
  ]);
  await page.getByRole('button', { name: 'Delete: Attic deck' }).click();
  await expect(page.getByRole('heading', { name: 'Attic deck' })).toHaveCount(0);
  await page.getByRole('button', { name: 'Bring back' }).click();
  await expect(page.getByRole('heading', { name: 'Attic deck' })).toBeVisible();
});
