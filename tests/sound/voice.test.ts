/** Tempo with and without key lock, fades, the desk and the headphones. */
import { describe, expect, it } from 'vitest';
import { type DeckEvent } from '../../shared/behaviour/press.ts';
import { gainOf } from '../../workers/sound/fade.ts';
import { type DeskState, LISTEN_SECONDS, Mixer, STILL_DESK } from '../../workers/sound/mixer.ts';
import type { Pcm } from '../../workers/sound/reader.ts';
import { Voice } from '../../workers/sound/voice.ts';
import { playingAt, quantiseOff, track, wide } from '../behaviour/decks.ts';
import { numbered, OPEN_DESK, perform, QUANTUM, RATE } from './play.ts';

const TAU = 2 * Math.PI;
const mono = (samples: Float32Array): Pcm => [samples, samples];
const tone = (hz: number, seconds: number): Pcm =>
  mono(Float32Array.from({ length: seconds * RATE }, (_, n) => 0.5 * Math.sin((TAU * hz * n) / RATE)));

/** One voice at a constant rate from `position` on. */
function play(pcm: Pcm, rate: number, seconds: number, change: Partial<Voice> = {}, position = 0) {
  const voice = Object.assign(new Voice(RATE), { fades: false }, change);
  voice.load(pcm);
  voice.move([{ time: 0, position, rate, loop: null }]);
  const out = new Float32Array(Math.ceil((seconds * RATE) / QUANTUM) * QUANTUM);
  const other = new Float32Array(out.length);
  for (let at = 0; at < out.length; at += QUANTUM) {
    const part = (of: Float32Array) => of.subarray(at, at + QUANTUM);
    voice.render([part(out), part(other)], at);
  }
  return out;
}

/** Amplitude and residue of the best sine of that frequency through `samples`. */
function fitted(samples: Float32Array, hz: number): { amplitude: number; residueDb: number } {
  let [ss, sc, cc, ys, yc, yy] = [0, 0, 0, 0, 0, 0];
  samples.forEach((y, n) => {
    const s = Math.sin((TAU * hz * n) / RATE);
    const c = Math.cos((TAU * hz * n) / RATE);
    ss += s * s;
    sc += s * c;
    cc += c * c;
    ys += y * s;
    yc += y * c;
    yy += y * y;
  });
  const det = ss * cc - sc * sc;
  const a = (ys * cc - yc * sc) / det;
  const b = (yc * ss - ys * sc) / det;
  const rest = Math.max(1e-30, yy - a * ys - b * yc);
  return { amplitude: Math.hypot(a, b), residueDb: 10 * Math.log10(rest / yy) };
}

describe('tempo without key lock', () => {
  for (const rate of [1.04, 0.92, 1.5, -1.04]) {
    it(`at ${rate} a tone of 1 kHz is one of ${Math.abs(1000 * rate)} Hz and nothing else`, () => {
      const out = play(tone(1000, 8), rate, 2, {}, 4).subarray(RATE / 10, 2 * RATE);
      const { amplitude, residueDb } = fitted(out, Math.abs(1000 * rate));
      expect(amplitude).toBeCloseTo(0.5, 3);
      expect(residueDb).toBeLessThan(-75);
    });
  }

  it('what would fold back is taken out', () => {
    // 18 kHz read half as fast again would come out at 17.1 kHz.
    const out = play(tone(18_000, 4), 1.5, 1).subarray(RATE / 10, RATE);
    expect(Math.max(...out.subarray(0, 20_000).map(Math.abs))).toBeLessThan(0.5 * 10 ** (-40 / 20));
  });

  it('a change of speed goes on without a step', () => {
    const pcm = tone(440, 4);
    const events: { time: number; event: DeckEvent }[] = [
      { time: 0.3, event: { kind: 'tempo', fader: 0.5 } },
      { time: 0.6, event: { kind: 'bend', amount: 1 } },
      { time: 0.8, event: { kind: 'bend-release' } },
      { time: 1, event: { kind: 'tempo', fader: 0 } },
    ];
    const start = playingAt(0, wide, track(125, { duration: 4 }));
    const { left } = perform(start, wide, pcm, events, 1.3);
    expect(largestStep(left)).toBeLessThan(1.03 * 1.09 * 0.5 * ((TAU * 440) / RATE));
  });
});

