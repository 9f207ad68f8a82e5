/** Clicks on the beats that the deck of a hand drill plays, so that a hand can be in time with what it hears. */
import { type ClickSounds, clickSounds } from '../../player/click.ts';
import { beatsAhead } from './beats.ts';
import type { Round } from './round.svelte.ts';

/** Time between two looks at the deck, ms. */
const LOOK_MS = 25;
/** Clicks are handed to the engine this long before they are heard, s. */
const AHEAD = 0.12;
/** A click that is later than this is left out, s. */
const LATE = 0.01;

export class HandClicks {
  readonly #round: Round;
  readonly #level: () => number;
  #engine: AudioContext | null = null;
  #gain: GainNode | null = null;
  #sounds: ClickSounds | null = null;
  #timer: ReturnType<typeof setInterval> | undefined;
  /** State that the clicks were computed from: another one takes back those that wait. */
  #from: unknown = null;
  /** s on the drill's clock up to which clicks are handed over */
  #until = 0;
  #waiting: { source: AudioBufferSourceNode; at: number }[] = [];

  /** @param level linear gain, read again at every look */
  constructor(round: Round, level: () => number) {
    this.#round = round;
    this.#level = level;
  }

  /** Call it from a click or key press, without which a browser lets no sound begin. */
  begin(): void {
    const engine = (this.#engine ??= new AudioContext({ latencyHint: 'interactive' }));
    this.#gain ??= new GainNode(engine, { gain: 0 });
    this.#gain.connect(engine.destination);
    this.#sounds ??= clickSounds(engine);
    void engine.resume();
    clearInterval(this.#timer);
    this.#from = null;
    this.#timer = setInterval(() => this.#look(), LOOK_MS);
  }

  end(): void {
    clearInterval(this.#timer);
    this.#takeBack();
  }

  /** Ends for good. */
  dispose(): void {
    this.end();
    void this.#engine?.close();
    this.#engine = this.#gain = this.#sounds = null;
  }

  #look(): void {
    const [engine, gain, sounds, standing] = [this.#engine, this.#gain, this.#sounds, this.#round.standing];
    if (!engine || !gain || !sounds || engine.state !== 'running') return;
    if (!standing) return this.#takeBack();
    const { state, origin } = standing;
    const now = (performance.now() - origin) / 1000;
    if (state !== this.#from) {
      this.#takeBack();
      // The beat that a press falls on has been heard already.
      this.#until = Math.max(0, now);
      this.#from = state;
    }
    gain.gain.value = this.#level();
    this.#waiting = this.#waiting.filter(({ at }) => at > engine.currentTime);
    if (now + AHEAD <= this.#until) return;
    for (const { time, first } of beatsAhead(this.#round.machine, state, this.#until, now + AHEAD)) {
      const at = heardAt(engine, origin + time * 1000);
      // Too late where the page was held up: a click off the beat would mislead.
      if (at < engine.currentTime - LATE) continue;
      const source = new AudioBufferSourceNode(engine, { buffer: first ? sounds.downbeat : sounds.beat });
      source.connect(gain);
      source.start(Math.max(engine.currentTime, at));
      this.#waiting.push({ source, at });
    }
    this.#until = now + AHEAD;
  }

  #takeBack(): void {
    const now = this.#engine?.currentTime ?? 0;
    for (const { source, at } of this.#waiting) if (at > now) source.stop();
    this.#waiting = [];
    this.#from = null;
  }
}

/** The engine's time of what is heard when the page's clock stands at `time` ms: the way to the ear is counted in. */
function heardAt(engine: AudioContext, time: number): number {
  const { contextTime = 0, performanceTime = 0 } = engine.getOutputTimestamp();
  if (performanceTime > 0) return contextTime + (time - performanceTime) / 1000;
  return engine.currentTime - engine.outputLatency + (time - performance.now()) / 1000;
}
