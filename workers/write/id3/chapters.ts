/** Chapters in an ID3v2 tag: CHAP and CTOC frames. "ID3v2 Chapter Frame Addendum 1.0", https://id3.org/id3v2-chapters-1.0 */
import { MS_PER_SECOND } from '../../../shared/exchange/clock.ts';
import { isExact } from '../../../shared/exchange/exact.ts';
import { chapterEnds, markersOf, type Point, type SeenPoint } from '../../../shared/exchange/points.ts';
import type { ExchangeContext } from '../../../shared/exchange/types.ts';
import { u32be } from '../../decode/bytes.ts';
import { be32, latin1 } from '../fields.ts';
import { joinBytes } from '../parts.ts';
import { replaced } from '../sentences.ts';
import type { FileMarkers } from '../types.ts';
import { bodyOf, frameFor, frameOf, framesInside, type Id3Frame, type Id3Tag } from './tag.ts';
import { textBytes, textsOf } from './text.ts';

/** Field that is not used: a byte offset, or a time that is given only by its offset. */
const UNUSED = 0xffffffff;
/** A table of contents counts its entries in one byte. */
const MOST_ENTRIES = 255;
const TOP_LEVEL = 2;
const ORDERED = 1;
/** Description of the text that holds the exact marker. */
const OURS = 'boothproof';
const ZERO = Uint8Array.of(0);
/** Subframes of a frame inside are never unsynchronised on their own. */
const plainly = (version: Id3Tag['version']) => ({ version, flags: 0 });

function chapterBody(point: Point, id: string, end: number, version: Id3Tag['version']): Uint8Array {
  const times = be32(point.at, Math.max(end, point.at + 1), UNUSED, UNUSED);
  const title = frameOf('TIT2', textBytes(point.title, version), version);
  const exact = frameOf('TXXX', joinBytes([ZERO, latin1(`${OURS}\0${point.exact}`)]), version);
  return joinBytes([latin1(id), ZERO, times, title, exact]);
}

function contentsBody(id: string, children: readonly string[], flags: number): Uint8Array {
  const ids = children.map((child) => latin1(`${child}\0`));
  return joinBytes([latin1(id), Uint8Array.of(0, flags, children.length), ...ids]);
}

/** More chapters than one table can count stand in tables of their own under the first. */
function contents(ids: readonly string[]): Uint8Array[] {
  if (ids.length <= MOST_ENTRIES) return [contentsBody('toc', ids, TOP_LEVEL | ORDERED)];
  const groups = Array.from({ length: Math.ceil(ids.length / MOST_ENTRIES) }, (_, i) =>
    ids.slice(i * MOST_ENTRIES, (i + 1) * MOST_ENTRIES),
  );
  const names = groups.map((_, i) => `toc${i + 1}`);
  return [
    contentsBody('toc', names, TOP_LEVEL | ORDERED),
    ...groups.map((group, i) => contentsBody(names[i], group, ORDERED)),
  ];
}

/**
 * The tag with these chapters instead of those that it has; every other frame as it was, the chapters last. A
 * loop's chapter ends with the loop, every other one with the start of the next.
 * @param points times in ms
 */
export function withChapters(
  tag: Id3Tag,
  points: readonly Point[],
  context: ExchangeContext,
): { tag: Id3Tag; notes: string[] } {
  const others = chaptersOf(tag).filter((c) => !c.exact || !isExact(c.exact)).length;
  const notes = others > 0 ? [replaced(context.fileName, `${others} chapters`)] : [];
  const frames = tag.frames.filter((f) => f.id !== 'CHAP' && f.id !== 'CTOC');
  if (points.length > 0) {
    const ends = chapterEnds(points, MS_PER_SECOND, context.duration);
    const ids = points.map((_, i) => `chp${i + 1}`);
    for (const body of contents(ids)) frames.push(frameFor(tag, 'CTOC', body));
    points.forEach((point, i) => {
      const body = chapterBody(point, ids[i], point.end ?? ends[i], tag.version);
      frames.push(frameFor(tag, 'CHAP', body));
    });
  }
  return { tag: { ...tag, frames }, notes };
}

function chapterOf(frame: Id3Frame, tag: Id3Tag): SeenPoint | null {
  const body = bodyOf(frame, tag);
  const zero = body?.indexOf(0) ?? -1;
  if (!body || zero < 0 || zero + 17 > body.length) return null;
  const at = u32be(body, zero + 1);
  const end = u32be(body, zero + 5);
  if (at === UNUSED) return null;
  const seen: SeenPoint = { at, end: end === UNUSED ? null : end, title: '', exact: null };
  for (const inner of framesInside(body, zero + 17, tag.version)) {
    const texts = textsOf(bodyOf(inner, plainly(tag.version)) ?? new Uint8Array(0));
    if (inner.id === 'TIT2') seen.title = texts[0] ?? '';
    if (inner.id === 'TXXX' && texts[0] === OURS) seen.exact = texts[1] ?? null;
  }
  return seen;
}

export function chaptersOf(tag: Id3Tag): SeenPoint[] {
  return tag.frames.filter((f) => f.id === 'CHAP').flatMap((f) => chapterOf(f, tag) ?? []);
}

/** The markers that the tag's chapters stand for. */
export function markersOfTag(tag: Id3Tag, context: ExchangeContext): FileMarkers {
  const seen = chaptersOf(tag);
  const lost = tag.frames.filter((f) => f.id === 'CHAP').length - seen.length;
  const read = markersOf(seen, MS_PER_SECOND, context);
  if (lost > 0) {
    read.notes.push(`${context.fileName}: ${lost} chapters that give no time were left out.`);
  }
  return { ...read, resolution: 1 / MS_PER_SECOND };
}
