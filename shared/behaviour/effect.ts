/** What a press or the passing of time brings about: sound and screen listen to these. */
import type { PressKind } from './press.ts';

export type JumpCause = 'hot-cue' | 'cue' | 'loop' | 'beat-jump' | 'slip' | 'seek' | 'sync' | 'drive';

export interface Move {
  /** s in the track */
  from: number;
  to: number;
  /** s on the caller's clock, exact */
  atTime: number;
  cause: JumpCause;
}

export interface LoopSpan {
  start: number;
  /** s; the playhead that reaches it goes on at `start` */
  end: number;
  /** Length as the deck says it; null where it was set by hand without a grid to count on. */
  beats: number | null;
  atTime: number;
}

export type MessageKey =
  | 'loading'
  | 'no-track'
  | 'track-ended'
  | 'drive-out'
  | 'drive-in-place'
  | 'stop-before-loading'
  | 'load-failed'
  | 'loop-needs-grid'
  | 'loop-past-end'
  | 'loop-shortest'
  | 'loop-longest'
  | 'loop-needs-start'
  | 'loop-too-short'
  | 'no-loop'
  | 'jump-needs-grid'
  | 'jump-outside'
  | 'page-closed'
  | 'menu-closed'
  | 'seek-needs-stop'
  | 'sync-needs-master'
  | 'sync-needs-grid'
  | 'slot-empty'
  | 'no-stored-cue';

export type Effect =
  /** The profile has no such control (or not this button of it): nothing has changed. */
  | { kind: 'no-such-control'; press: PressKind }
  | { kind: 'message'; key: MessageKey }
  | { kind: 'start'; position: number; rate: number; atTime: number }
  | { kind: 'stop'; position: number; atTime: number; reason: 'pressed' | 'end' | 'drive' }
  /** Speed of the playhead, track seconds per second; negative: backwards. */
  | { kind: 'rate'; rate: number; atTime: number }
  /** A jump that waits for the grid; `jump` follows when it is made, or `plan-dropped`. */
  | ({ kind: 'planned' } & Move)
  | { kind: 'plan-dropped' }
  | ({ kind: 'jump' } & Move)
  | ({ kind: 'loop-set' } & LoopSpan)
  | ({ kind: 'loop-changed' } & LoopSpan)
  | { kind: 'loop-left'; atTime: number }
  | ({ kind: 'out-of-time' } & OutOfTime)
  | { kind: 'cue-set'; slot: number | null; position: number }
  | { kind: 'cue-cleared'; slot: number }
  | { kind: 'cue-recalled'; slot: number }
  /** The button fired a cue of another track. */
  | { kind: 'stale-cue'; slot: number; trackId: string }
  | { kind: 'load'; until: number }
  | { kind: 'loaded'; trackId: string }
  | { kind: 'silence'; atTime: number }
  | { kind: 'saving-loop'; atTime: number }
  | { kind: 'listen-ahead'; position: number };

/** How far a move put the track off the beat that went on before it. */
export interface OutOfTime {
  /** Shift of the beat, s, to ± half a beat (or half the loop, where that is shorter); positive: ahead. */
  offset: number;
  /** Shift of the place in beats, whole beats counted; positive: ahead. */
  beats: number;
  /** What every turn of the loop adds, s; 0 without a loop. Positive: the loop is too long. */
  perTurn: number;
}
