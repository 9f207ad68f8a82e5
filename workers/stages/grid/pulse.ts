/**
 * A pulse: how many beats have passed at each frame of the onset curves. Constant and drifting tempi look the
 * same from here on, so metre, phase and downbeat need no second version for drifting tracks.
 */
import { release } from '../../release.ts';
import type { OnsetCurves } from './onset-curve.ts';

/** Beat position (a real number) of each curve frame, rising. */
export type Pulse = Float64Array;

/** The pulse of a constant tempo with a beat (position 0) at `origin` seconds. */
export function steadyPulse(curves: OnsetCurves, origin: number, period: number): Pulse {
  const pulse = new Float64Array(curves.frames);
  const step = curves.hop / period;
  const first = (curves.offset - origin) / period;
  for (let j = 0; j < pulse.length; j++) pulse[j] = first + j * step;
  return pulse;
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
 * Mean of several curves at each phase of a cycle of beats.
 * @param ratio new beats per beat of the pulse
 * @param cycle new beats per cycle
 * @param bins phases per cycle; bin i is centred on i / bins of the cycle
 * @returns one array of `bins` per curve
 */
export function foldPulse(
  curves: readonly Float32Array[],
  pulse: Pulse,
  ratio: number,
  cycle: number,
  bins: number,
): Float64Array[] {
  const weight = new Float64Array(bins);
  const places = new Int32Array(pulse.length);
  const parts = new Float64Array(pulse.length);
  const scale = (bins / cycle) * ratio;
  for (let j = 0; j < pulse.length; j++) {
    const x = pulse[j] * scale;
    const whole = Math.floor(x);
    const part = x - whole;
    const i = whole - bins * Math.floor(whole / bins);
    places[j] = i;
    parts[j] = part;
    weight[i] += 1 - part;
    weight[i + 1 === bins ? 0 : i + 1] += part;
  }
  const folded = curves.map((curve) => {
    const out = new Float64Array(bins);
    for (let j = 0; j < places.length; j++) {
      const y = curve[j];
      if (y === 0) continue;
      const i = places[j];
      const part = parts[j];
      out[i] += y * (1 - part);
      out[i + 1 === bins ? 0 : i + 1] += y * part;
    }
    for (let i = 0; i < bins; i++) out[i] = weight[i] > 0 ? out[i] / weight[i] : 0;
    return out;
  });
  release(places);
  release(parts);
  return folded;
}
