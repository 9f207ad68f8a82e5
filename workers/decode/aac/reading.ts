/** Turns a source of AAC packets into a Reading: finds out rate and channels, trims the encoder's delay. */
import { unsupportedCodec, damaged } from '../sentences.ts';
import type { Run } from '../reading.ts';
import { DecodeFault, type Block } from '../types.ts';
import { aacBackend } from './backend.ts';
import { AAC_FRAME, type AacConfig } from './config.ts';

/** Packets decoded when the file is opened. */
const PROBE = 4;

export interface AacStream {
  config: AacConfig;
  /** Packets from the first one on. */
  packets(run: Run): AsyncGenerator<Uint8Array[], void, void>;
  /** s of decoded audio to drop at the start. */
  skip: number;
  /** s to keep after that, or null for all. */
  keep: number | null;
}

export interface AacOpened {
  sampleRate: number;
  channels: number;
  /** Samples per packet at `sampleRate`. */
  perPacket: number;
  decode(run: Run): AsyncGenerator<Block, void, void>;
}

const NO_RUN: Run = { at: () => {}, damaged: () => {}, truncated: () => {} };

/** Names the stream for a sentence. */
function nameOf(config: AacConfig): string {
  if (config.channelConfig > 2 || config.channelConfig === 0) return 'AAC with more than two channels';
  return config.objectType === 2 ? 'AAC' : `AAC of a rare kind (object type ${config.objectType})`;
}

/** Opens a stream with the decoder that this place has. */
export async function openAac(name: string, stream: AacStream): Promise<AacOpened> {
  const { config } = stream;
  const backend = await aacBackend(config);
  if (!backend) throw new DecodeFault('unsupported-codec', unsupportedCodec(name, nameOf(config)));

  const probe = async function* () {
    for await (const batch of stream.packets(NO_RUN)) {
      yield batch.slice(0, PROBE);
      break;
    }
  };
  let shape: { sampleRate: number; channels: number } | null = null;
  for await (const { sampleRate, block } of backend.decode(probe(), config, () => {}))
    shape ??= { sampleRate, channels: block.length };
  if (!shape) throw new DecodeFault('damaged', damaged(name));
  const { sampleRate, channels } = shape;

  return {
    sampleRate,
    channels,
    perPacket: sampleRate > config.sampleRate ? 2 * AAC_FRAME : AAC_FRAME,
    async *decode(run) {
      let skip = Math.round(stream.skip * sampleRate);
      let left = stream.keep === null ? Infinity : Math.round(stream.keep * sampleRate);
      for await (const out of backend.decode(stream.packets(run), config, run.damaged)) {
        if (out.sampleRate !== sampleRate || out.block.length !== channels) {
          run.damaged();
          continue;
        }
        const length = out.block[0].length;
        const from = Math.min(skip, length);
        const to = Math.min(length, from + left);
        skip -= from;
        left -= to - from;
        if (to > from)
          yield from === 0 && to === length ? out.block : out.block.map((x) => x.slice(from, to));
        if (left <= 0) break;
      }
    },
  };
}
