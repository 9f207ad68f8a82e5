/** Two decks, the way from one to the other, and what goes to the headphones. Samples in, samples out. */
import type { Movement } from '../../shared/behaviour/movements.ts';
import { gainOf } from './fade.ts';
import type { Pcm } from './reader.ts';
import { Voice } from './voice.ts';

export const DECKS = 2;
/** How long a touch of the overview is heard in the headphones, s. Estimate. */
export const LISTEN_SECONDS = 4;

/** How the desk stands. */
export interface DeskState {
  /** 0: the first deck alone, 1: the second. */
  crossfade: number;
  /** Gains, 0..1. */
  volume: number;
  phones: number;
  /** Decks that are heard in the headphones before they are in the room. */
  listen: readonly boolean[];
  keyLock: readonly boolean[];
  /** Equal-power fades at jumps. */
  fades: boolean;
}

/** Silent until somebody turns it up. */
export const STILL_DESK: DeskState = {
  crossfade: 0,
  volume: 0,
  phones: 0,
  listen: [false, false],
  keyLock: [false, false],
  fades: true,
};

/** What the page tells the player. */
export type SoundOrder =
  | { kind: 'track'; deck: number; pcm: Pcm | null }
  /** `id` names a press whose way to the sound is measured. */
  | { kind: 'move'; deck: number; movements: readonly Movement[]; id?: number }
  | { kind: 'desk'; desk: DeskState }
  /** From `position` (s in the track) on, in the headphones alone. */
  | { kind: 'listen-ahead'; deck: number; position: number };

/** Stereo. */
type Bus = readonly [Float32Array, Float32Array];

export class Mixer {
  readonly #voices: Voice[];
  /** What is listened to ahead, per deck. */
  readonly #ahead: Voice[];
  readonly #pcm: (Pcm | null)[] = Array<Pcm | null>(DECKS).fill(null);
  readonly #aheadUntil = Array<number>(DECKS).fill(0);
  #desk: DeskState | null = null;
  /** Gains per deck: to the room, to the headphones. */
  #room = Array<number>(DECKS).fill(0);
  #phones = Array<number>(DECKS).fill(0);
  #bus: Bus = [new Float32Array(0), new Float32Array(0)];
  #frame = 0;

  /** @param sampleRate Hz */
  constructor(readonly sampleRate: number) {
    this.#voices = Array.from({ length: DECKS }, () => new Voice(sampleRate));
    this.#ahead = Array.from({ length: DECKS }, () => new Voice(sampleRate));
  }

  take(order: SoundOrder): void {
    switch (order.kind) {
      case 'track':
        this.#pcm[order.deck] = order.pcm;
        this.#voices[order.deck].load(order.pcm);
        this.#ahead[order.deck].load(order.pcm);
        this.#aheadUntil[order.deck] = 0;
        break;
      case 'move':
        this.#voices[order.deck].move(order.movements);
        break;
      case 'desk':
        this.#setDesk(order.desk);
        break;
      case 'listen-ahead': {
        const { deck, position } = order;
        const time = this.#frame / this.sampleRate;
        this.#ahead[deck].move([{ time, position, rate: 1, loop: null }]);
        this.#aheadUntil[deck] = this.#frame + LISTEN_SECONDS * this.sampleRate;
      }
    }
  }

  /** Fills both, all of one length. @param first number of their first frame on the player's clock */
  render(room: Bus, phones: Bus, first: number): void {
    const frames = room[0].length;
    for (const channel of [...room, ...phones]) channel.fill(0);
    const desk = this.#desk ?? STILL_DESK;
    for (let deck = 0; deck < DECKS; deck++) {
      const bus = this.#clean(frames);
      this.#voices[deck].render(bus, first);
      const wanted = targets(desk, deck);
      ramp(bus, room, this.#room[deck], wanted.room);
      ramp(bus, phones, this.#phones[deck], wanted.phones);
      this.#room[deck] = wanted.room;
      this.#phones[deck] = wanted.phones;
      this.#renderAhead(deck, phones, first, desk.phones);
    }
    this.#frame = first + frames;
  }

  #renderAhead(deck: number, phones: Bus, first: number, gain: number): void {
    if (!this.#aheadUntil[deck]) return;
    if (first >= this.#aheadUntil[deck]) {
      this.#ahead[deck].move([]);
      this.#aheadUntil[deck] = 0;
    }
    const bus = this.#clean(phones[0].length);
    this.#ahead[deck].render(bus, first);
    ramp(bus, phones, gain, gain);
  }

  #setDesk(desk: DeskState): void {
    // What the player begins with is no turn of a knob: it is not faded to.
    if (!this.#desk) {
      for (let deck = 0; deck < DECKS; deck++) {
        const { room, phones } = targets(desk, deck);
        this.#room[deck] = room;
        this.#phones[deck] = phones;
      }
    }
    this.#desk = desk;
    this.#voices.forEach((voice, deck) => {
      voice.fades = desk.fades;
      voice.keyLock = desk.keyLock[deck] ?? false;
      this.#ahead[deck].fades = desk.fades;
    });
  }

  #clean(frames: number): Bus {
    if (this.#bus[0].length !== frames) this.#bus = [new Float32Array(frames), new Float32Array(frames)];
    for (const channel of this.#bus) channel.fill(0);
    return this.#bus;
  }
}

/** Gains that the desk asks for. Half way both decks stand at −3 dB. */
function targets(desk: DeskState, deck: number): { room: number; phones: number } {
  const share = deck === 0 ? 1 - desk.crossfade : desk.crossfade;
  return {
    room: desk.volume * gainOf('power', share),
    phones: desk.listen[deck] ? desk.phones : 0,
  };
}

/** Adds `from` to `to`, its gain going from `before` to `after` on the way, so that a turned knob does not click. */
function ramp(from: Bus, to: Bus, before: number, after: number): void {
  if (before === 0 && after === 0) return;
  const frames = from[0].length;
  for (let c = 0; c < to.length; c++) {
    for (let i = 0; i < frames; i++) {
      const gain = before === after ? after : before + ((after - before) * (i + 1)) / frames;
      to[c][i] += gain * from[c][i];
    }
  }
}
