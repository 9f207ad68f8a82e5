/** Rehearsing: played by keys with sound, only what the deck has, two linked decks, and open to everybody. */
import type { Page } from '@playwright/test';
import { pressesOf } from '../shared/behaviour/press.ts';
import { decks } from '../tests/behaviour/decks.ts';
import { putRecords } from './support/database.ts';
import { overflow } from './support/layout.ts';
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

test('390 px wide: every deck fits', async ({ page }) => {
  await openRehearse(page);
  await page.getByRole('button', { name: 'Two linked decks' }).click();
  await load(page, 0);
  await page.setViewportSize({ width: 390, height: 844 });
  for (const profile of decks) {
    await deck(page, 0).getByTestId('profile').selectOption(profile.id);
    expect(await overflow(page), profile.id).toBeLessThanOrEqual(0);
  }
});

test('the same mix on another deck: what fails, what is more; on to its drill and into a set', async ({
  page,
}) => {
  await openRehearse(page);
  await load(page, 0);
  await page.keyboard.press('p');
  const panel = page.getByTestId('what-if');
  await panel.getByTestId('record-0').click();
  await page.locator('main').focus();
  // A loop of 8, halved, left; a jump.
  for (const key of ['b', 'h', 'e', '.']) {
    await page.keyboard.press(key);
    await page.waitForTimeout(700);
  }
  await panel.getByTestId('record-stop').click();
  await expect(panel.getByTestId('recordings')).toContainText('on Wide touch: 4 events');

  await panel.getByTestId('what-if-deck').selectOption('wide-touch');
  await panel.getByTestId('what-if-run').click();
  await expect(panel.getByTestId('what-if-summary')).toHaveText(
    /^Wide touch: Every move can be done there; all stays in time; as many presses\.$/,
    { timeout: 30_000 },
  );
  await expect(panel.getByTestId('what-if-move')).toHaveCount(4);

  await panel.getByTestId('what-if-deck').selectOption('overview-only');
  await panel.getByTestId('what-if-run').click();
  await expect(panel.getByTestId('what-if-summary')).toContainText('Overview only:', { timeout: 30_000 });
  await expect(panel.locator('[data-outcome="impossible"]').last()).toContainText(
    'This deck has no beat jump.',
  );
  await expect(panel.getByTestId('what-if-plan')).toContainText('No set has this track');

  await panel.getByTestId('what-if-deck').selectOption('small-touch');
  await panel.getByTestId('what-if-run').click();
  await expect(panel.getByTestId('what-if-summary')).toContainText('Small touch:', { timeout: 30_000 });
  await panel.getByRole('button', { name: 'Practise: Loops of 4 and 8' }).first().click();
  await expect(page.getByTestId('hand-deck')).toHaveValue('small-touch');
  await expect(page.locator('[data-drill="two-loops"] button')).toHaveAttribute('aria-pressed', 'true');

  // The recording is there again, also after a reload.
  await page.waitForTimeout(1500);
  await page.reload();
  await page.getByRole('button', { name: 'Rehearse', exact: true }).click();
  await expect(panel.getByTestId('recordings')).toContainText('on Wide touch: 4 events');
  await panel.getByTestId('what-if-deck').selectOption('overview-only');
  await panel.getByTestId('what-if-run').click();
  await expect(panel.getByTestId('what-if-summary')).toContainText('Overview only:', { timeout: 30_000 });
  await panel.getByTestId('recording-drop').click();
  await expect(panel.getByTestId('recordings')).toHaveCount(0);
  const dropped = panel.getByTestId('recording-dropped');
  await dropped.getByRole('button', { name: 'Bring back' }).click();
  await expect(panel.getByTestId('recordings')).toContainText('on Wide touch: 4 events');
  await panel.getByTestId('recording-drop').click();
  await expect(panel.getByTestId('recordings')).toHaveCount(0);
  await expect(dropped).toContainText('The recording is deleted.');

  // One that cannot be read is told of, and goes the same way.
  await page.waitForTimeout(1500);
  await putRecords(page, 'settings', [{ key: 'performances', value: [{ id: 'old' }], savedAt: 1 }]);
  await page.reload();
  await page.getByRole('button', { name: 'Rehearse', exact: true }).click();
  const unreadable = panel.getByTestId('unreadable');
  await expect(unreadable).toContainText('One recording cannot be read.');
  await unreadable.getByRole('button', { name: 'Delete what cannot be read' }).click();
  await expect(unreadable).toHaveCount(0);
  await dropped.getByRole('button', { name: 'Bring back' }).click();
  await expect(unreadable).toBeVisible();
});

