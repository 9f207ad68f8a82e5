import { describe, expect, it } from 'vitest';
import { KEY_NAMES, keysThatFit } from '../../shared/keys.ts';

describe('keys that go together', () => {
  it('are the same, the relative and the fifths', () => {
    expect(keysThatFit('A minor')).toEqual(['A minor', 'C major', 'E minor', 'D minor']);
    expect(keysThatFit('C major')).toEqual(['C major', 'A minor', 'G major', 'F major']);
    expect(keysThatFit('B minor')).toEqual(['B minor', 'D major', 'F♯ minor', 'E minor']);
    expect(keysThatFit('H minor')).toEqual([]);
    expect(keysThatFit('')).toEqual([]);
  });

  it('go together both ways, four to each of the 24', () => {
    expect(new Set(KEY_NAMES).size).toBe(24);
    for (const key of KEY_NAMES) {
      const fitting = keysThatFit(key);
      expect(new Set(fitting).size).toBe(4);
      for (const other of fitting) expect(keysThatFit(other), `${key}, ${other}`).toContain(key);
    }
  });
});
