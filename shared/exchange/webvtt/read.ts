import { MS_PER_SECOND, msOfClock } from '../clock.ts';
import { isExact } from '../exact.ts';
import { markersOf, type SeenPoint } from '../points.ts';
import { linesOf } from '../text.ts';
import { ExchangeFault, faultAtLine, type ExchangeContext, type ReadMarkers } from '../types.ts';

const ARROW = '-->';
const OTHER_BLOCK = /^(NOTE|STYLE|REGION)(\s|$)/;
const TIMES = /^\s*([\d:.]+)\s+-->\s+([\d:.]+)(\s.*)?$/;
const LEAST_FRACTION = /\.\d{3}$/;

const ENTITIES: Record<string, string> = {
  amp: '&',
  lt: '<',
  gt: '>',
  quot: '"',
  apos: "'",
  nbsp: '\u00a0',
  lrm: '\u200e',
  rlm: '\u200f',
};
const MOST_POINT = 0x10ffff;

/** The text of a cue without tags, its character references resolved. */
function plain(text: string): string {
  return text
    .replace(/<[^>]*>/g, '')
    .replace(/&(?:#(\d{1,7})|#[xX]([0-9a-fA-F]{1,6})|([a-z]+));/g, (whole, decimal, hex, name) => {
      if (name) return ENTITIES[name as string] ?? whole;
      const point = decimal ? Number(decimal) : parseInt(hex as string, 16);
      return point > 0 && point <= MOST_POINT ? String.fromCodePoint(point) : '\ufffd';
    });
}

/** @throws ExchangeFault with the line and what would be right there */
export function read(text: string, context: ExchangeContext): ReadMarkers {
  const lines = linesOf(text);
  if (!/^WEBVTT([ \t]|$)/.test(lines[0])) {
    throw new ExchangeFault(
      `${context.fileName}, line 1: a WebVTT file begins with the word WEBVTT; choose another file or add the line.`,
    );
  }
  const seen: SeenPoint[] = [];
  // The header may have lines of its own up to the first empty one.
  let i = 1;
  while (i < lines.length && lines[i] !== '' && !lines[i].includes(ARROW)) i++;
  while (i < lines.length) {
    if (lines[i] === '') {
      i++;
      continue;
    }
    const start = i;
    while (i < lines.length && lines[i] !== '') i++;
    const point = cueOf(lines.slice(start, i), start + 1, context);
    if (point) seen.push(point);
  }
  return markersOf(seen, MS_PER_SECOND, context);
}

/** @param line number of the block's first line */
function cueOf(block: string[], line: number, context: ExchangeContext): SeenPoint | null {
  const arrowAt = block.slice(0, 2).findIndex((l) => l.includes(ARROW));
  if (arrowAt < 0) {
    if (OTHER_BLOCK.test(block[0])) return null;
    throw faultAtLine(
      context,
      line,
      'this block has no line of times such as “00:01.000 --> 00:02.000”; add it, or put NOTE in front.',
    );
  }
  const times = TIMES.exec(block[arrowAt]);
  const [at, end] = times ? [times[1], times[2]].map(timeOf) : [null, null];
  if (at === null || end === null) {
    throw faultAtLine(
      context,
      line + arrowAt,
      'the times cannot be read; write them as “00:01:02.500 --> 00:01:03.000”.',
    );
  }
  if (end < at) {
    throw faultAtLine(context, line + arrowAt, 'the cue ends before it begins; exchange its two times.');
  }
  const id = arrowAt === 1 ? block[0] : '';
  const title = plain(block.slice(arrowAt + 1).join(' '));
  return { at, title, exact: isExact(id) ? id : null };
}

/** The standard demands three digits of a second's parts. */
const timeOf = (text: string) => (LEAST_FRACTION.test(text) ? msOfClock(text) : null);
