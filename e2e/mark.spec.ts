/** Correcting the grid and the sections: what is done can be undone, and is there after a reload. */
import type { Locator, Page } from '@playwright/test';
import { unsurePulse } from './support/files.ts';
import { mark, openMark, seconds, tabTo, trackLength } from './support/mark.ts';
import { expect, openApp, settled, shownPixels, test } from './support/page.ts';

/** Of the first demo track, as its scenario has it. */
const BPM = 124;
const BAR = 240 / BPM;

const stripPixels = (page: Page) => shownPixels(page, '[data-testid="grid-strip"]');

/** Drags by `travel` CSS pixels in small steps. */
async function drag(page: Page, handle: Locator, travel: number): Promise<void> {
  await handle.scrollIntoViewIfNeeded();
  const box = (await handle.boundingBox())!;
  const x = box.x + box.width / 2;
  const y = box.y + box.height / 2;
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let step = 1; step <= 5; step++) await page.mouse.move(x + (travel * step) / 5, y);
  await page.mouse.up();
}

const placeOf = async (handle: Locator) => seconds((await handle.getAttribute('aria-valuetext'))!);

test('a corrected tempo shows in Compare, can be undone, and stays after a reload', async ({ page }) => {
  await openMark(page);
  await expect(page.getByRole('button', { name: 'Undo' })).toBeDisabled();
  await page.getByText('×2', { exact: true }).click();
  await expect(page.getByTestId('tempo')).toHaveText('248.000 bpm');
  await page.getByRole('button', { name: 'Undo' }).click();
  await expect(page.getByTestId('tempo')).toHaveText('124.000 bpm');
  await page.getByText('½', { exact: true }).click();
  await expect(page.getByTestId('tempo')).toHaveText('62.000 bpm');
  await page.waitForTimeout(1500);
  await page.reload();
  await page.getByRole('button', { name: 'Compare', exact: true }).click();
  await expect(page.getByTestId('tempo')).toHaveText('62.000 bpm');
});

test('an anchor is dragged: the beats go with it, and undo brings them back', async ({ page }) => {
  const { anchors, undo } = mark(page);
  await openMark(page);
  // Close enough to tell beats apart.
  for (let i = 0; i < 8; i++) await page.keyboard.press('+');
  await page.keyboard.press('a');
  await page.keyboard.press(']');
  await page.keyboard.press(']');
  await page.keyboard.press(']');
  await page.keyboard.press(']');
  await page.keyboard.press('a');
  await expect(anchors).toHaveCount(2);
  const before = await settled(() => stripPixels(page));
  const from = await placeOf(anchors.nth(1));

  await drag(page, anchors.nth(1).locator('.flag'), 24);
  await expect(page.getByTestId('news')).toContainText('Anchor moved to');
  const to = await placeOf(anchors.nth(1));
  expect(to).toBeGreaterThan(from);
  await expect.poll(() => stripPixels(page)).not.toBe(before);

  await undo.click();
  await expect.poll(() => placeOf(anchors.nth(1))).toBe(from);
  await expect.poll(() => stripPixels(page)).toBe(before);
});

test('a boundary is dragged onto a bar, by key it goes on by a bar, and undo brings it back', async ({
  page,
}) => {
  const { boundaries, undo } = mark(page);
  await openMark(page);
  const boundary = boundaries.nth(2);
  const from = await placeOf(boundary);
  const barsMoved = async () => ((await placeOf(boundary)) - from) / BAR;
  const box = (await page.getByTestId('section-lane').boundingBox())!;
  const duration = await trackLength(page);
  // Three bars and a third: no place for a boundary.
  await drag(page, boundary, (box.width / duration) * BAR * 3.35);
  await expect(page.getByTestId('news')).toContainText(/^Start of .* moved\./);
  // The text has tenths of a second.
  expect(await barsMoved()).toBeCloseTo(3, 1);
  await expect(boundary).toHaveAttribute('aria-valuetext', /, bar \d+, beat 1$/);

  await boundary.focus();
  await page.keyboard.press('ArrowRight');
  await expect.poll(barsMoved).toBeCloseTo(4, 1);
  await page.keyboard.press('ArrowLeft');
  await expect.poll(barsMoved).toBeCloseTo(3, 1);
  for (let i = 0; i < 3; i++) await undo.click();
  await expect.poll(() => placeOf(boundary)).toBe(from);

  // A boundary cannot pass its neighbour: that is said, and nothing moves.
  await drag(page, boundary, box.width / 2);
  await expect(page.getByTestId('news')).toContainText('cannot pass its neighbour');
  expect(await placeOf(boundary)).toBe(from);
});

