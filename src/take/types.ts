/** What a take-along folder is made of, and how writing it ends. */

/** One file of the folder. */
export interface TakeFile {
  /** Relative, with `/` between folders; as `uniquePaths` makes them. */
  path: string;
  /** Called once, when it is this file's turn. The bytes come as they are asked for. */
  open(signal: AbortSignal): Promise<AsyncIterable<Uint8Array>>;
}

export interface WrittenFile {
  path: string;
  /** bytes */
  size: number;
  /** 64 small hex digits */
  sha256: string;
}

/** All files have been written and read back. */
export interface TakeResult {
  /** Name of the folder, which may differ from the one that was asked for. */
  folder: string;
  /** In order; the list of checksums is the last. */
  files: WrittenFile[];
}

export interface TakeProgress {
  step: 'writing' | 'checking';
  path: string;
  /** Files that are done, of all of them (the list of checksums not counted). */
  done: number;
  files: number;
  /** bytes written so far */
  bytes: number;
}

export interface TakeOptions {
  signal?: AbortSignal;
  onProgress?: (progress: TakeProgress) => void;
}

export type TakeFaultCode = 'cancelled' | 'full' | 'permission' | 'gone' | 'check' | 'source' | 'unexpected';

/** The folder is not done. `message` is what to show: what happened, what is left of it, and the remedy. */
export class TakeFault extends Error {
  override name = 'TakeFault';
  constructor(
    readonly code: TakeFaultCode,
    message: string,
    /** Paths that could not be removed again; they are not whole. */
    readonly leftovers: readonly string[],
    options?: ErrorOptions,
  ) {
    super(message, options);
  }
}