function largestStep(samples: Float32Array, from = 0): number {
  let most = 0;
  for (let i = from + 1; i < samples.length; i++)
    most = Math.max(most, Math.abs(samples[i] - samples[i - 1]));
  return most;
}

describe('tempo with key lock', () => {
  for (const rate of [1.08, 0.92, 1.5, 0.6]) {
    it(`at ${rate} a tone keeps its pitch and its level`, () => {
      for (const hz of [110, 440, 1000]) {
        const out = play(tone(hz, 8), rate, 3, { keyLock: true });
        // Looked at in short stretches: over long ones the phase wanders by parts of a sample.
        for (let from = RATE / 2; from < 2.5 * RATE; from += RATE / 4) {
          const { amplitude, residueDb } = fitted(out.subarray(from, from + RATE / 4), hz);
          expect(amplitude, `${hz} Hz`).toBeGreaterThan(0.49);
          expect(residueDb, `${hz} Hz`).toBeLessThan(-30);
        }
      }
    });

    it(`at ${rate} beats come when the tempo says, within what the search may shift`, () => {
      // A short burst each half second of the track.
      const pcm = mono(
        Float32Array.from({ length: 8 * RATE }, (_, n) => {
          const t = (n % (RATE / 2)) / RATE;
          return t < 0.02 ? Math.sin(TAU * 300 * t) * Math.exp(-t / 0.004) : 0;
        }),
      );
      const out = play(pcm, rate, 4, { keyLock: true });
      const found: number[] = [];
      for (let i = 0; i < out.length; i++) {
        if (Math.abs(out[i]) > 0.2) {
          found.push(i / RATE);
          i += Math.round(0.15 * RATE);
        }
      }
      const beat = 0.5 / rate;
      expect(found.length).toBeGreaterThanOrEqual(Math.floor(4 / beat) - 1);
      // Within half a piece's drift and the reach of the search.
      const most = 0.05 * Math.abs(rate - 1) + 0.012 + 0.01;
      for (const time of found) expect(Math.abs(time - Math.round(time / beat) * beat)).toBeLessThan(most);
    });
  }

  it('changes nothing at the track’s own tempo', () => {
    const pcm = numbered(2);
    expect(play(pcm, 1, 1, { keyLock: true })).toEqual(play(pcm, 1, 1));
  });

  it('begins at the very sample that was jumped to', () => {
    const pcm = numbered(4);
    const out = play(pcm, 1.05, 0.1, { keyLock: true }, 1);
    for (let i = 0; i < 1000; i++) expect(out[i]).toBe(pcm[0][RATE + i]);
  });

  it('comes back to the very place at the track’s own tempo', () => {
    const pcm = tone(200, 6);
    const voice = Object.assign(new Voice(RATE), { fades: false, keyLock: true });
    voice.load(pcm);
    voice.move([
      { time: 0, position: 0, rate: 1.06, loop: null },
      { time: 1, position: 1.06, rate: 1, loop: null },
    ]);
    const out = new Float32Array(2 * RATE);
    voice.render([out, new Float32Array(out.length)], 0);
    const shift = Math.round(0.06 * RATE);
    for (let i = 1.2 * RATE; i < 2 * RATE; i++) expect(out[i]).toBe(pcm[0][i + shift]);
  });
});

describe('fades', () => {
  it('keep the power: the squares of both gains are 1 together', () => {
    for (let x = 0; x <= 1; x += 0.05)
      expect(gainOf('power', x) ** 2 + gainOf('power', 1 - x) ** 2).toBeCloseTo(1, 12);
    for (let x = 0; x <= 1; x += 0.05) expect(gainOf('sum', x) + gainOf('sum', 1 - x)).toBeCloseTo(1, 12);
  });

  const jumps: { time: number; event: DeckEvent }[] = [
    { time: 0.2, event: { kind: 'hot-cue', button: 2 } },
    { time: 0.4, event: { kind: 'hot-cue', button: 3 } },
    { time: 0.6, event: { kind: 'play' } },
  ];
  const on = (fades: boolean) => {
    const cues = [0, 0.7, 1.3].map((at, i) => ({ slot: i + 1, time: at + 0.001 * i, name: '' }));
    const loaded = track(125, { duration: 4, cues });
    const start = quantiseOff(playingAt(0, wide, loaded));
    return perform(start, wide, tone(61, 4), jumps, 0.8, { desk: { ...OPEN_DESK, fades } }).left;
  };

  it('without them a jump is a step, with them it is none', () => {
    const smooth = (0.5 * TAU * 61) / RATE;
    expect(largestStep(on(false))).toBeGreaterThan(20 * smooth);
    expect(largestStep(on(true), 200)).toBeLessThan(5 * smooth);
  });

  it('are over after three milliseconds', () => {
    const [hard, soft] = [on(false), on(true)];
    const differs = [...hard.keys()].filter((i) => hard[i] !== soft[i]).map((i) => i / RATE);
    const near = (t: number) => [0, 0.2, 0.4, 0.6].some((at) => t >= at - 1e-4 && t <= at + 0.0031);
    expect(differs.length).toBeGreaterThan(100);
    expect(differs.filter((t) => !near(t))).toEqual([]);
  });
});

