/** Sound text files of every kind that the app takes, and the track they belong to. */
import { TEXT_FORMATS } from '../../shared/exchange/formats.ts';
import type { Marker } from '../../shared/markers/marker.ts';
import { analysis } from '../library/helpers.ts';
import { shippedNames, shippedText } from '../profiles/files.ts';
import type { TextSample } from './text-case.ts';

const SECONDS = 180;

/** An invented analysis, long enough for the markers. */
export const track = analysis(124, SECONDS);

const MARKERS: Marker[] = [
  { kind: 'cue', id: 'c1', time: 15.484, name: 'Kick, “in”', importance: 3, slot: 1, colour: '#c05a2b' },
  { kind: 'cue', id: 'c2', time: 62.5, name: 'Drop', importance: 2, slot: 4, colour: null },
  { kind: 'loop', id: 'l1', time: 90, name: 'Hold; 8', importance: 1, endTime: 93.871, beats: 8 },
  { kind: 'mark', id: 'm1', time: 120.25, name: 'Abschwung', importance: 2 },
];

const M3U8 = `#EXTM3U
#PLAYLIST:Cellar, second night
#EXTINF:372,Marl Quay - Slow Lamp
Music/Marl%20Quay/Slow Lamp.mp3
#EXTINF:-1,Ötte Brandt - Nachtbus
..\\Ötte\\Nachtbus.flac
https://example.org/stream
`;

const CSV = `title;artist;file;length;mix in;mix out;note
Slow Lamp;Marl Quay;Slow Lamp.mp3;6:12;0:31;5:20;"long; quiet ""intro"""
Nachtbus;Ötte Brandt;Nachtbus.flac;371,5;;;
`;

export const textCorpus: readonly TextSample[] = [
  ...shippedNames.map((name) => ({ kind: 'profile' as const, name, text: shippedText(name) })),
  ...TEXT_FORMATS.map((format) => {
    const name = `markers.${format.extension}`;
    const context = {
      fileName: name,
      duration: SECONDS,
      title: 'Slow Lamp',
      artist: 'Marl Quay',
      audioName: 'a.mp3',
    };
    return { kind: 'markers' as const, name, text: format.write(MARKERS, context) };
  }),
  { kind: 'playlist', name: 'night.m3u8', text: M3U8 },
  { kind: 'playlist', name: 'night.csv', text: CSV },
];
