/**
 * When the metronome clicks: beats of the grid against the clock of the player. Pure, so that it is tested
 * without sound.
 */
import { beatsBetween, type BeatGrid } from '../../shared/grid/grid.ts';

/** Readings that the median is taken over: half a second at one every 25 ms. */
const READINGS = 21;
/** A reading that is off by more than this is a jump of the player, not jitter, s. */
const JUMP = 0.08;

/**
 * The player's place against the audio engine's clock. Both clocks move in steps of their own buffers, so that
 * single readings are off by some milliseconds: the median of many is not.
 */
export class MediaClock {
  #offsets: number[] = [];
  #rate = 1;

  /** Takes a reading of both clocks, s. */
  read(engineTime: number, mediaTime: number, rate: number): void {
    const offset = mediaTime - engineTime * rate;
    if (rate !== this.#rate || (this.#offsets.length && Math.abs(offset - this.#offset()) > JUMP))
      this.reset();
    this.#rate = rate;
    this.#offsets.push(offset);
    if (this.#offsets.length > READINGS) this.#offsets.shift();
  }

  /** Forgets what was read: the player stopped or jumped. */
  reset(): void {
    this.#offsets = [];
  }

  /** Place in the track at the engine's `time`, s; null before the first reading. */
  mediaAt(time: number): number | null {
    return this.#offsets.length ? this.#offset() + time * this.#rate : null;
  }

  /** The engine's time at which the player is at `mediaTime`, s; null before the first reading. */
  engineAt(mediaTime: number): number | null {
    return this.#offsets.length ? (mediaTime - this.#offset()) / this.#rate : null;
  }

  #offset(): number {
    const sorted = [...this.#offsets].sort((a, b) => a - b);
    const middle = sorted.length >> 1;
    return sorted.length % 2 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
  }
}

export interface Click {
  /** Engine time, s. */
  at: number;
  downbeat: boolean;
}

/**
 * Clicks of the beats from `from` (inclusive) to `to` (exclusive), s in the track, in the engine's time. Those
 * that are past already are left out: a late click is worse than none.
 */
export function clicksDue(grid: BeatGrid, clock: MediaClock, from: number, to: number, now: number): Click[] {
  return beatsBetween(grid, from, to).flatMap(({ time, downbeat }) => {
    const at = clock.engineAt(time);
    return at === null || at < now ? [] : [{ at, downbeat }];
  });
}
