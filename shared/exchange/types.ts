/** What every exchange format of markers offers. */
import type { Marker } from '../markers/marker.ts';

/** The track that markers belong to, as far as a format has a place for it. */
export interface ExchangeContext {
  /** Name of the file that is read or written; every sentence names it. */
  fileName: string;
  /** Length of the track, s. */
  duration: number;
  title?: string | null;
  artist?: string | null;
  /** Name of the audio file, for formats that refer to it. */
  audioName?: string | null;
}

export interface ReadMarkers {
  /** In order; they pass `faultOf`. */
  markers: Marker[];
  /** What was left out or changed and why, and what the person should check: plain sentences. */
  notes: string[];
}

/** One text format. `read` takes everything or throws an ExchangeFault. */
export interface TextFormat {
  id: string;
  /** As a person calls it. */
  name: string;
  /** Ending of its files, without the dot. */
  extension: string;
  mediaType: string;
  /** Unit of its times, s: another program sees a marker within half of it. 0: exact. */
  resolution: number;
  write(markers: readonly Marker[], context: ExchangeContext): string;
  read(text: string, context: ExchangeContext): ReadMarkers;
  /** What another program will not see of these markers: plain sentences, empty when it sees all that matters. */
  unseen(markers: readonly Marker[], context: ExchangeContext): string[];
}

/** Markers that cannot be read or written. `message` is one plain sentence with the file, the place and the remedy. */
export class ExchangeFault extends Error {
  override name = 'ExchangeFault';
}

/** A fault at a line (counted from 1) of a text. */
export function faultAtLine(context: ExchangeContext, line: number, sentence: string): ExchangeFault {
  return new ExchangeFault(`${context.fileName}, line ${line}: ${sentence}`);
}
