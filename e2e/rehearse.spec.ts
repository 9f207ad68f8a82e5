/** Rehearsing: played by keys with sound, only what the deck has, two linked decks, and open to everybody. */
import type { Page } from '@playwright/test';
import { pressesOf } from '../shared/behaviour/press.ts';
import { decks } from '../tests/behaviour/decks.ts';
import { checkAccess } from './support/axe.ts';
import { expect, openApp, test } from './support/page.ts';

/** Lets the tests look at what goes to the loudspeaker. */
async function listen(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const taps: AnalyserNode[] = [];
    const connect = AudioNode.prototype.connect as (this: AudioNode, ...args: unknown[]) => unknown;
    AudioNode.prototype.connect = function (this: AudioNode, ...args: unknown[]) {
      const [to, output] = args;
      if (this instanceof AudioWorkletNode && to instanceof AudioDestinationNode) {
        const tap = new AnalyserNode(this.context, { fftSize: 4096 });
        connect.call(this, tap, output);
        taps.push(tap);
      }
      return connect.apply(this, args);
    } as typeof AudioNode.prototype.connect;
    (window as unknown as { loudness: () => number }).loudness = () => {
      const tap = taps.at(-1);
      if (!tap) return -1;
      const samples = new Float32Array(tap.fftSize);
      tap.getFloatTimeDomainData(samples);
      return Math.max(...samples.map(Math.abs));
    };
  });
}
const loudness = (page: Page) =>
  page.evaluate(() => (window as unknown as { loudness: () => number }).loudness());

async function openRehearse(page: Page): Promise<void> {
  await openApp(page);
  await page.getByRole('button', { name: 'Rehearse', exact: true }).click();
  await expect(deck(page, 0)).toBeVisible();
}
const deck = (page: Page, index: number) => page.getByTestId(`deck-${index}`);
async function load(page: Page, index: number): Promise<void> {
  await deck(page, index).getByTestId('load').click();
  await expect(deck(page, index).getByTestId('told')).toHaveText('The track is loaded.', { timeout: 40_000 });
}
const control = (page: Page, index: number, id: string) =>
  deck(page, index).locator(`[data-control="${id}"]`);
/** s */
async function place(page: Page, index: number): Promise<number> {
  const text = (await deck(page, index).getByTestId('place').textContent()) ?? '';
  const [, minutes, seconds] = /(\d+):(\d\d\.\d) of/.exec(text) ?? [];
  return Number(minutes) * 60 + Number(seconds);
}

test('a track is loaded, played, looped and left by keys, and heard', async ({ page }) => {
  await listen(page);
  await openRehearse(page);
  const first = deck(page, 0);
  await first.getByTestId('load').click();
  await expect(first.getByTestId('read-out')).toContainText('reads “');
  await expect(first.getByTestId('told')).toHaveText('The track is loaded.', { timeout: 40_000 });
  expect(await loudness(page)).toBe(0);

  await page.keyboard.press('p');
  await expect(first.getByTestId('told')).toHaveText('The deck plays.');
  await expect.poll(() => loudness(page)).toBeGreaterThan(0.005);
  // It starts low.
  expect(await loudness(page)).toBeLessThan(0.3);
  await expect.poll(() => place(page, 0)).toBeGreaterThan(1);

  await page.keyboard.press('a');
  await expect(first.getByTestId('told')).toHaveText('Loop of 4 beats set.');
  await expect(first.getByTestId('read-out')).toContainText('Loop 4 beats');
  await page.keyboard.press('h');
  await expect(first.getByTestId('read-out')).toContainText('Loop 2 beats');
  const inLoop = await place(page, 0);
  for (let i = 0; i < 6; i++) {
    await page.waitForTimeout(400);
    expect(Math.abs((await place(page, 0)) - inLoop)).toBeLessThan(1.1);
  }
  await page.keyboard.press('e');
  await expect(first.getByTestId('told')).toHaveText('Loop left.');
  await expect.poll(() => place(page, 0)).toBeGreaterThan(inLoop + 1.5);

  await page.keyboard.press('p');
  await expect(first.getByTestId('told')).toHaveText('The deck stands.');
  await expect.poll(() => loudness(page)).toBe(0);
});

test('while a button is held the cue plays, and letting go brings it back', async ({ page }) => {
  await openRehearse(page);
  await load(page, 0);
  await control(page, 0, 'cue').focus();
  await page.keyboard.down('c');
  await expect.poll(() => place(page, 0)).toBeGreaterThan(0.3);
  await page.keyboard.up('c');
  await expect.poll(() => place(page, 0)).toBe(0);
  // A cue is set, fired and cleared.
  await page.keyboard.press('1');
  await expect(deck(page, 0).getByTestId('told')).toHaveText('A new cue was set in slot 1.');
  await page.keyboard.press('Delete');
  await expect(control(page, 0, 'hot-cue 1')).toContainText('Clear cue 1');
  await page.keyboard.press('1');
  await page.keyboard.press('1');
  await expect(deck(page, 0).getByTestId('told')).toHaveText('A new cue was set in slot 1.');
});