test('a section is renamed, and the name can be undone', async ({ page }) => {
  await openMark(page);
  const name = page.getByTestId('section-name');
  const section = page.getByRole('button', { name: /^doors open/ });
  await expect(name).toHaveValue('intro');
  await name.fill('doors open');
  await page.getByRole('button', { name: 'Rename' }).click();
  await expect(section).toHaveCount(1);
  await page.getByRole('button', { name: 'Undo' }).click();
  await expect(section).toHaveCount(0);
  await expect(name).toHaveValue('intro');
});

test('sections stand over the ladder as they were corrected, and for a screen reader as a list', async ({
  page,
}) => {
  await openMark(page);
  await page.getByTestId('section-name').fill('doors open');
  await page.getByRole('button', { name: 'Rename' }).click();
  const labels = await page.getByTestId('section').allTextContents();
  await page.getByRole('button', { name: 'Compare', exact: true }).click();
  const band = page.getByTestId('section-band');
  await expect(band.getByTestId('band-section')).toHaveText(labels);
  await expect(band.getByTestId('band-section').first()).toHaveText('doors open');
  const items = band.getByRole('list', { name: 'Sections' }).getByRole('listitem');
  await expect(items).toHaveCount(labels.length);
  await expect(items.first()).toContainText(/^doors open, 0:00 to 0:\d\d\. Energy \d+ %\./);
  await expect(items.nth(1)).toContainText(/Boundary \d+ % sharp: /);
  await expect(items.first()).toHaveAttribute('aria-current', 'true');
  // It goes along with the axis, and says where the playhead is.
  await page.keyboard.press('End');
  await expect(items.last()).toHaveAttribute('aria-current', 'true');
  for (let i = 0; i < 12; i++) await page.keyboard.press('+');
  await expect(band.getByTestId('band-section')).toHaveText([labels.at(-1)!]);
  const lane = (await band.locator('.lane').boundingBox())!;
  const shown = (await band.getByTestId('band-section').getByText(labels.at(-1)!).boundingBox())!;
  expect(shown.x + shown.width).toBeGreaterThan(lane.x);
});

test('the metronome can be switched on and off while playing', async ({ page }) => {
  await openMark(page);
  const click = page.getByRole('button', { name: 'Click on every beat' });
  await click.click();
  await expect(click).toHaveAttribute('aria-pressed', 'true');
  await page.getByTestId('play').click();
  await expect(page.getByTestId('clock')).not.toHaveText('0:00.0');
  await click.click();
  await expect(click).toHaveAttribute('aria-pressed', 'false');
});

test('the close-up shows the transient of the chosen beat, and a nudge moves the line against it', async ({
  page,
}) => {
  const { closeUp, rise } = mark(page);
  await openMark(page);
  // Into the drop, where every beat has its kick.
  await page.getByTestId('place').focus();
  for (let i = 0; i < 44; i++) await page.keyboard.press('PageUp');
  await page.getByTestId('next-beat').click();
  await expect(closeUp).toHaveAttribute('data-filled', 'true', { timeout: 60_000 });
  await expect(closeUp).toHaveAttribute('aria-label', /^The sound around bar \d+, beat \d at 1:\d\d\.\d{3}$/);
  const before = await rise();
  expect(Math.abs(before), 'ms between line and transient').toBeLessThan(10);
  const picture = await settled(() => shownPixels(page, '[data-testid="close-up-canvas"]'));

  await page.getByRole('button', { name: 'Move all beats 10 ms later' }).click();
  await expect.poll(rise).toBeCloseTo(before - 10, 0);
  await expect.poll(() => shownPixels(page, '[data-testid="close-up-canvas"]')).not.toBe(picture);
  const label = (await closeUp.getAttribute('aria-label'))!;
  await page.getByTestId('next-beat').click();
  await expect(closeUp).not.toHaveAttribute('aria-label', label);
  await page.getByTestId('previous-beat').click();
  await expect(closeUp).toHaveAttribute('aria-label', label);
});

