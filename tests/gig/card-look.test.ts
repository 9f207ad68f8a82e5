/** The card as markup: what is in its model and nothing that could break out of it; where it is cut for paper. */
import { describe, expect, it } from 'vitest';
import type { DisplayColumns } from '../../shared/display/columns.ts';
import { lookAt, readinessOf } from '../../shared/gig/readiness.ts';
import { cardMarkup, cardPage } from '../../src/gig/card/markup.ts';
import { sidesOf } from '../../src/gig/card/sides.ts';
import { columnPaths, stripSvg } from '../../src/gig/card/strip-svg.ts';
import { beat, cue, DECKS, mark, poor, small } from '../survival/helpers.ts';
import { boothOf, entry, setOf, setTrack } from './helpers.ts';

const hostile = '<img src=x onerror=alert(1)> & "quotes" \'too\'';
const track = setTrack('a', {
  title: hostile,
  artist: hostile,
  markers: [
    cue('c', beat(64), 1, { name: hostile, colour: '#00c2ca', importance: 3 }),
    mark('m', beat(96), { name: hostile }),
  ],
});
const set = { ...setOf(entry(track, { note: hostile, mixIn: beat(64) })), name: hostile };
const booth = { ...boothOf(small, poor), name: hostile, notes: hostile };
const { card } = readinessOf(set, new Map([['a', lookAt(track, set, booth, DECKS)!]]), booth, DECKS);

describe('markup', () => {
  it('escapes every text, whoever wrote it', () => {
    for (const paper of ['a4', 'letter', 'phone'] as const) {
      const page = cardPage(card, { paper, sides: 'one' });
      expect(page).not.toContain('<img');
      expect(page.split('&lt;img src=x onerror=alert(1)&gt;').length).toBeGreaterThan(7);
      // Only tags that we write: every other "<" was escaped.
      const names = [...page.matchAll(/<\/?([a-z0-9]+)/gi)].map(([, name]) => name.toLowerCase());
      const ours =
        'html head meta title style body article header nav a section div span h1 h2 h3 h4 p b i dl dt dd ol ul li svg g path rect text';
      expect(names.filter((name) => !ours.split(' ').includes(name))).toEqual([]);
    }
  });

  it('tells mix points, cues in their slots, marks with letters, and reminders', () => {
    const markup = cardMarkup(card, { paper: 'a4', sides: 'two' });
    expect(markup).toMatch(/<dt>In<\/dt><dd><b>0:30\.\d<\/b> bar 17<\/dd>/);
    expect(markup).toContain('<dt>Out</dt><dd>not planned</dd>');
    expect(markup).toMatch(/aria-label="Slot 1"[^>]*>1</);
    expect(markup).toMatch(/<li><b>a<\/b> 0:45/);
    expect(markup.match(/class="bc-deck"/g)).toHaveLength(2);
    expect(markup).toContain('bc-two');
    expect(cardMarkup(card, { paper: 'phone', sides: 'two' })).toContain('bc-phone');
  });
});

describe('the strip', () => {
  const columns = (heights: number[]): DisplayColumns => ({
    kind: 'plain',
    startTime: 0,
    secondsPerColumn: 1,
    count: heights.length,
    heightSteps: 4,
    heights: [Uint16Array.from(heights)],
    colours: new Uint8Array(heights.length),
    colourSteps: 1,
    gridLines: [],
  });

  it('is the outline of the columns and nothing else', () => {
    expect(columnPaths(columns([1, 1, 3, 0, 2]))).toBe('<path d="M0 4V3H2V1H3V4zM4 4V2H5V4z"/>');
    expect(columnPaths(columns([0, 0]))).toBe('');
  });

  it('keeps labels apart, moves one that would be cut, and drops one that would stand elsewhere', () => {
    const labelsOf = (times: number[]) => {
      const svg = stripSvg({
        columns: columns([1]),
        duration: 100,
        title: 't',
        mixIn: null,
        mixOut: null,
        marks: times.map((time, i) => ({ time, label: 'abcdef'[i], shown: true })),
        cues: [],
      });
      return [...svg.matchAll(/<text x="([\d.]+)%"[^>]*>(\w)</g)].map(([, x, label]) => [label, Number(x)]);
    };
    expect(labelsOf([0, 50, 100])).toEqual([
      ['a', 1.8],
      ['b', 50],
      ['c', 98.2],
    ]);
    // The second gives way a little, the third would stand too far from its sign.
    expect(labelsOf([10, 12, 13, 40])).toEqual([
      ['a', 10],
      ['b', 13.6],
      ['d', 40],
    ]);
  });
});

describe('sides of paper', () => {
  it('are counted as a printer breaks them: a block goes on the next side, one that is too long is cut', () => {
    expect(sidesOf([], 100)).toBe(1);
    expect(sidesOf([40, 80, 100], 100)).toBe(1);
    expect(sidesOf([40, 80, 101], 100)).toBe(2);
    // 0–60, then 60–120 and 120–160 on the second side, 160–180 on the third.
    expect(sidesOf([60, 120, 160, 180], 100)).toBe(3);
    expect(sidesOf([250], 100)).toBe(3);
  });
});
