/**
 * A stage of the analysis: samples in, arrays out. No DOM, no clock, no globals, so that the worker, Node,
 * the tests and the bench run the same code.
 */
export interface Stage<Result> {
  /**
   * Takes the next block of the track. The block belongs to the caller: copy what must be kept.
   * @param block one array per channel, all of one length, linear samples (full scale = 1)
   */
  push(block: readonly Float32Array[]): void;
  /** Called once after the last block. */
  finish(): Result;
}

/** What every stage is told before the first block. */
export interface StreamInfo {
  /** Hz */
  sampleRate: number;
  channels: number;
}
