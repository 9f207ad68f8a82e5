/** Each rule on a case where it speaks and on a case as near to it as can be where it does not. */
import { describe, expect, it } from 'vitest';
import { noGrid } from '../../shared/grid/grid.ts';
import type { Marker } from '../../shared/markers/marker.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import type { JudgedTrack } from '../../shared/survival/context.ts';
import { RULES } from '../../shared/survival/rules/rules.ts';
import type { Reason, Remedy } from '../../shared/survival/verdict.ts';
import { verdictsFor } from '../../shared/survival/verdicts.ts';
import { type ReasonKey, reasonSentence, remedyLabel } from '../../shared/survival/words.ts';
import {
  bassChange,
  beat,
  BEAT,
  cue,
  deck,
  DURATION,
  judged,
  loop,
  mark,
  poor,
  sections,
  small,
  strip,
  WAV,
  wide,
} from './helpers.ts';

/** The first marker is the one that is judged. */
type Scene = [markers: Marker[], profile: DeckProfile, analysis?: JudgedTrack];

interface Case {
  speaks: Scene;
  silent: Scene[];
  outcome: Reason['outcome'];
  /** What the params and the remedies must hold, computed by hand. */
  params?: Reason['params'];
  remedies?: Partial<Remedy>[];
  sentence: string;
}

const plain = judged();
const withSource = (source: Partial<typeof WAV>) => judged({ source: { ...WAV, ...source } });
const beatless = judged({ grid: noGrid(DURATION) });
/** The bass comes in at beat 256. */
const bassIn = judged({ sections: sections(0, beat(256)) }, bassChange(256, 0.02, 0.9));
const nothing = judged({ sections: sections(0, beat(256)) }, bassChange(256, 0.5, 0.5));

const reasonsOf = ([markers, profile, analysis = plain]: Scene): Reason[] =>
  verdictsFor(markers, analysis, profile)[0].reasons;

