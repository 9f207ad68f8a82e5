/** What a person no longer sees on one deck against a richer one, told from the two profiles alone. */
import type { DeckProfile } from '../profile/schema.ts';
import type { ColumnKind } from './columns.ts';
import { lostWords, lostLine } from './words.ts';

/** One loss: a message key with what its words need. Numbers are raw; the words round them. */
export interface Loss {
  key: keyof typeof lostWords;
  params: Record<string, number>;
}

/** Losses named in one line; the rest is counted. */
export const MAX_LOSSES_IN_LINE = 3;

const KIND_RANK: Record<ColumnKind, number> = { 'three-band': 3, tint: 2, single: 1, plain: 0 };
const GRID_RANK = { 'beats-and-bars': 2, beats: 1, none: 0 };
const PHASE_RANK = { 'stacked-waveforms': 3, 'bar-beat-ticks': 2, 'four-blocks': 1, none: 0 };

/** The best kind of picture that the deck has of a track: its scrolling one, else its overview. */
function bestKind({ waveform, overview }: DeckProfile): ColumnKind {
  return waveform.scrolling ? (waveform.kinds[0] ?? 'plain') : overview.kind;
}

/**
 * What `deck` no longer shows of a track that `richest` does, weightiest first; empty when nothing is lost.
 * @param duration of the track, s: tells how long one column of the overview is
 */
export function lostFacts(richest: DeckProfile, deck: DeckProfile, duration: number): Loss[] {
  const losses: Loss[] = [];
  const lose = (lost: boolean, key: Loss['key'], params: Loss['params'] = {}) => {
    if (lost) losses.push({ key, params });
  };
  const rich = richest.waveform;
  const poor = deck.waveform;
  const bothScroll = rich.scrolling && poor.scrolling;

  lose(rich.scrolling && !poor.scrolling, 'noScrolling');

  const gridLost = GRID_RANK[poor.grid] < GRID_RANK[rich.grid];
  lose(gridLost && poor.grid === 'none', 'noGrid');
  lose(gridLost && poor.grid === 'beats', 'noBars');
  lose(rich.gridPlace === 'across' && poor.gridPlace === 'edge-marks', 'gridAtEdge');

  const kind = bestKind(deck);
  const colourLost = KIND_RANK[kind] < KIND_RANK[bestKind(richest)];
  lose(colourLost && kind === 'tint', 'oneHue');
  lose(colourLost && kind === 'single', 'noHue');
  lose(colourLost && kind === 'plain', 'noColour');

  const phase = deck.phase.readout;
  const phaseLost = PHASE_RANK[phase] < PHASE_RANK[richest.phase.readout];
  lose(phaseLost && phase === 'bar-beat-ticks', 'phaseTicks');
  lose(phaseLost && phase === 'four-blocks', 'phaseBlocks');
  lose(phaseLost && phase === 'none', 'noPhase');

  lose(richest.marks.shown && !deck.marks.shown, 'noMarks');
  const { slots } = deck.hotCues;
  lose(slots < richest.hotCues.slots, 'fewerCues', { slots, of: richest.hotCues.slots });
  lose(slots > 0 && richest.hotCues.colours === 'each' && deck.hotCues.colours === 'one', 'cuesOneColour');
  const fewerMarks = deck.marks.shown && deck.marks.limit < richest.marks.limit;
  lose(fewerMarks, 'fewerMarks', { marks: deck.marks.limit });

  if (bothScroll) {
    const [near, far] = [poor.zoomSeconds[0], poor.zoomSeconds[poor.zoomSeconds.length - 1]];
    lose(near > rich.zoomSeconds[0], 'nothingCloser', { seconds: near });
    lose(far < rich.zoomSeconds[rich.zoomSeconds.length - 1], 'nothingWider', { seconds: far });
    lose(poor.heightSteps < rich.heightSteps, 'fewerHeights', {
      steps: poor.heightSteps,
      of: rich.heightSteps,
    });
  }
  const { columns } = deck.overview;
  lose(columns < richest.overview.columns || (rich.scrolling && !poor.scrolling), 'overviewColumns', {
    columns,
    seconds: duration / columns,
  });
  return losses;
}

/**
 * The same as one line for a rung's legend: the weightiest losses, then how coarse the overview is.
 * @param locale for numbers, BCP 47
 * @param most losses to name; Infinity names them all
 */
export function lostSentence(
  richest: DeckProfile,
  deck: DeckProfile,
  duration: number,
  locale = 'en-GB',
  most = MAX_LOSSES_IN_LINE,
): string {
  const losses = lostFacts(richest, deck, duration);
  const format = new Intl.NumberFormat(locale, { maximumSignificantDigits: 2, useGrouping: false });
  const inWords = ({ key, params }: Loss) =>
    lostWords[key].replace(/\{(\w+)\}/g, (_, name: string) =>
      Number.isInteger(params[name]) ? String(params[name]) : format.format(params[name]),
    );
  const named = losses.filter(({ key }) => key !== 'overviewColumns');
  const measure = losses.find(({ key }) => key === 'overviewColumns');
  return lostLine(
    named.slice(0, most).map(inWords),
    Math.max(0, named.length - most),
    measure && duration > 0 ? inWords(measure) : null,
  );
}
