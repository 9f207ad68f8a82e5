/** What is seen, and what follows for markers, against `plain.ts`, which works all of it out the plain way. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { noGrid, timeOfBeat } from '../../shared/grid/grid.ts';
import type { Marker } from '../../shared/markers/marker.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import type { JudgedTrack } from '../../shared/survival/context.ts';
import { contrastAt, sightOf } from '../../shared/survival/contrast.ts';
import { invisibleChanges } from '../../shared/survival/invisible.ts';
import { verdictsByDeck, verdictsFor } from '../../shared/survival/verdicts.ts';
import { constantGrid, pyramidOf, randomLevels, sequence } from '../display/tracks.ts';
import { cue, deck, DECKS, mark, poor, sections, small, strip, WAV, wide } from './helpers.ts';
import { plainContrasts, plainSight, plainVerdicts } from './plain.ts';

const DURATION = 70;
const grid128 = constantGrid(128, DURATION);
const phrase = (n: number) => timeOfBeat(grid128, n * 16);

const TRACKS: [string, JudgedTrack][] = (
  [
    ['on a fast grid', constantGrid(174, DURATION), 0.005],
    ['on a grid', grid128, 0.005],
    ['in three', constantGrid(98.7, DURATION, { beatsPerBar: 3 }), 220 / 44100],
    ['without a grid', noGrid(DURATION), 0.005],
  ] as const
).map(([name, grid, hop], i) => [
  name,
  {
    grid,
    duration: DURATION,
    pyramid: pyramidOf(DURATION, partly(i + 1), hop),
    source: WAV,
    sections: sections(0, ...[1, 2, 4, 5, 7].map(phrase)),
  },
]);

/** Random levels whose loudness steps at random places, so that contrasts of every size occur. */
function partly(seed: number): (layer: number, i: number) => { peak: number; rms: number } {
  const noise = randomLevels(seed);
  const next = sequence(seed);
  const parts = Array.from({ length: 24 }, () => [next(), next(), next(), next()]);
  return (layer, i) => {
    const { peak, rms } = noise(layer, i);
    const loud = parts[Math.floor(i / 600) % parts.length][layer];
    return { peak: peak * loud, rms: rms * loud };
  };
}

const OTHERS: DeckProfile[] = [
  deck(wide, { waveform: { kinds: ['single'], heightSteps: 9, colourSteps: 5 } }),
  deck(small, { screen: { columns: 333 }, waveform: { kinds: ['three-band'], heightSteps: 255 } }),
  deck(strip, { waveform: { zoomSeconds: [3], colourSteps: 1 } }),
  deck(poor, { overview: { columns: 97, kind: 'tint', heightSteps: 5, colourSteps: 7 } }),
  deck(poor, { overview: { columns: 800, kind: 'three-band', heightSteps: 30, colourSteps: 1 } }),
];
const ALL = [...DECKS, ...OTHERS];

const place = fc.oneof(
  fc.double({ min: 0, max: DURATION, noNaN: true }),
  fc.nat(200).map((n) => Math.min(DURATION, timeOfBeat(grid128, n))),
  fc.nat(9).map(phrase),
);

