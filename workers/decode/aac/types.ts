/** The contract between the AAC decoders and the readers of the containers. */
import type { Block } from '../types.ts';
import type { AacConfig } from './config.ts';

/** Decoded audio with the rate that it turned out to have. */
export interface AacBlock {
  sampleRate: number;
  block: Block;
}

export interface AacBackend {
  /**
   * Decodes packets in order. Samples come out for every packet from the first one on (1024 each, or 2048 with SBR);
   * nothing is trimmed. Unreadable packets come out as silence and are reported.
   * @param packets batches of packets
   */
  decode(
    packets: AsyncIterable<Uint8Array[]>,
    config: AacConfig,
    damaged: () => void,
  ): AsyncGenerator<AacBlock>;
}
