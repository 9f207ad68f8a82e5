/** Vorbis in Ogg. Vorbis I specification appendix A, https://xiph.org/vorbis/doc/Vorbis_I_spec.html ; libvorbis in `@audio/decode-vorbis`. */
import { decoder as createDecoder } from '@audio/decode-vorbis';
import { quietly } from '../quiet.ts';
import type { Run } from '../reading.ts';
import type { Block } from '../types.ts';
import type { Page } from './pages.ts';
import type { VorbisHead } from './streams.ts';

/** s: longest stretch of lost audio that is filled with silence */
const LONGEST_FILL = 60;

/** Decodes the pages of one stream; `pages` begins with its first page. The package puts channels in WAV order. */
export async function* decodeVorbis(
  pages: AsyncGenerator<Page, void, void>,
  head: VorbisHead,
  run: Run,
): AsyncGenerator<Block, void, void> {
  const decoder = await createDecoder();
  let position = 0;
  let gap = false;
  const accept = (block: Block | undefined): Block | null =>
    block?.length === head.channels && block[0].length > 0 ? block : null;
  try {
    for await (const page of pages) {
      if (page.afterGap) gap = true;
      const { result } = quietly(() => decoder.decode(page.raw.slice()));
      if (!result) run.damaged();
      const block = accept(result?.channelData);
      if (!block) continue;
      if (gap) {
        run.damaged();
        const missing = page.granule === null ? 0 : page.granule - block[0].length - position;
        if (missing > 0 && missing <= LONGEST_FILL * head.sampleRate) {
          yield block.map(() => new Float32Array(missing));
          position += missing;
        }
        gap = false;
      }
      position += block[0].length;
      yield block;
    }
    const block = accept(quietly(() => decoder.flush()).result?.channelData);
    if (block) yield block;
  } finally {
    decoder.free();
  }
}
