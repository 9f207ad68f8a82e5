/** The gig: a set and a booth are made, checked, and kept; what differs between two decks. */
import type { Page } from '@playwright/test';
import { readRecords } from './support/database.ts';
import { openAll } from './support/demo.ts';
import { excerpt } from './support/files.ts';
import { expect, give, openApp, test } from './support/page.ts';
import { answerByKeys, comeToQuestion } from './support/train.ts';

async function openGig(page: Page) {
  await openAll(page);
  await expect(page.getByTestId('play')).toBeEnabled();
  await page.getByRole('button', { name: 'Propose from sections' }).click();
  await expect(page.getByTestId('tag').first()).toBeVisible();
  await page.getByRole('button', { name: 'Gig', exact: true }).click();
  await page.getByRole('button', { name: 'New set' }).click();
  await page.getByRole('button', { name: 'New booth' }).click();
}

test('a set is made by buttons and by dragging, checked against a booth, and there after a reload', async ({
  page,
}) => {
  await openGig(page);
  await page.getByTestId('add-all').click();
  const entries = page.getByTestId('entry');
  await expect(entries).toHaveCount(5);
  const first = await entries.first().locator('b').textContent();
  await page.getByTestId('source-track').nth(2).dragTo(entries.first());
  await expect(entries).toHaveCount(6);
  await expect(entries.nth(1).locator('b')).toHaveText(first!);
  await entries
    .first()
    .getByRole('button', { name: /^Take .* out of the set/ })
    .click();
  await entries.first().getByRole('button', { name: /down$/ }).click();
  await expect(entries.nth(1).locator('b')).toHaveText(first!);
  await entries.nth(1).getByRole('button', { name: 'From markers' }).click();
  await expect(entries.nth(1).getByText(/^Jump to a hot cue: Drop/)).toBeVisible();
  await entries
    .nth(1)
    .getByLabel(/^Plan a move in/)
    .selectOption('follow-tempo');

  // A time that cannot be is not taken, and the field shows what is planned.
  const mixOut = entries.nth(1).getByLabel(/^Mix out of/);
  const planned = await mixOut.inputValue();
  for (const [typed, sentence] of [
    ['later', '“later” is no time'],
    ['59:00', /^59:00 is not in .* long\.$/],
  ] as const) {
    await mixOut.fill(typed);
    await mixOut.blur();
    await expect(page.getByTestId('gig-news')).toContainText(sentence);
    await expect(mixOut).toHaveValue(planned);
  }

  await page.getByRole('button', { name: 'Check', exact: true }).click();
  await expect(page.getByTestId('score')).toHaveText(/\d of \d+ planned moves can be done/, {
    timeout: 60_000,
  });
  const findings = page.getByTestId('finding');
  await expect(findings.first()).toContainText('Breaks the plan');
  await expect(page.locator('[data-key="slot-beyond"]')).toContainText('on Overview only');
  // What has no title in its sentence names its track beside it.
  await expect(page.locator('[data-key="no-follow"]')).toContainText(`in “${first!}”`);

  // On the disk within a second.
  await expect
    .poll(
      async () =>
        (await readRecords<{ entries: { moves: unknown[] }[] }>(page, 'sets')).at(0)?.entries.at(1)?.moves ??
        [],
    )
    .toContainEqual({ kind: 'follow-tempo' });
  await page.reload();
  await page.getByRole('button', { name: 'Gig', exact: true }).click();
  await expect(page.getByTestId('entry')).toHaveCount(5);
  await expect(page.getByTestId('booth-deck')).toHaveCount(1);
  // On the richest deck alone nothing breaks.
  await page.getByTestId('add-booth-deck').selectOption('wide-touch');
  await page.getByRole('button', { name: 'Take Overview only out of the booth' }).click();
  await page.getByRole('button', { name: 'Check', exact: true }).click();
  await expect(page.getByTestId('score')).toBeVisible({ timeout: 60_000 });
  await expect(page.locator('[data-key="slot-beyond"], [data-key="no-follow"]')).toHaveCount(0);
});

