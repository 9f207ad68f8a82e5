/** Which form a copy is to have so that every deck of a booth loads it. */
import type { SourceFormat } from '../../shared/analysis.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { noCommonContainer, noCommonDepth, noCommonRate } from './sentences.ts';
import { CopyFault, type CopyContainer, type CopyRate, type CopyWish } from './types.ts';

/** What of a profile decides whether it loads a file. */
export type LoadingDeck = Pick<DeckProfile, 'name' | 'media'>;

const LOW: CopyRate = 44100;
const HIGH: CopyRate = 48000;
const MOST_CHANNELS = 2;

export interface CopyPlan {
  wish: CopyWish;
  channels: number;
  /** The rate changes, so that every sample is new. */
  resample: boolean;
  /**
   * Whether dither will be needed as far as the format tells; where the samples fit the new depth as they are (a
   * 24-bit file with nothing in the last eight bits) none is added in the end.
   */
  dither: boolean;
  /** The file has that form already. */
  fits: boolean;
}

/** 44.1 and 48 kHz stay, and their multiples become that of which they are: the filter is then the gentlest. */
function rateFor(sampleRate: number, highest: number): CopyRate {
  if (highest < HIGH) return LOW;
  return sampleRate % HIGH === 0 || (HIGH % sampleRate === 0 && LOW % sampleRate !== 0) ? HIGH : LOW;
}

/**
 * The form that every deck loads and that loses least. AIFF where the file is one or is neither, because readers
 * agree better on the place of its tag than on WAV's (common practice, no source); WAV else.
 * @throws CopyFault when there is none
 */
export function safestFor(decks: readonly LoadingDeck[], source: SourceFormat): CopyWish {
  const reads = (container: CopyContainer) => decks.every((d) => d.media.formats.includes(container));
  const preferred: CopyContainer[] = source.container === 'wav' ? ['wav', 'aiff'] : ['aiff', 'wav'];
  const container = preferred.find(reads);
  if (!container) {
    const neither = decks.filter((d) => !d.media.formats.some((f) => f === 'wav' || f === 'aiff'));
    throw new CopyFault(noCommonContainer((neither.length ? neither : decks).map((d) => d.name)));
  }
  const slow = decks.find((d) => d.media.maxSampleRate < LOW);
  if (slow) throw new CopyFault(noCommonRate(slow.name));
  const shallow = decks.find((d) => d.media.maxBitDepth < 16);
  if (shallow) throw new CopyFault(noCommonDepth(shallow.name));
  const highest = Math.min(...decks.map((d) => d.media.maxSampleRate), Infinity);
  const deepest = Math.min(...decks.map((d) => d.media.maxBitDepth), Infinity);
  const isDeep = source.lossless && (source.bitDepth ?? 16) > 16;
  return {
    container,
    depth: isDeep && deepest >= 24 ? 24 : 16,
    rate: rateFor(source.sampleRate, highest),
  };
}

/** What making the copy will take. */
export function planCopy(source: SourceFormat, wish: CopyWish): CopyPlan {
  const resample = source.sampleRate !== wish.rate;
  const channels = Math.min(MOST_CHANNELS, source.channels);
  const isInteger = source.lossless && source.codec !== 'float' && source.bitDepth !== null;
  const dither = resample || !isInteger || source.bitDepth! > wish.depth;
  const fits =
    !dither &&
    source.codec === 'pcm' &&
    source.container === wish.container &&
    source.bitDepth === wish.depth &&
    channels === source.channels;
  return { wish, channels, resample, dither, fits };
}
