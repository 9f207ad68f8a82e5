/** After an answer: both displays at its place, and what in the shown one gave it away, by the measured contrast. */
import { BANDS } from '../bands.ts';
import type { DisplayColumns } from '../display/columns.ts';
import { beatAtTime } from '../grid/grid.ts';
import type { DeckProfile } from '../profile/schema.ts';
import { contrastAt, VISIBLE_CONTRAST, VISIBLE_HEIGHT, VISIBLE_SHADE } from '../survival/contrast.ts';
import { cliffsDelta } from '../survival/effect.ts';
import { bassByBar } from './bass.ts';
import { richestOf } from './make.ts';
import { leastOffset, phasePicture, type Playing } from './phase.ts';
import { columnAt, overviewStrip, scrollingStrip } from './pictures.ts';
import { barsFrom, beatSecondsAt, levelDb } from './structure.ts';
import type { DrillItem, DrillTrack, Explanation, Response, Strip } from './types.ts';
import {
  barsSentence,
  bassSentence,
  changeSentence,
  clashSentence,
  dropSentence,
  phaseSentence,
  type Sight,
  timeSentence,
  unlikeSentence,
} from './words.ts';

/** Bars after a mark that are compared for energy. */
const ENERGY_BARS = 8;

/**
 * @param response what was answered: of a wrongly chosen strip it is told what sets it apart; null: the nearest one
 * @param tracks those that the item was made of
 * @param profiles all decks; the item's deck and the richest among them
 * @throws RangeError when a track or deck of the item is not among them
 */
export function explain(
  item: DrillItem,
  response: Pick<Response, 'value'> | null,
  tracks: readonly DrillTrack[],
  profiles: readonly DeckProfile[],
): Explanation {
  const deck = profiles.find(({ id }) => id === item.shownDeckId);
  if (!deck) throw new RangeError('The deck of this item is not at hand.');
  const rich = richestOf(profiles);
  const look: Look = { item, deck, rich, find: (id) => trackOf(tracks, id) };
  switch (item.drill) {
    case 'heard-strip':
    case 'same-on-rich':
      return ofStrips(look, response);
    case 'energy-clash':
      return ofClash(look);
    case 'phase-compare':
      return ofPhase(look);
    case 'read-time':
      return ofTime(look);
    default:
      return ofChange(look);
  }
}

interface Look {
  item: DrillItem;
  deck: DeckProfile;
  rich: DeckProfile;
  find(trackId: string): DrillTrack;
}

function trackOf(tracks: readonly DrillTrack[], trackId: string): DrillTrack {
  const track = tracks.find(({ id }) => id === trackId);
  if (!track) throw new RangeError('The track of this item is not at hand.');
  return track;
}

/** A change in time: found by pointing or counting, or the bass coming or going. */
function ofChange({ item, deck, rich, find }: Look): Explanation {
  const { held, shown } = item;
  const track = find(held.trackId);
  const place = item.drill === 'bass-here' ? bassChange(track, held.time) : held.time;
  const here = changeAt(track, viewOf(deck, held.view), place);
  const onRich = changeAt(track, viewOf(rich, held.view), place);
  const strips = bothStrips(track, shown.main, held, deck, rich);
  return {
    ...strips,
    sentence: changeSentence(changeName(item), here.sight, onRich.sight),
    contrastHere: here.value,
    contrastRich: onRich.value,
    giveaway: here.sight?.layer ?? null,
    phase: null,
  };
}

function changeName({ drill, held }: DrillItem): string {
  if (held.answer.type === 'bars') return barsSentence(held.answer.bars);
  if (held.answer.type === 'choice') return bassSentence(held.answer.index === 1);
  return dropSentence(drill, held.answer.time);
}

/** The nearest bar line at which the bass leaves the state that it has at `time`. */
function bassChange(track: DrillTrack, time: number): number {
  const bars = bassByBar(track);
  const at = bars.findIndex((bar) => bar.startTime <= time && time < bar.endTime);
  const changes = bars.filter(
    (bar, i) => i > 0 && (bar.state === bars[at]?.state) !== (bars[i - 1].state === bars[at]?.state),
  );
  return changes.reduce(
    (best, { startTime }) => (Math.abs(startTime - time) < Math.abs(best - time) ? startTime : best),
    changes[0]?.startTime ?? time,
  );
}

