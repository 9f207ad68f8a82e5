/** Questions about lists and files: each can be answered from what is shown, in one way, and by the check's own rules. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { PRACTICE_LIST } from '../../demo/practice-list.ts';
import type { SourceFormat } from '../../shared/analysis.ts';
import { findByLetter } from '../../shared/behaviour/drills/list-drill.ts';
import { solve } from '../../shared/behaviour/drills/drills.ts';
import { LOADING_KINDS, type LoadingKind } from '../../shared/drills/loading/kinds.ts';
import { loadingItemFor, loadingKey, loadingKeys } from '../../shared/drills/loading/make.ts';
import { inOrder } from '../../shared/drills/loading/list.ts';
import { pressesTo, wayToTempo } from '../../shared/drills/loading/ways.ts';
import {
  LOAD_ANSWERS,
  type ListedTrack,
  type LoadingItem,
  PRACTICE_ID,
  WAYS,
} from '../../shared/drills/loading/types.ts';
import { loadingQuestion } from '../../shared/drills/loading/words.ts';
import { keysThatFit } from '../../shared/keys.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { anyDeck } from '../profiles/any-deck.ts';
import { DECKS, poor, small, strip, wide } from './tracks.ts';

const seeds = fc.integer({ min: 1, max: 2 ** 31 });
const FLAC: SourceFormat = {
  ...{ container: 'flac', codec: 'flac', lossless: true, sampleRate: 44_100, channels: 2 },
  ...{ bitDepth: 16, bitrate: null },
};
/** Thirty tracks of somebody's own, each unlike any other in its first letters. */
const OWN: ListedTrack[] = Array.from({ length: 30 }, (_, i) => ({
  id: `own-${i}`,
  title: `${String.fromCharCode(65 + (i % 26))}${i} of my own`,
  artist: i % 4 ? `Maker ${i}` : null,
  tempo: i % 5 ? 120 + i : null,
  key: i % 3 ? 'A minor' : null,
  duration: 300,
  source: FLAC,
}));

function made(kind: LoadingKind, deck: DeckProfile, seed: number, own: readonly ListedTrack[] = []) {
  const item = loadingItemFor({ key: loadingKey(deck.id, kind), seed }, own, [deck], PRACTICE_LIST);
  if (!item) throw new Error(`${kind} on ${deck.id} was not made.`);
  return item;
}
const many = (kind: LoadingKind, deck: DeckProfile, own: readonly ListedTrack[] = []) =>
  Array.from({ length: 120 }, (_, i) => made(kind, deck, 7 * i + 1, own));

/** The answer as somebody works it out who sees the card and knows the deck. */
function loads({ shown }: LoadingItem, { media }: DeckProfile): string {
  if (shown.drill !== 'loads-there') throw new Error('no card');
  const { source, carrier, baggage } = shown.card;
  const raw = source.codec === 'pcm' || source.codec === 'float';
  const format = raw ? source.container : source.codec;
  const plays =
    (media.formats as string[]).includes(format) &&
    source.sampleRate <= media.maxSampleRate &&
    (source.bitDepth ?? 0) <= media.maxBitDepth &&
    (carrier === 'drive' || media.discSlot);
  if (!plays) return 'refused';
  const much = baggage !== null && (baggage.metadataBytes > 1_000_000 || baggage.markers > 30);
  return much && media.slowWithMetadata ? 'slowly' : 'loads';
}

/** Rows that may be the wanted one by all that the list shows; null: it shows nothing of what is known. */
function mayBe({ shown }: LoadingItem, { list: { titleCharacters: most } }: DeckProfile): number[] | null {
  if (shown.drill !== 'row-in-list') throw new Error('no list');
  const { wanted, list } = shown;
  const at = (field: string) => (list.fields as readonly string[]).indexOf(field);
  const rows = (fits: (cells: string[], marked: boolean) => boolean) =>
    list.rows.flatMap(({ cells, fits: marked }, i) => (fits(cells, marked) ? [i] : []));
  switch (wanted.by) {
    case 'title': {
      const cut = (text: string) => text.slice(0, most).toLowerCase();
      return rows(
        (cells) =>
          cells[0].toLowerCase() === cut(wanted.title) &&
          (at('artist') < 0 || cells[1].toLowerCase() === cut(wanted.artist)),
      );
    }
    case 'tempo':
      return at('tempo') < 0 ? null : rows((cells) => cells[2] === String(wanted.tempo).slice(0, most));
    case 'key': {
      if (list.rows.some(({ fits }) => fits)) return rows((_, marked) => marked);
      if (at('key') < 0) return null;
      const names = keysThatFit(wanted.playing);
      return rows((cells) => names.includes(cells[3]));
    }
  }
}

