import { describe, expect, it } from 'vitest';
import type { DisplayColumns } from '../../shared/display/columns.ts';
import { paintColumns, paintGrid, type PaintArea } from '../../src/ladder/paint.ts';
import { shippedDeck } from '../profiles/files.ts';

const { palette } = shippedDeck('wide-touch');

interface Box {
  ink: string;
  x: number;
  y: number;
  width: number;
  height: number;
}

/** A canvas that notes what is filled. */
function notebook() {
  const boxes: Box[] = [];
  const ctx = {
    fillStyle: '' as string | CanvasGradient | CanvasPattern,
    fillRect(x: number, y: number, width: number, height: number) {
      boxes.push({ ink: String(ctx.fillStyle), x, y, width, height });
    },
  };
  return { ctx, boxes };
}

const area = (over: Partial<PaintArea> = {}): PaintArea => ({
  width: 100,
  height: 40,
  startTime: 10,
  pixelsPerSecond: 10,
  stance: 'middle',
  ratio: 1,
  ...over,
});

function columns(over: Partial<DisplayColumns> = {}): DisplayColumns {
  return {
    kind: 'single',
    startTime: 10,
    secondsPerColumn: 0.2,
    count: 3,
    heightSteps: 4,
    heights: [Uint16Array.of(4, 0, 1)],
    colours: Uint8Array.of(0, 0, 1),
    colourSteps: 2,
    gridLines: [],
    ...over,
  };
}

const inks = { palette, ramp: ['#111111', '#eeeeee'] };

describe('painting columns', () => {
  it('puts each column at its time, as high as its step, in its colour, and leaves silence out', () => {
    const { ctx, boxes } = notebook();
    paintColumns(ctx, columns(), inks, area());
    expect(boxes).toEqual([
      { ink: palette.background, x: 0, y: 0, width: 100, height: 40 },
      // 0.2 s at 10 px/s is 2 px; step 4 of 4 is the whole half above and below the middle.
      { ink: '#111111', x: 0, y: 0, width: 2, height: 40 },
      { ink: '#eeeeee', x: 4, y: 15, width: 2, height: 10 },
    ]);
  });

  it('leaves no line between columns, whatever their width', () => {
    for (let width = 400; width < 1600; width += 7) {
      const { ctx, boxes } = notebook();
      const count = 400;
      const even = columns({
        ...{ count, startTime: 0, secondsPerColumn: 310.2 / count },
        ...{ heights: [new Uint16Array(count).fill(4)], colours: new Uint8Array(count) },
      });
      const pixelsPerSecond = width / (even.count * even.secondsPerColumn);
      paintColumns(ctx, even, inks, area({ width, startTime: 0, pixelsPerSecond }));
      let right = 0;
      for (const box of boxes.slice(1)) {
        expect(box.x).toBeLessThanOrEqual(right);
        right = box.x + box.width;
      }
      expect(right).toBe(width);
    }
  });

  it('fills whole pixels only, so that no colour is blended', () => {
    const { ctx, boxes } = notebook();
    const uneven = columns({ secondsPerColumn: 0.137, heightSteps: 7, heights: [Uint16Array.of(3, 5, 1)] });
    paintColumns(ctx, uneven, inks, area({ height: 41, startTime: 9.93, ratio: 1 }));
    for (const box of boxes) {
      for (const value of [box.x, box.y, box.width, box.height]) expect(Number.isInteger(value)).toBe(true);
    }
  });

  it('leaves no hole between columns narrower than the gap, and sets wide ones apart', () => {
    const touching = notebook();
    paintColumns(touching.ctx, columns({ heights: [Uint16Array.of(2, 2, 2)] }), inks, area());
    const [, a, b] = touching.boxes;
    expect(a.x + a.width).toBe(b.x);
    const apart = notebook();
    paintColumns(
      apart.ctx,
      columns({ secondsPerColumn: 1, heights: [Uint16Array.of(2, 2, 2)] }),
      inks,
      area(),
    );
    const [, c, d] = apart.boxes;
    expect(c.x + c.width).toBe(d.x - 1);
  });

  it('stands columns on the edge that two rungs share', () => {
    const up = notebook();
    paintColumns(up.ctx, columns(), inks, area({ stance: 'from-bottom' }));
    expect(up.boxes[2]).toMatchObject({ y: 30, height: 10 });
    const down = notebook();
    paintColumns(down.ctx, columns(), inks, area({ stance: 'from-top' }));
    expect(down.boxes[2]).toMatchObject({ y: 0, height: 10 });
  });

  it('draws three bands on two sides of the middle line', () => {
    const { ctx, boxes } = notebook();
    const bands = [Uint16Array.of(4), Uint16Array.of(2), Uint16Array.of(1)];
    paintColumns(ctx, columns({ kind: 'three-band', count: 1, heights: bands }), inks, area());
    expect(boxes.slice(1)).toEqual([
      { ink: palette.middle, x: 0, y: 10, width: 2, height: 20 },
      { ink: palette.treble, x: 0, y: 15, width: 2, height: 5 },
      { ink: palette.bass, x: 0, y: 20, width: 2, height: 20 },
    ]);
  });
});

describe('painting the grid', () => {
  const lines = [0, 1, 2, 3, 4].map((i) => ({
    time: 10 + i * 2,
    kind: i % 4 === 0 ? ('downbeat' as const) : ('beat' as const),
  }));

  it('runs across or marks the edges, as the deck does', () => {
    const across = notebook();
    paintGrid(across.ctx, lines, palette, 'across', area());
    expect(across.boxes).toHaveLength(5);
    expect(across.boxes[1]).toMatchObject({ ink: palette.grid, height: 40, width: 1 });
    expect(across.boxes[4]).toMatchObject({ ink: palette.downbeat, width: 2 });
    const edge = notebook();
    paintGrid(edge.ctx, lines, palette, 'edge-marks', area());
    expect(edge.boxes).toHaveLength(10);
    expect(edge.boxes.every((box) => box.height < 10)).toBe(true);
    const nowhere = notebook();
    paintGrid(nowhere.ctx, lines, palette, 'nowhere', area());
    expect(nowhere.boxes).toEqual([]);
  });

  it('leaves beats out where they would lie too close, then bars', () => {
    const bars = notebook();
    paintGrid(bars.ctx, lines, palette, 'across', area({ pixelsPerSecond: 3 }));
    expect(bars.boxes.map((box) => box.ink)).toEqual([palette.downbeat, palette.downbeat]);
    const none = notebook();
    paintGrid(none.ctx, lines, palette, 'across', area({ pixelsPerSecond: 1 }));
    expect(none.boxes).toEqual([]);
  });
});
