/** Hand drills: worked by keys and by touch to the goal, refused where a deck needs none, and open to everybody. */
import type { Page } from '@playwright/test';
import { readFileSync } from 'node:fs';
import { putSession, readRecords } from './support/database.ts';
import { expect, openApp, test } from './support/page.ts';

const DECKS = ['wide-touch', 'small-touch', 'touch-strip', 'overview-only'];

async function openHands(page: Page, deck?: string) {
  await openApp(page);
  await page.getByRole('button', { name: 'Train', exact: true }).click();
  await page.getByRole('button', { name: 'Hands', exact: true }).click();
  await expect(page.getByTestId('hands')).toBeVisible();
  if (deck) await page.getByTestId('hand-deck').selectOption(deck);
}

const choose = (page: Page, drill: string) => page.locator(`[data-drill="${drill}"] button`).click();
const control = (page: Page, id: string) => page.locator(`[data-control="${id}"]`);

test('by keyboard: slot 6 on the deck with two banks, with the fewest presses', async ({ page }) => {
  await openHands(page, 'small-touch');
  await choose(page, 'reach-slot');
  await expect(page.getByTestId('hand-goal')).toContainText('Fire the cue in slot 6.');

  // Before the start the keys press nothing.
  await page.keyboard.press('b');
  await expect(page.getByTestId('hand-presses')).toHaveText('0');
  await page.getByTestId('hand-start').focus();
  await page.keyboard.press('Enter');
  await expect(page.getByTestId('hand-board')).toBeFocused();
  await expect(page.getByTestId('hand-clock')).toHaveText('at your first press');

  await page.keyboard.press(await key(page, 'bank 2'));
  await expect(page.getByTestId('hand-presses')).toHaveText('1');
  await expect(page.getByTestId('hand-read-out')).toContainText('2 of 2');
  await expect(page.getByTestId('hand-clock')).toHaveText(/^\d+\.\d s$/);
  await page.keyboard.press(await key(page, 'hot-cue 2'));

  const result = page.getByTestId('hand-result');
  await expect(result).toHaveAttribute('data-done', 'true');
  await expect(result.getByRole('status')).toContainText('Done. 2 presses; the fewest on this deck: 2.');
  await expect(page.getByTestId('best-way').locator('li')).toHaveText(['Bank 2', 'Cue button 2']);
  await expect(page.getByTestId('own-way').locator('li')).toHaveText(['Bank 2', 'Cue button 2']);

  // Again, by the buttons under the focus, with the wrong one: it says so.
  await expect(page.getByTestId('hand-again')).toBeFocused();
  await page.keyboard.press('Enter');
  await control(page, 'hot-cue 2').focus();
  await page.keyboard.press('Enter');
  await expect(result).toHaveAttribute('data-done', 'false');
  await expect(result).toContainText('another cue was fired or set');
});

async function key(page: Page, id: string): Promise<string> {
  const name = await control(page, id).getAttribute('data-key');
  expect(name, `key of ${id}`).toBeTruthy();
  return name!;
}

test('rounds are kept: they stand in Progress after a reload, and in a file', async ({ page }) => {
  await openHands(page, 'small-touch');
  await choose(page, 'reach-slot');
  await page.getByTestId('hand-start').click();
  await page.keyboard.press(await key(page, 'bank 2'));
  await page.keyboard.press(await key(page, 'hot-cue 2'));
  await expect(page.getByTestId('hand-result')).toHaveAttribute('data-done', 'true');
  await page.getByTestId('hand-again').click();
  await page.keyboard.press(await key(page, 'hot-cue 2'));
  await expect(page.getByTestId('hand-result')).toHaveAttribute('data-done', 'false');

  await page.reload();
  await page.getByRole('button', { name: 'Train', exact: true }).click();
  await page.getByRole('button', { name: 'Progress', exact: true }).click();
  const row = page.getByTestId('hand-progress').locator('[data-drill="reach-slot"]');
  await expect(row).toContainText('1 of 2 rounds');
  await expect(row.locator('td').nth(1)).toHaveText(/^2 presses in \d/);
  await expect(row.locator('td').nth(3)).toHaveText('2 presses in 0.25 s');
  const waiting = page.waitForEvent('download');
  await page.getByTestId('hands-csv').click();
  const [head, ...lines] = readFileSync(await (await waiting).path(), 'utf8')
    .trim()
    .split('\r\n');
  expect(head).toContain('presses,fewest_presses');
  expect(lines).toHaveLength(2);
  expect(lines[1]).toContain('small-touch,reach-slot,false,spoilt,1,2,');
  const cards = await readRecords<{ key: string; reps: number }>(page, 'cards');
  expect(cards).toMatchObject([{ key: 'small-touch/reach-slot/hand', reps: 2 }]);
});

