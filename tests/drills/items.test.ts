import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bassByBar, firstKick } from '../../shared/drills/bass.ts';
import { CLASHES_FROM_DB, FITS_WITHIN_DB } from '../../shared/drills/kinds/clash.ts';
import { DRILLS } from '../../shared/drills/kinds/index.ts';
import { overviewSize } from '../../shared/drills/kinds/size.ts';
import { availableKeys, itemFor, keyOf, makeItems, tracksFor } from '../../shared/drills/make.ts';
import { seeded } from '../../shared/drills/random.ts';
import { BOUNDARY_SURE, doubtsOf, DOWNBEAT_SURE, GRID_SURE } from '../../shared/drills/sureness.ts';
import { DRILL_KINDS, type DrillItem, type DrillKind } from '../../shared/drills/types.ts';
import { timeOfBeat } from '../../shared/grid/grid.ts';
import { DECKS, LIBRARY, poor, printed, small, strip, wide } from './tracks.ts';

const items = makeItems(LIBRARY, DECKS, { perKey: 3, baselines: true, withSound: true }, seeded(11));
const of = (drill: DrillKind, deckId?: string) =>
  items.filter((item) => item.drill === drill && (!deckId || item.deckId === deckId));
const trackOf = (item: DrillItem) => LIBRARY.find(({ id }) => id === item.held.trackId) ?? LIBRARY[0];
const deckOf = (item: DrillItem) => DECKS.find(({ id }) => id === item.deckId) ?? wide;
/** Bars from the grid's first beat. */
const bar = (item: DrillItem, n: number) => timeOfBeat(trackOf(item).analysis.grid, n * 4);

describe('items of every kind', () => {
  it('are made, for every deck that can ask them', () => {
    for (const drill of DRILL_KINDS) expect(of(drill).length, drill).toBeGreaterThan(0);
    for (const key of availableKeys(LIBRARY, DECKS)) {
      expect(items.filter((item) => item.key === key.key && !item.baseline).length, key.key).toBe(3);
    }
  });

  it('are absent where the deck cannot ask them', () => {
    const drillsOn = (deckId: string) =>
      new Set(items.filter((i) => i.deckId === deckId).map((i) => i.drill));
    expect(drillsOn('overview-only')).not.toContain('bars-to-change');
    expect(drillsOn('overview-only')).not.toContain('phase-compare');
    expect(drillsOn('wide-touch')).not.toContain('same-on-rich');
    expect(drillsOn('small-touch').size).toBe(DRILL_KINDS.length);
  });

  it('show the trained deck, or for a baseline the richest, and nothing of another', () => {
    for (const item of items) {
      expect(item.shownDeckId).toBe(item.baseline ? 'wide-touch' : item.deckId);
      const deck = DECKS.find(({ id }) => id === item.shownDeckId) ?? wide;
      const main = item.shown.main;
      if (!main) continue;
      const whole = item.held.view === 'overview';
      expect(main.columns.kind).toBe(whole ? deck.overview.kind : deck.waveform.kinds[0]);
      expect(main.columns.heightSteps).toBe(whole ? deck.overview.heightSteps : deck.waveform.heightSteps);
    }
    expect(items.filter((item) => item.baseline).length).toBeGreaterThan(20);
    expect(items.filter((item) => item.baseline && item.deckId === 'wide-touch')).toEqual([]);
  });
});

