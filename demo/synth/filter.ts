/**
 * A two-pole state-variable filter in the topology-preserving form (Zavalishin, "The Art of VA Filter
 * Design", chapter 4): stable while its cutoff is moved at every sample.
 */
export class StateVariableFilter {
  private a = 0;
  private b = 0;
  private g = 0;
  private k = 1;
  private h = 0;
  low = 0;
  band = 0;
  high = 0;

  constructor(
    private readonly rate: number,
    cutoffHz = 1000,
    q = Math.SQRT1_2,
  ) {
    this.set(cutoffHz, q);
  }

  /** Moves the cutoff (kept below 0.45 of the rate) and the resonance. */
  set(cutoffHz: number, q = Math.SQRT1_2): void {
    this.g = Math.tan((Math.PI * Math.min(Math.max(cutoffHz, 5), this.rate * 0.45)) / this.rate);
    this.k = 1 / q;
    this.h = 1 / (1 + this.g * (this.g + this.k));
  }

  /** Feeds one sample; `low`, `band` and `high` then hold the three outputs. */
  push(x: number): void {
    this.high = (x - this.a * (this.g + this.k) - this.b) * this.h;
    this.band = this.g * this.high + this.a;
    this.low = this.g * this.band + this.b;
    this.a = this.g * this.high + this.band;
    this.b = this.g * this.band + this.low;
  }
}

/** Filters `samples` in place with a fixed cutoff. */
export function filterInPlace(
  samples: Float32Array,
  rate: number,
  kind: 'low' | 'band' | 'high',
  cutoffHz: number,
  q = Math.SQRT1_2,
): Float32Array {
  const filter = new StateVariableFilter(rate, cutoffHz, q);
  for (let i = 0; i < samples.length; i++) {
    filter.push(samples[i]);
    samples[i] = filter[kind];
  }
  return samples;
}
