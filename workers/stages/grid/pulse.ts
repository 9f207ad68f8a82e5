/**
 * A pulse: how many beats have passed at each frame of the onset curves. Constant and drifting tempi look the
 * same from here on, so metre, phase and downbeat need no second version for drifting tracks.
 */
import type { OnsetCurves } from './onset-curve.ts';

/** Beat position (a real number) of each curve frame, rising. */
export type Pulse = Float64Array;

/** The pulse of a constant tempo with a beat (position 0) at `origin` seconds. */
export function steadyPulse(curves: OnsetCurves, origin: number, period: number): Pulse {
  return Float64Array.from(
    { length: curves.frames },
    (_, j) => (curves.offset + j * curves.hop - origin) / period,
  );
}

/** The pulse through given beat times (beat n at times[n]), going on at the first and last interval. */
export function pulseThrough(curves: OnsetCurves, times: ArrayLike<number>): Pulse {
  const last = times.length - 2;
  let n = 0;
  return Float64Array.from({ length: curves.frames }, (_, j) => {
    const t = curves.offset + j * curves.hop;
    while (n < last && t >= times[n + 1]) n++;
    return n + (t - times[n]) / (times[n + 1] - times[n]);
  });
}

/**
 * Mean of a curve at each phase of a cycle of beats.
 * @param ratio new beats per beat of the pulse
 * @param shift position (in new beats) that becomes phase 0
 * @param cycle new beats per cycle
 * @param bins phases per cycle; bin i is centred on i / bins of the cycle
 */
export function foldPulse(
  curve: ArrayLike<number>,
  pulse: Pulse,
  ratio: number,
  shift: number,
  cycle: number,
  bins: number,
): Float64Array {
  const sum = new Float64Array(bins);
  const weight = new Float64Array(bins);
  const scale = bins / cycle;
  for (let j = 0; j < pulse.length; j++) {
    const x = (pulse[j] * ratio - shift) * scale;
    const whole = Math.floor(x);
    const part = x - whole;
    let i = whole % bins;
    if (i < 0) i += bins;
    const next = i + 1 === bins ? 0 : i + 1;
    const y = curve[j];
    sum[i] += y * (1 - part);
    weight[i] += 1 - part;
    sum[next] += y * part;
    weight[next] += part;
  }
  for (let i = 0; i < bins; i++) sum[i] = weight[i] > 0 ? sum[i] / weight[i] : 0;
  return sum;
}
