/** What every container's reader and writer of markers offers. */
import type { ExchangeContext, ReadMarkers } from '../../shared/exchange/types.ts';
import type { Marker } from '../../shared/markers/marker.ts';
import type { ByteSource } from '../decode/types.ts';

/** A piece of a copy: bytes [from, to) of the original, or new bytes. */
export type Part = { from: number; to: number } | Uint8Array<ArrayBuffer>;

/** A copy that has been planned; nothing of the audio is in memory. */
export interface MarkersCopy {
  /** In order. */
  parts: Part[];
  /** bytes */
  size: number;
  /** What the person should know about the copy: plain sentences. */
  notes: string[];
}

/** Markers that a file carries; `resolution` is the unit of their times in it, s. */
export interface FileMarkers extends ReadMarkers {
  resolution: number;
}

/** What the person may choose about a copy. */
export interface WriteWish {
  /** FLAC: a cue sheet block beside the chapters in the comments. Other containers have none. */
  cueSheetBlock?: boolean;
}

/** @param start byte at which the container begins, after tags in front of it */
export type WriteMarkers = (
  source: ByteSource,
  start: number,
  markers: readonly Marker[],
  context: ExchangeContext,
  wish: WriteWish,
) => Promise<MarkersCopy>;

export type ReadFileMarkers = (
  source: ByteSource,
  start: number,
  context: ExchangeContext,
) => Promise<FileMarkers>;