/** The deck as far as the item showed it: an overview is judged as an overview, also where the deck scrolls. */
function viewOf(deck: DeckProfile, view: 'overview' | 'scrolling'): DeckProfile {
  return view === 'scrolling' ? deck : { ...deck, waveform: { ...deck.waveform, scrolling: false } };
}

function changeAt(
  track: DrillTrack,
  deck: DeckProfile,
  time: number,
): { value: number | null; sight: Sight | null } {
  const contrast = contrastAt(track.analysis, deck, time);
  return { value: contrast?.value ?? null, sight: contrast && plainest(contrast.layers) };
}

/** The layer that differs most, or null where none is seen to. */
function plainest(layers: readonly Sight[]): Sight | null {
  const most = layers.reduce<Sight | null>(
    (best, each) => (best && Math.abs(best.delta) >= Math.abs(each.delta) ? best : each),
    null,
  );
  return most && Math.abs(most.delta) >= VISIBLE_CONTRAST ? most : null;
}

/** What was shown, with the answer marked on it, and the same stretch on the richest display. */
function bothStrips(
  track: DrillTrack,
  main: Strip | null,
  { time, view }: DrillItem['held'],
  deck: DeckProfile,
  rich: DeckProfile,
): { here: Strip; rich: Strip } {
  if (view === 'overview' || !main) {
    return { here: overviewStrip(track, deck, time), rich: overviewStrip(track, rich, time) };
  }
  const { startTime, secondsPerColumn, count } = main.columns;
  const strip = scrollingStrip(track, rich, startTime, startTime + count * secondsPerColumn, time);
  return {
    here: { columns: main.columns, markColumn: columnAt(main.columns, time) },
    rich: strip ?? overviewStrip(track, rich, time),
  };
}

function ofTime({ item, deck, rich, find }: Look): Explanation {
  const track = find(item.held.trackId);
  return {
    ...bothStrips(track, item.shown.main, item.held, deck, rich),
    sentence: timeSentence(item.held.time, item.held.columnSeconds),
    contrastHere: null,
    contrastRich: null,
    giveaway: null,
    phase: null,
  };
}

/** One of several strips: what sets the right one apart from the wrong one that was taken, or from its nearest. */
function ofStrips({ item, deck, rich, find }: Look, response: Pick<Response, 'value'> | null): Explanation {
  const { held, shown } = item;
  const right = held.answer.type === 'choice' ? held.answer.index : 0;
  const drawn = (i: number, on: DeckProfile): Strip => {
    const { trackId, time } = held.options[i];
    const { secondsPerColumn, count } = shown.options[i].columns;
    const scrolling =
      held.view === 'scrolling'
        ? scrollingStrip(find(trackId), on, time, time + secondsPerColumn * count, null)
        : null;
    return scrolling ?? overviewStrip(find(trackId), on, null);
  };
  const others = held.options.map((_, i) => i).filter((i) => i !== right);
  const unlike = (i: number, on: DeckProfile) => difference(drawn(i, on).columns, drawn(right, on).columns);
  const chosen = response && others.includes(response.value) ? response.value : null;
  const nearest = others.reduce((a, b) => (largest(unlike(b, deck)) < largest(unlike(a, deck)) ? b : a));
  const other = chosen ?? nearest;
  const [here, onRich] = [unlike(other, deck), unlike(other, rich)];
  return {
    here: drawn(right, deck),
    rich: drawn(right, rich),
    sentence: unlikeSentence(plainest(here), plainest(onRich), chosen !== null),
    contrastHere: largest(here),
    contrastRich: largest(onRich),
    giveaway: plainest(here)?.layer ?? null,
    phase: null,
  };
}