test('what was performed goes into the plan of a set, and its check asks the booth for it', async ({
  page,
}) => {
  await openApp(page);
  await page.getByRole('button', { name: 'Gig', exact: true }).click();
  await page.getByRole('button', { name: 'New set' }).click();
  await page.getByRole('button', { name: 'New booth' }).click();
  await page.getByTestId('add-all').click();
  await expect(page.getByTestId('entry')).toHaveCount(5);
  await page.waitForTimeout(1500);

  await page.getByRole('button', { name: 'Rehearse', exact: true }).click();
  await load(page, 0);
  const panel = page.getByTestId('what-if');
  await page.keyboard.press('p');
  await panel.getByTestId('record-0').click();
  await page.locator('main').focus();
  await page.keyboard.press('.');
  await panel.getByTestId('record-stop').click();
  await panel.getByTestId('what-if-run').click();
  await expect(panel.getByTestId('what-if-plan')).toBeVisible({ timeout: 30_000 });
  await panel.getByRole('button', { name: 'Put these moves into a set' }).click();
  await expect(panel.getByTestId('what-if-told')).toContainText('1 move planned in');
  await panel.getByRole('button', { name: 'Put these moves into a set' }).click();
  await expect(panel.getByTestId('what-if-told')).toContainText('has these moves already');

  await page.getByRole('button', { name: 'Gig', exact: true }).click();
  await page.getByRole('button', { name: 'Check', exact: true }).click();
  await expect(page.getByTestId('score')).toContainText('planned move', { timeout: 60_000 });
  await expect(page.locator('[data-key="no-beat-jump"]')).toHaveCount(1);
});

/** A MIDI device of our own. */
async function withMidi(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const input = { id: '1', name: 'Test pads', state: 'connected', type: 'input', onmidimessage: null } as {
      onmidimessage: ((event: { data: Uint8Array; timeStamp: number }) => void) | null;
    };
    const access = { inputs: new Map([['1', input]]), outputs: new Map(), onstatechange: null };
    navigator.requestMIDIAccess = () => Promise.resolve(access as unknown as MIDIAccess);
    (window as unknown as { midi: (...data: number[]) => void }).midi = (...data) =>
      input.onmidimessage?.({ data: Uint8Array.from(data), timeStamp: performance.now() });
  });
}
const midi = (page: Page, ...data: number[]) =>
  page.evaluate((bytes) => (window as unknown as { midi: (...data: number[]) => void }).midi(...bytes), data);

test('a MIDI controller is learnt, plays the deck, and is known after a reload', async ({ page }) => {
  await withMidi(page);
  await openRehearse(page);
  await load(page, 0);
  const panel = page.getByTestId('midi');
  await panel.getByTestId('midi-connect').click();
  await expect(panel).toContainText('Connected: Test pads.');
  await panel.getByTestId('midi-learn').click();
  await control(page, 0, 'play').click();
  await expect(panel.getByTestId('midi-told')).toHaveText('Now move what shall be “Play or stop”.');
  // While learning nothing is pressed.
  await expect(deck(page, 0).getByTestId('read-out')).toContainText('stands');
  await midi(page, 0x90, 36, 100);
  await midi(page, 0x80, 36, 0);
  await expect(panel.getByTestId('midi-told')).toHaveText('That is “Play or stop” now.');
  await deck(page, 0).getByTestId('tempo').fill('0.2');
  await midi(page, 0xb0, 7, 64);
  await control(page, 0, 'cue').click();
  await midi(page, 0xb0, 20, 127);
  await panel.getByTestId('midi-learn').click();
  await expect(panel).toContainText('3 controls are learnt.');

  await midi(page, 0x90, 36, 100);
  await expect(deck(page, 0).getByTestId('told')).toHaveText('The deck plays.');
  await midi(page, 0xb0, 7, 127);
  await expect(deck(page, 0).getByTestId('tempo-value')).toContainText('+8.00 %');
  await midi(page, 0x80, 36, 0);
  await midi(page, 0x90, 36, 100);
  await expect(deck(page, 0).getByTestId('told')).toHaveText('The deck stands.');

  // The second deck has learnt nothing yet; another kind of deck has the same control.
  await page.waitForTimeout(1500);
  await page.reload();
  await expect(page.getByTestId('rung').first()).toBeVisible({ timeout: 30_000 });
  await page.getByRole('button', { name: 'Rehearse', exact: true }).click();
  await load(page, 0);
  await page.getByTestId('midi-connect').click();
  await expect(page.getByTestId('midi')).toContainText('3 controls are learnt.');
  await midi(page, 0x90, 36, 100);
  await expect(deck(page, 0).getByTestId('told')).toHaveText('The deck plays.');
});