describe('answers come from grid and structure', () => {
  it('drops, breakdowns, first kick and the way out', () => {
    for (const item of of('find-drop')) {
      const { nth } = item.shown.question.params;
      const time = bar(item, nth === 1 ? 24 : 64);
      expect(item.held.answer).toEqual({ type: 'time', time: expect.closeTo(time, 6) as number });
    }
    for (const item of of('find-breakdown')) {
      expect(item.held.answer).toMatchObject({ time: expect.closeTo(bar(item, 48), 6) as number });
    }
    for (const item of of('find-first-kick')) {
      expect(item.held.answer).toMatchObject({ time: expect.closeTo(bar(item, 24), 6) as number });
    }
    for (const item of of('find-mix-out')) {
      expect(item.held.answer).toMatchObject({ time: expect.closeTo(bar(item, 88), 6) as number });
    }
  });

  it('drops and breakdowns at the size of the deck’s own screen', () => {
    for (const item of of('own-size')) {
      const { nth, drop } = item.shown.question.params;
      const time = bar(item, drop ? (nth === 1 ? 24 : 64) : 48);
      expect(item.held.answer).toEqual({ type: 'time', time: expect.closeTo(time, 6) as number });
      expect(item.section).toBe(drop ? 'drop' : 'breakdown');
      expect(item.shown.size).toEqual(overviewSize(item.baseline ? wide : deckOf(item)));
    }
    // 5 inches across 420 by 96 pixels, of which the overview has 400; 9 across 1280 by 720, of which it has 1200.
    expect(overviewSize(poor).width).toBeCloseTo((400 * 5) / Math.hypot(420, 96), 9);
    expect(overviewSize(wide).width).toBeCloseTo((1200 * 9) / Math.hypot(1280, 720), 9);
    expect(overviewSize(poor).height).toBeLessThan(overviewSize(wide).height / 3);
  });

  it('bars from the playhead to the change, which lies within the picture', () => {
    for (const item of of('bars-to-change')) {
      const { answer, time, barSeconds } = item.held;
      const { columns, markColumn } = item.shown.main ?? { columns: null, markColumn: null };
      if (answer.type !== 'bars' || !columns || markColumn === null) throw new Error('no such answer');
      const playhead = columns.startTime + markColumn * columns.secondsPerColumn;
      expect(Math.abs((time - playhead) / barSeconds - answer.bars)).toBeLessThan(0.1);
      expect(trackOf(item).analysis.sections.some((s) => Math.abs(s.startTime - time) < 1e-6)).toBe(true);
      expect(time + 0.9 * barSeconds).toBeLessThan(
        columns.startTime + columns.count * columns.secondsPerColumn,
      );
      expect(item.shown.ask).toMatchObject({ by: 'number', from: 1 });
    }
  });

  it('bass in or out', () => {
    for (const item of of('bass-here')) {
      const section = trackOf(item).analysis.sections.findLast((s) => s.startTime <= item.held.time);
      const isIn = section?.label === 'drop' || section?.label === 'outro';
      expect(item.held.answer, section?.label).toEqual({ type: 'choice', index: isIn ? 1 : 0 });
    }
  });

  it('the strip that is heard, and the same on the richest, is the right one and no other looks like it', () => {
    for (const item of [...of('heard-strip'), ...of('same-on-rich')]) {
      const { answer, options, trackId } = item.held;
      if (answer.type !== 'choice') throw new Error('no such answer');
      expect(options).toHaveLength(4);
      expect(options[answer.index].trackId).toBe(trackId);
      const pictures = item.shown.options.map((option) => printed({ ...item.shown, options: [option] }));
      expect(new Set(pictures).size).toBe(4);
    }
    for (const item of of('heard-strip')) {
      expect(item.sound?.trackId).toBe(item.held.trackId);
      if (item.held.view === 'overview' || item.held.answer.type !== 'choice') continue;
      expect(item.sound?.startTime).toBe(item.held.options[item.held.answer.index].time);
    }
  });

  it('the time at the mark', () => {
    for (const item of of('read-time')) {
      const { columns, markColumn } = item.shown.main ?? { columns: null, markColumn: null };
      if (!columns || markColumn === null) throw new Error('no mark');
      expect(item.held.answer).toMatchObject({
        time: expect.closeTo((markColumn + 0.5) * columns.secondsPerColumn, 9) as number,
      });
    }
  });

  it('the other deck is ahead, behind or together by what its read-out shows', () => {
    const seen = new Set<string>();
    for (const item of of('phase-compare')) {
      const { answer, offsetBeats } = item.held;
      const phase = item.shown.phase;
      if (answer.type !== 'choice' || offsetBeats === null || !phase) throw new Error('no such answer');
      expect(Math.sign(offsetBeats)).toBe(answer.index - 1);
      seen.add(`${phase.readout} ${answer.index}`);
      if (phase.readout === 'four-blocks') {
        const same = phase.frames.every(({ here, other }) => here === other);
        expect(same).toBe(offsetBeats === 0);
        // Ahead: the other one reaches the next block first.
        const first = phase.frames.find(({ here, other }) => here !== other);
        if (first) expect((first.other - first.here + 4) % 4 === 1).toBe(offsetBeats > 0);
      }
      if (phase.readout === 'bar-beat-ticks') {
        const downbeat = (ticks: typeof phase.here) =>
          ticks.filter(({ kind }) => kind === 'downbeat').map(({ column }) => column);
        // A deck that is ahead has its bar lines further to the left.
        const perBar = phase.columns / 2;
        const apart = downbeat(phase.other)[0] - downbeat(phase.here)[0];
        const shift = ((apart + 1.5 * perBar) % perBar) - perBar / 2;
        expect(Math.sign(Math.round(shift)) + 0).toBe(-Math.sign(offsetBeats) + 0);
      }
    }
    for (const readout of ['four-blocks', 'bar-beat-ticks', 'stacked-waveforms']) {
      for (const index of [0, 1, 2]) expect(seen).toContain(`${readout} ${index}`);
    }
  });

  it('one track clashes in energy and the other three do not', () => {
    // Mean power of eight bars, straight from the finest columns.
    const levelDb = (trackId: string, time: number) => {
      const { pyramid, grid } = (LIBRARY.find(({ id }) => id === trackId) ?? LIBRARY[0]).analysis;
      const [fine] = pyramid.levels;
      const to = time + (32 * 60) / grid.segments[0].bpm;
      const part = fine.rms[3].slice(Math.round(time / fine.hop), Math.round(to / fine.hop));
      return 10 * Math.log10(part.reduce((sum, x) => sum + x * x, 0) / part.length);
    };
    for (const { held } of of('energy-clash')) {
      if (held.answer.type !== 'choice') throw new Error('no such answer');
      const here = levelDb(held.trackId, held.time);
      const apart = held.options.map(({ trackId, time }) => Math.abs(levelDb(trackId, time) - here));
      const [clash] = apart.splice(held.answer.index, 1);
      expect(clash).toBeGreaterThan(CLASHES_FROM_DB - 0.2);
      for (const fit of apart) expect(fit).toBeLessThan(FITS_WITHIN_DB + 0.2);
    }
  });

  it('the first kick and the bass of a track that starts with it are not asked for', () => {
    const { grid, sections } = LIBRARY[0].analysis;
    expect(firstKick(LIBRARY[0])).toBeCloseTo(timeOfBeat(grid, 96), 6);
    const from = Math.round(sections[2].startTime / 0.01);
    const full = LIBRARY[0].analysis.pyramid.levels[0].peak[0];
    expect(Math.max(...full.slice(0, from - 10))).toBeLessThan(0.1);
    expect(
      bassByBar(LIBRARY[0])
        .map(({ state }) => state)
        .slice(30, 40),
    ).toEqual(Array(10).fill('in'));
  });
});

