/**
 * Replaces samples that are not numbers (or infinite) by 0, in place: float files may hold them, and a single
 * one would stay in a recursive filter for the rest of the track.
 * @returns how many were replaced
 */
export function keepFinite(block: readonly Float32Array[]): number {
  let replaced = 0;
  for (const channel of block) {
    if (allFinite(channel)) continue;
    for (let i = 0; i < channel.length; i++) {
      if (Number.isFinite(channel[i])) continue;
      channel[i] = 0;
      replaced++;
    }
  }
  return replaced;
}

/** x * 0 is 0 for every finite x and NaN for the others; four sums at a time, so that none waits for the other. */
function allFinite(samples: Float32Array): boolean {
  const { length } = samples;
  let [a, b, c, d] = [0, 0, 0, 0];
  let i = 0;
  for (; i + 3 < length; i += 4) {
    a += samples[i] * 0;
    b += samples[i + 1] * 0;
    c += samples[i + 2] * 0;
    d += samples[i + 3] * 0;
  }
  for (; i < length; i++) a += samples[i] * 0;
  return a + b + c + d === 0;
}
