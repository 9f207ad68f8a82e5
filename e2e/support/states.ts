/** Every screen of the app in its states, one after the other in one window: for rules that must hold on all of them. */
import type { Page } from '@playwright/test';
import { demo, excerpt, written } from './files.ts';
import { expect, skipTour } from './page.ts';
import { answerByKeys, comeToQuestion } from './train.ts';

export const button = (page: Page, name: string | RegExp) =>
  page.getByRole('button', { name, exact: true }).first();

export const activity = (page: Page, name: string) =>
  page.getByRole('navigation').getByRole('button', { name, exact: true });

/** A track in the list. */
export const track = (page: Page, title: string) =>
  page
    .getByTestId('tracks')
    .getByRole('button', { name: new RegExp(`^${title}`) })
    .first();

/** Shows a track and waits until its markers can be set. */
export async function choose(page: Page, title: string): Promise<void> {
  await track(page, title).click();
  await expect(page.getByRole('heading', { level: 1, name: title })).toBeVisible();
  await expect(page.getByRole('button', { name: 'Propose from sections' })).toBeEnabled();
}

export async function openFold(page: Page, testId: string): Promise<void> {
  await page.getByTestId(testId).locator('summary').click();
}

export interface State {
  name: string;
  open(page: Page): Promise<void>;
}