describe('only sure tracks', () => {
  const with_ = (changes: Partial<(typeof LIBRARY)[0]['analysis']>, more = {}) => ({
    ...LIBRARY[0],
    analysis: { ...LIBRARY[0].analysis, ...changes },
    ...more,
  });
  const { grid, sections } = LIBRARY[0].analysis;
  const gridUnsure = with_({ grid: { ...grid, confidence: GRID_SURE - 0.01 } });
  const downbeatUnsure = with_({ grid: { ...grid, downbeatConfidence: DOWNBEAT_SURE - 0.01 } });
  const sectionsUnsure = with_({
    sections: sections.map((s) => ({ ...s, strength: BOUNDARY_SURE - 0.01 })),
  });

  it('names the doubts, and takes the person’s word for it', () => {
    expect(doubtsOf(LIBRARY[0])).toEqual([]);
    expect(doubtsOf(gridUnsure)).toEqual(['grid']);
    expect(doubtsOf(downbeatUnsure)).toEqual(['downbeat']);
    expect(doubtsOf(sectionsUnsure)).toEqual(['sections']);
    expect(doubtsOf({ ...gridUnsure, gridByHand: true })).toEqual([]);
    expect(doubtsOf({ ...sectionsUnsure, sectionsByHand: true })).toEqual([]);
  });

  it('makes no item about a track in doubt, nor with one as another choice', () => {
    const doubtful = [gridUnsure, sectionsUnsure].map((t, i) => ({ ...t, id: `doubtful-${i}` }));
    const made = makeItems([...LIBRARY, ...doubtful], DECKS, { perKey: 4 }, seeded(5));
    expect(made.length).toBeGreaterThan(400);
    for (const { held } of made) {
      for (const id of [held.trackId, ...held.options.map((o) => o.trackId)]) expect(id).toMatch(/^track-/);
    }
    expect(makeItems(doubtful, DECKS, {}, seeded(5))).toEqual([]);
  });

  it('counts bars and compares phases only where the downbeat is sure', () => {
    for (const drill of DRILL_KINDS) {
      const counts = drill === 'bars-to-change' || drill === 'phase-compare';
      expect(tracksFor(drill, [downbeatUnsure]).length, drill).toBe(counts ? 0 : 1);
    }
  });

  it('asks for no boundary that is weak, in a track whose others are sharp', () => {
    const weak = with_({ sections: sections.map((s, i) => (i === 3 ? { ...s, strength: 0.1 } : s)) });
    expect(doubtsOf(weak)).toEqual([]);
    const keys = availableKeys([weak, ...LIBRARY.slice(1)], DECKS);
    expect(keys.some(({ drill }) => drill === 'find-breakdown')).toBe(true);
    expect(DRILLS['find-breakdown'].places(weak, small, [weak])).toEqual([]);
    expect(DRILLS['find-drop'].places(weak, small, [weak])).toHaveLength(2);
  });

  it('leaves out silent and cut tracks', () => {
    const cut = with_({ partial: { reason: 'truncated', sentence: '' } });
    expect(makeItems([with_({ silent: true }), cut], DECKS, {}, seeded(1))).toEqual([]);
  });
});

