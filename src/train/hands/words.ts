/** Every sentence and label of the hand drills, in one place and ready to translate. */
import type { DrillId, DrillPress, DrillStep } from '../../../shared/behaviour/drills/machine.ts';
import type { Effect } from '../../../shared/behaviour/effect.ts';
import { messageWords } from '../../../shared/behaviour/words.ts';
import type { DeckProfile } from '../../../shared/profile/schema.ts';
import type { Group } from './groups.ts';

const plural = (count: number, one: string, many: string) => `${count} ${count === 1 ? one : many}`;
const beats = (count: number) => plural(Math.round(count * 1000) / 1000, 'beat', 'beats');
const seconds = (s: number) => `${s.toFixed(s < 10 ? 2 : 1)} s`;

export const words = {
  title: 'Hands',
  intro:
    'One procedure on one deck, with the controls that this deck has. Afterwards you see your presses beside the fewest that lead there.',
  deck: 'Deck',
  drill: 'Drill',
  drills: {
    'reach-slot': 'Cue in slot 6',
    'recall-before-drop': 'Cues before the drop',
    'shorten-loop': 'Shorter loop in time',
    'two-loops': 'Loops of 4 and 8',
    'find-by-letter': 'Track in the list',
    'hear-first': 'Heard before it plays',
    'drive-pulled': 'Drive pulled',
  } satisfies Record<DrillId, string>,
  refused: { 'not-needed': 'Not needed here.', 'not-possible': 'Not possible here.' },
  start: 'Start',
  again: 'Again',
  giveUp: 'Give up',
  useKeys: 'Keys press the controls',
  skip: 'Skip this one',
  clicks: 'Click on every beat',
  clickLevel: 'Click level',
  clickCaution:
    'Clicks on the beats that the deck plays, higher on the first of a bar or loop. They start quiet: put headphones on only after you have heard how loud it is. Local rules come first.',
  goal: 'Goal',
  wanted: (title: string) => `The track is “${title}”.`,
  wantedOffAir: (title: string) =>
    `The track is “${title}”. Deck 1 is on air and must stay so; the fader of deck 2 is down.`,
  dropIn: (count: number) => `The drop comes in ${beats(count)}.`,
  half: (count: number) => `The loop is ${beats(count)} long.`,
  standsUntil: 'The deck waits for your first press.',
  runsFromStart: 'The deck runs from the moment you start.',
  clock: 'Clock',
  clockIdle: { press: 'at your first press', start: 'at “Start”' },
  seconds,
  tenths: (s: number) => `${s.toFixed(1)} s`,
  tapOffset: (ms: number) =>
    `Your own measure is taken off every press: ${Math.abs(Math.round(ms))} ms ${ms > 0 ? 'late' : 'early'} (Rehearse, Delay).`,
  busy: 'Your hand is at the drive.',
  presses: 'Presses',
  holdThis: 'hold',
  controls: 'Controls of this deck',
  rows: 'List of the deck',
  chosen: (title: string) => `Chosen: ${title}.`,
  listenTo: (title: string) => `Listen to “${title}”`,
  groups: {
    drive: 'Track and drive',
    cues: 'Hot cues',
    loops: 'Loop',
    quantise: 'Quantise',
    list: 'List',
    booth: 'Decks and headphones',
    rows: 'Rows of the list',
    heard: 'Heard from the list',
    letters: 'Letters',
  } satisfies Record<Group, string>,
  readOut: 'What the deck does',
  state: {
    deck: 'Deck',
    plays: (track: string) => `plays “${track}”`,
    stands: (track: string) => `stands, “${track}” is loaded`,
    empty: 'empty and silent',
    loading: (track: string, s: number) => `reads “${track}”, ${seconds(s)} left`,
    saving: 'plays on in a loop from memory',
    drive: 'Drive',
    drivePulled: 'pulled',
    driveIn: 'in its place',
    heard: 'You hear',
    beat: (beat: number, of: number) => `beat ${beat} of ${of}`,
    inLoop: (beat: number, of: string) => `beat ${beat} in a loop of ${of}`,
    loop: 'Loop',
    loopOf: beats,
    loopByHand: 'set by hand',
    loopOff: 'off',
    loopStart: 'start is set, the end is not',
    bank: 'Bank',
    of: (n: number, total: number) => `${n} of ${total}`,
    cues: 'Own cues loaded',
    recall: 'Loading of cues',
    recallPhase: { off: 'closed', opening: 'opening', open: 'open', closing: 'closing' },
    quantise: 'Quantise',
    quantiseOn: (step: number) => `on, step of ${beats(step)}`,
    off: 'off',
    menu: 'Menu',
    menuOpen: (entry: string) => `open at “${entry}”`,
    menuClosed: 'closed',
    goal: 'Loops set',
    left: 'Beats to the drop',
    silent: 'Silence so far',
    search: 'Search',
    typed: (text: string) => (text ? `“${text}”` : 'open, nothing typed'),
    closed: 'closed',
    chosen: 'Chosen',
    none: 'none',
    onAir: 'On air, deck 1',
    offAir: 'Fader down, deck 2',
    waiting: (track: string) => `“${track}”, stands`,
    headphones: 'In the headphones',
    silence: 'nothing',
    fromList: (track: string) => `“${track}”, from the list`,
  },
  over: {
    done: 'Done.',
    givenUp: 'Given up.',
    tooLate: 'Too late: the drop has come.',
    spoilt: {
      'reach-slot': 'Not this time: another cue was fired or set.',
      'recall-before-drop': 'Not this time: a cue was fired or set that is not the track’s own.',
      'shorten-loop': 'Not this time.',
      'two-loops': 'Not this time.',
      'find-by-letter': 'Not this time: another track was loaded.',
      'hear-first': 'Not this time: what was on air is gone.',
      'drive-pulled': 'Not this time.',
    } satisfies Record<DrillId, string>,
    presses: (yours: number, fewest: number) =>
      `${plural(yours, 'press', 'presses')}; the fewest on this deck: ${fewest}.`,
    time: (yours: number, least: number) =>
      `${seconds(yours)}; the least for a practised hand: ${seconds(least)}.`,
    practised: (presses: number, steps: number, drive: number) =>
      `A practised hand makes ${presses} presses or ${steps} steps of a knob in a second and needs ${drive} s to put a drive back (estimates).`,
    off: (ms: number, best: number) => `${Math.abs(Math.round(ms))} ms off the beat; at best ${best}.`,
    silence: (ms: number, best: number) =>
      `Silent for ${seconds(ms / 1000)}; at best ${seconds(best / 1000)}.`,
    yours: 'What you did',
    best: 'The best way on this deck',
    nothing: 'Nothing was pressed.',
  },
  progress: {
    title: (deck: string) => `Your hands on ${deck}`,
    reached: 'Goal reached',
    of: (reached: number, rounds: number) => `${reached} of ${plural(rounds, 'round', 'rounds')}`,
    last: 'Last time there',
    best: 'Best way so far',
    least: 'Best there is',
    way: (count: number, s: number) => `${plural(count, 'press', 'presses')} in ${seconds(s)}`,
    notYet: 'not yet',
    chart: (deck: string) => `Seconds over the least time on ${deck}`,
    axis: 'Seconds over the least',
    you: 'you, where the goal was reached',
    interval: (s: number, low: number, high: number) => `${seconds(s)} (${seconds(low)} to ${seconds(high)})`,
    later: (count: number) =>
      `After ${count} rounds that reach the goal, a curve shows how your time develops.`,
  },
  wait: {
    loaded: (s: number) => `Wait until the track is loaded (${seconds(s)}).`,
    held: (s: number) => `Go on holding for ${seconds(s)}.`,
    loopBeat: (beat: number, s: number) =>
      beat === 1
        ? `Wait until the loop begins again (${seconds(s)}).`
        : `Wait until beat ${beat} of the loop (${seconds(s)}).`,
    beat: (count: number, s: number) =>
      count === 1
        ? `Wait for the next beat (${seconds(s)}).`
        : `Wait for the ${ordinal(count)} beat from here (${seconds(s)}).`,
    plain: (s: number) => `Wait ${seconds(s)}.`,
  },
  times: (text: string, count: number) => (count === 1 ? text : `${text}, ${count} times`),
} as const;

