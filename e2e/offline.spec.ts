/** Installed, without a network, brought up to date, and given files by the system. */
import { readFileSync } from 'node:fs';
import type { Page } from '@playwright/test';
import { demo, excerpt, mp3 } from './support/files.ts';
import { expect, give, openApp, test } from './support/page.ts';
import { installed, serveVersions } from './support/versions.ts';

const tab = (page: Page, name: string) => page.getByRole('button', { name, exact: true });

test('it can be installed: manifest, icons, kinds of files', async ({ page, request }) => {
  await openApp(page);
  const href = await page.locator('link[rel="manifest"]').getAttribute('href');
  const response = await request.get(href!);
  expect(response.ok()).toBe(true);
  const manifest = await response.json();
  expect(manifest).toMatchObject({ name: 'Boothproof', display: 'standalone', start_url: './', scope: './' });
  for (const { src, sizes } of manifest.icons as { src: string; sizes: string }[]) {
    const icon = await request.get(src);
    const bytes = await icon.body();
    // PNG: width and height stand in the first chunk (https://www.w3.org/TR/png-3/#11IHDR).
    expect(`${bytes.readUInt32BE(16)}x${bytes.readUInt32BE(20)}`).toBe(sizes);
  }
  const [handler] = manifest.file_handlers;
  const accepted = (await page.getByTestId('file-input').getAttribute('accept'))!.split(',');
  expect(
    Object.values(handler.accept as Record<string, string[]>)
      .flat()
      .sort(),
  ).toEqual(accepted.filter((each) => each.startsWith('.')).sort());
  // What Chromium itself finds missing for installing, apart from what only a normal window has.
  const session = await page.context().newCDPSession(page);
  const { installabilityErrors } = await session.send('Page.getInstallabilityErrors');
  expect(installabilityErrors.map(({ errorId }) => errorId).filter((id) => id !== 'in-incognito')).toEqual(
    [],
  );
});

test('from the second visit on all works without a network: pictures, sound, reading, a reload', async ({
  page,
  context,
  watch,
}) => {
  test.setTimeout(180_000);
  await openApp(page);
  await installed(page);
  // The second visit. The sound of the demo is kept when it is used.
  await page.reload();
  await expect(page.getByTestId('play')).toBeEnabled();
  await page.getByTestId('play').click();
  await expect(page.getByTestId('clock')).not.toHaveText('0:00.0');
  await page.getByTestId('play').click();
  const file = demo.tracks[0].file;
  await expect
    .poll(() => page.evaluate(async (name) => Boolean(await caches.match(`/demo/${name}`)), file), {
      timeout: 60_000,
    })
    .toBe(true);

  await context.setOffline(true);
  await page.reload();
  await expect(page.getByTestId('rung')).toHaveCount(4);
  await expect(page.getByTestId('play')).toBeEnabled();
  await page.getByTestId('play').click();
  await expect(page.getByTestId('play')).toHaveText('Pause');
  await expect(page.getByTestId('clock')).not.toHaveText('0:00.0');
  await page.getByTestId('play').click();
  // Into the middle of it: a piece that was never asked for.
  await page.keyboard.press('End');
  await page.keyboard.press('Home');
  await expect(page.getByTestId('feed')).toHaveCount(0);
  // Files of every worker-loaded kind are read: the decoders were kept too.
  await give(page, mp3(), excerpt('far-out.flac', [], 12));
  await expect(page.getByTestId('tracks').getByRole('listitem')).toHaveCount(demo.tracks.length + 2, {
    timeout: 60_000,
  });
  await expect(page.getByTestId('second-opinion')).toContainText('124', { timeout: 60_000 });
  for (const name of ['Mark', 'Train', 'Gig', 'Decks', 'Help']) {
    await tab(page, name).click();
    await expect(page.locator('main').getByRole('heading').first()).toBeVisible();
  }
  // A track whose sound was never fetched says so.
  await tab(page, 'Compare').click();
  await page
    .getByTestId('tracks')
    .getByRole('button', { name: new RegExp(`^${demo.tracks[1].title}`) })
    .click();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(demo.tracks[1].title);
  await expect(page.getByRole('region', { name: 'Messages' })).toContainText(demo.tracks[1].title, {
    timeout: 30_000,
  });
  await context.setOffline(false);
  // The browser tells of the sound that it could not fetch.
  expect(
    watch.errors.filter(
      (error) => !/ERR_INTERNET_DISCONNECTED|ERR_FAILED|Failed to fetch|no-response/.test(error),
    ),
  ).toEqual([]);
  watch.errors.length = 0;
});

