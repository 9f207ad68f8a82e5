/** AAC in the browser, by WebCodecs. https://www.w3.org/TR/webcodecs/ and its AAC registration. */
import type { Block } from '../types.ts';
import type { AacBackend, AacBlock } from './types.ts';
import { AAC_FRAME, aacChannels, type AacConfig } from './config.ts';

/** Packets that may wait inside the decoder. */
const MOST_WAITING = 64;

function decoderConfig(config: AacConfig): AudioDecoderConfig {
  return {
    codec: `mp4a.40.${config.objectType}`,
    sampleRate: config.sampleRate,
    // Where a program config element says the channels, the decoder finds out; the number here is only a hint.
    numberOfChannels: aacChannels(config.channelConfig) || 2,
    description: config.asc,
  };
}

function toBlock(data: AudioData): AacBlock {
  const block: Block = [];
  for (let c = 0; c < data.numberOfChannels; c++) {
    const plane = new Float32Array(data.numberOfFrames);
    data.copyTo(plane, { planeIndex: c, format: 'f32-planar' });
    block.push(plane);
  }
  const { sampleRate } = data;
  data.close();
  return { sampleRate, block };
}

/** null where the browser does not take the stream. */
export async function webCodecsBackend(config: AacConfig): Promise<AacBackend | null> {
  const wanted = decoderConfig(config);
  const { supported } = await AudioDecoder.isConfigSupported(wanted).catch(() => ({ supported: false }));
  if (!supported) return null;
  return {
    async *decode(batches, _config, damaged): AsyncGenerator<AacBlock> {
      const ready: AacBlock[] = [];
      let broken = false;
      const create = () => {
        const decoder = new AudioDecoder({
          output: (data) => void ready.push(toBlock(data)),
          error: () => void (broken = true),
        });
        decoder.configure(wanted);
        return decoder;
      };
      let decoder = create();
      let timestamp = 0;
      /** Samples owed: every packet has its place in time whether it could be decoded or not. */
      let owed = 0;
      let shape: { sampleRate: number; channels: number; perPacket: number } | null = null;
      const take = function* (): Generator<AacBlock> {
        for (const out of ready.splice(0)) {
          shape ??= {
            sampleRate: out.sampleRate,
            channels: out.block.length,
            perPacket: out.sampleRate > config.sampleRate ? 2 * AAC_FRAME : AAC_FRAME,
          };
          owed -= out.block[0].length / shape.perPacket;
          yield out;
        }
      };
      const drain = async () => {
        try {
          await decoder.flush();
        } catch {
          broken = true;
        }
      };
      try {
        for await (const batch of batches) {
          for (const packet of batch) {
            if (decoder.state === 'closed') broken = true;
            if (!broken) {
              const chunk = { type: 'key' as const, timestamp, data: packet };
              decoder.decode(new EncodedAudioChunk(chunk));
            }
            owed++;
            timestamp += Math.round((AAC_FRAME / config.sampleRate) * 1e6);
            if (decoder.decodeQueueSize > MOST_WAITING) {
              await new Promise<void>((resolve) => {
                decoder.addEventListener('dequeue', () => resolve(), { once: true });
                // An error closes the decoder without another dequeue.
                setTimeout(resolve, 50);
              });
            }
          }
          yield* take();
          if (broken) {
            damaged();
            yield* take();
            if (shape && owed > 0) {
              const { sampleRate, channels, perPacket } = shape;
              const block = Array.from(
                { length: channels },
                () => new Float32Array(Math.round(owed * perPacket)),
              );
              yield { sampleRate, block };
            }
            owed = 0;
            broken = false;
            if (decoder.state !== 'closed') decoder.close();
            decoder = create();
          }
        }
        if (decoder.state !== 'closed') await drain();
        if (broken) damaged();
        yield* take();
      } finally {
        if (decoder.state !== 'closed') decoder.close();
        ready.length = 0;
      }
    },
  };
}
