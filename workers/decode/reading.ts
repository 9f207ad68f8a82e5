/** What every container's reader gives to `open.ts`. */
import type { SourceFormat } from '../../shared/analysis.ts';
import type { Block, ByteSource } from './types.ts';

/** The reader's side of one run over the file: it reports, `open.ts` decides what to tell the person. */
export interface Run {
  /** Byte offset that has been consumed, for the progress. */
  at(position: number): void;
  /** Data was lost or unreadable in the middle; decoding goes on after it. */
  damaged(): void;
  /** The data ends before it should. */
  truncated(): void;
}

/** One file whose header has been understood. */
export interface Reading {
  format: SourceFormat;
  /** s, or null when the file does not say */
  declaredDuration: number | null;
  /** True when the declared duration is exact to a frame, so that falling short of it means a cut file. */
  durationIsExact: boolean;
  /** True when nobody else holds the blocks' arrays, so that whoever has used one up may release its memory. */
  ownBlocks?: boolean;
  /** Decoded audio in order, in blocks of any length; an empty block means only that work goes on. */
  decode(run: Run): AsyncGenerator<Block, void, void>;
}

/** Opens the file whose data start at byte `start` (after tags); throws a DecodeFault when it cannot be read. */
export type OpenReading = (source: ByteSource, start: number) => Promise<Reading>;