test('a session has hand drills too, and goes on with them after a reload', async ({ page }) => {
  await openApp(page);
  const item = (drill: string) => ({ key: `small-touch/${drill}/hand` });
  await putSession(page, [item('two-loops'), item('reach-slot'), item('drive-pulled')]);
  await page.reload();
  await page.getByRole('button', { name: 'Train', exact: true }).click();
  const place = page.getByTestId('train').getByTestId('place');
  await expect(place).toHaveText('Question 1 of 3');
  await page.getByRole('button', { name: 'Skip this one' }).click();
  await expect(place).toHaveText('Question 1 of 2');
  await expect(page.getByTestId('hand-goal')).toContainText('Fire the cue in slot 6.');
  await page.getByTestId('hand-start').click();
  await page.keyboard.press(await key(page, 'bank 2'));
  await page.keyboard.press(await key(page, 'hot-cue 2'));
  await expect(page.getByTestId('hand-result')).toHaveAttribute('data-done', 'true');
  await expect(place).toHaveText('Question 1 of 2');

  await page.reload();
  await page.getByRole('button', { name: 'Train', exact: true }).click();
  await expect(place).toHaveText('Question 2 of 2');
  await page.getByTestId('hand-start').click();
  await page.getByTestId('hand-give-up').click();
  await expect(page.getByRole('button', { name: 'End this session' })).toHaveCount(0);
  await expect(page.getByTestId('hand-next')).toBeFocused();
  await page.keyboard.press('Enter');
  await expect(page.getByTestId('session-done').getByRole('status').first()).toHaveText('1 of 2 right.');
  await expect(page.getByTestId('hand-progress')).toBeVisible();
});

test('clicks are heard on the beats of the loop until they are switched off, and stay off', async ({
  page,
}) => {
  // Every sound that is heard, with the time on its engine's clock.
  await page.addInitScript(() => {
    const log: number[] = ((window as unknown as { begun: number[] }).begun = []);
    const start = AudioScheduledSourceNode.prototype.start;
    AudioBufferSourceNode.prototype.start = function (this: AudioBufferSourceNode, when = 0) {
      if (this.context instanceof AudioContext) log.push(when);
      start.call(this, when);
    };
  });
  const begun = () => page.evaluate(() => (window as unknown as { begun: number[] }).begun.length);
  await openHands(page, 'small-touch');
  await choose(page, 'shorten-loop');
  await expect(page.getByTestId('hand-clicks')).toBeChecked();
  await expect(page.getByTestId('hand-board')).toContainText('They start quiet');
  const before = await begun();
  await page.getByTestId('hand-start').click();
  await expect.poll(begun).toBeGreaterThan(before + 4);
  const times = await page.evaluate(() => (window as unknown as { begun: number[] }).begun.slice(-4));
  // 125 beats per minute: 0.48 s apart, or so many times that where the page was held up.
  const gaps = times.slice(1).map((time, i) => (time - times[i]) / 0.48);
  for (const beats of gaps) {
    expect(Math.round(beats)).toBeGreaterThanOrEqual(1);
    expect(Math.abs(beats - Math.round(beats))).toBeLessThan(0.06);
  }

  await page.getByTestId('hand-give-up').click();
  await page.getByTestId('hand-again').click();
  await page.getByTestId('hand-clicks').uncheck();
  const silent = await begun();
  await expect(page.getByTestId('hand-read-out')).toContainText('beat 4 in a loop');
  await expect(page.getByTestId('hand-read-out')).toContainText('beat 1 in a loop');
  expect(await begun()).toBe(silent);
  await page.reload();
  await page.getByRole('button', { name: 'Train', exact: true }).click();
  await page.getByRole('button', { name: 'Hands', exact: true }).click();
  await expect(page.getByTestId('hand-clicks')).not.toBeChecked();
});

test('keys are left alone in fields, when switched off and after giving up', async ({ page }) => {
  await openHands(page, 'small-touch');
  await choose(page, 'two-loops');
  await page.getByTestId('hand-start').click();
  await page.getByLabel('Keys press the controls').uncheck();
  await page.keyboard.press('e');
  await expect(page.getByTestId('hand-presses')).toHaveText('0');
  await page.getByLabel('Keys press the controls').check();
  await page.getByLabel('Light').focus();
  await page.keyboard.press('e');
  await expect(page.getByTestId('hand-presses')).toHaveText('0');
  await page.getByTestId('hand-board').focus();
  await page.keyboard.press('e');
  await expect(page.getByTestId('hand-presses')).toHaveText('1');
  await expect(page.getByTestId('hand-told')).toHaveText('There is no loop for that.');
  await page.getByTestId('hand-give-up').click();
  await expect(page.getByTestId('hand-result')).toContainText('Given up. 1 press;');
  await page.keyboard.press('e');
  await expect(page.getByTestId('own-way').locator('li')).toHaveCount(1);
});

test('a button that is held makes the loop longer, and letting go ends it', async ({ page }) => {
  await openHands(page, 'small-touch');
  await choose(page, 'two-loops');
  await page.getByTestId('hand-start').click();
  await page.keyboard.down('l');
  await expect(page.getByTestId('hand-told')).toContainText('Loop of 4 beats set.');
  await expect(page.getByTestId('hand-told')).toContainText('Loop is now 8 beats.');
  // 4 beats were there while it was held only: the goal wants them let go.
  await expect(page.getByTestId('hand-read-out')).toContainText('0 of 2');
  await page.keyboard.up('l');
  await page.keyboard.press('h');
  await expect(page.getByTestId('hand-read-out')).toContainText('1 of 2');
  await page.keyboard.press('d');
  await expect(page.getByTestId('hand-result')).toContainText('Done. 3 presses; the fewest on this deck: 2.');
  await expect(page.getByTestId('best-way').locator('li')).toHaveText([
    'Loop length',
    'Let go of “Loop length”',
    'Twice as long',
  ]);
});

