/** Says in words what changes at a boundary, from the figures on both sides of it. */
import { BANDS, type Band } from '../../../shared/bands.ts';
import { PHRASE_BARS } from './cells.ts';
import { type CellFeatures, meanOf } from './features.ts';
import type { SelfSimilarity } from './novelty.ts';

/** Cells to each side that are compared: what is heard just before against what is heard just after. */
const NEAR = PHRASE_BARS;
/** dB: a band that changes by more comes in or drops out, by less gets stronger or weaker, below is not named. */
const COMES_DB = 8;
const STRONGER_DB = 2;
/** dB above its floor (see features) below which a band counts as gone. */
const GONE_DB = 24;
const LOUDER_DB = 1;
/** Changes of pulse that are named, as a share of the liveliest bars. */
const PULSE_COMES = 0.3;
/** Distance of the pitch classes from which the harmony is said to change. */
const HARMONY_CHANGES = 0.2;
/** dB over a whole section from which a band is said to rise or fall. */
const TREND_DB = 5;
const MOST_REASONS = 3;

interface Change {
  words: string;
  /** How far past its threshold, for putting the plainest first. */
  weight: number;
}

export interface Span {
  from: number;
  to: number;
}

/**
 * One sentence without its full stop, for instance "the bass comes in, the drums start".
 * @param earlier start time in words of an earlier section that this one repeats, or null
 */
export function explain(
  features: CellFeatures,
  similarity: SelfSimilarity,
  before: Span,
  here: Span,
  bars: boolean,
  earlier: string | null,
): string {
  const a = { from: Math.max(before.from, before.to - NEAR), to: before.to };
  const b = { from: here.from, to: Math.min(here.to, here.from + NEAR) };
  const pulses = pulseChanges(features, a, b);
  const changes = [...BANDS.map((_, band) => levelChange(features, band, a, b)), ...pulses];
  const span = Math.min(a.to - a.from, b.to - b.from);
  const distance = similarity.harmonyDistance(b.from - span, b.from, b.from + span);
  const tonal = Math.min(meanOf(features.tonal, a.from, a.to), meanOf(features.tonal, b.from, b.to));
  if (distance > HARMONY_CHANGES && tonal > HARMONY_CHANGES) {
    changes.push({ words: 'the harmony changes', weight: distance / HARMONY_CHANGES });
  }
  const found = changes.filter((change) => change !== null).sort((x, y) => y.weight - x.weight);
  const words = found.slice(0, MOST_REASONS).map((change) => change.words);
  if (!words.length) words.push(loudnessChange(features, a, b) ?? 'several small changes meet here');
  const trend = trendIn(features, here, bars);
  if (trend) words.push(trend);
  if (earlier) words.push(`what was heard at ${earlier} returns`);
  return words.join(', ');
}

function levelChange(features: CellFeatures, band: number, a: Span, b: Span): Change | null {
  const values = features.level[band];
  const before = meanOf(values, a.from, a.to);
  const after = meanOf(values, b.from, b.to);
  const change = after - before;
  const size = Math.abs(change);
  if (size < STRONGER_DB) return null;
  const lowest = Math.min(...values);
  const name = bandWords(BANDS[band]);
  const fromNothing = size >= COMES_DB && Math.min(before, after) - lowest < GONE_DB;
  const words = fromNothing
    ? change > 0
      ? `${name} comes in`
      : `${name} drops out`
    : `${name} gets ${change > 0 ? 'stronger' : 'weaker'}`;
  return { words, weight: size / STRONGER_DB };
}

function bandWords(band: Band): string {
  return band === 'middle' ? 'the middle' : `the ${band}`;
}

/** Drums when attacks change in two bands or more, else the one band's attacks. */
function pulseChanges(features: CellFeatures, a: Span, b: Span): Change[] {
  const changes = BANDS.map((band, index) => {
    const pulse = features.pulse[index];
    const level = features.level[index];
    return {
      band,
      pulse: meanOf(pulse, b.from, b.to) - meanOf(pulse, a.from, a.to),
      level: meanOf(level, b.from, b.to) - meanOf(level, a.from, a.to),
    };
  })
    // Attacks that are fewer because something covers them have not stopped.
    .filter((c) => c.pulse > PULSE_COMES || (c.pulse < -PULSE_COMES && c.level < STRONGER_DB));
  const started = changes.filter((c) => c.pulse > 0 && c.level > -STRONGER_DB);
  const stopped = changes.filter((c) => c.pulse < 0);
  const weigh = (list: typeof changes) =>
    Math.max(...list.map((c) => Math.abs(c.pulse))) / PULSE_COMES + list.length;
  if (started.length > 1) return [{ words: 'the drums start', weight: weigh(started) }];
  if (stopped.length > 1) return [{ words: 'the drums stop', weight: weigh(stopped) }];
  return changes.map(({ band, pulse, level }) => {
    const what = band === 'bass' ? 'the low beat' : `the beat in ${bandWords(band)}`;
    const does = pulse < 0 ? 'stops' : level < -STRONGER_DB ? 'is laid bare' : 'starts';
    return { words: `${what} ${does}`, weight: Math.abs(pulse) / PULSE_COMES };
  });
}

function loudnessChange(features: CellFeatures, a: Span, b: Span): string | null {
  const change = meanOf(features.loudness, b.from, b.to) - meanOf(features.loudness, a.from, a.to);
  if (Math.abs(change) < LOUDER_DB) return null;
  return `it gets ${change > 0 ? 'louder' : 'quieter'} by ${Math.round(Math.abs(change))} dB`;
}

/** "treble rises over 8 bars": the band with the plainest trend through the section. */
function trendIn(features: CellFeatures, { from, to }: Span, bars: boolean): string | null {
  let best: { words: string; size: number } | null = null;
  BANDS.forEach((band, index) => {
    const rise = trend(features.level[index], from, to);
    const size = Math.abs(rise);
    if (size < TREND_DB || size <= (best?.size ?? 0)) return;
    const length = bars ? ` over ${to - from} bars` : '';
    best = { words: `${bandWords(band)} ${rise > 0 ? 'rises' : 'falls'}${length}`, size };
  });
  return (best as { words: string } | null)?.words ?? null;
}

/** Rise of the straight line that fits `values[from..to)` best (least squares), over the whole stretch. */
export function trend(values: Float64Array, from: number, to: number): number {
  const n = to - from;
  if (n < 4) return 0;
  const middle = (n - 1) / 2;
  let sxy = 0;
  let sxx = 0;
  for (let i = 0; i < n; i++) {
    sxy += (i - middle) * values[from + i];
    sxx += (i - middle) ** 2;
  }
  const slope = sxy / sxx;
  // A step in the middle also slopes; a trend must carry the first and the last quarter with it, and the quarters
  // between them must not fall back.
  const quarters = [0, 1, 2, 3].map((q) =>
    meanOf(values, from + Math.floor((q * n) / 4), from + Math.floor(((q + 1) * n) / 4)),
  );
  const sign = Math.sign(slope);
  const steady = quarters.every((v, i) => i === 0 || sign * (v - quarters[i - 1]) > 0);
  return steady ? slope * (n - 1) : 0;
}
