/** Markers: placed, moved and undone; what becomes of them on every deck; plans, copies, and files. */
import { execFileSync } from 'node:child_process';
import { copyFileSync, readFileSync } from 'node:fs';
import type { Page } from '@playwright/test';
import { slowReads } from './support/database.ts';
import { excerpt } from './support/files.ts';
import { expect, give, openApp, test } from './support/page.ts';

const tags = (page: Page) => page.getByTestId('tag');
const followedTime = (page: Page) =>
  page.locator('[data-testid="tag"].followed').getAttribute('aria-valuetext');

/** The app with the markers that its first track's sections propose. */
async function openMarked(page: Page) {
  await openApp(page);
  await expect(page.getByTestId('play')).toBeEnabled();
  await page.getByRole('button', { name: 'Propose from sections' }).click();
  await expect(tags(page).first()).toBeVisible();
}

test('keys place cues, marks and loops; undo takes them back, redo and a reload keep them', async ({
  page,
}) => {
  await openApp(page);
  await expect(page.getByTestId('play')).toBeEnabled();
  await page.keyboard.press('c');
  await expect(tags(page)).toHaveCount(1);
  await page.keyboard.press('End');
  await page.keyboard.press('k');
  await page.keyboard.press('Home');
  await page.keyboard.press('o');
  await page.keyboard.press('5');
  await expect(tags(page)).toHaveCount(4);
  await expect(page.getByRole('rowheader', { name: /^5 / })).toHaveCount(1);
  await page.keyboard.press('Control+z');
  await expect(tags(page)).toHaveCount(3);
  await page.keyboard.press('Control+Shift+z');
  await expect(tags(page)).toHaveCount(4);
  await page.waitForTimeout(1500);
  await page.reload();
  await expect(tags(page)).toHaveCount(4);
  await page.keyboard.press('Control+z');
  await expect(tags(page)).toHaveCount(3);
});

test('keys pressed before what is stored of a track is there are not lost', async ({ page }) => {
  await slowReads(page, 'edits', 2000);
  await openApp(page);
  await expect(page.getByTestId('tempo')).toBeVisible();
  await expect(page.getByRole('button', { name: 'Propose from sections' })).toBeDisabled();
  await page.keyboard.press('Home');
  await page.keyboard.press('c');
  await page.keyboard.press('End');
  await page.keyboard.press('k');
  await expect(page.getByRole('button', { name: 'Propose from sections' })).toBeDisabled();
  await expect(tags(page)).toHaveCount(2);
  await expect(tags(page).first()).toHaveAttribute('aria-valuetext', /^0:00/);
  await expect(tags(page).last()).not.toHaveAttribute('aria-valuetext', /^0:0/);
});

test('a digit goes to the cue in that slot', async ({ page }) => {
  await openMarked(page);
  await page.keyboard.press('3');
  const tag = tags(page).filter({ has: page.getByText('3', { exact: true }) });
  const time = /^(\d+:\d\d)/.exec((await tag.getAttribute('aria-valuetext'))!)![1];
  await expect(page.getByTestId('clock')).toContainText(time);
  await expect(page.getByTestId('thread-card').getByRole('heading')).toHaveText(/^3 /);
});

test('a click in the lane places a marker on the beat, a drag moves it to another', async ({ page }) => {
  await openApp(page);
  await expect(page.getByTestId('play')).toBeEnabled();
  await page.getByTestId('tool').selectOption('mark');
  const lane = (await page.getByTestId('marker-lane').boundingBox())!;
  await page.mouse.click(lane.x + lane.width / 2, lane.y + lane.height - 6);
  await expect(tags(page)).toHaveCount(1);
  const placed = await followedTime(page);
  // 124 bpm from 0.411 s on: the time is a whole number of beats from there.
  const beatsIn = (text: string | null) => {
    const [minutes, seconds] = /^(\d+):([\d.]+)/
      .exec(text ?? '')!
      .slice(1)
      .map(Number);
    return ((minutes * 60 + seconds - 0.411) * 124) / 60;
  };
  expect(Math.abs(beatsIn(placed) - Math.round(beatsIn(placed)))).toBeLessThan(0.01);

  const tag = (await tags(page).boundingBox())!;
  await page.mouse.move(tag.x + 6, tag.y + 8);
  await page.mouse.down();
  await page.mouse.move(tag.x + 106, tag.y + 8, { steps: 5 });
  await page.mouse.up();
  const moved = await followedTime(page);
  expect(beatsIn(moved) - beatsIn(placed)).toBeGreaterThan(30);
  expect(Math.abs(beatsIn(moved) - Math.round(beatsIn(moved)))).toBeLessThan(0.01);
});

