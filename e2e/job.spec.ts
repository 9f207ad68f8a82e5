/** The main job from the first file to the saved card, by keyboard alone, and what a screen reader learns of it. */
import { readFileSync } from 'node:fs';
import type { Locator, Page } from '@playwright/test';
import { openAll } from './support/demo.ts';
import { expectSaid, listenForWords } from './support/ears.ts';
import { mp3 } from './support/files.ts';
import { tabTo } from './support/mark.ts';
import { expect, test } from './support/page.ts';
import { answerByKeys, comeToQuestion } from './support/train.ts';

/** Goes to a control by Tab and presses a key there. */
async function press(page: Page, control: Locator, key = 'Enter'): Promise<void> {
  await tabTo(page, control);
  await page.keyboard.press(key);
}

const button = (page: Page, name: string | RegExp) => page.getByRole('button', { name, exact: true });
/** From anywhere back to the top of the page, so that Tab goes its way in order. */
async function activity(page: Page, name: string): Promise<void> {
  const control = page.getByRole('navigation', { name: 'Activities' }).getByRole('button', { name });
  await press(page, control);
  await expect(control).toHaveAttribute('aria-current', 'page');
}

test('a file is opened, compared, marked, drilled, checked and carried on a card without a pointer', async ({
  page,
}) => {
  test.setTimeout(180_000);
  await listenForWords(page);
  await openAll(page);

  // Open a file.
  const field = page.getByLabel(/Drop audio files here/);
  await expect(field).toHaveAttribute('type', 'file');
  const chooser = page.waitForEvent('filechooser');
  await press(page, field, 'Space');
  await (await chooser).setFiles(mp3());
  await expectSaid(page, /^One file is being read\.$/);
  await expectSaid(page, /^Nothing is being read any more\.$/);
  await press(page, page.getByTestId('tracks').getByRole('button', { name: /^Cellar Door/ }));
  await expect(page.getByRole('heading', { level: 1, name: 'Cellar Door' })).toBeVisible({ timeout: 60_000 });
  await expect(page.getByTestId('play')).toBeEnabled();

  // Compare decks: each is a part with a name; what it lacks is in words.
  const poor = page.getByRole('article', { name: 'Overview only' });
  await expect(page.getByRole('article', { name: 'Wide touch' })).toBeVisible();
  await press(page, poor.getByRole('button', { name: 'What it shows' }));
  await expect(poor.getByRole('heading', { name: 'Hides' })).toBeVisible();
  await press(page, poor.getByRole('button', { name: 'Edge to edge' }));
  await expectSaid(page, /^Now pick “Edge to edge” on a second deck\.$/);
  await page.keyboard.press('Shift+Tab');

  // Put a cue, and see what becomes of it.
  await page.keyboard.press('Home');
  await page.keyboard.press('c');
  await expectSaid(page, /cue/i);
  const tag = page.getByRole('slider', { name: /cue/i });
  await expect(tag).toHaveCount(1);
  await page.keyboard.press('o');
  await expectSaid(page, /loop/i);
  const verdict = page.getByRole('table').getByRole('button', { name: /^1 Hot cue .* on Overview only: / });
  await press(page, verdict);
  await expect(verdict).toHaveAttribute('aria-pressed', 'true');
  const card = page
    .getByRole('region', { name: /1/ })
    .filter({ has: page.getByRole('list', { name: 'What becomes of this marker' }) });
  await expect(card.getByRole('listitem').first()).toContainText('Overview only');

  // Answer a question.
  await activity(page, 'Train');
  await press(page, page.getByRole('checkbox', { name: 'Hand drills too' }), 'Space');
  await press(page, button(page, 'Start'));
  await expect(page.getByTestId('confirm').or(page.getByTestId('question'))).toBeVisible({
    timeout: 30_000,
  });
  if (await page.getByTestId('confirm').isVisible()) await press(page, button(page, 'Yes, it is right'));
  await comeToQuestion(page);
  await answerByKeys(page);
  await expectSaid(page, /Right/);
  await expect(page.getByTestId('next')).toBeFocused();

  // Check a set against a booth.
  await activity(page, 'Gig');
  await press(page, button(page, 'New set'));
  await press(page, button(page, 'New booth'));
  await press(page, button(page, /^Add Cellar Door/));
  await press(page, button(page, 'From markers'));
  await expectSaid(page, /^Taken from the markers: 0 mix points and 1 move\.$/);
  await expect(page.getByRole('list', { name: 'Planned moves' }).getByRole('listitem')).toHaveCount(1);
  await press(page, page.getByRole('group', { name: 'Gig' }).getByRole('button', { name: 'Check' }));
  await expectSaid(page, /\d of \d+ planned moves? can be done/);
  await expect(page.getByRole('region', { name: 'Check' }).getByRole('listitem').first()).toBeVisible();

  // Save the card.
  await press(page, page.getByRole('group', { name: 'Gig' }).getByRole('button', { name: 'Card' }));
  const saved = page.waitForEvent('download');
  await press(page, button(page, 'Save as one HTML page'));
  const page1 = await saved;
  await expectSaid(page, /\.html/);
  expect(readFileSync(await page1.path(), 'utf8')).toContain('Cellar Door');
});
