/**
 * States of work on its way, held still in the middle or stopped there, and what comes after it. One after the other in
 * one window, from a fresh start on.
 */
import { readFileSync } from 'node:fs';
import type { Page } from '@playwright/test';
import { encoded } from '../../tests/fixtures/ffmpeg.ts';
import { putSession, readRecords } from './database.ts';
import { openAll } from './demo.ts';
import { dropFolder } from './drop.ts';
import { demo, excerpt, unsurePulse, written } from './files.ts';
import { holdReads, holdServiceWorker, holdWriting, letGoOn, withFullDisk } from './held.ts';
import { expect } from './page.ts';
import { activity, button, choose, openFold, type State, track } from './states.ts';
import { answerByKeys } from './train.ts';
import { bringNewVersion } from './versions.ts';
import { holdReading } from './workers.ts';

const COVERED = 'Copper Beacon, with the Picture of Its Sleeve';
const OWN_DECK = 'The deck in the room behind the bar';

/** The picture is ffmpeg's own test source. */
const coveredFile = () =>
  excerpt(
    'copper-beacon.mp3',
    [
      ...['-f', 'lavfi', '-i', 'testsrc2=s=320x200:d=1', '-map', '0:a', '-map', '1:v', '-frames:v', '1'],
      ...['-c:v', 'png', '-disposition:v', 'attached_pic', '-b:a', '128k', '-t', '12'],
      ...['-metadata', `title=${COVERED}`, '-metadata', 'artist=Nobody Yet', '-metadata', 'album=Sheds'],
    ],
    12,
  );

/** FLAC, which takes a cue sheet block too. */
async function unsureFile(): Promise<string> {
  const flac = encoded(await unsurePulse('stumbling-home.wav'), 'stumbling-home.flac', [
    '-sample_fmt',
    's16',
  ]);
  return written('stumbling-home.flac', readFileSync(flac));
}

/** The browser asks before it reads again what it was given at an earlier visit; whoever goes on says yes. */
async function askBeforeReading(page: Page): Promise<void> {
  await page.addInitScript(() => {
    Object.assign(FileSystemHandle.prototype, {
      queryPermission: () => Promise.resolve('prompt'),
      requestPermission: () => Promise.resolve('granted'),
    });
  });
}

/** A deck as somebody may have edited it by hand: another name, other cues, another read-out of the beats. */
function ownDeck(): string {
  const file = JSON.parse(readFileSync('profiles/wide-touch.json', 'utf8'));
  file.id = 'behind-the-bar';
  file.name = OWN_DECK;
  file.facts.phase.readout.value = 'four-blocks';
  file.facts.hotCues.slots.value = 5;
  return written('behind-the-bar.json', JSON.stringify(file));
}

