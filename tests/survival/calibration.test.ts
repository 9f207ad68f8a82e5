/** What no change gives, what real changes give: the two sides of VISIBLE_CONTRAST, on rendered music. */
import { describe, expect, it } from 'vitest';
import { renderTrack } from '../../demo/render.ts';
import { SCENARIO } from '../../demo/scenario.ts';
import { truthGrid } from '../../demo/truth.ts';
import { contrastAt, VISIBLE_CONTRAST } from '../../shared/survival/contrast.ts';
import { WINDOW_BARS } from '../../shared/survival/windows.ts';
import { featuresOf, gridOf, type Part, render } from '../structure/arrangement.ts';
import { DECKS } from './helpers.ts';

const PARTS: Part[] = [
  { label: 'kick', bars: 32, kick: true },
  { label: 'all', bars: 48, kick: true, hats: true, bass: true, pad: true },
  { label: 'pad', bars: 32, pad: true },
  { label: 'no pad', bars: 32, kick: true, hats: true, bass: true },
];
/** Places per bar at which no change is measured; a prime number, so that they are not all on beats. */
const PLACES = 3;
const DEMO_RATE = 22050;

const percentile = (values: number[], share: number) =>
  [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(share * values.length))];

describe('inside parts that do not change', () => {
  const nulls = DECKS.map(() => [] as number[]);
  for (const [seed, bpm] of [124.3, 132, 174].entries()) {
    const { samples, starts } = render({ bpm, parts: PARTS, seed: seed + 1, lead: 0.2 });
    const { pyramid, duration } = featuresOf(samples);
    const track = { pyramid, duration, grid: gridOf({ bpm, parts: PARTS, lead: 0.2 }, duration) };
    const bar = 240 / bpm;
    for (const [i, start] of starts.entries()) {
      for (let n = 0; n <= (PARTS[i].bars - 2 * WINDOW_BARS) * PLACES; n++) {
        const time = start + (WINDOW_BARS + n / PLACES) * bar;
        DECKS.forEach((deck, d) => {
          const contrast = contrastAt(track, deck, time);
          if (contrast?.windowBars === WINDOW_BARS) nulls[d].push(contrast.value);
        });
      }
    }
  }

  it.each(DECKS.map((deck, d) => [deck.name, nulls[d]] as const))('on %s', (name, values) => {
    const top = percentile(values, 0.95);
    console.log(
      `${name}: ${values.length} places without a change, 95th percentile ${top.toFixed(3)}, largest ${Math.max(...values).toFixed(3)}`,
    );
    expect(values.length).toBeGreaterThan(400);
    expect(top).toBeLessThan(VISIBLE_CONTRAST / 2);
    expect(Math.max(...values)).toBeLessThan(VISIBLE_CONTRAST);
  });
});

describe('the section changes of the demo set', () => {
  const changes = SCENARIO.tracks.flatMap(({ id }) => {
    const { left, right, truth } = renderTrack(id, DEMO_RATE);
    const { pyramid, duration } = featuresOf(
      left.map((x, i) => (x + right[i]) / 2),
      DEMO_RATE,
    );
    const track = { pyramid, duration, grid: truthGrid(truth) };
    return truth.sections.slice(1).map(({ startTime, label }) => ({
      what: `${id}: ${label}`,
      values: DECKS.map((deck) => contrastAt(track, deck, startTime)!.value),
    }));
  });

  it('are all seen on the richest deck', () => {
    console.log(
      changes.map(({ what, values }) => `${what} ${values.map((v) => v.toFixed(2)).join(' ')}`).join('\n'),
    );
    expect(changes.filter(({ values }) => values[0] < VISIBLE_CONTRAST)).toEqual([]);
  });

  it('are seen less often the poorer the deck', () => {
    const seen = DECKS.map((_, d) => changes.filter(({ values }) => values[d] >= VISIBLE_CONTRAST).length);
    expect(seen).toEqual([...seen].sort((a, b) => b - a));
    expect(seen[3]).toBeLessThan(seen[0]);
    // The breakdowns are seen on all of them.
    const breakdowns = changes.filter(({ what }) => what.endsWith('breakdown'));
    expect(breakdowns.length).toBeGreaterThanOrEqual(5);
    for (const { values } of breakdowns) expect(Math.min(...values)).toBeGreaterThan(0.6);
  });
});
