/** A folder of two hundred tracks, through the browser, with a reload on the way: time, memory, and whether all are there. */
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright';
import { withKeptPage } from './browser.ts';
import { peakWhile, tellsMemory } from './memory-of.ts';
import { type Bench, against } from './table.ts';
import { plainMp3, titled } from './track.ts';

const FILES = 200;
const MINUTES = 3;
/** The page is reloaded once so many are read. */
const RELOAD_AT = 70;
const LOOK_MS = 1000;
const PATIENCE_MS = 30 * 60_000;
/** Target of the project, ms. */
const LONGEST_TASK = 50;

const titleOf = (i: number) => `Drawer ${String(i).padStart(3, '0')}`;

function fill(folder: string): void {
  const frames = new Uint8Array(readFileSync(plainMp3()));
  mkdirSync(folder);
  for (let i = 0; i < FILES; i++) writeFileSync(join(folder, `drawer-${i}.mp3`), titled(frames, titleOf(i)));
}

/** Titles of the library's tracks and how many files still wait, from the database itself. */
const state = (page: Page) =>
  page.evaluate(async () => {
    const db = await new Promise<IDBDatabase>((resolve, reject) => {
      const request = indexedDB.open('boothproof');
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(new Error(request.error?.message));
    });
    const transaction = db.transaction(['tracks', 'unread']);
    const tracks = transaction.objectStore('tracks').getAll();
    const unread = transaction.objectStore('unread').count();
    await new Promise((resolve) => (transaction.oncomplete = resolve));
    db.close();
    const titles = (tracks.result as { tags: { title: string | null } }[]).map(
      ({ tags }) => tags.title ?? '',
    );
    return { titles, unread: unread.result };
  });

/** Waits until `enough` says so of the titles of the folder that are there and the files that wait. */
async function until(page: Page, enough: (titles: string[], unread: number) => boolean): Promise<string[]> {
  for (const began = Date.now(); Date.now() - began < PATIENCE_MS;) {
    const { titles, unread } = await state(page);
    const ours = titles.filter((title) => title.startsWith('Drawer '));
    if (enough(ours, unread)) return ours;
    await page.waitForTimeout(LOOK_MS);
  }
  throw new Error(`The folder was not read within ${PATIENCE_MS / 60_000} minutes.`);
}

/** Has the page note its long tasks, from every start on. */
const noteTasks = (page: Page) =>
  page.addInitScript(() => {
    const tasks: number[] = [];
    Object.assign(window, { tasks });
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) tasks.push(entry.duration);
    }).observe({ type: 'longtask' });
  });
const tasksOf = (page: Page) =>
  page.evaluate(() => (window as unknown as { tasks: number[] }).tasks.splice(0));

export const folderBench: Bench = {
  name: 'folder',
  async run() {
    const place = mkdtempSync(join(tmpdir(), 'boothproof-folder-'));
    const folder = join(place, 'Drawers');
    try {
      fill(folder);
      const measured = await withKeptPage(join(place, 'browser'), async (page) => {
        await noteTasks(page);
        await page.reload();
        await page.getByTestId('rung').first().waitFor();
        // One file first, for which the person says that audio may be kept: what is kept goes on by itself.
        await page.getByTestId('file-input').setInputFiles(join(folder, 'drawer-0.mp3'));
        await page.getByRole('button', { name: 'Keep audio here' }).click({ timeout: 60_000 });
        await until(page, (titles) => titles.length === 1);
        await page.waitForTimeout(3000);
        await tasksOf(page);
        const began = Date.now();
        const [result, peak] = await peakWhile(process.pid, async () => {
          await page.getByTestId('folder-input').setInputFiles(folder);
          await until(page, (titles) => titles.length >= RELOAD_AT);
          const before = await tasksOf(page);
          await page.reload();
          const titles = await until(page, (all, unread) => all.length >= FILES && unread === 0);
          return { before, after: await tasksOf(page), titles };
        });
        return { ...result, peak, seconds: (Date.now() - began) / 1000 };
      });
      if (!measured) return [{ title: 'Folder: no Chromium found, not measured', head: [], rows: [] }];
      const { before, after, titles, peak, seconds } = measured;
      const tasks = [...before, ...after];
      const longest = Math.round(Math.max(0, ...tasks));
      const missing = FILES - new Set(titles).size;
      const twice = titles.length - new Set(titles).size;
      return [
        {
          title: `A folder of ${FILES} MP3s of ${MINUTES} minutes, reloaded once ${RELOAD_AT} are read, on ${availableParallelism()} cores`,
          note: 'Long tasks are those over 50 ms that the browser reports for the main thread; the start after the reload counts.',
          head: ['what', 'value', 'target'],
          rows: [
            ['missing in the end', missing, `none: ${missing ? 'MISSED' : 'met'}`],
            ['there twice', twice, `none: ${twice ? 'MISSED' : 'met'}`],
            ['whole, s', seconds.toFixed(0), ''],
            ['seconds of music per second', ((FILES * MINUTES * 60) / seconds).toFixed(0), ''],
            ...(tellsMemory() ? [['peak of the tab, proportional, MB', Math.round(peak / 1000), '']] : []),
            ['long tasks before the reload', before.length, `none: ${before.length ? 'MISSED' : 'met'}`],
            ['long tasks after it', after.length, `none: ${after.length ? 'MISSED' : 'met'}`],
            ['longest, ms', longest, longest ? against(longest, LONGEST_TASK) : ''],
          ],
        },
      ];
    } finally {
      rmSync(place, { recursive: true, force: true });
    }
  },
};
