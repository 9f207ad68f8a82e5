/** What goes wrong while a set is written: nothing that is not whole is called done, and what is left is told. */
import type { Page } from '@playwright/test';
import { openGig, tab, titles } from './support/gig.ts';
import { expect, test } from './support/page.ts';

/** The picker is the browser's own window; the folder that it gives is a real one in the browser's storage. */
const pickOwnFolder = (page: Page) =>
  page.context().addInitScript(() => {
    (window as unknown as { showDirectoryPicker: () => Promise<unknown> }).showDirectoryPicker = () =>
      navigator.storage.getDirectory();
  });

async function openTake(page: Page) {
  await openGig(page);
  await tab(page, 'Take along').click();
  await expect(page.getByTestId('take-zip')).toBeEnabled({ timeout: 60_000 });
}

/** Every file and folder in the browser's storage, by path. */
const stored = (page: Page, below = '') =>
  page.evaluate(async (name) => {
    const names: string[] = [];
    const look = async (folder: FileSystemDirectoryHandle, path: string) => {
      for await (const handle of folder.values()) {
        names.push(path + handle.name);
        if (handle.kind === 'directory') {
          await look(handle as FileSystemDirectoryHandle, `${path}${handle.name}/`);
        }
      }
    };
    const root = await navigator.storage.getDirectory();
    await look(name ? await root.getDirectoryHandle(name) : root, '');
    return names.sort();
  }, below);

async function noneIsDone(page: Page, sentence: string | RegExp) {
  await expect(page.getByTestId('take-fault')).toContainText(sentence, { timeout: 60_000 });
  await expect(page.getByTestId('take-done')).toHaveCount(0);
  await expect(page.getByTestId('take-zip')).toBeEnabled();
}

test('a disk that fills up while the zip is written', async ({ page }) => {
  test.setTimeout(150_000);
  await openTake(page);
  // The browser's own limit, set to what is used and a little: the first track no longer fits.
  const usage = await page.evaluate(async () => (await navigator.storage.estimate()).usage ?? 0);
  const client = await page.context().newCDPSession(page);
  const origin = new URL(page.url()).origin;
  await client.send('Storage.overrideQuotaForOrigin', { origin, quotaSize: usage + 3_000_000 });
  const downloads: string[] = [];
  page.on('download', (download) => downloads.push(download.suggestedFilename()));
  await page.getByTestId('take-zip').click();
  await noneIsDone(page, 'The disk is full');
  await expect(page.getByTestId('take-fault')).toContainText('Nothing of it was left behind.');
  expect(downloads).toEqual([]);
  expect((await stored(page)).filter((name) => name.endsWith('.zip'))).toEqual([]);
  // With room again the same page does it.
  await client.send('Storage.overrideQuotaForOrigin', { origin });
  for (const select of await page.locator('[data-testid="take-tracks"] select').all()) {
    await select.selectOption('leave-out');
  }
  await page.locator('[data-testid="take-tracks"] select').first().selectOption('as-is');
  const [saved] = await Promise.all([
    page.waitForEvent('download', { timeout: 60_000 }),
    page.getByTestId('take-zip').click(),
  ]);
  expect(saved.suggestedFilename()).toBe('Set 1 at Booth 1.zip');
  await expect(page.getByTestId('take-done')).toContainText('read back');
});

for (const [name, sentence, what] of [
  ['QuotaExceededError', 'The disk is full', 'a drive that fills up'],
  ['NotAllowedError', 'The browser may no longer write there', 'a permission that is withdrawn'],
  ['NotFoundError', 'The folder is no longer there', 'a drive that is pulled'],
] as const) {
  test(`${what} in the middle of a folder`, async ({ page }) => {
    await pickOwnFolder(page);
    await page.addInitScript((fault) => {
      // The browser's own error, after the first megabytes: as much as a real drive gives before it fails.
      let bytes = 0;
      const write = FileSystemWritableFileStream.prototype.write;
      FileSystemWritableFileStream.prototype.write = function (data) {
        bytes += (data as Uint8Array).byteLength ?? 0;
        if (bytes > 4_000_000) return Promise.reject(new DOMException('no', fault));
        return write.call(this, data);
      };
    }, name);
    await openTake(page);
    await page.getByTestId('take-folder').click();
    await noneIsDone(page, sentence);
    await expect(page.getByTestId('take-fault')).toContainText('Nothing of it was left behind.');
    expect((await stored(page)).filter((path) => path.startsWith('Set 1'))).toEqual([]);
  });
}