export const HELD_STATES: readonly State[] = [
  {
    name: 'Compare, after a reload in the middle of a folder',
    async open(page) {
      await holdReading(page);
      await askBeforeReading(page);
      await openAll(page);
      const names = ['the-quay-after-rain-as-it-was-played-on-the-last-night.wav', 'b.wav', 'Late/c.wav'];
      const files = Object.fromEntries(names.map((name, i) => [name, 2_000_000 + i * 100_000]));
      await dropFolder(page, 'Saturday', files);
      await expect
        .poll(async () => (await readRecords(page, 'unread')).length, { timeout: 30_000 })
        .toBe(names.length);
      await page.reload();
      await expect(page.getByTestId('unread')).toContainText('3 files were still waiting', {
        timeout: 30_000,
      });
      await expect(button(page, 'Go on reading them')).toBeVisible();
    },
  },
  {
    name: 'Compare, one of the files has been moved meanwhile; a track with a cover',
    async open(page) {
      await page.evaluate(async () => {
        const root = await navigator.storage.getDirectory();
        const late = await (await root.getDirectoryHandle('Saturday')).getDirectoryHandle('Late');
        await late.removeEntry('c.wav');
      });
      await button(page, 'Go on reading them').click();
      await expect(page.getByTestId('unread')).toContainText('One file was still waiting');
      await page.getByTestId('file-input').setInputFiles(coveredFile());
      await expect(page.getByTestId('tracks').getByRole('listitem')).toHaveCount(demo.tracks.length + 3, {
        timeout: 60_000,
      });
      await expect(page.getByTestId('jobs')).toHaveCount(0);
      await choose(page, COVERED);
      const cover = page.getByTestId('track-head').locator('img');
      await expect.poll(() => cover.evaluate((image: HTMLImageElement) => image.naturalWidth)).toBe(320);
      await expect(page.getByTestId('second-opinion')).toBeVisible({ timeout: 30_000 });
    },
  },
  {
    name: 'Mark, a track to be checked, as the list says, in FLAC',
    async open(page) {
      await page.getByTestId('file-input').setInputFiles(await unsureFile());
      await expect(track(page, 'stumbling-home').getByTestId('doubt')).toBeVisible({ timeout: 60_000 });
      await choose(page, 'stumbling-home');
      await activity(page, 'Mark').click();
      await expect(page.getByTestId('least-sure')).toBeVisible();
      await openFold(page, 'exchange');
      await expect(page.getByTestId('cue-sheet-block')).toBeVisible();
    },
  },
  {
    name: 'Gig, the check runs again over what it found before',
    async open(page) {
      await activity(page, 'Gig').click();
      await button(page, 'New set').click();
      await button(page, 'New booth').click();
      await page.getByTestId('add-all').click();
      await button(page, 'Check').click();
      await expect(page.getByTestId('score')).toBeVisible({ timeout: 60_000 });
      await button(page, 'Set and booth').click();
      await page.getByTestId('add-booth-deck').selectOption('touch-strip');
      await holdReads(page, 'covers');
      await button(page, 'Check').click();
      await expect(page.getByTestId('check-stop')).toBeVisible();
      await expect(page.getByTestId('score')).toBeVisible();
    },
  },
  {
    name: 'Gig, the check stopped',
    async open(page) {
      await page.getByTestId('check-stop').click();
      await expect(page.getByTestId('check-now')).toBeVisible();
      await letGoOn(page, 'reads');
    },
  },
  {
    name: 'Gig, a folder is written: a copy on its way',
    async open(page) {
      await page.getByTestId('check-now').click();
      await expect(page.getByTestId('check-now')).toHaveCount(0);
      await page.evaluate(() => {
        Object.assign(window, { showDirectoryPicker: () => navigator.storage.getDirectory() });
      });
      await button(page, 'Take along').click();
      await expect(page.getByTestId('take-folder')).toBeEnabled({ timeout: 60_000 });
      const goes = page.getByTestId('take-tracks').locator('select');
      for (const select of (await goes.all()).slice(1)) await select.selectOption('leave-out');
      await goes.first().selectOption('copy');
      await holdWriting(page, 1_000_000);
      await page.getByTestId('take-folder').click();
      await expect(page.getByTestId('take-progress')).toContainText('Music/01', { timeout: 30_000 });
    },
  },
  {
    name: 'Gig, writing stopped half way',
    async open(page) {
      await page.getByTestId('take-cancel').click();
      await letGoOn(page, 'writing');
      await expect(page.getByTestId('take-fault')).toContainText('Stopped before everything was written.');
    },
  },
  {
    name: 'Gig, taken along: the folder finished',
    async open(page) {
      await page.getByTestId('take-folder').click();
      await expect(page.getByTestId('take-done')).toContainText('in the folder', { timeout: 60_000 });
    },
  },
  {
    name: 'Rehearse, two decks of one’s own, a recording runs',
    async open(page) {
      await activity(page, 'Decks').click();
      await page.locator('input[type="file"]').first().setInputFiles(ownDeck());
      await expect(page.getByRole('heading', { name: OWN_DECK })).toBeVisible();
      await activity(page, 'Rehearse').click();
      await button(page, 'Two linked decks').click();
      for (const index of [0, 1]) {
        const deck = page.getByTestId(`deck-${index}`);
        await deck.getByTestId('profile').selectOption({ label: OWN_DECK });
        await deck.getByTestId('track').selectOption({ index });
        await deck.getByTestId('load').click();
        await expect(deck.getByTestId('told')).toHaveText('The track is loaded.', { timeout: 40_000 });
        await expect(deck.getByTestId('phase')).toBeVisible();
      }
      await page.getByTestId('record-0').click();
      await expect(page.getByTestId('record-stop')).toBeVisible();
    },
  },
  {
    name: 'Train, strips to choose from by ear',
    async open(page) {
      const keys = ['touch-strip/heard-strip/drop', 'small-touch/loads-there/any'];
      await putSession(
        page,
        keys.map((key) => ({ key })),
      );
      await page.reload();
      await activity(page, 'Train').click();
      await expect(page.getByTestId('listen')).toBeVisible({ timeout: 30_000 });
    },
  },
  {
    name: 'Train, whether a file loads',
    async open(page) {
      await answerByKeys(page);
      await page.getByTestId('next').click();
      await expect(page.getByTestId('question')).toHaveAttribute('data-drill', 'loads-there');
    },
  },
  {
    name: 'Train, a session done',
    async open(page) {
      await answerByKeys(page);
      await page.getByTestId('next').click();
      await expect(page.getByTestId('session-done')).toBeVisible();
    },
  },
  {
    name: 'Compare, a new version waits',
    async open(page) {
      await activity(page, 'Compare').click();
      await bringNewVersion(page);
      await expect(page.getByTestId('update')).toBeVisible({ timeout: 30_000 });
    },
  },
  {
    name: 'Compare, the new version begins',
    async open(page) {
      await holdServiceWorker(page);
      await button(page, 'Begin it now').click();
      await expect(page.getByTestId('update')).toContainText('Saving');
    },
  },
  {
    name: 'Compare, the new version may not begin yet',
    async open(page) {
      await withFullDisk(page, async () => {
        await button(page, 'Overviews').click();
        await letGoOn(page, 'service worker');
        await expect(page.getByTestId('update')).toContainText('Not everything could be saved');
      });
    },
  },
];
