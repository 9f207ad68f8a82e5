/** FLAC in Ogg. RFC 9639 section 10.1. */
import { FlacDecoder, samplesToFill, silence } from '../flac/decoder.ts';
import type { Run } from '../reading.ts';
import type { Block } from '../types.ts';
import type { Page } from './pages.ts';
import type { FlacHead } from './streams.ts';

/** First byte of every frame; header packets begin with a block type below it. */
const FRAME_SYNC = 0xff;

/** Decodes the pages of one stream; `pages` begins with its first page. */
export async function* decodeOggFlac(
  pages: AsyncGenerator<Page, void, void>,
  { info }: FlacHead,
  run: Run,
): AsyncGenerator<Block, void, void> {
  const decoder = new FlacDecoder(info);
  let written = 0;
  for await (const page of pages) {
    if (page.afterGap) run.damaged();
    for (const packet of page.packets) {
      if (packet[0] !== FRAME_SYNC) continue;
      const result = decoder.frame(packet, 0);
      if (result.kind !== 'frame') {
        run.damaged();
        continue;
      }
      const fill = samplesToFill(result.header, written, info);
      if (fill > 0) yield silence(info.channels, fill);
      written += fill + result.header.blockSize;
      yield result.block;
    }
  }
}
