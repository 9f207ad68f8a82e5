/** The main job: a demo track on the ladder at once, then the person's own file. */
import { readFileSync } from 'node:fs';
import { readRecords, slowReads } from './support/database.ts';
import { demo, EXCERPT_SECONDS, excerpt, half, mp3, written } from './support/files.ts';
import { describePicture, expect, give, openApp, rungPixels, settled, test } from './support/page.ts';

const DECKS = ['wide-touch', 'small-touch', 'touch-strip', 'overview-only'];

test('a fresh start shows a demo track on four rungs, richest on top', async ({ page }) => {
  await openApp(page);
  await expect(page.getByTestId('rung')).toHaveCount(4);
  const order = await page
    .getByTestId('rung')
    .evaluateAll((rungs) => rungs.map((r) => (r as HTMLElement).dataset.profile));
  expect(order).toEqual(DECKS);
  await expect(page.getByTestId('tempo')).toHaveText(/^124\.000 bpm$/);
  await expect(page.getByTestId('second-opinion')).toContainText('124', { timeout: 30_000 });
  // Whoever gave it has left: a thread for every track would fill the memory.
  await expect.poll(() => page.workers().filter((each) => !each.url().includes('entry')).length).toBe(0);
  await expect(page.getByTestId('play')).toBeEnabled();
});

test('a dropped MP3 is read, shown on every rung, plays, and is there after a reload', async ({ page }) => {
  await openApp(page);
  const bytes = readFileSync(mp3()).toString('base64');
  // A drop as the browser makes it: a file on the page's data transfer.
  await page.evaluate(async (base64) => {
    const blob = new Blob([Uint8Array.from(atob(base64), (c) => c.charCodeAt(0))]);
    const transfer = new DataTransfer();
    transfer.items.add(new File([blob], 'cellar-door.mp3', { type: 'audio/mpeg' }));
    for (const type of ['dragover', 'drop']) {
      window.dispatchEvent(new DragEvent(type, { dataTransfer: transfer, bubbles: true, cancelable: true }));
    }
  }, bytes);
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Cellar Door', { timeout: 30_000 });
  await expect(page.getByTestId('tempo')).toHaveText(/^124\.0\d\d bpm$/, { timeout: 30_000 });
  await expect(page.getByTestId('rung')).toHaveCount(4);

  await page.getByTestId('keep-audio').getByRole('button', { name: 'Keep audio here' }).click();
  await page.getByTestId('play').click();
  await expect(page.getByTestId('play')).toHaveText('Pause');
  await expect(page.getByTestId('clock')).not.toHaveText('0:00.0');
  await page.getByTestId('play').click();

  await page.waitForTimeout(1200);
  const before = await settled(() => rungPixels(page, 'overview-only', 'overview'));
  await page.reload();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Cellar Door');
  await expect(page.getByTestId('jobs')).toHaveCount(0);
  await expect.poll(() => rungPixels(page, 'overview-only', 'overview')).toBe(before);
  await expect(page.getByTestId('play')).toBeEnabled();
});

test('another track ends what plays; the playhead stays where it was put before the audio came', async ({
  page,
}) => {
  await openApp(page);
  await give(page, mp3());
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Cellar Door', { timeout: 60_000 });
  await expect(page.getByTestId('tempo')).toBeVisible({ timeout: 60_000 });
  const play = page.getByTestId('play');
  await page.getByTestId('keep-audio').getByRole('button', { name: 'Keep audio here' }).click();
  await expect(play).toBeEnabled();
  await expect.poll(async () => (await readRecords(page, 'audio')).length).toBe(1);
  await slowReads(page, 'audio', 3000);
  await page.reload();
  const end = async () => {
    await expect(page.getByTestId('tempo')).toBeVisible();
    await page.keyboard.press('End');
    await expect(page.getByTestId('clock')).not.toHaveText(/^0:0/);
    await expect(play).toBeDisabled();
    return page.getByTestId('clock').textContent();
  };
  const there = await end();
  await expect(play).toBeEnabled();
  await expect(page.getByTestId('clock')).toHaveText(there!);

  // A demo track comes from the server.
  await page
    .getByTestId('tracks')
    .getByRole('button', { name: /^Lantern Tariff/ })
    .click();
  await expect(play).toBeEnabled();
  await expect(page.getByTestId('clock')).toHaveText('0:00.0');
  await play.click();
  await expect(page.getByTestId('clock')).toHaveText(/^0:01/);
  await page
    .getByTestId('tracks')
    .getByRole('button', { name: /^Cellar Door/ })
    .click();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Cellar Door');
  expect(await end()).toBe(there);
  await expect(play).toHaveText('Play');
  await expect(play).toBeEnabled();
  await expect(page.getByTestId('clock')).toHaveText(there!);
  // From one activity to another it stays, too.
  await page.getByRole('button', { name: 'Mark', exact: true }).click();
  await expect(play).toBeEnabled();
  await expect(page.getByTestId('clock')).toHaveText(there!);
});

