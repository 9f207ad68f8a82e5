/** Byte sources: a file that can be read in pieces. */
import { DecodeFault, type ByteSource } from './types.ts';
import { unreadable } from './sentences.ts';

/** A Blob or File of the browser (or of Node) as a byte source. */
export function blobSource(blob: Blob, name: string): ByteSource {
  return {
    name,
    size: blob.size,
    async read(start, end) {
      const from = Math.max(0, Math.min(start, blob.size));
      const to = Math.max(from, Math.min(end, blob.size));
      return new Uint8Array(await blob.slice(from, to).arrayBuffer());
    },
  };
}

/** Bytes in memory as a byte source: for short files and tests. */
export function bytesSource(bytes: Uint8Array, name: string): ByteSource {
  return {
    name,
    size: bytes.length,
    read: (start, end) => Promise.resolve(bytes.slice(Math.max(0, start), Math.max(0, end))),
  };
}

/** The same source with every read error turned into a DecodeFault that names the file (drive pulled, file moved). */
export function guarded(source: ByteSource): ByteSource {
  return {
    name: source.name,
    size: source.size,
    async read(start, end) {
      try {
        return await source.read(Math.max(0, start), Math.min(end, source.size));
      } catch (error) {
        if (error instanceof DecodeFault) throw error;
        throw new DecodeFault('unreadable', unreadable(source.name));
      }
    },
  };
}
