import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DRILLS } from '../../shared/behaviour/drills/machine.ts';
import { DRILL_KINDS } from '../../shared/drills/types.ts';
import { difference, type Difference } from '../../shared/gig/difference/difference.ts';
import { factFields, type FactInput } from '../../shared/profile/facts.ts';
import { checkProfile } from '../../shared/profile/read.ts';
import { type DeckProfile, plainProfile } from '../../shared/profile/schema.ts';
import { deckFromAnswers } from '../../shared/gig/answers/answers.ts';
import { shippedFile } from '../profiles/files.ts';
import { deck, DECKS, poor, small, strip, wide } from '../survival/helpers.ts';

const brief = (list: Difference[]) => list.map(({ key, kind, drill }) => [key, kind, drill]);
const of = (list: Difference[], key: string) => list.find((d) => d.key === key);

describe('worked by hand', () => {
  it('from the wide deck to the poorest: what catches one out first', () => {
    const list = difference(wide, poor);
    expect(brief(list.slice(0, 6))).toEqual([
      ['hotCues.recall', 'changed', 'recall-before-drop'],
      ['playback.sync', 'gone', 'phase-compare'],
      ['media.formats', 'changed', null],
      ['waveform.scrolling', 'gone', 'find-drop'],
      ['media.drivePulled', 'changed', 'drive-pulled'],
      ['loops.changeUnquantised', 'changed', 'shorten-loop'],
    ]);
    expect(list[2].sentence).toBe('FLAC and ALAC do not play: carry copies as WAV or AIFF.');
    expect(of(list, 'loops.method')?.kind).toBe('moved');
    expect(of(list, 'quantise.setIn')).toMatchObject({ kind: 'moved', likelihood: 54 });
    expect(of(list, 'beatJump.where')?.kind).toBe('gone');
    expect(of(list, 'media.discSlot')?.kind).toBe('new');
    expect(of(list, 'hotCues.slots')?.sentence).toBe('3 hot cue slots, not 8.');
    // Said by "nothing scrolls", "no beat jump" and "loaded by hand".
    for (const key of ['waveform.kinds', 'waveform.grid', 'beatJump.lengths', 'hotCues.recallPresses']) {
      expect(of(list, key)).toBeUndefined();
    }
  });

  it('the other way round little can catch one out, and nothing needs a drill but what is another habit', () => {
    const back = difference(poor, wide);
    expect(Math.max(...back.map(({ likelihood }) => likelihood))).toBeLessThan(40);
    expect(of(back, 'playback.sync')).toMatchObject({ kind: 'new', sentence: 'There is sync.', drill: null });
  });

  it('from the wide deck to the small one: banks, loops that snap, and the page of jumps', () => {
    const list = difference(wide, small);
    expect(brief(list.slice(0, 2))).toEqual([
      ['loops.changeUnquantised', 'changed', 'shorten-loop'],
      ['hotCues.banks', 'changed', 'reach-slot'],
    ]);
    expect(of(list, 'beatJump.where')).toMatchObject({ kind: 'moved', likelihood: 50 });
    expect(of(list, 'media.slowWithMetadata')?.kind).toBe('changed');
    expect(of(list, 'playback.touchStrip')).toBeUndefined();
    expect(of(difference(small, strip), 'playback.touchStrip')?.kind).toBe('new');
  });

  it('what hands do can be tried on the rehearsal deck, what is only read or carried cannot', () => {
    const list = difference(wide, poor);
    for (const key of ['playback.slip', 'beatJump.where', 'hotCues.slots']) {
      expect(of(list, key)).toMatchObject({ rehearse: true });
    }
    for (const key of ['waveform.scrolling', 'list.rows', 'media.formats']) {
      expect(of(list, key) ?? { rehearse: false }).toMatchObject({ rehearse: false });
    }
    expect(difference(poor, wide).filter(({ rehearse, kind }) => rehearse && kind === 'new')).toEqual([]);
  });

  it('decks without cues, loops or quantise', () => {
    const bare = deck(poor, {
      hotCues: { slots: 0, buttons: 0 },
      loops: { method: 'none', direct: [] },
      quantise: { steps: [], setIn: 'none' },
    });
    const list = difference(poor, bare);
    expect(brief(list)).toEqual([
      ['hotCues.slots', 'gone', null],
      ['loops.method', 'gone', 'two-loops'],
      ['quantise.steps', 'gone', null],
    ]);
    expect(list[0].sentence).toBe('There are no hot cues.');
  });
});

