import { MS_PER_SECOND } from '../../../shared/exchange/clock.ts';
import { pointsOf } from '../../../shared/exchange/points.ts';
import type { StreamHead } from '../../decode/ogg/streams.ts';
import { DecodeFault } from '../../decode/types.ts';
import { u32le } from '../../decode/bytes.ts';
import { copyOf } from '../parts.ts';
import { damagedFile } from '../sentences.ts';
import type { Part, WriteMarkers } from '../types.ts';
import { withChapters } from '../vorbis-comment/chapters.ts';
import { HeaderPackets, headOf, placedPages } from './headers.ts';
import { headerPages, renumbered } from './paging.ts';

const HEADER_BYTES = 27;

/**
 * The copy has the chapters in the comments of its first audio stream. Where the headers now fill more or fewer
 * pages, every later page of the stream gets a new number and checksum; the packets in them stay as they are.
 */
export const writeMarkers: WriteMarkers = async (source, start, markers, context) => {
  const points = pointsOf(markers, MS_PER_SECOND, context);
  const parts: Part[] = [{ from: 0, to: start }];
  const notes: string[] = [];
  let headers: HeaderPackets | null = null;
  let serial = 0;
  let place = 0;
  let firstNumber = 0;
  let oldPages = 0;
  let shift = 0;
  let written = start;
  let ended = false;
  for await (const page of placedPages(source, start)) {
    const { start: from, end: to, raw } = page;
    const isOurs = headers !== null && page.serial === serial && !ended;
    written = to;
    if (isOurs && !headers!.complete) {
      if (oldPages++ === 0) {
        place = parts.length;
        firstNumber = u32le(raw, 18);
      }
      headers!.take(page);
      if (!headers!.complete) continue;
      const changed = withChapters(headers!.comments(), points, context);
      notes.push(...changed.notes);
      const pages = headerPages(headers!.withComments(changed.comments), serial, firstNumber);
      parts.splice(place, 0, ...pages);
      shift = pages.length - oldPages;
      if (shift !== 0) continue;
      written = source.size;
      parts.push({ from: to, to: source.size });
      break;
    }
    const head: StreamHead | null = headers ? null : headOf(page);
    if (head) {
      headers = new HeaderPackets(head, source.name);
      serial = page.serial;
      // Nothing but the head may stand on its page.
      if (page.packets.length > 1) throw new DecodeFault('damaged', damagedFile(source.name));
    }
    if (!isOurs) parts.push({ from, to });
    else {
      const bodyAt = HEADER_BYTES + raw[26];
      const fresh = renumbered(raw, u32le(raw, 18) + shift);
      parts.push(fresh.slice(0, bodyAt), { from: from + bodyAt, to });
      ended = page.isLast;
    }
  }
  if (!headers?.complete) throw new DecodeFault('damaged', damagedFile(source.name));
  // A cut last page, or tags behind the stream.
  parts.push({ from: written, to: source.size });
  return copyOf(parts, notes);
};
