/** Putting a copy together from pieces of the original and new bytes. */
import type { ByteSource } from '../decode/types.ts';
import type { MarkersCopy, Part } from './types.ts';

/** bytes that are read at once */
const CHUNK = 1 << 20;

export const partSize = (part: Part): number =>
  part instanceof Uint8Array ? part.length : part.to - part.from;

export function copyOf(parts: readonly Part[], notes: readonly string[]): MarkersCopy {
  const kept: Part[] = [];
  for (const part of parts) {
    const last = kept.at(-1);
    if (partSize(part) === 0) continue;
    if (last && !(last instanceof Uint8Array) && !(part instanceof Uint8Array) && last.to === part.from) {
      kept[kept.length - 1] = { from: last.from, to: part.to };
    } else kept.push(part);
  }
  return { parts: kept, size: kept.reduce((n, p) => n + partSize(p), 0), notes: [...notes] };
}

/** The copy as a Blob; the browser reads the original's bytes when it writes the copy, not before. */
export function blobOfCopy(original: Blob, copy: MarkersCopy): Blob {
  return new Blob(
    copy.parts.map((p) => (p instanceof Uint8Array ? p : original.slice(p.from, p.to))),
    { type: original.type },
  );
}

/** The copy's bytes in order, about a megabyte at a time. */
export async function* bytesOfCopy(source: ByteSource, copy: MarkersCopy): AsyncGenerator<Uint8Array> {
  for (const part of copy.parts) {
    if (part instanceof Uint8Array) yield part;
    else {
      for (let at = part.from; at < part.to; at += CHUNK) {
        yield await source.read(at, Math.min(part.to, at + CHUNK));
      }
    }
  }
}

export function joinBytes(pieces: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const out = new Uint8Array(pieces.reduce((n, p) => n + p.length, 0));
  let at = 0;
  for (const piece of pieces) {
    out.set(piece, at);
    at += piece.length;
  }
  return out;
}
