/** One unbroken reading of a track from a place on, with a fade at either end. */
import { type Fade, gainOf } from './fade.ts';
import { type Pcm, readInto } from './reader.ts';

export class Grain {
  /** First frame that it no longer sounds in. */
  end = Infinity;
  #out: Fade | null = null;
  #outFrom = Infinity;

  /**
   * @param from output frame at which it begins
   * @param place sample of the track that is read there
   * @param step samples of the track per frame
   */
  constructor(
    readonly from: number,
    readonly place: number,
    readonly step: number,
    readonly fadeIn: Fade | null,
  ) {}

  /** Sample of the track that is read in `frame`. */
  placeAt(frame: number): number {
    return this.place + (frame - this.from) * this.step;
  }

  /** It goes, at once or by a fade that begins now. */
  release(frame: number, fade: Fade | null): void {
    if (this.#out) return;
    this.end = frame + (fade?.frames ?? 0);
    this.#out = fade;
    this.#outFrom = frame;
  }

  /** Adds frames [frame, frame + count) to `out` from `at` on. @param gains room for `count` gains */
  addTo(
    out: readonly [Float32Array, Float32Array],
    at: number,
    pcm: Pcm,
    frame: number,
    count: number,
    gains: Float32Array,
  ): void {
    const frames = Math.min(count, this.end - frame);
    if (frames <= 0) return;
    const faded = this.#fill(gains, frame, frames);
    readInto(pcm, this.placeAt(frame), this.step, out, at, frames, faded ? gains : null);
  }

  #fill(gains: Float32Array, frame: number, frames: number): boolean {
    const rising = this.fadeIn !== null && frame < this.from + this.fadeIn.frames;
    if (!rising && !this.#out) return false;
    for (let i = 0; i < frames; i++) {
      let gain = 1;
      if (this.fadeIn) gain *= gainOf(this.fadeIn.law, (frame + i + 0.5 - this.from) / this.fadeIn.frames);
      if (this.#out) gain *= gainOf(this.#out.law, 1 - (frame + i + 0.5 - this.#outFrom) / this.#out.frames);
      gains[i] = gain;
    }
    return true;
  }
}