test('every deck has the controls of its profile and no others, each with a key of its own', async ({
  page,
}) => {
  await openRehearse(page);
  for (const profile of decks) {
    await deck(page, 0).getByTestId('profile').selectOption(profile.id);
    const shown = await deck(page, 0)
      .locator('[data-control]')
      .evaluateAll((all) =>
        all.map((each) => ({ id: each.getAttribute('data-control'), key: each.getAttribute('data-key') })),
      );
    const kinds = new Set(shown.map(({ id }) => id?.split(' ')[0]));
    const faders = ['tempo', 'strip-touch', 'overview-touch', 'overview-listen', 'hot-cue-clear', 'load'];
    for (const { kind } of pressesOf(profile)) {
      // A drive in its place cannot be put back.
      if (faders.includes(kind) || kind.endsWith('-release') || kind === 'plug-drive') continue;
      expect(kinds, `${profile.id} has ${kind}`).toContain(kind);
    }
    const has = new Set(pressesOf(profile).map(({ kind }) => kind as string));
    for (const kind of kinds) expect(has, `${profile.id} shows ${kind}`).toContain(kind);
    const keys = shown.map(({ key }) => key).filter((key) => key !== null);
    expect(new Set(keys).size, keys.join(' ')).toBe(keys.length);
    expect(await deck(page, 0).getByTestId('tempo').count()).toBe(
      profile.playback.tempoRangesPercent.length ? 1 : 0,
    );
    expect(await deck(page, 0).getByLabel('Strip for seeking').count()).toBe(
      profile.playback.touchStrip ? 1 : 0,
    );
  }
});

test('two linked decks: the second follows, the read-out is the profile’s own', async ({ page }) => {
  await openRehearse(page);
  await page.getByRole('button', { name: 'Two linked decks' }).click();
  await deck(page, 1).getByTestId('track').selectOption({ index: 1 });
  await load(page, 0);
  await load(page, 1);
  await deck(page, 0).getByTestId('tempo').fill('0.5');
  const tempo = (index: number) => deck(page, index).getByTestId('tempo-value').textContent();
  const bpm = async (index: number) => Number(/([\d.]+) bpm/.exec((await tempo(index)) ?? '')?.[1]);
  const faster = await bpm(0);
  expect(faster).toBeGreaterThan(120);

  // Letters press the deck from a fader too, which keeps its own keys.
  await deck(page, 0).getByTestId('tempo').press('p');
  await expect(deck(page, 0).getByTestId('told')).toHaveText('The deck plays.');
  await page.keyboard.press('x');
  await expect(deck(page, 1).getByRole('button', { name: 'Keys on this deck' })).toHaveAttribute(
    'aria-pressed',
    'true',
  );
  await page.keyboard.press('p');
  await page.keyboard.press('y');
  await expect(deck(page, 1).getByTestId('read-out')).toContainText('follows the other deck');
  expect(await bpm(1)).toBeCloseTo(faster, 1);
  // Stacked waveforms: its own and the other one's.
  await expect(deck(page, 1).getByTestId('deck-picture')).toHaveCount(2);

  for (const profile of decks) {
    await deck(page, 1).getByTestId('profile').selectOption(profile.id);
    await expect(deck(page, 1).getByTestId('read-out')).toContainText('is loaded', { timeout: 15_000 });
    const { readout } = profile.phase;
    const drawn = readout === 'bar-beat-ticks' || readout === 'four-blocks';
    await expect(deck(page, 1).getByTestId('phase')).toHaveCount(drawn ? 1 : 0);
    if (drawn) await expect(deck(page, 1).getByTestId('phase')).toHaveAttribute('data-readout', readout);
    await expect(control(page, 1, 'sync')).toHaveCount(profile.playback.sync ? 1 : 0);
  }
});

test('the drive pulled: a loop saves the set, or the music stops', async ({ page }) => {
  await openRehearse(page);
  await load(page, 0);
  await page.keyboard.press('p');
  await deck(page, 0).getByTestId('pull').click();
  await expect(deck(page, 0).getByTestId('read-out')).toContainText('plays on in a loop from memory');
  await control(page, 0, 'plug-drive').click();
  await expect(deck(page, 0).getByTestId('read-out')).not.toContainText('from memory');

  await deck(page, 0).getByTestId('profile').selectOption('overview-only');
  await expect(deck(page, 0).getByTestId('told')).toHaveText('The track is loaded.', { timeout: 15_000 });
  await page.locator('main').focus();
  await page.keyboard.press('p');
  await deck(page, 0).getByTestId('pull').click();
  await expect(deck(page, 0).getByTestId('read-out')).toContainText('empty and silent');
});

test('by keyboard alone: load, play, change the kind of deck', async ({ page }) => {
  await openRehearse(page);
  const tabTo = async (locator: ReturnType<Page['locator']>) => {
    for (let i = 0; i < 120; i++) {
      if (await locator.evaluate((element) => element === document.activeElement)) return;
      await page.keyboard.press('Tab');
    }
    throw new Error('Tab does not come to it.');
  };
  await tabTo(deck(page, 0).getByTestId('load'));
  await page.keyboard.press('Enter');
  await expect(deck(page, 0).getByTestId('told')).toHaveText('The track is loaded.', { timeout: 40_000 });
  await tabTo(control(page, 0, 'play'));
  await page.keyboard.press('Enter');
  await expect(deck(page, 0).getByTestId('told')).toHaveText('The deck plays.');
  await page.keyboard.press('Space');
  await expect(deck(page, 0).getByTestId('told')).toHaveText('The deck stands.');
});

for (const theme of ['booth', 'paper'] as const) {
  test(`${theme}: no rule of accessibility is broken, and nothing runs off a narrow screen`, async ({
    page,
  }) => {
    await openRehearse(page);
    await page.getByLabel('Light').selectOption(theme);
    await page.getByRole('button', { name: 'Two linked decks' }).click();
    await load(page, 0);
    const report = await checkAccess(page);
    expect(report.violations).toEqual([]);
    expect(report.passed).toBeGreaterThan(20);
    await page.setViewportSize({ width: 390, height: 844 });
    for (const profile of decks) {
      await deck(page, 0).getByTestId('profile').selectOption(profile.id);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
      expect(wide, profile.id).toBeLessThanOrEqual(0);
    }
  });
}
