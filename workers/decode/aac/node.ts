/**
 * AAC under Node, by a Web Audio implementation: stretches of packets are given ADTS headers and decoded, each with
 * a packet before it whose output is dropped, because a packet's samples overlap with the one before.
 * It knows AAC-LC in mono and stereo, without SBR (a stream with SBR comes out at the core's rate).
 */
import type { AacBackend, AacBlock } from './types.ts';
import { AAC_FRAME, ADTS_BYTES, LC, putAdts, type AacConfig } from './config.ts';

/** Packets per call: some 3 s, so that memory stays bounded and calls are few. */
const STRETCH = 128;
/** Packets decoded before a stretch for their overlap. */
const PRE_ROLL = 2;

interface AudioBufferLike {
  numberOfChannels: number;
  length: number;
  sampleRate: number;
  getChannelData(channel: number): Float32Array;
}
interface Context {
  decodeAudioData(data: ArrayBuffer): Promise<AudioBufferLike>;
}

async function context(sampleRate: number): Promise<Context> {
  // A name in a variable keeps bundlers from following it: the browser build never contains this package.
  const name = 'node-web-audio-api';
  const { OfflineAudioContext } = (await import(/* @vite-ignore */ name)) as {
    OfflineAudioContext: new (channels: number, length: number, sampleRate: number) => Context;
  };
  return new OfflineAudioContext(1, 1, sampleRate);
}

function withHeaders(packets: Uint8Array[], config: AacConfig): ArrayBuffer {
  const out = new Uint8Array(packets.reduce((n, p) => n + p.length + ADTS_BYTES, 0));
  let at = 0;
  for (const packet of packets) at = putAdts(out, at, packet, config);
  return out.buffer;
}

/** null for what it cannot decode. */
export function nodeBackend(config: AacConfig): AacBackend | null {
  if (
    config.objectType !== LC ||
    config.rateIndex > 12 ||
    config.channelConfig < 1 ||
    config.channelConfig > 2
  )
    return null;
  return {
    async *decode(batches, _config, damaged): AsyncGenerator<AacBlock> {
      const audio = await context(config.sampleRate);
      let before: Uint8Array[] = [];
      const silence = (packets: number) =>
        Array.from({ length: config.channelConfig }, () => new Float32Array(packets * AAC_FRAME));

      /** A damaged packet spoils its stretch; halves are tried until only it is silent. */
      async function* stretch(packets: Uint8Array[]): AsyncGenerator<AacBlock> {
        try {
          const buffer = await audio.decodeAudioData(withHeaders([...before, ...packets], config));
          const skip = before.length * AAC_FRAME;
          if (buffer.length !== skip + packets.length * AAC_FRAME) throw new Error('packets were dropped');
          const block = Array.from({ length: buffer.numberOfChannels }, (_, c) =>
            buffer.getChannelData(c).slice(skip),
          );
          yield { sampleRate: buffer.sampleRate, block };
        } catch {
          if (packets.length > 1) {
            const half = packets.length >> 1;
            yield* stretch(packets.slice(0, half));
            yield* stretch(packets.slice(half));
            return;
          }
          damaged();
          before = [];
          yield { sampleRate: config.sampleRate, block: silence(packets.length) };
          return;
        }
        before = [...before, ...packets].slice(-PRE_ROLL);
      }

      let waiting: Uint8Array[] = [];
      for await (const batch of batches) {
        waiting.push(...batch);
        while (waiting.length >= STRETCH) {
          yield* stretch(waiting.slice(0, STRETCH));
          waiting = waiting.slice(STRETCH);
        }
      }
      if (waiting.length > 0) yield* stretch(waiting);
    },
  };
}
