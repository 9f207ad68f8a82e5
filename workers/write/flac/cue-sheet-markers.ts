/** Markers as tracks of a cue sheet block, and the places that such a block has beside the chapters. */
import { mostImportant, tracksOf } from '../../../shared/exchange/cue-sheet/tracks.ts';
import { joinMarkers } from '../../../shared/exchange/join.ts';
import { markersOf, pointsOf, type SeenPoint } from '../../../shared/exchange/points.ts';
import { ExchangeFault, type ExchangeContext } from '../../../shared/exchange/types.ts';
import type { Marker } from '../../../shared/markers/marker.ts';
import type { StreamInfo } from '../../decode/flac/header.ts';
import type { FileMarkers } from '../types.ts';
import { LEAD_OUT, MOST_TRACKS, type CueSheet, type CueSheetTrack, cueSheetBytes } from './cue-sheet.ts';

/**
 * A track for each place that has markers, where they are too many for those that matter most; or null for none.
 * No track is put at the start where no marker is: the block does not ask for one.
 * @returns `left`: markers that it does not have, since there are too many or they lie past the end
 */
export function sheetOfMarkers(
  markers: readonly Marker[],
  { sampleRate, totalSamples }: StreamInfo,
  context: ExchangeContext,
): { sheet: CueSheet; left: number } | null {
  const end = totalSamples || Math.round(context.duration * sampleRate);
  const inside = tracksOf(pointsOf(markers, sampleRate, context)).filter(({ at }) => at < end);
  const chosen = mostImportant(inside, MOST_TRACKS);
  if (chosen.length === 0) return null;
  const track = (offset: number, number: number, indexes: CueSheetTrack['indexes']): CueSheetTrack => ({
    offset,
    number,
    isrc: '',
    isAudio: true,
    preEmphasis: false,
    indexes,
  });
  const tracks = chosen.map(({ at }, i) => track(at, i + 1, [{ offset: 0, number: 1 }]));
  tracks.push(track(end, LEAD_OUT, []));
  return {
    sheet: { catalogue: '', leadIn: 0, isDisc: false, tracks },
    left: markers.length - chosen.reduce((n, { points }) => n + points.length, 0),
  };
}

/** Whether the block is the one that would be written beside these markers, byte for byte. */
export function isSheetOf(
  body: Uint8Array,
  markers: readonly Marker[],
  info: StreamInfo,
  context: ExchangeContext,
): boolean {
  let made: ReturnType<typeof sheetOfMarkers>;
  try {
    made = sheetOfMarkers(markers, info, context);
  } catch (error) {
    // Two of them have one id or slot, say, since another program has copied chapters.
    if (error instanceof ExchangeFault) return false;
    throw error;
  }
  if (!made) return false;
  const bytes = cueSheetBytes(made.sheet);
  return bytes.length === body.length && bytes.every((byte, i) => byte === body[i]);
}

/** Where the audio tracks begin, in samples. Their titles are their numbers. */
export function placesOf({ tracks }: CueSheet): SeenPoint[] {
  return tracks
    .slice(0, -1)
    .filter((track) => track.isAudio)
    .map(({ offset, number, indexes }) => ({
      at: offset + (indexes.find((index) => index.number === 1)?.offset ?? 0),
      title: `Track ${number}`,
    }));
}

/** What a sheet has that makes no marker: plain sentences. */
export function leftOut({ tracks }: CueSheet, fileName: string): string[] {
  const data = tracks.slice(0, -1).filter((track) => !track.isAudio).length;
  const later = tracks.reduce((n, { indexes }) => n + indexes.filter(({ number }) => number > 1).length, 0);
  const notes: string[] = [];
  if (data > 0) notes.push(`${fileName}: ${data} tracks of the cue sheet that are not audio were left out.`);
  if (later > 0) {
    notes.push(
      `${fileName}: only the first index marks a track’s start; ${later} later indexes were left out.`,
    );
  }
  return notes;
}

/** The places that lie where a marker is, within what both can say, and the others. */
function sorted(read: FileMarkers, places: readonly SeenPoint[], sampleRate: number) {
  const within = read.resolution / 2 + 0.5 / sampleRate;
  const free = new Set(places);
  const placeOf = new Map<Marker, SeenPoint>();
  for (const marker of read.markers) {
    const away = (place: SeenPoint) => Math.abs(place.at / sampleRate - marker.time);
    let nearest: SeenPoint | null = null;
    for (const place of free) if (!nearest || away(place) < away(nearest)) nearest = place;
    if (!nearest || away(nearest) > within) continue;
    placeOf.set(marker, nearest);
    free.delete(nearest);
  }
  return { placeOf, further: [...free] };
}

/** Places of a sheet at which none of the markers is. */
export const furtherPlaces = (
  read: FileMarkers,
  places: readonly SeenPoint[],
  sampleRate: number,
): SeenPoint[] => sorted(read, places, sampleRate).further;

/**
 * Chapters and sheet of one file as one: where both tell of a place, the name is the chapter's and the time the
 * sheet's, which is to the sample; what only one of them has is kept.
 * @throws ExchangeFault when there are more than a track can have
 */
export function withPlaces(
  read: FileMarkers,
  places: readonly SeenPoint[],
  sampleRate: number,
  context: ExchangeContext,
): FileMarkers {
  const { placeOf, further } = sorted(read, places, sampleRate);
  const finer = read.markers.map((marker) => {
    const place = placeOf.get(marker);
    return place && marker.kind === 'mark' ? { ...marker, time: place.at / sampleRate } : marker;
  });
  const { markers, notes } = markersOf(further, sampleRate, context);
  return { ...read, markers: joinMarkers(finer, markers), notes: [...read.notes, ...notes] };
}
