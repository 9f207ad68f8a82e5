import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { truthOf } from '../../demo/arrange/arrange.ts';
import type { SectionSpec, TrackSpec } from '../../demo/arrange/spec.ts';
import { swung } from '../../demo/arrange/tempo.ts';
import type { Rendered } from '../../demo/pattern.ts';
import { PEAK, renderTrack, trackSpec } from '../../demo/render.ts';
import { SCENARIO } from '../../demo/scenario.ts';
import { rmsOf } from '../../demo/synth/noise.ts';
import { truthGrid } from '../../demo/truth.ts';
import { beatAtTime, isDownbeat } from '../../shared/grid/grid.ts';

const specs = SCENARIO.tracks.map((spec) => [spec.id, spec] as const);

/** The first section of each label, cut to its first 8 bars. */
function short(spec: TrackSpec): TrackSpec {
  const first = new Map(spec.sections.toReversed().map((section) => [section.label, section]));
  const sections = spec.sections.filter((section) => first.get(section.label) === section);
  return { ...spec, sections: sections.map((section) => ({ ...section, bars: 8 })) };
}

/** The track with nothing but these parts, throughout. */
function only(spec: TrackSpec, parts: SectionSpec['parts']): TrackSpec {
  return { ...spec, sections: [{ label: 'drop', bars: 8, parts }] };
}

function hash({ left, right }: Rendered): string {
  const digest = createHash('sha256');
  for (const side of [left, right])
    digest.update(new Uint8Array(side.buffer, side.byteOffset, side.byteLength));
  return digest.digest('hex');
}

function part({ left, right, sampleRate }: Rendered, from: number, to: number) {
  const range = [Math.round(from * sampleRate), Math.round(to * sampleRate)] as const;
  return { left: left.subarray(...range), right: right.subarray(...range) };
}

/** Largest absolute sample. */
function peakOf(samples: Float32Array): number {
  return samples.reduce((top, x) => Math.max(top, Math.abs(x)), 0);
}

describe('the scenario', () => {
  it('has at least five tracks of 3 to 6 minutes, each of its own style, tempo and key', () => {
    expect(SCENARIO.tracks.length).toBeGreaterThanOrEqual(5);
    for (const spec of SCENARIO.tracks) {
      expect(truthOf(spec).duration, spec.id).toBeGreaterThan(180);
      expect(truthOf(spec).duration, spec.id).toBeLessThan(360);
    }
    const distinct = (of: (spec: TrackSpec) => unknown) => new Set(SCENARIO.tracks.map(of)).size;
    for (const of of [(s: TrackSpec) => s.id, (s: TrackSpec) => s.style, (s: TrackSpec) => truthOf(s).bpm])
      expect(distinct(of)).toBe(SCENARIO.tracks.length);
    expect(distinct((s) => truthOf(s).key)).toBe(SCENARIO.tracks.length);
  });

  it('has a swung track, a drifting one and a fractional tempo', () => {
    const truths = SCENARIO.tracks.map(truthOf);
    expect(truths.some((t) => t.swing > 0.55)).toBe(true);
    expect(truths.some((t) => t.kind === 'variable')).toBe(true);
    expect(truths.some((t) => t.kind === 'constant' && t.bpm * 2 !== Math.round(t.bpm * 2))).toBe(true);
    expect(truths.some((t) => t.firstBeatInBar !== 0)).toBe(true);
  });

  it('refuses an id that is not in it', () => {
    expect(() => trackSpec('nothing')).toThrow(RangeError);
  });
});

