import { describe, expect, it } from 'vitest';
import type { BeatGrid } from '../../shared/grid/grid.ts';
import { createHarmonyStage, estimateKey } from '../../workers/stages/key/index.ts';
import {
  addDrums,
  drawPiece,
  drawVariedPiece,
  gridOfPiece,
  harmonyOf,
  keyNameOf,
  random,
  RATE,
  render,
  TIMBRES,
  type Piece,
  type Timbre,
} from './pieces.ts';

/** Tonic, subdominant, dominant, tonic: the cadence that states a key. */
const CADENCE = [0, 3, 4, 0];

function keyOf(piece: Omit<Piece, 'chords' | 'timbre'> & { timbre?: Timbre }) {
  return estimateKey(harmonyOf(render({ chords: CADENCE, timbre: 'saw', seconds: 8, ...piece })));
}

describe('cadences in all 24 keys', () => {
  it.each(TIMBRES)('%s', (timbre) => {
    for (const minor of [false, true]) {
      for (let tonic = 0; tonic < 12; tonic++) {
        const key = keyOf({ tonic, minor, timbre });
        expect(key?.name).toBe(keyNameOf(tonic, minor));
        expect(key!.confidence).toBeGreaterThan(0.6);
      }
    }
  });

  it.each([-30, 30])('%d cents away from A4 = 440 Hz', (cents) => {
    for (const minor of [false, true]) {
      for (let tonic = 0; tonic < 12; tonic++) {
        expect(keyOf({ tonic, minor, cents })?.name).toBe(keyNameOf(tonic, minor));
      }
    }
  });

  it('under drums as loud as the music and some hiss', () => {
    for (let tonic = 0; tonic < 12; tonic++) {
      const piece = { tonic, minor: tonic % 2 === 0, drums: 0.4, noise: 0.03, seconds: 16 };
      expect(keyOf(piece)?.name).toBe(keyNameOf(tonic, piece.minor));
    }
  });
});

describe('what has no key', () => {
  const lowOrNone = (samples: Float32Array) =>
    expect(estimateKey(harmonyOf(samples))?.confidence ?? 0).toBeLessThan(0.5);

  it('silence, an empty track and noise give null', () => {
    expect(estimateKey(harmonyOf(new Float32Array(RATE * 4)))).toBeNull();
    expect(estimateKey(harmonyOf(new Float32Array(0)))).toBeNull();
    for (let seed = 1; seed <= 3; seed++) {
      const next = random(seed);
      expect(estimateKey(harmonyOf(new Float32Array(RATE * 20).map(() => 2 * next() - 1)))).toBeNull();
    }
  });

  it('bare drums give null or little confidence', () => {
    for (let seed = 1; seed <= 4; seed++) {
      const drums = new Float32Array(RATE * 20);
      addDrums(drums, 0.5, seed);
      lowOrNone(drums);
    }
  });

  it('a single tone gives null', () => {
    const tone = new Float32Array(RATE * 8).map((_, i) => 0.5 * Math.sin((2 * Math.PI * 220 * i) / RATE));
    expect(estimateKey(harmonyOf(tone))).toBeNull();
  });
});

