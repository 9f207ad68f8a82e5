import { describe, expect, it } from 'vitest';
import type { Section } from '../../shared/analysis.ts';
import { noGrid } from '../../shared/grid/grid.ts';
import {
  CLUB,
  gridOf,
  random,
  RATE,
  render,
  sectionsOf,
  sectionsUnder,
  type Arrangement,
} from './arrangement.ts';
import { boundaryF } from './metrics.ts';

const inner = (times: number[]) => times.slice(1);
const startsOf = (sections: Section[]) => sections.map((s) => s.startTime);

function run(arrangement: Arrangement, phrases = true) {
  const { samples, starts, duration } = render(arrangement);
  return { sections: sectionsOf(samples, gridOf(arrangement, duration, phrases)), starts, duration };
}

describe('boundary F-measure', () => {
  it('counts each boundary once, within the window', () => {
    expect(boundaryF([10, 20], [10.4, 20.6], 0.5)).toBe(0.5);
    expect(boundaryF([10, 20], [10.4, 20.6], 3)).toBe(1);
    expect(boundaryF([10, 10.1, 10.2], [10], 0.5)).toBe(0.5);
    expect(boundaryF([], [10], 3)).toBe(0);
    expect(boundaryF([], [], 3)).toBe(1);
  });
});

describe('a club arrangement', () => {
  it.each([
    { bpm: 124, lead: 0, phrases: true },
    { bpm: 131.37, lead: 0.43, phrases: true },
    { bpm: 174, lead: 1.2, phrases: false },
    { bpm: 98, lead: 0.1, phrases: false },
  ])('at $bpm bpm, phrases known: $phrases', ({ bpm, lead, phrases }) => {
    const { sections, starts, duration } = run({ bpm, lead, parts: CLUB }, phrases);
    expect(boundaryF(inner(startsOf(sections)), inner(starts), 0.5)).toBe(1);
    expect(sections.map((s) => s.label)).toEqual(CLUB.map((p) => p.label));
    expect(sections[0].startTime).toBe(0);
    expect(sections.at(-1)!.endTime).toBe(duration);
    sections.forEach((s, i) => {
      if (i) expect(s.startTime).toBe(sections[i - 1].endTime);
      expect(s.strength).toBeGreaterThan(0);
      expect(s.strength).toBeLessThanOrEqual(1);
      expect(s.energy).toBeGreaterThan(0);
      expect(s.energy).toBeLessThanOrEqual(1);
    });
    const energies = sections.map((s) => s.energy);
    expect(Math.max(energies[2], energies[5])).toBe(1);
    expect(energies[3]).toBeLessThan(0.5);
  });

  it('says why, from what changes', () => {
    const { sections } = run({ bpm: 124, parts: CLUB });
    const why = sections.map((s) => s.why);
    expect(why[1]).toMatch(/treble comes in/);
    expect(why[1]).toMatch(/treble rises over 8 bars/);
    expect(why[2]).toMatch(/bass gets stronger/);
    expect(why[3]).toMatch(/bass drops out/);
    expect(why[3]).toMatch(/drums stop|low beat stops/);
    expect(why[5]).toMatch(/bass comes in/);
    expect(why[5]).toMatch(/what was heard at 0:46 returns/);
    expect(why[6]).toMatch(/treble drops out/);
    for (const sentence of why) expect(sentence).toMatch(/^[A-Z].*\.$/);
  });

  it('finds a change of harmony under a beat that goes on', () => {
    const all = { kick: true, hats: true, bass: true, pad: true };
    const parts = [
      { label: 'A', bars: 32, ...all },
      { label: 'B', bars: 32, ...all, shift: 6 },
    ];
    const { sections, starts } = run({ bpm: 126, parts });
    expect(startsOf(sections)).toHaveLength(2);
    expect(sections[1].startTime).toBeCloseTo(starts[1], 3);
    expect(sections[1].why).toMatch(/harmony changes/);
    expect(sections.map((s) => s.label)).toEqual(['A', 'B']);
  });
});

describe('without a grid', () => {
  it('gives letters, shared by what repeats, and boundaries within 3 s', () => {
    const { samples, starts, duration } = render({ bpm: 124, parts: CLUB });
    const sections = sectionsOf(samples, noGrid(duration));
    expect(boundaryF(inner(startsOf(sections)), inner(starts), 3)).toBeGreaterThan(0.8);
    expect(boundaryF(inner(startsOf(sections)), inner(starts), 0.5)).toBeGreaterThan(0.6);
    for (const { label } of sections) expect(label).toMatch(/^[A-Z]\d*$/);
    const at = (time: number) => sections.find((s) => s.startTime <= time && time < s.endTime)!.label;
    expect(at(starts[2] + 10)).toBe(at(starts[5] + 10));
    expect(at(starts[2] + 10)).not.toBe(at(starts[3] + 10));
  });
});

describe('never invents a boundary', () => {
  const all = { kick: true, hats: true, bass: true, pad: true };

  it.each([
    { name: 'full loop', part: { label: '', bars: 96, ...all } },
    { name: 'bare kick', part: { label: '', bars: 96, kick: true } },
    { name: 'pad alone', part: { label: '', bars: 96, pad: true } },
    { name: 'hats alone', part: { label: '', bars: 96, hats: true } },
  ])('in a constant loop: $name', ({ part }) => {
    for (const bpm of [118, 140]) {
      const arrangement = { bpm, parts: [part] };
      const { samples, duration } = render(arrangement);
      const grids = [gridOf(arrangement, duration), gridOf(arrangement, duration, false), noGrid(duration)];
      for (const sections of sectionsUnder(samples, ...grids)) {
        expect(sections.map((s) => s.label)).toEqual(['A']);
      }
    }
  });

  it('in noise, white or dark, with or without a grid', () => {
    for (let seed = 1; seed <= 4; seed++) {
      const next = random(seed);
      let low = 0;
      const noise = new Float32Array(RATE * 150).map(() => {
        low += (seed % 2 ? 1 : 0.05) * (2 * next() - 1 - low);
        return 0.5 * low;
      });
      const grids = [noGrid(150), gridOf({ bpm: 127, parts: [] }, 150, seed > 2)];
      for (const sections of sectionsUnder(noise, ...grids)) expect(sections).toHaveLength(1);
    }
  });

  it('in silence or in next to nothing', () => {
    const silent = sectionsOf(new Float32Array(RATE * 60), noGrid(60));
    expect(silent).toHaveLength(1);
    expect(silent[0].energy).toBe(0);
    expect(sectionsOf(new Float32Array(RATE * 60), gridOf({ bpm: 120, parts: [] }, 60))).toHaveLength(1);
    expect(sectionsOf(new Float32Array(RATE / 10).fill(0.1), noGrid(0.1))).toHaveLength(1);
    expect(sectionsOf(new Float32Array(0), noGrid(0))).toEqual([]);
  });
});