test('a drive that takes nothing any more, not even a removal: what is left is named', async ({ page }) => {
  await pickOwnFolder(page);
  await page.addInitScript(() => {
    let bytes = 0;
    const gone = () => bytes > 4_000_000;
    const write = FileSystemWritableFileStream.prototype.write;
    FileSystemWritableFileStream.prototype.write = function (data) {
      bytes += (data as Uint8Array).byteLength ?? 0;
      return gone() ? Promise.reject(new DOMException('no', 'NotAllowedError')) : write.call(this, data);
    };
    const remove = FileSystemDirectoryHandle.prototype.removeEntry;
    FileSystemDirectoryHandle.prototype.removeEntry = function (name, options) {
      return gone()
        ? Promise.reject(new DOMException('no', 'NotAllowedError'))
        : remove.call(this, name, options);
    };
  });
  await openTake(page);
  await page.getByTestId('take-folder').click();
  await noneIsDone(page, 'Could not be removed again: “Set 1 at Booth 1”');
  const left = await stored(page, 'Set 1 at Booth 1');
  expect(left).toContain('NOT FINISHED.txt');
  expect(left).not.toContain('SHA256SUMS.txt');
});

test('a tab that is closed half way: the folder says that it is not finished, and a new one stands beside it', async ({
  page,
}) => {
  test.setTimeout(150_000);
  await pickOwnFolder(page);
  await openTake(page);
  // Copies take a while to make, so the first of them is under way for certain.
  for (const select of await page.locator('[data-testid="take-tracks"] select').all()) {
    await select.selectOption('copy');
  }
  await page.getByTestId('take-folder').click();
  await expect(page.getByTestId('take-progress')).toContainText('Music/02', { timeout: 60_000 });
  const context = page.context();
  const url = page.url();
  // As a crash or a closed window does it: nobody is asked.
  await page.close({ runBeforeUnload: false });
  const again = await context.newPage();
  await again.goto(url);
  await expect(again.getByTestId('rung').first()).toBeVisible({ timeout: 30_000 });
  const left = await stored(again, 'Set 1 at Booth 1');
  expect(left).toContain('NOT FINISHED.txt');
  expect(left).not.toContain('SHA256SUMS.txt');
  expect(left.filter((path) => path.startsWith('Music/')).length).toBeLessThan(titles.length);
  const note = await again.evaluate(async () => {
    const root = await navigator.storage.getDirectory();
    const folder = await root.getDirectoryHandle('Set 1 at Booth 1');
    const file = await folder.getFileHandle('NOT FINISHED.txt');
    return (await file.getFile()).text();
  });
  expect(note).toContain('This folder is not finished.');
  // Every file that has its name is whole or empty: what was under way stands aside until it is closed.
  const sizes = await again.evaluate(async () => {
    const root = await navigator.storage.getDirectory();
    const music = await (await root.getDirectoryHandle('Set 1 at Booth 1')).getDirectoryHandle('Music');
    const found: [number, number][] = [];
    for await (const handle of music.values()) {
      const bytes = await (await (handle as FileSystemFileHandle).getFile()).arrayBuffer();
      // The size that an IFF or RIFF file gives itself, big or little end first.
      const view = new DataView(bytes);
      const riff = bytes.byteLength > 8 && view.getUint8(0) === 0x52;
      found.push([bytes.byteLength, bytes.byteLength > 8 ? view.getUint32(4, riff) + 8 : 0]);
    }
    return found;
  });
  for (const [size, told] of sizes) if (size > 0) expect(size).toBe(told);
  expect(sizes.some(([size]) => size > 0)).toBe(true);

  await tab(again, 'Gig').click();
  await tab(again, 'Take along').click();
  await expect(again.getByTestId('take-folder')).toBeEnabled({ timeout: 60_000 });
  await expect(again.getByTestId('take-done')).toHaveCount(0);
  for (const select of await again.locator('[data-testid="take-tracks"] select').all()) {
    await select.selectOption('leave-out');
  }
  await again.locator('[data-testid="take-tracks"] select').first().selectOption('as-is');
  await again.getByTestId('take-folder').click();
  await expect(again.getByTestId('take-done')).toContainText('“Set 1 at Booth 1 (2)”', { timeout: 60_000 });
  expect(await stored(again, 'Set 1 at Booth 1 (2)')).not.toContain('NOT FINISHED.txt');
});