test('one click takes a move out of the plan, puts cues into slots, marks changes, and can be taken back', async ({
  page,
}) => {
  await openGig(page);
  await page.getByTestId('add-all').click();
  const entry = page.getByTestId('entry').first();
  await entry.getByRole('button', { name: 'From markers' }).click();
  await expect(entry.getByText(/^Jump to a hot cue: Drop/)).toBeVisible();
  for (const move of ['follow-tempo', 'slip']) {
    await entry.getByLabel(/^Plan a move in/).selectOption(move);
  }
  await page.getByRole('button', { name: 'Check', exact: true }).click();
  const finding = (key: string) => page.locator(`[data-key="${key}"]`);
  const news = page.getByTestId('gig-news');
  const undo = page.getByTestId('gig-undo');
  await expect(finding('no-follow')).toBeVisible({ timeout: 60_000 });
  const before = await page.getByTestId('score').textContent();

  await finding('no-follow').getByRole('button', { name: 'Take it out of the plan' }).click();
  await expect(news).toHaveText('1 move is no longer planned.');
  await expect(finding('no-follow')).toHaveCount(0);
  await expect(finding('no-slip')).toHaveCount(1);
  await expect(page.getByTestId('score')).not.toHaveText(before!);
  await expect(undo).toHaveText('Undo');
  await undo.click();
  await expect(news).toHaveText('Undone.');
  await expect(finding('no-follow')).toHaveCount(1);
  await expect(page.getByTestId('score')).toHaveText(before!);

  const beyond = finding('slot-beyond');
  const told = await beyond.textContent();
  await beyond.locator('[data-remedy="plan-slots"]').click();
  await expect(news).toHaveText('Give the cues that matter most the slots: done.');
  await expect(beyond.filter({ hasText: told! })).toHaveCount(0);
  await expect(page.getByTestId('score')).toHaveText(/planned moves can be done/);
  await expect(page.getByTestId('score')).not.toHaveText(before!);

  // It is a step in the track's own history, so “Mark” can take it back, too.
  await page.getByRole('button', { name: 'Mark', exact: true }).click();
  await page.getByTestId('grid-panel').getByRole('button', { name: 'Undo' }).click();
  await page.getByRole('button', { name: 'Gig', exact: true }).click();
  await page.getByRole('button', { name: 'Check', exact: true }).click();
  await expect(page.getByTestId('score')).toHaveText(before!, { timeout: 60_000 });

  // Tracks of which nothing is marked: their sections are marked in all of them at once.
  const nothing = finding('nothing-marked').first();
  const id = await nothing.locator('p').first().textContent();
  await nothing.locator('[data-remedy="mark-sections"]').click();
  await expect(news).toHaveText('Put marks on the changes: done.');
  await expect(finding('nothing-marked').filter({ hasText: id! })).toHaveCount(0);
  await undo.click();
  await expect(finding('nothing-marked').filter({ hasText: id! })).toHaveCount(1);
});

test('a set, a booth and a track that were deleted come back', async ({ page }) => {
  await openGig(page);
  await page.getByTestId('add-all').click();
  const count = await page.getByTestId('entry').count();
  const title = await page.getByTestId('entry').nth(1).locator('b').textContent();
  await page
    .getByTestId('entry')
    .nth(1)
    .getByRole('button', { name: /^Take .* out of the set/ })
    .click();
  await expect(page.getByTestId('entry')).toHaveCount(count - 1);
  await expect(page.getByTestId('gig-undo')).toHaveText('Bring back');
  await page.getByTestId('gig-undo').click();
  await expect(page.getByTestId('entry').nth(1).locator('b')).toHaveText(title!);
  await page.getByRole('button', { name: 'Delete this set' }).click();
  await expect(page.getByTestId('entry')).toHaveCount(0);
  await expect(page.getByTestId('gig-news')).toHaveText('“Set 1” was deleted.');
  await page.getByTestId('gig-undo').click();
  await expect(page.getByTestId('entry')).toHaveCount(count);
  await page.getByRole('button', { name: 'Delete this booth' }).click();
  await expect(page.getByTestId('booth-deck')).toHaveCount(0);
  await page.getByTestId('gig-undo').click();
  await expect(page.getByTestId('booth-deck')).toHaveCount(1);
  await expect(page.getByTestId('gig-news')).toHaveText('Brought back.');
  await page.reload();
  await page.getByRole('button', { name: 'Gig', exact: true }).click();
  await expect(page.getByTestId('entry')).toHaveCount(count);
  await expect(page.getByTestId('booth-deck')).toHaveCount(1);
});

