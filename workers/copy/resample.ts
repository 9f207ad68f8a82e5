/** Band-limited change of the sample rate, block by block. */
import { phaseBank, type PhaseBank } from './polyphase.ts';

/**
 * Resamples all channels of a track. Sample 0 stays at time 0, and the filter's delay is taken out. The result has
 * ⌈frames · to / from⌉ frames.
 */
export class Resampler {
  readonly #bank: PhaseBank;
  /** Per channel; starts `#half` − 1 samples before the one that the next output lies at or behind. */
  readonly #waiting: Float32Array[];
  readonly #half: number;
  #filled: number;
  /** Place of the next output: sample `#half` − 1 + `#skip` of the waiting ones, and `#phase` / up behind it. */
  #skip = 0;
  #phase = 0;
  #read = 0;
  #made = 0;

  /** @param from @param to Hz, whole */
  constructor(from: number, to: number, channels: number) {
    this.#bank = phaseBank(from, to);
    this.#half = this.#bank.taps / 2;
    this.#filled = this.#half - 1;
    this.#waiting = Array.from({ length: channels }, () => new Float32Array(2 * this.#bank.taps));
  }

  /** @param block one array per channel, all of one length */
  push(block: readonly Float32Array[]): Float32Array<ArrayBuffer>[] {
    this.#read += block[0].length;
    return this.#run(block, Infinity);
  }

  /** What is left; the signal goes on as silence. Call once. */
  finish(): Float32Array<ArrayBuffer>[] {
    const { up, down } = this.#bank;
    const silence = this.#waiting.map(() => new Float32Array(this.#half + 1));
    return this.#run(silence, Math.ceil((this.#read * up) / down) - this.#made);
  }

  #run(block: readonly Float32Array[], most: number): Float32Array<ArrayBuffer>[] {
    const { up, down, taps } = this.#bank;
    const count = block[0].length;
    this.#append(block, count);
    // An output needs all taps from its first sample on.
    const starts = this.#filled - taps - this.#skip + 1;
    const ready = starts <= 0 ? 0 : Math.ceil((starts * up - this.#phase) / down);
    const frames = Math.max(0, Math.min(ready, most));
    const out = this.#waiting.map((waiting) => this.#channel(waiting, frames));
    const advanced = this.#phase + frames * down;
    this.#phase = advanced % up;
    this.#skip += Math.floor(advanced / up);
    this.#made += frames;
    const gone = Math.min(this.#skip, this.#filled);
    for (const waiting of this.#waiting) waiting.copyWithin(0, gone, this.#filled);
    this.#filled -= gone;
    this.#skip -= gone;
    return out;
  }

  #append(block: readonly Float32Array[], count: number): void {
    const needed = this.#filled + count;
    for (let c = 0; c < this.#waiting.length; c++) {
      if (this.#waiting[c].length < needed) {
        const larger = new Float32Array(2 * needed);
        larger.set(this.#waiting[c].subarray(0, this.#filled));
        this.#waiting[c] = larger;
      }
      this.#waiting[c].set(block[c], this.#filled);
    }
    this.#filled = needed;
  }

  #channel(samples: Float32Array, frames: number): Float32Array<ArrayBuffer> {
    const { up, down, taps, weights } = this.#bank;
    const out = new Float32Array(frames);
    const whole = Math.floor(down / up);
    const part = down % up;
    let at = this.#skip;
    let phase = this.#phase;
    for (let k = 0; k < frames; k++) {
      let [a, b, c, d] = [0, 0, 0, 0];
      for (let w = phase * taps, end = w + taps, i = at; w < end; w += 4, i += 4) {
        a += weights[w] * samples[i];
        b += weights[w + 1] * samples[i + 1];
        c += weights[w + 2] * samples[i + 2];
        d += weights[w + 3] * samples[i + 3];
      }
      out[k] = a + b + (c + d);
      at += whole;
      phase += part;
      if (phase >= up) {
        phase -= up;
        at++;
      }
    }
    return out;
  }
}