function ordinal(n: number): string {
  const ending = n % 100 > 10 && n % 100 < 14 ? 'th' : (['th', 'st', 'nd', 'rd'][n % 10] ?? 'th');
  return `${n}${ending}`;
}

/**
 * Label of a control.
 * @param loops how this deck sets lengths: on some a length pressed again halves the loop
 * @param rowTitle what stands in a row of the list, where one is touched
 */
export function pressWords(
  press: DrillPress | DrillStep,
  { loops }: Pick<DeckProfile, 'loops'>,
  rowTitle = '',
): string {
  switch (press.kind) {
    case 'play':
      return 'Play or stop';
    case 'hot-cue':
      return `Cue button ${press.button}`;
    case 'bank':
      return `Bank ${press.bank}`;
    case 'recall':
      return 'Load cues';
    case 'quantise':
      return 'Quantise on or off';
    case 'quantise-step':
      return 'Finer step';
    case 'menu':
      return 'Menu';
    case 'menu-turn':
      return press.by > 0 ? 'Menu down' : 'Menu up';
    case 'menu-choose':
      return 'Menu: take it';
    case 'loop-in':
      return 'Start of loop';
    case 'loop-out':
      return 'End of loop';
    case 'loop-exit':
      return 'Leave loop';
    case 'loop-length':
      return loops.method === 'halving-press'
        ? `Loop of ${beats(press.beats)}, again for half`
        : `Loop of ${beats(press.beats)}`;
    case 'loop-hold':
      return 'Loop length';
    case 'loop-hold-release':
      return 'Let go of “Loop length”';
    case 'loop-halve':
      return 'Half as long';
    case 'loop-double':
      return 'Twice as long';
    case 'load':
      return `Load “${press.track.name}”`;
    case 'plug-drive':
      return 'Put the drive back';
    case 'knob':
      return press.by > 0 ? 'Knob: one down' : 'Knob: one up';
    case 'letter':
      return `Letter strip: ${press.letter}`;
    case 'search-open':
      return 'Search';
    case 'type':
      return `Type ${press.letter === ' ' ? 'a space' : press.letter}`;
    case 'row-touch':
      return rowTitle ? `Touch “${rowTitle}”` : `Touch row ${press.row + 1}`;
    case 'list-load':
      return 'Load the chosen track';
    case 'row-preview':
      return rowTitle ? words.listenTo(rowTitle) : `Listen to row ${press.row + 1}`;
    case 'load-to':
      return press.deck === 'on-air' ? 'Load to deck 1' : 'Load to deck 2';
    case 'headphones':
      return press.deck === 'on-air' ? 'Headphones: deck 1' : 'Headphones: deck 2';
    case 'play-off-air':
      return 'Play on deck 2';
    default:
      // No drill offers another control; its plain key is still readable.
      return press.kind.replaceAll('-', ' ');
  }
}