test('a locked grid refuses every edit with a sentence, also after a reload', async ({ page }) => {
  const { anchors } = mark(page);
  await openMark(page);
  for (let i = 0; i < 8; i++) await page.keyboard.press('+');
  await page.keyboard.press(']');
  await page.keyboard.press('a');
  await page.keyboard.press('l');
  await expect(page.getByTestId('news')).toContainText('The grid is locked.');
  const picture = await settled(() => stripPixels(page));
  const place = await placeOf(anchors.first());
  for (const key of ['.', 'b', 'r', 'h', 'e', 'p', 'a', 'Shift+X']) {
    // Something else is told between, so that every refusal is seen to be its own.
    await page.keyboard.press('m');
    await expect(page.getByTestId('news')).toContainText('Metronome');
    await page.keyboard.press(key);
    await expect(page.getByTestId('news'), key).toContainText('The grid is locked. Unlock it');
    await expect(page.getByTestId('news')).toHaveClass(/refused/);
  }
  await page.keyboard.press('m');
  await drag(page, anchors.first().locator('.flag'), 24);
  await expect(page.getByTestId('news')).toContainText('The grid is locked. Unlock it');
  expect(await placeOf(anchors.first())).toBe(place);
  await expect(page.getByTestId('tempo')).toHaveText('124.000 bpm');
  expect(await settled(() => stripPixels(page))).toBe(picture);
  await expect(page.getByText('×2', { exact: true })).toBeDisabled();

  await page.waitForTimeout(1500);
  await page.reload();
  await page.getByRole('button', { name: 'Mark', exact: true }).click();
  await expect(page.getByRole('button', { name: 'Unlock the grid' })).toHaveAttribute('aria-pressed', 'true');
  await page.getByRole('button', { name: 'Unlock the grid' }).click();
  await page.getByText('×2', { exact: true }).click();
  await expect(page.getByTestId('tempo')).toHaveText('248.000 bpm');
});

test('agreement and disagreement with the second tempo detector are said', async ({ page }) => {
  await openMark(page);
  const opinion = page.getByTestId('second-opinion');
  await expect(opinion).toContainText('The second tempo detector agrees', { timeout: 60_000 });
  await expect(opinion).toContainText('=');
  await expect(page.getByTestId('sure')).toContainText('The second tempo detector agrees');
  await page.keyboard.press('v');
  await page.keyboard.type('101.5');
  await page.keyboard.press('Enter');
  await expect(page.getByTestId('tempo')).toHaveText('101.500 bpm');
  await expect(opinion).toContainText('≠');
  await expect(opinion).toContainText(/hears 124(\.\d+)? bpm instead of 101\.5/);
  await expect(page.getByTestId('sure')).toContainText(/hears 124(\.\d+)? bpm instead of 101\.5/);
});

test('the list marks a track whose grid is unsure, until the person has checked it', async ({ page }) => {
  await openApp(page);
  await page.getByTestId('file-input').setInputFiles(await unsurePulse('stumbling.wav'));
  const entry = page.getByTestId('tracks').getByRole('button', { name: /^stumbling/ });
  const sure = page.getByTestId('tracks').getByRole('button', { name: /^Lantern Tariff/ });
  await expect(entry.getByTestId('doubt')).toContainText('Grid unsure: check it');
  await expect(entry.getByTestId('doubt')).toContainText('?');
  await expect(sure).toBeVisible();
  await expect(sure.getByTestId('doubt')).toHaveCount(0);
  await entry.click();
  await expect(page.getByTestId('unsure')).toContainText(/only \d\d % sure/);
  await page.getByRole('button', { name: 'Mark', exact: true }).click();
  await expect(page.getByTestId('least-sure')).toContainText(/^Least sure from 0:\d\d/);
  await expect(page.getByTestId('sure-region').first()).toHaveText(/^\? \d\d %\s*$/);
  // What is right as it is gets locked.
  await page.getByRole('button', { name: 'Lock the grid' }).click();
  await expect(entry.getByTestId('doubt')).toHaveCount(0);
  await page.waitForTimeout(1500);
  await page.reload();
  await expect(entry).toBeVisible();
  await expect(entry.getByTestId('doubt')).toHaveCount(0);
});

