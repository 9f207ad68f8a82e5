/**
 * States that are met seldom: while files are read, when something is missing, differs or fails, what is opened or
 * asked for. One after the other in one window, from a fresh start on.
 */
import { copyFileSync, mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from '@playwright/test';
import { floatWav } from '../../tests/fixtures/signal.ts';
import { putRecords, putSession, readRecords } from './database.ts';
import { openAll } from './demo.ts';
import { demo, excerpt, half, written } from './files.ts';
import { withFullDisk } from './held.ts';
import { expect } from './page.ts';
import { activity, button, choose, openFold, type State, track } from './states.ts';
import { answerByKeys } from './train.ts';
import { holdReading, letReadingGoOn } from './workers.ts';

/** A title as long as they come, in a file name without a place to break. */
const LONG = 'The Quay After Rain, as It Was Played on the Last Night of the Season';
const LONG_FILE = 'the-quay-after-rain-as-it-was-played-on-the-last-night.flac';
const CUT = 'Half a Lamp';

const longFile = () => excerpt(LONG_FILE, ['-metadata', `title=${LONG}`], 12);
const cutFile = () => half(excerpt('lamp.mp3', ['-b:a', '128k', '-metadata', `title=${CUT}`], 40), 'cut.mp3');

/** A folder with files of every fate: one is read whole, one in part, one holds no sound. */
function folder(): string {
  const path = mkdtempSync(join(tmpdir(), 'boothproof-folder-'));
  const silent = written('nothing-on-it.wav', floatWav([new Float32Array(10 * 44_100)], 44_100));
  for (const file of [longFile(), cutFile(), silent]) copyFileSync(file, join(path, file.split('/').at(-1)!));
  return path;
}

/** Files that are dragged with the pointer, as the page is told of them. */
const drag = (page: Page, type: 'dragover' | 'dragleave') =>
  page.evaluate((name) => {
    const dataTransfer = new DataTransfer();
    dataTransfer.items.add(new File([], 'a.wav'));
    window.dispatchEvent(new DragEvent(name, { dataTransfer, cancelable: true }));
  }, type);

/** Tracks that another version of the app read: their analyses are of no use any more. */
async function putOldTracks(page: Page): Promise<void> {
  const [first] = await readRecords<Record<string, unknown>>(page, 'tracks');
  const titles = ['Osier', 'Sixpence Weir', 'Tallow'];
  await putRecords(
    page,
    'tracks',
    titles.map((title, i) => ({
      ...first,
      ...{ id: `old-${i}`, name: `${title}.wav`, order: 50 + i, demo: null, removedAt: null },
      tags: { ...(first.tags as object), title },
    })),
  );
}

/** A controller and outputs of our own: the test machine has none. */
async function withDevices(page: Page): Promise<void> {
  await page.evaluate(() => {
    const input = { id: '1', name: 'Test pads', state: 'connected', type: 'input', onmidimessage: null };
    const access = { inputs: new Map([['1', input]]), outputs: new Map(), onstatechange: null };
    navigator.requestMIDIAccess = () => Promise.resolve(access as unknown as MIDIAccess);
    const device = { deviceId: 'ears', label: 'Headphones', kind: 'audiooutput', groupId: '' };
    Object.defineProperty(navigator, 'mediaDevices', {
      value: {
        getUserMedia: () => Promise.resolve(new MediaStream()),
        enumerateDevices: () => Promise.resolve([device]),
      },
    });
    HTMLMediaElement.prototype.setSinkId = () => Promise.resolve();
  });
}

export const SELDOM_STATES: readonly State[] = [
  {
    name: 'Compare, a folder is read: the first picture of one file, others wait',
    async open(page) {
      await holdReading(page);
      await openAll(page);
      await page.getByTestId('folder-input').setInputFiles(folder());
      await expect(page.getByText('Still reading: the picture grows')).toBeVisible({ timeout: 30_000 });
      await expect(page.getByTestId('jobs').getByText('Waiting')).toHaveCount(2);
      await expect(button(page, 'Stop all')).toBeVisible();
    },
  },
  {
    name: 'Compare, a track read in part, a file given twice; room and back-up opened; one deck picked for edge to edge',
    async open(page) {
      await letReadingGoOn(page);
      await expect(page.getByTestId('tracks').getByRole('listitem')).toHaveCount(demo.tracks.length + 3, {
        timeout: 60_000,
      });
      await page.getByTestId('keep-audio').getByRole('button', { name: 'Keep audio here' }).click();
      await page.getByTestId('file-input').setInputFiles(longFile());
      await expect(page.getByText('Already among your tracks.')).toBeVisible();
      await choose(page, CUT);
      await expect(page.getByTestId('partial')).toBeVisible();
      // Nothing is written by itself any more: a library that changes is not restored to.
      await expect(page.getByTestId('second-opinion')).toBeVisible({ timeout: 30_000 });
      await openFold(page, 'room');
      await expect(page.getByTestId('kept')).toContainText('Audio of 3 tracks');
      await openFold(page, 'backup');
      await page.getByRole('button', { name: 'Edge to edge' }).first().click();
      await expect(page.getByText('Now pick “Edge to edge” on a second deck.')).toBeVisible();
    },
  },
  {
    name: 'Compare, a back-up that differs asks',
    async open(page) {
      await page.getByRole('button', { name: 'Edge to edge' }).first().click();
      await page.keyboard.press('c');
      await expect(page.getByTestId('tag')).toHaveCount(1);
      const waiting = page.waitForEvent('download');
      await page.getByTestId('save-backup').click();
      const file = await (await waiting).path();
      await expect(page.getByTestId('backup-news')).toContainText('Saved as');
      await page.keyboard.press('Control+z');
      await expect(page.getByTestId('tag')).toHaveCount(0);
      await page.keyboard.press('o');
      await page.keyboard.press('k');
      await expect(page.getByTestId('tag')).toHaveCount(2);
      await page.getByTestId('open-backup').setInputFiles(file);
      await expect(page.getByTestId('restore')).toBeDisabled();
      await expect(page.getByTestId('backup').getByRole('radio').first()).toBeVisible();
    },
  },
  {
    name: 'Compare, a back-up restored; audio let go of',
    async open(page) {
      for (const both of await page.getByRole('radio', { name: 'Both' }).all()) await both.check();
      await page.getByTestId('restore').click();
      await expect(page.getByTestId('anew')).toBeVisible();
      await page.getByTestId('room').getByRole('checkbox', { name: CUT }).check();
      await button(page, 'Let go of the audio of the chosen').click();
      await expect(page.getByTestId('room').getByRole('status')).toContainText('Done.');
    },
  },
  {
    name: 'Compare, files dragged over the page',
    async open(page) {
      await drag(page, 'dragover');
      await expect(page.getByText('Let go to read these files')).toBeVisible();
    },
  },
  {
    name: 'Compare, at the next visit: files wait, the disk is full, a track asks for its file',
    async open(page) {
      await drag(page, 'dragleave');
      await expect(page.getByText('Let go to read these files')).toHaveCount(0);
      await putRecords(
        page,
        'unread',
        [LONG_FILE, 'two.wav', 'three.wav', 'four.wav', 'five.wav', 'six.wav'].map((name) => ({
          ...{ name, size: 1 },
        })),
      );
      await putRecords(page, 'settings', [
        { key: 'overviews', value: 'perhaps', savedAt: 1 },
        { key: 'performances', value: [{ id: 'old' }, { id: 'older' }], savedAt: 1 },
      ]);
      await putOldTracks(page);
      await page.reload();
      await expect(page.getByTestId('unread')).toBeVisible({ timeout: 30_000 });
      await choose(page, CUT);
      await expect(page.getByTestId('feed')).toContainText('Give the file');
      await expect(page.getByText(/^The stored setting “overviews” could not be read/)).toBeVisible();
      await expect(page.getByText(/^2 recordings of rehearsals could not be read/)).toBeVisible();
      await withFullDisk(page, async () => {
        await button(page, 'Overviews').click();
        await expect(page.getByText(/^The setting “overviews” could not be saved/)).toBeVisible();
      });
    },
  },
  {
    name: 'Compare, a track of another version; a search that finds it',
    async open(page) {
      await page.getByTestId('find').fill('osier');
      await expect(page.getByTestId('found')).toHaveText(/^1 of/);
      await track(page, 'Osier').click();
      await expect(button(page, 'Read it again')).toBeVisible();
    },
  },
  {
    name: 'Compare, no deck on the ladder; a search that finds nothing',
    async open(page) {
      await page.getByTestId('find').fill('');
      await choose(page, demo.tracks[0].title);
      await page.getByTestId('find').fill('no such song');
      await expect(page.getByText('None fits.')).toBeVisible();
      const off = page.getByRole('button', { name: /off the ladder$/ });
      for (let left = await off.count(); left > 0; left--) {
        await off.first().click();
        await expect(off).toHaveCount(left - 1);
      }
      await expect(page.getByText('No deck stands on the ladder.')).toBeVisible();
    },
  },
  {
    name: 'Compare, the colours of a deck, hard to tell apart',
    async open(page) {
      await page.getByTestId('find').fill('');
      for (const name of ['Wide touch', 'Overview only'])
        await page.getByTestId('add-deck').selectOption({ label: name });
      await page.getByTestId('rung').first().getByRole('button', { name: 'Colours' }).click();
      const palette = page.getByTestId('palette');
      for (const role of ['middle', 'treble'])
        await palette.locator(`#field-palette-${role}`).fill('#222222');
      await expect(palette.getByRole('status')).toBeVisible();
    },
  },
  {
    name: 'Compare, the colours of a deck, one of them none',
    async open(page) {
      const palette = page.getByTestId('palette');
      await palette.locator('#field-palette-treble').fill('teal-ish');
      await expect(palette.locator('[aria-invalid="true"]')).toHaveCount(1);
    },
  },
  {
    name: 'Mark, markers copied from another track; a file of markers asks',
    async open(page) {
      await page.getByTestId('palette').getByRole('button', { name: 'Close' }).click();
      await expect(page.getByTestId('palette')).toHaveCount(0);
      await activity(page, 'Mark').click();
      await expect(button(page, 'Lock the grid')).toBeEnabled();
      await openFold(page, 'copy');
      await button(page, 'Add to the markers here').click();
      await expect(page.getByTestId('marker-row').first()).toBeVisible();
      await openFold(page, 'exchange');
      const file = 'WEBVTT\n\n00:10.000 --> 00:20.000\nThe whole of the first half\n';
      await page.getByTestId('read-markers').setInputFiles(written('chapters.vtt', file));
      await expect(page.getByTestId('exchange').getByText('chapters.vtt').first()).toBeVisible();
    },
  },
  {
    name: 'Mark, a silent track without beats',
    async open(page) {
      await track(page, 'nothing-on-it').click();
      await expect(page.getByTestId('silent')).toBeVisible();
      await expect(page.getByText('No steady beat was found.')).toBeVisible();
      await expect(button(page, 'Lock the grid')).toBeEnabled();
    },
  },
  {
    name: 'Gig, a playlist of which some tracks are missing',
    async open(page) {
      await activity(page, 'Gig').click();
      await button(page, 'New booth').click();
      const rows = [
        LONG_FILE,
        demo.tracks[0].file,
        'cut.mp3',
        'music/a-song-that-nobody-here-has-ever-heard.mp3',
      ];
      const [name, mimeType] = ['the-last-friday-of-the-month.m3u8', 'audio/x-mpegurl'];
      const buffer = Buffer.from(`#EXTM3U\n${rows.join('\n')}\n`);
      await page.getByTestId('read-list').setInputFiles({ name, mimeType, buffer });
      await expect(page.getByTestId('gig-news')).toContainText('3 of 4 tracks were found');
      await expect(page.getByTestId('match-again')).toBeVisible();
      await expect(page.getByTestId('find-for-set')).toBeVisible();
      await page.getByTestId('find-for-set').fill('no such song');
    },
  },
  {
    name: 'Gig, checked while tracks and files are missing',
    async open(page) {
      await button(page, 'Check').click();
      await expect(page.locator('[data-key="not-in-library"]')).toBeVisible({ timeout: 60_000 });
      await expect(page.getByTestId('check-stop')).toHaveCount(0);
    },
  },
  {
    name: 'Gig, take along refused',
    async open(page) {
      await page.evaluate(() => {
        const refuse = () => Promise.reject(new DOMException('no', 'NotAllowedError'));
        Object.assign(window, { showDirectoryPicker: refuse });
      });
      await button(page, 'Take along').click();
      await expect(page.getByTestId('take-zip')).toBeEnabled({ timeout: 60_000 });
      await page.getByTestId('take-folder').click();
      await expect(page.getByTestId('take-fault')).toBeVisible();
    },
  },
  {
    name: 'Gig, taken along: a copy made, the zip finished',
    async open(page) {
      const goes = page.getByTestId('take-tracks').locator('select');
      await goes.nth(0).selectOption('copy');
      await goes.nth(1).selectOption('leave-out');
      const waiting = page.waitForEvent('download');
      await page.getByTestId('take-zip').click();
      await waiting;
      await expect(page.getByTestId('take-done')).toBeVisible();
      await expect(page.getByTestId('take-copies')).toBeVisible();
    },
  },
  {
    name: 'Rehearse, a poor deck; a recording as another deck would play it, put into a set',
    async open(page) {
      await activity(page, 'Rehearse').click();
      const deck = page.getByTestId('deck-0');
      await deck.getByTestId('track').selectOption({ label: demo.tracks[0].title });
      await deck.getByTestId('load').click();
      await expect(deck.getByTestId('told')).toHaveText('The track is loaded.', { timeout: 40_000 });
      await page.keyboard.press('p');
      await page.getByTestId('record-0').click();
      await page.locator('main').focus();
      for (const key of ['b', 'h', 'e', '.']) await page.keyboard.press(key);
      await page.getByTestId('record-stop').click();
      await expect(page.getByTestId('recordings')).toContainText('4 events');
      await page.keyboard.press('p');
      await page.getByTestId('what-if-deck').selectOption('overview-only');
      await page.getByTestId('what-if-run').click();
      await expect(page.getByTestId('what-if-move')).toHaveCount(4, { timeout: 30_000 });
      await button(page, 'Put these moves into a set').click();
      await expect(page.getByTestId('what-if-told')).toContainText('planned in');
      await expect(page.getByTestId('unreadable')).toBeVisible();
      await deck.getByTestId('profile').selectOption('overview-only');
      await expect(deck.getByTestId('told')).toHaveText('The track is loaded.');
      await expect(deck.getByTestId('deck-screen').locator('canvas').first()).toBeVisible();
    },
  },
  {
    name: 'Rehearse, the delay measured by tapping; a controller learns; headphones on a second output; drive pulled',
    async open(page) {
      await button(page, 'Delete what cannot be read').click();
      await expect(page.getByTestId('recording-dropped')).toContainText('2 recordings');
      await withDevices(page);
      await button(page, 'Headphones on a second output…').click();
      await page.getByTestId('phones').selectOption('ears');
      await expect(page.getByLabel('Headphone volume')).toBeVisible();
      await page.getByTestId('midi-connect').click();
      await page.getByTestId('midi-learn').click();
      await expect(page.getByTestId('midi-told')).not.toBeEmpty();
      await page.getByTestId('pull').click();
      await expect(page.getByTestId('told')).toContainText('The drive is gone');
      await page.getByTestId('tap-eye').click();
      for (let i = 0; i < 3; i++) await page.keyboard.press('Space');
      await expect(page.getByTestId('latency')).toContainText('3 taps');
    },
  },
  {
    name: 'Train, a drill that a difference leads to',
    async open(page) {
      await activity(page, 'Gig').click();
      await button(page, 'Differences').click();
      await page.getByTestId('difference-to').selectOption('overview-only');
      await button(page, 'Train this: Find the drop').click();
      await expect(page.getByTestId('wish')).toBeVisible();
    },
  },
  {
    name: 'Train, for tonight in a booth',
    async open(page) {
      await button(page, 'Everything instead').click();
      await page.getByLabel('For').selectOption('tonight');
      await expect(page.getByRole('group', { name: 'Decks of tonight’s booth' })).toBeVisible();
    },
  },
  {
    name: 'Train, progress of the hands',
    async open(page) {
      await button(page, 'Hands').click();
      await page.getByTestId('hand-start').click();
      await page.getByTestId('hand-give-up').click();
      await expect(page.getByTestId('hand-result')).toBeVisible();
      await button(page, 'Progress').click();
      await expect(page.getByTestId('hand-progress')).toBeVisible();
      for (const table of await page.getByTestId('hand-progress').locator('summary').all())
        await table.click();
    },
  },
  {
    name: 'Train, a question about a list',
    async open(page) {
      const keys = ['touch-strip/row-in-list/any', 'touch-strip/phase-compare/drop'];
      await putSession(
        page,
        keys.map((key) => ({ key, seed: 3 })),
      );
      await page.reload();
      await activity(page, 'Train').click();
      await expect(page.getByTestId('question')).toHaveAttribute('data-drill', 'row-in-list', {
        timeout: 30_000,
      });
    },
  },
  { name: 'Train, what the row in the list was', open: answerByKeys },
  {
    name: 'Train, a question about the beats of two decks',
    async open(page) {
      await page.getByTestId('next').click();
      await expect(page.getByTestId('question')).toHaveAttribute('data-drill', 'phase-compare');
    },
  },
  { name: 'Train, where the beats were', open: answerByKeys },
  {
    name: 'Decks, an own deck with all its facts, a wrong file told',
    async open(page) {
      await activity(page, 'Decks').click();
      await button(page, 'Duplicate: Wide touch').click();
      await page.locator('#field-name').fill('The deck in the room behind the bar');
      await page
        .getByRole('button', { name: /^Save( changes| this deck)?$/ })
        .first()
        .click();
      const wrong = written('wrong-deck.json', '{ "name": "Nobody’s deck" }');
      await page.locator('input[type="file"]').first().setInputFiles(wrong);
      await expect(page.getByTestId('load-problems')).toContainText('wrong-deck.json');
      await page.getByTestId('profile').last().locator('summary').click();
    },
  },
  {
    name: 'Help, a search of the glossary that finds nothing',
    async open(page) {
      await activity(page, 'Help').click();
      await page.getByTestId('glossary-search').fill('qqqq');
      await expect(page.getByTestId('term')).toHaveCount(0);
    },
  },
  {
    name: 'Compare, where the browser keeps nothing',
    async open(page) {
      await page.addInitScript(() => {
        IDBFactory.prototype.open = () => {
          throw new DOMException('The user denied permission.', 'SecurityError');
        };
      });
      await page.reload();
      await expect(page.getByText(/does not let Boothproof keep a library here/)).toBeVisible();
      await expect(page.getByTestId('play')).toBeEnabled({ timeout: 30_000 });
      await expect(page.getByTestId('tracks').getByRole('listitem')).toHaveCount(demo.tracks.length);
    },
  },
];