test('a playlist becomes a set, with what is not in the library told', async ({ page }) => {
  await openGig(page);
  const text =
    '#EXTM3U\n#EXTINF:297,Orla Finchmere - Lantern Tariff\nmusic/lantern-tariff.wav\n#EXTINF:200,Nobody - Nothing\nnothing.mp3\n';
  await page
    .getByTestId('read-list')
    .setInputFiles({ name: 'friday.m3u8', mimeType: 'audio/x-mpegurl', buffer: Buffer.from(text) });
  await expect(page.getByTestId('gig-news')).toContainText('1 of 2 tracks were found in the library.');
  await expect(page.getByTestId('entry')).toHaveCount(2);
  await expect(page.getByTestId('entry').nth(1)).toContainText('not in the library');
});

test('an unknown deck is found by a few answers', async ({ page }) => {
  await openGig(page);
  await page.getByTestId('add-booth-deck').selectOption('?');
  const form = page.getByTestId('deck-questions');
  await form.getByLabel('Name of this deck').fill('Corner bar deck');
  await form.getByLabel('Does a waveform scroll with the track?').selectOption('false');
  await form.getByLabel('How many pads or buttons for hot cues lie side by side?').fill('2');
  await form.getByRole('button', { name: 'Find or make it' }).click();
  await expect(page.getByTestId('booth-news')).toContainText('Corner bar deck was made from Overview only');
  await expect(page.getByTestId('booth-deck')).toHaveCount(2);
});

test('a table becomes a set with its mix points, and a file that is missing is added from the check', async ({
  page,
}) => {
  const missing = excerpt('spare-lamp.wav', ['-metadata', 'title=Spare Lamp'], 12);
  await openGig(page);
  const rows = [
    'Title;Artist;File;Mix in;Mix out;Note',
    'Lantern Tariff;Orla Finchmere;;0:15,5;4:08;slowly',
    ';;C:\\Sets\\spare-lamp.wav;2;;',
  ];
  await page
    .getByTestId('read-list')
    .setInputFiles({ name: 'friday.csv', mimeType: 'text/csv', buffer: Buffer.from(rows.join('\r\n')) });
  await expect(page.getByTestId('gig-news')).toContainText('1 of 2 tracks were found');
  await expect(page.getByLabel('Name of the set')).toHaveValue('friday');
  const entries = page.getByTestId('entry');
  await expect(entries.first().getByLabel(/^Mix in of/)).toHaveValue('0:15.5');
  await expect(entries.first().getByLabel(/^Mix out of/)).toHaveValue('4:08.0');
  await expect(entries.nth(1)).toContainText('not in the library');
  await page.getByRole('button', { name: 'Check', exact: true }).click();
  const gone = page.locator('[data-key="not-in-library"]');
  await expect(gone).toContainText('spare-lamp', { timeout: 60_000 });
  await gone.getByTestId('add-missing').setInputFiles(missing);
  await expect(gone).toHaveCount(0, { timeout: 60_000 });
  await page.getByRole('button', { name: 'Set and booth' }).click();
  await expect(entries.nth(1).locator('b')).toHaveText('Spare Lamp');
  await expect(entries.nth(1).getByLabel(/^Mix in of/)).toHaveValue('0:02.0');
});