test('a track is analysed again near another tempo; what was corrected by hand stays', async ({ page }) => {
  const { undo } = mark(page);
  await openMark(page);
  const field = page.getByTestId('look-field');
  await field.fill('7');
  await field.press('Enter');
  await expect(page.getByTestId('news')).toContainText('Type a tempo between 40 and 220 bpm');
  await field.fill('62');
  await field.press('Enter');
  await expect(page.getByTestId('news')).toContainText(/Looked again near 62 bpm: the analysis finds/, {
    timeout: 80_000,
  });
  await expect(page.getByTestId('tempo')).toHaveText('62.000 bpm');
  await field.fill('124');
  await field.press('Enter');
  await expect(page.getByTestId('news')).toContainText('Looked again near 124 bpm', { timeout: 80_000 });
  await expect(page.getByTestId('tempo')).toHaveText('124.000 bpm');

  await page.keyboard.press('Escape');
  await page.getByText('×3/2', { exact: true }).click();
  await expect(page.getByTestId('tempo')).toHaveText('186.000 bpm');
  await field.fill('62');
  await field.press('Enter');
  await expect(page.getByTestId('news')).toContainText('The grid that you corrected stays', {
    timeout: 80_000,
  });
  await expect(page.getByTestId('tempo')).toHaveText('186.000 bpm');
  await expect(page.getByTestId('tracks')).toContainText('186 bpm');
  await undo.click();
  await expect(page.getByTestId('tempo')).toHaveText('62.000 bpm');
});

test('everything in Mark is done by keyboard alone', async ({ page }) => {
  const { anchors, boundaries } = mark(page);
  await openApp(page);
  await tabTo(page, page.getByRole('button', { name: 'Mark', exact: true }));
  await page.keyboard.press('Enter');
  await expect(page.getByTestId('mark')).toBeVisible();
  // Once the sound is there the playhead stays where it is put.
  await expect(page.getByTestId('play')).toBeEnabled();

  // Taps on every second beat, each exactly on its beat: half the tempo.
  for (let tap = 0; tap < 6; tap++) {
    await page.keyboard.press(']');
    await page.keyboard.press(']');
    await page.keyboard.press('t');
  }
  await expect(page.getByTestId('tapped')).toContainText('6 taps: 62.00 bpm');
  await page.keyboard.press('Shift+T');
  await expect(page.getByTestId('tempo')).toHaveText('62.000 bpm');
  await page.keyboard.press('Control+z');
  await expect(page.getByTestId('tempo')).toHaveText('124.000 bpm');
  await page.keyboard.press('Control+Shift+z');
  await expect(page.getByTestId('tempo')).toHaveText('62.000 bpm');
  await page.keyboard.press('d');
  await expect(page.getByTestId('tempo')).toHaveText('124.000 bpm');

  // A typed tempo.
  await page.keyboard.press('v');
  await page.keyboard.type('125,25');
  await page.keyboard.press('Enter');
  await expect(page.getByTestId('tempo')).toHaveText('125.250 bpm');
  // In a field the keys are letters: out of it.
  await page.keyboard.press('Tab');
  await page.keyboard.press('z');
  await expect(page.getByTestId('tempo')).toHaveText('124.000 bpm');

  // An anchor: pinned, reached, moved by a millisecond and by ten, taken out.
  await page.keyboard.press('a');
  await tabTo(page, anchors.first());
  const place = await placeOf(anchors.first());
  await page.keyboard.press('ArrowRight');
  await expect.poll(() => placeOf(anchors.first())).toBeCloseTo(place + 0.001, 3);
  await page.keyboard.press('Shift+ArrowRight');
  await expect.poll(() => placeOf(anchors.first())).toBeCloseTo(place + 0.011, 3);
  await page.keyboard.press('Delete');
  await expect(anchors).toHaveCount(0);

  // Sections: split at the playhead, named, the boundary moved, joined again.
  const count = await boundaries.count();
  await page.keyboard.press('Home');
  await tabTo(page, page.getByTestId('place'));
  for (let i = 0; i < 4; i++) await page.keyboard.press('PageUp');
  await page.keyboard.press('s');
  await expect(boundaries).toHaveCount(count + 1);
  await page.keyboard.press('n');
  await page.keyboard.type('first light');
  await page.keyboard.press('Enter');
  await expect(page.getByRole('button', { name: /^first light/ })).toHaveCount(1);
  await tabTo(page, boundaries.first());
  const start = await placeOf(boundaries.first());
  await page.keyboard.press('ArrowRight');
  await expect.poll(async () => (await placeOf(boundaries.first())) - start).toBeCloseTo(BAR, 0);

  // The close-up is a slider of its own.
  await tabTo(page, page.getByTestId('close-up-canvas'));
  const now = await placeOf(page.getByTestId('close-up-canvas'));
  await page.keyboard.press('Shift+ArrowRight');
  await expect.poll(() => placeOf(page.getByTestId('close-up-canvas'))).toBeCloseTo(now + 0.01, 3);
});

