/** Where in a short stretch of sound its level rises most steeply: the start of a hit. */

/** Windows compared before and after each place, s. Estimate: about a period of a kick's click. */
const WINDOW = 0.004;
/** Distance of the places that are tried, s. */
const STEP = 0.00025;
/** The level after it must be this many times that before it, or there is no hit to speak of. */
const LEAST_RATIO = 1.8;

/**
 * The place where the power of the next 4 ms exceeds that of the last 4 ms most, weighed by how loud it gets.
 * @param samples mono; `sampleRate` in Hz
 * @returns s from the first sample, or null where nothing starts
 */
export function steepestRise(samples: Float32Array, sampleRate: number): number | null {
  const window = Math.round(WINDOW * sampleRate);
  const step = Math.max(1, Math.round(STEP * sampleRate));
  const power = new Float64Array(samples.length + 1);
  for (let i = 0; i < samples.length; i++) power[i + 1] = power[i] + samples[i] * samples[i];
  let best = 0;
  let place: number | null = null;
  for (let i = window; i + window <= samples.length; i += step) {
    const before = Math.sqrt(power[i] - power[i - window]);
    const after = Math.sqrt(power[i + window] - power[i]);
    if (after < before * LEAST_RATIO || after - before <= best) continue;
    best = after - before;
    place = i;
  }
  return place === null ? null : place / sampleRate;
}
