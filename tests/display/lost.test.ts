/** The legend: what a deck no longer shows. */
import { describe, expect, it } from 'vitest';
import { MAX_LOSSES_IN_LINE, lostFacts, lostSentence } from '../../shared/display/lost.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { shippedDeck } from '../profiles/files.ts';

const wide = shippedDeck('wide-touch');
const small = shippedDeck('small-touch');
const strip = shippedDeck('touch-strip');
const poor = shippedDeck('overview-only');

const keys = (richest: DeckProfile, deck: DeckProfile) =>
  lostFacts(richest, deck, 360).map((loss) => loss.key);

/** A deck with some facts of one group changed. */
function but<G extends 'waveform' | 'overview' | 'hotCues' | 'phase' | 'marks'>(
  deck: DeckProfile,
  group: G,
  change: Partial<DeckProfile[G]>,
): DeckProfile {
  return { ...deck, [group]: { ...deck[group], ...change } };
}

describe('the losses of a deck', () => {
  it('are none against itself, and none against a poorer one', () => {
    for (const deck of [wide, small, strip, poor]) expect(keys(deck, deck)).toEqual([]);
    for (const deck of [wide, small, strip]) expect(keys(poor, deck)).toEqual([]);
  });

  it('of the shipped decks are what their profiles say', () => {
    expect(keys(wide, small)).toEqual([
      'oneHue',
      'phaseTicks',
      'fewerMarks',
      'nothingWider',
      'fewerHeights',
      'overviewColumns',
    ]);
    expect(keys(wide, strip)).toEqual(
      expect.arrayContaining(['noBars', 'gridAtEdge', 'oneHue', 'phaseBlocks', 'fewerCues', 'cuesOneColour']),
    );
    expect(keys(wide, poor)).toEqual([
      'noScrolling',
      'noGrid',
      'noColour',
      'noPhase',
      'noMarks',
      'fewerCues',
      'cuesOneColour',
      'overviewColumns',
    ]);
  });

  it.each<[string, DeckProfile]>([
    ['noGrid', but(wide, 'waveform', { grid: 'none', gridPlace: 'nowhere' })],
    ['noBars', but(wide, 'waveform', { grid: 'beats' })],
    ['gridAtEdge', but(wide, 'waveform', { gridPlace: 'edge-marks' })],
    ['noHue', but(wide, 'waveform', { kinds: ['single'] })],
    ['oneHue', but(wide, 'waveform', { kinds: ['tint', 'single'] })],
    ['noPhase', but(wide, 'phase', { readout: 'none' })],
    ['fewerMarks', but(wide, 'marks', { limit: 1 })],
    ['noMarks', but(wide, 'marks', { shown: false, limit: 0 })],
    ['cuesOneColour', but(wide, 'hotCues', { colours: 'one' })],
    ['fewerCues', but(wide, 'hotCues', { slots: 7 })],
    ['nothingCloser', but(wide, 'waveform', { zoomSeconds: [7, 48] })],
    ['nothingWider', but(wide, 'waveform', { zoomSeconds: [6, 24] })],
    ['fewerHeights', but(wide, 'waveform', { heightSteps: 71 })],
    ['overviewColumns', but(wide, 'overview', { columns: 1199 })],
  ])('%s follows from its one fact alone', (key, deck) => {
    expect(keys(wide, deck)).toEqual([key]);
  });

  it('tell how long one column of the overview is', () => {
    expect(lostFacts(wide, poor, 360).at(-1)).toEqual({
      key: 'overviewColumns',
      params: { columns: 400, seconds: 0.9 },
    });
  });
});

describe('the sentence', () => {
  it('is one line with the weightiest losses and the coarseness of the overview', () => {
    expect(lostSentence(wide, poor, 360)).toBe(
      'No scrolling waveform, no grid, no colour for bass or treble, and 4 more; overview of 400 columns, 0.9 s each.',
    );
  });

  it('names everything when asked to', () => {
    const whole = lostSentence(wide, poor, 360, 'en-GB', Infinity);
    expect(whole).not.toContain(' more');
    expect(whole.split(';')[0].split(', ')).toHaveLength(lostFacts(wide, poor, 360).length - 1);
  });

  it('says so where nothing is lost', () => {
    expect(lostSentence(wide, wide, 360)).toBe(
      'Nothing is lost here against the richest deck on the ladder.',
    );
  });

  it('leaves no gap unfilled, for any pair and duration', () => {
    for (const richest of [wide, small, strip, poor]) {
      for (const deck of [wide, small, strip, poor]) {
        for (const duration of [0, 0.4, 61.3, 7200]) {
          const line = lostSentence(richest, deck, duration);
          expect(line).toMatch(/^[A-Z0-9].*\.$/);
          expect(line).not.toMatch(/[{}]|undefined|NaN|Infinity/);
          expect(line.split(';')[0].split(', ').length).toBeLessThanOrEqual(MAX_LOSSES_IN_LINE + 1);
        }
      }
    }
  });

  it('writes numbers as the language does', () => {
    expect(lostSentence(wide, poor, 360, 'de')).toContain('0,9 s');
  });
});
