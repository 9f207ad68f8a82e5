/** The cue sheet block of FLAC: where tracks begin, without names; only read. RFC 9639, section 8.7. */
import type { SeenPoint } from '../../../shared/exchange/points.ts';
import { u64be } from '../../decode/bytes.ts';

/** Catalogue number, samples of lead-in, the flag of a compact disc with reserved bits. */
const HEAD_BYTES = 128 + 8 + 259;
/** ISRC, the track's flags, and reserved bits. */
const TRACK_REST_BYTES = 12 + 14;
const INDEX_REST_BYTES = 3;

/** Where the tracks begin, in samples. Their titles are their numbers. */
export function tracksOf(body: Uint8Array): SeenPoint[] {
  const seen: SeenPoint[] = [];
  let at = HEAD_BYTES;
  const count = body[at++] ?? 0;
  // The last one is the lead-out.
  for (let i = 0; i + 1 < count && at + 9 + TRACK_REST_BYTES < body.length; i++) {
    const offset = u64be(body, at);
    const number = body[at + 8];
    at += 9 + TRACK_REST_BYTES;
    const indexes = body[at++];
    let first: number | null = null;
    for (let k = 0; k < indexes; k++, at += 9 + INDEX_REST_BYTES) {
      if (at + 9 <= body.length && body[at + 8] === 1) first ??= u64be(body, at);
    }
    seen.push({ at: offset + (first ?? 0), title: `Track ${number}` });
  }
  return seen;
}
