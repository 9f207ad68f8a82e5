/** Packets into pages. RFC 3533, sections 5 and 6, https://www.rfc-editor.org/rfc/rfc3533 */
import { pageCrc } from '../../decode/ogg/pages.ts';
import { latin1, le32 } from '../fields.ts';
import { joinBytes } from '../parts.ts';

const MOST_SEGMENTS = 255;
const WHOLE_SEGMENT = 255;
const CONTINUED = 1;
const SEQUENCE_OFFSET = 18;
const CRC_OFFSET = 22;
const NO_PACKET_ENDS = 0xffffffff;

/** Puts the checksum of a page in its place. */
function sealed(page: Uint8Array<ArrayBuffer>): Uint8Array<ArrayBuffer> {
  page.set(le32(pageCrc(page, 0, page.length)), CRC_OFFSET);
  return page;
}

/** The page with another number, checksum included. */
export function renumbered(raw: Uint8Array, sequence: number): Uint8Array<ArrayBuffer> {
  const page = Uint8Array.from(raw);
  page.set(le32(sequence >>> 0), SEQUENCE_OFFSET);
  return sealed(page);
}

/** Pages of header packets: granule position 0, the last packet ends its page. @param first number of the first page */
export function headerPages(
  packets: readonly Uint8Array[],
  serial: number,
  first: number,
): Uint8Array<ArrayBuffer>[] {
  const segments: { bytes: Uint8Array; begins: boolean; ends: boolean }[] = [];
  for (const packet of packets) {
    // A packet ends with a segment that is not full, which may be empty.
    for (let at = 0; at <= packet.length; at += WHOLE_SEGMENT) {
      const bytes = packet.subarray(at, at + WHOLE_SEGMENT);
      segments.push({ bytes, begins: at === 0, ends: bytes.length < WHOLE_SEGMENT });
    }
  }
  const pages: Uint8Array<ArrayBuffer>[] = [];
  for (let at = 0; at < segments.length; at += MOST_SEGMENTS) {
    const on = segments.slice(at, at + MOST_SEGMENTS);
    const granule = on.some((s) => s.ends) ? le32(0, 0) : le32(NO_PACKET_ENDS, NO_PACKET_ENDS);
    const page = joinBytes([
      latin1('OggS'),
      Uint8Array.of(0, on[0].begins ? 0 : CONTINUED),
      granule,
      le32(serial, first + pages.length, 0),
      Uint8Array.of(on.length),
      Uint8Array.from(on, (s) => s.bytes.length),
      ...on.map((s) => s.bytes),
    ]);
    pages.push(sealed(page));
  }
  return pages;
}
