import { parseBuffer } from 'music-metadata';
import { describe, expect, it } from 'vitest';
import { mulberry32 } from '../../demo/synth/prng.ts';
import { encodeWav } from '../../demo/wav.ts';

const RATE = 44100;
const tags = { INAM: 'Odd', IART: 'A longer name', IGNR: 'House', ICRD: '2024' };
const sine = Float32Array.from({ length: RATE }, (_, i) => 0.5 * Math.sin((2 * Math.PI * 441 * i) / RATE));
const bytes = encodeWav(
  sine,
  sine.map((x) => -x),
  RATE,
  tags,
  mulberry32(1),
);
const view = new DataView(bytes.buffer);
const audioAt = bytes.length - RATE * 4;

describe('encodeWav', () => {
  it('is read by an independent reader, tags and all (music-metadata)', async () => {
    const { common, format } = await parseBuffer(bytes, 'audio/wav');
    expect([common.title, common.artist, common.genre?.[0], common.year]).toEqual([
      'Odd',
      'A longer name',
      'House',
      2024,
    ]);
    expect([format.sampleRate, format.numberOfChannels, format.bitsPerSample]).toEqual([RATE, 2, 16]);
    expect(format.duration).toBeCloseTo(1, 9);
  });

  it('states its own length', () => {
    expect(view.getUint32(4, true)).toBe(bytes.length - 8);
    expect(view.getUint32(audioAt - 4, true)).toBe(RATE * 4);
  });

  it('stays within 1.5 steps of the samples, with an error free of the signal', () => {
    let worst = 0;
    let power = 0;
    let product = 0;
    for (let i = 0; i < RATE; i++) {
      const error = view.getInt16(audioAt + 4 * i, true) - sine[i] * 32767;
      worst = Math.max(worst, Math.abs(error));
      power += error * error;
      product += error * sine[i];
    }
    expect(worst).toBeLessThanOrEqual(1.5 + 1e-3);
    // Lipshitz et al. 1992: triangular dither makes the total error's power 1/4 step², whatever the signal.
    expect(power / RATE).toBeCloseTo(0.25, 1);
    expect(Math.abs(product / RATE)).toBeLessThan(0.01);
  });

  it('clips what is beyond full scale and keeps silence silent', () => {
    const odd = encodeWav(Float32Array.of(2, 0), Float32Array.of(-2, 0), RATE, tags, mulberry32(1));
    const samples = new DataView(odd.buffer, odd.length - 8);
    expect([0, 2, 4, 6].map((at) => samples.getInt16(at, true))).toEqual([32767, -32767, 0, 0]);
  });
});
