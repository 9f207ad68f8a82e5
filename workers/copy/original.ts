/** Whether an original is already as plain as a copy would be. */
import { fourCc, u16le } from '../decode/bytes.ts';
import { skipId3v2 } from '../decode/id3.ts';
import type { ByteSource } from '../decode/types.ts';
import { readChunks } from '../write/wav/chunks.ts';

const FORMAT_PCM = 1;

/**
 * True for RIFF with the plain PCM format tag, and AIFF that is not AIFF-C, with nothing in front. The extensible
 * format tag, 64-bit sizes and AIFF-C are what old readers stumble over (common practice, no source).
 * Sizes that do not add up are not plain either.
 */
export async function isPlain(source: ByteSource): Promise<boolean> {
  if ((await skipId3v2(source)) !== 0) return false;
  const head = await source.read(0, 12);
  const form = fourCc(head, 0);
  if (form === 'FORM') return fourCc(head, 8) === 'AIFF';
  if (form !== 'RIFF') return false;
  try {
    const { chunks } = await readChunks(source, 0);
    const format = chunks.find((c) => c.id === 'fmt ');
    return format !== undefined && u16le(await source.read(format.body, format.end), 0) === FORMAT_PCM;
  } catch {
    return false;
  }
}
