/** Undo and redo over the corrections of one track: pure functions over a list of states. */
import type { CorrectionHistory, Corrections, CorrectionStep } from '../library/records.ts';

/** States kept; beyond it the oldest go. Far more than anyone steps back through. */
export const MAX_STEPS = 500;

/** A history that begins with `corrections`, by default those of a track as it was analysed. */
export function newHistory(corrections: Corrections = { grid: null, sections: null }): CorrectionHistory {
  const { grid, sections, markers = null } = corrections;
  const asAnalysed: CorrectionStep = { what: '', grid: null, sections: null, markers: null };
  if (!grid && !sections && !markers) return { steps: [asAnalysed], at: 0 };
  return { steps: [asAnalysed, { what: '', grid, sections, markers }], at: 1 };
}

/** The state in force. */
export function current({ steps, at }: CorrectionHistory): CorrectionStep {
  return steps[at];
}

/** Adds a state after the one in force; what had been undone is gone. */
export function record(history: CorrectionHistory, step: CorrectionStep): CorrectionHistory {
  const steps = [...history.steps.slice(0, history.at + 1), step].slice(-MAX_STEPS);
  return { steps, at: steps.length - 1 };
}

export const canUndo = ({ at }: CorrectionHistory): boolean => at > 0;
export const canRedo = ({ steps, at }: CorrectionHistory): boolean => at < steps.length - 1;

/** @returns the history itself when there is nothing to undo */
export function undo(history: CorrectionHistory): CorrectionHistory {
  return canUndo(history) ? { ...history, at: history.at - 1 } : history;
}

/** @returns the history itself when there is nothing to do again */
export function redo(history: CorrectionHistory): CorrectionHistory {
  return canRedo(history) ? { ...history, at: history.at + 1 } : history;
}

/** What `undo` would take back, in words. */
export function undoes({ steps, at }: CorrectionHistory): string {
  return steps[at].what;
}

/** What `redo` would do again, in words. */
export function redoes({ steps, at }: CorrectionHistory): string {
  return steps[at + 1]?.what ?? '';
}

/**
 * The history that a stored record holds. One from before there were histories, or whose history is not whole,
 * begins with its corrections.
 */
export function readHistory(
  stored: (Corrections & { history?: CorrectionHistory }) | null,
): CorrectionHistory {
  if (!stored) return newHistory();
  const { history } = stored;
  const whole = history && Array.isArray(history.steps) && history.steps[history.at] !== undefined;
  return whole ? history : newHistory(stored);
}