test('a new version waits, begins at the person’s wish with everything saved, and never by itself', async ({
  page,
  context,
  watch,
}) => {
  test.setTimeout(180_000);
  const versions = await serveVersions();
  try {
    await page.goto(versions.url);
    await expect(page.getByTestId('rung').first()).toBeVisible({ timeout: 30_000 });
    await installed(page);
    await expect(page.getByTestId('update')).toHaveCount(0);

    versions.publish('Boothproof, newer');
    // What a later visit does: the old version still serves the page, the new one is fetched and waits.
    await page.reload();
    await expect(page.getByTestId('update')).toBeVisible({ timeout: 30_000 });
    expect(await page.title()).toBe('Boothproof');

    // With another window open it does not begin: that one would be changed under its user.
    const other = await context.newPage();
    await other.goto(versions.url);
    await expect(other.getByTestId('rung').first()).toBeVisible({ timeout: 30_000 });
    await page.getByTestId('update').getByRole('button', { name: 'Begin it now' }).click();
    await expect(page.getByTestId('update')).toContainText('open in another window');
    expect(await page.title()).toBe('Boothproof');
    await other.close();

    // Nor while a deck is edited.
    await tab(page, 'Decks').click();
    await page
      .getByRole('button', { name: /^Duplicate/ })
      .first()
      .click();
    await expect(page.getByTestId('profile-editor')).toBeVisible();
    await page.getByTestId('update').getByRole('button', { name: 'Begin it now' }).click();
    await expect(page.getByTestId('update')).toContainText('A deck is being edited');
    await tab(page, 'Compare').click();

    // An edit that has not been written yet, and at once the new version.
    await expect(page.getByTestId('rung').first()).toBeVisible();
    await page.keyboard.press('c');
    await expect(page.getByTestId('tag')).toHaveCount(1);
    await page.getByTestId('update').getByRole('button', { name: 'Begin it now' }).click();
    await expect.poll(() => page.title().catch(() => ''), { timeout: 30_000 }).toBe('Boothproof, newer');
    await expect(page.getByTestId('tag')).toHaveCount(1);
    await expect(page.getByTestId('update')).toHaveCount(0);

    // Put off, it begins by itself at the next start, when no window is left.
    versions.publish('Boothproof, newest');
    await page.reload();
    await expect(page.getByTestId('update')).toBeVisible({ timeout: 30_000 });
    await page.getByTestId('update').getByRole('button', { name: 'At the next start' }).click();
    await expect(page.getByTestId('update')).toHaveCount(0);
    expect(await page.title()).toBe('Boothproof, newer');
    await page.close();
    await expect
      .poll(
        async () => {
          const next = await context.newPage();
          await next.goto(versions.url);
          const title = await next.title();
          await next.close();
          return title;
        },
        { timeout: 30_000 },
      )
      .toBe('Boothproof, newest');
    // Its own server is this app's origin here.
    expect(watch.elsewhere.filter((url) => !url.startsWith(`${versions.url}/`))).toEqual([]);
    watch.elsewhere.length = 0;
  } finally {
    await versions.close();
  }
});

test('files that the system hands over are read; one that cannot be read is named', async ({ page }) => {
  const bytes = readFileSync(mp3()).toString('base64');
  // The system's queue as File Handling has it: what was launched before waits for the consumer.
  await page.addInitScript(() => {
    type Consumer = (launch: { files: unknown[] }) => void;
    const waiting: { files: unknown[] }[] = [];
    let consumer: Consumer | null = null;
    Object.defineProperty(window, 'launchQueue', {
      configurable: true,
      value: {
        setConsumer(next: Consumer) {
          consumer = next;
          for (const launch of waiting.splice(0)) next(launch);
        },
      },
    });
    Object.assign(window, {
      launch: (files: unknown[]) => (consumer ? consumer({ files }) : waiting.push({ files })),
    });
    // A start without files.
    waiting.push({ files: [] });
  });
  await openApp(page);
  await page.evaluate(async (base64) => {
    const file = new File([Uint8Array.from(atob(base64), (c) => c.charCodeAt(0))], 'cellar-door.mp3');
    const fine = { kind: 'file', name: file.name, getFile: async () => file };
    const gone = {
      kind: 'file',
      name: 'gone.wav',
      getFile: () => Promise.reject(new DOMException('It was moved.', 'NotFoundError')),
    };
    (window as unknown as { launch(files: unknown[]): void }).launch([gone, fine]);
  }, bytes);
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Cellar Door', { timeout: 60_000 });
  await expect(page.getByText('“gone.wav” was handed over but cannot be read: It was moved.')).toBeVisible();
});
