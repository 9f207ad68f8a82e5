import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import * as history from '../../src/mark/history.ts';
import type { CorrectionHistory } from '../../src/library/records.ts';
import { grid } from './grids.ts';

const step = (bpm: number) => ({
  what: `to ${bpm}`,
  grid: grid({ segments: [{ startBeat: 0, startTime: 0, bpm }] }),
  sections: null,
});
const bpmNow = (h: CorrectionHistory) => history.current(h).grid?.segments[0].bpm ?? null;

describe('undo and redo', () => {
  test('walk the states back and forth', () => {
    let h = history.newHistory();
    expect([history.canUndo(h), history.canRedo(h), bpmNow(h)]).toEqual([false, false, null]);
    h = history.record(history.record(h, step(100)), step(110));
    expect(history.undoes(h)).toBe('to 110');
    h = history.undo(h);
    expect([bpmNow(h), history.redoes(h), history.undoes(h)]).toEqual([100, 'to 110', 'to 100']);
    h = history.undo(h);
    expect([bpmNow(h), history.canUndo(h)]).toEqual([null, false]);
    expect(history.undo(h)).toBe(h);
    h = history.redo(history.redo(h));
    expect(bpmNow(h)).toBe(110);
    expect(history.redo(h)).toBe(h);
    h = history.record(history.undo(h), step(120));
    expect([bpmNow(h), history.canRedo(h)]).toEqual([120, false]);
  });

  test('behave as a list with a cursor, whatever is done', () => {
    const action = fc.oneof(fc.integer({ min: 60, max: 180 }), fc.constantFrom('undo', 'redo'));
    fc.assert(
      fc.property(fc.array(action, { maxLength: 60 }), (actions) => {
        let h = history.newHistory();
        let model: (number | null)[] = [null];
        let at = 0;
        for (const a of actions) {
          if (a === 'undo') [h, at] = [history.undo(h), Math.max(0, at - 1)];
          else if (a === 'redo') [h, at] = [history.redo(h), Math.min(model.length - 1, at + 1)];
          else {
            h = history.record(h, step(a as number));
            model = [...model.slice(0, at + 1), a as number];
            at = model.length - 1;
          }
          expect(bpmNow(h)).toBe(model[at]);
          expect(history.canUndo(h)).toBe(at > 0);
          expect(history.canRedo(h)).toBe(at < model.length - 1);
        }
      }),
    );
  });

  test('the oldest states go when there are very many', () => {
    let h = history.newHistory();
    for (let i = 0; i < history.MAX_STEPS + 20; i++) h = history.record(h, step(60 + (i % 100)));
    expect(h.steps).toHaveLength(history.MAX_STEPS);
    expect(h.at).toBe(history.MAX_STEPS - 1);
  });

  test('a stored record gives its history, an older one or a broken one its corrections', () => {
    const h = history.undo(history.record(history.record(history.newHistory(), step(100)), step(110)));
    const stored = { grid: step(100).grid, sections: null, history: h };
    expect(history.readHistory(stored)).toEqual(h);
    const { history: _none, ...older } = stored;
    const read = history.readHistory(older);
    expect([bpmNow(read), history.canUndo(read)]).toEqual([100, true]);
    expect(bpmNow(history.readHistory({ ...stored, history: { ...h, at: 17 } }))).toBe(100);
    expect(bpmNow(history.readHistory(null))).toBeNull();
  });
});
