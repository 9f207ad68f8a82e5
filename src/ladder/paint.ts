/**
 * DisplayColumns + palette → canvas. The only place that knows pixels; it adds nothing to what the columns
 * hold.
 */
import type { DisplayColumns, GridLine } from '../../shared/display/columns.ts';
import type { Palette } from '../../shared/profile/schema.ts';

/** How columns stand: around the middle line, or from one edge (for laying two rungs edge to edge). */
export type Stance = 'middle' | 'from-bottom' | 'from-top';

export interface PaintArea {
  /** Canvas pixels. */
  width: number;
  height: number;
  /** Time at x = 0, s. */
  startTime: number;
  /** Canvas pixels per second. */
  pixelsPerSecond: number;
  stance: Stance;
  /** Canvas pixels per CSS pixel. */
  ratio: number;
}

/** Colours that a painter needs, made once per palette and kind. */
export interface Inks {
  palette: Palette;
  /** One colour per colour index. */
  ramp: readonly string[];
}

/** From this width on (CSS pixels) neighbouring columns are set apart by a gap, so that they can be counted. */
const GAP_FROM = 5;

type Context = Pick<CanvasRenderingContext2D, 'fillStyle' | 'fillRect'>;

/** Paints the background, the columns and the deck's grid lines. */
export function paintColumns(ctx: Context, columns: DisplayColumns, inks: Inks, area: PaintArea): void {
  ctx.fillStyle = inks.palette.background;
  ctx.fillRect(0, 0, area.width, area.height);
  if (columns.kind === 'three-band') paintBands(ctx, columns, inks.palette, area);
  else paintSingleLayer(ctx, columns, inks.ramp, area);
}

/**
 * Left edge of column `i`. The right edge of the one before is the same number: worked out in another way it could be
 * rounded to another pixel, and a line would be seen that no deck shows.
 */
const edge = (columns: DisplayColumns, area: PaintArea, i: number): number =>
  Math.round((columns.startTime + i * columns.secondsPerColumn - area.startTime) * area.pixelsPerSecond);

/** Left edge and width in canvas pixels of column `i`. */
function place(columns: DisplayColumns, area: PaintArea, i: number): [x: number, width: number] {
  const x0 = edge(columns, area, i);
  const width = Math.max(1, edge(columns, area, i + 1) - x0);
  return [x0, width >= GAP_FROM * area.ratio ? width - area.ratio : width];
}

/** Whole pixels, so that no edge is blended: a rung shows the colours of its deck and no others. */
function tallness(height: number, columns: DisplayColumns, room: number): number {
  return Math.max(1, Math.round((height / columns.heightSteps) * room));
}

function paintSingleLayer(ctx: Context, columns: DisplayColumns, ramp: readonly string[], area: PaintArea) {
  const [heights] = columns.heights;
  let ink = -1;
  for (let i = 0; i < columns.count; i++) {
    if (!heights[i]) continue;
    if (columns.colours[i] !== ink) {
      ink = columns.colours[i];
      ctx.fillStyle = ramp[ink] ?? ramp[0];
    }
    const [x, width] = place(columns, area, i);
    if (area.stance === 'middle') {
      const middle = Math.round(area.height / 2);
      const half = tallness(heights[i], columns, middle);
      ctx.fillRect(x, middle - half, width, half * 2);
    } else {
      const tall = tallness(heights[i], columns, area.height);
      ctx.fillRect(x, area.stance === 'from-top' ? 0 : area.height - tall, width, tall);
    }
  }
}

/**
 * Three bands on two sides of the middle line: treble above, bass below, the middle band behind both. Laid
 * edge to edge, all three rise from that edge, the tallest behind.
 */
function paintBands(ctx: Context, columns: DisplayColumns, palette: Palette, area: PaintArea) {
  const [bass, middle, treble] = columns.heights;
  const layers =
    area.stance === 'middle'
      ? [
          { heights: middle, ink: palette.middle, up: true, down: true },
          { heights: treble, ink: palette.treble, up: true, down: false },
          { heights: bass, ink: palette.bass, up: false, down: true },
        ]
      : [
          { heights: bass, ink: palette.bass, up: true, down: false },
          { heights: middle, ink: palette.middle, up: true, down: false },
          { heights: treble, ink: palette.treble, up: true, down: false },
        ];
  const room = area.stance === 'middle' ? Math.round(area.height / 2) : area.height;
  for (const layer of layers) {
    ctx.fillStyle = layer.ink;
    for (let i = 0; i < columns.count; i++) {
      if (!layer.heights[i]) continue;
      const [x, width] = place(columns, area, i);
      const tall = tallness(layer.heights[i], columns, room);
      if (area.stance === 'from-top') ctx.fillRect(x, 0, width, tall);
      else if (area.stance === 'from-bottom') ctx.fillRect(x, area.height - tall, width, tall);
      else ctx.fillRect(x, layer.up ? room - tall : room, width, layer.up && layer.down ? tall * 2 : tall);
    }
  }
}

/** Lines closer than this (CSS pixels) would be a wash over the waveform: bars only, then none. */
const CLOSEST_LINES = 12;

/**
 * Paints the deck's own grid lines. `place` says whether they run across the waveform or only mark its edges.
 */
export function paintGrid(
  ctx: Context,
  lines: readonly GridLine[],
  palette: Palette,
  gridPlace: 'across' | 'edge-marks' | 'nowhere',
  area: PaintArea,
): void {
  if (gridPlace === 'nowhere' || lines.length === 0) return;
  const shown = thinned(lines, area);
  for (const line of shown) {
    const bar = line.kind === 'downbeat';
    const width = Math.max(1, Math.round((bar ? 2 : 1) * area.ratio));
    const x = Math.round((line.time - area.startTime) * area.pixelsPerSecond - width / 2);
    ctx.fillStyle = bar ? palette.downbeat : palette.grid;
    if (gridPlace === 'across') ctx.fillRect(x, 0, width, area.height);
    else {
      const mark = Math.round(area.height * (bar ? 0.16 : 0.09));
      ctx.fillRect(x, 0, width, mark);
      ctx.fillRect(x, area.height - mark, width, mark);
    }
  }
}

function thinned(lines: readonly GridLine[], area: PaintArea): readonly GridLine[] {
  const gap = (list: readonly GridLine[]) =>
    list.length < 2
      ? Infinity
      : (((list.at(-1)!.time - list[0].time) / (list.length - 1)) * area.pixelsPerSecond) / area.ratio;
  if (gap(lines) >= CLOSEST_LINES) return lines;
  const bars = lines.filter((line) => line.kind === 'downbeat');
  return gap(bars) >= CLOSEST_LINES ? bars : [];
}
