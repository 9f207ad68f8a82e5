import { describe, expect, it } from 'vitest';
import { createHarmonyStage, estimateKey } from '../../workers/stages/key/index.ts';
import {
  addDrums,
  drawPiece,
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
  it('means what it says on pieces that it was not fitted on', () => {
    // Brier score of a forecaster that always says the base rate is about 0.19 here; ours must do better, and its
    // mean confidence must be near the share that is right.
    let right = 0;
    let said = 0;
    let squared = 0;
    const pieces = 60;
    for (let seed = 1001; seed <= 1000 + pieces; seed++) {
      const piece = drawPiece(seed);
      const key = estimateKey(harmonyOf(render(piece)));
      const hit = key?.name === keyNameOf(piece.tonic, piece.minor) ? 1 : 0;
      const confidence = key?.confidence ?? 0;
      right += hit;
      said += confidence;
      squared += (confidence - hit) ** 2;
    }
    const base = right / pieces;
    expect(Math.abs(said - right) / pieces).toBeLessThan(0.12);
    expect(squared / pieces).toBeLessThan(base * (1 - base));
    expect(base).toBeGreaterThan(0.65);
  }, 180_000);
});