const CASES: Record<ReasonKey, Case> = {
  'file-format': {
    speaks: [[mark('a', 9)], strip, withSource({ container: 'flac', codec: 'flac' })],
    silent: [
      [[mark('a', 9)], small, withSource({ container: 'flac', codec: 'flac' })],
      [[mark('a', 9)], strip, withSource({ container: 'aiff', codec: 'float' })],
      [[mark('a', 9)], strip, withSource({ container: 'm4a', codec: 'aac' })],
    ],
    outcome: 'lost',
    remedies: [{ action: 'make-copy' }],
    sentence: 'This deck does not load FLAC files; it plays MP3, AAC, WAV and AIFF.',
  },
  'file-sample-rate': {
    speaks: [[loop('a', 0, 4)], strip, withSource({ sampleRate: 88200 })],
    silent: [
      [[loop('a', 0, 4)], strip, withSource({ sampleRate: 48000 })],
      [[loop('a', 0, 4)], small, withSource({ sampleRate: 88200 })],
    ],
    outcome: 'lost',
    remedies: [{ action: 'make-copy' }],
    sentence: 'The file runs at 88.2 kHz, and this deck loads none above 48 kHz.',
  },
  'file-bit-depth': {
    speaks: [[cue('a', 0, 1)], wide, withSource({ codec: 'float', bitDepth: 32 })],
    silent: [
      [[cue('a', 0, 1)], wide, withSource({ bitDepth: 24 })],
      [[cue('a', 0, 1)], wide, withSource({ codec: 'mp3', container: 'mp3', bitDepth: null })],
    ],
    outcome: 'lost',
    remedies: [{ action: 'make-copy' }],
    sentence: 'The file has 32 bits, and this deck loads none above 24.',
  },
  'no-slots': {
    speaks: [[cue('a', 0, 1)], deck(wide, { hotCues: { slots: 0 } })],
    silent: [[[cue('a', 0, 1)], wide]],
    outcome: 'lost',
    remedies: [{ action: 'add-mark', time: 0 }],
    sentence: 'This deck has no hot cues.',
  },
  'no-slot-yet': {
    speaks: [[cue('a', 0, null), cue('b', 9, 1)], wide],
    silent: [[[cue('a', 0, 2), cue('b', 9, 1)], wide]],
    outcome: 'lost',
    remedies: [
      { action: 'take-slot', slot: 2 },
      { action: 'add-mark', time: 0 },
    ],
    sentence: 'This cue has no slot, so no button fires it.',
  },
  'slot-beyond': {
    // All three slots are taken; the cue in slot 2 matters least of them, and less than this one.
    speaks: [
      [
        cue('a', 9, 4),
        cue('b', 0, 1),
        cue('c', 3, 2, { importance: 1 }),
        cue('d', 6, 3),
        mark('e', 9 + BEAT / 2),
      ],
      strip,
    ],
    silent: [
      [[cue('a', 9, 3)], strip],
      [[cue('a', 9, 4)], wide],
    ],
    outcome: 'lost',
    params: { slot: 4, slots: 3 },
    // No mark is offered, since one stands within a beat already.
    remedies: [{ action: 'take-slot', slot: 2 }],
    sentence: 'This deck has 3 slots; a cue in slot 4 is not there.',
  },
  'second-bank': {
    // Four buttons: slot 5 is the first of bank 2. Slots 1 to 4 have a cue of less importance in slot 3.
    speaks: [
      [
        cue('a', 9, 5),
        cue('b', 0, 1),
        cue('c', 1, 2),
        cue('d', 2, 3, { importance: 1 }),
        cue('e', 3, 4, { importance: 3 }),
      ],
      small,
    ],
    silent: [
      [[cue('a', 9, 4)], small],
      [[cue('a', 9, 5)], wide],
    ],
    outcome: 'weakened',
    params: { slot: 5, bank: 2, buttons: 4 },
    remedies: [
      { action: 'take-slot', slot: 3 },
      { action: 'advice', key: 'switch-bank' },
    ],
    sentence: 'Slot 5 is on bank 2 of this deck: one press more before it fires.',
  },
  'recall-by-hand': {
    speaks: [[cue('a', beat(1), 2)], poor],
    silent: [
      [[cue('a', beat(1), 2)], strip],
      [[cue('a', beat(1), 4)], poor],
    ],
    outcome: 'weakened',
    params: { slot: 2, presses: 5 },
    remedies: [{ action: 'advice', key: 'load-first' }],
    sentence:
      'Cues do not come with the track here: until you load this one (5 presses for three cues), slot 2 fires the cue of the track before.',
  },
  'colours-merge': {
    // Of the two with another colour the one in slot 3 is nearer; slot 4 is no slot of this deck.
    speaks: [
      [
        cue('a', beat(100), 1, { colour: '#c05a2b' }),
        cue('b', beat(0), 2, { colour: '#2b8ac0' }),
        cue('c', beat(150), 3, { colour: '#2b8ac0', name: 'Voice' }),
        cue('d', beat(101), 4, { colour: '#2bc05a' }),
      ],
      strip,
    ],
    silent: [
      [[cue('a', 0, 1, { colour: '#c05a2b' }), cue('b', 9, 2, { colour: '#2b8ac0' })], small],
      [[cue('a', 0, 1, { colour: '#c05a2b' }), cue('b', 9, 2, { colour: '#c05a2b' })], strip],
      [[cue('a', 0, 1), cue('b', 9, 2, { colour: '#c05a2b' })], strip],
      [[cue('a', 0, 1, { colour: '#c05a2b' }), cue('b', 9, 4, { colour: '#2b8ac0' })], strip],
    ],
    outcome: 'weakened',
    params: { other: '“Voice”', order: 'after', slot: 1 },
    remedies: [{ action: 'advice', key: 'tell-by-slot' }],
    sentence:
      'All cues have one colour here: only the order tells this one from “Voice”, which comes after it.',
  },
  'marks-not-shown': {
    speaks: [[mark('a', beat(64), { name: 'Drop' }), cue('b', 0, 1)], poor],
    silent: [[[mark('a', beat(64))], strip]],
    outcome: 'lost',
    remedies: [{ action: 'add-cue', time: beat(64), name: 'Drop', slot: 2 }],
    sentence: 'This deck does not show stored marks.',
  },
  'marks-beyond-limit': {
    // Two are shown: b by importance, c by time. The judged one is as important as c but later.
    speaks: [
      [mark('a', 90), mark('b', 120, { importance: 3, name: 'Drop' }), mark('c', 30, { name: 'Voice' })],
      deck(wide, { marks: { limit: 2 } }),
    ],
    silent: [
      [
        [mark('a', 90), mark('b', 120, { importance: 3 }), mark('c', 30, { importance: 1 })],
        deck(wide, { marks: { limit: 2 } }),
      ],
      [[mark('a', 90), mark('b', 120), mark('c', 30)], wide],
    ],
    outcome: 'lost',
    params: { limit: 2, marks: 3, last: '“Drop”, “Voice”' },
    remedies: [
      { action: 'advice', key: 'raise-importance' },
      { action: 'add-cue', time: 90, slot: 1 },
    ],
    sentence:
      'This deck shows 2 of the 3 marks: the more important, then the earlier. The last that it shows: “Drop”, “Voice”.',
  },
  'overview-merge': {
    // 360 s on 400 columns are 0.9 s per column: cues 0.5 s apart merge, cues 0.9 s apart do not.
    speaks: [[cue('a', 100, 1), cue('b', 100.5, 2, { name: 'Voice' })], poor],
    silent: [
      [[cue('a', 100, 1), cue('b', 100.9, 2)], poor],
      [[cue('a', 100, 1), cue('b', 100.5, 4)], poor],
      [[cue('a', 100, 1), cue('b', 100.5, 2)], wide],
    ],
    outcome: 'weakened',
    params: { apart: 0.5, column: 0.9, other: '“Voice”' },
    // One column before 100.5 s is 99.6 s, and the beat nearest to that, 0.1 + 212 × 0.46875 = 99.475 s.
    remedies: [
      { action: 'move-to', time: 99.475 },
      { action: 'advice', key: 'leave-one-out' },
    ],
    sentence: '500 ms from “Voice”: one column of this overview is 900 ms, so the two are drawn as one.',
  },
  'overview-shift': {
    // Column 111 runs from 99.9 s to 100.8 s and is drawn at its middle, 100.35 s: 350 ms, 0.747 beats, after 100 s.
    speaks: [[cue('a', 100, 1)], poor],
    silent: [
      // 0.2 s from the middle are 0.43 beats.
      [[cue('a', 100.15, 1)], poor],
      [[cue('a', 100, 1)], strip],
      [[mark('a', 100)], poor],
    ],
    outcome: 'weakened',
    params: { shift: 0.35, beats: 0.35 / BEAT, column: 0.9 },
    remedies: [{ action: 'advice', key: 'find-by-ear' }],
    sentence: 'One column of this overview is 900 ms: this is drawn 350 ms too late (0.75 beats).',
  },
  'quantise-moves-cue': {
    // The finest step is one beat: half a beat at 128 bpm, 234.4 ms, is the most that a press is moved.
    speaks: [[cue('a', beat(8.4999), 1)], strip],
    silent: [
      [[cue('a', beat(8.5), 1)], small],
      [[cue('a', beat(8) + 0.009, 1)], strip],
      [[cue('a', beat(8.4999), 1)], deck(strip, { quantise: { steps: [] } })],
      [[cue('a', beat(8.4999), 1)], strip, beatless],
      [[cue('a', beat(8.4999), 4)], strip],
    ],
    outcome: 'weakened',
    params: { step: 1, shift: -0.4999 * BEAT, beats: -0.4999 },
    remedies: [
      { action: 'advice', key: 'quantise-off' },
      { action: 'move-to', time: beat(8) },
    ],
    sentence: 'With quantise on, at this deck’s finest step of 1 beat, a press lands 234 ms too early.',
  },
  'quantise-moves-loop': {
    // In at beat 8.75 goes to 9: 0.25 × 468.75 = 117.2 ms later. Out at 12.25 goes to 12, as much earlier.
    speaks: [[loop('a', 8.75, 3.5, { beats: null })], strip],
    silent: [
      [[loop('a', 8.75, 3.5, { beats: null })], small],
      [[loop('a', 8, 4)], strip],
      [[loop('a', 8.75, 3.5, { beats: null })], strip, beatless],
    ],
    outcome: 'weakened',
    params: { step: 1, startShift: BEAT / 4, endShift: -BEAT / 4 },
    remedies: [
      { action: 'advice', key: 'quantise-off' },
      { action: 'move-to', time: beat(9) },
    ],
    sentence:
      'With quantise on, at this deck’s finest step of 1 beat, the loop begins 117 ms too late and ends 117 ms too early.',
  },
  'change-unseen': {
    speaks: [[cue('a', beat(256), 1)], wide, nothing],
    silent: [
      [[cue('a', beat(256), 1)], wide, bassIn],
      // No section begins there: a cue does not claim that anything changes.
      [[cue('a', beat(128), 1)], wide, nothing],
      // Less than a bar before it.
      [[mark('a', beat(3))], wide, nothing],
    ],
    outcome: 'weakened',
    remedies: [
      { action: 'add-mark', time: beat(256) },
      { action: 'advice', key: 'count-bars' },
    ],
    sentence:
      'The picture hardly changes here on this deck: contrast 0.00 over 8 bars to each side, and it takes 0.25 to be seen.',
  },
  'loop-none': {
    speaks: [[loop('a', 0, 4)], deck(wide, { loops: { method: 'none', direct: [] } })],
    silent: [[[loop('a', 0, 4)], wide]],
    outcome: 'lost',
    remedies: [{ action: 'advice', key: 'plan-without-loop' }],
    sentence: 'This deck has no loops of a set length.',
  },
  'loop-no-grid': {
    speaks: [[loop('a', 0, 4)], wide, beatless],
    silent: [[[loop('a', 0, 4)], wide]],
    outcome: 'weakened',
    remedies: [{ action: 'advice', key: 'loop-by-hand' }],
    sentence: 'Without a grid the deck does not know how long a beat is, so the loop has to be set by hand.',
  },
  'loop-length': {
    // From 4 beats only downwards by halves: of 8 beats the nearest is 4.
    speaks: [[loop('a', 0, 8)], poor],
    silent: [
      [[loop('a', 0, 4)], poor],
      [[loop('a', 0, 0.5)], poor],
      [[loop('a', 0, 64)], wide],
      [[loop('a', 0, 8)], poor, beatless],
    ],
    outcome: 'lost',
    params: { beats: 8, nearest: 4 },
    remedies: [
      { action: 'set-length', beats: 4 },
      { action: 'advice', key: 'loop-by-hand' },
    ],
    sentence: 'This deck cannot set a loop of 8 beats; the nearest that it reaches is 4 beats.',
  },
  'loop-presses': {
    // 4 → 2 → 1 → 1/2: three halvings.
    speaks: [[loop('a', 0, 0.5)], small],
    silent: [
      [[loop('a', 0, 8)], small],
      [[loop('a', 0, 6)], small],
      [[loop('a', 0, 1)], strip],
    ],
    outcome: 'weakened',
    params: { beats: 0.5, presses: 3 },
    remedies: [
      { action: 'set-length', beats: 4 },
      { action: 'advice', key: 'set-loop-early' },
    ],
    sentence: 'This deck has no loop of 0.5 beats at once: 3 more presses after the nearest that it has.',
  },
  'loop-change-unquantised': {
    // Beat 8.5 lies off the step of one beat, so quantise has to be off; half a beat is one halving from one beat.
    speaks: [[loop('a', 8.5, 0.5)], strip],
    silent: [
      [[loop('a', 8, 0.5)], strip],
      [[loop('a', 8.5, 1)], strip],
      [[loop('a', 8.55, 0.5)], wide],
    ],
    outcome: 'weakened',
    params: { change: 'snaps-to-start' },
    remedies: [
      { action: 'set-length', beats: 1 },
      { action: 'advice', key: 'set-loop-early' },
    ],
    sentence:
      'Quantise has to be off for this loop, and then a change of its length jumps to the loop’s start here.',
  },
  'loop-needs-quantise-off': {
    speaks: [[loop('a', 0, 4)], poor],
    silent: [
      [[loop('a', 0, 4)], strip],
      [[loop('a', 0, 4)], deck(poor, { quantise: { steps: [] } })],
    ],
    outcome: 'weakened',
    remedies: [{ action: 'advice', key: 'quantise-off' }],
    sentence: 'Loops are unreliable on this deck with quantise on.',
  },
};

