import { describe, expect, it } from 'vitest';
import { CHUNK, PlainScan, VectorScan } from '../../workers/stages/loudness/chunk-scan.ts';
import { kWeighting } from '../../workers/stages/loudness/k-weighting.ts';
import { PlainWeigher, VectorWeigher } from '../../workers/stages/loudness/pair-weigher.ts';
import { TruePeak } from '../../workers/stages/loudness/true-peak.ts';
import { noise } from './signals.ts';

describe('vector instructions against plain code', () => {
  it('scan: the same levels and second differences', () => {
    const chunks = 50;
    const plain = new PlainScan(chunks);
    const vector = new VectorScan(chunks);
    const signal = noise(1, 5).subarray(0, chunks * CHUNK);
    plain.samples.set(signal);
    vector.samples.set(signal);
    plain.scan(chunks);
    vector.scan(chunks);
    expect(vector.tops).toEqual(plain.tops);
    vector.bends.forEach((bend, i) => expect(bend).toBeCloseTo(plain.bends[i], 5));
  });

  it('true peak: the same to the last bit', () => {
    for (let seed = 1; seed < 6; seed++) {
      let low = 0;
      const signal = noise(0.7, seed).map((x) => (low += (x - low) / seed));
      const peaks = [new PlainScan(256), new VectorScan(256)].map((scan) => {
        const meter = new TruePeak(44100, true, scan);
        meter.push(signal);
        return meter.finish();
      });
      expect(peaks[1]).toBe(peaks[0]);
    }
  });

  it.each([8000, 44100, 192000])('K-weighting: the same power at %d Hz', (rate) => {
    const left = noise(0.5, 1);
    const right = noise(0.5, 2).map((x) => 0.1 * x);
    const [plain, vector] = [PlainWeigher, VectorWeigher].map((Weigher) => {
      const weigher = new Weigher(kWeighting(rate));
      weigher.weigh(left, right, 3, 5000);
      weigher.weigh(left, right, 5000, left.length);
      return weigher.power;
    });
    for (const channel of [0, 1]) expect(vector[channel] / plain[channel]).toBeCloseTo(1, 9);
  });
});