describe('the desk', () => {
  const constant = (value: number): Pcm => mono(new Float32Array(4 * RATE).fill(value));
  function mixed(desk: Partial<DeskState>) {
    const mixer = new Mixer(RATE);
    mixer.take({ kind: 'desk', desk: { ...STILL_DESK, volume: 1, phones: 1, fades: false, ...desk } });
    [0.25, 0.5].forEach((value, deck) => {
      mixer.take({ kind: 'track', deck, pcm: constant(value) });
      mixer.take({ kind: 'move', deck, movements: [{ time: 0, position: 0, rate: 1, loop: null }] });
    });
    const bus = () => [new Float32Array(QUANTUM), new Float32Array(QUANTUM)] as const;
    const [room, phones] = [bus(), bus()];
    mixer.render(room, phones, 0);
    return { room: room[0][64], phones: phones[0][64], mixer, bus };
  }

  it('goes from one deck to the other with constant power', () => {
    expect(mixed({ crossfade: 0 }).room).toBeCloseTo(0.25, 6);
    expect(mixed({ crossfade: 1 }).room).toBeCloseTo(0.5, 6);
    expect(mixed({ crossfade: 0.5 }).room).toBeCloseTo(0.75 * Math.SQRT1_2, 6);
  });

  it('is silent until it is turned up', () => {
    expect(mixed({ volume: 0 }).room).toBe(0);
    expect(STILL_DESK.volume).toBe(0);
    expect(STILL_DESK.phones).toBe(0);
  });

  it('sends to the headphones what is listened to, wherever the crossfade stands', () => {
    expect(mixed({ crossfade: 0 }).phones).toBe(0);
    expect(mixed({ crossfade: 0, listen: [false, true] }).phones).toBeCloseTo(0.5, 6);
    expect(mixed({ crossfade: 0, listen: [false, true] }).room).toBeCloseTo(0.25, 6);
    expect(mixed({ listen: [true, true], phones: 0.5 }).phones).toBeCloseTo(0.375, 6);
  });

  it('turns without a step', () => {
    const { mixer, bus } = mixed({ crossfade: 0 });
    mixer.take({ kind: 'desk', desk: { ...STILL_DESK, volume: 1, crossfade: 1 } });
    const room = bus();
    mixer.render(room, bus(), QUANTUM);
    expect(Math.abs(room[0][0] - 0.25)).toBeLessThan(0.01);
    expect(room[0][QUANTUM - 1]).toBeCloseTo(0.5, 6);
  });

  it('listening ahead is heard in the headphones alone, for a while', () => {
    const pcm = numbered(8);
    const start = playingAt(0, wide, track(125, { duration: 8 }));
    const events = [{ time: 0.5, event: { kind: 'overview-listen', at: 0.25 } as const }];
    const { left, phones } = perform(start, wide, pcm, events, LISTEN_SECONDS + 1.5);
    const from = Math.floor((0.5 * RATE) / QUANTUM) * QUANTUM;
    expect(phones[from - 1]).toBe(0);
    expect(phones[from]).toBe(pcm[0][2 * RATE]);
    expect(phones[from + 5000]).toBe(pcm[0][2 * RATE + 5000]);
    expect(left[from + 5000]).toBe(pcm[0][from + 5000]);
    expect(phones[phones.length - 1]).toBe(0);
  });
});
