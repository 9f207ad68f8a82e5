/** Content hash of a file in the same pass in which it is decoded. */
import { createSHA256 } from 'hash-wasm';
import type { ByteSource } from './decode/types.ts';

/** Bytes per read of what the decoder did not want. */
const READ_BYTES = 1 << 20;

export interface HashingSource extends ByteSource {
  /** Reads what nobody has read yet and returns the SHA-256 of the whole file, 64 small hex digits. */
  digest(): Promise<string>;
}

/**
 * Wraps `source` so that bytes are hashed as they are read. A hash needs them in order and once each, so reads
 * ahead of or behind the hashed part leave it as it is, and `digest` makes up for what is missing.
 */
export async function hashingSource(source: ByteSource): Promise<HashingSource> {
  const hasher = await createSHA256();
  let hashed = 0;
  const add = (bytes: Uint8Array, start: number): void => {
    const end = start + bytes.length;
    if (start > hashed || end <= hashed) return;
    hasher.update(start === hashed ? bytes : bytes.subarray(hashed - start));
    hashed = end;
  };
  return {
    name: source.name,
    size: source.size,
    async read(start, end) {
      const bytes = await source.read(start, end);
      add(bytes, Math.max(0, start));
      return bytes;
    },
    async digest() {
      while (hashed < source.size) {
        const before = hashed;
        add(await source.read(hashed, Math.min(source.size, hashed + READ_BYTES)), hashed);
        if (hashed === before) break; // the file has become shorter while it was read
      }
      return hasher.digest();
    },
  };
}
