/**
 * The header packets of an Ogg stream and the comments in them. RFC 3533 (pages), Vorbis I specification section 4.2
 * and appendix A, RFC 7845 section 5 (Opus), RFC 9639 section 10.1 (FLAC).
 */
import { walkPages, type Page } from '../../decode/ogg/pages.ts';
import { parseHead, type StreamHead } from '../../decode/ogg/streams.ts';
import { DecodeFault, type ByteSource } from '../../decode/types.ts';
import { joinBytes } from '../parts.ts';
import { damagedFile } from '../sentences.ts';
import { commentBytes, parseComments, type VorbisComments } from '../vorbis-comment/comments.ts';

/** bytes: a comment packet with a large cover; a stream whose headers go on longer is broken */
const MOST_HEADER_BYTES = 64 * 1024 * 1024;
const PREFIX_BYTES = { vorbis: 7, opus: 8, flac: 4 } as const;
const FLAC_LAST = 0x80;

export interface PlacedPage extends Page {
  start: number;
  end: number;
}

/** Pages with their places. Junk or a damaged page between them is a fault: nothing could be put back in its place. */
export async function* placedPages(
  source: ByteSource,
  start: number,
): AsyncGenerator<PlacedPage, void, void> {
  let end = start;
  let before = start;
  for await (const page of walkPages(source, start, (position) => void (end = position))) {
    const from = end - page.raw.length;
    if (from !== before || page.afterGap) throw new DecodeFault('damaged', damagedFile(source.name));
    before = end;
    yield { ...page, start: from, end };
  }
}

/** Header packets after the first one: two of Vorbis, one of Opus, any number of FLAC. */
export class HeaderPackets {
  readonly packets: Uint8Array[] = [];
  private bytes = 0;

  constructor(
    readonly head: StreamHead,
    private readonly name: string,
  ) {}

  get complete(): boolean {
    const { packets, head } = this;
    if (head.codec === 'flac')
      return packets.length > 0 && (packets[packets.length - 1][0] & FLAC_LAST) !== 0;
    return packets.length === (head.codec === 'opus' ? 1 : 2);
  }

  /** @throws DecodeFault `damaged` when audio begins on the page on which the headers end */
  take(page: Page): void {
    for (const packet of page.packets) {
      if (this.complete) throw new DecodeFault('damaged', damagedFile(this.name));
      this.packets.push(packet);
    }
    this.bytes += page.raw.length;
    if (this.bytes > MOST_HEADER_BYTES) throw new DecodeFault('damaged', damagedFile(this.name));
  }

  /** @throws DecodeFault `damaged` when the second packet holds no comments */
  comments(): VorbisComments {
    const { codec } = this.head;
    const [packet] = this.packets;
    const isFlac = codec === 'flac';
    const magic = { vorbis: '\x03vorbis', opus: 'OpusTags' };
    const known = isFlac
      ? (packet[0] & 127) === 4
      : String.fromCharCode(...packet.subarray(0, PREFIX_BYTES[codec])) === magic[codec];
    const comments = known ? parseComments(packet.subarray(PREFIX_BYTES[codec])) : null;
    if (!comments) throw new DecodeFault('damaged', damagedFile(this.name));
    return comments;
  }

  /** The packets with other comments. */
  withComments(comments: VorbisComments): Uint8Array[] {
    const { codec } = this.head;
    const [packet, ...rest] = this.packets;
    const body = commentBytes(comments);
    const prefix =
      codec === 'flac'
        ? Uint8Array.of(packet[0], (body.length >> 16) & 255, (body.length >> 8) & 255, body.length & 255)
        : packet.subarray(0, PREFIX_BYTES[codec]);
    return [joinBytes([prefix, body]), ...rest];
  }
}

/** The head of the audio stream if the page begins one. */
export const headOf = (page: Page): StreamHead | null =>
  page.isFirst && page.packets.length > 0 ? parseHead(page.packets[0]) : null;
