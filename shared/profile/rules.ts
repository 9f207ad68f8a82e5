/**
 * What must hold between the facts of a profile, beyond the type of each: a deck that shows a grid nowhere has
 * no grid. One table; each rule names the field that a person would change first.
 */
import { plainProfile } from './schema.ts';
import type { DeckProfile, ProfileFile } from './schema.ts';

/** Something in a profile that cannot be right. */
export interface ProfileProblem {
  /** Keys from the file's root to the place, for instance `['facts', 'hotCues', 'slots', 'value']`. */
  path: string[];
  /** What stands there and what would be right, without the place. */
  sentence: string;
}

interface Rule {
  /** Fact that the sentence stands beside: `group.fact`. */
  at: `${keyof ProfileFile['facts']}.${string}`;
  /** The sentence when the rule is broken, else null. */
  broken(deck: DeckProfile): string | null;
}

const when = (broken: boolean, sentence: string): string | null => (broken ? sentence : null);
const list = (values: readonly unknown[]): string => (values.length ? values.join(', ') : 'an empty list');

/** Two facts that must both say "there is none" or neither. */
function together(at: Rule['at'], none: (d: DeckProfile) => [boolean, boolean], sentence: string): Rule {
  return {
    at,
    broken: (deck) => {
      const [a, b] = none(deck);
      return when(a !== b, sentence);
    },
  };
}

/** A fact that needs another one. */
function needs(
  at: Rule['at'],
  has: (d: DeckProfile) => boolean,
  base: (d: DeckProfile) => boolean,
  sentence: string,
): Rule {
  return { at, broken: (deck) => when(has(deck) && !base(deck), sentence) };
}

function noRepeats(at: Rule['at'], values: (d: DeckProfile) => readonly unknown[]): Rule {
  return {
    at,
    broken: (deck) => {
      const all = values(deck);
      return when(new Set(all).size < all.length, `holds ${list(all)}; each entry must stand there once`);
    },
  };
}

function ascending(at: Rule['at'], values: (d: DeckProfile) => readonly number[], order: string): Rule {
  return {
    at,
    broken: (deck) => {
      const all = values(deck);
      return when(
        all.some((value, i) => i > 0 && value <= all[i - 1]),
        `holds ${list(all)}; the numbers must rise, ${order}, each once`,
      );
    },
  };
}

