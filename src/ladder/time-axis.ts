/** The time axis: ticks and clock labels on one canvas of the axis. */
import type { StripPaint } from './strip.ts';
import { clock } from './view.ts';

/** Distances between labels that people count in, s. */
const LABEL_STEPS = [0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 1200, 3600];
/** Least distance of two labels, CSS pixels. */
const LABEL_ROOM = 76;
/** Small ticks between two labels. */
const TICKS = 5;
const FONT_PIXELS = 12;

type Context = Pick<
  CanvasRenderingContext2D,
  'fillStyle' | 'fillRect' | 'fillText' | 'font' | 'textBaseline'
>;

/** Seconds between two labels at this zoom (CSS pixels per second). */
export function labelStep(pixelsPerSecond: number): number {
  return LABEL_STEPS.find((step) => step * pixelsPerSecond >= LABEL_ROOM) ?? LABEL_STEPS.at(-1)!;
}

/**
 * Paints the stretch that the canvas holds. A label stands right of its tick; one that begins on the canvas
 * before goes on here, so that none is cut between two canvases.
 * @param ink CSS colours of ticks and labels
 */
export function paintTimeAxis(ctx: Context, area: StripPaint, ink: { tick: string; label: string }): void {
  const { ratio, height, pixelsPerSecond } = area;
  // The player draws once before it knows the view.
  if (!Number.isFinite(area.endTime) || !(pixelsPerSecond > 0)) return;
  const step = labelStep(pixelsPerSecond / ratio);
  const first = Math.floor(area.startTime / step) - 1;
  const last = Math.ceil(area.endTime / step);
  const x = (time: number) => Math.round((time - area.startTime) * pixelsPerSecond);
  ctx.font = `${FONT_PIXELS * ratio}px ui-sans-serif, system-ui, sans-serif`;
  ctx.textBaseline = 'top';
  for (let n = Math.max(0, first); n <= last; n++) {
    const at = x(n * step);
    ctx.fillStyle = ink.tick;
    ctx.fillRect(at, 0, ratio, height);
    for (let k = 1; k < TICKS; k++) {
      ctx.fillRect(x((n + k / TICKS) * step), Math.round(height * 0.65), ratio, height);
    }
    ctx.fillStyle = ink.label;
    ctx.fillText(clock(n * step, step < 1 ? 1 : 0), at + 4 * ratio, 2 * ratio);
  }
}
