/** Hand drills: the computed best way on each shipped deck, and the judging of what somebody pressed. */
import { describe, expect, it } from 'vitest';
import { type RecordedPress, judge, solve } from '../../shared/behaviour/drills/drills.ts';
import { findByLetter } from '../../shared/behaviour/drills/list-drill.ts';
import { type DrillId, DRILLS, type DrillPress } from '../../shared/behaviour/drills/machine.ts';
import { isRelease } from '../../shared/behaviour/press.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { decks, plain, small, strip, wide } from './decks.ts';

function solved(drill: DrillId, deck: DeckProfile) {
  const answer = solve(drill, deck);
  if (answer.outcome !== 'solved') throw new Error(`${drill} on ${deck.id}: ${answer.reason}`);
  return answer;
}

function judged(drill: DrillId, deck: DeckProfile, recorded: RecordedPress[]) {
  const answer = judge(drill, deck, recorded);
  if (answer.outcome !== 'judged') throw new Error(`${drill} on ${deck.id}: ${answer.reason}`);
  return answer;
}

const kinds = (sequence: { kind: string }[]) => sequence.map(({ kind }) => kind).filter((k) => k !== 'wait');

describe('the best way', () => {
  it('to slot 6: the bank and the button', () => {
    expect(solved('reach-slot', small)).toMatchObject({
      presses: 2,
      sequence: [
        { kind: 'bank', bank: 2 },
        { kind: 'hot-cue', button: 2 },
      ],
    });
    expect(solve('reach-slot', wide)).toEqual({ outcome: 'not-needed', reason: 'slot-on-first-bank' });
    expect(solve('reach-slot', strip)).toEqual({ outcome: 'not-possible', reason: 'too-few-slots' });
  });

  it('to load cues by hand: as many presses as the profile says', () => {
    // The practice track has cues for all three slots.
    const best = solved('recall-before-drop', plain);
    expect(best.presses).toBe(plain.hotCues.recallPresses);
    expect(kinds(best.sequence)).toEqual(['recall', 'hot-cue', 'hot-cue', 'hot-cue', 'recall']);
    expect(solve('recall-before-drop', wide)).toEqual({ outcome: 'not-needed', reason: 'cues-come-along' });
  });

  it('to shorten a loop: one press at the moment the loop begins', () => {
    // 0.3 of 1.92 s into the loop; halved to 0.96 s its start is in time at 0.96 s: 0.384 s to wait.
    for (const deck of [small, strip, plain]) {
      const { presses, sequence, errorMs } = solved('shorten-loop', deck);
      expect(presses).toBe(1);
      expect(sequence[0]).toMatchObject({ kind: 'wait' });
      expect((sequence[0] as { seconds: number }).seconds).toBeCloseTo(0.384, 9);
      expect(errorMs).toBeCloseTo(0, 6);
    }
    expect(solve('shorten-loop', wide)).toEqual({ outcome: 'not-needed', reason: 'place-is-kept' });
  });

  it('to a loop of 4 and one of 8: two presses, or by hand where 8 is not to be had', () => {
    for (const deck of [small, strip, wide]) expect(solved('two-loops', deck).presses).toBe(2);
    // Its button only halves: out of the loop and an end by hand, 8 beats after the start.
    const { presses, sequence } = solved('two-loops', plain);
    expect(presses).toBe(3);
    expect(kinds(sequence)[2]).toBe('loop-out');
    expect(solve('two-loops', { ...wide, loops: { ...wide.loops, direct: [], method: 'none' } })).toEqual({
      outcome: 'not-possible',
      reason: 'no-loops',
    });
  });

  it('to a track by its letter', () => {
    // "Salt Motion" is title 94 of 125, the fourth under S: 93 steps of the knob; from the next letter two back.
    expect(solved('find-by-letter', plain).presses).toBe(93 + 1);
    expect(solved('find-by-letter', strip)).toMatchObject({
      presses: 4,
      sequence: [{ kind: 'letter', letter: 'T' }, { by: -1 }, { by: -1 }, { kind: 'list-load' }],
    });
    expect(kinds(solved('find-by-letter', wide).sequence)).toEqual([
      'search-open',
      'type',
      'row-touch',
      'list-load',
    ]);
    // On the first screen a touch is enough, where the screen can be touched.
    const near = (deck: DeckProfile) => solve((p) => findByLetter(p, ['Ash', 'Bay', 'Cove'], 'Cove'), deck);
    expect(near(small)).toMatchObject({ presses: 2 });
    expect(near(plain)).toMatchObject({ presses: 3 });
  });

  it('to a track that is heard before it is on air', () => {
    // From the list where it can be heard there: it is on the first screen.
    expect(solved('hear-first', wide)).toMatchObject({
      presses: 1,
      sequence: [{ kind: 'row-preview', row: 3 }],
    });
    // Else chosen by a touch or three steps of the knob, loaded beside what plays, started and listened to.
    expect(solved('hear-first', small).presses).toBe(4);
    expect(kinds(solved('hear-first', plain).sequence)).toEqual([
      ...['knob', 'knob', 'knob', 'load-to', 'play-off-air', 'headphones'],
    ]);
    const few = { ...wide, list: { ...wide.list, rows: 2, preview: 'touch' as const } };
    expect(solved('hear-first', few).presses).toBe(4);
  });

  it('when the drive is pulled', () => {
    expect(kinds(solved('drive-pulled', small).sequence)).toEqual(['plug-drive', 'loop-exit']);
    expect(solved('drive-pulled', small).errorMs).toBe(0);
    const silent = solved('drive-pulled', plain);
    expect(kinds(silent.sequence)).toEqual(['plug-drive', 'load', 'play']);
    // Silent while the drive is plugged (3 s) and the track loads (1.2 s).
    expect(silent.errorMs).toBeCloseTo(4200, 6);
  });
});