test('a tag is worked by keyboard: moved by a beat and by a bar, named to a screen reader, removed', async ({
  page,
}) => {
  await openApp(page);
  await expect(page.getByTestId('play')).toBeEnabled();
  await page.keyboard.press('c');
  const tag = tags(page);
  await expect(tag).toHaveRole('slider');
  await expect(tag).toHaveAccessibleName(/Hot cue 1 .*0:00\.411.*Useful/);
  await tag.focus();
  await page.keyboard.press('ArrowRight');
  // 0.411 s and a beat of 0.484 s
  await expect(tag).toHaveAttribute('aria-valuetext', /^0:00\.89/);
  await page.keyboard.press('Shift+ArrowRight');
  await expect(tag).toHaveAttribute('aria-valuetext', /^0:02\.83/);
  await page.keyboard.press('Delete');
  await expect(tags(page)).toHaveCount(0);
});

test('threads run down the ladder: whole on the richest deck, broken where slots end, with the reason', async ({
  page,
}) => {
  await openMarked(page);
  const outcomes = (profile: string) =>
    page
      .locator(`[data-profile="${profile}"] [data-thread]`)
      .evaluateAll((threads) => threads.map((thread) => thread.getAttribute('data-outcome')));
  const rich = await outcomes('wide-touch');
  expect(rich).toContain('holds');
  expect(rich).not.toContain('lost');
  const poor = await outcomes('overview-only');
  expect(poor.filter((outcome) => outcome === 'lost').length).toBeGreaterThan(5);
  expect(poor).toContain('weakened');

  // Under the pointer it says why, in one sentence.
  const strip = page.locator('[data-profile="overview-only"] [data-testid="overview"]');
  await strip.scrollIntoViewIfNeeded();
  const box = (await strip.boundingBox())!;
  const sixth = page.locator('[data-testid="tag"]', { hasText: 'Drop 2' });
  const time = await sixth.getAttribute('aria-valuetext');
  const [minutes, seconds] = /^(\d+):([\d.]+)/.exec(time!)!.slice(1).map(Number);
  const x = box.x + ((minutes * 60 + seconds) / 297.5) * box.width;
  await page.mouse.move(x, box.y + box.height / 2);
  await expect(page.getByTestId('thread-tip')).toContainText('Lost');
  // A press on it follows it on every deck and offers what can be done.
  await page.mouse.down();
  await page.mouse.up();
  const card = page.getByTestId('thread-card');
  await expect(card).toContainText('Overview only: Lost');
  await expect(card.getByTestId('card-deck')).toHaveCount(4);
});

test('the table says the same, and a remedy mends it', async ({ page }) => {
  await openMarked(page);
  const row = page.getByRole('row', { name: /Drop 2/ });
  const verdict = row.getByRole('button', { name: /on Touch strip: Lost/ });
  await verdict.focus();
  await expect(page.getByTestId('thread-card')).toContainText('slot 6 is not there');
  const remedy = page.getByTestId('thread-card').locator('li').first().getByTestId('remedy').first();
  const label = await remedy.textContent();
  expect(label).toMatch(/Give it slot [1-4]/);
  await remedy.click();
  const mended = page.getByRole('row', { name: new RegExp(`${/\d/.exec(label!)![0]} Drop 2`) });
  await expect(mended.getByRole('button', { name: /on Touch strip: (Holds|Weakened)/ })).toBeVisible();
});

test('the plan is shown before anything moves, explains each move, and can be undone', async ({ page }) => {
  await openMarked(page);
  await page.getByRole('button', { name: 'Mark', exact: true }).click();
  const slots = () =>
    page.getByTestId('slot').evaluateAll((all) => all.map((slot) => (slot as HTMLSelectElement).value));
  const before = await slots();
  await page.getByText('Plan slots').click();
  const plan = page.getByTestId('plan');
  await expect(plan.getByRole('listitem').first()).toContainText(/slot \d → slot \d/);
  expect(await slots()).toEqual(before);
  await plan.getByTestId('take-plan').click();
  await expect(plan.getByTestId('plan-nothing')).toBeVisible();
  const after = await slots();
  expect(after).not.toEqual(before);
  expect([...after].sort()).toEqual([...before].sort());
  await page.keyboard.press('Control+z');
  await expect.poll(slots).toEqual(before);
});