test('the delay is measured and shown, and the own measure goes to the hand drills', async ({ page }) => {
  await openRehearse(page);
  const panel = page.getByTestId('latency');
  await expect(panel.getByTestId('latency-measured')).toContainText('Press something that is heard');
  await load(page, 0);
  for (let i = 0; i < 4; i++) {
    await page.keyboard.press('p');
    await page.waitForTimeout(200);
  }
  await expect(panel.getByTestId('latency-measured')).toContainText(/\d+ ms from the press to the ear/);

  await panel.getByTestId('tap-eye').click();
  await expect(panel.getByTestId('tap')).toBeFocused();
  for (let i = 0; i < 3; i++) await page.keyboard.press('Space');
  await expect(panel).toContainText('3 taps');
  await panel.getByTestId('tap-end').click();
  await expect(panel.getByTestId('tap-result')).toHaveText('Tap at least eight times.');

  // Taps 50 ms after each beat, told to the page with their own times.
  await panel.getByTestId('tap-eye').click();
  await page.evaluate(() => {
    const button = document.querySelector('[data-testid="tap"]')!;
    const bar = document.querySelector<HTMLElement>('.bar span')!;
    const share = Number(/scaleX\(([\d.e-]+)\)/.exec(bar.style.transform)?.[1]);
    // The bar was drawn at the last frame, which began at the document's time.
    const beat = Number(document.timeline.currentTime) - share * 600;
    for (let i = 0; i < 10; i++) {
      const event = new PointerEvent('pointerdown', { bubbles: true });
      Object.defineProperty(event, 'timeStamp', { value: beat + i * 600 + 50 });
      button.dispatchEvent(event);
    }
  });
  await panel.getByTestId('tap-end').click();
  await expect(panel.getByTestId('tap-result')).toContainText(/Your taps come \d+ ms after the beat/);
  const told = (await panel.getByTestId('tap-result').textContent()) ?? '';
  const late = Number(/come (\d+) ms/.exec(told)?.[1]);
  expect(Math.abs(late - 50)).toBeLessThanOrEqual(20);
  await panel.getByTestId('tap-keep').click();
  await expect(panel.getByTestId('tap-kept-eye')).toHaveText(`In use by eye: ${late} ms late.`);

  await page.getByRole('button', { name: 'Train', exact: true }).click();
  await page.getByRole('button', { name: 'Hands', exact: true }).click();
  await page.getByTestId('hand-deck').selectOption('touch-strip');
  const clicks = page.getByLabel(/click/i).first();
  if (await clicks.isChecked()) await clicks.uncheck();
  await expect(page.getByTestId('hand-offset')).toContainText(`${late} ms late`);
});

test('headphones on a second output hear the deck that is not in the room yet', async ({ page }) => {
  await page.addInitScript(() => {
    const sinks: string[] = [];
    Object.assign(window, { sinks });
    // Outputs of our own: the test machine has none.
    const device = (deviceId: string, label: string) => ({
      deviceId,
      label,
      kind: 'audiooutput',
      groupId: '',
    });
    Object.defineProperty(navigator, 'mediaDevices', {
      value: {
        getUserMedia: () => Promise.resolve(new MediaStream()),
        enumerateDevices: () =>
          Promise.resolve([device('room', 'Loudspeakers'), device('ears', 'Headphones')]),
      },
    });
    HTMLMediaElement.prototype.setSinkId = function (id: string) {
      sinks.push(id);
      return Promise.resolve();
    };
    const connect = AudioNode.prototype.connect as (this: AudioNode, ...args: unknown[]) => unknown;
    AudioNode.prototype.connect = function (this: AudioNode, ...args: unknown[]) {
      const [to, output] = args;
      if (this instanceof AudioWorkletNode) {
        const tap = new AnalyserNode(this.context, { fftSize: 4096 });
        connect.call(this, tap, output);
        const name = to instanceof MediaStreamAudioDestinationNode ? 'ears' : 'room';
        const samples = new Float32Array(tap.fftSize);
        Object.assign(window, {
          [name]: () => {
            tap.getFloatTimeDomainData(samples);
            return Math.max(...samples.map(Math.abs));
          },
        });
      }
      return connect.apply(this, args);
    } as typeof AudioNode.prototype.connect;
  });
  const level = (where: 'room' | 'ears') =>
    page.evaluate((name) => (window as unknown as Record<string, () => number>)[name](), where);

  await openRehearse(page);
  await page.getByRole('button', { name: 'Two linked decks' }).click();
  await page.getByRole('button', { name: 'Headphones on a second output…' }).click();
  await page.getByTestId('phones').selectOption('ears');
  await expect(page.getByLabel('Headphone volume')).toHaveValue('0.25');
  expect(await page.evaluate(() => (window as unknown as { sinks: string[] }).sinks)).toEqual(['ears']);

  await load(page, 1);
  await control(page, 1, 'play').click();
  await page.getByLabel('Listen to the second deck').check();
  // The crossfade stands at the first deck.
  await expect.poll(() => level('ears')).toBeGreaterThan(0.005);
  expect(await level('room')).toBe(0);
  await page.getByTestId('crossfade').fill('1');
  await expect.poll(() => level('room')).toBeGreaterThan(0.005);
  await page.getByLabel('Listen to the second deck').uncheck();
  await expect.poll(() => level('ears')).toBe(0);
});
