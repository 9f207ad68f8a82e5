/**
 * What the analysis knows of a track: plain data with typed arrays, so that it can be transferred from the
 * worker and stored as it is. Times are in seconds (float64) from the first decoded sample, levels linear
 * 0..1 unless a name ends in `Db`, frequencies in Hz, tempo in beats per minute.
 */
import type { Pyramid } from './pyramid.ts';
import type { BeatGrid } from './grid/grid.ts';

/** Raised whenever stored analyses of an older number can no longer be read as they are. */
export const ANALYSIS_VERSION = 1;

/** What the file is, as far as decoder and tag reader can tell. */
export interface SourceFormat {
  /** Container in plain words: `wav`, `aiff`, `mp3`, `m4a`, `flac`, `ogg`. */
  container: string;
  /** Codec in plain words: `pcm`, `float`, `mp3`, `aac`, `alac`, `flac`, `vorbis`, `opus`. */
  codec: string;
  lossless: boolean;
  /** Hz */
  sampleRate: number;
  channels: number;
  /** Bits per sample where the format has them, else null. */
  bitDepth: number | null;
  /** Bits per second where known, else null. */
  bitrate: number | null;
}

/** Why a track is only partly read. `sentence` names the file and the remedy. */
export interface Partial {
  reason: 'truncated' | 'damaged';
  sentence: string;
}

export type SectionLabel = 'intro' | 'build' | 'drop' | 'breakdown' | 'outro' | (string & {});

/** One stretch of a track between two boundaries. */
export interface Section {
  /** s */
  startTime: number;
  /** s */
  endTime: number;
  /** A musical name where it is sure enough, else a plain letter. */
  label: SectionLabel;
  /** 0..1: how sharply the section's start differs from what was before. */
  strength: number;
  /** Why the boundary is here, in words ("the bass comes in, the pattern repeats from here"). */
  why: string;
  /** 0..1: mean loudness of the section against the track's loudest section. */
  energy: number;
}

/** Key as a plain musical name. */
export interface KeyEstimate {
  /** For instance `A minor`. */
  name: string;
  /** 0..1 */
  confidence: number;
}

/** Programme loudness after ITU-R BS.1770-4 and EBU Tech 3341 / 3342. */
export interface Loudness {
  /** LUFS */
  integratedDb: number;
  /** LUFS, the largest 400 ms window; missing in analyses that were stored before it was measured. */
  momentaryMaxDb?: number;
  /** LUFS, the largest 3 s window */
  shortTermMaxDb: number;
  /** LU */
  rangeDb: number;
  /** dBTP */
  truePeakDb: number;
}

export interface TrackAnalysis {
  version: typeof ANALYSIS_VERSION;
  source: SourceFormat;
  /** s of decoded audio */
  duration: number;
  /** Largest absolute sample of any channel, linear (may exceed 1 in float files). */
  peak: number;
  /** Nothing above −90 dBFS anywhere. */
  silent: boolean;
  /** Set when the file could not be read to its end. */
  partial: Partial | null;
  pyramid: Pyramid;
  grid: BeatGrid;
  /** Empty until the structure is known. */
  sections: Section[];
  key: KeyEstimate | null;
  loudness: Loudness | null;
}
