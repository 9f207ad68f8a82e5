/** Samples → canvas: the sound from near. */
import type { Beat } from '../../shared/grid/grid.ts';

export interface CloseUpPaint {
  /** Canvas pixels. */
  width: number;
  height: number;
  /** Canvas pixels per CSS pixel. */
  ratio: number;
  /** Left and right edge, s. */
  from: number;
  to: number;
  samples: Float32Array;
  /** Hz */
  sampleRate: number;
  /** Time of the first sample, s. */
  startTime: number;
  /** Beats whose lines fall into the picture. */
  lines: readonly Beat[];
  /** s, or null to draw none. */
  playhead: number | null;
  inks: { background: string; middle: string; sound: string; line: string; playhead: string };
}

/** The loudest sample fills this share of the height: quiet beats are looked at as closely as loud ones. */
const FILL = 0.92;
/** Below this peak nothing is blown up (−60 dBFS). */
const LEAST_PEAK = 0.001;

export function paintCloseUp(ctx: CanvasRenderingContext2D, paint: CloseUpPaint): void {
  const { width, height, ratio, from, to, inks } = paint;
  const x = (time: number) => ((time - from) / (to - from)) * width;
  const middle = Math.round(height / 2);
  ctx.fillStyle = inks.background;
  ctx.fillRect(0, 0, width, height);
  ctx.fillStyle = inks.middle;
  ctx.fillRect(0, middle, width, ratio);
  paintSound(ctx, paint, middle);
  for (const { time, downbeat } of paint.lines) {
    ctx.fillStyle = inks.line;
    const thick = (downbeat ? 3 : 2) * ratio;
    ctx.fillRect(Math.round(x(time) - thick / 2), 0, thick, height);
  }
  if (paint.playhead !== null) {
    // Dashed, so that it is told from the grid's line by shape as well.
    ctx.fillStyle = inks.playhead;
    const at = Math.round(x(paint.playhead) - ratio);
    for (let y = 0; y < height; y += 8 * ratio) ctx.fillRect(at, y, 2 * ratio, 4 * ratio);
  }
}

/** One column per pixel from the lowest to the highest sample in it, joined to the one before. */
function paintSound(ctx: CanvasRenderingContext2D, paint: CloseUpPaint, middle: number): void {
  const { samples, sampleRate, startTime, from, to, width, ratio, inks } = paint;
  if (!samples.length) return;
  let peak = LEAST_PEAK;
  for (const sample of samples) peak = Math.max(peak, Math.abs(sample));
  const y = (level: number) => middle - (level / peak) * FILL * middle;
  const secondsPerPixel = (to - from) / width;
  ctx.fillStyle = inks.sound;
  for (let column = 0; column < width; column++) {
    const t = (from + column * secondsPerPixel - startTime) * sampleRate;
    const first = Math.floor(t);
    const last = Math.ceil(t + secondsPerPixel * sampleRate);
    if (last < 0 || first >= samples.length) continue;
    let [low, high] = [Infinity, -Infinity];
    for (let i = Math.max(0, first); i <= Math.min(samples.length - 1, last); i++) {
      if (samples[i] < low) low = samples[i];
      if (samples[i] > high) high = samples[i];
    }
    const top = Math.round(y(high));
    ctx.fillRect(column, top, 1, Math.max(ratio, Math.round(y(low)) - top));
  }
}
