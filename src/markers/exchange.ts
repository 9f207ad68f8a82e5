/** Markers to files and from files, for the screen: which file is what, and what it is called. */
import { readMarkersText } from '../../shared/exchange/formats.ts';
import type { ExchangeContext, TextFormat } from '../../shared/exchange/types.ts';
import type { Marker } from '../../shared/markers/marker.ts';
import { blobSource } from '../../workers/decode/source.ts';
import { readMarkers, writeMarkersCopy } from '../../workers/write/copy.ts';
import { blobOfCopy } from '../../workers/write/parts.ts';
import type { WriteWish } from '../../workers/write/types.ts';
import { type TrackRecord, titleOf } from '../library/records.ts';
import { safeName } from '../take/names.ts';

/** Endings of audio files, into which and from which markers go as bytes. */
const AUDIO = /\.(wav|wave|aif|aiff|aifc|mp3|flac|ogg|oga|opus|m4a|mp4|aac)$/i;

type Named = Pick<TrackRecord, 'name' | 'tags' | 'duration'>;

export function contextOf(track: Named, fileName: string = track.name): ExchangeContext {
  return {
    fileName,
    duration: track.duration,
    title: titleOf(track),
    artist: track.tags.artist ?? null,
    audioName: track.name,
  };
}

/** The markers as a text file beside the track. @throws ExchangeFault */
export function textFile(
  format: TextFormat,
  markers: readonly Marker[],
  track: Named,
): { blob: Blob; name: string } {
  const name = safeName(`${stem(track.name)}.${format.extension}`);
  const text = format.write(markers, contextOf(track, name));
  return { blob: new Blob([text], { type: format.mediaType }), name };
}

/** A copy of the track's file with the markers inside; the original is only read. @throws ExchangeFault, DecodeFault */
export async function audioCopy(
  audio: Blob,
  markers: readonly Marker[],
  track: Named,
  wish: WriteWish = {},
): Promise<{ blob: Blob; name: string; notes: string[] }> {
  const copy = await writeMarkersCopy(blobSource(audio, track.name), markers, contextOf(track), wish);
  const dot = track.name.lastIndexOf('.');
  const ending = dot > 0 ? track.name.slice(dot) : '';
  return {
    blob: blobOfCopy(audio, copy),
    name: safeName(`${stem(track.name)} with markers${ending}`),
    notes: copy.notes,
  };
}

/** The markers in a file of text or audio. @throws ExchangeFault, DecodeFault */
export async function markersOfFile(
  file: File,
  track: Named,
): Promise<{ markers: Marker[]; notes: string[]; file: string }> {
  const context = contextOf(track, file.name);
  const { markers, notes } = AUDIO.test(file.name)
    ? await readMarkers(blobSource(file, file.name), context)
    : readMarkersText(new Uint8Array(await file.arrayBuffer()), context);
  return { markers, notes, file: file.name };
}

function stem(name: string): string {
  const dot = name.lastIndexOf('.');
  return dot > 0 ? name.slice(0, dot) : name;
}