/** Every fact with any value that its schema allows. */
const valueOf = (input: FactInput): fc.Arbitrary<unknown> => {
  switch (input.type) {
    case 'boolean':
      return fc.boolean();
    case 'choice':
      return fc.constantFrom(...input.choices);
    case 'choices':
      return fc.uniqueArray(fc.constantFrom(...input.choices), { maxLength: input.most });
    case 'number':
      return input.whole
        ? fc.integer({ min: input.min, max: input.max })
        : fc.double({ min: input.min, max: input.max, noNaN: true });
    case 'numbers':
      return fc
        .uniqueArray(fc.integer({ min: Math.ceil(input.min), max: input.max }), { maxLength: 5 })
        .map((list) => list.sort((a, b) => a - b));
  }
};

const SHIPPED = DECKS.map(({ id }) => shippedFile(id));
/** A shipped deck that lacks some things altogether. */
const without = fc.record({
  waveformScrolls: fc.constantFrom(null, false),
  quantise: fc.constantFrom(null, 'none' as const),
  loopButtons: fc.constantFrom(null, 'none' as const),
  beatJump: fc.constantFrom(null, 'none' as const),
  cuePads: fc.constantFrom(null, 0),
});
/** … and of which some facts are any value with which they still fit together. */
const anyDeck: fc.Arbitrary<DeckProfile> = fc
  .tuple(
    fc.constantFrom(...SHIPPED),
    without,
    fc.tuple(...factFields.map(({ input }) => fc.option(valueOf(input), { freq: 2 }))),
  )
  .map(([base, answers, values]) => {
    let file = deckFromAnswers(answers, [base], []).file ?? base;
    factFields.forEach(({ group, name }, i) => {
      if (values[i] === null) return;
      const changed = structuredClone(file);
      (changed.facts[group] as Record<string, { value: unknown }>)[name].value = values[i];
      if ('profile' in checkProfile(changed)) file = changed;
    });
    return plainProfile(file);
  });

describe('any two decks, a person’s own too', () => {
  const known = new Set<string>([...DRILLS, ...DRILL_KINDS]);
  const sound = (list: Difference[]) => {
    const order = list.map(({ likelihood }) => likelihood);
    expect(order).toEqual([...order].sort((a, b) => b - a));
    for (const { sentence, likelihood, drill, kind, from, to } of list) {
      expect(sentence).toMatch(/^[A-Z0-9].*\.$/);
      expect(sentence).not.toMatch(/undefined|NaN|Infinity| {2}|\[|: \.| ,/);
      expect(likelihood).toBeGreaterThanOrEqual(0);
      expect(likelihood).toBeLessThanOrEqual(100);
      if (drill) expect(known).toContain(drill);
      expect(['gone', 'moved', 'changed', 'new']).toContain(kind);
      expect(from).not.toEqual(to);
    }
  };

  it('have sentences, an order, and drills that there are', () => {
    for (const a of DECKS) for (const b of DECKS) sound(difference(a, b));
    fc.assert(
      fc.property(anyDeck, anyDeck, (one, other) => {
        sound(difference(one, other));
        sound(difference(other, one));
        expect(difference(one, structuredClone(one))).toEqual([]);
      }),
      { numRuns: 40 },
    );
  });

  it('a fact that differs is told, by itself or by what it hangs on', () => {
    for (const { group, name, input } of factFields) {
      if (input.type !== 'boolean') continue;
      const was = (wide[group] as unknown as Record<string, boolean>)[name];
      const other = deck(wide, { [group]: { [name]: !was } });
      expect(difference(wide, other).map(({ key }) => key)).toEqual([`${group}.${name}`]);
    }
  });
});
