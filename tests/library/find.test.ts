import { describe, expect, test } from 'vitest';
import { findTracks, type Wish } from '../../src/library/find.ts';
import { record } from './helpers.ts';

const summary = record('x').summary;
const TRACKS = [
  record('a', { tags: { ...record('a').tags, title: 'Nachtbus', artist: 'Ötte Brandt' }, addedAt: 3 }),
  record('b', {
    tags: { ...record('b').tags, title: 'Slow Lamp 10', artist: 'Marl Quay' },
    summary: { ...summary, tempo: 87.5, tempoConfidence: 0.3 },
    addedAt: 1,
  }),
  record('c', {
    tags: { ...record('c').tags, title: 'Slow Lamp 9', artist: 'Marl Quay' },
    summary: { ...summary, tempo: null },
    addedAt: 2,
  }),
];
const ids = (wish: Partial<Wish>, has: (id: string) => boolean = () => true) =>
  findTracks(TRACKS, { query: '', shown: 'all', order: 'mine', ...wish }, (t) => has(t.id)).map((t) => t.id);

describe('finding tracks', () => {
  test('every word must be there, in any field, without regard to accents and capitals', () => {
    expect(ids({ query: 'OTTE' })).toEqual(['a']);
    expect(ids({ query: 'quay slow' })).toEqual(['b', 'c']);
    expect(ids({ query: ' lamp  87.50 ' })).toEqual(['b']);
    expect(ids({ query: 'otte lamp' })).toEqual([]);
    expect(ids({ query: '' })).toEqual(['a', 'b', 'c']);
  });

  test('filters', () => {
    expect(ids({ shown: 'unsure' })).toEqual(['b', 'c']);
    expect(ids({ shown: 'silent' }, (id) => id !== 'b')).toEqual(['b']);
    expect(ids({ shown: 'partial' })).toEqual([]);
    expect(ids({ shown: 'unsure', query: '10' })).toEqual(['b']);
  });

  test('orders: numbers in titles by their size, no tempo last', () => {
    expect(ids({ order: 'title' })).toEqual(['a', 'c', 'b']);
    expect(ids({ order: 'tempo' })).toEqual(['b', 'a', 'c']);
    expect(ids({ order: 'artist' })).toEqual(['c', 'b', 'a']);
    expect(ids({ order: 'newest' })).toEqual(['a', 'c', 'b']);
  });
});
