/** Puts a boundary that was found on plain times at the place nearby where the bands change most. */
import { BANDS } from '../../../shared/bands.ts';
import { readPyramid, type Pyramid } from '../../../shared/pyramid.ts';

/** Step of the search, s. */
const STEP = 0.1;
/** Stretch to each side that is compared, steps. */
const SIDE = 15;
/** dB below the loudest column of a band at which it counts as absent. */
const DEPTH_DB = 40;

/**
 * @param time s, where the boundary was found
 * @param within s to each side in which it may be moved
 * @returns s
 */
export function refineTime(pyramid: Pyramid, time: number, within: number): number {
  const moves = Math.round(within / STEP);
  const start = time - (moves + SIDE) * STEP;
  const count = 2 * (moves + SIDE);
  const { rms } = readPyramid(pyramid, start, STEP, count);
  const bands = BANDS.map((_, band) => {
    const db = Float64Array.from(rms[band], (r) => 20 * Math.log10(r + 1e-6));
    const floor = Math.max(...db) - DEPTH_DB;
    return db.map((v) => Math.max(v, floor));
  });
  let best = { move: 0, change: -1 };
  for (let move = -moves; move <= moves; move++) {
    const at = moves + SIDE + move;
    let change = 0;
    for (const db of bands) {
      let difference = 0;
      for (let i = 1; i <= SIDE; i++) difference += (db[at + i - 1] ?? 0) - (db[at - i] ?? 0);
      change += (difference / SIDE) ** 2;
    }
    if (change > best.change) best = { move, change };
  }
  return time + best.move * STEP;
}
