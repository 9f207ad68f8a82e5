/** Reading drills: asked, answered by keyboard and by touch, explained, kept over a reload, and shown as progress. */
import { readFileSync } from 'node:fs';
import { checkAccess } from './support/axe.ts';
import { clearStores, putRecords, putSession, readRecords } from './support/database.ts';
import { openAll } from './support/demo.ts';
import { mp3 } from './support/files.ts';
import { expect, openApp, settled, shownPixels, test } from './support/page.ts';
import { answerByKeys, startSession } from './support/train.ts';

test('a question is answered by keyboard and explained; a reload goes on where it was', async ({ page }) => {
  await startSession(page);
  const place = page.getByTestId('train').getByTestId('place');
  await expect(place).toHaveText(/^Question 1 of \d+$/);
  await answerByKeys(page);
  await expect(page.getByTestId('explanation')).toHaveText(/\S+ \S+/);
  await expect(page.getByTestId('result')).toContainText(/Yours: .*Right: /);
  await expect(page.getByTestId('next')).toBeFocused();
  await page.keyboard.press('Enter');
  await expect(place).toHaveText(/^Question 2 of \d+$/);
  const question = page.getByTestId('question');
  const asked = await question.getByRole('heading').textContent();
  // All that is drawn: some questions have a canvas, some a row of signs.
  const seen = async () =>
    (await question.innerHTML()) + (await shownPixels(page, '[data-testid="question"]'));
  const picture = await settled(seen);

  // A track that comes meanwhile changes nothing.
  await page.getByRole('button', { name: 'Compare', exact: true }).click();
  await page.getByTestId('file-input').setInputFiles(mp3());
  await expect(page.getByTestId('tracks')).toContainText('Cellar Door', { timeout: 60_000 });
  await page.reload();
  await page.getByRole('button', { name: 'Train', exact: true }).click();
  await expect(place).toHaveText(/^Question 2 of \d+$/);
  await expect(question.getByRole('heading')).toHaveText(asked!);
  await expect.poll(seen).toBe(picture);

  await answerByKeys(page);
  await page.getByTestId('next').click();
  await page.getByRole('button', { name: 'End this session' }).click();
  await expect(page.getByTestId('start')).toBeVisible();
  await page.getByRole('button', { name: 'Progress', exact: true }).click();
  const waiting = page.waitForEvent('download');
  await page.getByTestId('answers-csv').click();
  const csv = readFileSync(await (await waiting).path(), 'utf8')
    .trim()
    .split('\r\n');
  expect(csv).toHaveLength(3);
});

test('who answered only on the richest display, or about a deck that is gone, has the answers in Progress all the same', async ({
  page,
}) => {
  await openAll(page);
  await putSession(page, [
    { key: 'touch-strip/bars-to-change/drop', baseline: true },
    { key: 'overview-only/read-time/drop', baseline: true },
  ]);
  await page.reload();
  const progress = page.getByTestId('progress');
  const toProgress = async () => {
    await page.getByRole('button', { name: 'Train', exact: true }).click();
    await page.getByRole('button', { name: 'Progress', exact: true }).click();
  };
  await toProgress();
  await expect(progress).toContainText('After your first answers');
  await expect(page.getByTestId('answers-csv')).toHaveCount(0);
  await page.getByRole('button', { name: 'Reading', exact: true }).click();
  for (let n = 0; n < 2; n++) {
    await answerByKeys(page);
    await page.getByTestId('next').click();
  }
  await expect(page.getByTestId('session-done')).toBeVisible();
  await page.getByRole('button', { name: 'Progress', exact: true }).click();
  await expect(progress).toContainText('1 answer');
  await expect(progress.getByRole('option')).toHaveCount(2);
  const answers = await readRecords<{ deckId: string; baseline: boolean }>(page, 'answers');
  expect(answers.map(({ baseline }) => baseline)).toEqual([true, true]);

  await clearStores(page, ['answers']);
  await putRecords(
    page,
    'answers',
    answers.map((answer) => ({ ...answer, deckId: 'sold-long-ago' })),
  );
  await page.reload();
  await toProgress();
  await expect(progress).toContainText('The decks you trained on are not here any more.');
  const waiting = page.waitForEvent('download');
  await page.getByTestId('answers-csv').click();
  expect(readFileSync(await (await waiting).path(), 'utf8').match(/sold-long-ago/g)).toHaveLength(2);
});

