import { describe, expect, it } from 'vitest';
import { checkTrack } from '../../shared/gig/check/track-check.ts';
import { verdictsFor } from '../../shared/survival/verdicts.ts';
import { beat, cue, DECKS, loop, mark, sections, wide } from '../survival/helpers.ts';
import { setTrack } from './helpers.ts';

describe('the check of one track', () => {
  it('has the verdicts of the rules, but for what is seen', () => {
    const markers = [
      cue('a', beat(64), 1, { colour: '#c05a2b' }),
      cue('b', beat(128) + 0.06, 6, { colour: '#2b8ac0' }),
      mark('m', beat(128)),
      mark('n', beat(130)),
      loop('l', 256, 6),
    ];
    const track = setTrack('t', { markers, sections: sections(0, beat(64), beat(128)) });
    const { decks } = checkTrack(track, [], DECKS, wide);
    let weakened = 0;
    for (const profile of DECKS) {
      const all = verdictsFor(markers, { ...track, pyramid: track.pyramid! }, profile).map(
        ({ reasons, outcome: _, ...rest }) => ({
          ...rest,
          reasons: reasons.filter(({ key }) => key !== 'change-unseen'),
        }),
      );
      const here = decks.get(profile.id)?.verdicts ?? [];
      expect(here.map(({ outcome: _, ...rest }) => rest)).toEqual(all);
      for (const { outcome, reasons } of here) {
        const worst = reasons.some((r) => r.outcome === 'lost')
          ? 'lost'
          : reasons.length
            ? 'weakened'
            : 'holds';
        expect(outcome).toBe(worst);
        if (outcome === 'weakened') weakened++;
      }
    }
    expect(weakened).toBeGreaterThan(0);
  });

  it('needs the picture only once: without it the places are untold', () => {
    const entries = [{ mixIn: beat(64), mixOut: null }];
    const without = checkTrack(setTrack('t', { pyramid: null }), entries, [wide], wide);
    expect(without.picture).toBe(false);
    expect(without.decks.get(wide.id)?.places.get(beat(64))?.readable).toBe('untold');
    const withOne = checkTrack(setTrack('t'), entries, [wide], wide);
    expect(withOne.decks.get(wide.id)?.places.get(beat(64))).toEqual({
      readable: 'unreadable',
      remedy: { action: 'add-mark', time: beat(64), name: '' },
    });
    expect('pyramid' in withOne.track).toBe(false);
  });
});
