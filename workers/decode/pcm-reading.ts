/** Reads a stretch of uncompressed samples; WAV and AIFF share it. */
import { frameBytes, pcmToBlock, type PcmLayout } from './pcm.ts';
import type { Run } from './reading.ts';
import type { Block, ByteSource } from './types.ts';

/** bytes per read */
const CHUNK = 256 * 1024;

/**
 * @param start absolute offset of the first sample
 * @param end absolute offset behind the last one that the header declares
 */
export async function* decodePcm(
  source: ByteSource,
  start: number,
  end: number,
  layout: PcmLayout,
  run: Run,
): AsyncGenerator<Block, void, void> {
  const frame = frameBytes(layout);
  const chunk = Math.max(1, Math.floor(CHUNK / frame)) * frame;
  for (let p = start; p + frame <= Math.min(end, source.size); p += chunk) {
    const bytes = await source.read(p, Math.min(p + chunk, end));
    run.at(p + bytes.length);
    if (bytes.length >= frame) yield pcmToBlock(bytes, layout);
    if (bytes.length < Math.min(chunk, end - p)) break;
  }
  if (source.size < end) run.truncated();
}