test('an answer without how sure one is, is asked for; nothing is taken', async ({ page }) => {
  await startSession(page);
  await page.getByTestId('answer').click();
  await expect(page.getByTestId('question').getByRole('status')).toHaveText(
    'Choose an answer and how sure you are.',
  );
  await expect(page.getByTestId('result')).toHaveCount(0);
});

test('by touch on a phone: three questions to their explanation, nothing off the side', async ({
  browser,
}) => {
  const context = await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true });
  const page = await context.newPage();
  await startSession(page);
  for (let n = 0; n < 3; n++) {
    const question = page.getByTestId('question');
    const choice = question.locator('input[name="drill-option"], input[name="drill-word"]').nth(1);
    if (await choice.count()) await choice.tap();
    else if (await question.getByTestId('bars').count()) await question.getByTestId('bars').fill('1');
    else if (await question.getByTestId('time-answer').count()) {
      await question.getByTestId('time-answer').fill('0:30');
    } else await question.getByRole('slider').tap();
    await question.getByText('Fairly').tap();
    await question.getByTestId('answer').tap();
    await expect(page.getByTestId('explanation')).toBeVisible();
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(
      0,
    );
    await page.getByTestId('next').tap();
  }
  await context.close();
});

test('what is heard can be listened to and stopped', async ({ page }) => {
  await openAll(page);
  await putSession(page, [{ key: 'small-touch/heard-strip/drop' }]);
  await page.reload();
  await page.getByRole('button', { name: 'Train', exact: true }).click();
  const listen = page.getByTestId('listen');
  await listen.click();
  await expect(listen).toHaveAttribute('aria-pressed', 'true');
  await listen.click();
  await expect(listen).toHaveAttribute('aria-pressed', 'false');
  await page.getByRole('button', { name: 'Skip this one' }).click();
  await expect(page.getByTestId('session-done')).toContainText('Nothing was answered.');
});

test('who is quicker than the library opens finds the open session, and the sets, all the same', async ({
  page,
}) => {
  await openApp(page);
  await page.getByRole('button', { name: 'Gig', exact: true }).click();
  await page.getByRole('button', { name: 'New set' }).click();
  await expect.poll(async () => (await readRecords(page, 'sets')).length).toBe(1);
  await putSession(page, [{ key: 'small-touch/reach-slot/hand' }]);
  // As with a large database on a slow disk.
  await page.addInitScript(() => {
    const listen = EventTarget.prototype.addEventListener;
    type Listener = (event: Event) => void;
    IDBOpenDBRequest.prototype.addEventListener = function (type: string, listener: unknown) {
      const late = (event: Event) => void setTimeout(() => (listener as Listener)(event), 1000);
      listen.call(this, type, type === 'success' ? late : (listener as Listener));
    };
  });
  await page.reload();
  await page.getByRole('button', { name: 'Train', exact: true }).click();
  await expect(page.getByTestId('train')).toContainText('Reading your tracks…');
  await expect(page.getByTestId('place')).toHaveText('Question 1 of 1');
  await page.reload();
  await page.getByRole('button', { name: 'Gig', exact: true }).click();
  await expect(page.getByRole('button', { name: 'New set' })).toBeDisabled();
  await expect(page.getByTestId('choose-set').locator('option')).toHaveCount(1);
});