test('without kept audio the picture stays and the file is asked for; another file is not mistaken for it', async ({
  page,
}) => {
  await openApp(page);
  await give(page, mp3());
  await page
    .getByTestId('keep-audio')
    .getByRole('button', { name: 'Pictures only' })
    .click({ timeout: 30_000 });
  await page.waitForTimeout(1200);
  await page.reload();
  await expect(page.getByTestId('feed')).toContainText('again to play it');
  await expect(page.getByTestId('play')).toBeDisabled();
  await expect(page.getByTestId('rung')).toHaveCount(4);
  await give(page, mp3());
  await expect(page.getByTestId('play')).toBeEnabled({ timeout: 30_000 });
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Cellar Door');
});

test('each rung paints only what its deck shows', async ({ page }) => {
  await openApp(page);
  // Close enough that columns and beat lines can be told apart.
  await page.getByTestId('time-axis').hover();
  for (let i = 0; i < 9; i++) await page.keyboard.press('+');
  const pictureOf = (deck: string) => rungPixels(page, deck, deck === 'overview-only' ? 'overview' : 'strip');
  const pictures = new Map<string, string>();
  // Rungs are painted one after the other: they are compared once all of them stand still.
  await expect(async () => {
    const before = new Map(pictures);
    for (const deck of DECKS) pictures.set(deck, await pictureOf(deck));
    expect(Math.min(...[...pictures.values()].map(({ length }) => length))).toBeGreaterThan(300);
    expect(pictures).toEqual(before);
  }).toPass({ intervals: [500] });
  expect(new Set(pictures.values()).size, 'four different pictures').toBe(4);

  const wide = await describePicture(page, pictures.get('wide-touch')!);
  const small = await describePicture(page, pictures.get('small-touch')!);
  const strip = await describePicture(page, pictures.get('touch-strip')!);
  const overview = await describePicture(page, pictures.get('overview-only')!);
  // Background, three bands, beat and bar lines.
  expect(wide.colours).toBe(6);
  // Tint decks: a ramp, so more colours than three bands have.
  expect(small.colours).toBeGreaterThan(6);
  // Flat: background and one colour, no lines.
  expect(overview.colours).toBe(2);
  // The poorer deck has the coarser columns.
  expect(strip.columnWidth).toBeGreaterThan(small.columnWidth);
  expect(small.columnWidth).toBeGreaterThanOrEqual(wide.columnWidth);

  // Looking closer repaints the scrolling rungs; an overview stays as coarse as it is.
  await page.keyboard.press('+');
  await expect.poll(() => pictureOf('wide-touch')).not.toBe(pictures.get('wide-touch'));
  expect(await pictureOf('overview-only')).toBe(pictures.get('overview-only'));
});

test('every rung tells in one line what is no longer seen', async ({ page }) => {
  await openApp(page);
  const lines = await page.getByTestId('lost').allTextContents();
  expect(lines[0]).toMatch(/^Nothing is lost/);
  expect(lines[3]).toMatch(/no scrolling waveform.*no grid.*overview of 400 columns/i);
  expect(new Set(lines).size).toBe(4);
});

test('rungs can be added, removed, moved and laid edge to edge, and stay so', async ({ page }) => {
  await openApp(page);
  const order = () =>
    page.getByTestId('rung').evaluateAll((rungs) => rungs.map((r) => (r as HTMLElement).dataset.profile));
  await page.getByRole('button', { name: 'Move Overview only up' }).click();
  expect(await order()).toEqual(['wide-touch', 'small-touch', 'overview-only', 'touch-strip']);
  await page.getByRole('button', { name: 'Take Small touch off the ladder' }).click();
  expect(await order()).toEqual(['wide-touch', 'overview-only', 'touch-strip']);
  await page.getByTestId('add-deck').selectOption('small-touch');
  expect(await order()).toEqual(['wide-touch', 'small-touch', 'overview-only', 'touch-strip']);
  await page.locator('[data-profile="wide-touch"]').getByRole('button', { name: 'Edge to edge' }).click();
  await page.locator('[data-profile="overview-only"]').getByRole('button', { name: 'Edge to edge' }).click();
  await expect(page.getByTestId('edge-pair')).toBeVisible();
  await page.waitForTimeout(1200);
  await page.reload();
  await expect(page.getByTestId('edge-pair')).toBeVisible();
  expect(await order()).toEqual(['wide-touch', 'small-touch', 'overview-only', 'touch-strip']);
});