describe.each(TRACKS)('of a track %s', (_name, track) => {
  it.each(ALL.map((d, i) => [`${d.id} (${i + 1})`, d] as const))(
    'contrast on %s is what comparing all pairs of columns gives',
    (_deck, profile) => {
      const plain = plainContrasts(track, profile);
      let compared = 0;
      fc.assert(
        fc.property(place, (time) => {
          const expected = plain(time);
          expect(contrastAt(track, profile, time)).toEqual(expected);
          compared += Number(expected !== null);
        }),
        { numRuns: 20 },
      );
      expect(compared).toBeGreaterThan(0);
    },
  );

  it('what is seen, and what is not, is what the contrast says, whatever is asked first', () => {
    const outcomes = new Set<boolean | null>();
    for (const profile of ALL) {
      const plain = plainSight(track, profile);
      fc.assert(
        fc.property(
          place,
          fc.shuffledSubarray(['contrast', 'sees', 'hidden'] as const),
          (time, questions) => {
            const sight = sightOf({ ...track, pyramid: { ...track.pyramid } }, profile);
            for (const question of questions) expect(sight[question](time)).toEqual(plain[question](time));
            outcomes.add(plain.sees(time));
          },
        ),
        { numRuns: 10 },
      );
    }
    expect([...outcomes].sort()).toEqual([false, null, true]);
  });

  it('verdicts on all decks are those of all rules on plain contrasts', () => {
    const sights = new Map(ALL.map((profile) => [profile, plainSight(track, profile)]));
    let unseen = 0;
    const markers = fc
      .array(fc.tuple(place, fc.boolean()), { minLength: 1, maxLength: 12 })
      .map((places) =>
        places.map(([time, isMark], i): Marker =>
          isMark ? mark(`m${i}`, time) : cue(`m${i}`, time, i < 8 ? i + 1 : null, { colour: '#2b8ac0' }),
        ),
      );
    fc.assert(
      fc.property(markers, (placed) => {
        const fresh = { ...track, pyramid: { ...track.pyramid } };
        const plain = ALL.map((profile) => plainVerdicts(placed, track, profile, sights.get(profile)));
        expect(verdictsByDeck(placed, fresh, ALL)).toEqual(plain);
        expect(ALL.map((profile) => verdictsFor(placed, fresh, profile))).toEqual(plain);
        unseen += plain
          .flat()
          .filter(({ reasons }) => reasons.some(({ key }) => key === 'change-unseen')).length;
      }),
      { numRuns: 15 },
    );
    expect(unseen).toBeGreaterThan(0);
  });

  it('changes that only the richest deck shows are those by plain contrasts', () => {
    const rich = plainSight(track, wide);
    for (const profile of ALL) {
      const plain = plainSight(track, profile);
      const expected = track.sections.flatMap(({ startTime: time }) => {
        const contrast = profile !== wide && time > 0 && rich.sees(time) ? plain.hidden(time) : null;
        return contrast ? [{ time, contrast, contrastOnRichest: rich.contrast(time) }] : [];
      });
      const fresh = { ...track, pyramid: { ...track.pyramid } };
      const found = invisibleChanges(fresh, profile, wide, []);
      expect(
        found.map(({ time, contrast, contrastOnRichest }) => ({ time, contrast, contrastOnRichest })),
      ).toEqual(expected);
    }
  });
});

describe('what is kept', () => {
  const [, [, track]] = TRACKS;

  it('serves decks that show the same, and no others', () => {
    const twin = deck(wide, { hotCues: { slots: 2 }, screen: { rows: 1 } as never });
    expect(twin).not.toBe(wide);
    expect(contrastAt(track, twin, 30)).toBe(contrastAt(track, wide, 30));
    for (const [i, profile] of ALL.entries()) {
      for (const other of ALL.slice(i + 1)) {
        expect(contrastAt(track, profile, 30)).not.toBe(contrastAt(track, other, 30));
      }
    }
  });

  it('is not what another length, grid or sound has', () => {
    const sounds = { ...track, pyramid: pyramidOf(DURATION, partly(9)) };
    const cut = { ...track, duration: 40 };
    const moved = { ...track, grid: constantGrid(100, DURATION) };
    for (const other of [sounds, cut, moved]) {
      for (const profile of DECKS) {
        contrastAt(track, profile, 25);
        expect(contrastAt(other, profile, 25)).toEqual(plainContrasts(other, profile)(25));
      }
    }
  });

  it('does not hang on what was asked before', () => {
    const fresh = { ...track, pyramid: { ...track.pyramid } };
    const times = [50, 20, 33.3, 20.01, 41];
    const forwards = times.map((time) => contrastAt(track, wide, time));
    const backwards = times.toReversed().map((time) => contrastAt(fresh, wide, time));
    expect(backwards.reverse()).toEqual(forwards);
  });
});
