/** One-click remedies: a finding's own moves, the markers of a track, decks that are listed twice. */
import { describe, expect, it } from 'vitest';
import type { Finding } from '../../shared/gig/check/finding.ts';
import { findings } from '../../shared/gig/check/findings.ts';
import { joinedDecks } from '../../shared/gig/set.ts';
import type { PlannedMove, SetTrack } from '../../shared/gig/types.ts';
import { mended, mendsMarkers, withoutMoves } from '../../src/gig/remedies.ts';
import {
  beat,
  bassChange,
  cue,
  deck,
  DECKS,
  judged,
  loop,
  poor,
  sections,
  wide,
} from '../survival/helpers.ts';
import { boothOf, entry, setOf, setTrack } from './helpers.ts';

const check = (track: SetTrack, moves: PlannedMove[] = [], decks = [poor]) =>
  findings(setOf(entry(track, { moves })), [track], boothOf(...decks), [...DECKS, ...decks]);
const get = (found: Finding[], key: string) => found.find((finding) => finding.key === key)!;

describe('moves that a finding takes out of the plan', () => {
  const track = setTrack('a', { markers: [cue('c', beat(64), 1)] });
  const moves: PlannedMove[] = [
    { kind: 'fire-cue', markerId: 'gone' },
    { kind: 'run-loop', markerId: 'gone' },
    { kind: 'fire-cue', markerId: 'c' },
    { kind: 'set-cues', count: 3 },
    { kind: 'set-cues', count: 1 },
    { kind: 'jump-beats', beats: 4 },
    { kind: 'jump-beats', beats: 32 },
    { kind: 'slip' },
  ];
  const found = check(track, moves);
  const left = (key: string) => {
    const all = withoutMoves(entry(track, { moves }), get(found, key));
    return moves.filter((move) => !all.includes(move));
  };

  it('are those that cannot be done, and no others', () => {
    expect(left('cue-gone')).toEqual([{ kind: 'fire-cue', markerId: 'gone' }]);
    expect(left('loop-gone')).toEqual([{ kind: 'run-loop', markerId: 'gone' }]);
    expect(left('cues-overwritten')).toEqual([{ kind: 'set-cues', count: 3 }]);
    expect(left('no-beat-jump')).toEqual([
      { kind: 'jump-beats', beats: 4 },
      { kind: 'jump-beats', beats: 32 },
    ]);
    expect(left('no-slip')).toEqual([{ kind: 'slip' }]);
  });

  it('leave no finding of that kind behind, and other tracks alone', () => {
    for (const finding of found.filter(({ remedies }) => remedies.some((r) => r.action === 'drop-move'))) {
      const after = check(track, withoutMoves(entry(track, { moves }), finding));
      expect(after.map(({ key }) => key)).not.toContain(finding.key);
      expect(after.length).toBeLessThan(found.length);
      const other = entry(setTrack('b'), { moves });
      expect(withoutMoves(other, finding)).toEqual(moves);
    }
  });
});

describe('markers that a remedy changes', () => {
  it('the plan of slots brings what matters most into reach, and the finding is gone', () => {
    const markers = [
      cue('in', beat(0), 1, { importance: 1 }),
      cue('two', beat(32), 2, { importance: 1 }),
      cue('three', beat(48), 3, { importance: 1 }),
      cue('drop', beat(64), 6, { importance: 3 }),
    ];
    const track = setTrack('a', { markers });
    const beyond = get(check(track), 'slot-beyond');
    expect(beyond.remedies).toEqual([{ action: 'plan-slots' }]);
    const after = mended(track, beyond.remedies[0], beyond.details, [poor])!;
    const drop = after.find(({ id }) => id === 'drop');
    expect(drop).toMatchObject({ kind: 'cue' });
    expect(drop?.kind === 'cue' && drop.slot! <= poor.hotCues.slots).toBe(true);
    const again = get(check({ ...track, markers: after }), 'slot-beyond');
    expect(again.details.map(({ markerId }) => markerId)).not.toContain('drop');
    // Nothing left to plan: nothing is changed.
    expect(mended({ ...track, markers: after }, beyond.remedies[0], beyond.details, [poor])).toBeNull();
  });

  it('marks are put on changes that nobody sees; without places the sections propose them', () => {
    const blind = deck(poor, { overview: { heightSteps: 1 } });
    const track = setTrack('a', {
      pyramid: judged({}, bassChange(256, 0.02, 0.25, 0.4)).pyramid,
      sections: sections(0, beat(256)),
    });
    const found = check(track, [], [wide, blind]);
    const unseen = get(found, 'changes-unseen');
    const marked = mended(track, { action: 'mark-sections' }, unseen.details, [wide, blind])!;
    expect(marked).toMatchObject([{ kind: 'cue', time: beat(256), slot: 1 }]);
    expect(check({ ...track, markers: marked }, [], [wide, blind]).map(({ key }) => key)).not.toContain(
      'changes-unseen',
    );
    const nothing = get(found, 'nothing-marked');
    const proposed = mended(track, { action: 'mark-sections' }, nothing.details, [blind])!;
    expect(proposed.filter(({ kind }) => kind === 'mark')).toHaveLength(2);
    expect(check({ ...track, markers: proposed }, [], [blind]).map(({ key }) => key)).not.toContain(
      'nothing-marked',
    );
  });

  it('a remedy of one marker changes that one; advice changes nothing', () => {
    const track = setTrack('a', { markers: [cue('c', beat(64), 5), loop('l', 64, 8)] });
    const detail = (markerId: string) => ({
      entryId: 'e-a',
      markerId,
      time: beat(64),
      move: null,
      name: '',
      params: {},
      remedies: [],
    });
    const slot = mended(track, { action: 'take-slot', slot: 2 }, [detail('c')], [poor]);
    expect(slot).toMatchObject([{ id: 'c', slot: 2 }, { id: 'l' }]);
    const length = mended(track, { action: 'set-length', beats: 4 }, [detail('l')], [poor]);
    expect(length?.find(({ id }) => id === 'l')).toMatchObject({ beats: 4 });
    const moved = mended(track, { action: 'move-to', time: beat(60) }, [detail('c')], [poor]);
    expect(moved?.find(({ id }) => id === 'c')).toMatchObject({ time: beat(60) });
    const added = mended(track, { action: 'add-mark', time: beat(8), name: 'Here' }, [detail('c')], [poor]);
    expect(added?.[0]).toMatchObject({ kind: 'mark', time: beat(8), name: 'Here' });
    expect(mended(track, { action: 'take-slot', slot: 2 }, [detail('nobody')], [poor])).toBeNull();
    expect(mended(track, { action: 'advice', key: 'find-by-ear' }, [detail('c')], [poor])).toBeNull();
    expect(mendsMarkers({ action: 'advice', key: 'find-by-ear' })).toBe(false);
    expect(mendsMarkers({ action: 'make-copy' })).toBe(false);
    expect(mendsMarkers({ action: 'plan-slots' })).toBe(true);
  });
});

describe('decks of a booth', () => {
  it('of one kind are listed once, but for linked and unlinked ones', () => {
    expect(
      joinedDecks([
        { profileId: 'a', count: 2, linked: true },
        { profileId: 'b', count: 1, linked: false },
        { profileId: 'a', count: 7, linked: true },
        { profileId: 'a', count: 1, linked: false },
      ]),
    ).toEqual([
      { profileId: 'a', count: 8, linked: true },
      { profileId: 'b', count: 1, linked: false },
      { profileId: 'a', count: 1, linked: false },
    ]);
  });
});