/** What an effect is in words; null where the read-out already tells it. */
export function effectWords(effect: Effect): string | null {
  switch (effect.kind) {
    case 'message':
      return messageWords[effect.key];
    case 'no-such-control':
      return 'This deck has no such control.';
    case 'planned':
      return 'The jump waits for the beat.';
    case 'jump':
      return effect.cause === 'hot-cue' ? 'Jumped to the cue.' : null;
    case 'loop-set':
      return effect.beats === null ? 'Loop set by hand.' : `Loop of ${beats(effect.beats)} set.`;
    case 'loop-changed':
      return effect.beats === null ? 'Loop changed.' : `Loop is now ${beats(effect.beats)}.`;
    case 'loop-left':
      return 'Loop left.';
    case 'out-of-time': {
      const ms = Math.round(1000 * (effect.offset || effect.perTurn));
      return ms === 0 ? null : `Off the beat by ${Math.abs(ms)} ms.`;
    }
    case 'cue-set':
      return effect.slot === null ? 'A cue was set.' : `A new cue was set in slot ${effect.slot}.`;
    case 'cue-recalled':
      return `The cue of slot ${effect.slot} is loaded.`;
    case 'stale-cue':
      return 'That was a cue of the track before.';
    case 'load':
      return 'The deck reads the track.';
    case 'loaded':
      return 'The track is loaded.';
    case 'silence':
      return 'Silence.';
    case 'saving-loop':
      return 'The deck plays on in a loop.';
    case 'start':
      return 'The deck plays.';
    case 'stop':
      return effect.reason === 'end' ? 'The track is at its end.' : 'The deck stands.';
    default:
      return null;
  }
}