test('the list renames, weighs, picks several and moves them by a beat', async ({ page }) => {
  await openMarked(page);
  await page.getByRole('button', { name: 'Mark', exact: true }).click();
  const rows = page.getByTestId('marker-row');
  const name = rows.nth(1).getByTestId('marker-name');
  await name.fill('doors');
  await name.press('Enter');
  await expect(page.getByTestId('news')).toContainText('Marker named doors.');
  await rows.nth(0).getByRole('checkbox').check();
  await rows.nth(1).getByRole('checkbox').check();
  await page.getByRole('button', { name: /^\+1 beat/ }).click();
  await expect(rows.nth(0)).toContainText('0:00.895');
  await expect(rows.nth(1)).toContainText('0:00.895');
  await expect(rows.nth(2)).toContainText('0:15.895');
  await page.getByRole('button', { name: 'Remove picked' }).click();
  await expect(page.getByTestId('marker-row').nth(0)).toContainText('0:15.895');
});

test('a scheme is copied to another track by section', async ({ page }) => {
  await openMarked(page);
  const count = await tags(page).count();
  await page.waitForTimeout(1200);
  await page
    .getByRole('button', { name: /Lattice Seventeen/ })
    .first()
    .click();
  await expect(page.getByRole('heading', { name: 'Lattice Seventeen' })).toBeVisible();
  await page.getByRole('button', { name: 'Mark', exact: true }).click();
  await expect(tags(page)).toHaveCount(0);
  await page.getByText('Copy from another track').click();
  await page.getByRole('button', { name: 'Add to the markers here' }).click();
  await expect(page.getByTestId('news')).toContainText(/markers copied from Lantern Tariff/);
  expect(await page.getByTestId('marker-row').count()).toBeGreaterThan(count / 2);
});

/** Saves what the button with this test id saves. */
async function saved(page: Page, button: string): Promise<{ name: string; path: string }> {
  const waiting = page.waitForEvent('download');
  await page.getByTestId(button).click();
  const download = await waiting;
  return { name: download.suggestedFilename(), path: await download.path() };
}

async function openExchange(page: Page) {
  await openMarked(page);
  await page.getByRole('button', { name: 'Mark', exact: true }).click();
  await page.getByText('Save and read markers').click();
}

test('chapters as WebVTT: the browser’s own parser reads them at the markers’ times', async ({ page }) => {
  await openExchange(page);
  await page.getByTestId('exchange-format').selectOption('webvtt');
  const file = await saved(page, 'save-text');
  expect(file.name).toMatch(/\.vtt$/);
  const cues = await page.evaluate(
    async (text) => {
      const track = document.createElement('track');
      track.kind = 'chapters';
      track.src = URL.createObjectURL(new Blob([text], { type: 'text/vtt' }));
      const video = document.createElement('video');
      video.append(track);
      document.body.append(video);
      const loaded = new Promise((resolve, reject) => {
        track.addEventListener('load', resolve);
        track.addEventListener('error', () => reject(new Error('the parser refused the file')));
      });
      track.track.mode = 'hidden';
      await loaded;
      const list = [...(track.track.cues ?? [])].map((cue) => ({
        time: cue.startTime,
        end: cue.endTime,
        text: (cue as VTTCue).text,
      }));
      video.remove();
      return list;
    },
    readFileSync(file.path, 'utf8'),
  );
  const times = await page
    .getByTestId('tag')
    .evaluateAll((all) => all.map((tag) => tag.getAttribute('aria-valuetext')!.split(',')[0]));
  const seconds = times.map((text) => text.split(':').reduce((sum, part) => sum * 60 + Number(part), 0));
  const distinct = [...new Set(seconds)].sort((a, b) => a - b);
  const read = [...new Set(cues.map((cue) => cue.time))].sort((a, b) => a - b);
  expect(read).toHaveLength(distinct.length);
  read.forEach((time, i) => expect(time).toBeCloseTo(distinct[i], 2));
  expect(cues.some((cue) => cue.text.includes('Drop'))).toBe(true);
  expect(cues.every((cue) => cue.end >= cue.time)).toBe(true);
});

for (const format of ['json', 'csv', 'webvtt', 'cue-sheet']) {
  test(`a ${format} file that was saved reads back equal, after the person says what shall become of the rest`, async ({
    page,
  }) => {
    await openExchange(page);
    await page.getByTestId('exchange-format').selectOption(format);
    const file = await saved(page, 'save-text');
    const about = () => tags(page).evaluateAll((all) => all.map((tag) => tag.getAttribute('aria-label')));
    const before = await about();
    await page.getByLabel('Pick all').check();
    await page.getByRole('button', { name: 'Remove picked' }).click();
    await expect(tags(page)).toHaveCount(0);
    await page.getByTestId('read-markers').setInputFiles({
      name: file.name,
      mimeType: 'text/plain',
      buffer: readFileSync(file.path),
    });
    await expect.poll(about).toEqual(before);
    // With markers there, it asks first.
    await page.getByTestId('read-markers').setInputFiles({
      name: file.name,
      mimeType: 'text/plain',
      buffer: readFileSync(file.path),
    });
    await page.getByRole('button', { name: 'Leave all as it is' }).click();
    expect(await about()).toEqual(before);
  });
}

