/** A way through a drill, step by step in words; the same step again and again becomes one line. */
import { beatAtTime } from '../../../shared/grid/grid.ts';
import type { RecordedPress } from '../../../shared/behaviour/drills/drills.ts';
import type { AnyMachine, DrillPress, DrillStep } from '../../../shared/behaviour/drills/machine.ts';
import { activeLoop, positionAt } from '../../../shared/behaviour/movement.ts';
import type { DeckProfile } from '../../../shared/profile/schema.ts';
import { gridOf } from '../../../shared/behaviour/steps.ts';
import { beatInLoop, isDeck, isList, rowsOf } from './read-out.ts';
import { pressWords, words } from './words.ts';

const { wait: say } = words;
/** Beats; nearer than this to a beat counts as on it. */
const ON_BEAT = 0.01;

function waitWords(before: unknown, after: unknown, seconds: number): string {
  if (!isDeck(before) || !isDeck(after)) return say.plain(seconds);
  const { deck } = after;
  if (before.deck.loading && !deck.loading) return say.loaded(seconds);
  if (deck.loopHold) return say.held(seconds);
  const grid = gridOf(deck);
  if (!grid || !deck.playing) return say.plain(seconds);
  const beat = beatAtTime(grid, positionAt(deck));
  if (Math.abs(beat - Math.round(beat)) > ON_BEAT) return say.plain(seconds);
  const inLoop = activeLoop(deck) && beatInLoop(deck);
  if (inLoop) return say.loopBeat(inLoop, seconds);
  return say.beat(Math.ceil(beat - beatAtTime(grid, positionAt(before.deck)) - ON_BEAT), seconds);
}

function pressIn(state: unknown, press: DrillPress, profile: DeckProfile): string {
  const row =
    (press.kind === 'row-touch' || press.kind === 'row-preview') && isList(state)
      ? rowsOf(state, profile)[press.row]?.title
      : '';
  return pressWords(press, profile, row);
}

function collapsed(lines: readonly string[]): string[] {
  const runs: { text: string; count: number }[] = [];
  for (const text of lines) {
    const last = runs[runs.length - 1];
    if (last?.text === text) last.count++;
    else runs.push({ text, count: 1 });
  }
  return runs.map(({ text, count }) => words.times(text, count));
}

/** The way that a search found. */
export function wayInWords(
  machine: AnyMachine,
  sequence: readonly DrillStep[],
  profile: DeckProfile,
): string[] {
  let state: unknown = machine.start;
  const lines = sequence.map((step) => {
    const before = state;
    if (step.kind === 'wait') {
      state = machine.passTo(state, machine.now(state) + step.seconds);
      return waitWords(before, state, step.seconds);
    }
    state = machine.press(state, step);
    if (!machine.done(state)) state = machine.passTo(state, machine.now(state) + machine.hand(step));
    return pressIn(before, step, profile);
  });
  return collapsed(lines);
}

/** What somebody pressed. */
export function recordedInWords(
  machine: AnyMachine,
  recorded: readonly RecordedPress[],
  profile: DeckProfile,
): string[] {
  let state: unknown = machine.start;
  const lines = recorded.map(({ time, press }) => {
    const before = machine.passTo(state, Math.max(time, machine.now(state)));
    state = machine.press(before, press);
    return pressIn(before, press, profile);
  });
  return collapsed(lines);
}
