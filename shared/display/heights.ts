/**
 * From linear levels to the steps of a display. One mapping for every deck, so that two rungs differ only by
 * what their displays can show.
 */

/**
 * Exponent of the perceptual curve. Loudness grows with the 0.6th power of sound pressure (Stevens 1955, *The
 * measurement of loudness*; the doubling per 10 dB of the sone), so half the height is heard as half as loud.
 * Citation from memory.
 */
export const LOUDNESS_EXPONENT = 0.6;
/**
 * Share of the peak in the level that is drawn; the rest is RMS. Estimate: the peak alone makes a solid block
 * of any limited master, the RMS alone hides the hit at the start of a beat.
 */
export const PEAK_SHARE = 0.5;
/** A full-scale sine has this RMS; it is scaled to 1, so that the sine reaches the full height by both. */
const SINE_RMS = Math.SQRT1_2;
/** What the RMS of a column is multiplied by. */
export const RMS_SHARE = (1 - PEAK_SHARE) / SINE_RMS;

/** Levels in the look-up table of the curve; its quantum of 1/4096 is 72 dB below full scale. */
export const TABLE_SIZE = 4096;
const CURVE = Float32Array.from({ length: TABLE_SIZE + 1 }, (_, i) => (i / TABLE_SIZE) ** LOUDNESS_EXPONENT);

/** `level^0.6` for a linear level, by table; levels of 1 and more give 1. */
export function loudnessOf(level: number): number {
  return level >= 1 ? 1 : CURVE[nearest(level * TABLE_SIZE)];
}

/** `Math.round` of a number from 0 on, several times as fast: these are the innermost steps of every display. */
const nearest = (x: number): number => (x + 0.5) | 0;

/**
 * Level of one column as an index into `heightTable`.
 * @param peak linear peak 0..1 (larger is drawn as 1)
 * @param rms linear RMS 0..1
 */
export function levelOf(peak: number, rms: number): number {
  const level = PEAK_SHARE * peak + RMS_SHARE * rms;
  return level >= 1 ? TABLE_SIZE : nearest(level * TABLE_SIZE);
}

const tables = new Map<number, Uint16Array>();

/** Heights 0..steps by level: the perceptual curve, reduced to the heights that a display can tell apart. */
export function heightTable(steps: number): Uint16Array {
  let table = tables.get(steps);
  if (!table) tables.set(steps, (table = Uint16Array.from(CURVE, (height) => Math.round(height * steps))));
  return table;
}

/** Height of one column in steps, an integer 0..steps. */
export function heightOfLevel(peak: number, rms: number, steps: number): number {
  return heightTable(steps)[levelOf(peak, rms)];
}

/**
 * Where the weight of a column lies between bass (0) and treble (1). The bands are weighed by their loudness,
 * not their power: the power of music falls by some 3 to 5 dB per octave, so by power nearly every column would
 * be bass.
 */
export function bandBalance(bass: number, middle: number, treble: number): number {
  const b = loudnessOf(bass);
  const m = loudnessOf(middle);
  const t = loudnessOf(treble);
  const sum = b + m + t;
  return sum > 0 ? (m / 2 + t) / sum : 0;
}

/** Share of the treble (0..1) in a column, the bands weighed by loudness as in `bandBalance`. */
export function trebleShare(bass: number, middle: number, treble: number): number {
  const t = loudnessOf(treble);
  const sum = loudnessOf(bass) + loudnessOf(middle) + t;
  return sum > 0 ? t / sum : 0;
}

/** The step 0..steps-1 that a share 0..1 falls into. */
export function colourStep(share: number, steps: number): number {
  return Math.min(steps - 1, (share * steps) | 0);
}
