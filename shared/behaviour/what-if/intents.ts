/** What a performance means as music, whatever was pressed for it. */
import { beatsIn } from '../loops.ts';
import { positionAt, rateOf } from '../movement.ts';
import { isPress, isRelease, type Press } from '../press.ts';
import { offBeat } from '../steps.ts';
import type { DeckTrack } from '../track.ts';
import type { Replay, ReplayStep } from './performance.ts';

export type Intent =
  | { kind: 'start' }
  | { kind: 'stop' }
  | { kind: 'jump-to-cue'; name: string; position: number }
  | { kind: 'set-cue' }
  /** Length in beats; null: by hand without a grid. */
  | { kind: 'loop'; beats: number | null; seconds: number }
  | { kind: 'leave-loop' }
  | { kind: 'reenter-loop' }
  | { kind: 'jump-by'; beats: number }
  | { kind: 'reverse' }
  | { kind: 'search' }
  | { kind: 'seek'; position: number }
  /** Speed, track seconds per second. */
  | { kind: 'tempo'; rate: number }
  | { kind: 'follow'; rate: number }
  | { kind: 'bend'; amount: number }
  | { kind: 'load'; track: DeckTrack }
  | { kind: 'drive' };

export interface IntendedMove {
  intent: Intent;
  /** s from the performance's start */
  time: number;
  /** The presses made for it, those that prepared it included. */
  presses: Press[];
  /** Index in the replay's steps of the press that was heard. */
  step: number;
}

/** The intended moves of a performance, in order. Presses that change nothing that is heard belong to the next one. */
export function intendedMoves({ steps }: Replay): IntendedMove[] {
  const moves: IntendedMove[] = [];
  let presses: Press[] = [];
  steps.forEach((step, index) => {
    const { press, time } = step;
    if (!isPress(press) || isRelease(press) || !step.exists) return;
    presses.push(press);
    const intent = intentOf(step, steps.slice(index + 1));
    if (!intent) return;
    moves.push({ intent, time, presses, step: index });
    presses = [];
  });
  return moves;
}

function intentOf(step: ReplayStep, later: ReplayStep[]): Intent | null {
  const { press, before, after, effects } = step;
  const move = effects.find((e) => e.kind === 'jump' || e.kind === 'planned');
  const has = (...kinds: string[]) => effects.some(({ kind }) => kinds.includes(kind));
  switch (press.kind) {
    case 'hot-cue': {
      if (has('cue-set')) return { kind: 'set-cue' };
      if (!move || !('to' in move)) return null;
      const pad = before.pads.find(
        (p) => p && Math.abs(p.time - move.to) < 0.5 && p.trackId === before.track?.id,
      );
      return { kind: 'jump-to-cue', name: pad?.name ?? '', position: move.to };
    }
    case 'loop-hold': {
      const release = later.find((s) => s.press.kind === 'loop-hold-release');
      return has('loop-set', 'loop-changed') ? loopIntent(release?.before ?? after) : null;
    }
    case 'loop-reenter':
      return move ? { kind: 'reenter-loop' } : null;
    case 'beat-jump':
    case 'screen-jump':
      if (!move || !('to' in move)) return null;
      return {
        kind: 'jump-by',
        beats: Math.round((offBeat(before, move.from, move.to)?.beats ?? 0) * 1e6) / 1e6,
      };
    case 'slip-reverse':
      return after.reverse ? { kind: 'reverse' } : null;
    case 'search':
      return { kind: 'search' };
    case 'strip-touch':
    case 'overview-touch':
      return move ? { kind: 'seek', position: positionAt(after) } : null;
    case 'tempo':
    case 'tempo-range':
      return has('rate') ? { kind: 'tempo', rate: rateOf(after) } : null;
    case 'sync':
      return after.syncRate === null ? null : { kind: 'follow', rate: rateOf(after) };
    case 'bend':
      return has('rate') ? { kind: 'bend', amount: press.amount } : null;
    case 'load':
      return has('load') ? { kind: 'load', track: press.track } : null;
    case 'plug-drive':
      return has('message') ? null : { kind: 'drive' };
    default:
      if (has('loop-set', 'loop-changed')) return loopIntent(after);
      if (has('loop-left')) return { kind: 'leave-loop' };
      if (has('start')) return { kind: 'start' };
      return has('stop') ? { kind: 'stop' } : null;
  }
}

function loopIntent(deck: ReplayStep['after']): Intent | null {
  const { loop } = deck;
  if (!loop) return null;
  return { kind: 'loop', beats: loop.beats ?? beatsIn(deck, loop), seconds: loop.end - loop.start };
}
