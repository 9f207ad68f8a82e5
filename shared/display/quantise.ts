/** Columns of a pyramid reduced to the heights and colours of one display: this is where the time of a display goes. */
import { vectorOrPlain } from '../simd/vectors.ts';
import { bandBalance, colourStep, trebleShare } from './heights.ts';
import { plainHeights } from './plain-heights.ts';
import type { Resolution } from './resolution.ts';
import { firstFine, pastFine, rootMean, type Source } from './source.ts';
import { vectorHeights } from './vector-heights.ts';

let quickest: typeof plainHeights | undefined;

/** What `plainHeights` does, on vector instructions where there are some. */
export const heightsInto: typeof plainHeights = (...what) => {
  quickest ??= vectorOrPlain(vectorHeights, () => plainHeights);
  quickest(...what);
};

/**
 * Shades of columns `from` to `to - 1` by the share of the bands, written there into `colours`: of a kind that has
 * shades.
 * @param heights of the same columns: one without a height shows no colour, so it must not carry one
 */
export function coloursInto(
  { level, ratio }: Source,
  { kind, colourSteps }: Resolution,
  heights: Uint16Array,
  from: number,
  to: number,
  colours: Uint8Array,
): void {
  const share = kind === 'tint' ? bandBalance : trebleShare;
  const [bass, middle, treble] = level.rms;
  const end = level.length;
  for (let column = from; column < to; column++) {
    if (!heights[column]) continue;
    const first = firstFine(column, ratio);
    const past = Math.min(end, pastFine(column, ratio));
    let bassPower = 0;
    let middlePower = 0;
    let treblePower = 0;
    for (let i = first; i < past; i++) {
      bassPower += bass[i] * bass[i];
      middlePower += middle[i] * middle[i];
      treblePower += treble[i] * treble[i];
    }
    const length = past - first;
    colours[column] = colourStep(
      share(rootMean(bassPower, length), rootMean(middlePower, length), rootMean(treblePower, length)),
      colourSteps,
    );
  }
}
