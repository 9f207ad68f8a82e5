/** The messages between the page and the analysis worker. `id` is the page's own name for a piece of work. */
import type { Marker } from '../shared/markers/marker.ts';
import type { EarlyTrack, AnalysedTrack } from './analyse.ts';
import type { CopyReport, CopyWish, LevelRule } from './copy/types.ts';
import type { FaultCode } from './decode/types.ts';
import type { Excerpt } from './excerpt.ts';
import type { TrackPcm } from './pcm.ts';
import type { Preview } from './stages/preview.ts';

/** Reads the whole file and answers with `progress`, `early` and then one of `done`, `fault`, `cancelled`. */
export interface AnalyseRequest {
  type: 'analyse';
  id: string;
  file: Blob;
  /** File name as the person knows it. */
  name: string;
  /** About what the tempo is, beats per minute, where the person says so: half and double of it are then out. */
  tempoAround?: number;
}

/** Turns a file that the browser cannot play into a 16-bit WAV: `progress`, then `playable`, `fault` or `cancelled`. */
export interface PlayableRequest {
  type: 'playable';
  id: string;
  file: Blob;
  name: string;
}

/** Makes only the preview for the second opinion: `progress`, then `preview`, `fault` or `cancelled`. */
export interface PreviewRequest {
  type: 'preview';
  id: string;
  file: Blob;
  name: string;
}

/** Reads a short stretch of the sound itself: `progress`, then `excerpt`, `fault` or `cancelled`. */
export interface ExcerptRequest {
  type: 'excerpt';
  id: string;
  file: Blob;
  name: string;
  /** s */
  startTime: number;
  /** At most LONGEST_EXCERPT. */
  seconds: number;
}

/** Reads the whole sound for playing it: `progress`, then `pcm`, `fault` or `cancelled`. */
export interface PcmRequest {
  type: 'pcm';
  id: string;
  file: Blob;
  name: string;
  /** Hz, of the player */
  sampleRate: number;
}

/**
 * Makes a booth-safe copy: `progress`, then `copy-planned`; then one `copy-bytes` for every `copy-more`, and after
 * the last of them `copy`. Or `fault` or `cancelled` at any time.
 */
export interface CopyRequest {
  type: 'copy';
  id: string;
  file: Blob;
  name: string;
  wish: CopyWish;
  /** The person's; they stand in the copy instead of those of the file. */
  markers?: Marker[];
  level?: LevelRule;
  /** Title of the copy; by default the original's. */
  title?: string;
  /** A larger cover is left out of the copy. */
  mostCoverBytes?: number;
}

/** Asks for the next bytes of the copy `id`; so the page never has more of them than it can write. */
export interface CopyMoreRequest {
  type: 'copy-more';
  id: string;
}

/** Stops the work `id`; unknown or finished work is left alone. */
export interface CancelRequest {
  type: 'cancel';
  id: string;
}

export type WorkerRequest =
  | AnalyseRequest
  | PlayableRequest
  | PreviewRequest
  | ExcerptRequest
  | PcmRequest
  | CopyRequest
  | CopyMoreRequest
  | CancelRequest;

/** At most about ten a second. */
export interface ProgressReply {
  type: 'progress';
  id: string;
  /** 0..1, never falling */
  share: number;
}

/** A picture of what has been read so far; the first comes after a small part of the file, then about every 10 %. */
export interface EarlyReply extends Omit<EarlyTrack, 'tags'> {
  type: 'early';
  id: string;
  /** Only with the first. */
  tags?: EarlyTrack['tags'];
}

export interface DoneReply extends AnalysedTrack {
  type: 'done';
  id: string;
}

export interface PlayableReply {
  type: 'playable';
  id: string;
  /** audio/wav */
  blob: Blob;
}

export interface PreviewReply {
  type: 'preview';
  id: string;
  preview: Preview;
}

export interface ExcerptReply {
  type: 'excerpt';
  id: string;
  excerpt: Excerpt;
}

export interface PcmReply {
  type: 'pcm';
  id: string;
  pcm: TrackPcm;
}

/** The copy has been measured; its report is final but for `clipped`. */
export interface CopyPlannedReply {
  type: 'copy-planned';
  id: string;
  /** bytes */
  size: number;
  report: CopyReport;
}

export interface CopyBytesReply {
  type: 'copy-bytes';
  id: string;
  /** In order, at most about a megabyte. */
  bytes: Uint8Array<ArrayBuffer>;
}

/** All bytes have been sent. */
export interface CopyReply {
  type: 'copy';
  id: string;
  report: CopyReport;
}

export interface FaultReply {
  type: 'fault';
  id: string;
  /** `no-copy`: the file is sound, but such a copy of it cannot be made. `unexpected`: an error of ours rather than of the file. */
  code: FaultCode | 'no-copy' | 'unexpected';
  /** One sentence with the file's name and the remedy. */
  sentence: string;
}

export interface CancelledReply {
  type: 'cancelled';
  id: string;
}

export type WorkerReply =
  | ProgressReply
  | EarlyReply
  | DoneReply
  | PlayableReply
  | PreviewReply
  | ExcerptReply
  | PcmReply
  | CopyPlannedReply
  | CopyBytesReply
  | CopyReply
  | FaultReply
  | CancelledReply;
