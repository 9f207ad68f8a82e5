import { describe, expect, it } from 'vitest';
import {
  addRung,
  changeRung,
  defaultRungs,
  kindOf,
  moveRung,
  newRung,
  removeRung,
} from '../../src/ladder/rungs.ts';
import { shippedDeck, shippedNames } from '../profiles/files.ts';

const profiles = shippedNames.map((name) => shippedDeck(name.replace('.json', '')));
const byId = (id: string) => profiles.find((profile) => profile.id === id)!;
const ids = (rungs: { profileId: string }[]) => rungs.map((rung) => rung.profileId);

describe('the order of the ladder', () => {
  const rungs = defaultRungs(profiles.toReversed());

  it('is from rich to poor', () => {
    expect(ids(rungs)).toEqual(['wide-touch', 'small-touch', 'touch-strip', 'overview-only']);
  });

  it('puts a new rung where its richness belongs', () => {
    const without = removeRung(rungs, 'small-touch');
    expect(ids(addRung(without, byId('small-touch'), profiles))).toEqual(ids(rungs));
    const twice = addRung(rungs, byId('overview-only'), profiles);
    expect(ids(twice)).toEqual([...ids(rungs), 'overview-only']);
    expect(new Set(twice.map((rung) => rung.id)).size).toBe(5);
  });

  it('moves within the ladder only, and leaves the old list alone', () => {
    const before = structuredClone(rungs);
    expect(ids(moveRung(rungs, 'touch-strip', -1))).toEqual([
      'wide-touch',
      'touch-strip',
      'small-touch',
      'overview-only',
    ]);
    expect(ids(moveRung(rungs, 'wide-touch', -5))).toEqual(ids(rungs));
    expect(ids(moveRung(rungs, 'wide-touch', 99)).at(-1)).toBe('wide-touch');
    expect(moveRung(rungs, 'nobody', 1)).toEqual(rungs);
    expect(rungs).toEqual(before);
  });

  it('changes one rung', () => {
    const changed = changeRung(rungs, 'small-touch', { kind: 'single', zoomStop: 0 });
    expect(changed[1]).toEqual({ id: 'small-touch', profileId: 'small-touch', kind: 'single', zoomStop: 0 });
    expect(changed[0]).toBe(rungs[0]);
  });

  it('shows the chosen kind where the deck has it, else its best, and none where nothing scrolls', () => {
    const rung = newRung('wide-touch', []);
    expect(kindOf(rung, byId('wide-touch'))).toBe('three-band');
    expect(kindOf({ ...rung, kind: 'tint' }, byId('wide-touch'))).toBe('tint');
    expect(kindOf({ ...rung, kind: 'three-band' }, byId('small-touch'))).toBe(
      byId('small-touch').waveform.kinds[0],
    );
    expect(kindOf({ ...rung, kind: 'three-band' }, byId('overview-only'))).toBeNull();
  });
});
