/** Choosing one of four strips: the track that is heard, and the same track on the richest display. */
import type { DeckProfile } from '../../profile/schema.ts';
import { looksLike, overviewStrip, scrollingStrip, scrolls, withoutClock } from '../pictures.ts';
import { pick, shuffled } from '../random.ts';
import { kindOfLabel } from '../structure.ts';
import type { DrillTrack, Random, Strip } from '../types.ts';
import { type Context, type Drill, held, noPicture, type Place } from './kind.ts';

export const OPTIONS = 4;
/** Seconds that are played where the strips are whole tracks. */
const HEARD_SECONDS = 16;
/** Tries to find other strips that look different on every display. */
const TRIES = 40;

interface Window {
  track: DrillTrack;
  startTime: number;
}

/** Seconds of one strip: the deck's middle zoom stop. */
const windowOf = ({ waveform: { zoomSeconds } }: DeckProfile): number =>
  zoomSeconds[Math.floor((zoomSeconds.length - 1) / 2)];

/** A window with its middle in the section, wholly within the track. */
function startIn(track: DrillTrack, from: number, to: number, seconds: number, random: Random): number {
  const start = from + random() * (to - from) - seconds / 2;
  return Math.min(Math.max(0, start), Math.max(0, track.analysis.duration - seconds));
}

function places(track: DrillTrack): Place[] {
  return track.analysis.sections.map((section): Place => ({
    track,
    section: kindOfLabel(section.label),
    time: section.startTime,
    group: '',
    params: { length: section.endTime - section.startTime },
  }));
}

/** The strip of one window on a deck, by the view that the trained deck has. */
function stripOf({ track, startTime }: Window, deck: DeckProfile, seconds: number, whole: boolean) {
  const strip = whole
    ? overviewStrip(track, deck, null)
    : scrollingStrip(track, deck, startTime, startTime + seconds, null);
  return strip && withoutClock(strip, whole);
}

/**
 * The window that is asked about and three others, in random order. Of the others each looks unlike it on every one
 * of `decks`: else nobody could answer.
 */
function choose(right: Window, { deck, tracks, random }: Context, decks: readonly DeckProfile[]) {
  const whole = !scrolls(deck);
  const seconds = whole ? 0 : windowOf(deck);
  const looks = (window: Window) => decks.map((each) => stripOf(window, each, seconds, whole));
  const known: (Strip | null)[][] = [looks(right)];
  const windows = [right];
  for (let i = 0; i < TRIES && windows.length < OPTIONS; i++) {
    const track = pick(random, tracks);
    if (!track) return null;
    const used = windows.filter((window) => window.track === track);
    if (whole && used.length) continue;
    const startTime = whole ? 0 : startIn(track, 0, track.analysis.duration, seconds, random);
    if (used.some((window) => Math.abs(window.startTime - startTime) < seconds)) continue;
    const strips = looks({ track, startTime });
    const alike = known.some((other) => other.some((s, d) => !s || !strips[d] || looksLike(s, strips[d])));
    if (alike) continue;
    windows.push({ track, startTime });
    known.push(strips);
  }
  if (windows.length < OPTIONS) return null;
  const order = shuffled(
    random,
    windows.map((_, i) => i),
  );
  return { windows: order.map((i) => windows[i]), index: order.indexOf(0), seconds, whole };
}

const optionsOf = (windows: readonly Window[], deck: DeckProfile, seconds: number, whole: boolean) =>
  windows.flatMap((window) => stripOf(window, deck, seconds, whole) ?? []);

function start({ track, time, params }: Place, { deck, random }: Context): Window & { heard: number } {
  const seconds = scrolls(deck) ? windowOf(deck) : HEARD_SECONDS;
  const startTime = startIn(track, time, time + params.length, seconds, random);
  return { track, startTime: scrolls(deck) ? startTime : 0, heard: startTime };
}

export const heardStrip: Drill = {
  kind: 'heard-strip',
  doubts: ['grid', 'sections'],
  sound: 'always',
  baseline: true,
  canAsk: () => true,
  places,
  make(place, context) {
    const { shownOn, deck, rich } = context;
    const { heard, ...right } = start(place, context);
    const chosen = choose(right, context, shownOn === deck ? [deck] : [deck, rich]);
    if (!chosen) return null;
    const { windows, index, seconds, whole } = chosen;
    const options = optionsOf(windows, shownOn, seconds, whole);
    const view = whole ? 'overview' : 'scrolling';
    const length = whole ? HEARD_SECONDS : seconds;
    return {
      shown: {
        ...noPicture,
        question: { key: 'heard-strip', params: {} },
        ask: { by: 'strip', count: OPTIONS },
        options,
      },
      sound: { trackId: place.track.id, startTime: heard, endTime: heard + length },
      held: held(place, options[index], view, {
        answer: { type: 'choice', index },
        chance: 1 / OPTIONS,
        time: heard + length / 2,
        options: windows.map(({ track, startTime }) => ({ trackId: track.id, time: startTime })),
      }),
    };
  },
};

export const sameOnRich: Drill = {
  kind: 'same-on-rich',
  doubts: ['grid', 'sections'],
  sound: 'never',
  // On the richest display it would ask to compare a picture with itself.
  baseline: false,
  canAsk: (deck, rich) => deck.id !== rich.id && (!scrolls(deck) || scrolls(rich)),
  places,
  make(place, context) {
    const { deck, rich } = context;
    const { heard, ...right } = start(place, context);
    const chosen = choose(right, context, [deck, rich]);
    if (!chosen) return null;
    const { windows, index, seconds, whole } = chosen;
    const main = stripOf(right, deck, seconds, whole);
    if (!main) return null;
    const view = whole ? 'overview' : 'scrolling';
    return {
      shown: {
        ...noPicture,
        question: { key: 'same-on-rich', params: {} },
        ask: { by: 'strip', count: OPTIONS },
        main,
        options: optionsOf(windows, rich, seconds, whole),
      },
      sound: null,
      held: held(place, main, view, {
        answer: { type: 'choice', index },
        chance: 1 / OPTIONS,
        time: heard + (whole ? HEARD_SECONDS : seconds) / 2,
        options: windows.map(({ track, startTime }) => ({ trackId: track.id, time: startTime })),
      }),
    };
  },
};
