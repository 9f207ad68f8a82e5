/** State of the shared axis: what every rung and the time axis read. */
import type { Transport } from '../player/transport.svelte.ts';
import * as axis from './view.ts';

export class AxisState {
  view = $state.raw<axis.AxisView>({ start: 0, span: axis.MIN_SPAN });
  /** CSS pixels of a strip. */
  width = $state(0);
  /** The view goes along with the playhead. */
  follow = $state(true);
  duration = $state(0);

  readonly #transport: Transport;

  constructor(transport: Transport) {
    this.#transport = transport;
  }

  get pixelsPerSecond(): number {
    return this.width / this.view.span;
  }

  /** CSS pixels from the left edge of a strip. */
  x(time: number): number {
    return (time - this.view.start) * this.pixelsPerSecond;
  }

  timeAt(x: number): number {
    return this.view.start + x / this.pixelsPerSecond;
  }

  /** Takes up a track of `duration` seconds; `span` is the view to begin with (the whole track by default). */
  open(duration: number, span = duration): void {
    this.duration = duration;
    this.view = axis.clampView({ start: 0, span }, duration);
  }

  /** The track turned out longer or shorter than it declared: keep what is shown. */
  settle(duration: number): void {
    const whole = this.view.span >= this.duration;
    this.duration = duration;
    this.view = whole ? axis.wholeTrack(duration) : axis.clampView(this.view, duration);
  }

  zoom(factor: number, anchor = this.#transport.time): void {
    const inView = anchor >= this.view.start && anchor <= this.view.start + this.view.span;
    const at = inView ? anchor : this.view.start + this.view.span / 2;
    this.view = axis.zoomAround(this.view, factor, at, this.duration);
  }

  whole(): void {
    this.view = axis.wholeTrack(this.duration);
  }

  /** The person moves the view: from now on it stays where they put it. */
  pan(seconds: number): void {
    if (this.#transport.playing) this.follow = false;
    this.view = axis.pan(this.view, seconds, this.duration);
  }

  /** Goes to `time` with playhead and view. */
  seek(time: number): void {
    this.#transport.seek(time);
    this.view = axis.reveal(this.view, this.#transport.time, this.duration);
  }

  /** Called for every frame of playing. */
  followTo(time: number): void {
    if (this.follow) this.view = axis.centredOn(this.view, time, this.duration);
  }
}