describe('does it load there?', () => {
  it('is answered by the file and the deck, whatever deck it is', () => {
    fc.assert(
      fc.property(anyDeck, seeds, fc.boolean(), (deck, seed, own) => {
        const item = made('loads-there', deck, seed, own ? OWN : []);
        expect(LOAD_ANSWERS[item.held.answer.index]).toBe(loads(item, deck));
        expect(item.explanation.sentences.length).toBeGreaterThan(0);
        for (const sentence of item.explanation.sentences) {
          expect(sentence).toMatch(/^[A-Z0-9].*\.$/);
          expect(sentence).not.toMatch(/undefined|NaN|null/);
        }
      }),
      { numRuns: 150 },
    );
  });

  it('asks for every answer that the deck can give, and about the person’s own files', () => {
    const answers = (deck: DeckProfile) =>
      new Set(many('loads-there', deck).map(({ held }) => LOAD_ANSWERS[held.answer.index]));
    expect([...answers(strip)].sort()).toEqual(['loads', 'refused', 'slowly']);
    expect([...answers(wide)].sort()).toEqual(['loads', 'refused']);
    const mine = many('loads-there', poor, OWN).filter(({ held }) => held.trackId.startsWith('own-'));
    expect(mine.length).toBeGreaterThan(5);
    for (const { held } of mine) expect(LOAD_ANSWERS[held.answer.index]).toBe('refused');
  });

  it('tells why in the words of the check', () => {
    const reasons = new Set(many('loads-there', poor).flatMap(({ explanation }) => explanation.sentences));
    expect(reasons).toContain('This deck does not load FLAC files; it plays MP3, AAC, WAV and AIFF.');
    const discs = new Set(many('loads-there', wide).flatMap(({ explanation }) => explanation.sentences));
    expect(discs).toContain('It is on a disc, and this deck has no slot for discs.');
  });
});

describe('which row is it?', () => {
  it('one row fits what is known, or two do, or the list shows nothing of it: on any deck', () => {
    fc.assert(
      fc.property(anyDeck, seeds, fc.boolean(), (deck, seed, own) => {
        // A tempo or a key that is cut could be another one.
        fc.pre(deck.list.titleCharacters >= 8);
        const item = made('row-in-list', deck, seed, own ? OWN : []);
        if (item.shown.drill !== 'row-in-list') throw new Error('no list');
        const { list } = item.shown;
        const fitting = mayBe(item, deck);
        const { index } = item.held.answer;
        expect(item.answers).toBe(list.rows.length + 1);
        if (index === list.rows.length) expect(fitting?.length ?? 2).toBeGreaterThan(1);
        else expect(fitting).toEqual([index]);
        for (const { cells } of list.rows) {
          expect(cells).toHaveLength(list.fields.length);
          for (const cell of cells) expect(cell.length).toBeLessThanOrEqual(deck.list.titleCharacters);
        }
        expect(list.fields.length).toBeLessThanOrEqual(deck.list.columns);
        const meant = (item.explanation.rows ?? []).filter(({ role }) => role === 'meant');
        expect(meant).toHaveLength(1);
        expect(item.shown.own).toBe(item.held.trackId !== PRACTICE_ID);
        const { wanted } = item.shown;
        if (wanted.by !== 'title') return;
        expect(meant[0]).toMatchObject({ title: wanted.title });
        // Of those that fit what is known one is meant, and the others are said to look the same.
        const alike = (item.explanation.rows ?? []).flatMap(({ role }, i) => (role ? [i] : []));
        expect(alike).toEqual(fitting);
      }),
      { numRuns: 150 },
    );
  });

  it('on each deck some can be told and some cannot; every row is right now and then', () => {
    for (const deck of DECKS) {
      const items = many('row-in-list', deck);
      const untold = items.filter(({ held, answers }) => held.answer.index === answers - 1);
      expect(untold.length, deck.id).toBeGreaterThan(20);
      expect(untold.length, deck.id).toBeLessThan(100);
      const right = new Set(items.map(({ held }) => held.answer.index));
      expect(right.size, deck.id).toBe(items[0].answers);
    }
  });

  it('tempo and key are seen only where there are columns for them', () => {
    const by = (deck: DeckProfile, what: string) =>
      many('row-in-list', deck).filter(
        ({ shown }) => shown.drill === 'row-in-list' && shown.wanted.by === what,
      );
    const told = (items: LoadingItem[]) => new Set(items.map((i) => i.held.answer.index < i.answers - 1));
    for (const deck of [poor, strip]) {
      expect([...told(by(deck, 'tempo')), ...told(by(deck, 'key'))]).toEqual([false, false]);
    }
    expect([...told(by(small, 'tempo')), ...told(by(small, 'key'))]).toEqual([true, false]);
    expect([...told(by(wide, 'tempo')), ...told(by(wide, 'key'))]).toEqual([true, true]);
  });

  it('reads the person’s own list where it is long enough', () => {
    const ids = (own: readonly ListedTrack[]) =>
      new Set(many('row-in-list', poor, own).map(({ held }) => held.trackId.split('-')[0]));
    expect([...ids(OWN)].sort()).toEqual(['own', 'practice']);
    expect([...ids(OWN.slice(0, 5))]).toEqual(['practice']);
  });
});