describe('the same item after a reload', () => {
  it('from key and seed, whatever was made in between', () => {
    fc.assert(
      fc.property(fc.constantFrom(...items), fc.nat(1000), (item, other) => {
        const seed = Number(item.id.split('/')[3]);
        const planned = { key: item.key, seed, baseline: item.baseline, withSound: true };
        itemFor({ ...planned, seed: other }, LIBRARY, DECKS);
        expect(itemFor(planned, LIBRARY, DECKS)).toEqual(item);
      }),
      { numRuns: 40 },
    );
  });

  it('is null when nothing of the kind is left', () => {
    const planned = { key: keyOf(small.id, 'find-drop', 'drop'), seed: 3, baseline: false, withSound: false };
    expect(itemFor(planned, LIBRARY, DECKS)).not.toBeNull();
    expect(itemFor(planned, [], DECKS)).toBeNull();
    expect(itemFor(planned, LIBRARY, [strip, poor])).toBeNull();
    expect(itemFor({ ...planned, key: 'small-touch/no-such/drop' }, LIBRARY, DECKS)).toBeNull();
  });

  it('with sound only where it does not give the answer away', () => {
    for (const item of items) {
      const { sound } = DRILLS[item.drill];
      expect(item.sound !== null, item.drill).toBe(sound !== 'never');
    }
    const silent = makeItems(LIBRARY, [wide, small], { withSound: false }, seeded(2));
    for (const item of silent) expect(item.sound !== null).toBe(item.drill === 'heard-strip');
  });
});
