/** One round of a drill on one deck: its clock, what was pressed, and the deck as it is at this moment. */
import type { RecordedPress, Solution } from '../../../shared/behaviour/drills/drills.ts';
import type { AnyMachine, DrillId, DrillPress } from '../../../shared/behaviour/drills/machine.ts';
import type { Effect } from '../../../shared/behaviour/effect.ts';
import { PRESS_SECONDS } from '../../../shared/behaviour/practice.ts';
import { isPress, isRelease, type Press } from '../../../shared/behaviour/press.ts';
import { reduce } from '../../../shared/behaviour/reduce.ts';
import type { DeckProfile } from '../../../shared/profile/schema.ts';
import { isDeck, isList, rowsOf } from './read-out.ts';
import type { HandResult } from '../../../shared/drills/types.ts';
import { runsFromStart, scored } from './score.ts';
import { effectWords, pressWords, words } from './words.ts';

export type Phase = 'ready' | 'running' | 'over';

export class Round {
  readonly machine: AnyMachine;
  readonly best: Solution;
  readonly drill: DrillId;
  readonly profile: DeckProfile;
  /** The deck runs from “Start” on; else it stands until the first press. */
  readonly atOnce: boolean;

  phase = $state<Phase>('ready');
  /** State of the machine now. */
  view = $state.raw<unknown>(null);
  /** s on the drill's clock; null: it has not begun */
  seconds = $state<number | null>(null);
  presses = $state(0);
  /** What the deck told last. */
  told = $state('');
  result = $state.raw<HandResult | null>(null);
  /** A finger is down on the controls. */
  touched = $state(false);
  recorded: RecordedPress[] = [];

  /** State after the last press: what is seen is computed from it, so that it is what the judgement computes. */
  private settled: unknown = null;
  private pressTold: string[] = [];
  /** Page's clock at the drill's start, ms. */
  private origin: number | null = null;
  private busyUntil = 0;
  private frame = 0;

  constructor(
    about: { drill: DrillId; profile: DeckProfile; machine: AnyMachine; best: Solution },
    private readonly onresult: (result: HandResult) => void,
  ) {
    this.drill = about.drill;
    this.profile = about.profile;
    this.machine = about.machine;
    this.best = about.best;
    this.atOnce = runsFromStart(about.machine, about.best);
    this.view = this.settled = about.machine.start;
  }

  /** s for which the hands are still busy with what they do; 0: free */
  get busy(): number {
    return Math.max(0, this.busyUntil - (this.seconds ?? 0));
  }

  /** What the page shows: the controls stay under a finger until it is lifted, also where its press ended the round. */
  get shown(): Phase {
    return this.phase === 'over' && this.touched ? 'running' : this.phase;
  }

  /** The clock runs: state after the last press, from which what comes is computed, and the clock's start on the page's, ms. */
  get standing(): { state: unknown; origin: number } | null {
    return this.phase === 'running' && this.origin !== null
      ? { state: this.settled, origin: this.origin }
      : null;
  }

  /** @param time on the page's clock, ms */
  start(time: number): void {
    this.dispose();
    this.view = this.settled = this.machine.start;
    this.recorded = [];
    this.presses = this.busyUntil = 0;
    this.pressTold = [];
    this.told = '';
    this.result = null;
    this.seconds = null;
    this.origin = null;
    this.phase = 'running';
    if (this.atOnce) this.begin(time);
  }

  /** @param time of the press on the page's clock, ms */
  press(press: DrillPress, time: number): void {
    if (this.phase !== 'running') return;
    if (this.origin === null) this.begin(time);
    if (!this.moveTo(time)) return;
    if (this.busy > 0 && !isRelease(press)) return;
    const { machine } = this;
    const before = this.view;
    const at = machine.now(before);
    this.recorded.push({ time: at, press });
    if (!isRelease(press)) this.presses++;
    if (machine.hand(press) > PRESS_SECONDS) this.busyUntil = at + machine.hand(press);
    const effects =
      isDeck(before) && isPress(press as Press)
        ? reduce(before.deck, press as Press, this.profile).effects
        : [];
    const said = sentences(effects);
    this.pressTold = said.length || isRelease(press) ? said : [`${pressWords(press, this.profile)}.`];
    this.settled = this.view = machine.press(before, press);
    const chosen = isList(this.view) && rowsOf(this.view, this.profile).find(({ here }) => here);
    if (chosen) this.pressTold.push(words.chosen(chosen.title));
    this.told = this.pressTold.join(' ');
    this.check('spoilt');
  }

  giveUp(): void {
    if (this.phase === 'running') this.end('given-up');
  }

  /** Stops the clock; nothing runs on after it. */
  dispose(): void {
    cancelAnimationFrame(this.frame);
  }

  private begin(time: number): void {
    this.origin = time;
    this.seconds = 0;
    const turn = () => {
      if (this.moveTo(performance.now())) this.frame = requestAnimationFrame(turn);
    };
    this.frame = requestAnimationFrame(turn);
  }

  /** The drill's clock goes on; false where that ends the round. */
  private moveTo(time: number): boolean {
    if (this.phase !== 'running' || this.origin === null) return false;
    const { machine, settled } = this;
    const at = Math.max((time - this.origin) / 1000, machine.now(settled));
    this.seconds = at;
    this.view = machine.passTo(settled, at);
    if (isDeck(settled)) {
      const passed = at - machine.now(settled);
      const tick = { kind: 'tick', time: settled.deck.now + passed } as const;
      this.told = [...this.pressTold, ...sentences(reduce(settled.deck, tick, this.profile).effects)].join(
        ' ',
      );
    }
    return this.check('too-late');
  }

  private check(ended: 'spoilt' | 'too-late'): boolean {
    if (this.machine.failed(this.view)) this.end(ended);
    else if (this.machine.done(this.view)) this.end(null);
    return this.phase === 'running';
  }

  private end(ended: HandResult['ended']): void {
    this.dispose();
    this.phase = 'over';
    this.result = scored(this, this.recorded, ended);
    this.onresult(this.result);
  }
}

const sentences = (effects: readonly Effect[]): string[] => [
  ...new Set(effects.map(effectWords).filter((text): text is string => text !== null)),
];

/** Why a round is over, in words. */
export function endWords({ drill, ended }: HandResult): string {
  const { over } = words;
  if (ended === null) return over.done;
  if (ended === 'given-up') return over.givenUp;
  return ended === 'too-late' ? over.tooLate : over.spoilt[drill];
}
