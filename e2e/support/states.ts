/** Every screen of the app in its states, one after the other in one window: for rules that must hold on all of them. */
import type { Page } from '@playwright/test';
import { excerpt, written } from './files.ts';
import { expect, openApp } from './page.ts';

const tab = (page: Page, name: string) => page.getByRole('button', { name, exact: true }).first();

export interface State {
  name: string;
  open(page: Page): Promise<void>;
}

export const STATES: readonly State[] = [
  {
    name: 'Compare',
    async open(page) {
      await openApp(page);
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
      await page.keyboard.press('1');
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
      await tab(page, 'Mark').click();
      await expect(page.getByRole('heading', { name: 'Beat grid' })).toBeVisible();
      await expect(page.getByRole('button', { name: 'Lock the grid' })).toBeEnabled();
    },
  },
  {
    name: 'Train',
    async open(page) {
      await tab(page, 'Train').click();
      await expect(page.getByTestId('start')).toBeVisible();
    },
  },
  {
    name: 'Train, a first step of a session',
    async open(page) {
      await page.getByTestId('start').click();
      await expect(page.getByTestId('confirm').or(page.getByTestId('question'))).toBeVisible({
        timeout: 30_000,
      });
    },
  },
  {
    name: 'Rehearse',
    async open(page) {
      await tab(page, 'Rehearse').click();
      await expect(page.getByTestId('deck-0')).toBeVisible();
    },
  },
  {
    name: 'Gig, nothing yet',
    async open(page) {
      await tab(page, 'Gig').click();
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
    },
  },
  {
    name: 'Gig, checked',
    async open(page) {
      await tab(page, 'Check').click();
      await expect(page.getByTestId('score')).toBeVisible({ timeout: 60_000 });
    },
  },
  {
    name: 'Gig, the card',
    async open(page) {
      await tab(page, 'Card').click();
      await expect(page.getByTestId('card-sheet')).toBeVisible({ timeout: 30_000 });
    },
  },
  {
    name: 'Gig, take along',
    async open(page) {
      await tab(page, 'Take along').click();
      await expect(page.getByTestId('take-along')).toBeVisible({ timeout: 60_000 });
    },
  },
  {
    name: 'Decks',
    async open(page) {
      await tab(page, 'Decks').click();
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
      await tab(page, 'Help').click();
      await expect(page.getByTestId('glossary')).toBeVisible();
    },
  },
  {
    name: 'an empty library',
    async open(page) {
      await tab(page, 'Compare').click();
      await page.getByRole('button', { name: 'Remove the demo set' }).click();
      await expect(page.getByTestId('removal')).toBeVisible();
    },
  },
];
