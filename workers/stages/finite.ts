/**
 * Replaces samples that are not numbers (or infinite) by 0, in place: float files may hold them, and a single
 * one would stay in a recursive filter for the rest of the track.
 * @returns how many were replaced
 */
export function keepFinite(block: readonly Float32Array[]): number {
  let replaced = 0;
  for (const channel of block) {
    // x * 0 is 0 for every finite x and NaN for the others, so one sum tells whether to look closer.
    let sum = 0;
    for (let i = 0; i < channel.length; i++) sum += channel[i] * 0;
    if (sum === 0) continue;
    for (let i = 0; i < channel.length; i++) {
      if (Number.isFinite(channel[i])) continue;
      channel[i] = 0;
      replaced++;
    }
  }
  return replaced;
}
