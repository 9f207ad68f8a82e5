/** Two rehearsal decks that are linked, and the desk they stand on. */
import { onGrid } from './linked.ts';
import { type DeskState, STILL_DESK } from '../../workers/sound/mixer.ts';
import type { DeckEvent } from '../../shared/behaviour/press.ts';
import type { Performance } from '../../shared/behaviour/what-if/performance.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { type DeckShelf, RehearsalDeck } from './deck.svelte.ts';
import { RehearsalSound } from './sound.svelte.ts';

/** Time between two looks at the clock, ms: what falls due is told by then, and is in time whenever it is told. */
const LOOK_MS = 25;

export class Rehearsal {
  readonly sound = new RehearsalSound();
  readonly decks: readonly [RehearsalDeck, RehearsalDeck];
  two = $state(false);
  /** The deck that keys press. */
  hand = $state<0 | 1>(0);
  desk = $state.raw<DeskState>(STILL_DESK);
  /** s on the sound's clock, of the last frame that was drawn */
  time = $state(0);

  /** Called with each finished recording in which something was pressed. */
  onrecorded: (performance: Performance, profile: DeckProfile) => void = () => {};

  #timer: ReturnType<typeof setInterval> | undefined;
  #frame = 0;

  /** @param volume 0..1 @param fades at jumps */
  constructor(profiles: readonly DeckProfile[], shelf: DeckShelf, volume: number, fades: boolean) {
    const [first] = profiles;
    this.decks = [
      new RehearsalDeck(0, first, this.sound, shelf),
      new RehearsalDeck(1, first, this.sound, shelf),
    ];
    this.desk = { ...STILL_DESK, volume, phones: volume, fades };
    this.sound.setDesk(this.desk);
  }

  async start(): Promise<void> {
    this.#timer = setInterval(() => this.#look(), LOOK_MS);
    const draw = () => {
      this.time = this.sound.now;
      this.#frame = requestAnimationFrame(draw);
    };
    this.#frame = requestAnimationFrame(draw);
    await this.sound.start();
  }

  setDesk(change: Partial<DeskState>): void {
    this.desk = { ...this.desk, ...change };
    this.sound.setDesk(this.desk);
  }

  setTwo(two: boolean): void {
    this.two = two;
    if (two) return;
    this.hand = 0;
    if (this.decks[1].state.playing) this.decks[1].press({ kind: 'play' });
    this.setDesk({ crossfade: 0, listen: [this.desk.listen[0], false] });
  }

  /** @param time of the event on the page's clock, ms */
  press(deck: 0 | 1, press: DeckEvent, time?: number): void {
    if (press.kind === 'sync') this.#link();
    this.decks[deck].press(press, time);
    this.#link();
  }

  startRecording(deck: 0 | 1): void {
    this.sound.wake();
    this.decks[deck].startRecording();
    this.hand = deck;
  }

  stopRecording(): void {
    for (const deck of this.decks) {
      if (!deck.recording || !deck.performance) continue;
      deck.stopRecording();
      if (deck.performance.moves.length) this.onrecorded(deck.performance, deck.profile);
    }
  }

  dispose(): void {
    clearInterval(this.#timer);
    cancelAnimationFrame(this.#frame);
    this.decks.forEach((deck) => deck.dispose());
    this.sound.dispose();
  }

  #look(): void {
    for (const deck of this.decks) deck.tick();
    this.#link();
  }

  /** Each deck knows the tempo and the beat of the other, where that one plays and follows nobody. */
  #link(): void {
    if (!this.two) return;
    for (const deck of this.decks) {
      const other = this.decks[1 - deck.index];
      const { lead } = other;
      if (!lead || other.state.syncRate !== null || !deck.profile.playback.sync) continue;
      if (!onGrid(deck.state.master, lead)) deck.press(lead);
    }
  }
}
