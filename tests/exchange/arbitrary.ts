/** Any markers that a track can have, and how far two sets of them lie apart. */
import fc from 'fast-check';
import { MAX_NAME_LENGTH, MAX_SLOT, inOrder, type Marker } from '../../shared/markers/marker.ts';

/** s; longer than any set */
const LATEST = 7 * 3600;

const NASTY = [
  '',
  ' ',
  '  Drop  ',
  'Back to "one"',
  "'=1+1",
  '=HYPERLINK("x")',
  '-->',
  'a --> b & <c> &amp; &lt;',
  'two\nlines\r\nor three',
  'tab\tand\0nul',
  'TITLE "x"',
  'boothproof {"kind":"mark"}',
  'Überschlag – ночь 夜 🎛️',
  '\ufeffmark',
  'line\u2028separator',
  'comma, semicolon; quote"',
  'x'.repeat(MAX_NAME_LENGTH),
];

const name = fc.oneof(
  fc.constantFrom(...NASTY),
  fc.string({ unit: 'grapheme', maxLength: 12 }),
  fc.string({ unit: 'binary', maxLength: MAX_NAME_LENGTH / 2 }),
);

const id = fc.oneof(
  fc.uuid(),
  fc.string({ unit: 'binary', minLength: 1, maxLength: 30 }),
  fc.constantFrom('read-1', 'read-2', '__proto__'),
);

const plus = (x: number) => (x === 0 ? 0 : x);
const time = fc.oneof(
  fc.double({ min: 0, max: LATEST, noNaN: true }).map(plus),
  fc.double({ min: 0, max: 400, noNaN: true }).map(plus),
  fc.integer({ min: 0, max: 400 }),
  // Close together, so that some fall on one unit of a format.
  fc.integer({ min: 0, max: 40 }).map((n) => 60 + n / 1000),
);

const importance = fc.constantFrom(1 as const, 2 as const, 3 as const);

const cue = fc.record({
  kind: fc.constant('cue' as const),
  id,
  time,
  name,
  importance,
  slot: fc.option(fc.integer({ min: 1, max: MAX_SLOT })),
  colour: fc.option(fc.integer({ min: 0, max: 0xffffff }).map((n) => `#${n.toString(16).padStart(6, '0')}`)),
});
const mark = fc.record({ kind: fc.constant('mark' as const), id, time, name, importance });
const loop = fc
  .record({
    kind: fc.constant('loop' as const),
    id,
    time,
    name,
    importance,
    length: fc.oneof(fc.double({ min: 1e-6, max: 300, noNaN: true }), fc.constantFrom(0.0001, 0.5, 4)),
    beats: fc.option(
      fc.oneof(fc.constantFrom(0.03125, 0.5, 1, 4, 4096), fc.double({ min: 1e-3, max: 64, noNaN: true })),
    ),
  })
  .map(({ length, ...rest }) => ({ ...rest, endTime: rest.time + length }));

const kept = (markers: Marker[]): Marker[] => {
  const ids = new Set<string>();
  const slots = new Set<number>();
  return markers.filter((m) => {
    if (ids.has(m.id)) return false;
    ids.add(m.id);
    if (m.kind !== 'cue' || m.slot === null) return true;
    if (slots.has(m.slot)) return false;
    slots.add(m.slot);
    return true;
  });
};

/** Sets that pass `faultOf`, in any order. @param most number of markers */
export const anyMarkers = (most = 12): fc.Arbitrary<Marker[]> =>
  fc.array(fc.oneof(cue, mark, loop) as fc.Arbitrary<Marker>, { maxLength: most }).map(kept);

/** Asserts nothing itself: what differs beyond the times, and by how many s times and ends differ at most. */
export function apart(a: readonly Marker[], b: readonly Marker[]): { rest: [unknown, unknown]; by: number } {
  const still = (m: Marker) => {
    const { time: _time, ...rest } = m;
    if (rest.kind === 'loop') return { ...rest, endTime: null };
    return rest;
  };
  const byId = (list: readonly Marker[]) => new Map(list.map((m) => [m.id, m]));
  const other = byId(b);
  let by = 0;
  for (const m of a) {
    const n = other.get(m.id);
    if (!n) continue;
    by = Math.max(by, Math.abs(m.time - n.time));
    if (m.kind === 'loop' && n.kind === 'loop') by = Math.max(by, Math.abs(m.endTime - n.endTime));
  }
  const sorted = (list: readonly Marker[]) =>
    [...list].sort((x, y) => (x.id < y.id ? -1 : Number(x.id > y.id))).map(still);
  return { rest: [sorted(a), sorted(b)], by };
}

/** Marks of a plain track, for worked examples. */
export const EXAMPLE: Marker[] = inOrder([
  { kind: 'cue', id: 'a', time: 0.512, name: 'First beat', importance: 3, slot: 1, colour: '#c05a2b' },
  { kind: 'mark', id: 'b', time: 61.25, name: 'Drop', importance: 2 },
  { kind: 'loop', id: 'c', time: 183.0625, name: '', importance: 1, endTime: 190.5625, beats: 16 },
  {
    kind: 'cue',
    id: 'd',
    time: 245.5,
    name: 'Last "clean" <32> & out',
    importance: 2,
    slot: null,
    colour: null,
  },
]);
