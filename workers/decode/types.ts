/** The contract between the decoders and everything after them. */
import type { Partial, SourceFormat } from '../../shared/analysis.ts';

/** One block of decoded audio: one array per channel, all of one length, linear samples (full scale = 1). */
export type Block = Float32Array[];

/** A file that can be read in pieces: a Blob in the browser, a file handle under Node. */
export interface ByteSource {
  /** File name as the person knows it; every sentence about the file names it. */
  name: string;
  /** bytes */
  size: number;
  /** Reads bytes [start, end) (clamped to the file). */
  read(start: number, end: number): Promise<Uint8Array>;
}

export interface DecodeOptions {
  /** Called with the share of the file that has been read, 0..1, never falling. */
  onProgress?: (share: number) => void;
  signal?: AbortSignal;
}

/** An opened file: its format is known, its audio comes block by block. */
export interface OpenTrack {
  format: SourceFormat;
  /** Duration that the file declares, s, or null; the truth is what `blocks` yields. */
  declaredDuration: number | null;
  /** True when nobody else holds the blocks' arrays, so that whoever has used one up may release its memory. */
  readonly ownBlocks: boolean;
  /**
   * The audio, in order, in blocks of at most about a second. Throws a DecodeFault when nothing can be read.
   * A stream that breaks off ends early and sets `partial`.
   */
  blocks(): AsyncGenerator<Block, void, void>;
  /** Set, once `blocks` has ended, when the file could not be read to its end. */
  readonly partial: Partial | null;
}

export type FaultCode = 'empty' | 'not-audio' | 'unsupported-codec' | 'damaged' | 'protected' | 'unreadable';

/** Bad input. `message` is one plain sentence with the file's name and the remedy. */
export class DecodeFault extends Error {
  override name = 'DecodeFault';
  constructor(
    readonly code: FaultCode,
    message: string,
  ) {
    super(message);
  }
}