describe('the quickest way', () => {
  const titles = inOrder(PRACTICE_LIST).map(({ title }) => title);

  it('is the fewest presses that a search over all presses of the list finds', () => {
    for (const deck of DECKS) {
      for (const at of [30, 61, 110]) {
        const best = solve((profile) => findByLetter(profile, titles, titles[at]), deck);
        const presses = Math.min(...Object.values(pressesTo(at, titles, deck)));
        expect(best, `${deck.id} ${at}`).toMatchObject({ outcome: 'solved', presses });
      }
    }
  });

  it('is one that the deck has, and better than every other', () => {
    fc.assert(
      fc.property(anyDeck, seeds, (deck, seed) => {
        const item = made('way-to-row', deck, seed);
        if (item.shown.drill !== 'way-to-row') throw new Error('no list');
        const way = WAYS[item.held.answer.index];
        const { wanted } = item.shown;
        if (wanted.by === 'tempo') {
          expect(way).toBe(wayToTempo(deck));
          expect(way === 'filter').toBe(deck.list.trackFilter);
          expect(way === 'ahead').toBe(!deck.list.trackFilter && deck.list.columns < 3);
          return;
        }
        if (wanted.by !== 'title') throw new Error('asked by another thing');
        if (way === 'search') expect(deck.list.textSearch).toBe(true);
        if (way === 'letter') expect(deck.list.letterStrip).toBe(true);
        const { [way]: best, ...rest } = pressesTo(titles.indexOf(wanted.title), titles, deck);
        for (const other of Object.values(rest) as number[]) expect(other).toBeGreaterThan(best ?? 0);
      }),
      { numRuns: 100 },
    );
  });

  it('is another one on another deck', () => {
    const ways = (deck: DeckProfile) =>
      new Set(many('way-to-row', deck).map(({ held }) => WAYS[held.answer.index]));
    expect([...ways(wide)].sort()).toEqual(['filter', 'knob', 'search']);
    expect([...ways(strip)].sort()).toEqual(['ahead', 'letter']);
    expect([...ways(poor)].sort()).toEqual(['ahead', 'knob']);
  });
});

describe('items', () => {
  it('are the same again from key and seed, plain data, and tell nothing before the answer', () => {
    fc.assert(
      fc.property(fc.constantFrom(...DECKS), fc.constantFrom(...LOADING_KINDS), seeds, (deck, kind, seed) => {
        const item = made(kind, deck, seed, OWN);
        expect(made(kind, deck, seed, OWN)).toEqual(item);
        expect(structuredClone(item)).toEqual(item);
        const text = JSON.stringify(item.shown);
        expect(text).not.toMatch(/own-\d|practice|answer|index|meant|role|explanation/);
        expect(loadingQuestion(item.shown)).toMatch(/^[A-Z].*\?$/);
        expect(item.held.chance).toBeCloseTo(1 / item.answers, 9);
      }),
      { numRuns: 60 },
    );
  });

  it('are there for every deck, and gone with it', () => {
    expect(loadingKeys(DECKS)).toHaveLength(DECKS.length * LOADING_KINDS.length);
    const planned = { key: loadingKey(poor.id, 'loads-there'), seed: 3 };
    expect(loadingItemFor(planned, OWN, [wide], PRACTICE_LIST)).toBeNull();
    expect(
      loadingItemFor({ ...planned, key: 'overview-only/find-drop/drop' }, OWN, DECKS, PRACTICE_LIST),
    ).toBeNull();
  });
});
