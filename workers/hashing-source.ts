/** Content hash of a file in the same pass in which it is decoded. */
import { createSHA256 } from 'hash-wasm';
import type { ByteSource } from './decode/types.ts';
import { release } from './release.ts';

/** Bytes per read of what the decoder did not want. */
const READ_BYTES = 1 << 20;
/** Up to this size a file is collected and hashed by the platform, which is several times as fast but takes no parts. */
export const WHOLE_BYTES = 1 << 25;

export interface HashingSource extends ByteSource {
  /** Reads what nobody has read yet and returns the SHA-256 of the whole file, 64 small hex digits. */
  digest(): Promise<string>;
}

/** SHA-256 of bytes that come one after the other. */
interface Hasher {
  update(bytes: Uint8Array): void;
  digest(): Promise<string>;
}

/** The platform's own: keeps all bytes until the end. */
function wholeHasher(size: number): Hasher {
  const whole = new Uint8Array(size);
  let length = 0;
  return {
    update(bytes) {
      whole.set(bytes, length);
      length += bytes.length;
    },
    async digest() {
      const hash = await crypto.subtle.digest('SHA-256', whole.subarray(0, length));
      release(whole);
      return Array.from(new Uint8Array(hash), (byte) => byte.toString(16).padStart(2, '0')).join('');
    },
  };
}

async function streamingHasher(): Promise<Hasher> {
  const hasher = await createSHA256();
  return { update: (bytes) => void hasher.update(bytes), digest: async () => hasher.digest() };
}

/**
 * Wraps `source` so that bytes are hashed as they are read. A hash needs them in order and once each, so reads
 * ahead of or behind the hashed part leave it as it is, and `digest` makes up for what is missing.
 * @param whole largest file that is hashed by the platform, bytes (pages that are not secure have no such hash)
 */
export async function hashingSource(source: ByteSource, whole = WHOLE_BYTES): Promise<HashingSource> {
  const bySystem = source.size <= whole && globalThis.crypto?.subtle !== undefined;
  const hasher = bySystem ? wholeHasher(source.size) : await streamingHasher();
  let hashed = 0;
  const add = (bytes: Uint8Array, start: number): void => {
    // What a file has grown by while it was read is left out.
    const end = Math.min(source.size, start + bytes.length);
    if (start > hashed || end <= hashed) return;
    hasher.update(bytes.subarray(hashed - start, end - start));
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
