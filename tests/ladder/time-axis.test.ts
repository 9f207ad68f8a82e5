import { describe, expect, it } from 'vitest';
import { labelStep, paintTimeAxis } from '../../src/ladder/time-axis.ts';
import type { StripPaint } from '../../src/ladder/strip.ts';

/** A canvas that notes labels and ticks. */
function notebook() {
  const labels: [string, number][] = [];
  const ticks: number[] = [];
  return {
    labels,
    ticks,
    ctx: {
      fillStyle: '' as string | CanvasGradient | CanvasPattern,
      font: '',
      textBaseline: 'top' as CanvasTextBaseline,
      fillRect: (x: number) => void ticks.push(x),
      fillText: (text: string, x: number) => void labels.push([text, x]),
    },
  };
}

const area = (over: Partial<StripPaint>): StripPaint => ({
  startTime: 0,
  endTime: 60,
  width: 600,
  height: 24,
  pixelsPerSecond: 10,
  ratio: 1,
  ...over,
});

describe('the time axis', () => {
  it('labels in steps that people count in, far enough apart to be read', () => {
    expect(labelStep(10)).toBe(10);
    expect(labelStep(1)).toBe(120);
    expect(labelStep(1000)).toBe(0.1);
    expect(labelStep(0.001)).toBe(3600);
  });

  it('puts each label at its time', () => {
    const { ctx, labels } = notebook();
    paintTimeAxis(ctx, area({}), { tick: 'a', label: 'b' });
    expect(labels.slice(0, 3)).toEqual([
      ['0:00', 4],
      ['0:10', 104],
      ['0:20', 204],
    ]);
  });

  it('goes on with a label that began on the canvas before', () => {
    const { ctx, labels } = notebook();
    paintTimeAxis(ctx, area({ startTime: 31, endTime: 91 }), { tick: 'a', label: 'b' });
    expect(labels[1]).toEqual(['0:30', -6]);
  });

  it('paints nothing before the view is known', () => {
    const { ctx, labels, ticks } = notebook();
    paintTimeAxis(ctx, area({ pixelsPerSecond: 0, endTime: Infinity }), { tick: 'a', label: 'b' });
    paintTimeAxis(ctx, area({ pixelsPerSecond: NaN, startTime: NaN, endTime: NaN }), {
      tick: 'a',
      label: 'b',
    });
    expect([...labels, ...ticks]).toEqual([]);
  });
});