describe.each(specs)('truth of %s', (_, spec) => {
  const truth = truthOf(spec);
  const grid = truthGrid(truth);

  it('goes from intro to outro with a build, a drop and a breakdown, and tiles the file', () => {
    const labels = truth.sections.map((s) => s.label);
    expect(labels[0]).toBe('intro');
    expect(labels.at(-1)).toBe('outro');
    expect(labels.filter((label) => label === 'drop').length).toBeGreaterThanOrEqual(2);
    expect(labels).toEqual(expect.arrayContaining(['build', 'breakdown']));
    expect(truth.sections[0].startTime).toBe(0);
    expect(truth.sections.at(-1)!.endTime).toBe(truth.duration);
    truth.sections.slice(1).forEach((s, i) => expect(s.startTime).toBe(truth.sections[i].endTime));
  });

  it('starts every section on an 8-bar phrase', () => {
    for (const section of truth.sections.slice(1)) {
      expect(section.bars % 8).toBe(0);
      expect(truth.phrases.some((time) => Math.abs(time - section.startTime) < 1e-9)).toBe(true);
    }
  });

  it('agrees with its own tempo map and bar phase', () => {
    truth.beats.forEach((time, beat) => expect(beatAtTime(grid, time)).toBeCloseTo(beat, 6));
    const downbeats = truth.beats.filter((_time, beat) => isDownbeat(grid, beat));
    expect(downbeats).toEqual(truth.downbeats);
    const bar = Math.floor(truth.firstBeatInBar / 4);
    expect(bar).toBe(0);
    const firstPhraseBeat = truth.beats.indexOf(truth.phrases[0]);
    expect((firstPhraseBeat + truth.firstBeatInBar) / 4).toBe(truth.phraseOffsetBars);
  });
});

describe.each(specs)('sound of %s', (_, spec) => {
  it('puts kick and snare on the sample that the truth names', () => {
    const rendered = renderTrack(only(spec, { kick: true, snare: true }));
    const { left, sampleRate, truth } = rendered;
    let checked = 0;
    truth.beats.slice(spec.pickup.beats, spec.pickup.beats + 4 * 7).forEach((time, beat) => {
      // The break has no hit on beat 3.
      if (beat % 4 === 2 && (spec.style === 'breakbeat' || spec.style === 'garage')) return;
      const sample = Math.round(time * sampleRate);
      const before = peakOf(left.subarray(Math.max(0, sample - 60), sample));
      const after = peakOf(left.subarray(sample, sample + 60));
      expect(after, `beat ${beat}`).toBeGreaterThan(3 * before);
      checked++;
    });
    expect(checked).toBeGreaterThan(20);
    const first = left.findIndex((x) => x !== 0);
    expect(first).toBe(Math.round(truth.beats[0] * sampleRate));
  });

  it('peaks at −0.5 dBFS, falls in the breakdown and comes back', () => {
    const rendered = renderTrack(short(spec));
    const { left, right, truth } = rendered;
    expect(Math.max(peakOf(left), peakOf(right))).toBeCloseTo(PEAK, 4);
    const levels = truth.sections.map((s) => rmsOf(part(rendered, s.startTime, s.endTime)));
    const of = (label: string) => levels.filter((_level, i) => truth.sections[i].label === label);
    for (const drop of of('drop')) for (const low of of('breakdown')) expect(low).toBeLessThan(0.6 * drop);
    expect(of('intro')[0]).toBeLessThan(of('drop')[0]);
  });
});

describe('renderTrack', () => {
  it.each(specs)('gives the same samples of %s every time', (_, spec) => {
    const drop = spec.sections.find((section) => section.label === 'drop')!;
    const breakdown = spec.sections.find((section) => section.label === 'breakdown')!;
    const build = spec.sections.findLast((section) => section.label === 'build')!;
    // About a minute in which every instrument plays.
    const minute = { ...spec, sections: [build, drop, breakdown].map((s) => ({ ...s, bars: 8 })) };
    expect(hash(renderTrack(minute))).toBe(hash(renderTrack(minute)));
  });

  it('gives other samples for another seed', () => {
    const spec = only(trackSpec('lantern-tariff'), { kick: true, hat: true, stab: true });
    expect(hash(renderTrack(spec))).not.toBe(hash(renderTrack({ ...spec, seed: spec.seed + 1 })));
  });

  it('delays the off-beat sixteenths of the swung track and leaves the grid straight', () => {
    const spec = trackSpec('two-buses-late');
    const { truth } = renderTrack(only(spec, { kick: true }));
    const gaps = truth.beats.slice(1).map((time, i) => time - truth.beats[i]);
    expect(Math.max(...gaps) - Math.min(...gaps)).toBeLessThan(1e-9);
    expect(swung(0.25, truth.swing)).toBeCloseTo(0.5 * spec.swing, 9);
  });
});