describe('judging', () => {
  it('finds every best way done, with no press more', () => {
    for (const deck of decks) {
      for (const drill of DRILLS) {
        const best = solve(drill, deck);
        if (best.outcome !== 'solved') continue;
        let time = 0;
        const recorded: RecordedPress[] = [];
        for (const step of best.sequence) {
          if (step.kind === 'wait') time += step.seconds;
          else {
            recorded.push({ time, press: step });
            if (step.kind === 'plug-drive') time += 3;
            else if (!isRelease(step)) time += step.kind === 'knob' ? 0.08 : 0.25;
          }
        }
        expect(judged(drill, deck, recorded), `${drill} on ${deck.id}`).toMatchObject({
          done: true,
          failed: false,
          presses: best.presses,
        });
      }
    }
  });

  it('tells by how much a loop lost its place', () => {
    const halve: DrillPress = { kind: 'loop-halve' };
    // 0.1 s after the loop begins again.
    const late = judged('shorten-loop', small, [{ time: 0.384 + 0.96 + 0.1, press: halve }]);
    expect([late.done, late.failed]).toEqual([false, false]);
    expect(late.errorMs).toBeCloseTo(-100, 6);
    const near = judged('shorten-loop', small, [{ time: 0.384 + 0.96 + 0.02, press: halve }]);
    expect(near.done).toBe(true);
    expect(near.errorMs).toBeCloseTo(-20, 6);
  });

  it('counts detours, and says when it went wrong', () => {
    const detour = judged('reach-slot', small, [
      { time: 0, press: { kind: 'bank', bank: 2 } },
      { time: 0.5, press: { kind: 'bank', bank: 1 } },
      { time: 1, press: { kind: 'bank', bank: 2 } },
      { time: 1.5, press: { kind: 'hot-cue', button: 2 } },
    ]);
    expect(detour).toMatchObject({ done: true, presses: 4, seconds: 1.5, best: { presses: 2 } });
    const wrong = judged('reach-slot', small, [{ time: 0, press: { kind: 'hot-cue', button: 2 } }]);
    expect(wrong).toMatchObject({ done: false, failed: true });
  });

  it('knows when the drop has come before the cues', () => {
    const presses: DrillPress[] = [
      { kind: 'recall' },
      ...[1, 2, 3].map((button): DrillPress => ({ kind: 'hot-cue', button })),
      { kind: 'recall' },
    ];
    // Sixteen beats are 7.68 s.
    const at = (gap: number) =>
      judged(
        'recall-before-drop',
        plain,
        presses.map((press, i) => ({ time: i * gap, press })),
      );
    expect(at(1.9)).toMatchObject({ done: true, failed: false, presses: 5 });
    expect(at(2)).toMatchObject({ done: false, failed: true });
    const stale = judged('recall-before-drop', plain, [{ time: 0, press: presses[1] }]);
    expect(stale.failed).toBe(true);
  });

  it('a wrong title is not the right one, nor is one that takes the track off air', () => {
    // The track that is on air is gone; what the list does not do is no press there.
    const onAir = [{ time: 0, press: { kind: 'load-to' as const, deck: 'on-air' as const } }];
    expect(judged('hear-first', plain, onAir)).toMatchObject({ done: false, failed: true });
    const fromList = [{ time: 0, press: { kind: 'row-preview' as const, row: 3 } }];
    expect(judged('hear-first', plain, fromList)).toMatchObject({ done: false, failed: false });
    expect(judged('hear-first', wide, fromList)).toMatchObject({ done: true, presses: 1 });
    expect(judged('find-by-letter', wide, [{ time: 0, press: { kind: 'list-load' } }])).toMatchObject({
      done: false,
      failed: true,
    });
  });
});