const RULES: readonly Rule[] = [
  needs(
    'waveform.kinds',
    (d) => d.waveform.scrolling,
    (d) => d.waveform.kinds.length > 0,
    'is an empty list although the waveform scrolls; name at least one kind or set scrolling to false',
  ),
  needs(
    'waveform.zoomSeconds',
    (d) => d.waveform.scrolling,
    (d) => d.waveform.zoomSeconds.length > 0,
    'is an empty list although the waveform scrolls; give at least one number of seconds',
  ),
  needs(
    'waveform.heightSteps',
    (d) => d.waveform.scrolling,
    (d) => d.waveform.heightSteps > 0,
    'is 0 although the waveform scrolls; it must be at least 1',
  ),
  needs(
    'waveform.kinds',
    (d) => d.waveform.kinds.length > 0,
    (d) => d.waveform.scrolling,
    'names kinds although nothing scrolls; it must be an empty list, or scrolling true',
  ),
  needs(
    'waveform.zoomSeconds',
    (d) => d.waveform.zoomSeconds.length > 0,
    (d) => d.waveform.scrolling,
    'gives zoom stops although nothing scrolls; it must be an empty list, or scrolling true',
  ),
  needs(
    'waveform.grid',
    (d) => d.waveform.grid !== 'none',
    (d) => d.waveform.scrolling,
    'asks for a grid although nothing scrolls; it must be "none", or scrolling true',
  ),
  needs(
    'phase.readout',
    (d) => d.phase.readout === 'stacked-waveforms',
    (d) => d.waveform.scrolling,
    'is "stacked-waveforms" although nothing scrolls; choose another read-out, or set scrolling to true',
  ),
  noRepeats('waveform.kinds', (d) => d.waveform.kinds),
  ascending('waveform.zoomSeconds', (d) => d.waveform.zoomSeconds, 'nearest zoom first'),
  together(
    'waveform.gridPlace',
    (d) => [d.waveform.grid === 'none', d.waveform.gridPlace === 'nowhere'],
    'and the grid contradict each other; the place must be "nowhere" exactly where the grid is "none"',
  ),
  {
    at: 'overview.columns',
    broken: (d) =>
      when(
        d.overview.columns > d.screen.columns,
        `is ${d.overview.columns}, more than the screen's ${d.screen.columns} columns; it must be at most ${d.screen.columns}`,
      ),
  },
  {
    at: 'overview.heightSteps',
    broken: (d) =>
      when(
        d.overview.heightSteps > d.screen.rows,
        `is ${d.overview.heightSteps}, more than the screen's ${d.screen.rows} rows; it must be at most ${d.screen.rows}`,
      ),
  },
  {
    at: 'waveform.heightSteps',
    broken: (d) =>
      when(
        d.waveform.heightSteps > d.screen.rows,
        `is ${d.waveform.heightSteps}, more than the screen's ${d.screen.rows} rows; it must be at most ${d.screen.rows}`,
      ),
  },
  {
    at: 'list.rows',
    broken: (d) =>
      when(
        d.list.rows > d.screen.rows,
        `is ${d.list.rows}, more than the screen's ${d.screen.rows} rows; it must be at most ${d.screen.rows}`,
      ),
  },
  needs(
    'overview.touchListen',
    (d) => d.overview.touchListen,
    (d) => d.screen.touch,
    'is true although the screen is no touch screen; it must be false, or touch true',
  ),
  needs(
    'list.preview',
    (d) => d.list.preview === 'touch',
    (d) => d.screen.touch,
    'is "touch" although the screen is no touch screen; it must be "none", or touch true',
  ),
  needs(
    'beatJump.where',
    (d) => d.beatJump.where === 'screen',
    (d) => d.screen.touch,
    'is "screen" although the screen is no touch screen; it must be "buttons" or "none", or touch true',
  ),
  {
    at: 'hotCues.slots',
    broken: ({ hotCues: h }) =>
      when(
        h.slots > h.banks * h.buttons,
        `is ${h.slots}, but ${h.banks} bank(s) of ${h.buttons} button(s) reach only ${h.banks * h.buttons}; it must be at most that`,
      ),
  },
  together(
    'hotCues.recallPresses',
    (d) => [d.hotCues.recall === 'automatic', d.hotCues.recallPresses === 0],
    'and the recall contradict each other; it must be 0 where recall is "automatic" and more than 0 where it is "by-hand"',
  ),
  together(
    'marks.limit',
    (d) => [!d.marks.shown, d.marks.limit === 0],
    'and "shown" contradict each other; it must be 0 where no marks are shown and more than 0 where they are',
  ),
  together(
    'quantise.setIn',
    (d) => [d.quantise.steps.length === 0, d.quantise.setIn === 'none'],
    'and the steps contradict each other; it must be "none" exactly where the list of steps is empty',
  ),
  ascending('quantise.steps', (d) => d.quantise.steps, 'finest step first'),
  together(
    'loops.method',
    (d) => [d.loops.direct.length === 0, d.loops.method === 'none'],
    'and the lengths contradict each other; it must be "none" exactly where the list of lengths is empty',
  ),
  ascending('loops.direct', (d) => d.loops.direct, 'shortest loop first'),
  needs(
    'loops.method',
    (d) => d.loops.method === 'strip',
    (d) => d.playback.touchStrip,
    'is "strip" although the deck has no touch strip; choose another way, or set the touch strip to true',
  ),
  together(
    'beatJump.where',
    (d) => [d.beatJump.lengths.length === 0, d.beatJump.where === 'none'],
    'and the lengths contradict each other; it must be "none" exactly where the list of lengths is empty',
  ),
  ascending('beatJump.lengths', (d) => d.beatJump.lengths, 'shortest jump first'),
  needs(
    'playback.slipReverse',
    (d) => d.playback.slipReverse,
    (d) => d.playback.slip,
    'is true although the deck has no slip; it must be false, or slip true',
  ),
  ascending('playback.tempoRangesPercent', (d) => d.playback.tempoRangesPercent, 'narrowest first'),
  noRepeats('media.formats', (d) => d.media.formats),
];

/** The broken rules of a profile whose facts have the right types; empty when it is consistent. */
export function inconsistencies(file: ProfileFile): ProfileProblem[] {
  const deck = plainProfile(file);
  return RULES.flatMap((rule) => {
    const sentence = rule.broken(deck);
    return sentence ? [{ path: ['facts', ...rule.at.split('.'), 'value'], sentence }] : [];
  });
}