test('drills that a deck does not need or cannot do say why', async ({ page }) => {
  await openHands(page, 'wide-touch');
  const drill = (id: string) => page.locator(`[data-drill="${id}"]`);
  await expect(drill('reach-slot')).toContainText(
    'Not needed here. Every slot up to that one has a button of its own here.',
  );
  await expect(drill('shorten-loop')).toContainText('Not needed here. This deck keeps your place');
  await expect(drill('reach-slot').getByRole('button')).toHaveCount(0);
  await expect(page.getByTestId('hand-goal')).not.toContainText('slot 6');
  await page.getByTestId('hand-deck').selectOption('overview-only');
  await expect(drill('reach-slot')).toContainText('Not possible here. This deck has fewer slots');
});

test('every drill on every deck gives each of its controls a key of its own', async ({ page }) => {
  await openHands(page);
  let seen = 0;
  for (const deck of DECKS) {
    await page.getByTestId('hand-deck').selectOption(deck);
    for (const button of await page.locator('[data-drill] button').all()) {
      await button.click();
      const keys = await page
        .locator('[data-control]')
        .evaluateAll((all) => all.map((each) => each.getAttribute('data-key')));
      expect(keys.length).toBeGreaterThan(0);
      expect(new Set(keys).size, `${deck}: ${keys.join(' ')}`).toBe(keys.length);
      expect(keys).not.toContain(null);
      seen++;
    }
  }
  expect(seen).toBeGreaterThan(12);
});

test('a track is found by typing its letter', async ({ page }) => {
  await openHands(page, 'small-touch');
  await choose(page, 'find-by-letter');
  await page.getByTestId('hand-start').click();
  await page.keyboard.press('/');
  await page.keyboard.press('s');
  await expect(control(page, 'row-touch 0')).toContainText('Salt Arcade');
  await control(page, 'row-touch 3').click();
  await expect(control(page, 'row-touch 3')).toHaveAttribute('aria-current', 'true');
  await page.keyboard.press('ArrowRight');
  await expect(page.getByTestId('hand-result')).toContainText('Done. 4 presses; the fewest on this deck: 4.');
});

test('a deadline that passes ends the drill', async ({ page }) => {
  await openHands(page, 'overview-only');
  await choose(page, 'recall-before-drop');
  await page.getByTestId('hand-start').click();
  await expect(page.getByTestId('hand-read-out')).toContainText('Beats to the drop');
  await expect(page.getByTestId('hand-result')).toContainText('Too late: the drop has come.');
  await expect(page.getByTestId('hand-result')).toHaveAttribute('data-done', 'false');
});

test.describe('on a small touch screen', () => {
  test.use({ viewport: { width: 390, height: 844 }, hasTouch: true });

  test('by touch: the cues are loaded before the drop', async ({ page }) => {
    await openHands(page, 'overview-only');
    await page.locator('[data-drill="recall-before-drop"] button').tap();
    await page.getByTestId('hand-start').tap();
    // The clock runs: what is to be pressed is on the screen, and stays where it is.
    const controls = page.getByTestId('hand-controls');
    await expect(controls).toBeInViewport({ ratio: 1 });
    const place = await controls.boundingBox();
    for (const id of ['recall', 'hot-cue 1', 'hot-cue 2', 'hot-cue 3']) {
      await control(page, id).tap();
      expect(await controls.boundingBox()).toEqual(place);
    }
    // The last press ends the round while the finger is down: until it is lifted nothing else comes under it.
    const last = (await control(page, 'recall').boundingBox())!;
    const point = { x: last.x + last.width / 2, y: last.y + last.height / 2 };
    const touch = await page.context().newCDPSession(page);
    await touch.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: [point] });
    await expect(page.getByTestId('hand-presses')).toHaveText('5');
    const result = page.getByTestId('hand-result');
    await expect(control(page, 'recall')).toBeVisible();
    await expect(result).toHaveCount(0);
    await touch.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
    await expect(result).toHaveAttribute('data-done', 'true');
    await expect(result).toContainText('Done. 5 presses; the fewest on this deck: 5.');
  });

  test('nothing is wider than the screen', async ({ page }) => {
    await openHands(page);
    const wide = () => page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
    for (const deck of DECKS) {
      await page.getByTestId('hand-deck').selectOption(deck);
      await choose(page, 'find-by-letter');
      expect(await wide(), `${deck}, ready`).toBeLessThanOrEqual(0);
      await page.getByTestId('hand-start').click();
      expect(await wide(), `${deck}, running`).toBeLessThanOrEqual(0);
      await page.getByTestId('hand-give-up').click();
      expect(await wide(), `${deck}, over`).toBeLessThanOrEqual(0);
    }
  });
});
