/**
 * Markers as points on a format's own scale of time, and back. All formats that show a marker as a titled point go
 * through here, so that they agree on what is shown, on what wins where a file was changed by another program, and
 * on what is refused.
 */
import * as v from 'valibot';
import {
  MAX_MARKERS,
  MAX_NAME_LENGTH,
  MAX_SLOT,
  MarkerSchema,
  faultOf,
  inOrder,
  type Marker,
} from '../markers/marker.ts';
import { minutesOf } from './clock.ts';
import { exactText, isExact, readExact } from './exact.ts';
import { fitName, oneLine, shownName } from './names.ts';
import { ExchangeFault, type ExchangeContext, type ReadMarkers } from './types.ts';

/** s: a marker later than a day belongs to no track, and several formats have no room for it. */
export const LATEST_TIME = 86_400;
/** Importance of a mark that another program made. */
const FOREIGN_IMPORTANCE = 2;
/** s: how much two decoders may differ about a track's length. */
const LENGTH_TOLERANCE = 0.5;

/** A marker as a format writes it. */
export interface Point {
  marker: Marker;
  /** Whole units of the format's scale. */
  at: number;
  /** Of a loop, at least one unit after `at`; else null. */
  end: number | null;
  title: string;
  exact: string;
}

/** A point as it stands in a file. */
export interface SeenPoint {
  at: number;
  /** Where the format has a place for the end of a loop, and it is used. */
  end?: number | null;
  title: string;
  /** The exact text beside it, if there was one. */
  exact?: string | null;
}

const unitsOf = (time: number, perSecond: number) => Math.round(time * perSecond);

function endUnits(marker: Marker, perSecond: number): number | null {
  if (marker.kind !== 'loop') return null;
  return Math.max(unitsOf(marker.time, perSecond) + 1, unitsOf(marker.endTime, perSecond));
}

/** Refuses what could not be read back, with a sentence. Returns the markers in order. */
export function checkedMarkers(markers: readonly Marker[], context: ExchangeContext): Marker[] {
  const fault = faultOf(markers);
  if (fault) throw new ExchangeFault(`${context.fileName} is not written: ${fault}`);
  for (const marker of markers) {
    const end = marker.kind === 'loop' ? marker.endTime : marker.time;
    if (end <= LATEST_TIME && v.is(MarkerSchema, marker)) continue;
    const what = `the marker “${shownName(marker)}”`;
    throw new ExchangeFault(
      end > LATEST_TIME
        ? `${context.fileName} is not written: ${what} lies more than a day after the start. Delete it first.`
        : `${context.fileName} is not written: ${what} is not whole. Set it anew first.`,
    );
  }
  return inOrder(markers);
}

/**
 * @param perSecond units of the format's scale in one second
 * @throws ExchangeFault when the markers cannot be written
 */
export function pointsOf(markers: readonly Marker[], perSecond: number, context: ExchangeContext): Point[] {
  return checkedMarkers(markers, context).map((marker) => ({
    marker,
    at: unitsOf(marker.time, perSecond),
    end: endUnits(marker, perSecond),
    title: shownName(marker),
    exact: exactText(marker),
  }));
}

/** For each point the start of the next later one, for the last ones the track's end: where a chapter is over. */
export function chapterEnds(points: readonly Point[], perSecond: number, duration: number): number[] {
  const ends: number[] = new Array(points.length);
  let next = Math.max(Math.round(duration * perSecond), (points.at(-1)?.at ?? 0) + 1);
  for (let i = points.length - 1; i >= 0; i--) {
    if (i < points.length - 1 && points[i + 1].at > points[i].at) next = points[i + 1].at;
    ends[i] = next;
  }
  return ends;
}

/**
 * The markers that points stand for. A point with an exact text that agrees with it is that marker; where they
 * differ, time, end and name are what the point says. A point without one is a structure mark.
 * @throws ExchangeFault when there are more than a track can have
 */
export function markersOf(
  seen: readonly SeenPoint[],
  perSecond: number,
  context: ExchangeContext,
): ReadMarkers {
  const { markers, notes } = unsettled(seen, perSecond, context);
  return settled(markers, notes, context);
}

/**
 * The same without the last step, for a reader that has further markers; it must call `settled`.
 * @param shown how the format shows a title, where it has to change it further
 */
