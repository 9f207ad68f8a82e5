/** What a booth-safe copy is asked for, and what is told of it. */
import type { SourceFormat } from '../../shared/analysis.ts';

export type CopyContainer = 'wav' | 'aiff';
export type CopyDepth = 16 | 24;
export type CopyRate = 44100 | 48000;

/** The form that a copy is to have. */
export interface CopyWish {
  container: CopyContainer;
  /** bits per sample, integers */
  depth: CopyDepth;
  /** Hz */
  rate: CopyRate;
}

/**
 * `unchanged`: the original's bytes (markers aside). `exact`: the same samples in a new container or with more bits.
 * `converted`: new samples.
 */
export type CopyKind = 'unchanged' | 'exact' | 'converted';

/** What is done with a level that is too high for the copy. */
export type LevelRule = 'turn-down' | 'keep';

export interface LevelsDb {
  /** dBFS; −Infinity for silence */
  peakDb: number;
  /** dBTP (ITU-R BS.1770-4, Annex 2) */
  truePeakDb: number;
}

/** Before and after of one copy. */
export interface CopyReport {
  /** Name of the original. */
  name: string;
  /** Name of the copy, without a folder; safe names are the business of whoever writes it. */
  fileName: string;
  kind: CopyKind;
  before: LevelsDb & { format: SourceFormat; bytes: number };
  after: LevelsDb & CopyWish & { channels: number; bytes: number };
  /** s of audio in the copy */
  duration: number;
  resampled: boolean;
  /** Never above 0. */
  gainDb: number;
  dithered: boolean;
  /** Samples that were cut off at full scale: 0 unless the level was to be kept. */
  clipped: number;
  carried: { tags: string[]; cover: boolean; markers: number };
  /** What the person should know: plain sentences, empty when all is as one would expect. */
  notes: string[];
}

/** A copy that cannot be made. `message` is one plain sentence with the file's name and the remedy. */
export class CopyFault extends Error {
  override name = 'CopyFault';
}
