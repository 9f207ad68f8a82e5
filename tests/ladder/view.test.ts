import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  centredOn,
  clampView,
  clock,
  deckWindow,
  MIN_SPAN,
  nearestZoomStop,
  pan,
  reveal,
  wholeTrack,
  zoomAround,
} from '../../src/ladder/view.ts';

const duration = fc.double({ min: 0.1, max: 7200, noNaN: true });
const anyView = fc.record({
  start: fc.double({ min: -1e4, max: 1e4, noNaN: true }),
  span: fc.double({ min: 1e-3, max: 1e5, noNaN: true }),
});

describe('the shared axis', () => {
  it('never leaves the track, whatever is asked of it', () => {
    fc.assert(
      fc.property(duration, anyView, fc.double({ min: 0.01, max: 100, noNaN: true }), (d, view, factor) => {
        const longest = Math.max(d, MIN_SPAN);
        const views = [
          clampView(view, d),
          pan(view, factor * 10, d),
          centredOn(view, view.start, d),
          zoomAround(clampView(view, d), factor, Math.min(d, Math.max(0, view.start)), d),
        ];
        for (const v of views) {
          expect(v.start).toBeGreaterThanOrEqual(0);
          expect(v.start + v.span).toBeLessThanOrEqual(longest + 1e-6);
          expect(v.span).toBeGreaterThanOrEqual(Math.min(MIN_SPAN, longest) - 1e-9);
        }
      }),
    );
  });

  it('keeps the anchor in its place while zooming, away from the ends', () => {
    const before = { start: 100, span: 60 };
    const after = zoomAround(before, 2, 120, 300);
    expect(after.span).toBeCloseTo(30, 9);
    expect((120 - after.start) / after.span).toBeCloseTo((120 - before.start) / before.span, 9);
  });

  it('zooming in and out again comes back', () => {
    const before = { start: 100, span: 60 };
    const back = zoomAround(zoomAround(before, 1.5, 130, 300), 1 / 1.5, 130, 300);
    expect(back.start).toBeCloseTo(100, 9);
    expect(back.span).toBeCloseTo(60, 9);
  });

  it('shows the whole of a track, and moves only as far as needed to reveal a time', () => {
    expect(wholeTrack(200)).toEqual({ start: 0, span: 200 });
    const view = { start: 50, span: 20 };
    expect(reveal(view, 60, 200)).toBe(view);
    expect(reveal(view, 120, 200)).toEqual({ start: 110, span: 20 });
    expect(reveal(view, 1, 200)).toEqual({ start: 0, span: 20 });
  });

  it('takes the zoom stop that is nearest by ratio', () => {
    // 4 and 16 are equally far from 8 by ratio: the first one stays.
    expect(nearestZoomStop([4, 16, 32], 8)).toBe(0);
    expect(nearestZoomStop([4, 16, 32], 8.1)).toBe(1);
    expect(nearestZoomStop([4, 16, 32], 1000)).toBe(2);
    expect(nearestZoomStop([4, 16, 32], 0.1)).toBe(0);
  });

  it('puts a deck’s own seconds around the playhead', () => {
    expect(deckWindow(10, 8)).toEqual({ start: 6, span: 8 });
  });

  it('writes times as clocks do', () => {
    expect(clock(0)).toBe('0:00');
    expect(clock(65.99)).toBe('1:05');
    expect(clock(65.99, 1)).toBe('1:05.9');
    expect(clock(59.9999999, 1)).toBe('1:00.0');
    expect(clock(3723)).toBe('1:02:03');
    expect(clock(-1)).toBe('0:00');
  });
});