describe.each(Object.entries(CASES))('the rule %s', (key, { speaks, silent, ...wanted }) => {
  const reason = reasonsOf(speaks).find((r) => r.key === key);

  it('speaks, with what it found and what to do', () => {
    expect(reason).toBeDefined();
    const { outcome, params, remedies } = reason!;
    expect(outcome).toBe(wanted.outcome);
    for (const [name, value] of Object.entries(wanted.params ?? {})) {
      if (typeof value === 'number') expect(params[name], name).toBeCloseTo(value, 9);
      else expect(params[name], name).toBe(value);
    }
    if (!wanted.remedies) return;
    expect(remedies).toHaveLength(wanted.remedies.length);
    wanted.remedies.forEach((remedy, i) => {
      const { time, ...rest } = remedy as { time?: number };
      expect(remedies[i]).toMatchObject(rest);
      if (time !== undefined) expect((remedies[i] as { time: number }).time).toBeCloseTo(time, 9);
    });
  });

  it('has a sentence, and a label for each remedy', () => {
    expect(reasonSentence(reason!)).toBe(wanted.sentence);
    for (const remedy of reason!.remedies) expect(remedyLabel(remedy)).toMatch(/^[A-Z].*[^.]$/);
  });

  it.each(silent.map((scene, i) => [i, scene] as const))('is silent in case %i', (_, scene) => {
    expect(reasonsOf(scene).map((r) => r.key)).not.toContain(key);
  });
});

it('no rule is without a case, and no key has two rules', () => {
  expect(RULES.map(({ key }) => key).sort()).toEqual(Object.keys(CASES).sort());
});
