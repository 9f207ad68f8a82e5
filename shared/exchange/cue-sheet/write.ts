import type { Marker } from '../../markers/marker.ts';
import { oneLine } from '../names.ts';
import { pointsOf, type Point } from '../points.ts';
import type { ExchangeContext } from '../types.ts';
import { FRAMES_PER_SECOND, frameText } from './frames.ts';
import { mostImportant, tracksOf, type SheetTrack } from './tracks.ts';

/** Track numbers have two digits. */
export const MOST_TRACKS = 99;
/** Title of the track that begins with the file, where no marker does: the first index of a file must be its start. */
const START_TITLE = 'Start';
/** Remark that tells our reader that a track was added only for that. */
export const START_REMARK = 'boothproof start';

const FILE_TYPES: Record<string, string> = { mp3: 'MP3', aif: 'AIFF', aiff: 'AIFF' };

export interface Sheet {
  tracks: SheetTrack[];
  /** Those for which there is no track number left; they stand in remarks at the top. */
  hidden: Point[];
}

/** Double quotes cannot stand in a quoted text. */
export const quotable = (text: string) => oneLine(text).replaceAll('"', "'");

/** Which markers become tracks: all, or where there are too many the most important ones. */
export function sheetOf(markers: readonly Marker[], context: ExchangeContext): Sheet {
  const all = tracksOf(pointsOf(markers, FRAMES_PER_SECOND, context));
  const startsAtZero = all.length === 0 || all[0].at === 0;
  const tracks = mostImportant(all, MOST_TRACKS - (startsAtZero ? 0 : 1));
  return { tracks, hidden: all.filter((track) => !tracks.includes(track)).flatMap((track) => track.points) };
}

/** @throws ExchangeFault when the markers cannot be written */
export function write(markers: readonly Marker[], context: ExchangeContext): string {
  const { tracks, hidden } = sheetOf(markers, context);
  const lines = hidden.map((p) => `REM ${p.exact}`);
  const { artist, title } = context;
  if (artist && quotable(artist)) lines.push(`PERFORMER "${quotable(artist)}"`);
  if (title && quotable(title)) lines.push(`TITLE "${quotable(title)}"`);
  const audio = quotable(context.audioName ?? '') || 'audio.wav';
  const ending = audio.slice(audio.lastIndexOf('.') + 1).toLowerCase();
  lines.push(`FILE "${audio}" ${FILE_TYPES[ending] ?? 'WAVE'}`);
  let number = 0;
  const track = (at: number, name: string, remarks: string[]) => {
    lines.push(`  TRACK ${String(++number).padStart(2, '0')} AUDIO`, `    TITLE "${quotable(name)}"`);
    lines.push(...remarks.map((r) => `    REM ${r}`), `    INDEX 01 ${frameText(at)}`);
  };
  if (tracks.length === 0 || tracks[0].at > 0) track(0, START_TITLE, [START_REMARK]);
  for (const { at, points } of tracks) {
    track(
      at,
      points[0].title,
      points.map((p) => p.exact),
    );
  }
  return `${lines.join('\r\n')}\r\n`;
}
