/** Band-limited oscillators: the steps of saw and pulse are rounded by a polynomial (polyBLEP). */

/** Frequency in Hz of a MIDI note number (69 = A4 = 440 Hz). */
export function hzOf(note: number): number {
  return 440 * 2 ** ((note - 69) / 12);
}

/**
 * The residue that rounds a unit step at phase 0 (Välimäki and Huovinen, "Antialiasing Oscillators in
 * Subtractive Synthesis", 2007).
 */
function stepResidue(phase: number, increment: number): number {
  if (phase < increment) {
    const t = phase / increment;
    return t + t - t * t - 1;
  }
  if (phase > 1 - increment) {
    const t = (phase - 1) / increment;
    return t * t + t + t + 1;
  }
  return 0;
}

/** A phase that runs 0..1, with the classic shapes read off it. */
export class Oscillator {
  constructor(
    private readonly rate: number,
    private phase = 0,
  ) {}

  private step(hz: number): number {
    const increment = hz / this.rate;
    this.phase += increment;
    if (this.phase >= 1) this.phase -= 1;
    return increment;
  }

  saw(hz: number): number {
    const increment = this.step(hz);
    return 2 * this.phase - 1 - stepResidue(this.phase, increment);
  }

  pulse(hz: number, width = 0.5): number {
    const increment = this.step(hz);
    const other = this.phase + 1 - width;
    const fall = other >= 1 ? other - 1 : other;
    return (this.phase < width ? 1 : -1) + stepResidue(this.phase, increment) - stepResidue(fall, increment);
  }

  sine(hz: number): number {
    this.step(hz);
    return Math.sin(2 * Math.PI * this.phase);
  }
}
