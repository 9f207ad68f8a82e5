/**
 * A strip of the ladder: a wavesurfer.js view that is painted by us and moved by the shared axis. It plays
 * nothing; the one media element belongs to the transport.
 */
import WaveSurfer from 'wavesurfer.js';
import type { AxisView } from './view.ts';

export interface StripPaint {
  /** Time range of the canvas, s. */
  startTime: number;
  endTime: number;
  /** Canvas pixels. */
  width: number;
  height: number;
  pixelsPerSecond: number;
  ratio: number;
}

export interface StripOptions {
  container: HTMLElement;
  /** CSS pixels */
  height: number;
  /** s */
  duration: number;
  paint: (ctx: CanvasRenderingContext2D, area: StripPaint) => void;
}

/** wavesurfer wants peaks; ours live in the pyramid, so it is given the least that makes it draw canvases. */
export const NO_PEAKS = () => [new Float32Array(2)];

export class Strip {
  readonly #surfer: WaveSurfer;
  readonly #duration: number;
  #pixelsPerSecond = 0;
  #ready = false;
  #view: AxisView | null = null;

  constructor(options: StripOptions) {
    this.#duration = options.duration;
    const { container, height } = options;
    this.#surfer = WaveSurfer.create({
      container,
      height,
      // Every strip paints only; this element never gets a source.
      media: document.createElement('audio'),
      peaks: NO_PEAKS(),
      duration: options.duration,
      interact: false,
      autoScroll: false,
      autoCenter: false,
      hideScrollbar: true,
      cursorWidth: 0,
      waveColor: 'transparent',
      progressColor: 'transparent',
      renderFunction: (_peaks, ctx) => options.paint(ctx, this.#areaOf(ctx.canvas)),
    });
    this.#surfer.on('ready', () => {
      this.#ready = true;
      if (this.#view) this.show(this.#view, this.#width);
    });
  }

  #width = 0;

  /** Shows `view` over `width` CSS pixels: repaints when the zoom changed, else only moves. */
  show(view: AxisView, width: number): void {
    this.#view = view;
    this.#width = width;
    if (!this.#ready || width <= 0) return;
    const pixelsPerSecond = width / view.span;
    if (pixelsPerSecond !== this.#pixelsPerSecond) {
      this.#pixelsPerSecond = pixelsPerSecond;
      this.#surfer.setOptions({ minPxPerSec: pixelsPerSecond });
    }
    this.#surfer.setScroll(view.start * pixelsPerSecond);
  }

  /** Paints again with the same view (the palette, the kind or the analysis changed). */
  repaint(): void {
    if (!this.#ready || !this.#view) return;
    this.#surfer.setOptions({ minPxPerSec: this.#pixelsPerSecond });
    this.#surfer.setScroll(this.#view.start * this.#pixelsPerSecond);
  }

  destroy(): void {
    this.#surfer.destroy();
  }

  /** wavesurfer cuts a long strip into canvases and places each by its left edge: that gives its time. */
  #areaOf(canvas: HTMLCanvasElement): StripPaint {
    const cssWidth = parseFloat(canvas.style.width);
    const ratio = canvas.width / cssWidth;
    const pixelsPerSecond = Math.max(this.#pixelsPerSecond, this.#width / this.#duration);
    const startTime = parseFloat(canvas.style.left) / pixelsPerSecond;
    return {
      startTime,
      // Past the track's end too: the last canvas must not choose finer columns than its neighbour.
      endTime: startTime + cssWidth / pixelsPerSecond,
      width: canvas.width,
      height: canvas.height,
      pixelsPerSecond: pixelsPerSecond * ratio,
      ratio,
    };
  }
}
