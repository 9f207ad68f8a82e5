import { describe, expect, it } from 'vitest';
import { applyRequest, confirmItem, confirmItems, withChange } from '../../shared/drills/confirm.ts';
import { explain } from '../../shared/drills/explain.ts';
import { makeItems } from '../../shared/drills/make.ts';
import { seeded } from '../../shared/drills/random.ts';
import { doubtsOf } from '../../shared/drills/sureness.ts';
import type { DrillItem, DrillTrack, EditRequest } from '../../shared/drills/types.ts';
import { confirmWords, doubtQuestions, phaseSentence, questionSentence } from '../../shared/drills/words.ts';
import { isDownbeat, mainTempo } from '../../shared/grid/grid.ts';
import { contrastAt, VISIBLE_CONTRAST } from '../../shared/survival/contrast.ts';
import { DECKS, LIBRARY, small, track, wide } from './tracks.ts';

const items = makeItems(LIBRARY, DECKS, { baselines: true }, seeded(3));
const deckOf = (item: DrillItem) => DECKS.find(({ id }) => id === item.shownDeckId) ?? wide;

describe('explanations', () => {
  it('are one sentence each, with both displays at the answer', () => {
    for (const item of items) {
      const { sentence, here, rich, contrastHere, giveaway } = explain(item, null, LIBRARY, DECKS);
      expect(sentence, item.id).toMatch(/^[A-Z][^]*\.$/);
      expect(sentence).not.toMatch(/undefined|NaN|null|Infinity|\{/);
      expect(questionSentence(item.shown.question)).toMatch(/[.?]$/);
      expect(here.columns.count).toBeGreaterThan(0);
      expect(rich.columns.count).toBeGreaterThan(0);
      const kinds = [wide.overview.kind, wide.waveform.kinds[0]];
      expect(kinds).toContain(rich.columns.kind);
      if (contrastHere !== null && contrastHere < VISIBLE_CONTRAST) expect(giveaway, item.id).toBeNull();
      if (giveaway && contrastHere !== null) expect(contrastHere).toBeGreaterThanOrEqual(VISIBLE_CONTRAST);
    }
  });

  it('tell parts of a beat as exactly as they can be seen', () => {
    expect(phaseSentence(-1 / 8, 1 / 16, 1 / 49)).toBe(
      'The other deck is 1/8 of a beat behind; this read-out shows 1/16 of a beat at the finest, the richest 1/50.',
    );
  });

  it('mark the answer’s column', () => {
    for (const item of items) {
      if (item.held.answer.type !== 'time') continue;
      const { here } = explain(item, null, LIBRARY, DECKS);
      const { startTime, secondsPerColumn } = here.columns;
      const from = startTime + (here.markColumn ?? -1) * secondsPerColumn;
      expect(item.held.answer.time).toBeGreaterThanOrEqual(from - 1e-6);
      expect(item.held.answer.time).toBeLessThanOrEqual(from + secondsPerColumn + 1e-6);
    }
  });

  it('measure a change on the very display that was shown', () => {
    const found = items.filter(({ drill }) => drill === 'find-breakdown' || drill === 'bars-to-change');
    expect(found.length).toBeGreaterThan(5);
    for (const item of found) {
      const { analysis } = LIBRARY.find(({ id }) => id === item.held.trackId) ?? LIBRARY[0];
      const deck = deckOf(item);
      const scrolling = item.held.view === 'scrolling';
      const seen = { ...deck, waveform: { ...deck.waveform, scrolling } };
      const { contrastHere } = explain(item, null, LIBRARY, DECKS);
      expect(contrastHere).toBe(contrastAt(analysis, seen, item.held.time)?.value);
    }
  });

  it('tell what sets the strip that was taken apart from the right one', () => {
    const item = items.find(({ drill, deckId }) => drill === 'heard-strip' && deckId === small.id);
    if (item?.held.answer.type !== 'choice') throw new Error('no such item');
    const { index } = item.held.answer;
    const wrong = explain(item, { value: (index + 1) % 4 }, LIBRARY, DECKS).sentence;
    expect(wrong).toContain('the one you took');
    expect(explain(item, { value: index }, LIBRARY, DECKS).sentence).toContain('the strip nearest to it');
  });

  it('fail plainly when the track is gone', () => {
    expect(() => explain(items[0], null, [], DECKS)).toThrow(RangeError);
    expect(() => explain(items[0], null, LIBRARY, [])).toThrow(RangeError);
  });
});

describe('confirm first', () => {
  const doubtful = (grid: Partial<DrillTrack['analysis']['grid']>): DrillTrack => {
    const made = track({ seed: 4 });
    return { ...made, analysis: { ...made.analysis, grid: { ...made.analysis.grid, ...grid } } };
  };
  const unsure = doubtful({ confidence: 0.5, downbeatConfidence: 0.5 });
  const request = (of: DrillTrack, word: string) =>
    confirmItem(of, wide)?.choices.find((choice) => choice.word === word)?.request as EditRequest;
  const after = (of: DrillTrack, word: string) => {
    const change = applyRequest(of, request(of, word));
    if (!change) throw new Error('nothing changed');
    return withChange(of, change);
  };

  it('asks about the tracks in doubt only, each about its first doubt', () => {
    expect(confirmItems(LIBRARY, wide)).toEqual([]);
    const sections = { ...unsure.analysis, grid: LIBRARY[0].analysis.grid };
    const weak = {
      ...unsure,
      analysis: { ...sections, sections: sections.sections.map((s) => ({ ...s, strength: 0 })) },
    };
    const found = confirmItems([unsure, doubtful({ downbeatConfidence: 0.3 }), weak], wide);
    expect(found.map(({ doubt }) => doubt)).toEqual(['grid', 'downbeat', 'sections']);
    for (const { doubt, choices, sound, strip } of found) {
      expect(doubtQuestions[doubt]).toMatch(/\?$/);
      for (const { word } of choices) expect(confirmWords[word]).toBeTruthy();
      expect(sound.endTime - sound.startTime).toBeCloseTo(16, 6);
      expect(strip.columns.count).toBeGreaterThan(100);
      expect(strip.columns.gridLines.length > 0).toBe(doubt !== 'sections');
    }
    expect(confirmItems([{ ...unsure, analysis: { ...unsure.analysis, silent: true } }], wide)).toEqual([]);
  });

  it('takes the answer back to the track, which then is asked about', () => {
    expect(doubtsOf(after(unsure, 'right'))).toEqual([]);
    expect(mainTempo(after(unsure, 'half').analysis.grid)).toBeCloseTo(64, 9);
    expect(mainTempo(after(unsure, 'double').analysis.grid)).toBeCloseTo(256, 9);
    const bars = doubtful({ downbeatConfidence: 0.3 });
    const turned = after(bars, 'beat-later').analysis.grid;
    expect(isDownbeat(bars.analysis.grid, 4)).toBe(true);
    expect(isDownbeat(turned, 5)).toBe(true);
    expect(isDownbeat(after(bars, 'beat-earlier').analysis.grid, 3)).toBe(true);
    expect(makeItems([after(bars, 'right')], DECKS, { drills: ['find-drop'] }, seeded(1)).length).toBe(4);
    const weak = { ...bars, analysis: { ...bars.analysis, grid: LIBRARY[0].analysis.grid } };
    const unnamed = {
      ...weak,
      analysis: { ...weak.analysis, sections: weak.analysis.sections.map((s) => ({ ...s, strength: 0 })) },
    };
    expect(after(unnamed, 'right').analysis.sections.every(({ byHand }) => byHand)).toBe(true);
    expect(doubtsOf(after(unnamed, 'right'))).toEqual([]);
  });

  it('leaves the rest to the screen, and the track as it was', () => {
    expect(applyRequest(unsure, request(unsure, 'by-hand'))).toBeNull();
    expect(request(unsure, 'leave-out')).toBeNull();
    expect(doubtsOf(unsure)).toEqual(['grid']);
    expect(request(unsure, 'by-hand')).toMatchObject({ action: 'open-editor', what: 'grid' });
  });
});