test('two tracks that look the same in the list get names for the drive, and copies with them', async ({
  page,
}) => {
  // It has the title of the track that it is cut from.
  const twin = excerpt('twin.wav', [], 12);
  await openApp(page);
  await give(page, twin);
  await expect(page.getByTestId('tracks').getByRole('listitem')).toHaveCount(6, { timeout: 60_000 });
  await page.getByRole('button', { name: 'Gig', exact: true }).click();
  await page.getByRole('button', { name: 'New set' }).click();
  await page.getByRole('button', { name: 'New booth' }).click();
  await page.getByTestId('add-all').click();
  await page.getByRole('button', { name: 'Check', exact: true }).click();
  const alike = page.locator('[data-key="names-alike"]');
  await expect(alike).toContainText('2 tracks look the same in the list', { timeout: 60_000 });
  await alike.getByText('Give other names for this drive').click();
  const name = alike.getByLabel(/twin\.wav on the drive$/);
  await name.fill('Lantern (short)');
  await name.press('Tab');
  await expect(page.getByTestId('gig-news')).toContainText('It will be “Lantern (short)” on the drive');
  await expect(alike).toHaveCount(0);
  await page.getByRole('button', { name: 'Card', exact: true }).click();
  await expect(page.getByTestId('card-sheet')).toContainText('Lantern (short)');
  await page.getByRole('button', { name: 'Take along', exact: true }).click();
  await expect(page.locator('[data-testid="take-tracks"] tr[data-carriage="copy"]')).toContainText(
    'To be called “Lantern (short)” there',
  );
});

test('a deck that nobody has described leads from the check to the questions, and the answers take its place', async ({
  page,
}) => {
  await openGig(page);
  await page.getByTestId('add-all').click();
  await page.getByTestId('add-booth-deck').selectOption('?');
  const form = page.getByTestId('deck-questions');
  await form.getByLabel('Name of this deck').fill('Corner bar deck');
  await form.getByLabel('How many pads or buttons for hot cues lie side by side?').fill('2');
  await form.getByRole('button', { name: 'Find or make it' }).click();
  await expect(page.getByTestId('booth-deck')).toHaveCount(2);
  await page.getByRole('button', { name: 'Decks', exact: true }).click();
  await page.getByRole('button', { name: /^Delete.*Corner bar deck/ }).click();
  await page.getByRole('button', { name: 'Gig', exact: true }).click();
  await page.getByRole('button', { name: 'Check', exact: true }).click();
  const unknown = page.locator('[data-key="deck-unknown"]');
  await expect(unknown).toContainText('Nothing is known of the deck', { timeout: 60_000 });
  await unknown.getByRole('button', { name: 'Answer a few questions about it' }).click();
  await form.getByLabel('Does a waveform scroll with the track?').selectOption('true');
  await form.getByLabel('Does the screen take touch?').selectOption('true');
  await form.getByRole('button', { name: 'Find or make it' }).click();
  await expect(page.getByTestId('booth-news')).toContainText('in the booth now');
  await expect(page.getByTestId('booth-deck')).toHaveCount(2);
  await page.getByRole('button', { name: 'Check', exact: true }).click();
  await expect(page.getByTestId('score')).toBeVisible({ timeout: 60_000 });
  await expect(unknown).toHaveCount(0);
});