test('a copy of the audio carries the markers and the same sound', async ({ page }, testInfo) => {
  await openExchange(page);
  const count = await tags(page).count();
  const copy = await saved(page, 'save-audio');
  expect(copy.name).toBe('lantern-tariff with markers.wav');
  const probe = JSON.parse(
    execFileSync('ffprobe', ['-v', 'error', '-show_streams', '-of', 'json', copy.path]).toString(),
  ) as { streams: { codec_name: string }[] };
  expect(probe.streams[0].codec_name).toMatch(/^pcm/);
  const sound = (path: string) =>
    execFileSync('ffmpeg', ['-v', 'error', '-i', path, '-map', '0:a', '-f', 'md5', '-']).toString();
  expect(sound(copy.path)).toBe(sound('.cache/public/demo/lantern-tariff.wav'));
  await page.getByLabel('Pick all').check();
  await page.getByRole('button', { name: 'Remove picked' }).click();
  const given = testInfo.outputPath('copy.wav');
  copyFileSync(copy.path, given);
  await page.getByTestId('read-markers').setInputFiles(given);
  await expect(tags(page)).toHaveCount(count);
});

test('a FLAC copy has a cue sheet block where it is asked for, and others read names and places', async ({
  page,
}, testInfo) => {
  await openApp(page);
  const given = excerpt('signal-box.flac', ['-c:a', 'flac', '-metadata', 'title=Signal Box'], 12);
  await give(page, given);
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Signal Box', { timeout: 30_000 });
  await expect(page.getByTestId('place')).toContainText('/ 0:12', { timeout: 30_000 });
  await expect(page.getByTestId('tempo')).toContainText('bpm', { timeout: 30_000 });
  await expect(page.getByTestId('play')).toBeEnabled();
  await page.keyboard.press('Home');
  await page.keyboard.press('c');
  await page.keyboard.press('End');
  await page.keyboard.press('k');
  await expect(tags(page)).toHaveCount(2);
  await page.getByRole('button', { name: 'Mark', exact: true }).click();
  await page.getByText('Save and read markers').click();
  const tracks = (path: string) =>
    execFileSync('metaflac', ['--list', '--block-type=CUESHEET', path]).toString();
  const plain = await saved(page, 'save-audio');
  expect(tracks(plain.path)).toBe('');
  await page.getByTestId('cue-sheet-block').check();
  const copy = await saved(page, 'save-audio');
  expect(copy.name).toBe('signal-box with markers.flac');
  execFileSync('flac', ['-t', '-s', '-w', copy.path]);
  expect(tracks(copy.path)).toContain('number of tracks: 3');
  const probed = execFileSync('ffprobe', ['-v', 'error', '-show_chapters', '-of', 'json', copy.path]);
  const { chapters } = JSON.parse(probed.toString()) as { chapters: { tags: { title: string } }[] };
  expect(chapters.map((c) => c.tags.title)).toEqual(['Cue 1', 'Mark']);
  await page.getByLabel('Pick all').check();
  await page.getByRole('button', { name: 'Remove picked' }).click();
  await expect(tags(page)).toHaveCount(0);
  const back = testInfo.outputPath('copy.flac');
  copyFileSync(copy.path, back);
  await page.getByTestId('read-markers').setInputFiles(back);
  await expect(tags(page)).toHaveCount(2);
});

test('a file that is none is refused with a sentence, and nothing is lost', async ({ page }) => {
  await openExchange(page);
  const count = await tags(page).count();
  const file = {
    name: 'bad.vtt',
    mimeType: 'text/vtt',
    buffer: Buffer.from('WEBVTT\n\n00:00:99.000 --> x\nA\n'),
  };
  await page.getByTestId('read-markers').setInputFiles(file);
  await expect(page.getByTestId('exchange-news')).toContainText(/bad\.vtt, line \d/);
  await expect(tags(page)).toHaveCount(count);
});

test('390 px wide: lane, table, card and plan fit', async ({ page }) => {
  await page.setViewportSize({ width: 390, height: 844 });
  await openMarked(page);
  await page.getByTestId('verdict').nth(3).click();
  await expect(page.getByTestId('thread-card')).toBeInViewport();
  await page.getByRole('button', { name: 'Mark', exact: true }).click();
  await page.getByText('Plan slots').click();
  await expect(page.getByTestId('take-plan')).toBeVisible();
  const over = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
  expect(over).toBeLessThanOrEqual(0);
});
