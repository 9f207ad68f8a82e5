/** A translated performance in short, and the hand drill that trains each of its moves. */
import type { DrillId } from '../drills/machine.ts';
import { OUT_OF_TIME } from '../practice.ts';
import type { TranslatedMove } from './translate.ts';

export interface Summary {
  /** Moves that the other deck cannot do. */
  fail: number;
  /** Moves after which the beat is heard out of time, at once or by the turns of a loop. */
  outOfTime: number;
  /** Presses more than in the performance, of the moves that can be done. */
  more: number;
}

export const isOutOfTime = ({ outcome, errorMs, perTurnMs }: TranslatedMove): boolean =>
  outcome !== 'impossible' && Math.max(Math.abs(errorMs), Math.abs(perTurnMs)) > OUT_OF_TIME * 1000;

export function summaryOf(moves: readonly TranslatedMove[]): Summary {
  return {
    fail: moves.filter(({ outcome }) => outcome === 'impossible').length,
    outOfTime: moves.filter(isOutOfTime).length,
    more: moves.reduce((sum, { more }) => sum + more, 0),
  };
}

/** The drill of the procedure that a move needs on the other deck; null where it is no trouble or none trains it. */
export function drillFor(move: TranslatedMove): DrillId | null {
  const { outcome, more, presses } = move;
  if (outcome === 'same' && !isOutOfTime(move)) return null;
  const has = (kind: string) => presses.some((press) => press.kind === kind);
  switch (move.move.intent.kind) {
    case 'jump-to-cue':
    case 'set-cue':
      if (has('recall')) return 'recall-before-drop';
      return has('bank') ? 'reach-slot' : null;
    case 'loop':
      return isOutOfTime(move) || more > 0 ? 'shorten-loop' : 'two-loops';
    case 'drive':
      return 'drive-pulled';
    default:
      return null;
  }
}
