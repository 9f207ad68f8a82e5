/**
 * A strip of the ladder: a wavesurfer.js view that is painted by us and moved by the shared axis. It plays
 * nothing; the one media element belongs to the transport.
 */
import type WaveSurfer from 'wavesurfer.js';
import { createSurfer } from './surfer.ts';
import { inTurn, outOfTurn } from './turns.ts';
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
  /** Makes ahead, step by step, what `paint` will need of a stretch. */
  ahead?: (stretch: StripStretch) => Iterable<void>;
}

/** A stretch of time and how many canvas pixels it takes. */
export type StripStretch = Pick<StripPaint, 'startTime' | 'endTime' | 'width'>;

/** wavesurfer wants peaks; ours live in the pyramid, so it is given the least that makes it draw canvases. */
export const NO_PEAKS = () => [new Float32Array(2)];

/**
 * What a canvas of wavesurfer's holds: it cuts a long strip into canvases and places each by its left edge,
 * which gives its time.
 * @param pixelsPerSecond CSS pixels per second of the strip
 */
export function canvasArea(canvas: HTMLCanvasElement, pixelsPerSecond: number): StripPaint {
  const cssWidth = parseFloat(canvas.style.width);
  const ratio = canvas.width / cssWidth;
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

export class Strip {
  readonly #options: StripOptions;
  #surfer: WaveSurfer | null = null;
  /** Zoom that the canvases were painted for, CSS pixels per second. */
  #painted = 0;
  #ready = false;
  #view: AxisView | null = null;
  #width = 0;

  constructor(options: StripOptions) {
    this.#options = options;
  }

  /** Shows `view` over `width` CSS pixels: repaints when the zoom changed, else only moves. */
  show(view: AxisView, width: number): void {
    if (width <= 0) return;
    this.#view = view;
    this.#width = width;
    if (this.#ready && this.#pixelsPerSecond === this.#painted) this.#scroll();
    else this.#paintInTurn();
  }

  /** Paints again with the same view (the palette, the kind or the analysis changed). */
  repaint(): void {
    if (this.#view) this.#paintInTurn();
  }

  destroy(): void {
    outOfTurn(this);
    this.#surfer?.destroy();
    this.#surfer = null;
  }

  get #pixelsPerSecond(): number {
    return this.#view ? this.#width / this.#view.span : 0;
  }

  #scroll(): void {
    if (this.#view) this.#surfer?.setScroll(this.#view.start * this.#painted);
  }

  #paintInTurn(): void {
    inTurn(this, () => this.#steps());
  }

  *#steps(): Generator<void, void> {
    const { ahead } = this.#options;
    if (ahead && this.#view) {
      // wavesurfer paints the canvases beside the one in view as well.
      const { start, span } = this.#view;
      const width = 3 * this.#width * Math.max(1, devicePixelRatio);
      yield* ahead({ startTime: start - span, endTime: start + 2 * span, width });
    }
    this.#render();
  }

  #render(): void {
    this.#painted = this.#pixelsPerSecond;
    if (this.#surfer) this.#surfer.setOptions({ minPxPerSec: this.#painted });
    else this.#create();
    this.#scroll();
  }

  #create(): void {
    const { container, height, duration, paint } = this.#options;
    const surfer = createSurfer({
      container,
      height,
      // Every strip paints only; this element never gets a source.
      media: document.createElement('audio'),
      peaks: NO_PEAKS(),
      duration,
      minPxPerSec: this.#painted,
      interact: false,
      autoScroll: false,
      autoCenter: false,
      hideScrollbar: true,
      cursorWidth: 0,
      waveColor: 'transparent',
      progressColor: 'transparent',
      renderFunction: (_peaks, ctx) =>
        paint(ctx, canvasArea(ctx.canvas, Math.max(this.#painted, this.#width / duration))),
    });
    surfer.on('ready', () => {
      this.#ready = true;
      if (this.#view) this.show(this.#view, this.#width);
    });
    this.#surfer = surfer;
  }
}
