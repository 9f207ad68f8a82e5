/** Producers type whole tempi: a fitted tempo snaps to one where the data cannot tell the two apart. */

/** Grids that a tempo snaps to, in the order they are tried, beats per minute. */
const GRIDS = [1, 0.5];
/** Largest time by which the snapped grid may leave the fitted one at either end of the track, s. */
const ALLOWED_SECONDS = [0.004, 0.0025];
/** Standard errors within which the data allow a tempo. */
const ALLOWED_ERRORS = 2.5;

/**
 * @param bpm fitted tempo
 * @param relativeError standard error of the fitted tempo as a share of it
 * @param seconds length of the stretch over which the tempo holds
 * @returns the whole or half tempo that the data allow, else `bpm` itself
 */
export function snapTempo(bpm: number, relativeError: number, seconds: number): number {
  for (let i = 0; i < GRIDS.length; i++) {
    const snapped = Math.round(bpm / GRIDS[i]) * GRIDS[i];
    const off = Math.abs(snapped / bpm - 1);
    if ((off * seconds) / 2 <= ALLOWED_SECONDS[i] || (i === 0 && off <= ALLOWED_ERRORS * relativeError)) {
      // On a short track half the tempi are near a whole one: then only a near one counts.
      if (off * bpm <= GRIDS[i] * 0.04) return snapped;
    }
  }
  return bpm;
}
