/** The real worklet in an OfflineAudioContext: every jump and loop beside the samples that are due. */
import { quantiseOff, playingAt, plain, small, strip, track, wide } from '../tests/behaviour/decks.ts';
import type { DeckState } from '../shared/behaviour/state.ts';
import type { DeckProfile } from '../shared/profile/schema.ts';
import { dueSamples, ordersFor, RATE, type Timed, workletAddress } from './support/player.ts';
import { expect, test } from './support/page.ts';

const SECONDS = 30;
const TRACK = track(125, {
  duration: SECONDS,
  cues: [0, 32, 40].map((beat, i) => ({ slot: i + 1, time: beat * 0.48, name: `Cue ${i + 1}` })),
});

interface Case {
  name: string;
  profile: DeckProfile;
  start: DeckState;
  events: Timed[];
  seconds: number;
  /** Frames at which what is heard does not go on at the next sample, where they are known by hand. */
  jumps?: number[];
}
const from = (profile: DeckProfile, position = 0) => playingAt(position, profile, TRACK);

const CASES: Case[] = [
  {
    name: 'a loop of four beats, 1.920 s, halved to 0.960 s',
    profile: wide,
    start: from(wide),
    events: [
      { time: 0, event: { kind: 'loop-length', beats: 4 } },
      { time: 3.94, event: { kind: 'loop-halve' } },
    ],
    seconds: 6.5,
    jumps: [1.92, 3.84, 4.8, 5.76].map((s) => Math.round(s * RATE)),
  },
  {
    name: 'a quantised hot cue: on the beat, to the beat',
    profile: wide,
    start: from(wide),
    events: [{ time: 0.3, event: { kind: 'hot-cue', button: 2 } }],
    seconds: 1.5,
    jumps: [0.48 * RATE],
  },
  {
    name: 'a hot cue with quantise off: at once',
    profile: wide,
    start: quantiseOff(from(wide)),
    events: [{ time: 0.25, event: { kind: 'hot-cue', button: 3 } }],
    seconds: 1,
    jumps: [0.25 * RATE],
  },
  {
    name: 'a halved loop that snaps back to its start',
    profile: strip,
    start: quantiseOff(from(strip, 4.8)),
    events: [
      { time: 0, event: { kind: 'loop-length', beats: 4 } },
      { time: 0.5, event: { kind: 'loop-halve' } },
    ],
    seconds: 2,
    jumps: [0.5, 1.46].map((s) => Math.round(s * RATE)),
  },
  {
    name: 'a loop that is left, and entered again',
    profile: wide,
    start: from(wide),
    events: [
      { time: 0, event: { kind: 'loop-length', beats: 4 } },
      { time: 2, event: { kind: 'loop-exit' } },
      { time: 3, event: { kind: 'loop-reenter' } },
    ],
    seconds: 6,
  },
  {
    name: 'a beat jump, and one that takes the loop along',
    profile: wide,
    start: from(wide, 4.8),
    events: [
      { time: 0.2, event: { kind: 'beat-jump', direction: 1 } },
      { time: 0.5, event: { kind: 'loop-length', beats: 4 } },
      { time: 0.9, event: { kind: 'beat-jump', direction: 1 } },
    ],
    seconds: 5,
  },
  {
    name: 'slip reverse',
    profile: wide,
    start: from(wide, 10),
    events: [
      { time: 0.5, event: { kind: 'slip-reverse' } },
      { time: 1, event: { kind: 'slip-reverse-release' } },
    ],
    seconds: 1.5,
    jumps: [RATE],
  },
  {
    name: 'a slipped loop and the way back',
    profile: wide,
    start: from(wide, 4.8),
    events: [
      { time: 0.1, event: { kind: 'slip' } },
      { time: 0.2, event: { kind: 'loop-length', beats: 4 } },
      { time: 3, event: { kind: 'loop-exit' } },
    ],
    seconds: 4,
  },
  {
    name: 'a length by holding',
    profile: small,
    start: from(small),
    events: [
      { time: 0.05, event: { kind: 'loop-hold' } },
      { time: 0.15, event: { kind: 'loop-hold-release' } },
    ],
    seconds: 6,
  },
  {
    name: 'the drive pulled: the loop that saves the set',
    profile: wide,
    start: from(wide, 9.6),
    events: [{ time: 1, event: { kind: 'drive-pulled' } }],
    seconds: 5,
  },
  {
    name: 'the drive pulled: silence',
    profile: plain,
    start: from(plain, 9.6),
    events: [{ time: 1, event: { kind: 'drive-pulled' } }],
    seconds: 2,
  },
  {
    name: 'stop, start and the cue point',
    profile: small,
    start: from(small, 2.4),
    events: [
      { time: 0.3, event: { kind: 'play' } },
      { time: 0.5, event: { kind: 'cue' } },
      { time: 0.7, event: { kind: 'cue' } },
      { time: 0.9, event: { kind: 'cue-release' } },
      { time: 1.1, event: { kind: 'play' } },
    ],
    seconds: 2,
  },
];