export function unsettled(
  seen: readonly SeenPoint[],
  perSecond: number,
  context: ExchangeContext,
  shown: (title: string) => string = (title) => title,
): ReadMarkers {
  const notes: string[] = [];
  let damaged = 0;
  let cut = 0;
  const markers = seen.map((point, i) => {
    const exact = point.exact ? readExact(point.exact) : null;
    if (point.exact && isExact(point.exact) && !exact) damaged++;
    const title = oneLine(point.title);
    if (title.length > MAX_NAME_LENGTH && !exact) cut++;
    return exact
      ? reconciled(exact, point, title, perSecond, shown)
      : foreignMark(point.at / perSecond, fitName(title), i);
  });
  if (damaged > 0) {
    notes.push(
      `${context.fileName}: what Boothproof had noted beside ${count(damaged, 'marker')} could not be read any more; ` +
        `${damaged === 1 ? 'it is' : 'they are'} taken as ${damaged === 1 ? 'a structure mark' : 'structure marks'}.`,
    );
  }
  if (cut > 0) {
    notes.push(
      `${context.fileName}: ${count(cut, 'name')} longer than ${MAX_NAME_LENGTH} characters cut short.`,
    );
  }
  return { markers, notes };
}

const count = (n: number, what: string) => `${n} ${what}${n === 1 ? '' : 's'}`;

/** A structure mark for a point that another program made. */
export const foreignMark = (time: number, name: string, index: number): Marker => ({
  kind: 'mark',
  id: `read-${index + 1}`,
  time,
  name,
  importance: FOREIGN_IMPORTANCE,
});

function reconciled(
  exact: Marker,
  point: SeenPoint,
  title: string,
  perSecond: number,
  shown: (title: string) => string,
): Marker {
  const moved = unitsOf(exact.time, perSecond) !== point.at;
  const time = moved ? point.at / perSecond : exact.time;
  const name = title === oneLine(shown(shownName(exact))) ? exact.name : fitName(title);
  if (exact.kind !== 'loop') return { ...exact, time, name };
  // A loop that was moved as a whole keeps its length; one whose length was changed has the new one.
  const length = endUnits(exact, perSecond)! - unitsOf(exact.time, perSecond);
  const end = point.end ?? null;
  const resized = end !== null && end > point.at && end - point.at !== length;
  const endTime = resized ? end / perSecond : moved ? time + (exact.endTime - exact.time) : exact.endTime;
  return { ...exact, time, name, endTime: endTime > time ? endTime : time + 1 / perSecond };
}

/**
 * The last step of every reader: ids and slots that are taken twice are mended and told, and what no track can
 * have is refused.
 */
export function settled(
  read: readonly Marker[],
  notes: readonly string[],
  context: ExchangeContext,
): ReadMarkers {
  const { fileName, duration } = context;
  const told = [...notes];
  if (read.length > MAX_MARKERS) {
    throw new ExchangeFault(
      `${fileName} has ${read.length} markers and a track can have ${MAX_MARKERS} at most: take some out and read it again.`,
    );
  }
  const late = read.find((m) => (m.kind === 'loop' ? m.endTime : m.time) > LATEST_TIME);
  if (late) {
    throw new ExchangeFault(
      `${fileName} has a marker “${shownName(late)}” more than a day after the start: correct its time and read it again.`,
    );
  }
  const ids = new Set<string>();
  const slots = new Set<number>();
  let slotless = 0;
  const markers = inOrder(read).map((marker) => {
    const id = freeId(marker.id, ids);
    ids.add(id);
    if (marker.kind !== 'cue' || marker.slot === null) return { ...marker, id };
    const taken = slots.has(marker.slot);
    slots.add(marker.slot);
    if (taken) slotless++;
    return { ...marker, id, slot: taken ? null : marker.slot };
  });
  if (slotless > 0) {
    told.push(
      `${fileName}: ${count(slotless, 'cue')} had a slot that an earlier cue has too, and now ${slotless === 1 ? 'has' : 'have'} none: ` +
        `give ${slotless === 1 ? 'it' : 'them'} one of the ${MAX_SLOT} slots.`,
    );
  }
  const beyond = markers.filter((m) => m.time > duration + LENGTH_TOLERANCE).length;
  if (beyond > 0) {
    told.push(
      `${fileName}: ${count(beyond, 'marker')} ${beyond === 1 ? 'lies' : 'lie'} after the track’s end (${minutesOf(duration)}): ` +
        'check that the file belongs to this track.',
    );
  }
  return { markers, notes: told };
}

/** `id`, or the first of `id-2`, `id-3`… that is not taken. */
export function freeId(id: string, taken: ReadonlySet<string>): string {
  if (!taken.has(id)) return id;
  for (let n = 2; ; n++) {
    const tail = `-${n}`;
    const next = id.slice(0, 60 - tail.length) + tail;
    if (!taken.has(next)) return next;
  }
}