describe('the stream', () => {
  const piece = render({ tonic: 2, minor: true, chords: CADENCE, timbre: 'saw', seconds: 6, drums: 0.3 });

  it('gives the same features however the track is cut', () => {
    const whole = harmonyOf(piece, RATE, piece.length);
    for (const blockLength of [1, 37, 1024, 8191]) {
      const cut = harmonyOf(piece, RATE, blockLength);
      expect(cut.length).toBe(whole.length);
      expect(cut.upper).toEqual(whole.upper);
      expect(cut.bass).toEqual(whole.bass);
      expect(cut.tonal).toEqual(whole.tonal);
    }
    const fast = (blockLength: number) => harmonyOf(piece, 44100, blockLength);
    for (const blockLength of [1, 3, 5, 8193]) expect(fast(blockLength)).toEqual(fast(piece.length));
  });

  it('hears a track whose right channel is the inverted left one, and counts mono as both', () => {
    const inverted = piece.map((x) => -x);
    const features = (channels: Float32Array[]) => {
      const stage = createHarmonyStage({ sampleRate: RATE, channels: channels.length });
      for (let i = 0; i < piece.length; i += 5000) stage.push(channels.map((c) => c.subarray(i, i + 5000)));
      return stage.finish();
    };
    expect(estimateKey(features([piece, inverted]))?.name).toBe('D minor');
    expect(features([piece, piece])).toEqual(features([piece]));
  });

  it.each([8000, 11025, 12000, 16000, 22050, 32000, 44100, 48000, 88200, 96000, 176400, 192000])(
    'finds notes and tuning at %d Hz',
    (rate) => {
      // A minor triad over its root, 20 cents sharp.
      const notes = [45, 57, 60, 64].map((midi) => 440 * 2 ** ((midi - 69 + 0.2) / 12));
      const samples = new Float32Array(rate * 4).map((_, i) =>
        notes.reduce((sum, hz) => sum + 0.1 * Math.sin((2 * Math.PI * hz * i) / rate), 0),
      );
      const features = harmonyOf(samples, rate);
      expect(features.tuningCents).toBeGreaterThan(18);
      expect(features.tuningCents).toBeLessThan(22);
      expect(features.length * features.hop).toBeGreaterThan(3.5);
      expect(features.length * features.hop).toBeLessThan(5);
      expect(estimateKey(features)?.name).toBe('A minor');
    },
  );
});

describe('calibration', () => {
  interface Outcome {
    base: number;
    said: number;
    brier: number;
  }

  function outcome(
    count: number,
    draw: (seed: number) => Piece,
    grid: (piece: Piece) => BeatGrid | null,
  ): Outcome {
    const sum = { base: 0, said: 0, brier: 0 };
    for (let seed = 1001; seed <= 1000 + count; seed++) {
      const piece = draw(seed);
      const key = estimateKey(harmonyOf(render(piece)), grid(piece));
      const hit = key?.name === keyNameOf(piece.tonic, piece.minor) ? 1 : 0;
      const confidence = key?.confidence ?? 0;
      sum.base += hit / count;
      sum.said += confidence / count;
      sum.brier += (confidence - hit) ** 2 / count;
    }
    console.log('key, right / said on average / Brier score:', sum);
    return sum;
  }

  // A forecaster that always says the base rate scores base (1 - base); ours must do better, and its mean confidence
  // must be near the share that is right.
  function expectMeant({ base, said, brier }: Outcome) {
    expect(Math.abs(said - base)).toBeLessThan(0.12);
    expect(brier).toBeLessThan(base * (1 - base));
  }

  it('means what it says on pieces that it was not fitted on', { timeout: 180_000 }, () => {
    const found = outcome(60, drawPiece, () => null);
    expectMeant(found);
    expect(found.base).toBeGreaterThan(0.65);
  });

  it('and on pieces whose key is less plain, with the grid', { timeout: 180_000 }, () => {
    expectMeant(outcome(60, drawVariedPiece, gridOfPiece));
  });
});

describe('a key and its relative', () => {
  /** The same chords and notes: only where the loop begins differs. */
  const loop = { timbre: 'saw', seconds: 64, drums: 0.3, bass: true } as const;
  const minorFirst: Piece = { ...loop, tonic: 9, minor: true, chords: [0, 5, 2, 6] };
  const majorFirst: Piece = { ...loop, tonic: 0, minor: false, chords: [0, 4, 5, 3] };

  it('the chord at the start of phrases decides where all else is even', () => {
    for (const piece of [minorFirst, majorFirst]) {
      const features = harmonyOf(render(piece));
      const grid = { ...gridOfPiece(piece), phraseOffsetBars: 0 };
      expect(estimateKey(features, grid)?.name).toBe(keyNameOf(piece.tonic, piece.minor));
    }
  });

  it('a rival that is close lowers the confidence', () => {
    const features = harmonyOf(render(minorFirst));
    // Without phrases nothing but the notes is left, which both keys share.
    const plain = estimateKey(features)!;
    expect(plain.confidence).toBeLessThan(0.75);
    const cadence = estimateKey(harmonyOf(render({ ...minorFirst, chords: [0, 3, 4, 0] })))!;
    expect(cadence.confidence).toBeGreaterThan(plain.confidence);
  });
});
