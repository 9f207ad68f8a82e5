/** The two decoders of AAC that there are: the browser's WebCodecs, and under Node a Web Audio implementation. */
import type { AacConfig } from './config.ts';
import type { AacBackend } from './types.ts';

/** The decoder for this place, or null where there is none that takes the stream. */
export async function aacBackend(config: AacConfig): Promise<AacBackend | null> {
  if (typeof AudioDecoder !== 'undefined') {
    const { webCodecsBackend } = await import('./web-codecs.ts');
    return webCodecsBackend(config);
  }
  if (typeof process !== 'undefined' && process.versions?.node) {
    const { nodeBackend } = await import('./node.ts');
    return nodeBackend(config);
  }
  return null;
}
