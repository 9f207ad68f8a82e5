import { describe, expect, it } from 'vitest';
import { renderTrack } from '../../demo/render.ts';
import { SCENARIO } from '../../demo/scenario.ts';
import { truthGrid } from '../../demo/truth.ts';
import { estimateKey } from '../../workers/stages/key/index.ts';
import { MAJOR_TONICS, MINOR_TONICS } from '../../shared/keys.ts';
import { findSections } from '../../workers/stages/structure/index.ts';
import { featuresOf } from './arrangement.ts';
import { boundaryF } from './metrics.ts';

/** Half the usual rate keeps the test short; all three bands are still there. */
const RATE = 22050;

/** Sections found in a demo track on its true grid, against the truth. */
function judge(id: string) {
  const { left, right, truth } = renderTrack(id, RATE);
  const mono = left.map((x, i) => (x + right[i]) / 2);
  const { harmony, pyramid, duration } = featuresOf(mono, RATE);
  const sections = findSections(harmony, pyramid, truthGrid(truth), duration);
  const found = sections.slice(1).map((s) => s.startTime);
  const real = truth.sections.slice(1).map((s) => s.startTime);
  const labelAt = (time: number) => sections.find((s) => s.startTime <= time && time < s.endTime)?.label;
  const named = truth.sections.filter((s) => labelAt((s.startTime + s.endTime) / 2) === s.label);
  return {
    id,
    sections,
    truth,
    near: boundaryF(found, real, 0.5),
    wide: boundaryF(found, real, 3),
    labelled: named.length / truth.sections.length,
    key: estimateKey(harmony, truthGrid(truth)),
    labelAt,
  };
}

/** The key of the other mode with the same notes. */
function relative(key: string): string {
  const [tonic, mode] = key.split(' ');
  return mode === 'minor'
    ? `${MAJOR_TONICS[(MINOR_TONICS.indexOf(tonic) + 3) % 12]} major`
    : `${MINOR_TONICS[(MAJOR_TONICS.indexOf(tonic) + 9) % 12]} minor`;
}

describe('the demo set on its true grid', () => {
  const judged = SCENARIO.tracks.map(({ id }) => judge(id));
  const mean = (values: number[]) => values.reduce((a, b) => a + b, 0) / values.length;

  // The arrangements also bring parts in and out within a section; those boundaries count against us here.
  it('boundaries: mean F-measure at ±0.5 s and ±3 s', () => {
    console.log(
      judged
        .map(
          (j) =>
            `${j.id}: F(0.5 s) ${j.near.toFixed(2)}, F(3 s) ${j.wide.toFixed(2)}, labels ${j.labelled.toFixed(2)}`,
        )
        .join('\n'),
    );
    expect(mean(judged.map((j) => j.near))).toBeGreaterThan(0.65);
    expect(mean(judged.map((j) => j.wide))).toBeGreaterThan(0.65);
    for (const j of judged) expect(j.near).toBeGreaterThan(0.45);
  });

  it('labels: every breakdown and the drop after it, most others', () => {
    for (const { truth, labelAt } of judged) {
      truth.sections.forEach((section, i) => {
        const middle = (section.startTime + section.endTime) / 2;
        if (section.label === 'breakdown') expect(labelAt(middle)).toBe('breakdown');
        if (section.label === 'drop' && i > 2) expect(labelAt(middle)).toBe('drop');
      });
    }
    expect(mean(judged.map((j) => j.labelled))).toBeGreaterThan(0.75);
  });

  it('every boundary lies on a bar line of the true grid', () => {
    for (const { sections, truth } of judged) {
      for (const { startTime } of sections.slice(1)) {
        expect(Math.min(...truth.downbeats.map((t) => Math.abs(t - startTime)))).toBeLessThan(0.01);
      }
    }
  });

  it('key: right or its relative, whose notes are the same', () => {
    let exact = 0;
    for (const { truth, key } of judged) {
      expect([truth.key, relative(truth.key!)]).toContain(key?.name);
      if (key!.name === truth.key) exact++;
    }
    expect(exact).toBeGreaterThanOrEqual(4);
  });
});
