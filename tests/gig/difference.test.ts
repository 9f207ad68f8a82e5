import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DRILLS } from '../../shared/behaviour/drills/machine.ts';
import { deckHas } from '../../shared/drills/hands.ts';
import { LOADING_KINDS } from '../../shared/drills/loading/kinds.ts';
import { DRILL_KINDS } from '../../shared/drills/types.ts';
import { difference, type Difference } from '../../shared/gig/difference/difference.ts';
import { trainingFor } from '../../shared/gig/difference/training.ts';
import { factFields } from '../../shared/profile/facts.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { anyDeck, valueOf } from '../profiles/any-deck.ts';
import { deck, DECKS, poor, small, strip, wide } from '../survival/helpers.ts';

/** What each line is about, and the drill that it leads to on that deck. */
const brief = (list: Difference[], to: DeckProfile) =>
  list.map((each) => [each.key, each.kind, trainingFor(each, to, DECKS)?.drill]);
const of = (list: Difference[], key: string) => list.find((d) => d.key === key);

describe('worked by hand', () => {
  it('from the wide deck to the poorest: what catches one out first', () => {
    const list = difference(wide, poor);
    expect(brief(list.slice(0, 6), poor)).toEqual([
      ['hotCues.recall', 'changed', 'recall-before-drop'],
      ['playback.sync', 'gone', null],
      ['media.formats', 'changed', 'loads-there'],
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

  it('the other way round little can catch one out, and what is new is to be tried', () => {
    const back = difference(poor, wide);
    expect(Math.max(...back.map(({ likelihood }) => likelihood))).toBeLessThan(40);
    const sync = of(back, 'playback.sync') as Difference;
    expect(sync).toMatchObject({ kind: 'new', sentence: 'There is sync.' });
    expect(trainingFor(sync, wide, DECKS)).toEqual({ drill: null });
  });

  it('from the wide deck to the small one: banks, loops that snap, and the page of jumps', () => {
    const list = difference(wide, small);
    expect(brief(list.slice(0, 2), small)).toEqual([
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
  });

  it('decks without cues, loops or quantise', () => {
    const bare = deck(poor, {
      hotCues: { slots: 0, buttons: 0 },
      loops: { method: 'none', direct: [] },
      quantise: { steps: [], setIn: 'none' },
    });
    const list = difference(poor, bare);
    expect(brief(list, bare)).toEqual([
      ['hotCues.slots', 'gone', null],
      ['loops.method', 'gone', null],
      ['quantise.steps', 'gone', null],
    ]);
    expect(list[0].sentence).toBe('There are no hot cues.');
  });
});

describe('any two decks, a person’s own too', () => {
  const known = new Set<string>([...DRILLS, ...DRILL_KINDS, ...LOADING_KINDS]);
  const sound = (list: Difference[]) => {
    const order = list.map(({ likelihood }) => likelihood);
    expect(order).toEqual([...order].sort((a, b) => b - a));
    for (const { sentence, likelihood, drills, kind, from, to } of list) {
      expect(sentence).toMatch(/^[A-Z0-9].*\.$/);
      expect(sentence).not.toMatch(/undefined|NaN|Infinity| {2}|\[|: \.| ,/);
      expect(likelihood).toBeGreaterThanOrEqual(0);
      expect(likelihood).toBeLessThanOrEqual(100);
      for (const drill of drills) expect(known).toContain(drill);
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

describe('every line of the sheet leads to a drill that the deck has, or to a deck to try it on', () => {
  const without = (a: DeckProfile, b: DeckProfile, profiles: readonly DeckProfile[]) =>
    difference(a, b).flatMap((each) => {
      const training = trainingFor(each, b, profiles);
      const drill = training?.drill ?? null;
      const there = drill ? deckHas(drill, b, profiles) : training !== null && each.rehearse;
      return there ? [] : [`${a.id} to ${b.id}: ${each.key}, ${each.kind}`];
    });

  it('for all ordered pairs of the decks that come with it', () => {
    expect(DECKS.flatMap((a) => DECKS.flatMap((b) => without(a, b, DECKS)))).toEqual([]);
    expect(difference(wide, poor).length).toBeGreaterThan(30);
  });

  it('for any two decks, either way', () => {
    fc.assert(
      fc.property(anyDeck, anyDeck, (one, other) => {
        const profiles = [...DECKS, { ...one, id: 'one' }, { ...other, id: 'other' }];
        const [a, b] = profiles.slice(-2);
        expect([...without(a, b, profiles), ...without(b, a, profiles)]).toEqual([]);
      }),
      { numRuns: 12 },
    );
  });

  it('for each fact by itself, whatever it was and is', () => {
    for (const { group, name, input } of factFields) {
      const key = `${group}.${name}`;
      for (const value of fc.sample(valueOf(input), { numRuns: 4, seed: 6 })) {
        const other = deck(wide, { [group]: { [name]: value } });
        const told = difference(wide, other).find((each) => each.key === key);
        const back = difference(other, wide).find((each) => each.key === key);
        for (const [each, to] of [[told, other] as const, [back, wide] as const]) {
          if (each) expect(trainingFor(each, to, DECKS), `${key} to ${String(value)}`).not.toBeNull();
        }
      }
    }
  });
});
