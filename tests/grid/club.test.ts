/** Club tracks of a generator that no weight was fitted on, with seeds that the bench does not draw either. */
import { describe, expect, it } from 'vitest';
import { mainTempo } from '../../shared/grid/grid.ts';
import { CLUB_STYLES } from './club/grooves.ts';
import { clubTrack } from './club/track.ts';
import { endDeviation, gridOf } from './helpers.ts';

/** The bound: 10 ms at the first and at the last beat. */
const BOUND_SECONDS = 0.01;
const FIRST_SEED = 900;

describe('one track of each kind of club music', () => {
  it('is right at both ends, at the right octave, with at most one miss', { timeout: 240_000 }, () => {
    const missed: string[] = [];
    CLUB_STYLES.forEach((style, i) => {
      const { samples, sampleRate, bpm, beats } = clubTrack(style, 75, FIRST_SEED + i);
      const grid = gridOf([samples], sampleRate);
      const right =
        grid.kind === 'constant' &&
        Math.abs(grid.segments[0].bpm / bpm - 1) < 0.005 &&
        endDeviation(grid, beats) <= BOUND_SECONDS;
      if (!right) missed.push(`${style} ${bpm}: ${mainTempo(grid)}, ${endDeviation(grid, beats)} s`);
    });
    console.log(`club tracks missed: ${missed.length} of ${CLUB_STYLES.length}`, missed);
    expect(missed.length).toBeLessThanOrEqual(1);
  });
});
