/** A folder on its way when the page is reloaded goes on where it stood; nothing is read twice. */
import type { Page } from '@playwright/test';
import { dropFolder } from './support/drop.ts';
import { demo, excerpt } from './support/files.ts';
import { expect, openApp, test } from './support/page.ts';

const NAMES = ['one', 'two', 'three', 'four', 'five', 'six'];
/** Each of its own length, so that each is a track of its own. */
const files = () =>
  NAMES.map((name, i) =>
    excerpt(`${name}.mp3`, ['-b:a', '128k', '-metadata', `title=Night ${name}`], 60 + i),
  );

/** Gives the files and reloads the page as soon as the first of them is done with, however slow the machine is. */
async function reloadedAfterFirst(page: Page): Promise<void> {
  await page.evaluate(() => {
    const done = <T>(request: IDBRequest<T>) =>
      new Promise<T>((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(new Error(request.error?.message));
      });
    void (async () => {
      const db = await done(indexedDB.open('boothproof'));
      const names = async (store: string) => {
        const all: { name: string }[] = await done(db.transaction(store).objectStore(store).getAll());
        return all.map(({ name }) => name);
      };
      // What is done with is a track, and no longer in the queue.
      while (!(await names('tracks')).includes('one.mp3') || (await names('unread')).includes('one.mp3'))
        await new Promise((resolve) => setTimeout(resolve, 10));
      location.reload();
    })();
  });
  const loaded = page.waitForEvent('load', { timeout: 90_000 });
  await page.getByTestId('file-input').setInputFiles(files());
  await loaded;
}

test('files whose audio is kept go on by themselves', async ({ page }) => {
  await openApp(page);
  // The person has said before that audio may be kept here.
  await page
    .getByTestId('file-input')
    .setInputFiles(excerpt('first.mp3', ['-metadata', 'title=The first'], 20));
  await page
    .getByTestId('keep-audio')
    .getByRole('button', { name: 'Keep audio here' })
    .click({ timeout: 30_000 });
  await page.waitForTimeout(1200);
  await reloadedAfterFirst(page);
  await expect(page.getByTestId('tracks').getByRole('listitem')).toHaveCount(
    demo.tracks.length + 1 + NAMES.length,
    {
      timeout: 90_000,
    },
  );
  for (const name of NAMES) await expect(page.getByTestId('tracks')).toContainText(`Night ${name}`);
  await expect(page.getByTestId('unread')).toHaveCount(0);

  // What is kept can be seen and let go of: some of it, then all.
  const room = page.getByTestId('room');
  await room.getByText('Room in this browser').click();
  await expect(room).toContainText('that the browser allows are taken');
  await expect(room.getByTestId('kept')).toContainText(`Audio of ${NAMES.length + 1} tracks is kept here`);
  await room.getByRole('checkbox', { name: /Night two/ }).check();
  await room.getByRole('button', { name: 'Let go of the audio of the chosen' }).click();
  await expect(room.getByTestId('kept')).toContainText(`Audio of ${NAMES.length} tracks`);
  await room.getByRole('button', { name: 'Let go of all audio' }).click();
  await expect(room.getByTestId('kept')).toHaveText('No audio is kept here.');
  await page.reload();
  await expect(page.getByTestId('tracks').locator('li').filter({ hasText: 'Night two' })).toContainText(
    'Picture only',
  );
});

test('files that may not be kept are asked for by name', async ({ page }) => {
  await openApp(page);
  await reloadedAfterFirst(page);
  await expect(page.getByTestId('unread')).toContainText('still waiting');
  await expect(page.getByTestId('unread')).toContainText('six.mp3');
  await expect(page.getByTestId('unread')).not.toContainText('one.mp3');
  await page.getByTestId('file-input').setInputFiles(files());
  await expect(page.getByTestId('unread')).toHaveCount(0);
  await expect(page.getByTestId('tracks')).toContainText('Night six', { timeout: 90_000 });
  await expect(page.getByTestId('tracks').getByRole('listitem')).toHaveCount(
    demo.tracks.length + NAMES.length,
  );
});

test('a dropped folder is read with all that is in it, and goes on from its handles', async ({ page }) => {
  await openApp(page);
  await dropFolder(page, 'Saturday', { 'a.wav': 12_000_000, 'Late/b.wav': 9_000_000, 'Late/cover.jpg': 3 });
  await expect(page.getByTestId('jobs')).toContainText('a.wav');
  await expect(page.getByTestId('jobs')).toContainText('b.wav');
  await expect(page.getByTestId('jobs')).not.toContainText('cover.jpg');
  // Noted before anything of it is done.
  await page.waitForTimeout(300);
  await page.reload();
  await expect(page.getByTestId('tracks').getByRole('listitem')).toHaveCount(demo.tracks.length + 2, {
    timeout: 60_000,
  });
});