export const STATES: readonly State[] = [
  {
    name: 'the first steps',
    async open(page) {
      await page.goto('/');
      await expect(page.getByTestId('tour')).toBeVisible({ timeout: 30_000 });
      await expect(page.getByTestId('play')).toBeEnabled();
    },
  },
  {
    name: 'Compare',
    async open(page) {
      await skipTour(page);
      await expect(page.getByTestId('tracks').getByRole('listitem')).toHaveCount(demo.tracks.length);
      await expect(page.getByTestId('play')).toBeEnabled();
    },
  },
  {
    name: 'Compare with a deck in words',
    async open(page) {
      await page.getByTestId('explain').nth(1).click();
      await page.getByTestId('lost').nth(2).click();
      await expect(page.getByTestId('deck-guide')).toBeVisible();
    },
  },
  {
    name: 'Compare with messages: a question, a fault',
    async open(page) {
      const broken = written('broken-for-all-to-see.mp3', 'no sound');
      await page
        .getByTestId('file-input')
        .setInputFiles([broken, excerpt('a-rather-long-name-of-a-file-that-is-read.flac', [], 12)]);
      await expect(page.getByTestId('keep-audio')).toBeVisible({ timeout: 60_000 });
      await expect(page.getByText('broken-for-all-to-see.mp3').first()).toBeVisible();
      await page.getByTestId('keep-audio').getByRole('button', { name: 'Pictures only' }).click();
    },
  },
  {
    name: 'Compare with markers and a thread followed',
    async open(page) {
      await page
        .getByTestId('tracks')
        .getByRole('button', { name: /^Lantern Tariff/ })
        .first()
        .click();
      await expect(page.getByTestId('play')).toBeEnabled();
      await page.getByRole('button', { name: 'Propose from sections' }).click();
      await expect(page.getByTestId('tag').first()).toBeVisible();
      await page.getByTestId('verdict').nth(3).click();
      await expect(page.getByTestId('thread-card')).toBeVisible();
    },
  },
  {
    name: 'Compare, two decks edge to edge',
    async open(page) {
      await page.getByRole('button', { name: 'Edge to edge' }).nth(0).click();
      await page.getByRole('button', { name: 'Edge to edge' }).nth(1).click();
      await expect(page.getByRole('button', { name: 'Lay apart' })).toBeVisible();
    },
  },
  {
    name: 'Mark',
    async open(page) {
      await button(page, 'Mark').click();
      await expect(page.getByRole('heading', { name: 'Beat grid' })).toBeVisible();
      await expect(page.getByRole('button', { name: 'Lock the grid' })).toBeEnabled();
    },
  },
  {
    name: 'Mark, with all opened: regions, taps, a plan of slots',
    async open(page) {
      for (const key of [']', 'a', 't']) await page.keyboard.press(key);
      await page.getByText('Region by region').click();
      await page.getByText('Plan slots').click();
      await expect(page.getByTestId('take-plan')).toBeVisible();
      await expect(page.getByTestId('section').first()).toBeVisible();
    },
  },
  {
    name: 'Train',
    async open(page) {
      await button(page, 'Train').click();
      await expect(page.getByTestId('start')).toBeVisible();
    },
  },
  {
    name: 'Train, a session asks about a track first',
    async open(page) {
      await page.getByTestId('with-hands').uncheck();
      await page.getByTestId('start').click();
      await expect(page.getByTestId('confirm')).toBeVisible({ timeout: 30_000 });
    },
  },
  { name: 'Train, a question', open: comeToQuestion },
  { name: 'Train, what the answer was', open: answerByKeys },
  {
    name: 'Train, progress',
    async open(page) {
      // An answer about the deck that one knows is only a measure for the others: then it takes one more.
      for (let more = 0; more < 8; more++) {
        await button(page, 'Progress').click();
        await expect(page.getByTestId('progress')).toBeVisible();
        if (await page.getByTestId('answers-csv').isVisible()) return;
        await button(page, 'Reading').click();
        await page.getByTestId('next').click();
        await answerByKeys(page);
      }
      throw new Error('No deck has answers.');
    },
  },
  {
    name: 'Train, a hand drill before its start',
    async open(page) {
      await button(page, 'Hands').click();
      await page.getByTestId('hand-deck').selectOption('small-touch');
      await page.locator('[data-drill="find-by-letter"] button').click();
      await expect(page.getByTestId('hand-start')).toBeVisible();
    },
  },
  {
    name: 'Train, a hand drill that runs',
    async open(page) {
      await page.getByTestId('hand-start').click();
      await expect(page.getByTestId('hand-give-up')).toBeVisible();
    },
  },
  {
    name: 'Train, a hand drill that is over',
    async open(page) {
      await page.getByTestId('hand-give-up').click();
      await expect(page.getByTestId('hand-result')).toBeVisible();
    },
  },
  {
    name: 'Rehearse, two linked decks, one with a track',
    async open(page) {
      await button(page, 'Rehearse').click();
      await page.getByRole('button', { name: 'Two linked decks' }).click();
      await page.getByTestId('deck-0').getByTestId('load').click();
      await expect(page.getByTestId('deck-0').getByTestId('told')).toHaveText('The track is loaded.', {
        timeout: 40_000,
      });
      await expect(page.getByTestId('deck-1')).toBeVisible();
    },
  },
  {
    name: 'Gig, nothing yet',
    async open(page) {
      await button(page, 'Gig').click();
      await expect(page.getByRole('button', { name: 'New set' })).toBeVisible();
    },
  },
  {
    name: 'Gig, a set and a booth',
    async open(page) {
      await page.getByRole('button', { name: 'New set' }).click();
      await page.getByRole('button', { name: 'New booth' }).click();
      await page.getByTestId('add-all').click();
      await page.getByRole('button', { name: 'From markers' }).first().click();
      await expect(page.getByTestId('entry').first()).toBeVisible();
      await page
        .getByTestId('entry')
        .nth(1)
        .getByLabel(/^Plan a move in/)
        .selectOption('follow-tempo');
    },
  },
  {
    name: 'Gig, the questions about a deck',
    async open(page) {
      await page.getByTestId('add-booth-deck').selectOption('?');
      await expect(page.getByTestId('deck-questions')).toBeVisible();
    },
  },
  {
    name: 'Gig, checked, with every place',
    async open(page) {
      await button(page, 'Check').click();
      await expect(page.getByTestId('score')).toBeVisible({ timeout: 60_000 });
      await expect(page.getByTestId('check-stop')).toHaveCount(0);
      for (const places of await page.getByTestId('places').locator('summary').all()) await places.click();
    },
  },
  {
    name: 'Gig, differences',
    async open(page) {
      await button(page, 'Differences').click();
      await page.getByTestId('difference-to').selectOption('overview-only');
      await expect(page.getByTestId('try-it').first()).toBeVisible();
    },
  },
  {
    name: 'Gig, the card',
    async open(page) {
      await button(page, 'Card').click();
      await expect(page.getByTestId('card-sheet')).toBeVisible({ timeout: 30_000 });
    },
  },
  {
    name: 'Gig, the card for a phone',
    async open(page) {
      await page.getByTestId('card-paper').selectOption('phone');
      await expect(page.getByTestId('card-sheet')).toBeVisible();
    },
  },
  {
    name: 'Gig, take along',
    async open(page) {
      await button(page, 'Take along').click();
      await expect(page.getByTestId('take-along')).toBeVisible({ timeout: 60_000 });
    },
  },
  {
    name: 'Decks',
    async open(page) {
      await button(page, 'Decks').click();
      await expect(page.getByTestId('profiles')).toBeVisible();
    },
  },
  {
    name: 'Decks, an editor with a wrong value',
    async open(page) {
      await page.getByRole('button', { name: 'Duplicate: Overview only' }).click();
      await page.locator('#field-overview-columns').fill('-3');
      await page.locator('#field-overview-columns').press('Tab');
      await expect(page.getByTestId('profile-editor')).toBeVisible();
    },
  },
  {
    name: 'Help',
    async open(page) {
      await button(page, 'Help').click();
      await expect(page.getByTestId('glossary')).toBeVisible();
    },
  },
  {
    name: 'Compare, tracks just removed',
    async open(page) {
      await button(page, 'Compare').click();
      await page.getByRole('button', { name: 'Remove the demo set' }).click();
      await expect(page.getByTestId('removal')).toBeVisible();
    },
  },
];
