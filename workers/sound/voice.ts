/** The sound of one deck: its track read where its movements say, frame by frame. */
import { place } from '../../shared/behaviour/movement.ts';
import type { Movement } from '../../shared/behaviour/movements.ts';
import type { Fade } from './fade.ts';
import { Grain } from './grain.ts';
import { likest } from './match.ts';
import type { Pcm } from './reader.ts';

/** A fade at a jump, s: short enough to keep the attack, long enough not to click. Estimate. */
const JUMP_FADE = 0.003;
/**
 * Key lock: how long a piece of the track is read before the next one, at most and at least; how much of the track a
 * piece may leave out or play again; how long two pieces sound together; how far the next one may be shifted, s.
 * Estimates, held by the tests: a shorter reach finds no period of the bass, a longer one moves the beat.
 */
const LONGEST_PIECE = 0.05;
const SHORTEST_PIECE = 0.016;
const LEFT_OUT = 0.008;
const OVERLAP = 0.012;
const REACH = 0.01;
/** Above this speed the track is heard in pieces, as by key lock, instead of as a shriek. */
const FASTEST_READ = 2;
/** Two places nearer than this are one, samples. */
const SAME = 1.5;
/** A place this little before the loop's end is at it, s. */
const HAIR = 1e-7;

export class Voice {
  /** Equal-power fades at jumps; without them a jump is hard. */
  fades = true;
  /** The pitch stays when the tempo changes. */
  keyLock = false;

  #pcm: Pcm | null = null;
  #movements: readonly Movement[] = [];
  #main: Grain | null = null;
  #going: Grain[] = [];
  /** Sample that comes next if nothing jumps. */
  #straight = NaN;
  #nextPiece = Infinity;
  #rate = 0;
  /** First frame that is not rendered yet. */
  #frame = 0;
  #gains = new Float32Array(128);

  /** @param sampleRate Hz, of the player and of the track */
  constructor(readonly sampleRate: number) {}

  /** Another track; null: none. What was heard ends. */
  load(pcm: Pcm | null): void {
    this.#pcm = pcm;
    this.#main = null;
    this.#going = [];
    this.#movements = [];
  }

  /** In order of time; they take the place of all that was told before, from the first one's time on. */
  move(movements: readonly Movement[]): void {
    const from = movements.length ? this.#firstFrame(movements[0]) : -Infinity;
    const before = this.#movements.filter((m) => this.#firstFrame(m) < from);
    const begun = before.findLastIndex((m) => this.#firstFrame(m) < this.#frame);
    this.#movements = [...before.slice(Math.max(0, begun)), ...movements];
  }

  /** Adds frames from `first` on to `out`. */
  render(out: readonly [Float32Array, Float32Array], first: number): void {
    const end = first + out[0].length;
    if (this.#gains.length < out[0].length) this.#gains = new Float32Array(out[0].length);
    for (let frame = first; frame < end;) {
      const movement = this.#inForce(frame);
      const until = this.#steer(movement, frame, end);
      this.#mix(out, frame - first, frame, until - frame);
      frame = until;
    }
    this.#going = this.#going.filter((grain) => grain.end > end);
    this.#frame = end;
  }

  #inForce(frame: number): Movement | null {
    return this.#movements.findLast((m) => this.#firstFrame(m) <= frame) ?? null;
  }

  #firstFrame({ time }: Movement): number {
    return Math.ceil(time * this.sampleRate - 1e-6);
  }

