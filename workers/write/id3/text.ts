/** Text of ID3v2 frames. ID3v2.4.0 structure, section 4. */
import { joinBytes } from '../parts.ts';
import { latin1, utf8 } from '../fields.ts';
import type { Id3Version } from './tag.ts';

const LATIN1 = 0;
const UTF16 = 1;
const UTF16BE = 2;
const UTF8 = 3;

/** Encoding byte and text: what every reader of that version understands. */
export function textBytes(text: string, version: Id3Version): Uint8Array<ArrayBuffer> {
  if (version === 4) return joinBytes([Uint8Array.of(UTF8), utf8(text)]);
  // eslint-disable-next-line no-control-regex
  if (/^[\x00-\xff]*$/.test(text)) return joinBytes([Uint8Array.of(LATIN1), latin1(text)]);
  const units = new Uint8Array(2 * text.length);
  const view = new DataView(units.buffer);
  for (let i = 0; i < text.length; i++) view.setUint16(2 * i, text.charCodeAt(i), true);
  return joinBytes([Uint8Array.of(UTF16, 0xff, 0xfe), units]);
}

/** The texts of a body that begins with an encoding byte, split at the zero characters. */
export function textsOf(body: Uint8Array): string[] {
  if (body.length === 0) return [];
  const rest = body.subarray(1);
  if (body[0] === UTF8) return split(new TextDecoder('utf-8', { ignoreBOM: true }).decode(rest));
  if (body[0] !== UTF16 && body[0] !== UTF16BE) return split(String.fromCharCode(...rest));
  let bigEndian = body[0] === UTF16BE;
  const even = rest.subarray(0, rest.length & ~1);
  const units: string[] = [];
  for (let i = 0; i < even.length; i += 2) {
    const unit = bigEndian ? (even[i] << 8) | even[i + 1] : even[i] | (even[i + 1] << 8);
    // Each text of UTF-16 has a mark of its own, which tells the order of the bytes.
    const first = i === 0 || units.at(-1) === '\0';
    if (body[0] === UTF16 && first && unit === 0xfffe) bigEndian = !bigEndian;
    else if (body[0] !== UTF16 || !first || unit !== 0xfeff) units.push(String.fromCharCode(unit));
  }
  return split(units.join(''));
}

const split = (text: string) => text.split('\0');
