/**
 * A marker as one line of ASCII. Every format puts it where its standard leaves room (a remark, a note, a cue's
 * identifier), beside what the standard itself can say, so that a file read here again gives back the marker exactly.
 * Where another program has changed what the standard says, that change wins: see `points.ts`.
 */
import * as v from 'valibot';
import { MarkerSchema, type Marker } from '../markers/marker.ts';

/** Stands in front, so that a person who meets the line knows whose it is. */
export const EXACT_PREFIX = 'boothproof ';
/** A marker's line has some 300 characters at most (80 characters of name may be escaped to 480). */
const LONGEST = 2000;

const KEYS = new Map(
  MarkerSchema.options.map((option) => [option.entries.kind.literal, Object.keys(option.entries)]),
);

/** Keys in the schema's order, so that the same marker always gives the same text. */
export const inSchemaOrder = (marker: Marker): Record<string, unknown> =>
  Object.fromEntries(KEYS.get(marker.kind)!.map((key) => [key, marker[key as keyof Marker]]));

/** `boothproof {"kind":…}`: no line break, no character beyond ASCII, no `>` (which would end a WebVTT identifier). */
export function exactText(marker: Marker): string {
  const json = JSON.stringify(inSchemaOrder(marker)).replace(
    /[^\x20-\x3d\x3f-\x7e]/g,
    (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
  return EXACT_PREFIX + json;
}

/** Whether a text claims to be such a line. */
export const isExact = (text: string): boolean => text.startsWith(EXACT_PREFIX);

/** The marker of such a line, or null when it is none or has been damaged. */
export function readExact(text: string): Marker | null {
  if (!isExact(text) || text.length > LONGEST) return null;
  let data: unknown;
  try {
    data = JSON.parse(text.slice(EXACT_PREFIX.length));
  } catch {
    return null;
  }
  const read = v.safeParse(MarkerSchema, data);
  if (!read.success) return null;
  return read.output.kind === 'loop' && read.output.endTime <= read.output.time ? null : read.output;
}