test('lanes and handles have names and values for a screen reader', async ({ page }) => {
  await openMark(page);
  await page.keyboard.press(']');
  await page.keyboard.press('a');
  const lane = page.getByRole('group', { name: 'Sections' });
  await expect(lane.getByRole('button', { name: /^intro, 0:00 to .*Energy \d+ %/ }).first()).toBeVisible();
  const start = lane.getByRole('slider', { name: 'Start of breakdown' });
  await expect(start).toHaveAttribute('aria-valuetext', /^\d:\d\d\.\d, bar \d+, beat 1$/);
  await expect(start).toHaveAccessibleDescription('Arrow keys move it by a bar.');
  const anchor = page.getByRole('group', { name: 'Anchors' }).getByRole('slider', { name: 'Anchor' });
  await expect(anchor).toHaveAttribute('aria-valuetext', /^0:00\.\d{3}, bar \d+, beat \d$/);
  await expect(anchor).toHaveAccessibleDescription(/^Arrow keys move it by 1 ms/);
  for (const handle of [start, anchor]) {
    const [min, now, max] = await Promise.all(
      ['min', 'now', 'max'].map(async (what) => Number(await handle.getAttribute(`aria-value${what}`))),
    );
    expect(now).toBeGreaterThan(min);
    expect(now).toBeLessThan(max);
  }
  await expect(page.getByTestId('close-up-canvas')).toHaveAccessibleName(
    /^The sound around bar \d+, beat \d/,
  );
});

test('390 px wide: Mark and the sections fit', async ({ page }) => {
  await page.setViewportSize({ width: 390, height: 844 });
  const overflow = () => page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
  await openMark(page);
  expect(await overflow()).toBeLessThanOrEqual(0);
  for (const id of [
    'section-lane',
    'grid-strip',
    'sure-lane',
    'grid-panel',
    'close-up-canvas',
    'section-panel',
  ]) {
    const box = (await page.getByTestId(id).boundingBox())!;
    expect(box.width, id).toBeGreaterThan(300);
    expect(box.x, id).toBeGreaterThanOrEqual(0);
    expect(box.x + box.width, id).toBeLessThanOrEqual(390);
  }
  await page.getByRole('button', { name: 'Compare', exact: true }).click();
  const band = page.getByTestId('section-band').locator('.lane');
  await band.scrollIntoViewIfNeeded();
  const box = (await band.boundingBox())!;
  expect(box.width).toBeGreaterThan(300);
  expect(box.x + box.width).toBeLessThanOrEqual(390);
  await expect(page.getByTestId('band-section').filter({ hasText: 'drop' }).first()).toBeVisible();
  expect(await overflow()).toBeLessThanOrEqual(0);
});
