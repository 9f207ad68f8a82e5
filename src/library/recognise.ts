/** Whether a given file is a track that the library knows: by its content, never by its name. */
import { createSHA256 } from 'hash-wasm';
import type { TrackRecord } from './records.ts';

/** Bytes per step: small enough to hash within a few ms, so that the page stays responsive. */
const CHUNK_BYTES = 1 << 18;

/** SHA-256 of a blob as lower-case hex, read in pieces. Throws the signal's reason when aborted. */
export async function hashBlob(blob: Blob, signal?: AbortSignal): Promise<string> {
  const hasher = await createSHA256();
  for (let start = 0; start < blob.size; start += CHUNK_BYTES) {
    signal?.throwIfAborted();
    hasher.update(new Uint8Array(await blob.slice(start, start + CHUNK_BYTES).arrayBuffer()));
  }
  signal?.throwIfAborted();
  return hasher.digest('hex');
}

/**
 * The track of the same content, or null. Equal contents have equal sizes, so that most files need not be
 * hashed at all.
 */
export async function recognise(
  file: Blob,
  tracks: readonly Pick<TrackRecord, 'id' | 'size'>[],
  signal?: AbortSignal,
): Promise<string | null> {
  const candidates = tracks.filter((t) => t.size === file.size);
  if (!candidates.length) return null;
  const hash = await hashBlob(file, signal);
  return candidates.find((t) => t.id === hash)?.id ?? null;
}
