/** Building blocks of sound: envelopes, filters, noise. Mono arrays of samples; times in s, frequencies in Hz. */
import type { Random } from '../random.ts';

export const CLUB_RATE = 44100;

/** Samples by a function of the time since the voice began, faded out over its last 4 ms. */
export function sound(seconds: number, at: (t: number, i: number) => number): Float32Array {
  const n = Math.max(1, Math.round(seconds * CLUB_RATE));
  const fade = Math.min(n, Math.round(0.004 * CLUB_RATE));
  return Float32Array.from(
    { length: n },
    (_, i) => at(i / CLUB_RATE, i) * (n - i < fade ? (n - i) / fade : 1),
  );
}

/** Falls from 1 to a thousandth in `seconds`. */
export const decay = (t: number, seconds: number) => Math.exp((-6.9 * t) / seconds);

export type FilterShape = 'low' | 'band' | 'high';

/** A state-variable filter (trapezoidal; Zavalishin, "The Art of VA Filter Design", chapter 4). */
export class Filter {
  private a = 0;
  private b = 0;
  private hz = 0;
  private g = 0;

  constructor(
    private readonly shape: FilterShape,
    private readonly q = Math.SQRT1_2,
  ) {}

  run(x: number, hz: number): number {
    if (hz !== this.hz) {
      this.hz = hz;
      this.g = Math.tan(Math.PI * Math.min(0.45, hz / CLUB_RATE));
    }
    const { g } = this;
    const k = 1 / this.q;
    const band = (g * (x - this.b) + this.a) / (1 + g * (g + k));
    const low = this.b + g * band;
    this.a = 2 * band - this.a;
    this.b = 2 * low - this.b;
    if (this.shape === 'low') return low;
    return this.shape === 'band' ? band * k : x - k * band - low;
  }
}

/** The whole array through a filter at one frequency. */
export function filtered(input: Float32Array, shape: FilterShape, hz: number, q?: number): Float32Array {
  const filter = new Filter(shape, q);
  return input.map((x) => filter.run(x, hz));
}

/** A saw whose steps are rounded off (polynomial band-limited step). */
export class Saw {
  constructor(private phase: number) {}

  next(hz: number): number {
    const step = hz / CLUB_RATE;
    this.phase += step;
    if (this.phase >= 1) this.phase -= 1;
    const p = this.phase;
    let y = 2 * p - 1;
    if (p < step) y -= 2 * (p / step) - (p / step) ** 2 - 1;
    else if (p > 1 - step) y -= ((p - 1) / step) ** 2 + 2 * ((p - 1) / step) + 1;
    return y;
  }
}

export const white = (r: Random) => 2 * r.next() - 1;

/** A room: the input with a dense tail of decaying echoes at random times. */
export function inRoom(input: Float32Array, seconds: number, wet: number, r: Random): Float32Array {
  const out = new Float32Array(input.length + Math.round(seconds * CLUB_RATE));
  out.set(input);
  for (let n = 0; n < 60; n++) {
    const t = 0.008 + seconds * r.next() ** 1.5;
    const from = Math.round(t * CLUB_RATE);
    const gain = wet * 0.35 * decay(t, seconds) * (r.chance(0.5) ? 1 : -1);
    for (let i = 0; i < input.length && from + i < out.length; i++) out[from + i] += gain * input[i];
  }
  return out;
}
