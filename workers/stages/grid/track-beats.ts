/**
 * Beats of a drifting track by dynamic programming, after D. P. W. Ellis, "Beat tracking by dynamic
 * programming", Journal of New Music Research 36 (1), 2007; with a period that follows the tempo path.
 */
import type { OnsetCurves } from './onset-curve.ts';

/** What leaving the local period costs: as in the paper, with the curve scaled to unit deviation. */
const TIGHTNESS = 120;
/** Intervals from half to twice the period, as in the paper. */
const SHORTEST = 0.6;
const LONGEST = 1.6;

/**
 * @param period beat period in frames at each frame
 * @returns beat times, s, rising
 */
export function trackBeats(curves: OnsetCurves, period: Float64Array): number[] {
  const { combined, frames } = curves;
  if (frames < 4) return [];
  let power = 0;
  for (let j = 0; j < frames; j++) power += combined[j] * combined[j];
  const gain = power > 0 ? 1 / Math.sqrt(power / frames) : 0;
  const score = new Float64Array(frames);
  const back = new Int32Array(frames).fill(-1);
  // Costs depend on the interval only through its ratio to the period: tabulated per period.
  let costs: { shortest: number; cost: Float64Array } = { shortest: 0, cost: new Float64Array(0) };
  let costsFor = NaN;
  for (let j = 0; j < frames; j++) {
    const p = Math.round(period[j] * 4) / 4;
    if (p !== costsFor) {
      costs = intervalCosts(p);
      costsFor = p;
    }
    let best = -Infinity;
    let from = -1;
    for (let i = 0; i < costs.cost.length; i++) {
      const k = j - costs.shortest - i;
      if (k < 0) break;
      const s = score[k] - costs.cost[i];
      if (s > best) {
        best = s;
        from = k;
      }
    }
    // A chain may begin anywhere in the first beat.
    score[j] = gain * combined[j] + (from >= 0 && (best > 0 || j > 2 * p) ? best : 0);
    back[j] = from >= 0 && (best > 0 || j > 2 * p) ? from : -1;
  }
  // The last beat: the best score within the last period.
  let at = frames - 1;
  for (let j = frames - 1; j >= Math.max(0, frames - period[frames - 1]); j--)
    if (score[j] > score[at]) at = j;
  const beats: number[] = [];
  for (let j = at; j >= 0; j = back[j])
    beats.push(curves.offset + (j + peakOffset(combined, j)) * curves.hop);
  return beats.reverse();
}

function intervalCosts(period: number): { shortest: number; cost: Float64Array } {
  const shortest = Math.max(1, Math.round(SHORTEST * period));
  const longest = Math.round(LONGEST * period);
  const cost = Float64Array.from(
    { length: longest - shortest + 1 },
    (_, i) => TIGHTNESS * Math.log((shortest + i) / period) ** 2,
  );
  return { shortest, cost };
}

/** Sub-frame place of a peak at j; 0 where j is no peak. */
function peakOffset(curve: Float32Array, j: number): number {
  const left = curve[j - 1] ?? 0;
  const right = curve[j + 1] ?? 0;
  const middle = curve[j];
  if (middle < left || middle < right) return 0;
  const bend = left - 2 * middle + right;
  return bend < 0 ? Math.max(-0.5, Math.min(0.5, (0.5 * (left - right)) / bend)) : 0;
}
