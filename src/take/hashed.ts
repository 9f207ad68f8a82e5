/** SHA-256 of bytes on their way, and the list of checksums. */
import { createSHA256 } from 'hash-wasm';
import type { WrittenFile } from './types.ts';

/** The list's name; `sha256sum -c SHA256SUMS.txt` checks the folder. */
export const CHECKSUMS_NAME = 'SHA256SUMS.txt';

/** Hands on the bytes; `onEnd` gets their count and hash once all have passed. */
export async function* hashed(
  bytes: AsyncIterable<Uint8Array>,
  onEnd: (end: { size: number; sha256: string }) => void,
): AsyncGenerator<Uint8Array, void, void> {
  const hasher = await createSHA256();
  let size = 0;
  for await (const piece of bytes) {
    hasher.update(piece);
    size += piece.length;
    yield piece;
  }
  onEnd({ size, sha256: hasher.digest() });
}

/** Count and hash of a whole stream. */
export async function digestOf(bytes: AsyncIterable<Uint8Array>): Promise<{ size: number; sha256: string }> {
  let end = { size: 0, sha256: '' };
  for await (const piece of hashed(bytes, (found) => (end = found))) void piece;
  return end;
}

/** GNU coreutils, `sha256sum` text format: hash, two blanks, name. Our names need none of its escapes. */
export const checksumText = (files: readonly WrittenFile[]): string =>
  files.map(({ path, sha256 }) => `${sha256}  ${path}\n`).join('');

/** bytes of a file that are read at once */
const CHUNK = 1 << 20;

/** A Blob's bytes in pieces. (Safari’s streams of blobs cannot be iterated, so no `stream()`.) */
export async function* bytesOfBlob(
  blob: Blob,
  from = 0,
  to = blob.size,
  signal?: AbortSignal,
): AsyncGenerator<Uint8Array, void, void> {
  for (let at = from; at < to; at += CHUNK) {
    signal?.throwIfAborted();
    yield new Uint8Array(await blob.slice(at, Math.min(to, at + CHUNK)).arrayBuffer());
  }
}

async function* once(bytes: Uint8Array): AsyncGenerator<Uint8Array, void, void> {
  yield bytes;
}

/** UTF-8 text as a stream. */
export const bytesOfText = (text: string) => once(new TextEncoder().encode(text));
