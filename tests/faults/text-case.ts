/** One damaged file of text through the door by which the app takes it, and what comes of it through the app's own use. */
import { readMarkersText } from '../../shared/exchange/formats.ts';
import { ExchangeFault } from '../../shared/exchange/types.ts';
import { overviewColumns, scrollingColumns } from '../../shared/display/model.ts';
import { GigFault } from '../../shared/gig/types.ts';
import { readPlaylist } from '../../shared/gig/playlist/read.ts';
import { faultOf, type Marker } from '../../shared/markers/marker.ts';
import { readProfile } from '../../shared/profile/read.ts';
import { plainProfile } from '../../shared/profile/schema.ts';
import { verdictsFor } from '../../shared/survival/verdicts.ts';
import { badSentence } from './sentence.ts';
import { mutateBytes, mutateJson } from './mutate.ts';
import { track } from './text-corpus.ts';

export type TextKind = 'profile' | 'markers' | 'playlist';

export interface TextSample {
  kind: TextKind;
  name: string;
  text: string;
}

const MARKERS: Marker[] = [
  { kind: 'cue', id: 'c', time: 20, name: 'In', importance: 3, slot: 6, colour: '#c05a2b' },
  { kind: 'loop', id: 'l', time: 40, name: 'Hold', importance: 1, endTime: 42, beats: 4 },
  { kind: 'mark', id: 'm', time: 60, name: 'Drop', importance: 2 },
];

/** Half of JSON files are changed as data, so that they get past the parser; the rest as bytes. */
export function damaged(
  samples: readonly TextSample[],
  seed: number,
): { sample: TextSample; bytes: Uint8Array } {
  const sample = samples[seed % samples.length];
  const other = samples[(seed * 5 + 2) % samples.length];
  const utf8 = new TextEncoder();
  const isJson = sample.text.startsWith('{');
  const bytes =
    isJson && seed % 4 !== 0
      ? utf8.encode(mutateJson(sample.text, seed))
      : mutateBytes(utf8.encode(sample.text), utf8.encode(other.text), seed);
  return { sample, bytes };
}

/** @returns whether it was taken, and everything that should not be */
export function runTextCase(
  samples: readonly TextSample[],
  seed: number,
): { taken: boolean; wrong: string[] } {
  const { sample, bytes } = damaged(samples, seed);
  const wrong: string[] = [];
  const note = (fault: string | null) => {
    if (fault) wrong.push(fault);
  };
  const { name } = sample;
  try {
    if (sample.kind === 'profile') {
      const read = readProfile(new TextDecoder().decode(bytes), name);
      if (!read.ok) {
        if (!read.problems.length) wrong.push('refused without a reason');
        for (const sentence of read.problems) note(badSentence(sentence, name));
        return { taken: false, wrong };
      }
      // A profile that is taken can be shown and judged by.
      const profile = plainProfile(read.profile);
      const view = { startTime: 0, endTime: track.duration, zoomStop: 0, maxColumns: 600 };
      scrollingColumns(track, profile, profile.waveform.kinds[0], view);
      overviewColumns(track, profile);
      verdictsFor(MARKERS, track, profile);
      return { taken: true, wrong };
    }
    if (sample.kind === 'markers') {
      const context = {
        fileName: name,
        duration: track.duration,
        title: 'Slow Lamp',
        artist: null,
        audioName: null,
      };
      const { markers } = readMarkersText(bytes, context);
      note(faultOf(markers));
      if (markers.some((m) => !Number.isFinite(m.time) || m.time < 0)) wrong.push('a marker outside time');
      return { taken: true, wrong };
    }
    const { entries } = readPlaylist(bytes, name);
    for (const { seconds, mixIn, mixOut } of entries)
      if ([seconds, mixIn, mixOut].some((x) => x !== null && !(Number.isFinite(x) && x >= 0)))
        wrong.push('a time that is none');
    return { taken: true, wrong };
  } catch (error) {
    if (error instanceof ExchangeFault || error instanceof GigFault) note(badSentence(error.message, name));
    else wrong.push(error instanceof Error ? (error.stack ?? error.message) : String(error));
    return { taken: false, wrong };
  }
}