test('the difference sheet puts the likeliest trap first and leads to the drills', async ({ page }) => {
  await openGig(page);
  await page.getByRole('button', { name: 'Differences', exact: true }).click();
  const lines = page.getByTestId('difference-line');
  expect(await lines.count()).toBeGreaterThan(10);
  const shares = await lines.evaluateAll((all) =>
    all.map((line) => Number(/(\d+) % likely/.exec(line.textContent!)![1])),
  );
  expect(shares).toEqual([...shares].sort((a, b) => b - a));
  await page.getByTestId('difference-to').selectOption('wide-touch');
  await expect(page.getByTestId('difference')).toContainText('do not differ');
  await page.getByTestId('difference-to').selectOption('overview-only');
  await expect(lines.filter({ hasText: 'No waveform scrolls' })).toHaveCount(1);
  await page.getByRole('button', { name: 'Train this: Find the drop' }).click();
  await expect(page.getByTestId('wish')).toContainText('Only “Find the drop” on Overview only.');
  await page.getByTestId('start').click();
  const question = page.getByTestId('question');
  await comeToQuestion(page);
  // It is what was wished for, so nothing waits for its end.
  await expect(page.getByTestId('wish')).toHaveCount(0);
  for (let n = 0; n < 3; n++) {
    await expect(question).toHaveAttribute('data-drill', 'find-drop');
    await expect(question).toContainText(/on Overview only\.|on the richest display/);
    await page.getByRole('button', { name: 'Skip this one' }).click();
  }

  // What is lost in list and files is asked on that deck: the first of each is answered and told why.
  const asked = [
    ['FLAC and ALAC do not play', 'Loads there or not', 'loads-there'],
    ['Titles are cut after 20 characters', 'The right row', 'row-in-list'],
    ['The list cannot be narrowed', 'Quickest way in the list', 'way-to-row'],
    ['The screen measures 5 inches', 'Small as it is there', 'own-size'],
  ];
  for (const [line, title, drill] of asked) {
    await page.getByRole('button', { name: 'Gig', exact: true }).click();
    await page.getByRole('button', { name: 'Differences', exact: true }).click();
    await page.getByTestId('difference-to').selectOption('overview-only');
    await lines
      .filter({ hasText: line })
      .getByRole('button', { name: `Train this: ${title}` })
      .click();
    await page.getByRole('button', { name: 'End it and train that' }).click();
    await expect(page.getByTestId('wish')).toContainText(`Only “${title}” on Overview only.`);
    await page.getByTestId('start').click();
    await comeToQuestion(page);
    await expect(question).toHaveAttribute('data-drill', drill);
    await expect(page.getByTestId('wish')).toHaveCount(0);
    await answerByKeys(page);
    await expect(page.getByTestId('result')).toContainText(/Yours: .*Right: /);
    await expect(page.getByTestId('explanation')).toHaveText(/\S+ \S+/);
    await page.getByTestId('next').click();
    await expect(question).toHaveAttribute('data-drill', drill);
  }

  // A drill of the hands opens on its deck, and a session that is open waits.
  await page.getByRole('button', { name: 'Gig', exact: true }).click();
  await page.getByRole('button', { name: 'Differences', exact: true }).click();
  await page.getByTestId('difference-to').selectOption('overview-only');
  await page.getByRole('button', { name: 'Train this: Cues before the drop' }).first().click();
  await expect(page.getByTestId('hand-deck')).toHaveValue('overview-only');
  await expect(page.getByTestId('hand-goal')).toContainText('Load the track’s own cues before the drop.');
  await page.getByRole('button', { name: 'Reading', exact: true }).click();
  await expect(question).toBeVisible();

  // A track that the list does not let hear: loaded to the deck that is not on air, and listened to there.
  await page.getByRole('button', { name: 'Gig', exact: true }).click();
  await page.getByRole('button', { name: 'Differences', exact: true }).click();
  await page.getByTestId('difference-to').selectOption('overview-only');
  await expect(lines.getByRole('button')).toHaveCount(await lines.count());
  await page.getByRole('button', { name: 'Train this: Heard before it plays' }).click();
  await page.getByTestId('hand-start').click();
  for (const key of ['ArrowDown', 'ArrowDown', 'ArrowDown', 'ArrowRight', 'p', 'h'])
    await page.keyboard.press(key);
  await expect(page.getByTestId('hand-result')).toContainText('Done. 6 presses; the fewest on this deck: 6.');

  // What no drill asks, but hands do, is tried on a rehearsal deck of that kind.
  await page.getByRole('button', { name: 'Gig', exact: true }).click();
  await page.getByRole('button', { name: 'Differences', exact: true }).click();
  await page.getByTestId('difference-to').selectOption('overview-only');
  await lines.filter({ hasText: 'There is no beat jump.' }).getByTestId('try-it').click();
  await expect(page.getByTestId('rehearse').getByTestId('profile').first()).toHaveValue('overview-only');
});
