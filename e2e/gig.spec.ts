/** The gig: a set and a booth are made, checked, and kept; what differs between two decks. */
import type { Page } from '@playwright/test';
import { checkAccess } from './support/axe.ts';
import { expect, openApp, test } from './support/page.ts';

async function openGig(page: Page) {
  await openApp(page);
  await expect(page.getByTestId('play')).toBeEnabled();
  await page.getByRole('button', { name: 'Propose from sections' }).click();
  await expect(page.getByTestId('tag').first()).toBeVisible();
  await page.getByRole('button', { name: 'Gig', exact: true }).click();
  await page.getByRole('button', { name: 'New set' }).click();
  await page.getByRole('button', { name: 'New booth' }).click();
}

test('a set is made by buttons and by dragging, checked against a booth, and there after a reload', async ({
  page,
}) => {
  await openGig(page);
  await page.getByTestId('add-all').click();
  const entries = page.getByTestId('entry');
  await expect(entries).toHaveCount(5);
  const first = await entries.first().locator('b').textContent();
  await page.getByTestId('source-track').nth(2).dragTo(entries.first());
  await expect(entries).toHaveCount(6);
  await expect(entries.nth(1).locator('b')).toHaveText(first!);
  await entries
    .first()
    .getByRole('button', { name: /^Take .* out of the set/ })
    .click();
  await entries.first().getByRole('button', { name: /down$/ }).click();
  await expect(entries.nth(1).locator('b')).toHaveText(first!);
  await entries.nth(1).getByRole('button', { name: 'From markers' }).click();
  await expect(entries.nth(1).getByText(/^Jump to a hot cue: Drop/)).toBeVisible();
  await entries
    .nth(1)
    .getByLabel(/^Plan a move in/)
    .selectOption('follow-tempo');

  await page.getByRole('button', { name: 'Check', exact: true }).click();
  await expect(page.getByTestId('score')).toHaveText(/\d of \d+ planned moves can be done/, {
    timeout: 60_000,
  });
  const findings = page.getByTestId('finding');
  await expect(findings.first()).toContainText('Breaks the plan');
  await expect(page.locator('[data-key="slot-beyond"]')).toContainText('on Overview only');
  await expect(page.locator('[data-key="no-follow"]')).toHaveCount(1);

  await page.waitForTimeout(1200);
  await page.reload();
  await page.getByRole('button', { name: 'Gig', exact: true }).click();
  await expect(page.getByTestId('entry')).toHaveCount(5);
  await expect(page.getByTestId('booth-deck')).toHaveCount(1);
  // On the richest deck alone nothing breaks.
  await page.getByTestId('add-booth-deck').selectOption('wide-touch');
  await page.getByRole('button', { name: 'Take Overview only out of the booth' }).click();
  await page.getByRole('button', { name: 'Check', exact: true }).click();
  await expect(page.getByTestId('score')).toBeVisible({ timeout: 60_000 });
  await expect(page.locator('[data-key="slot-beyond"], [data-key="no-follow"]')).toHaveCount(0);
});

test('a playlist becomes a set, with what is not in the library told', async ({ page }) => {
  await openGig(page);
  const text =
    '#EXTM3U\n#EXTINF:297,Orla Finchmere - Lantern Tariff\nmusic/lantern-tariff.wav\n#EXTINF:200,Nobody - Nothing\nnothing.mp3\n';
  await page
    .getByTestId('read-list')
    .setInputFiles({ name: 'friday.m3u8', mimeType: 'audio/x-mpegurl', buffer: Buffer.from(text) });
  await expect(page.getByTestId('gig-news')).toContainText('1 of 2 tracks were found in the library.');
  await expect(page.getByTestId('entry')).toHaveCount(2);
  await expect(page.getByTestId('entry').nth(1)).toContainText('not in the library');
});

test('an unknown deck is found by a few answers', async ({ page }) => {
  await openGig(page);
  await page.getByTestId('add-booth-deck').selectOption('?');
  const form = page.getByTestId('deck-questions');
  await form.getByLabel('Name of this deck').fill('Corner bar deck');
  await form.getByLabel('Does a waveform scroll with the track?').selectOption('false');
  await form.getByLabel('How many pads or buttons for hot cues lie side by side?').fill('2');
  await form.getByRole('button', { name: 'Find or make it' }).click();
  await expect(page.getByTestId('booth-news')).toContainText('Corner bar deck was made from Overview only');
  await expect(page.getByTestId('booth-deck')).toHaveCount(2);
});

test('the difference sheet puts the likeliest trap first and leads to the drills', async ({ page }) => {
  await openGig(page);
  await page.getByRole('button', { name: 'Differences', exact: true }).click();
  const lines = page.getByTestId('difference-line');
  expect(await lines.count()).toBeGreaterThan(10);
  const shares = await lines.evaluateAll((all) =>
    all.map((line) => Number(/(\d+) % likely/.exec(line.textContent!)![1])),
  );
  expect(shares).toEqual([...shares].sort((a, b) => b - a));
  await page.getByTestId('difference-to').selectOption('wide-touch');
  await expect(page.getByTestId('difference')).toContainText('do not differ');
  await page.getByTestId('difference-to').selectOption('overview-only');
  await page.getByRole('button', { name: 'Train this' }).first().click();
  await expect(page.getByTestId('train')).toBeVisible();
});

for (const theme of ['booth', 'paper'] as const) {
  test(`Gig in the ${theme} light breaks no rule of accessibility and fits a phone`, async ({ page }) => {
    await openGig(page);
    await page.getByLabel('Light').selectOption(theme);
    await page.getByTestId('add-all').click();
    for (const tab of ['Set and booth', 'Check', 'Differences']) {
      await page.getByRole('button', { name: tab, exact: true }).click();
      if (tab === 'Check') await expect(page.getByTestId('score')).toBeVisible({ timeout: 60_000 });
      const { violations, passed } = await checkAccess(page);
      expect(violations, tab).toEqual([]);
      expect(passed).toBeGreaterThan(10);
      await page.setViewportSize({ width: 390, height: 844 });
      const over = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
      expect(over, tab).toBeLessThanOrEqual(0);
      await page.setViewportSize({ width: 1440, height: 900 });
    }
  });
}
