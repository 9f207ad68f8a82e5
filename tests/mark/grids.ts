/** Grids to try edits on. */
import * as fc from 'fast-check';
import type { EditedGrid } from '../../shared/grid/edit-model.ts';
import { beatsBetween } from '../../shared/grid/grid.ts';

export const DURATION = 240;

export function grid(changes: Partial<EditedGrid> = {}): EditedGrid {
  return {
    kind: 'constant',
    segments: [{ startBeat: 0, startTime: 0.25, bpm: 124 }],
    beatsPerBar: 4,
    firstBeatInBar: 0,
    phraseOffsetBars: null,
    endTime: DURATION,
    confidence: 0.9,
    downbeatConfidence: 0.8,
    regions: [],
    ...changes,
  };
}

const bars = fc.record({
  beatsPerBar: fc.constantFrom(3, 4),
  firstBeatInBar: fc.integer({ min: 0, max: 2 }),
  phraseOffsetBars: fc.option(fc.integer({ min: 0, max: 7 })),
});
const bpm = fc.double({ min: 63, max: 190, noNaN: true });
const start = fc.double({ min: 0, max: 0.3, noNaN: true });

export const constantGrid = fc
  .record({ bars, bpm, start })
  .map(({ bars: b, bpm: tempo, start: startTime }) =>
    grid({ ...b, segments: [{ startBeat: 0, startTime, bpm: tempo }] }),
  );

/** Continuous segments of some bars each, with tempi that wander by a few per cent. */
export const variableGrid = fc
  .record({
    bars,
    bpm,
    start,
    drift: fc
      .array(fc.double({ min: 0.96, max: 1.04, noNaN: true }), { minLength: 2, maxLength: 12 })
      // Segments of one tempo throughout would be a constant grid.
      .filter((factors) => Math.max(...factors) - Math.min(...factors) > 1e-4),
    beats: fc.integer({ min: 4, max: 40 }),
  })
  .map(({ bars: b, bpm: tempo, start: startTime, drift, beats }) => {
    let time = startTime;
    const segments = drift.map((factor, i) => {
      const segment = { startBeat: i * beats, startTime: time, bpm: tempo * factor };
      time += (beats * 60) / segment.bpm;
      return segment;
    });
    return grid({ ...b, kind: 'variable', segments });
  });

export const anyGrid = fc.oneof(constantGrid, variableGrid);

export const allBeats = (g: EditedGrid) => beatsBetween(g, 0, g.endTime);

/** Beats without their numbers, which may be counted anew. */
export const observed = (g: EditedGrid) => allBeats(g).map(({ time, downbeat }) => ({ time, downbeat }));