/** The clashing track after its mark against what plays after its own. */
function ofClash({ item, deck, rich, find }: Look): Explanation {
  const { held } = item;
  const playing = find(held.trackId);
  const option = held.options[held.answer.type === 'choice' ? held.answer.index : 0];
  const clashing = find(option.trackId);
  const after = (track: DrillTrack, time: number, on: DeckProfile) => {
    const { columns } = overviewStrip(track, on, null);
    return part(columns, columnAt(columns, time), columnAt(columns, barsFrom(track, time, ENERGY_BARS)) + 1);
  };
  const unlike = (on: DeckProfile) =>
    difference(after(playing, held.time, on), after(clashing, option.time, on));
  const level = (track: DrillTrack, time: number) => levelDb(track, time, barsFrom(track, time, ENERGY_BARS));
  const db = level(clashing, option.time) - level(playing, held.time);
  // Only what goes the same way as the loudness tells of it: a quiet track may well have more treble.
  const told = (layers: readonly Sight[]) =>
    layers.filter(({ layer, delta }) => layer !== 'shade' && delta * db > 0);
  const [here, onRich] = [told(unlike(deck)), told(unlike(rich))];
  return {
    here: overviewStrip(clashing, deck, option.time),
    rich: overviewStrip(clashing, rich, option.time),
    sentence: clashSentence(db, plainest(here)),
    contrastHere: largest(here),
    contrastRich: largest(onRich),
    giveaway: plainest(here)?.layer ?? null,
    phase: null,
  };
}

function ofPhase({ item, deck, rich, find }: Look): Explanation {
  const { held, shown } = item;
  const track = find(held.trackId);
  const { beatsPerBar } = track.analysis.grid;
  const playing = ({ trackId, time }: { trackId: string; time: number }, beatInBar: number): Playing => ({
    track: find(trackId),
    time,
    beatInBar,
    beatSeconds: beatSecondsAt(find(trackId), time) ?? 0,
  });
  const offset = held.offsetBeats ?? 0;
  const [a, b] = held.options;
  const at = beatInBar(track, a.time);
  const there = (((at + offset) % beatsPerBar) + beatsPerBar) % beatsPerBar;
  const onRich = phasePicture(rich, playing(a, at), playing(b, there));
  const overviews = { here: overviewStrip(track, deck, a.time), rich: overviewStrip(track, rich, a.time) };
  return {
    ...overviews,
    sentence: phaseSentence(
      offset,
      leastOffset(deck, held.beatSeconds, beatsPerBar),
      leastOffset(rich, held.beatSeconds, beatsPerBar),
    ),
    contrastHere: null,
    contrastRich: null,
    giveaway: null,
    phase: { here: shown.phase, rich: onRich },
  };
}

function beatInBar({ analysis: { grid } }: DrillTrack, time: number): number {
  const beat = beatAtTime(grid, time) + grid.firstBeatInBar;
  const n = grid.beatsPerBar;
  return ((beat % n) + n) % n;
}

const largest = (layers: readonly Sight[]): number =>
  layers.reduce((most, { delta }) => Math.max(most, Math.abs(delta)), 0);

/** How the second picture's columns differ from the first one's, per layer: Cliff's delta, as in the contrast. */
function difference(a: DisplayColumns, b: DisplayColumns): Sight[] {
  const margin = Math.max(1, Math.round(a.heightSteps * VISIBLE_HEIGHT));
  const sights = a.heights.map((layer, i): Sight => ({
    layer: a.heights.length > 1 ? BANDS[i] : 'height',
    delta: cliffsDelta(counts(layer, a.heightSteps + 1), counts(b.heights[i], a.heightSteps + 1), margin),
  }));
  if (a.colourSteps < 2) return sights;
  // Shades of columns without a height are not seen.
  const shades = ({ colours, heights, colourSteps }: DisplayColumns) =>
    counts(
      colours.filter((_, i) => heights[0][i] > 0),
      colourSteps,
    );
  const step = Math.max(1, Math.round(a.colourSteps * VISIBLE_SHADE));
  return [...sights, { layer: 'shade', delta: cliffsDelta(shades(a), shades(b), step) }];
}

function counts(values: Uint16Array | Uint8Array, steps: number): Uint32Array {
  const out = new Uint32Array(steps);
  for (const value of values) out[value]++;
  return out;
}

function part(columns: DisplayColumns, from: number, to: number): DisplayColumns {
  return {
    ...columns,
    count: to - from,
    heights: columns.heights.map((layer) => layer.slice(from, to)),
    colours: columns.colours.slice(from, to),
  };
}
