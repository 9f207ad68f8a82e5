/** The booth card and what is taken along: printed, saved, zipped, and read by others. */
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { excerpt } from './support/files.ts';
import { openCard, openGig, scratch, tab, titles } from './support/gig.ts';
import { expect, give, openApp, test } from './support/page.ts';

test('the card prints alone, as vectors and in type of 11 points at least', async ({ page }) => {
  await openCard(page);
  for (const title of titles) await expect(page.getByTestId('card-sheet')).toContainText(title);
  await expect(page.getByTestId('card-sheet').locator('.bc-slot').first()).toHaveText('1');
  await page.emulateMedia({ media: 'print' });
  await expect(page.getByTestId('card-sheet')).toBeVisible();
  await expect(page.getByTestId('card-print')).toBeHidden();
  await expect(page.getByTestId('choose-set')).toBeHidden();
  const smallest = await page
    .locator('.bc *')
    .evaluateAll((all) =>
      Math.min(
        ...all
          .filter((each) =>
            [...each.childNodes].some((node) => node.nodeType === 3 && node.nodeValue!.trim()),
          )
          .map((each) => parseFloat(getComputedStyle(each).fontSize)),
      ),
    );
  // 11 pt are 14.67 CSS pixels.
  expect(smallest).toBeGreaterThanOrEqual(14.66);
  expect(await page.locator('.bc canvas, .bc img').count()).toBe(0);
  expect(await page.locator('.bc-strip path').count()).toBeGreaterThan(titles.length);
  await page.emulateMedia({ media: null });
});

test('the card counts bars as the list of markers does', async ({ page }) => {
  await openApp(page);
  await expect(page.getByTestId('play')).toBeEnabled();
  await page.getByRole('button', { name: 'Mark', exact: true }).click();
  // Bars begin a beat later: the track begins with an upbeat.
  await page.getByRole('button', { name: 'Bar one beat later' }).click();
  await page.getByRole('button', { name: 'Propose from sections' }).click();
  await expect(page.getByTestId('marker-row').first()).toBeVisible();
  const told = await page.getByTestId('marker-row').evaluateAll((rows) => {
    const row = rows.find((each) =>
      [...each.querySelectorAll('input')].some(({ value }) => value === 'Drop'),
    );
    return [...row!.querySelectorAll('td')].map((cell) => cell.textContent!.trim());
  });
  const [bar, beat] = told.find((text) => /^\d+\.\d$/.test(text))!.split('.');
  await tab(page, 'Gig').click();
  await page.getByRole('button', { name: 'New set' }).click();
  await page.getByRole('button', { name: 'New booth' }).click();
  await page.getByTestId('add-all').click();
  await tab(page, 'Card').click();
  await expect(page.locator('.bc-cues li').filter({ hasText: 'Drop' }).first()).toContainText(
    beat === '1' ? `bar ${bar} ` : `bar ${bar}, beat ${beat}`,
    { timeout: 60_000 },
  );
});

