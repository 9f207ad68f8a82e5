/** An invented list for who has too few tracks of their own, with names that cut lists make alike. */
import { PRACTICE_TITLES } from '../shared/behaviour/drills/list-drill.ts';
import { type ListedTrack, PRACTICE_ID } from '../shared/drills/loading/types.ts';
import { KEY_NAMES } from '../shared/keys.ts';

/** Invented. */
const ARTISTS = [
  'Tilda Vane',
  'Moss & Ferrow',
  'The Quiet Engineers',
  'Odile Brack',
  'Ninth Pier',
  'Harrow Lane',
  'Jun Okabe Trio',
  'Sable Post',
  'Ivo Marrin',
  'Night Kiosk',
  'Petra Lund',
];
/** One title in so many has several versions, by the same artist. */
const VERSIONED_EACH = 3;
const VERSIONS = ['(Extended Club Version)', '(Late Dub)', '(Short Version)'];
/** One title in so many stands in the list by another artist too. */
const TWICE_EACH = 7;
/** One in so many has a long name. */
const LONG_EACH = 5;
const LONG = 'and the Long Way Back to the Harbour';

const SLOWEST = 116;
const TEMPI = 21;

/** In no order. The same at every start. */
export const PRACTICE_LIST: readonly ListedTrack[] = PRACTICE_TITLES.flatMap((plain, i) => {
  const name = i % LONG_EACH === 0 ? `${plain} ${LONG}` : plain;
  const titles = i % VERSIONED_EACH === 0 ? VERSIONS.map((version) => `${name} ${version}`) : [name];
  const artist = ARTISTS[i % ARTISTS.length];
  const named = titles.map((title) => ({ title, artist }));
  if (i % TWICE_EACH === 1) named.push({ title: titles[0], artist: ARTISTS[(i + 1) % ARTISTS.length] });
  return named.map((names): ListedTrack => ({
    ...names,
    id: PRACTICE_ID,
    tempo: SLOWEST + ((8 * i) % TEMPI),
    key: KEY_NAMES[(5 * i) % KEY_NAMES.length],
    duration: 200 + ((37 * i) % 240),
    source: {
      container: 'wav',
      codec: 'pcm',
      lossless: true,
      sampleRate: 44100,
      channels: 2,
      bitDepth: 16,
      bitrate: null,
    },
  }));
});
