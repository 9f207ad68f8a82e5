/** Adaptive Golomb-Rice coding of ALAC's residual, with runs of zeros; after the openly published format. */
import type { BitReader } from '../bit-reader.ts';

/** The running mean is kept with this many fractional bits. */
const MEAN_SHIFT = 9;
const MEAN_ONE = 1 << MEAN_SHIFT;
/** A mean below a quarter switches to counting zeros. */
const RUN_SHIFT = 2;
const RUN_ROUND_SHIFT = 6;
const RUN_ROUND = 16;
const RUN_BIAS = 24;
/** So many ones in a row announce a plain number. */
const ESCAPE_PREFIX = 9;
const RUN_ESCAPE_BITS = 16;
const MEAN_CLAMP = 0xffff;
const LONGEST_RUN = 65535;

export interface GolombParameters {
  pb: number;
  mb: number;
  kb: number;
}

/** One code word with modulus 2^k − 1; `plainBits` is the width after an escape. */
function codeWord(r: BitReader, k: number, modulus: number, plainBits: number): number {
  let prefix = 0;
  while (prefix < ESCAPE_PREFIX && r.small(1) === 1) prefix++;
  if (prefix === ESCAPE_PREFIX) return r.bits(plainBits);
  if (k === 1) return prefix;
  const tail = r.small(k);
  if (tail >= 2) return prefix * modulus + tail - 1;
  // Tails 0 and 1 share one shorter word.
  r.position -= 1;
  return prefix * modulus;
}

/**
 * Decodes `count` residual values.
 * @param plainBits bits of a sample in this channel
 * @throws Error when the data run out or a run of zeros is too long
 */
export function golombBlock(
  r: BitReader,
  { pb, mb, kb }: GolombParameters,
  out: Int32Array,
  count: number,
  plainBits: number,
): void {
  const runMask = (1 << kb) - 1;
  let mean = mb;
  let afterRun = 0;
  for (let i = 0; i < count;) {
    const k = Math.min(31 - Math.clz32((mean >>> MEAN_SHIFT) + 3), kb);
    const n = codeWord(r, k, (1 << k) - 1, plainBits);
    const folded = n + afterRun;
    const half = Math.floor((folded + 1) / 2);
    out[i++] = folded % 2 === 1 ? -half : half;
    mean = n > MEAN_CLAMP ? MEAN_CLAMP : pb * folded + mean - Math.floor((pb * mean) / MEAN_ONE);
    afterRun = 0;
    if (mean << RUN_SHIFT < MEAN_ONE && i < count) {
      const runK = Math.clz32(mean) - RUN_BIAS + ((mean + RUN_ROUND) >> RUN_ROUND_SHIFT);
      const run = codeWord(r, runK, ((1 << runK) - 1) & runMask, RUN_ESCAPE_BITS);
      if (i + run > count) throw new Error('run of zeros is too long');
      out.fill(0, i, i + run);
      i += run;
      afterRun = run < LONGEST_RUN ? 1 : 0;
      mean = 0;
    }
    if (r.overrun) throw new Error('end of data');
  }
}
