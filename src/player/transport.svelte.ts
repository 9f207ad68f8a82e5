/**
 * The one player of the app: wavesurfer.js over one media element, which also draws the time axis. Every
 * rung listens to its clock.
 */
import type WaveSurfer from 'wavesurfer.js';
import { canvasArea, NO_PEAKS } from '../ladder/strip.ts';
import { createSurfer } from '../ladder/surfer.ts';
import { paintTimeAxis } from '../ladder/time-axis.ts';
import type { AxisView } from '../ladder/view.ts';

/** The app starts quiet; the person turns it up. */
export const START_VOLUME = 0.25;

/** CSS pixels */
const AXIS_HEIGHT = 24;

export class Transport {
  time = $state(0);
  playing = $state(false);
  /** There is audio to play (not only a picture of it). */
  playable = $state(false);
  /** Another source is being made for one that cannot be played: pressing play now is a wish, and not lost. */
  expected = $state(false);
  volume = $state(START_VOLUME);
  /** Counts the axes it was mounted on; 0 while there is none. */
  mounted = $state(0);

  /**
   * Called when the browser cannot play the source: the caller may offer another one. `wanted`: the person had
   * pressed play. May come twice for one source, from the element and from the attempt to play.
   */
  onCannotPlay: (wanted: boolean) => void = () => {};

  #mounts = 0;

  #surfer: WaveSurfer | null = null;
  #container: HTMLElement | null = null;
  #duration = 0;
  #pixelsPerSecond = 0;
  #frame = 0;
  #loaded = false;
  /** CSS pixels; null: unknown. */
  #scroll: number | null = null;
  #view: { view: AxisView; width: number; duration: number } | null = null;

  /** Builds the axis inside `container`. Call `unmount` with it. */
  mount(container: HTMLElement): void {
    this.#container = container;
    const media = document.createElement('audio');
    media.preload = 'auto';
    this.#surfer = createSurfer({
      container,
      height: AXIS_HEIGHT,
      media,
      interact: false,
      autoScroll: false,
      autoCenter: false,
      hideScrollbar: true,
      cursorWidth: 0,
      waveColor: 'transparent',
      // The part behind the playhead is the same canvas again, filled with one colour.
      progressColor: axisInk(container).label,
      // The axis has no waveform of its own: every picture of the track is a rung.
      renderFunction: (_peaks, ctx) => {
        paintTimeAxis(ctx, canvasArea(ctx.canvas, this.#pixelsPerSecond), axisInk(container));
      },
    });
    this.#surfer.setVolume(this.volume);
    this.#surfer.on('play', () => {
      this.playing = true;
      this.#tick();
    });
    this.#surfer.on('pause', () => this.#stopped());
    this.#surfer.on('finish', () => this.#stopped());
    this.#surfer.on('ready', () => {
      this.#loaded = true;
      if (this.#view) this.show(this.#view.view, this.#view.width, this.#view.duration);
    });
    media.addEventListener('error', () => {
      if (!media.getAttribute('src')) return;
      this.playable = false;
      this.playing = false;
      this.onCannotPlay(false);
    });
    this.mounted = ++this.#mounts;
  }

  unmount(): void {
    cancelAnimationFrame(this.#frame);
    this.#surfer?.destroy();
    this.#surfer = null;
    this.#loaded = false;
    this.playing = false;
    this.playable = false;
    this.mounted = 0;
  }

  /**
   * Another track of `duration` s is on its way, which `load` will take up: what plays ends at once, and the playhead
   * stands at the start.
   */
  leave(duration: number): void {
    this.#surfer?.pause();
    this.playable = false;
    this.#stopped();
    this.#loaded = false;
    this.#duration = duration;
    this.time = 0;
  }

  /**
   * Takes up a track where the playhead stands: `url` of its audio, or null where only the picture is known; `duration`
   * in seconds.
   */
  load(url: string | null, duration: number): void {
    if (!this.#surfer) return;
    this.#surfer.pause();
    this.#duration = duration;
    this.#loaded = false;
    this.playable = url !== null;
    this.expected = false;
    this.#pixelsPerSecond = 0;
    this.#scroll = null;
    this.#surfer.load(url ?? '', NO_PEAKS(), duration).catch(() => {
      // A newer load took over; what the media element says of a bad source comes as its own event.
    });
    this.#surfer.setVolume(this.volume);
    if (this.time > 0) this.seek(this.time);
  }

  /**
   * Moves the time axis of a track of `duration` seconds to `view` over `width` CSS pixels. Where another one is loaded,
   * that track is on its way and is shown so once it is there: to move what goes away would only hold the page up.
   */
  show(view: AxisView, width: number, duration: number): void {
    this.#view = { view, width, duration };
    const surfer = this.#surfer;
    if (!surfer || !this.#loaded || width <= 0 || duration !== this.#duration) return;
    const pixelsPerSecond = width / view.span;
    if (pixelsPerSecond !== this.#pixelsPerSecond) {
      this.#pixelsPerSecond = pixelsPerSecond;
      this.#scroll = null;
      surfer.setOptions({ minPxPerSec: pixelsPerSecond });
    }
    const scroll = view.start * pixelsPerSecond;
    // To scroll lays the whole page out at once.
    if (scroll !== this.#scroll) surfer.setScroll(scroll);
    this.#scroll = scroll;
  }

  /** Paints the axis again (the light changed). */
  repaint(): void {
    if (!this.#surfer || !this.#container || !this.#loaded) return;
    const progressColor = axisInk(this.#container).label;
    this.#scroll = null;
    this.#surfer.setOptions({ minPxPerSec: this.#pixelsPerSecond, progressColor });
  }

  /** The element that plays, while there is one. */
  get media(): HTMLMediaElement | null {
    return this.#surfer?.getMediaElement() ?? null;
  }

  /** Where the player is at this moment, s: while playing, newer than `time`, which is that of the last frame. */
  get now(): number {
    return this.playing ? (this.#surfer?.getCurrentTime() ?? this.time) : this.time;
  }

  async toggle(): Promise<void> {
    // Whoever makes the other source plays it when it is there.
    if (this.expected) return this.onCannotPlay(true);
    if (!this.playable) return;
    try {
      await this.#surfer?.playPause();
    } catch (error) {
      // Aborted means paused again or another track taken up, not that this source cannot be played.
      if (!(error instanceof DOMException && error.name === 'AbortError')) this.onCannotPlay(true);
    }
  }

  pause(): void {
    this.#surfer?.pause();
  }

  /** Goes to `time` s; also without audio, so that the ladder can be read there. */
  seek(time: number): void {
    const to = Math.min(Math.max(0, time), this.#duration);
    this.time = to;
    if (this.playable) this.#surfer?.setTime(to);
  }

  /** 0..1 */
  setVolume(volume: number): void {
    this.volume = Math.min(1, Math.max(0, volume));
    this.#surfer?.setVolume(this.volume);
  }

  #tick = (): void => {
    if (!this.#surfer || !this.playing) return;
    this.time = this.#surfer.getCurrentTime();
    this.#frame = requestAnimationFrame(this.#tick);
  };

  #stopped(): void {
    cancelAnimationFrame(this.#frame);
    this.playing = false;
    // Without audio the playhead stands where it was put.
    if (this.playable) this.time = this.#surfer?.getCurrentTime() ?? this.time;
  }
}

/** The colours of the light in force. */
function axisInk(container: HTMLElement): { tick: string; label: string } {
  const style = getComputedStyle(container);
  return { tick: style.getPropertyValue('--line-strong'), label: style.getPropertyValue('--muted') };
}