  /** Makes the reading follow the movement at `frame`. @returns the frame up to which it does so unbroken */
  #steer(movement: Movement | null, frame: number, end: number): number {
    const next = this.#movements.map((m) => this.#firstFrame(m)).find((first) => first > frame) ?? end;
    const until = Math.min(end, next);
    const rate = movement?.rate ?? 0;
    const turned = rate !== this.#rate;
    this.#rate = rate;
    if (!movement || rate === 0) {
      this.#let(frame, this.#jumpFade());
      return until;
    }
    const wanted = this.#placeAt(movement, frame);
    const off = Math.abs(wanted - this.#straight);
    const jumped = !this.#main || !(off <= SAME);
    // A change of speed that was told a little late is no jump.
    const slid = turned && this.#main !== null && off < REACH * this.sampleRate;
    const inPieces = Math.abs(rate) > FASTEST_READ || (this.keyLock && Math.abs(rate) !== 1);
    const step = inPieces ? (rate < 0 && -rate <= FASTEST_READ ? -1 : 1) : rate;
    if (jumped) this.#take(frame, wanted, step, slid ? this.#overlap() : this.#jumpFade());
    else if (inPieces) this.#goOnInPieces(frame, wanted, step);
    else this.#goOn(frame, wanted, step);
    const turn = this.#turn(movement, wanted);
    const stop = Math.min(until, frame + turn, inPieces ? Math.max(frame + 1, this.#nextPiece) : Infinity);
    this.#straight = wanted + (stop - frame) * rate;
    return stop;
  }

  /** Sample of the track that the movement says for `frame`. */
  #placeAt(movement: Movement, frame: number): number {
    const { loop, rate } = movement;
    const at = place(movement, frame / this.sampleRate, rate, loop);
    const turned = loop && rate > 0 && movement.position < loop.end && at > loop.end - HAIR;
    return (turned ? at - (loop.end - loop.start) : at) * this.sampleRate;
  }

  /** Frames until the loop turns. */
  #turn({ loop, rate, position }: Movement, at: number): number {
    if (!loop) return Infinity;
    const caught = rate > 0 ? position < loop.end : position >= loop.start;
    if (!caught) return Infinity;
    const left = rate > 0 ? loop.end * this.sampleRate - at : at - loop.start * this.sampleRate;
    if (rate < 0) return Math.max(1, Math.floor(left / -rate + 1e-6) + 1);
    return Math.max(1, Math.ceil((left - HAIR * this.sampleRate) / rate));
  }

  #jumpFade(): Fade | null {
    return this.fades ? { frames: Math.round(JUMP_FADE * this.sampleRate), law: 'power' } : null;
  }

  #overlap(): Fade {
    return { frames: Math.round(OVERLAP * this.sampleRate), law: 'sum' };
  }

  #let(frame: number, fade: Fade | null): void {
    if (!this.#main) return;
    this.#main.release(frame, fade);
    this.#going.push(this.#main);
    this.#main = null;
  }

  /** Another reading takes the place of the one that sounds. */
  #take(frame: number, at: number, step: number, fade: Fade | null): void {
    this.#let(frame, fade);
    // At the track's own speed its samples are heard as they are.
    this.#main = new Grain(frame, Math.abs(step) === 1 ? Math.round(at) : at, step, fade);
    this.#nextPiece = frame + this.#piece();
  }

  /** Frames of a piece at the speed in force. */
  #piece(): number {
    const drift = Math.abs(Math.abs(this.#rate) - 1);
    const seconds = Math.min(LONGEST_PIECE, Math.max(SHORTEST_PIECE, LEFT_OUT / drift));
    return Math.round(seconds * this.sampleRate);
  }

  #goOn(frame: number, wanted: number, step: number): void {
    const main = this.#main!;
    const here = main.placeAt(frame);
    // From the pieces of key lock back to the very place.
    if (Math.abs(wanted - here) > SAME) this.#take(frame, wanted, step, this.#overlap());
    else if (main.step !== step) {
      main.release(frame, null);
      this.#going.push(main);
      this.#main = new Grain(frame, here, step, null);
    }
  }

  #goOnInPieces(frame: number, wanted: number, step: number): void {
    const main = this.#main!;
    if (main.step !== step) {
      this.#take(frame, wanted, step, this.#overlap());
      return;
    }
    if (frame < this.#nextPiece) return;
    const going = main.placeAt(frame);
    const fade = this.#overlap();
    const reach = Math.round(REACH * this.sampleRate);
    const at = likest(this.#pcm ?? EMPTY, going, wanted, { length: fade.frames, reach, step });
    this.#nextPiece = frame + this.#piece();
    if (Math.abs(at - going) < 1) return;
    this.#let(frame, fade);
    this.#main = new Grain(frame, at, step, fade);
  }

  #mix(out: readonly [Float32Array, Float32Array], at: number, frame: number, count: number): void {
    if (!this.#pcm) return;
    for (const grain of this.#going) grain.addTo(out, at, this.#pcm, frame, count, this.#gains);
    this.#main?.addTo(out, at, this.#pcm, frame, count, this.#gains);
  }
}

const EMPTY: Pcm = [new Float32Array(0), new Float32Array(0)];
