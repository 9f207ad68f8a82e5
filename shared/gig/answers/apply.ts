/** What answers change in a profile, and what follows from that so that its facts still fit together. */
import type { FactGroup, FactName } from '../../profile/facts.ts';
import type { DeckProfile } from '../../profile/schema.ts';
import type { DeckAnswers } from './questions.ts';

export interface Change {
  value: unknown;
  note: string;
}
/** By fact, `group.name`. */
export type Changes = Map<string, Change>;

const ANSWERED = 'As answered by a person who knows the deck.';
const FOLLOWS = 'Follows from an answer; the value itself is a guess.';

/** Lengths and steps that a deck is given where an answer says that it has some and the nearest has none: the least. */
const LEAST_LOOPS = [4];
const LEAST_JUMPS = [1, 4];
const LEAST_STEPS = [1];
const LEAST_ZOOM = [4, 8];
const LEAST_RECALL_PRESSES = 5;
const LEAST_HEIGHTS = 24;

class Draft {
  readonly changes: Changes = new Map();

  constructor(private readonly base: DeckProfile) {}

  get<G extends FactGroup, N extends FactName<G>>(group: G, name: N): unknown {
    const change = this.changes.get(`${group}.${name}`);
    return change ? change.value : (this.base[group] as Record<string, unknown>)[name];
  }

  set<G extends FactGroup, N extends FactName<G>>(group: G, name: N, value: unknown, note: string): void {
    const key = `${group}.${name}`;
    const was = (this.base[group] as Record<string, unknown>)[name];
    if (JSON.stringify(was) === JSON.stringify(value)) this.changes.delete(key);
    else this.changes.set(key, { value, note });
  }
}

/** The facts that the answers name, where they differ from the deck. */
export function changesFor(answers: DeckAnswers, base: DeckProfile): Changes {
  const draft = new Draft(base);
  const put = <T>(answer: T | null | undefined, to: (answer: T) => void) => {
    if (answer !== null && answer !== undefined) to(answer);
  };
  put(answers.cuePads, (pads) => draft.set('hotCues', 'buttons', pads, ANSWERED));
  put(answers.cueBanks, (banks) => draft.set('hotCues', 'banks', banks, ANSWERED));
  put(answers.cueColours, (colours) => draft.set('hotCues', 'colours', colours, ANSWERED));
  put(answers.cuesComeAlong, (along) =>
    draft.set('hotCues', 'recall', along ? 'automatic' : 'by-hand', ANSWERED),
  );
  put(answers.waveformScrolls, (scrolls) => draft.set('waveform', 'scrolling', scrolls, ANSWERED));
  put(answers.waveformColour, (kind) => {
    const kinds = ['three-band', 'tint', 'single'] as const;
    const has = base.waveform.kinds;
    // The best that there is; poorer ones stay.
    const rest = has.filter((k) => kinds.indexOf(k) > kinds.indexOf(kind));
    draft.set('waveform', 'kinds', [kind, ...rest], ANSWERED);
    // Who tells of its colour has seen one; unless it is an overview, which the first question settles.
    if ((answers.waveformScrolls ?? null) === null) draft.set('waveform', 'scrolling', true, FOLLOWS);
  });
  put(answers.touchScreen, (touch) => draft.set('screen', 'touch', touch, ANSWERED));
  put(answers.listRows, (rows) => draft.set('list', 'rows', rows, ANSWERED));
  put(answers.textSearch, (search) => draft.set('list', 'textSearch', search, ANSWERED));
  put(answers.loopButtons, (method) => draft.set('loops', 'method', method, ANSWERED));
  put(answers.beatJump, (where) => draft.set('beatJump', 'where', where, ANSWERED));
  put(answers.sync, (sync) => draft.set('playback', 'sync', sync, ANSWERED));
  put(answers.quantise, (setIn) => draft.set('quantise', 'setIn', setIn, ANSWERED));
  put(answers.playsFlac, (plays) => {
    const { formats } = base.media;
    const without = formats.filter((format) => format !== 'flac');
    // A deck that plays nothing but FLAC is none.
    const others = without.length ? without : (['wav'] as const);
    draft.set('media', 'formats', plays ? [...without, 'flac'] : others, ANSWERED);
  });
  put(answers.drivePulled, (what) => draft.set('media', 'drivePulled', what, ANSWERED));
  return draft.changes;
}

/** Adds what must change with them (see `shared/profile/rules.ts`). */
export function settle(changes: Changes, base: DeckProfile, answers: DeckAnswers): Changes {
  const draft = new Draft(base);
  for (const [key, change] of changes) draft.changes.set(key, change);
  const set = <G extends FactGroup, N extends FactName<G>>(group: G, name: N, value: unknown) =>
    draft.set(group, name, value, FOLLOWS);
  const some = <T>(list: unknown, least: readonly T[]): unknown =>
    (list as readonly T[]).length ? list : least;

  if (draft.get('waveform', 'scrolling')) {
    set('waveform', 'kinds', some(draft.get('waveform', 'kinds'), ['single']));
    set('waveform', 'zoomSeconds', some(draft.get('waveform', 'zoomSeconds'), LEAST_ZOOM));
    const rows = draft.get('screen', 'rows') as number;
    const heights = (draft.get('waveform', 'heightSteps') as number) || Math.min(rows, LEAST_HEIGHTS);
    set('waveform', 'heightSteps', heights);
  } else {
    set('waveform', 'kinds', []);
    set('waveform', 'zoomSeconds', []);
    set('waveform', 'heightSteps', 0);
    set('waveform', 'grid', 'none');
    set('waveform', 'gridPlace', 'nowhere');
    if (draft.get('phase', 'readout') === 'stacked-waveforms') set('phase', 'readout', 'none');
  }

  if (!draft.get('screen', 'touch')) {
    set('overview', 'touchListen', false);
    if (draft.get('list', 'preview') === 'touch') set('list', 'preview', 'none');
    // Where it was answered to be on the screen, the screen takes touch; else it goes with the touch.
    if (draft.get('beatJump', 'where') === 'screen') {
      if (answers.beatJump && (answers.touchScreen ?? null) === null) set('screen', 'touch', true);
      else set('beatJump', 'where', 'none');
    }
  }

  const rows = draft.get('screen', 'rows') as number;
  if ((draft.get('list', 'rows') as number) > rows) set('list', 'rows', rows);

  const buttons = draft.get('hotCues', 'buttons') as number;
  const banks = draft.get('hotCues', 'banks') as number;
  const asked = changes.has('hotCues.buttons') || changes.has('hotCues.banks');
  const most = Math.min(16, buttons * banks);
  if (asked || base.hotCues.slots > most) set('hotCues', 'slots', most);
  const byHand = draft.get('hotCues', 'recall') === 'by-hand';
  const presses = draft.get('hotCues', 'recallPresses') as number;
  set('hotCues', 'recallPresses', byHand ? presses || LEAST_RECALL_PRESSES : 0);

  if (draft.get('loops', 'method') === 'none') set('loops', 'direct', []);
  else set('loops', 'direct', some(draft.get('loops', 'direct'), LEAST_LOOPS));
  if (draft.get('loops', 'method') === 'strip') set('playback', 'touchStrip', true);

  if (draft.get('beatJump', 'where') === 'none') set('beatJump', 'lengths', []);
  else set('beatJump', 'lengths', some(draft.get('beatJump', 'lengths'), LEAST_JUMPS));

  if (draft.get('quantise', 'setIn') === 'none') set('quantise', 'steps', []);
  else set('quantise', 'steps', some(draft.get('quantise', 'steps'), LEAST_STEPS));
  return draft.changes;
}
