/** Which tracks of the list are marked as unsure. */
import { describe, expect, test } from 'vitest';
import { gridDoubt, isUnsure, UNSURE_BELOW } from '../../src/library/sureness.ts';

const summary = { silent: false, tempo: 124, tempoConfidence: 0.95, key: null, loudnessDb: -9 };

describe('a grid is in doubt', () => {
  test('below the threshold, and not at it', () => {
    expect(isUnsure(UNSURE_BELOW)).toBe(false);
    expect(isUnsure(UNSURE_BELOW - 1e-6)).toBe(true);
    expect(gridDoubt(summary)).toBeNull();
    expect(gridDoubt({ ...summary, tempoConfidence: 0.5 })).toBe('unsure');
  });

  test('when no steady beat was found, unless the track is silent', () => {
    const none = { ...summary, tempo: null, tempoConfidence: 0 };
    expect(gridDoubt(none)).toBe('none');
    expect(gridDoubt({ ...none, silent: true })).toBeNull();
  });

  test('until the person has corrected or locked it', () => {
    expect(gridDoubt({ ...summary, tempoConfidence: 0.5, gridByHand: true })).toBeNull();
    expect(gridDoubt({ ...summary, tempoConfidence: 0.5, gridByHand: false })).toBe('unsure');
  });
});