test('every jump and loop is heard to the sample', async ({ page }) => {
  await page.goto('/');
  const url = workletAddress();
  for (const { name, profile, start, events, seconds, jumps } of CASES) {
    const orders = ordersFor(start, profile, events);
    const runs = await page.evaluate(
      async ({ url, orders, seconds, trackSeconds, rate }) => {
        const frames = Math.round(seconds * rate);
        const context = new OfflineAudioContext(2, frames, rate);
        await context.audioWorklet.addModule(url);
        // Every sample tells its own number.
        const scale = 2 ** 23;
        const left = Float32Array.from({ length: trackSeconds * rate }, (_, n) => (n + 1) / scale);
        const desk = {
          crossfade: 0,
          volume: 1,
          phones: 0,
          listen: [false, false],
          keyLock: [false, false],
          fades: false,
        };
        const player = new AudioWorkletNode(context, 'rehearsal-player', {
          numberOfInputs: 0,
          numberOfOutputs: 2,
          outputChannelCount: [2, 2],
          processorOptions: {
            orders: [{ kind: 'desk', desk }, { kind: 'track', deck: 0, pcm: [left, left] }, ...orders],
          },
        });
        player.connect(context.destination, 0);
        const buffer = await context.startRendering();
        // Only where it does not go on at the next sample: [frame, sample, samples per frame].
        const heard = Int32Array.from(buffer.getChannelData(0), (v) => Math.round(v * scale) - 1);
        const runs: [number, number, number][] = [];
        for (let i = 0; i < frames; i++) {
          const step = i + 1 < frames ? heard[i + 1] - heard[i] : 0;
          const run = runs[runs.length - 1];
          if (run && heard[i] === run[1] + (i - run[0]) * run[2]) continue;
          runs.push([i, heard[i], Math.abs(step) <= 1 ? step : 0]);
        }
        return runs;
      },
      { url, orders, seconds, trackSeconds: SECONDS, rate: RATE },
    );
    const due = dueSamples(start, profile, events, seconds);
    const heard = runs.flatMap(([at, sample, step], i) =>
      Array.from({ length: (runs[i + 1]?.[0] ?? due.length) - at }, (_, n) => sample + n * step),
    );
    expect(heard.length, name).toBe(due.length);
    const worst = due.reduce((most, sample, frame) => Math.max(most, Math.abs(sample - heard[frame])), 0);
    expect(worst, `${name}: samples off`).toBeLessThanOrEqual(1);
    expect(new Set(heard).size, `${name}: something is heard`).toBeGreaterThan(RATE / 4);
    if (!jumps) continue;
    const found = heard.flatMap((n, i) =>
      i && n !== heard[i - 1] + 1 && n !== heard[i - 1] - 1 && n >= 0 ? [i] : [],
    );
    expect(found, `${name}: jumps`).toEqual(jumps);
  }
});

test('with soft jumps the fade is over after three milliseconds and keeps the power', async ({ page }) => {
  await page.goto('/');
  const start = quantiseOff(from(wide));
  const orders = ordersFor(start, wide, [{ time: 0.25, event: { kind: 'hot-cue', button: 2 } }]);
  const { before, middle, after } = await page.evaluate(
    async ({ url, orders, rate }) => {
      const context = new OfflineAudioContext(2, rate / 2, rate);
      await context.audioWorklet.addModule(url);
      // What goes is on the left alone, what comes on the right alone.
      const turn = 10 * rate;
      const left = Float32Array.from({ length: 30 * rate }, (_, n) => (n < turn ? 0.5 : 0));
      const right = left.map((v) => 0.5 - v);
      const desk = {
        crossfade: 0,
        volume: 1,
        phones: 0,
        listen: [false, false],
        keyLock: [false, false],
        fades: true,
      };
      const player = new AudioWorkletNode(context, 'rehearsal-player', {
        numberOfInputs: 0,
        numberOfOutputs: 2,
        outputChannelCount: [2, 2],
        processorOptions: {
          orders: [{ kind: 'desk', desk }, { kind: 'track', deck: 0, pcm: [left, right] }, ...orders],
        },
      });
      player.connect(context.destination, 0);
      const buffer = await context.startRendering();
      const [l, r] = [buffer.getChannelData(0), buffer.getChannelData(1)];
      const at = (frame: number) => [l[frame], r[frame]] as const;
      const jump = rate / 4;
      return { before: at(jump - 1), middle: at(jump + 66), after: at(jump + 133) };
    },
    { url: workletAddress(), orders, rate: RATE },
  );
  expect(before).toEqual([0.5, 0]);
  expect(after).toEqual([0, 0.5]);
  expect(middle[0] ** 2 + middle[1] ** 2).toBeCloseTo(0.25, 4);
  expect(middle[0]).toBeCloseTo(0.5 * Math.SQRT1_2, 1);
});
