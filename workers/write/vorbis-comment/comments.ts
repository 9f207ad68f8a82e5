/** Vorbis comments as bytes. Vorbis I specification, section 5, https://xiph.org/vorbis/doc/Vorbis_I_spec.html */
import { u32le } from '../../decode/bytes.ts';
import { le32, utf8 } from '../fields.ts';
import { joinBytes } from '../parts.ts';

export interface VorbisComments {
  vendor: Uint8Array;
  /** `NAME=value`, as bytes, so that what is not changed stays as it is. */
  comments: Uint8Array[];
  /** What follows the list: Vorbis' framing bit, or data that Opus allows there. */
  rest: Uint8Array;
}

/** What a list has that is made anew. */
export const newComments = (): VorbisComments => ({
  vendor: utf8('Boothproof'),
  comments: [],
  rest: new Uint8Array(0),
});

/** @returns null when the lengths do not fit into the bytes */
export function parseComments(b: Uint8Array): VorbisComments | null {
  let at = 0;
  const field = (): Uint8Array | null => {
    if (at + 4 > b.length) return null;
    const end = at + 4 + u32le(b, at);
    if (end > b.length) return null;
    const bytes = b.subarray(at + 4, end);
    at = end;
    return bytes;
  };
  const vendor = field();
  if (!vendor || at + 4 > b.length) return null;
  const count = u32le(b, at);
  at += 4;
  const comments: Uint8Array[] = [];
  for (let i = 0; i < count; i++) {
    const comment = field();
    if (!comment) return null;
    comments.push(comment);
  }
  return { vendor, comments, rest: b.subarray(at) };
}

export function commentBytes({ vendor, comments, rest }: VorbisComments): Uint8Array<ArrayBuffer> {
  const fields = comments.flatMap((c) => [le32(c.length), c]);
  return joinBytes([le32(vendor.length), vendor, le32(comments.length), ...fields, rest]);
}