test('a kind of waveform and colours can be chosen per deck', async ({ page }) => {
  await openApp(page);
  const before = await settled(() => rungPixels(page, 'small-touch', 'strip'));
  await page.getByLabel('Waveform on Small touch').selectOption('single');
  await expect.poll(() => rungPixels(page, 'small-touch', 'strip')).not.toBe(before);
  const plain = await settled(() => rungPixels(page, 'overview-only', 'overview'));
  await page.locator('[data-profile="overview-only"]').getByRole('button', { name: 'Colours' }).click();
  const dialog = page.getByTestId('palette');
  await dialog.locator('#field-palette-overview').fill('#ff00aa');
  await dialog.getByRole('button', { name: 'Close' }).click();
  await expect.poll(() => rungPixels(page, 'overview-only', 'overview')).not.toBe(plain);
  const changed = await settled(() => rungPixels(page, 'overview-only', 'overview'));
  await page.waitForTimeout(1200);
  await page.reload();
  await expect.poll(() => rungPixels(page, 'overview-only', 'overview')).toBe(changed);
});

for (const [name, args] of [
  ['voices.flac', ['-c:a', 'flac']],
  ['voices.m4a', ['-c:a', 'aac', '-b:a', '160k']],
  ['voices.ogg', ['-c:a', 'libvorbis']],
  ['voices.opus', ['-c:a', 'libopus']],
] as const) {
  test(`${name} is read in the browser and plays as it is`, async ({ page }) => {
    await openApp(page);
    await give(page, excerpt(name, [...args, '-metadata', `title=Sung as ${name}`]));
    await expect(page.getByRole('heading', { level: 1 })).toHaveText(`Sung as ${name}`, { timeout: 30_000 });
    await expect(page.getByTestId('tempo')).toHaveText(/^124\.0\d\d bpm$/, { timeout: 30_000 });
    await expect(page.getByTestId('place')).toContainText(`/ 0:${EXCERPT_SECONDS}`);
    await page.getByTestId('play').click();
    await expect(page.getByTestId('clock')).not.toHaveText('0:00.0');
  });
}

for (const [name, args] of [
  ['lossless.m4a', ['-c:a', 'alac']],
  ['big-endian.aiff', []],
] as const) {
  test(`${name}, which the browser cannot play, plays through a copy`, async ({ page }) => {
    await openApp(page);
    await give(page, excerpt(name, [...args, '-metadata', 'title=By Copy']));
    await expect(page.getByRole('heading', { level: 1 })).toHaveText('By Copy', { timeout: 30_000 });
    await expect(page.getByTestId('play')).toBeEnabled({ timeout: 30_000 });
    await page.getByTestId('play').click();
    // Pressed before or after the copy is there: it plays when it can.
    await expect(page.getByTestId('clock')).not.toHaveText('0:00.0', { timeout: 30_000 });
    await expect(page.getByTestId('feed')).toHaveCount(0);
  });
}

test('bad files get a sentence with their name and the remedy, and the queue goes on', async ({ page }) => {
  await openApp(page);
  await give(
    page,
    written('nothing.mp3', ''),
    written('shopping.mp3', 'Milk, bread, gaffer tape.\n'.repeat(200)),
    written(
      'picture.wav',
      Uint8Array.from([0xff, 0xd8, 0xff, 0xe0, 0, 16, 74, 70, 73, 70, 0, 1, 1, 0, 0, 1]),
    ),
    mp3(),
  );
  await expect(page.getByTestId('fault')).toHaveCount(3, { timeout: 30_000 });
  const sentences = await page.getByTestId('fault').allTextContents();
  for (const [i, name] of ['nothing.mp3', 'shopping.mp3', 'picture.wav'].entries()) {
    expect(sentences[i]).toContain(name);
    expect(sentences[i].length).toBeGreaterThan(name.length + 20);
  }
  expect(new Set(sentences.map((s) => s.replace(/“[^”]*”/, ''))).size, 'each its own reason').toBeGreaterThan(
    1,
  );
  await expect(page.getByTestId('tracks').getByText('Cellar Door')).toBeVisible({ timeout: 30_000 });
});

test('a truncated file shows what could be read and says so', async ({ page }) => {
  await openApp(page);
  await give(page, half(mp3(), 'broken-off.mp3'));
  await expect(page.getByTestId('partial')).toContainText('broken-off.mp3', { timeout: 30_000 });
  await expect(page.getByTestId('rung')).toHaveCount(4);
});

test('reading can be stopped', async ({ page }) => {
  await openApp(page);
  await give(page, excerpt('slow-road.mp3', ['-b:a', '320k'], 280));
  await page.getByRole('button', { name: 'Stop reading slow-road.mp3' }).click({ timeout: 20_000 });
  await expect(page.getByTestId('jobs')).toHaveCount(0);
  await page.waitForTimeout(500);
  await expect(page.getByTestId('tracks').getByText('slow-road')).toHaveCount(0);
});

test('a removed track can be brought back', async ({ page }) => {
  await openApp(page);
  const count = demo.tracks.length;
  await expect(page.getByTestId('tracks').locator('li')).toHaveCount(count);
  await page.getByRole('button', { name: 'Remove Lantern Tariff' }).click();
  await expect(page.getByTestId('tracks').locator('li')).toHaveCount(count - 1);
  await page.getByTestId('removal').getByRole('button', { name: 'Bring back' }).click();
  await expect(page.getByTestId('tracks').locator('li')).toHaveCount(count);
});
