/**
 * Chapters as Vorbis comments: `CHAPTER001=00:01:02.500` with `CHAPTER001NAME=…`. "Chapter Extension" of the Xiph
 * wiki, https://wiki.xiph.org/Chapter_Extension . The exact marker stands in a comment of our own beside them.
 */
import { MS_PER_SECOND, clockOf, msOfClock } from '../../../shared/exchange/clock.ts';
import { cueSheet } from '../../../shared/exchange/cue-sheet/index.ts';
import { isExact, readExact } from '../../../shared/exchange/exact.ts';
import { markersOf, type Point, type SeenPoint } from '../../../shared/exchange/points.ts';
import { ExchangeFault, type ExchangeContext } from '../../../shared/exchange/types.ts';
import type { Marker } from '../../../shared/markers/marker.ts';
import { textOf, utf8 } from '../fields.ts';
import { replaced } from '../sentences.ts';
import type { FileMarkers } from '../types.ts';
import type { VorbisComments } from './comments.ts';

const CHAPTER = /^CHAPTER(\d{3})(NAME|URL|BOOTHPROOF)?=/i;
const SHEET = /^CUESHEET=/i;
/** Names need only be told apart from values; a comment's beginning is enough. */
const NAME_BYTES = 40;

const isChapter = (comment: Uint8Array) => CHAPTER.test(textOf(comment.subarray(0, NAME_BYTES)));

interface Read {
  seen: SeenPoint[];
  /** Chapters whose time cannot be read. */
  lost: number;
}

function chaptersOf({ comments }: VorbisComments): Read {
  const byNumber = new Map<string, Record<string, string>>();
  for (const comment of comments) {
    if (!isChapter(comment)) continue;
    const text = textOf(comment);
    const [whole, number, what] = CHAPTER.exec(text)!;
    const chapter = byNumber.get(number) ?? {};
    byNumber.set(number, chapter);
    chapter[what?.toUpperCase() ?? 'TIME'] ??= text.slice(whole.length);
  }
  let lost = 0;
  const seen = [...byNumber.values()].flatMap((chapter): SeenPoint[] => {
    const at = msOfClock((chapter.TIME ?? '').trim());
    if (at === null) lost++;
    return at === null ? [] : [{ at, title: chapter.NAME ?? '', exact: chapter.BOOTHPROOF ?? null }];
  });
  return { seen, lost };
}

/** The comments with these chapters, last, instead of those that they have. @param points times in ms */
export function withChapters(
  before: VorbisComments,
  points: readonly Point[],
  context: ExchangeContext,
): { comments: VorbisComments; notes: string[] } {
  const { seen, lost } = chaptersOf(before);
  const others = lost + seen.filter((c) => !c.exact || !isExact(c.exact)).length;
  const chapters = points.flatMap(({ at, title, exact }, i) => {
    const name = `CHAPTER${String(i + 1).padStart(3, '0')}`;
    return [`${name}=${clockOf(at)}`, `${name}NAME=${title}`, `${name}BOOTHPROOF=${exact}`].map(utf8);
  });
  const kept = before.comments.filter((c) => !isChapter(c));
  return {
    comments: { ...before, comments: [...kept, ...chapters] },
    notes: others > 0 ? [replaced(context.fileName, `${others} chapters`)] : [],
  };
}

/** The markers that were noted beside the chapters when they were written, whatever became of these since. */
export function notedMarkers(comments: VorbisComments): Marker[] {
  return chaptersOf(comments).seen.flatMap(({ exact }) => (exact && readExact(exact)) || []);
}

/** The markers of the chapters; where there are none, those of a CUE sheet in a comment (common practice). */
export function markersOfComments(comments: VorbisComments, context: ExchangeContext): FileMarkers {
  const { seen, lost } = chaptersOf(comments);
  const note = `${context.fileName}: ${lost} chapters whose time cannot be read were left out.`;
  const notes = lost > 0 ? [note] : [];
  const sheet = comments.comments.find((c) => SHEET.test(textOf(c.subarray(0, NAME_BYTES))));
  if (seen.length === 0 && sheet) {
    try {
      const read = cueSheet.read(textOf(sheet).replace(SHEET, ''), context);
      return { ...read, notes: [...notes, ...read.notes], resolution: cueSheet.resolution };
    } catch (error) {
      if (!(error instanceof ExchangeFault)) throw error;
      notes.push(`The CUE sheet inside the file could not be read. ${error.message}`);
    }
  }
  const read = markersOf(seen, MS_PER_SECOND, context);
  return { ...read, notes: [...notes, ...read.notes], resolution: 1 / MS_PER_SECOND };
}
