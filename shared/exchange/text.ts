/** Bytes of a text file as text, by whoever wrote it. */
import { ExchangeFault } from './types.ts';

/** bytes: a thousand markers have some 200 kB; a file far beyond that is something else */
export const MOST_TEXT_BYTES = 4_000_000;

/**
 * UTF-8, or UTF-16 where a byte-order mark says so; else what Windows programs of western Europe write.
 * @returns the text and, where the encoding is a guess, a sentence about it
 * @throws ExchangeFault when the file is too long to be such a text
 */
export function textOfBytes(bytes: Uint8Array, fileName: string): { text: string; notes: string[] } {
  if (bytes.length > MOST_TEXT_BYTES) {
    throw new ExchangeFault(
      `${fileName} has ${bytes.length} bytes, far more than any list of markers: choose another file.`,
    );
  }
  const [a, b] = bytes;
  if (a === 0xff && b === 0xfe) return { text: new TextDecoder('utf-16le').decode(bytes), notes: [] };
  if (a === 0xfe && b === 0xff) return { text: new TextDecoder('utf-16be').decode(bytes), notes: [] };
  try {
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes), notes: [] };
  } catch {
    return {
      text: new TextDecoder('windows-1252').decode(bytes),
      notes: [
        `${fileName} is not in UTF-8, so it was read as Windows western European: check accented letters.`,
      ],
    };
  }
}

/** Lines without their ends, whichever system wrote them; a byte-order mark in front is dropped. */
export const linesOf = (text: string): string[] => text.replace(/^\ufeff/, '').split(/\r\n|\n|\r/);