test('the saved page holds all without scripts and without a request', async ({ page, browser }) => {
  await openGig(page);
  const name = 'A <b>"quoted"</b> & \'odd\' set';
  await page.getByLabel('Name of the set').fill(name);
  await page.getByLabel('Name of the set').press('Tab');
  await tab(page, 'Card').click();
  const folder = scratch();
  for (const paper of ['a4', 'phone']) {
    await page.getByTestId('card-paper').selectOption(paper);
    const [saved] = await Promise.all([page.waitForEvent('download'), page.getByTestId('card-save').click()]);
    const path = join(folder, `${paper}.html`);
    await saved.saveAs(path);
    const html = readFileSync(path, 'utf8');
    expect(html).not.toMatch(/<script|\bsrc=|url\(|https?:/i);
    const context = await browser.newContext({
      javaScriptEnabled: false,
      viewport: { width: 390, height: 844 },
    });
    const plain = await context.newPage();
    const requests: string[] = [];
    plain.on('request', (request) => requests.push(request.url()));
    await plain.goto(`file://${path}`);
    expect(await plain.getByRole('heading', { level: 2 }).allTextContents()).toEqual([...titles, 'Decks']);
    await expect(plain.getByRole('heading', { level: 1 })).toHaveText(name);
    expect(requests).toEqual([`file://${path}`]);
    await context.close();
  }
});

test('a zip of the set is read by unzip, its checksums hold, and its playlist names its files', async ({
  page,
}) => {
  test.setTimeout(180_000);
  const rate = excerpt('long-lamp-96.flac', ['-ar', '96000', '-sample_fmt', 's32'], 6);
  await openGig(page, [rate]);
  await tab(page, 'Take along').click();
  await expect(page.getByTestId('take-along')).toBeVisible({ timeout: 60_000 });
  await expect(page.getByTestId('take-along')).toContainText('does not read the marker files');
  await expect(page.locator('[data-testid="take-tracks"] tr[data-carriage="copy"]')).toHaveCount(1);
  const [saved] = await Promise.all([
    page.waitForEvent('download', { timeout: 120_000 }),
    page.getByTestId('take-zip').click(),
  ]);
  await expect(page.getByTestId('take-done')).toContainText('read back');
  await expect(page.getByTestId('take-copies')).toContainText('96 kHz');
  const folder = scratch();
  const path = join(folder, 'set.zip');
  await saved.saveAs(path);
  expect(execFileSync('unzip', ['-t', path], { encoding: 'utf8' })).toContain('No errors detected');
  execFileSync('unzip', ['-q', path, '-d', folder]);
  const root = join(folder, 'Set 1 at Booth 1');
  const sums = readFileSync(join(root, 'SHA256SUMS.txt'), 'utf8').trim().split('\n');
  const names = sums.map((line) => line.slice(66));
  for (const line of sums) {
    const digest = createHash('sha256')
      .update(readFileSync(join(root, line.slice(66))))
      .digest('hex');
    expect(digest, line.slice(66)).toBe(line.slice(0, 64));
  }
  await expect(page.locator('[data-testid="take-files"] tbody tr')).toHaveCount(names.length + 1);
  const list = readFileSync(join(root, 'Set 1.m3u8'), 'utf8').split('\n');
  expect(list[0]).toBe('#EXTM3U');
  const paths = list.filter((line) => line && !line.startsWith('#'));
  expect(paths).toHaveLength(titles.length + 1);
  for (const each of paths) expect(names).toContain(each);
  expect(names.filter((name) => name.startsWith('Markers/')).length).toBe(2);
  for (const name of ['Booth card.html', 'Booth card for the phone.html', 'Copies.txt', 'READ ME.txt']) {
    expect(names).toContain(name);
  }
  // A copy must be what any reader takes it for.
  const copy = paths.find((each) => each.includes('long-lamp'))!;
  const probe = execFileSync(
    'ffprobe',
    ['-v', 'error', '-show_entries', 'stream=sample_rate,codec_name', '-of', 'csv=p=0', join(root, copy)],
    { encoding: 'utf8' },
  );
  expect(probe.trim()).toMatch(/^pcm_s(16|24)(le|be),48000$/);
});

test('a stopped zip leaves nothing, and says so', async ({ page }) => {
  await openGig(page);
  await tab(page, 'Take along').click();
  await expect(page.getByTestId('take-zip')).toBeEnabled({ timeout: 30_000 });
  // Every track as a copy, so that there is something to stop.
  for (const select of await page.locator('[data-testid="take-tracks"] select').all()) {
    await select.selectOption('copy');
  }
  await page.getByTestId('take-zip').click();
  await page.getByTestId('take-cancel').click();
  await expect(page.getByTestId('take-fault')).toContainText('Stopped before everything was written.');
  await expect(page.getByTestId('take-done')).toHaveCount(0);
  const left = await page.evaluate(async () => {
    const root = await navigator.storage.getDirectory();
    const names: string[] = [];
    const folder = await root.getDirectoryHandle('take-along', { create: true });
    for await (const name of folder.keys()) names.push(name);
    return names;
  });
  expect(left).toEqual([]);
});

test('a folder gets everything, a second one does not replace it, and a refusal is told', async ({
  page,
}) => {
  test.setTimeout(180_000);
  await page.addInitScript(() => {
    // The picker is the browser's own window; the folder that it gives is a real one here, too.
    const state = window as unknown as { refuse: boolean; showDirectoryPicker: () => Promise<unknown> };
    state.showDirectoryPicker = () =>
      state.refuse
        ? Promise.reject(new DOMException('no', 'NotAllowedError'))
        : navigator.storage.getDirectory();
  });
  await openGig(page);
  await tab(page, 'Take along').click();
  await expect(page.getByTestId('take-folder')).toBeEnabled({ timeout: 30_000 });
  const selects = page.locator('[data-testid="take-tracks"] select');
  for (let i = 2; i < titles.length; i++) await selects.nth(i).selectOption('leave-out');
  await expect(page.getByTestId('take-summary')).toContainText(
    `${titles.length - 2} tracks of the set will not`,
  );
  for (const name of ['Set 1 at Booth 1', 'Set 1 at Booth 1 (2)']) {
    await page.getByTestId('take-folder').click();
    await expect(page.getByTestId('take-done')).toContainText(`in the folder “${name}”`, { timeout: 60_000 });
    const found = await page.evaluate(async (folder) => {
      const root = await (await navigator.storage.getDirectory()).getDirectoryHandle(folder);
      const names: string[] = [];
      for await (const [each] of root.entries()) names.push(each);
      const list = await (await root.getFileHandle('Set 1.m3u8')).getFile();
      return { names: names.sort(), list: await list.text() };
    }, name);
    expect(found.names).toEqual([
      'Booth card for the phone.html',
      'Booth card.html',
      'Markers',
      'Music',
      'READ ME.txt',
      'SHA256SUMS.txt',
      'Set 1.m3u8',
    ]);
    expect(found.list.split('\n').filter((line) => line.startsWith('Music/'))).toHaveLength(2);
  }
  await page.evaluate(() => ((window as unknown as { refuse: boolean }).refuse = true));
  await page.getByTestId('take-folder').click();
  await expect(page.getByTestId('take-fault')).toContainText('Choose the folder again and allow it.');
  await expect(page.getByTestId('take-done')).toHaveCount(0);
});

test('copies are played by the browser itself (WAV), and by the app (AIFF)', async ({ page, browser }) => {
  test.setTimeout(240_000);
  const short = excerpt('long-lamp-96.flac', ['-ar', '96000', '-sample_fmt', 's32'], 6);
  await openGig(page, [short]);
  await tab(page, 'Take along').click();
  await expect(page.getByTestId('take-zip')).toBeEnabled({ timeout: 60_000 });
  const selects = await page.locator('[data-testid="take-tracks"] select').all();
  for (const select of selects.slice(0, -1)) await select.selectOption('leave-out');
  await selects.at(-1)!.selectOption('copy');
  await expect(page.getByTestId('take-summary')).toContainText('1 copy to be made');
  const copies: string[] = [];
  for (const form of ['WAV, 24 bit, 48 kHz', 'AIFF, 16 bit, 44.1 kHz']) {
    await page.getByTestId('take-form').selectOption({ label: form });
    const [saved] = await Promise.all([
      page.waitForEvent('download', { timeout: 120_000 }),
      page.getByTestId('take-zip').click(),
    ]);
    const folder = scratch();
    await saved.saveAs(join(folder, 'set.zip'));
    execFileSync('unzip', ['-q', join(folder, 'set.zip'), '-d', folder]);
    const music = join(folder, 'Set 1 at Booth 1', 'Music');
    const [name] = readdirSync(music);
    copies.push(join(music, name));
  }
  const [wav, aiff] = copies;
  expect([wav, aiff].map((path) => path.split('.').at(-1))).toEqual(['wav', 'aiff']);

  // A page without anything of ours.
  const plain = await (await browser.newContext()).newPage();
  await plain.setContent('<input type="file">');
  await plain.locator('input').setInputFiles(wav);
  const heard = await plain.evaluate(async () => {
    const file = document.querySelector('input')!.files![0];
    const audio = new Audio(URL.createObjectURL(file));
    audio.volume = 0;
    await audio.play();
    while (audio.currentTime < 0.2) await new Promise((resolve) => requestAnimationFrame(resolve));
    audio.pause();
    const decoded = await new OfflineAudioContext(2, 1, 48000).decodeAudioData(await file.arrayBuffer());
    const peak = decoded.getChannelData(0).reduce((most, x) => Math.max(most, Math.abs(x)), 0);
    return { duration: audio.duration, channels: decoded.numberOfChannels, frames: decoded.length, peak };
  });
  await plain.context().close();
  expect(heard.duration).toBeCloseTo(6, 2);
  expect(heard).toMatchObject({ channels: 2, frames: 6 * 48000 });
  expect(heard.peak).toBeGreaterThan(0.1);
  expect(heard.peak).toBeLessThanOrEqual(1);

  await tab(page, 'Compare').click();
  await give(page, aiff);
  await expect(page.getByTestId('tracks').getByRole('listitem')).toHaveCount(titles.length + 2, {
    timeout: 60_000,
  });
  await expect(page.getByTestId('play')).toBeEnabled({ timeout: 30_000 });
  await page.getByTestId('play').click();
  await expect(page.getByTestId('clock')).not.toHaveText('0:00.0', { timeout: 30_000 });
});
