import { BUTTERWORTH_4_Q, designBiquad } from './biquad.ts';
import type { Growable } from './growable.ts';

/** Kick and bass line. */
const BASS_HZ = 130;
/** Body of snare and chords. */
const BODY_LOW_HZ = 190;
const BODY_HIGH_HZ = 700;
const MIDDLE_HZ = 900;
const DENORMAL = 1e-30;

/**
 * Mean power per frame of three bands of the low-rate signal. All five filter sections run in one loop:
 * each waits on its own last output, so side by side they cost little more than one alone.
 */
export class LowBands {
  private readonly state = new Float64Array(10);
  private readonly sums = new Float64Array(3);
  private inFrame = 0;
  private readonly sections;

  /** @param out where the frames of bass, body and middle go */
  constructor(
    sampleRate: number,
    private readonly frameLength: number,
    private readonly out: Growable[],
  ) {
    this.sections = {
      bass1: designBiquad('lowpass', BASS_HZ, BUTTERWORTH_4_Q[0], sampleRate),
      bass2: designBiquad('lowpass', BASS_HZ, BUTTERWORTH_4_Q[1], sampleRate),
      body1: designBiquad('highpass', BODY_LOW_HZ, Math.SQRT1_2, sampleRate),
      body2: designBiquad('lowpass', BODY_HIGH_HZ, Math.SQRT1_2, sampleRate),
      middle: designBiquad('highpass', MIDDLE_HZ, Math.SQRT1_2, sampleRate),
    };
  }

  push(samples: Float64Array, count: number): void {
    const { state, sums, out, frameLength } = this;
    const { bass1, bass2, body1, body2, middle } = this.sections;
    const { b0: A0, a1: A1, a2: A2 } = bass1;
    const { b0: B0, a1: B1, a2: B2 } = bass2;
    const { b0: C0, a1: C1, a2: C2 } = body1;
    const { b0: D0, a1: D1, a2: D2 } = body2;
    const { b0: E0, a1: E1, a2: E2 } = middle;
    let [a, aa, b, bb, c, cc, d, dd, e, ee] = state;
    let [bass, body, mid] = sums;
    let { inFrame } = this;
    for (let i = 0; i < count; i++) {
      const x = samples[i];
      // Low-pass numerators are b0 (1, 2, 1), high-pass ones b0 (1, -2, 1).
      const xa = A0 * x;
      const ya = xa + a;
      a = 2 * xa - A1 * ya + aa;
      aa = xa - A2 * ya;
      const xb = B0 * ya;
      const yb = xb + b;
      b = 2 * xb - B1 * yb + bb;
      bb = xb - B2 * yb;
      const xc = C0 * x;
      const yc = xc + c;
      c = -2 * xc - C1 * yc + cc;
      cc = xc - C2 * yc;
      const xd = D0 * yc;
      const yd = xd + d;
      d = 2 * xd - D1 * yd + dd;
      dd = xd - D2 * yd;
      const xe = E0 * x;
      const ye = xe + e;
      e = -2 * xe - E1 * ye + ee;
      ee = xe - E2 * ye;
      bass += yb * yb;
      body += yd * yd;
      mid += ye * ye;
      if (++inFrame === frameLength) {
        out[0].push(bass / frameLength);
        out[1].push(body / frameLength);
        out[2].push(mid / frameLength);
        bass = 0;
        body = 0;
        mid = 0;
        inFrame = 0;
      }
    }
    state.set([a, aa, b, bb, c, cc, d, dd, e, ee]);
    for (let i = 0; i < state.length; i++) if (Math.abs(state[i]) < DENORMAL) state[i] = 0;
    sums.set([bass, body, mid]);
    this.inFrame = inFrame;
  }
}
