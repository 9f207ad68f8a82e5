/** A large library: two thousand tracks are listed, searched and filtered at once. */
import { expect, openApp, test } from './support/page.ts';

const COUNT = 2000;

test.beforeEach(async ({ page }) => {
  await openApp(page);
  // Two thousand records made from a demo track, put where the library keeps its own.
  await page.evaluate(async (count) => {
    const db = await new Promise<IDBDatabase>((resolve, reject) => {
      const request = indexedDB.open('boothproof');
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
    const done = <T>(request: IDBRequest<T>) =>
      new Promise<T>((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
      });
    const [like] = await done(db.transaction('tracks').objectStore('tracks').getAll());
    const transaction = db.transaction('tracks', 'readwrite');
    for (let i = 0; i < count; i++) {
      const title = i === 1234 ? 'Nächtlicher Übertrag' : `Made-up track ${i}`;
      const summary = { ...like.summary, tempo: 90 + (i % 90), tempoConfidence: i % 50 === 0 ? 0.2 : 0.99 };
      const tags = { ...like.tags, title, artist: `Artist ${i % 40}` };
      transaction
        .objectStore('tracks')
        .put({ ...like, id: `made-${i}`, demo: null, order: 100 + i, tags, summary });
    }
    await new Promise((resolve) => (transaction.oncomplete = resolve));
    db.close();
  }, COUNT);
  await page.reload();
  await expect(page.getByTestId('found')).toContainText(/^200\d tracks$/);
});

test('only the rows in sight are drawn, and every one can be reached', async ({ page }) => {
  const rows = page.getByTestId('tracks').locator('li');
  await expect(rows.first()).toHaveAttribute('aria-setsize', /^200\d$/);
  expect(await rows.count()).toBeLessThan(60);
  await page.getByTestId('tracks').evaluate((box) => box.scrollTo(0, box.scrollHeight));
  await expect(page.getByTestId('tracks').getByText(`Made-up track ${COUNT - 1}`)).toBeVisible();
  expect(await rows.count()).toBeLessThan(60);
});

test('search and filters narrow the list while typing; a found track opens', async ({ page }) => {
  const tracks = page.getByTestId('tracks');
  await page.getByTestId('find').fill('ubertrag');
  await expect(page.getByTestId('found')).toContainText(/^1 of 200\d tracks$/);
  await expect(tracks.getByRole('button', { name: /^Nächtlicher Übertrag/ })).toBeVisible();
  // Every word must be there, in any order: tracks 1 and 41 to 1961 are by artist 1.
  await page.getByTestId('find').fill('ARTIST made-up 196 1');
  await expect(page.getByTestId('found')).toContainText(/^1[1-9] of 200\d tracks$/);
  for (const text of await tracks.locator('li').allTextContents()) expect(text).toMatch(/196/);
  await page.getByTestId('find').fill('no such thing');
  await expect(tracks).toContainText('None fits');
  await page.getByTestId('find').fill('');
  await page.getByTestId('show').selectOption({ label: 'Grid to be checked' });
  await expect(page.getByTestId('found')).toContainText(/^4\d of 200\d tracks$/);
  await expect(tracks.getByTestId('doubt').first()).toBeVisible();
  await page.getByTestId('show').selectOption({ label: 'All of them' });
  await page.getByTestId('order').selectOption({ label: 'tempo' });
  await expect(tracks.locator('li').first()).toContainText('90 bpm');
});

test('up and down walk the list by keyboard, past what is drawn', async ({ page }) => {
  const tracks = page.getByTestId('tracks');
  await tracks.locator('.track').first().focus();
  for (let i = 0; i < 40; i++) await page.keyboard.press('ArrowDown');
  await expect(page.locator('.track:focus')).toHaveCount(1);
  await expect(page.locator('li:has(.track:focus)')).toHaveAttribute('aria-posinset', '41');
  await page.keyboard.press('ArrowUp');
  await expect(page.locator('li:has(.track:focus)')).toHaveAttribute('aria-posinset', '40');
});

test('a set is filled from a search of the library, not from thousands of rows', async ({ page }) => {
  await page.getByRole('button', { name: 'Gig', exact: true }).click();
  await page.getByRole('button', { name: 'New set' }).click();
  const rows = page.getByTestId('source-track');
  await expect(rows.first()).toBeVisible();
  expect(await rows.count()).toBeLessThan(150);
  await page.getByTestId('find-for-set').fill('ubertrag');
  await expect(rows).toHaveCount(1);
  await page.getByRole('button', { name: 'Add the 1 found' }).click();
  await expect(page.getByTestId('entry').locator('b')).toHaveText('Nächtlicher Übertrag');
});