test('a number or time that cannot be is asked for in a sentence, and nothing is taken', async ({ page }) => {
  await openAll(page);
  await putSession(page, [
    { key: 'touch-strip/bars-to-change/drop' },
    { key: 'overview-only/read-time/drop' },
  ]);
  await page.reload();
  await page.getByRole('button', { name: 'Train', exact: true }).click();
  const question = page.getByTestId('question');
  const refused = async (field: string, typed: string, sentence: RegExp) => {
    await question.getByTestId(field).fill(typed);
    await question.getByTestId('answer').click();
    await expect(question.getByRole('status')).toHaveText(sentence);
    await expect(page.getByTestId('result')).toHaveCount(0);
  };
  await question.getByText('Fairly').click();
  for (const typed of ['0', '2.5', '99'])
    await refused('bars', typed, /^Type a whole number of bars from 1 to \d+\.$/);
  await page.getByRole('button', { name: 'Skip this one' }).click();
  await question.getByText('Fairly').click();
  await refused('time-answer', 'soon', /^Type a time such as 2:05\.$/);
  await refused('time-answer', '59:59', /^Type a time within the track; it is \d+:\d\d long\.$/);
  await question.getByTestId('time-answer').fill('0:30');
  await question.getByTestId('answer').click();
  await expect(page.getByTestId('result')).toBeVisible();
});

/** Every kind of question, a round of a hand drill, and how it went. */
const EVERY_STATE = [
  ...['overview-only/find-drop/drop', 'touch-strip/bars-to-change/drop', 'small-touch/heard-strip/drop'],
  ...['overview-only/same-on-rich/drop', 'touch-strip/bass-here/any', 'touch-strip/phase-compare/drop'],
  ...['small-touch/phase-compare/drop', 'touch-strip/read-time/drop', 'small-touch/energy-clash/drop'],
  ...['overview-only/own-size/drop', 'touch-strip/row-in-list/any', 'small-touch/way-to-row/any'],
  ...['small-touch/loads-there/any', 'small-touch/shorten-loop/hand'],
];

test('no state of Train breaks a rule of accessibility in either light, moves by itself, or is wider than a phone', async ({
  page,
}) => {
  test.setTimeout(180_000);
  await page.emulateMedia({ reducedMotion: 'reduce' });
  await openAll(page);
  const clean = async (state: string) => {
    for (const theme of ['booth', 'paper']) {
      await page.evaluate((name) => (document.documentElement.dataset.theme = name), theme);
      const { violations, passed } = await checkAccess(page);
      expect(violations, `${state}, ${theme}`).toEqual([]);
      expect(passed).toBeGreaterThan(10);
    }
    expect(await page.evaluate(() => document.getAnimations().length), state).toBe(0);
    await page.setViewportSize({ width: 390, height: 844 });
    const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    expect(over, `${state} on a phone`).toBeLessThanOrEqual(0);
    await page.setViewportSize({ width: 1440, height: 900 });
  };
  const train = page.getByRole('button', { name: 'Train', exact: true });
  await train.click();
  await page.getByLabel('For').selectOption('tonight');
  await clean('start');
  await page.getByTestId('with-hands').uncheck();
  await page.getByTestId('start').click();
  await expect(page.getByTestId('confirm')).toBeVisible({ timeout: 30_000 });
  await clean('asked first');

  await putSession(
    page,
    EVERY_STATE.map((key) => ({ key, seed: 3 })),
  );
  await page.reload();
  await train.click();
  const asked = new Set<string>();
  for (const key of EVERY_STATE) {
    const [, drill, section] = key.split('/');
    if (section === 'hand') break;
    await expect(page.getByTestId('question')).toHaveAttribute('data-drill', drill);
    if (!asked.has(drill)) await clean(key);
    await answerByKeys(page);
    if (!asked.has(drill)) await clean(`${key}, answered`);
    asked.add(drill);
    await page.getByTestId('next').click();
  }
  await page.getByTestId('hand-start').click();
  // What turns with the beat is not drawn for who wants no motion; the words say where the deck is.
  await expect(page.getByTestId('hand-read-out')).toContainText('beat 2 in a loop');
  await expect(page.getByTestId('hand-board').locator('.turn')).toBeHidden();
  await page.getByTestId('hand-give-up').click();
  await page.getByTestId('hand-next').click();
  await expect(page.getByTestId('session-done')).toBeVisible();
  await clean('done');
  await expect(page.getByRole('button', { name: 'End this session' })).toHaveCount(0);
});
